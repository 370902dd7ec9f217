"""Faults that can be said in any language, and the one of the music package: a fault in written text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Named = Mapping[str, object]


class CodedError(Exception):
    """A fault: its English sentence, a code of its own, and the values that stand in the sentence by name.

    A fault that says another one again gives that one's places, and its code as the place ``why``.
    """

    def __init__(self, message: str, *, code: str, places: Named | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.code = code
        self.places = dict(places or {})


class PatternError(CodedError, ValueError):
    """A fault in pattern text or in what comes with it.

    ``line`` and ``column`` count from 1 and point at the first wrong character; faults of meter, tempo
    or swing, which stand outside the text, carry line 1 and the column within their own text.
    """

    def __init__(
        self, message: str, line: int = 1, column: int = 1, *, code: str, places: Named | None = None
    ) -> None:
        super().__init__(message, code=code, places=places)
        self.line = line
        self.column = column

    def __str__(self) -> str:
        return f"{self.line}:{self.column}: {self.message}"

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, (self.message, self.line, self.column, self.code, self.places)


def _again(message: str, line: int, column: int, code: str, places: Named) -> PatternError:
    return PatternError(message, line, column, code=code, places=places)
