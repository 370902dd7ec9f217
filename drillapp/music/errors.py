"""The one error of the music package: a fault in written text, with its place."""

from __future__ import annotations


class PatternError(ValueError):
    """A fault in pattern text or in what comes with it.

    ``line`` and ``column`` count from 1 and point at the first wrong character; faults of meter, tempo
    or swing, which stand outside the text, carry line 1 and the column within their own text.
    """

    def __init__(self, message: str, line: int = 1, column: int = 1) -> None:
        super().__init__(f"{line}:{column}: {message}")
        self.message = message
        self.line = line
        self.column = column

    def __reduce__(self) -> tuple[type[PatternError], tuple[str, int, int]]:
        return (type(self), (self.message, self.line, self.column))
