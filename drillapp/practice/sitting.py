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

from drillapp.drills import Evidence, Explanation, NoQuestion, explain
from drillapp.drills.check import ReadingCheck
from drillapp.drills.dictation import DictationResult, grade_dictation
from drillapp.drills.strum.grade import Hit, StrumResult, grade_strum
from drillapp.drills.task_maker import TaskMaker
from drillapp.drills.tasks import HandTask, PickTask, Task
from drillapp.learning import Memory, Planner
from drillapp.music import FEATURE_TABLE, FEATURES
from drillapp.music.slot_sheet import Sheet
from drillapp.practice.conditions import conditions_of
from drillapp.records import Answer, FactorAnswer, LogError, PracticeLog, Session


@dataclass(frozen=True)
class Result:
    """What an answer to a pick question came to.

    ``notice`` says so where it could not be written to the log yet.
    """

    task: PickTask
    index: int | None
    right: bool
    explanation: Explanation
    evidence: tuple[Evidence, ...]
    notice: str = ""


@dataclass(frozen=True)
class HandResult:
    """What a strummed or written answer came to, slot by slot; ``graded`` is None for Not sure.

    ``kept`` is False where a take was set aside (``graded.notice`` says why): nothing is scored or logged and
    the same task may be tried again. ``counted`` is False where it was for practice only: graded, not logged.
    """

    task: HandTask
    graded: StrumResult | DictationResult | None
    right: bool
    evidence: tuple[Evidence, ...]
    kept: bool = True
    notice: str = ""
    counted: bool = True


