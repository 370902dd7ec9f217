"""One sitting: tasks put, answers graded and written to the log, and what it came to in the end.

The log has an answer on disk before ``answer`` returns. ``prepare`` may run in a worker thread and does not
touch the log; the caller keeps calls apart with a lock. Times are UTC seconds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from drillapp.drills import Evidence, Explanation, explain
from drillapp.drills.session import Task, TaskMaker
from drillapp.learning import Memory, Planner
from drillapp.music import FEATURE_TABLE, FEATURES
from drillapp.records import Answer, FactorAnswer, LogError, PracticeLog, Session


@dataclass(frozen=True)
class Result:
    """What an answer came to; ``notice`` says so where it could not be written to the log yet."""

    task: Task
    index: int | None
    right: bool
    explanation: Explanation
    evidence: tuple[Evidence, ...]
    notice: str = ""


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
    """A session of one learner as it goes on; ``number`` answered so far, ``of`` in all."""

    def __init__(
        self,
        log: PracticeLog,
        planner: Planner,
        maker: TaskMaker,
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
        self._ready: Task | None = None
        self._before = planner.memory.copy()
        self._began = now()
        self._results: list[Result] = []

    def next(self) -> Task | None:
        """The next task, or None at the end. Raises NoQuestion where no pattern can ask for anything."""
        if self.answered >= self.of:
            return None
        if self._ready is None or self._ready.number != self.answered + 1:
            self._ready = self._maker.make(self.answered + 1, self.of, self._now())
        return self._ready

    def prepare(self) -> Task | None:
        """Make the task after the one that is being answered, so that ``next`` need not wait."""
        if self.answered + 1 >= self.of:
            return None
        self._ready = self._maker.make(self.answered + 2, self.of, self._now(), ahead=True)
        return self._ready

    def answer(
        self,
        task: Task,
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
        now = self._now()
        evidence = task.question.grade(index)
        answer = self._row(task, index, evidence, now, seconds, plays, tempo)
        notice = ""
        try:
            self._log.append(answer)
        except LogError as error:
            notice = f"{error} This answer is kept and will be written with the next one."
        told = [(one.features, one.correct, one.guess) for one in evidence]
        self._planner.tell(now, task.asked, told, task.allowed)
        result = Result(
            task, index, index == task.question.answer, explain(task.question, index), evidence, notice
        )
        self._results.append(result)
        self.answered += 1
        if self.answered >= self.of:
            self.end()
        return result

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
        for result in self._results:
            for one in result.evidence:
                for feature in one.features:
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
            tuple(lines), len(self._results), sum(result.right for result in self._results), now - self._began
        )

    def _row(
        self,
        task: Task,
        index: int | None,
        evidence: Sequence[Evidence],
        now: float,
        seconds: float,
        plays: Sequence[int],
        tempo: float | None,
    ) -> Answer:
        question, written = task.question, task.question.written
        factors = []
        for number, (factor, one) in enumerate(zip(question.factors, evidence, strict=True)):
            read = question.way_read(number, index)
            factors.append(
                FactorAnswer(
                    str(factor.at),
                    one.features,
                    question.way_written(number).name,
                    None if read is None else read.name,
                    one.correct,
                    one.guess,
                    one.present,
                )
            )
        lead = datetime.fromtimestamp(now).astimezone().utcoffset()
        return Answer(
            learner=self.learner,
            session=self.id,
            utc=now,
            offset=round(lead.total_seconds() / 60) if lead is not None else 0,
            drill=task.drill,
            pattern=written.text,
            meter=written.meter.text,
            tempo=float(tempo if tempo is not None else task.tempo),
            swing=None if written.swing is None else str(written.swing),
            layers=task.layers,
            candidates=tuple(candidate.text for candidate in question.candidates),
            pick=index,
            written=question.answer,
            factors=tuple(factors),
            seconds=max(seconds, 0.0),
            heard=tuple(plays),
            first_seen=task.first_seen,
            why=task.why,
            asked=task.asked,
            version=self._version,
            extra={"deck": task.source.deck, "title": task.source.title} if task.source.deck else {},
        )


def _span(memory: Memory, feature: str, now: float) -> Span:
    belief = memory.belief(feature, now)
    return Span(belief.low, belief.mean, belief.high)
