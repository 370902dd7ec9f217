"""A take of Strum it while it is played: its strokes so far, and when it is over.

Conventions: seconds from the first beat after the count-in.

A take in which everything was read right is over with its last stroke, so that the learner need not wait. Any
other goes on for a slow beat after the last slot was due or the last stroke was heard: who lags or falls
behind is heard to the end. However much is played, no more is listened to than the slowest tempo that is
still scored needs.
"""

from __future__ import annotations

from collections.abc import Iterable

from drillapp.drills.verdicts import STROKE_LAYERS
from drillapp.music import Pattern

from .grade import Hit, grade_strum, repeated
from .reading import moments
from .recognised import MOST_OFF
from .timing import MOST_LEAD

LEAST_AFTER, MOST_AFTER = 0.45, 1.15  # s that are listened for after the last slot or stroke
BESIDES = 4  # strokes before the first beat that a take right to its end may have


class Take:
    """The strokes of one take of a page, played ``times`` times through at ``tempo`` beats a minute.

    >>> from drillapp.music import parse
    >>> take = Take(parse("D D D D"), 60)
    >>> for beat in range(4):
    ...     take.add(Hit(float(beat), "down"))
    >>> take.complete, take.until
    (True, 3.0)
    """

    def __init__(
        self, pattern: Pattern, tempo: float, layers: Iterable[str] = STROKE_LAYERS, times: int = 1
    ) -> None:
        self.pattern, self.tempo, self.times = pattern, float(tempo), times
        self.hits: list[Hit] = []
        self.complete = False
        """Whether all that the page asks for was played, and played right."""
        self._layers = tuple(layers)
        whole = repeated(pattern, times)
        *due, self.seconds = moments(whole, self.tempo)
        self.due = tuple(due)
        """When each slot is due."""
        self._strokes = len(whole.strokes)
        self._ends_struck = whole.places[-1].struck
        self._after = min(max((1 + MOST_OFF) * 60 / self.tempo, LEAST_AFTER), MOST_AFTER)

    def add(self, hit: Hit) -> None:
        """Take a stroke in, the later ones later."""
        self.hits.append(hit)
        if (
            self._ends_struck
            and hit.time > self.due[-1] - 2 * MOST_LEAD
            and self._strokes <= len(self.hits) <= self._strokes + BESIDES
        ):
            graded = grade_strum(self.pattern, self.tempo, self.hits, self._layers, self.times)
            self.complete = graded.scored and not any(slot.misread for one in graded.rounds for slot in one)

    @property
    def until(self) -> float:
        """When the take is over, as far as can be told now."""
        if self.complete:
            return self.hits[-1].time
        last = max((hit.time for hit in self.hits), default=0.0)
        return min(max(last, self.due[-1]), (1 + MOST_OFF) * self.seconds) + self._after
