"""A page that plays round after round: rounds are rendered ahead in the worker and added to what sounds.

Conventions: seconds count from the first sample of the count-in, as heard. What is wished for may
change while it plays; rounds that are not rendered yet follow it.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
from kivy.clock import Clock

from drillapp.drills.play_along import LONGEST, Round, Wish, next_round
from drillapp.music import Pattern
from drillapp.music.slots import Number
from drillapp.screens.sound.sounds import RATE, strokes_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from drillapp.screens.frame.worker import Worker
    from drillapp.screens.sound.speaker import Speaker
    from drillapp.sound.players.facade import Handle, Stream
    from drillapp.sound.rounds import Rounds
    from drillapp.sound.strokes import Samples

KEY = "along"
AHEAD = 1.5
"""Seconds before the end of what is rendered at which the next round is asked for."""
STRAY = 0.06
"""Seconds that the clock may stray from where the library says it is before it is set again."""


@dataclass(frozen=True)
class Heard:
    """A round in its place: ``start`` in s, and the s from there at which each place of the page begins."""

    round: Round
    start: float
    places: NDArray[np.float64]


class Along:
    """``moved`` is told, each frame, the round and place that are heard; None and None in the count-in.

    ``ended`` is told how many seconds of the page were heard, and whether it stopped by itself.
    """

    def __init__(
        self,
        speaker: Speaker,
        worker: Worker,
        moved: Callable[[Round | None, int | None], None],
        ended: Callable[[float, bool], None],
    ) -> None:
        self._speaker, self._worker = speaker, worker
        self._moved, self._ended = moved, ended
        self._clock: Any = None
        self._clear()

    def _clear(self) -> None:
        self._take = object()  # what the worker hands back for another take comes too late
        self._rounds: Rounds | None = None
        self._heard: list[Heard] = []
        self._handle: Handle | None = None
        self._stream: Stream | None = None
        self._end = self._lead = 0.0
        self._asked = False
        self._tempo: Number | None = None

    @property
    def running(self) -> bool:
        """Whether it plays, or is getting ready to."""
        return self._clock is not None

    @property
    def seconds(self) -> float:
        """How much of the page was heard, the count-in left out."""
        if self._handle is None:
            return 0.0
        return max(min(self._now(), self._end) - self._lead, 0.0)

    def start(self, pattern: Pattern, wish: Wish, voice: str) -> None:
        """Count in and play."""
        self._clear()
        self.wish, self._pattern = wish, pattern
        take = self._take
        self._clock = Clock.schedule_interval(self._look, 0)
        self._worker.do(partial(self._prepare, pattern, wish, voice), partial(self._begin, take))

    def stop(self, by_itself: bool = False) -> None:
        """Fall silent and tell how long it was; nothing where it does not run."""
        if self._clock is None:
            return
        seconds = self.seconds
        self._clock.cancel()
        self._clock = None
        self._clear()
        self._speaker.stop()
        self._moved(None, None)
        self._ended(seconds, by_itself)

    def change(self, wish: Wish, tempo: Number | None = None) -> None:
        """Wish for something else from the next round on; ``tempo``: one chosen by hand."""
        self.wish = wish
        self._tempo = tempo if tempo is not None else self._tempo

    @property
    def last(self) -> Round | None:
        """The last round that is rendered."""
        return self._heard[-1].round if self._heard else None

    def _prepare(self, pattern: Pattern, wish: Wish, voice: str) -> tuple[Rounds, Round, Samples, Samples]:
        """In the worker: the strokes, the count-in and the first round."""
        from drillapp.sound.rounds import Rounds

        rounds = Rounds(pattern, lambda chord: strokes_of(chord, voice), RATE)
        rounds.ready(wish.chords)
        first = next_round(wish, len(pattern.bars))
        return rounds, first, rounds.count_in(first.tempo), rounds.samples(first)

    def _begin(self, take: object, made: tuple[Rounds, Round, Samples, Samples]) -> None:
        if take is not self._take:
            return
        self._rounds, first, lead, samples = made
        self._lead = self._end = len(lead) / RATE
        self._add(first, len(samples))
        whole = np.concatenate([lead, samples])
        self._stream = self._speaker.stream(KEY, whole, LONGEST + 60)
        if self._stream is None:  # the library only plays what is whole
            whole = np.concatenate([whole, *self._many()])
            self._handle = self._speaker.play_samples(KEY, whole)
        else:
            self._handle = self._stream
        self._started = time.perf_counter() + self._speaker.latency

    def _many(self) -> list[Samples]:
        """All rounds that there is time for, for a library that plays whole sounds only."""
        assert self._rounds is not None
        parts = []
        while self._end - self._lead < LONGEST / 4:
            before = [heard.round for heard in self._heard]
            made = next_round(self.wish, len(self._pattern.bars), before[-1])
            parts.append(self._rounds.samples(made, before))
            self._add(made, len(parts[-1]))
        return parts

    def _add(self, made: Round, length: int) -> None:
        assert self._rounds is not None
        self._heard.append(Heard(made, self._end, self._rounds.places(made) / RATE))
        self._end += length / RATE

    def _now(self) -> float:
        """Seconds that were heard: by the clock, set again where the library is elsewhere."""
        assert self._handle is not None
        now = time.perf_counter() - self._started
        told = self._handle.position
        if told is not None and now > 0 and abs(told - now) > STRAY:
            self._started += now - told
            now = told
        return now

    def _look(self, _dt: float) -> None:
        if self._handle is None:
            return
        if not self._handle.playing:
            self.stop(by_itself=True)
            return
        now = self._now()
        if now - self._lead > LONGEST:
            self.stop(by_itself=True)
            return
        if self._stream is not None and not self._asked and now > self._end - AHEAD:
            self._ask()
        heard = next((one for one in reversed(self._heard) if one.start <= now), None)
        if heard is None:
            self._moved(None, None)
        else:
            place = int(np.searchsorted(heard.places, now - heard.start, side="right")) - 1
            self._moved(heard.round, max(place, 0))

    def _ask(self) -> None:
        """Have the next round rendered."""
        assert self._rounds is not None
        self._asked = True
        before, rounds = [heard.round for heard in self._heard], self._rounds
        made = next_round(self.wish, len(self._pattern.bars), before[-1], self._tempo)
        self._tempo = None
        job = partial(rounds.samples, made, before)
        self._worker.do(job, partial(self._extend, self._take, made))

    def _extend(self, take: object, made: Round, samples: Samples) -> None:
        if take is not self._take or self._stream is None:
            return
        self._asked = False
        self._stream.extend(samples)
        self._add(made, len(samples))
