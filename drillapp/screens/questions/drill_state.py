"""The drill on screen: its sitting, the question that is on, and how the learner wants to hear it.

All calls of the sitting pass through one lock, since the next question is prepared in another thread while
the learner answers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Any

from drillapp.drills import Finding
from drillapp.drills.kinds import KINDS, Kind
from drillapp.drills.tasks import Task
from drillapp.learning import Expected
from drillapp.music import Pattern
from drillapp.practice.sitting import Result, Sitting, Summary
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.sound.tempo import bounded, stepped
from drillapp.words.plan import question_place

REPLAY_STEP = 8
TIMES = (1, 2, 4)
AGAIN = 0.15
"""the part of the tempo by which a page is played slower or faster when it is practised again"""


@dataclass
class DrillState:
    """A sitting on its way through the screens that ask and that answer; ``clock`` gives seconds.

    ``task`` is there once ``next`` was called.
    """

    sitting: Sitting
    clock: Callable[[], float]
    count_in: int = 1
    voice: str = "steel"
    click: bool = False
    repeat: bool = False
    task: Task[Any] = field(init=False)
    result: Result | None = None
    """What the last answer to this question came to."""
    tempo: float = 0.0
    replay_tempo: float = 0.0
    times: int = 1
    """How often the page is played through in one take."""
    practising: bool = False
    """The question is answered, and its page played again for practice."""
    seen: bool = False
    """The question stands again after its answer was taken back, so that its answer is known."""
    extra: bool = False
    """The question is another like the one before it, and has no number of its own."""
    shift: float = 0.0
    """How much slower or faster than the questions' own tempo the learner wants them."""
    helped: bool = False
    """The learner looked up the signs of this question."""
    plays: list[int] = field(default_factory=list)
    _since: float = 0.0
    _lock: Lock = field(default_factory=Lock)

    def next(self) -> Task[Any] | None:
        """The next question, now on screen; None where the sitting is over."""
        with self._lock:
            task = self.sitting.next()
        self.result, self.practising, self.helped = None, False, False
        self.seen = self.extra = False
        if task is not None:
            self._put(task)
        return task

    def _put(self, task: Task[Any]) -> None:
        self.helped = False
        self.task = task
        self.tempo = self.replay_tempo = self.full_tempo
        self.plays = [0] * len(self.heard())
        self._since = self.clock()

    def shown(self) -> None:
        """The question shows only now: the time to answer runs from here."""
        self._since = self.clock()

    @property
    def pages(self) -> tuple[Pattern, ...]:
        """The patterns whose signs are to be read in this question."""
        return self.kind.pages(self.task)

    def prepare(self) -> Task[Any] | None:
        """Build the following question; for the worker's thread."""
        with self._lock:
            return self.sitting.prepare()

    def answer(self, given: object) -> Result:
        """Give the answer (None: Not sure); it is on disk when this returns, or only graded for practice."""
        if self.practising:
            result = self.sitting.practise(self.task, given, self.tempo)
        else:
            with self._lock:
                seconds = self.clock() - self._since
                result = self.sitting.answer(
                    self.task, given, seconds, tuple(self.plays), self.tempo, self.helped
                )
        if result.kept:
            self.result = result
        return result

    def take_back(self) -> str:
        """Take the answer back: the question stands again. Gives a notice where the log refuses."""
        with self._lock:
            notice = self.sitting.take_back()
        self.result, self.practising, self.seen = None, False, True
        self._put(self.task)
        return notice

    @property
    def may_take_back(self) -> bool:
        """Whether the answer can be taken back: until the next question, and not after practice."""
        return self.sitting.may_take_back and not self.practising

    def another(self) -> Task[Any] | None:
        """Another question like the one that was misread, now on screen; None where there is none."""
        assert self.result is not None
        with self._lock:
            task = self.sitting.another(self.result)
        if task is not None:
            self.result, self.practising, self.seen, self.extra = None, False, False, True
            self._put(task)
        return task

    def again(self, by: int) -> None:
        """Practise the page of this question, slower (-1) or faster (1); the next ones keep their tempo."""
        self.practising = True
        self.tempo = self.replay_tempo = float(bounded(round(self.tempo * (1 + by * AGAIN))))

    @property
    def kind(self) -> Kind[Any, Any]:
        """The kind of the question on screen."""
        return KINDS[self.task.drill]

    @property
    def full_tempo(self) -> float:
        """The tempo at which the question was put."""
        return float(bounded(self.task.tempo + self.shift))

    def change_times(self) -> None:
        """Once, twice, four times, and once again."""
        self.times = TIMES[(TIMES.index(self.times) + 1) % len(TIMES)]

    def summary(self) -> Summary:
        with self._lock:
            return self.sitting.summary()

    def expected(self) -> dict[str, Expected]:
        """What is expected of each sign now."""
        with self._lock:
            return self.sitting.expected()

    def finding(self) -> Finding | None:
        """What a Reading check has found so far; None where the sitting is none."""
        with self._lock:
            return None if self.sitting.check is None else self.sitting.check.finding()

    @property
    def in_check(self) -> bool:
        """Whether the sitting is a Reading check or a placing, which find out what is read."""
        return self.sitting.check is not None or self.in_placing

    @property
    def in_placing(self) -> bool:
        """Whether the sitting is the placing check of a new learner."""
        return self.sitting.placing is not None

    @property
    def ends_with(self) -> str:
        """The screen that is shown when the sitting is over."""
        return "first" if self.in_placing else "finding" if self.in_check else "summary"

    @property
    def place(self) -> str:
        """Where in the sitting the question stands; a check has no number of pages set beforehand."""
        return question_place(self.task.number, self.task.of)

    @property
    def over(self) -> bool:
        """Whether the question on screen was the last one."""
        return self.sitting.over

    def change_tempo(self, by: int) -> None:
        tempo = float(stepped(self.tempo, by))
        if not self.practising:
            self.shift += tempo - self.tempo
        self.tempo = self.replay_tempo = tempo

    def sound(self, pattern: Pattern) -> Sound:
        """The pattern as the learner wants to hear it now."""
        return self._sound(pattern, self.tempo, self.task.chord)

    def change_replay(self, by: int) -> None:
        """Hear the answer slower or faster; the next question keeps its own tempo."""
        self.replay_tempo = float(bounded(self.replay_tempo + by * REPLAY_STEP))

    def replay(self, pattern: Pattern) -> Sound:
        """The pattern after the answer, at the tempo that it is to be heard at again."""
        return self._sound(pattern, self.replay_tempo, self.task.chord)

    def heard(self) -> tuple[Pattern, ...]:
        """The patterns that can be heard while the question waits."""
        return self.kind.sounds(self.task)

    def sounds_of(self, task: Task[Any]) -> tuple[Sound, ...]:
        """The sounds that a coming question will ask for."""
        tempo = float(bounded(task.tempo + self.shift))
        return tuple(self._sound(pattern, tempo, task.chord) for pattern in KINDS[task.drill].sounds(task))

    def _sound(self, pattern: Pattern, tempo: float, chord: str) -> Sound:
        return Sound(pattern, tempo, chord, self.voice, self.count_in, self.repeat, self.click)
