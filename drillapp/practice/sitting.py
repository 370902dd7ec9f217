"""One sitting: tasks put, answers graded and written to the log, and what it came to in the end.

The log has an answer on disk before ``answer`` returns. ``prepare`` may run in a worker thread and does not
touch the log; the caller keeps calls apart with a lock. Times are UTC seconds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from drillapp.drills import Evidence, NoQuestion
from drillapp.drills.check import CheckMark, ReadingCheck
from drillapp.drills.kinds import KINDS, Graded
from drillapp.drills.like import another_like, misread
from drillapp.drills.placing import Placing
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.task_maker import TaskMaker
from drillapp.drills.tasks import Task
from drillapp.learning import Expected, Planner, expect, surely_apart
from drillapp.music import FEATURES, features_to_ask
from drillapp.practice.conditions import conditions_of
from drillapp.practice.known import Known
from drillapp.records import HELPED, Answer, FactorAnswer, LogError, PracticeLog, SittingRow

KEPT = "This answer is kept beside it and comes into the log with the next one, or at the next start."
NOT_KEPT = "This answer is not on disk yet: it comes with the next one, and is lost if the app ends before."


@dataclass(frozen=True)
class Result:
    """What an answer came to.

    ``counted`` is False where it is in no log: an answer that was set aside (see ``Graded.set_aside``), whose
    task may be tried again, or one that was for practice only. ``helped``: it is in the log and says nothing
    of reading, since its signs or its answer had been shown. ``notice`` says so where an answer that counts
    could not be written to the log yet.
    """

    task: Task[Any]
    graded: Graded
    counted: bool = True
    notice: str = ""
    helped: bool = False

    @property
    def right(self) -> bool:
        return self.graded.right

    @property
    def kept(self) -> bool:
        """Whether it stands; else nothing is scored and the same task may be tried again."""
        return self.graded.set_aside is None

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        return self.graded.evidence


@dataclass(frozen=True)
class SummaryLine:
    """A feature in one sitting: how often it was asked, what is expected of it without and with that.

    Both are for the sitting's end, so that time away makes no difference between them.
    """

    feature: str
    asked: int
    before: Expected
    after: Expected

    @property
    def better(self) -> bool:
        """Whether it surely reads better than before."""
        return self.after.middle > self.before.middle and surely_apart(self.before, self.after)


@dataclass(frozen=True)
class Summary:
    lines: tuple[SummaryLine, ...]
    questions: int
    seconds: float


@dataclass(frozen=True)
class _Given:
    """The answer given last, and how all stood before it; ``own``: it has a number in the drill."""

    task: Task[Any]
    answer: Answer
    planner: Planner
    check: CheckMark | None
    of: int
    answers: int
    own: bool


MORE = "-more"
"""Ends the session's id of a question that is in the log and has no number in the drill."""