@dataclass(frozen=True)
class Span:
    """Expected accuracy with its 80 % interval, without guessing."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class SummaryLine:
    """A feature in one sitting: choices put and right, expected accuracy before and after."""

    feature: str
    title: str
    asked: int
    right: int
    before: Span
    after: Span


@dataclass(frozen=True)
class Summary:
    lines: tuple[SummaryLine, ...]
    questions: int
    right: int
    seconds: float


class Sitting:
    """A session of one learner as it goes on; ``answered`` so far, ``of`` in all.

    A Reading check ends as soon as it can answer, so there ``of`` is the most that it may take.
    """

    def __init__(
        self,
        log: PracticeLog,
        planner: Planner,
        maker: TaskMaker | ReadingCheck,
        session: Session,
        now: Callable[[], float],
        version: str = "",
    ) -> None:
        self.id = session.id
        self.learner = session.learner
        self.of = int(session.plan["count"])
        self.answered = session.answered
        self._log, self._planner, self._maker = log, planner, maker
        self._now, self._version = now, version
        self._ready: PickTask | HandTask | None = None
        self._before = planner.memory.copy()
        self._began = now()
        self._answers: list[
            tuple[tuple[Evidence, ...], bool]
        ] = []  # results hold whole pages: too much to keep

    def next(self) -> PickTask | HandTask | None:
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

    def _next_page(self, check: ReadingCheck) -> HandTask | None:
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

    def prepare(self) -> PickTask | HandTask | None:
        """Make the task after the one that is being answered, so that ``next`` need not wait."""
        if self.answered + 1 >= self.of or self.check is not None:
            return None  # what a check puts next hangs on the answer
        self._ready = self._maker.make(self.answered + 2, self.of, self._now(), ahead=True)
        return self._ready

    def answer(
        self,
        task: PickTask,
        index: int | None,
        seconds: float,
        plays: Sequence[int],
        tempo: float | None = None,
    ) -> Result:
        """Grade candidate ``index`` (None: Not sure) and write it to the log.

        ``seconds``: time to answer; ``plays``: how often each sound was played; ``tempo``: the one last
        heard, where the learner changed it. Where the log cannot be written the answer waits in it, is
        written with the next one, and ``Result.notice`` says so.
        """
        question = task.question
        evidence = question.grade(index)
        factors = []
        for number, (factor, one) in enumerate(zip(question.factors, evidence, strict=True)):
            read = question.way_read(number, index)
            way = None if read is None else read.name
            factors.append(_factor(str(factor.at), one, question.way_written(number).name, way))
        notice = self._keep(
            task,
            evidence,
            tempo,
            candidates=tuple(candidate.text for candidate in question.candidates),
            pick=index,
            written=question.answer,
            factors=tuple(factors),
            seconds=max(seconds, 0.0),
            heard=tuple(plays),
        )
        right = index == question.answer
        result = Result(task, index, right, explain(question, index), evidence, notice)
        self._done(result)
        return result

    def answer_strum(
        self,
        task: HandTask,
        hits: Sequence[Hit],
        seconds: float,
        tempo: float | None = None,
        times: int = 1,
    ) -> HandResult:
        """Grade what was played and write it to the log, as ``answer`` does.

        ``hits``: times from the first beat; ``tempo``: the one that the count-in gave; ``times``: how often
        the page was played through. A take that cannot be scored is set aside: see ``HandResult.kept``.
        """
        graded = _graded(task, hits, tempo, times)
        if not graded.scored:
            return HandResult(task, graded, False, (), kept=False)
        extra = {
            "times": times,
            "hits": [[round(hit.time, 4), hit.hand, hit.muted, round(hit.force, 3)] for hit in hits],
            "slots": [[str(slot.at), *sorted(slot.verdicts)] for slot in graded.slots if slot.verdicts],
            "lead": round(graded.lead, 4),
            "drift": round(graded.drift, 4),
            "steadiness": round(graded.steadiness, 4),
        }
        return self._by_hand(task, graded, graded.right, graded.evidence, seconds, (), tempo, extra)

    def practise_strum(
        self, task: HandTask, hits: Sequence[Hit], tempo: float | None = None, times: int = 1
    ) -> HandResult:
        """Grade what was played again after the answer; nothing is logged or learned from it."""
        graded = _graded(task, hits, tempo, times)
        return HandResult(task, graded, graded.right, (), kept=graded.scored, counted=False)

    def answer_dictation(
        self, task: HandTask, sheet: Sheet, seconds: float, plays: int, tempo: float | None = None
    ) -> HandResult:
        """Grade what was written down and write it to the log, as ``answer`` does."""
        graded = grade_dictation(task.pattern, sheet, task.layers)
        extra = {
            "sheet": graded.written.text,
            "slots": [[str(slot.at), *sorted(slot.verdicts)] for slot in graded.slots if slot.verdicts],
        }
        return self._by_hand(task, graded, graded.right, graded.evidence, seconds, (plays,), tempo, extra)

    def not_sure(self, task: HandTask, seconds: float) -> HandResult:
        """Not sure, in place of playing or writing: the signs asked about were not read."""
        evidence = tuple(Evidence((feature,), False, 0.0, True) for feature in task.asked)
        return self._by_hand(task, None, False, evidence, seconds, (), None, {"not_sure": True})

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
        asked: Counter[str] = Counter()
        right: Counter[str] = Counter()
        for evidence, _ in self._answers:
            for one in evidence:
                for feature in one.sharp:
                    asked[feature] += 1
                    right[feature] += one.correct
        now = self._now()
        lines = [
            SummaryLine(
                feature,
                FEATURE_TABLE[feature].title,
                asked[feature],
                right[feature],
                _span(self._before, feature, now),
                _span(self._planner.memory, feature, now),
            )
            for feature in sorted(asked, key=lambda name: (-asked[name], FEATURES.index(name)))
        ]
        return Summary(
            tuple(lines), len(self._answers), sum(right for _, right in self._answers), now - self._began
        )

    def _by_hand(
        self,
        task: HandTask,
        graded: StrumResult | DictationResult | None,
        right: bool,
        evidence: tuple[Evidence, ...],
        seconds: float,
        plays: tuple[int, ...],
        tempo: float | None,
        extra: dict[str, Any],
    ) -> HandResult:
        if graded is None:
            factors = tuple(_factor("0", one, one.features[0], None) for one in evidence)
        else:
            factors = tuple(_factor(str(s.at), s.evidence, s.written, s.read) for s in graded.signs)
        notice = self._keep(
            task, evidence, tempo, factors=factors, seconds=max(seconds, 0.0), heard=plays, extra=extra
        )
        result = HandResult(task, graded, right, evidence, notice=notice)
        self._done(result)
        return result

    def _keep(self, task: Task, evidence: Sequence[Evidence], tempo: float | None, **recorded: Any) -> str:
        """Write the answer to the log, then let the planner learn; gives a notice where the log refused."""
        now = self._now()
        lead = datetime.fromtimestamp(now).astimezone().utcoffset()
        source = {"deck": task.source.deck, "title": task.source.title} if task.source.deck else {}
        extra = {**source, **recorded.pop("extra", {})}
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
            extra=extra,
            **recorded,
        )
        notice = ""
        try:
            self._log.append(answer)
        except LogError as error:
            notice = f"{error} This answer is kept and will be written with the next one."
        told = [(one.sharp, one.correct, one.guess) for one in evidence]
        conditions = conditions_of(answer.first_seen, answer.pattern, answer.tempo, answer.layers)
        self._planner.tell(now, task.asked, told, task.allowed, conditions)
        return notice

    def _done(self, result: Result | HandResult) -> None:
        self._answers.append((result.evidence, result.right))
        self.answered += 1
        if self.check is not None:
            self.check.tell(result.evidence)
            if self.check.done(self._now()):
                self.of = self.answered
        if self.over:
            self.end()


def _graded(task: HandTask, hits: Sequence[Hit], tempo: float | None, times: int) -> StrumResult:
    return grade_strum(task.pattern, task.tempo if tempo is None else tempo, hits, task.layers, times)


def _factor(at: str, one: Evidence, written: str, read: str | None) -> FactorAnswer:
    return FactorAnswer(at, one.sharp, written, read, one.correct, one.guess, one.present)


def _span(memory: Memory, feature: str, now: float) -> Span:
    belief = memory.belief(feature, now)
    return Span(belief.low, belief.mean, belief.high)
