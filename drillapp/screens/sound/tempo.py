"""The tempos that a page may be heard at, in beats a minute. Pure: no Kivy."""

from __future__ import annotations

from drillapp.music.slots import Number

TEMPO_STEP = 4
SLOWEST, FASTEST = 30, 240


def bounded(tempo: Number) -> Number:
    """The nearest tempo that is allowed."""
    return min(max(tempo, SLOWEST), FASTEST)


def stepped(tempo: Number, by: int) -> Number:
    """Some steps faster, or slower where ``by`` is negative."""
    return bounded(tempo + by * TEMPO_STEP)