class Sitting:
    """What one learner does in one go, a drill or a check, as it goes on; ``answered`` so far, ``of`` in all.

    A Reading check or a placing ends as soon as it can answer, so there ``of`` is the most that it may take.
    """

    def __init__(
        self,
        log: PracticeLog,
        planner: Planner,
        maker: TaskMaker | ReadingCheck | Placing,
        row: SittingRow,
        of: int,
        now: Callable[[], float],
        version: str = "",
        counts: Known | None = None,
        said: Mapping[str, Any] | None = None,
    ) -> None:
        self.id = row.id
        self.learner = row.learner
        self.of = of
        self.answered = row.answered
        self._log, self._planner, self._maker = log, planner, maker
        self._now, self._version = now, version
        self._counts = counts
        self._said = dict(said or {})  # goes along with every answer
        self._ready: Task[Any] | None = None
        self._before = planner.memory.copy()
        self._began = now()
        self._answers: list[
            tuple[tuple[Evidence, ...], bool]
        ] = []  # results hold whole pages: too much to keep
        self._last: _Given | None = None
        self._extra: Task[Any] | None = None
        self._shown: Task[Any] | None = None

    def next(self) -> Task[Any] | None:
        """The next task, or None at the end. Raises NoQuestion where no pattern can ask for anything.

        A task of a check is one of 0: how many it will be is not known.
        """
        self._last = self._extra = self._shown = None
        if self.over:
            return None
        deaf = self._ready is not None and not self._maker.may_put(self._ready)
        if self._ready is None or self._ready.number != self.answered + 1 or deaf:
            if isinstance(self._maker, TaskMaker):
                self._ready = self._maker.make(self.answered + 1, self.of, self._now())
            else:
                self._ready = self._next_page(self._maker)
        return self._ready

    def _next_page(self, check: ReadingCheck | Placing) -> Task[Any] | None:
        """The next page of a check, or None where it is over: done, out of time or out of pages."""
        if not check.done(self._now()):
            try:
                return check.make(self.answered + 1, 0, self._now())
            except NoQuestion:
                if not self.answered:
                    raise
        self.of = self.answered
        self.end()
        return None

    def prepare(self) -> Task[Any] | None:
        """Make the task after the one that is being answered, so that ``next`` need not wait."""
        number = self.answered + (2 if self._extra is None else 1)
        if number > self.of or not isinstance(self._maker, TaskMaker):
            return None  # what a check puts next hangs on the answer
        if self._ready is None or self._ready.number != number:  # else the one before it was taken back
            self._ready = self._maker.make(number, self.of, self._now())
        return self._ready

    def answer(
        self,
        task: Task[Any],
        given: object,
        seconds: float,
        plays: Sequence[int] = (),
        tempo: float | None = None,
        helped: bool = False,
    ) -> Result:
        """Grade what was given (None: Not sure) as the task's kind does, and write it to the log.

        ``seconds``: time to answer; ``plays``: how often each sound was played; ``tempo``: the one last heard
        or counted in, where the learner changed it; ``helped``: its signs were looked up before, so that it
        is logged and says nothing of how they are read. An answer that is set aside changes nothing. Where
        the log cannot be written the answer waits in it, is written with the next one, and ``Result.notice``
        says so.
        """
        graded = self._of_open_signs(task, _graded(task, given, tempo))
        if graded.set_aside is not None:
            return Result(task, graded, counted=False)
        own, helped = task is not self._extra, helped or task is self._shown
        mark = None if self.check is None else self.check.mark()
        before = self._planner.copy(), mark, self.of, len(self._answers)
        answer = self._answer(task, graded, seconds, plays, tempo, helped)
        notice = self._keep(answer, task, graded, helped)
        # What a placing check asks next hangs on each answer, so there none can be taken back.
        self._last = None if self.placing is not None else _Given(task, answer, *before, own)
        if own:
            self._count(graded, helped)
        return Result(task, graded, notice=notice, helped=helped)

    def _of_open_signs(self, task: Task[Any], graded: Graded) -> Graded:
        """Without what a drill's answer tells of signs that are neither open nor on its page.

        A hand that goes the wrong way where no such sign is written would else open directions.
        """
        if not isinstance(self._maker, TaskMaker):
            return graded
        pages = KINDS[task.drill].pages(task)
        told = {*self._planner.open(self._now()), *task.asked}.union(*map(features_to_ask, pages))
        signs = tuple(sign for sign in graded.signs if told.intersection(sign.evidence.features))
        return graded if len(signs) == len(graded.signs) else replace(graded, signs=signs)

    def _count(self, graded: Graded, helped: bool) -> None:
        """Go on in the drill by an answer."""
        self.answered += 1
        if not helped:
            self._answers.append((graded.evidence, graded.right))
        if not isinstance(self._maker, TaskMaker):
            self._maker.tell(() if helped else graded.evidence)
            if self._maker.done(self._now()):
                self.of = self.answered
        if self.over:
            self.end()

    @property
    def may_take_back(self) -> bool:
        """Whether the answer given last can be taken back: until the next question."""
        return self._last is not None

    def take_back(self) -> str:
        """Take back the answer given last: its question stands again, and all is as it was before it.

        It stays in the log with a row that voids it. What is answered then is in the log and says nothing of
        reading, since the answer was shown. Gives a notice where the log cannot be written yet, else nothing.
        """
        given = self._last
        if given is None:
            return ""
        notice = ""
        try:
            self._log.take_back(given.answer, self._now())
        except LogError as error:
            notice = f"{error} {KEPT if self._log.kept else NOT_KEPT}"
        if given.own:
            if self.over:
                self._go_on()
            self.answered -= 1
            self.of = given.of
        del self._answers[given.answers :]
        if self._counts is not None:
            self._counts.take_out(given.answer)
        self._planner.go_back(given.planner)
        if self.check is not None and given.check is not None:
            self.check.go_back(given.check)
        self._last, self._shown = None, given.task
        return notice

    def another(self, result: Result) -> Task[Any] | None:
        """A question like the one that was misread, on another page; None where there is none.

        It is in the log as a question of its own, and has no number in the drill. A Reading check has only so
        many minutes, and gives none.
        """
        maker = self._maker
        if not isinstance(maker, TaskMaker) or result.right:
            return None
        features = misread(result.graded, result.task.asked)
        task = another_like(result.task, features, maker.sources, maker.met, maker.rng, maker.fresh)
        if task is not None:
            self._last, self._shown, self._extra = None, None, task
        return task

    def practise(self, task: Task[Any], given: object, tempo: float | None = None) -> Result:
        """Grade what was given again after the answer; nothing is logged or learned from it."""
        return Result(task, _graded(task, given, tempo), counted=False)

    @property
    def over(self) -> bool:
        """Whether all is answered."""
        return self.answered >= self.of

    @property
    def check(self) -> ReadingCheck | None:
        """The Reading check, where this sitting is one; its ``finding()`` says what it found so far."""
        return self._maker if isinstance(self._maker, ReadingCheck) else None

    @property
    def placing(self) -> Placing | None:
        """The placing check, where this sitting is one; its ``holds()`` says what is read."""
        return self._maker if isinstance(self._maker, Placing) else None

    def end(self) -> None:
        """Note that the sitting is over, at its last answer or because the learner leaves it for good."""
        try:
            self._log.sessions.end(self.id, self._now())
        except LogError:
            return  # an open session is ended when the next one begins

    def _go_on(self) -> None:
        """Note that the sitting is not over after all."""
        try:
            self._log.sessions.go_on(self.id)
        except LogError:
            return  # it then counts as ended, and is not taken up again

    def summary(self) -> Summary:
        """What was practised in this sitting and what moved, most practised first."""
        asked = Counter(feature for evidence, _ in self._answers for one in evidence for feature in one.sharp)
        now = self._now()
        lines = [
            SummaryLine(
                feature,
                asked[feature],
                expect(self._before, feature, now),
                expect(self._planner.memory, feature, now),
            )
            for feature in sorted(asked, key=lambda name: (-asked[name], FEATURES.index(name)))
        ]
        return Summary(tuple(lines), len(self._answers), now - self._began)

    def expected(self) -> dict[str, Expected]:
        """What is expected of each sign now, from all that is known of the learner."""
        now = self._now()
        return {feature: expect(self._planner.memory, feature, now) for feature in FEATURES}

    def _answer(
        self,
        task: Task[Any],
        graded: Graded,
        seconds: float,
        plays: Sequence[int],
        tempo: float | None,
        helped: bool,
    ) -> Answer:
        """The answer as it goes into the log."""
        now = self._now()
        lead = datetime.fromtimestamp(now).astimezone().utcoffset()
        source = {"deck": task.source.deck, "title": task.source.title} if task.source.deck else {}
        recorded = graded.recorded
        return Answer(
            learner=self.learner,
            session=self.id if task is not self._extra else f"{self.id}{MORE}",
            utc=now,
            offset=round(lead.total_seconds() / 60) if lead is not None else 0,
            drill=task.drill,
            pattern=task.pattern.text,
            meter=task.pattern.meter.text,
            tempo=float(tempo if tempo is not None else task.tempo),
            swing=None if task.pattern.swing is None else str(task.pattern.swing),
            layers=task.layers,
            first_seen=task.first_seen,
            why=task.why,
            asked=task.asked,
            version=self._version,
            candidates=recorded.candidates,
            pick=recorded.pick,
            written=recorded.written,
            factors=tuple(_factor(sign) for sign in graded.signs),
            seconds=max(seconds, 0.0),
            heard=tuple(plays),
            extra={**source, **self._said, **recorded.extra, **({HELPED: True} if helped else {})},
        )

    def _keep(self, answer: Answer, task: Task[Any], graded: Graded, helped: bool) -> str:
        """Write the answer to the log, then let the planner learn; gives a notice where the log refused."""
        notice = ""
        try:
            self._log.append(answer)
        except LogError as error:
            kept = KEPT if self._log.kept else NOT_KEPT
            notice = f"{error} {kept}"
        if self._counts is not None:
            self._counts.add(answer)
        told = [(one.sharp, one.correct, one.guess) for one in graded.evidence if not helped]
        conditions = conditions_of(answer.first_seen, answer.pattern, answer.tempo, answer.layers)
        self._planner.tell(answer.utc, task.asked, told, task.allowed, conditions)
        return notice


def _graded(task: Task[Any], given: object, tempo: float | None) -> Graded:
    return KINDS[task.drill].grade(task, given, float(task.tempo if tempo is None else tempo))


def _factor(sign: SignRead) -> FactorAnswer:
    one = sign.evidence
    return FactorAnswer(str(sign.at), one.sharp, sign.written, sign.read, one.correct, one.guess, one.present)
