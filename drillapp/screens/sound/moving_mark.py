"""The mark that moves on a page along with what is heard.

Conventions: seconds on ``time.perf_counter``; a way is (seconds from the start of the sound, slot), in order
of time, with a slot of None where the mark goes. The mark is early or late by half a frame at most, 8 ms at
60 frames a second, and by what is not known better of the sound's latency.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock

from drillapp.screens.widgets.page import PageView

Way = Sequence[tuple[float, int | None]]
HALF_A_FRAME = 1 / 120


class MovingMark:
    """Moves one mark over one page after another; ``stop`` takes it away."""

    def __init__(self) -> None:
        self._steps: list[tuple[float, PageView, int | None]] = []
        self._next: Any = None
        self._page: PageView | None = None

    def follow(self, start: float, *parts: tuple[PageView, Way]) -> None:
        """Go along from when the sound is heard; parts that are heard in turn count from the same start."""
        self.stop()
        steps = [(start + at, page, slot) for page, way in parts for at, slot in way]
        self._steps = sorted(steps, key=lambda step: step[0], reverse=True)
        self._await()

    def stop(self) -> None:
        if self._next is not None:
            self._next.cancel()
        self._steps, self._next = [], None
        self._to(None, None)

    def _await(self) -> None:
        if self._steps:
            due = self._steps[-1][0] - HALF_A_FRAME - time.perf_counter()
            self._next = Clock.schedule_once(self._step, max(due, 0.0))

    def _step(self, _dt: float) -> None:
        """Make every step that is due; a frame that came late skips to the newest."""
        step = None
        while self._steps and self._steps[-1][0] - HALF_A_FRAME <= time.perf_counter():
            step = self._steps.pop()
        if step is not None:
            self._to(step[1], step[2])
        self._await()

    def _to(self, page: PageView | None, slot: int | None) -> None:
        if self._page is not None and self._page is not page:
            self._page.cursor = None
        if page is not None:
            page.cursor = slot
        self._page = page
