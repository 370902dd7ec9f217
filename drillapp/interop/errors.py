"""The one error of reading other programs' files."""

from __future__ import annotations


class InteropError(ValueError):
    """A file that cannot be read as strum patterns: why, and in which measure (None: the file as a whole)."""

    def __init__(self, reason: str, measure: str | None = None) -> None:
        super().__init__(f"measure {measure}: {reason}" if measure is not None else reason)
        self.reason = reason
        self.measure = measure
