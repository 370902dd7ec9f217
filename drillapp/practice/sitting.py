"""One sitting: tasks put, answers graded and written to the log, and what it came to in the end.

The log has an answer on disk before ``answer`` returns. ``prepare`` may run in a worker thread and does not
touch the log; the caller keeps calls apart with a lock. Times are UTC seconds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from drillapp.drills import Evidence, NoQuestion
from drillapp.drills.check import ReadingCheck
from drillapp.drills.kinds import KINDS, Graded
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.task_maker import TaskMaker
from drillapp.drills.tasks import Task
from drillapp.learning import Expected, Planner, expect, surely_apart
from drillapp.music import FEATURES
from drillapp.practice.conditions import conditions_of
from drillapp.records import HELPED, Answer, FactorAnswer, LogError, PracticeLog, SittingRow

KEPT = "This answer is kept beside it and comes into the log with the next one, or at the next start."
NOT_KEPT = "This answer is not on disk yet: it comes with the next one, and is lost if the app ends before."


@dataclass(frozen=True)
class Result:
    """What an answer came to.

    ``counted`` is False where it is in no log: an answer that was set aside (see ``Graded.set_aside``), whose
    task may be tried again, or one that was for practice only. ``notice`` says so where an answer that counts
    could not be written to the log yet.
    """

    task: Task[Any]
    graded: Graded
    counted: bool = True
    notice: str = ""

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


class Sitting:
    """What one learner does in one go, a drill or a check, as it goes on; ``answered`` so far, ``of`` in all.

    A Reading check ends as soon as it can answer, so there ``of`` is the most that it may take.
    """

    def __init__(
        self,
        log: PracticeLog,
        planner: Planner,
        maker: TaskMaker | ReadingCheck,
        row: SittingRow,
        of: int,
        now: Callable[[], float],
        version: str = "",
        keep: Callable[[Answer], None] = lambda _answer: None,
    ) -> None:
        self.id = row.id
        self.learner = row.learner
        self.of = of
        self.answered = row.answered
        self._log, self._planner, self._maker = log, planner, maker
        self._now, self._version = now, version
        self._keep_count = keep
        self._ready: Task[Any] | None = None
        self._before = planner.memory.copy()
        self._began = now()
        self._answers: list[
            tuple[tuple[Evidence, ...], bool]
        ] = []  # results hold whole pages: too much to keep

    def next(self) -> Task[Any] | None:
        """The next task, or None at the end. Raises NoQuestion where no pattern can ask for anything.

        A task of a check is one of 0: how many it will be is not known.
        """
        if self.over:
            return None
        if self._ready is None or self._ready.number != self.answered + 1:
            if self.check is None:
                self._ready = self._maker.make(self.answered + 1, self.of, self._now())
            else:
                self._ready = self._next_page(self.check)
        return self._ready

    def _next_page(self, check: ReadingCheck) -> Task[Any] | None:
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
        if self.answered + 1 >= self.of or self.check is not None:
            return None  # what a check puts next hangs on the answer
        self._ready = self._maker.make(self.answered + 2, self.of, self._now())
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
        graded = _graded(task, given, tempo)
        if graded.set_aside is not None:
            return Result(task, graded, counted=False)
        notice = self._keep(task, graded, seconds, plays, tempo, helped)
        if not helped:
            self._answers.append((graded.evidence, graded.right))
        self.answered += 1
        if self.check is not None:
            self.check.tell(() if helped else graded.evidence)
            if self.check.done(self._now()):
                self.of = self.answered
        if self.over:
            self.end()
        return Result(task, graded, notice=notice)

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

    def end(self) -> None:
        """Note that the sitting is over, at its last answer or because the learner leaves it for good."""
        try:
            self._log.sessions.end(self.id, self._now())
        except LogError:
            return  # an open session is ended when the next one begins

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

    def _keep(
        self,
        task: Task[Any],
        graded: Graded,
        seconds: float,
        plays: Sequence[int],
        tempo: float | None,
        helped: bool,
    ) -> str:
        """Write the answer to the log, then let the planner learn; gives a notice where the log refused."""
        now = self._now()
        lead = datetime.fromtimestamp(now).astimezone().utcoffset()
        source = {"deck": task.source.deck, "title": task.source.title} if task.source.deck else {}
        recorded = graded.recorded
        answer = Answer(
            learner=self.learner,
            session=self.id,
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
            extra={**source, **recorded.extra, **({HELPED: True} if helped else {})},
        )
        notice = ""
        try:
            self._log.append(answer)
        except LogError as error:
            kept = KEPT if self._log.kept else NOT_KEPT
            notice = f"{error} {kept}"
        self._keep_count(answer)
        told = [(one.sharp, one.correct, one.guess) for one in graded.evidence if not helped]
        conditions = conditions_of(answer.first_seen, answer.pattern, answer.tempo, answer.layers)
        self._planner.tell(now, task.asked, told, task.allowed, conditions)
        return notice


def _graded(task: Task[Any], given: object, tempo: float | None) -> Graded:
    return KINDS[task.drill].grade(task, given, float(task.tempo if tempo is None else tempo))


def _factor(sign: SignRead) -> FactorAnswer:
    one = sign.evidence
    return FactorAnswer(str(sign.at), one.sharp, sign.written, sign.read, one.correct, one.guess, one.present)
