"""The running drill: its session, the question on screen, and the next one made ready meanwhile.

All calls of the session pass through one lock, since the next question is prepared in another thread while
the learner answers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Any

from drillapp.screens.sound.sounds import Sound
from drillapp.screens.sound.tempo import bounded, stepped

PAGE_TO_SOUND = "page_to_sound"
STRUM_IT, WRITE_IT_DOWN = "strum_it", "write_it_down"
TITLES = {
    PAGE_TO_SOUND: "Page to sound",
    "sound_to_page": "Sound to page",
    STRUM_IT: "Strum it",
    WRITE_IT_DOWN: "Write it down",
}
SCREENS = {STRUM_IT: "strum", WRITE_IT_DOWN: "write"}
REPLAY_STEP = 8
TIMES = (1, 2, 4)
AGAIN = 0.15
"""the part of the tempo by which a page is played slower or faster when it is practised again"""


@dataclass
class Drilling:
    """A session on its way through the drill and answer screens; ``clock`` gives seconds."""

    session: Any
    clock: Callable[[], float]
    count_in: int = 1
    voice: str = "steel"
    click: bool = False
    repeat: bool = False
    task: Any = None
    result: Any = None
    tempo: float = 0.0
    replay_tempo: float = 0.0
    times: int = 1
    """How often the page is played through in one take."""
    practising: bool = False
    """The question is answered, and its page played again for practice."""
    shift: float = 0.0
    """How much slower or faster than the questions' own tempo the learner wants them."""
    plays: list[int] = field(default_factory=list)
    _since: float = 0.0
    _lock: Lock = field(default_factory=Lock)

    def next(self) -> Any:
        """The next question, now on screen; None where the session is over."""
        with self._lock:
            self.task = self.session.next()
        self.result, self.practising = None, False
        if self.task is not None:
            self.tempo = self.replay_tempo = self.full_tempo
            self.plays = [0] * len(self.heard())
            self._since = self.clock()
        return self.task

    def prepare(self) -> Any:
        """Build the following question; for the worker's thread."""
        with self._lock:
            return self.session.prepare()

    def answer(self, index: int | None) -> Any:
        """Give the answer (None: Not sure); it is on disk when this returns."""
        with self._lock:
            seconds = self.clock() - self._since
            self.result = self.session.answer(self.task, index, seconds, tuple(self.plays), tempo=self.tempo)
        return self.result

    def strummed(self, hits: Any) -> Any:
        """Give a take; where it was kept, it is on disk when this returns. For practice it is only graded."""
        if self.practising:
            return self.session.practise_strum(self.task, hits, self.tempo, self.times)
        return self._by_hand(
            lambda seconds: self.session.answer_strum(self.task, hits, seconds, self.tempo, self.times)
        )

    def again(self, by: int) -> None:
        """Practise the page of this question, slower (-1) or faster (1); the next ones keep their tempo."""
        self.practising = True
        self.tempo = self.replay_tempo = bounded(round(self.tempo * (1 + by * AGAIN)))

    @property
    def full_tempo(self) -> float:
        """The tempo at which the question was put."""
        return bounded(self.task.tempo + self.shift)

    def change_times(self) -> None:
        """Once, twice, four times, and once again."""
        self.times = TIMES[(TIMES.index(self.times) + 1) % len(TIMES)]

    def written(self, sheet: Any) -> Any:
        """Give a filled sheet; it is on disk when this returns."""
        plays = sum(self.plays)
        return self._by_hand(
            lambda seconds: self.session.answer_dictation(self.task, sheet, seconds, plays, self.tempo)
        )

    def not_sure(self) -> Any:
        """Not sure, in place of playing or writing."""
        return self._by_hand(lambda seconds: self.session.not_sure(self.task, seconds))

    def _by_hand(self, give: Callable[[float], Any]) -> Any:
        with self._lock:
            result = give(self.clock() - self._since)
            if result.kept:
                self.result = result
        return result

    def summary(self) -> Any:
        with self._lock:
            return self.session.summary()

    @property
    def from_page(self) -> bool:
        """Whether the page is given and the sounds are to choose from."""
        return bool(self.task.drill == PAGE_TO_SOUND)

    def finding(self) -> Any:
        """What a Reading check has found so far."""
        with self._lock:
            return self.session.check.finding()

    @property
    def end(self) -> str:
        """The screen that shows what the session came to."""
        return "summary" if self.session.check is None else "finding"

    @property
    def place(self) -> str:
        """Where in the session the question stands; a check has no number of pages set beforehand."""
        return f"{self.task.number} of {self.task.of}" if self.task.of else f"page {self.task.number}"

    @property
    def over(self) -> bool:
        """Whether the question on screen was the last one."""
        return bool(self.session.over)

    @property
    def title(self) -> str:
        return TITLES.get(self.task.drill, self.task.drill)

    def change_tempo(self, by: int) -> None:
        tempo = stepped(self.tempo, by)
        if not self.practising:
            self.shift += tempo - self.tempo
        self.tempo = self.replay_tempo = tempo

    def sound(self, pattern: Any) -> Sound:
        """The pattern as the learner wants to hear it now."""
        return self._sound(pattern, self.tempo, self.task.chord)

    def change_replay(self, by: int) -> None:
        """Hear the answer slower or faster; the next question keeps its own tempo."""
        self.replay_tempo = bounded(self.replay_tempo + by * REPLAY_STEP)

    def replay(self, pattern: Any) -> Sound:
        """The pattern after the answer, at the tempo that it is to be heard at again."""
        return self._sound(pattern, self.replay_tempo, self.task.chord)

    @staticmethod
    def screen_of(task: Any) -> str:
        """The screen that puts a question."""
        return SCREENS.get(task.drill, "drill")

    def _sound(self, pattern: Any, tempo: float, chord: str) -> Sound:
        return Sound(pattern, tempo, chord, self.voice, self.count_in, self.repeat, self.click)

    def heard(self) -> tuple[Any, ...]:
        """The patterns that can be heard: the candidates, or the one that was written."""
        return self.task.question.candidates if self.from_page else (self.task.pattern,)

    def sounds_of(self, task: Any) -> tuple[Sound, ...]:
        """The sounds that a coming question will ask for."""
        if task.drill == STRUM_IT:
            return ()
        patterns = task.question.candidates if task.drill == PAGE_TO_SOUND else (task.pattern,)
        tempo = bounded(task.tempo + self.shift)
        return tuple(self._sound(pattern, tempo, task.chord) for pattern in patterns)
