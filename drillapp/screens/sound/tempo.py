"""The tempos that a page may be heard at, in beats a minute. Pure: no Kivy."""

from __future__ import annotations

TEMPO_STEP = 4
SLOWEST, FASTEST = 30, 240


def bounded(tempo: float) -> float:
    """The nearest tempo that is allowed."""
    return min(max(tempo, SLOWEST), FASTEST)


def stepped(tempo: float, by: int) -> float:
    """Some steps faster, or slower where ``by`` is negative."""
    return bounded(tempo + by * TEMPO_STEP)
