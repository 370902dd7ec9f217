"""The one error of reading other programs' files."""

from __future__ import annotations

from drillapp.music.errors import CodedError, Named, PatternError


class InteropError(CodedError, ValueError):
    """A file that cannot be read as strum patterns: why, and in which measure (None: the file as a whole)."""

    def __init__(
        self, reason: str, measure: str | None = None, *, code: str, places: Named | None = None
    ) -> None:
        message = f"measure {measure}: {reason}" if measure is not None else reason
        super().__init__(message, code=code, places=places)
        self.reason = reason
        self.measure = measure


def in_measure(error: PatternError, measure: str | None) -> InteropError:
    """A fault of the music, said of the measure that it stands in."""
    return InteropError(error.message, measure, code=error.code, places=error.places)
