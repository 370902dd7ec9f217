"""Pattern text: reading it and writing it.

Spaces part beats, ``|`` parts bars, and the slots of a beat share it evenly::

    D U   strike down, strike up, the strings ring     X     struck and muted, as the hand travels there
    d u   muted, direction given                       >     before a stroke: accented
    -     not struck, what sounds goes on sounding     .     not struck, the strings are stopped
"""

from __future__ import annotations

import re
from fractions import Fraction

from .errors import PatternError
from .meter import Meter
from .pattern import MAX_BARS, Pattern, check_tempo
from .slots import DIVISIONS, REST, RING, Bar, Beat, Hand, Number, Slot, natural_hand

MAX_TEXT = 20_000
SWING_RANGE = (Fraction(1), Fraction(4))
_MEANT = {
    "x": "X",
    "–": "-",
    "—": "-",
    "_": "-",
    "↓": "D",
    "↑": "U",
    "×": "X",
    "*": "X",
    "^": ">",
    ",": ".",
    "0": ".",
}
_HANDS: dict[str, Hand] = {"D": "down", "U": "up", "d": "down", "u": "up"}


def parse(text: str, meter: str = "4/4", tempo: Number = 90, swing: object = None) -> Pattern:
    """The pattern that ``text`` writes, in ``meter``, at ``tempo`` beats a minute.

    ``swing`` is None or the ratio of long to short eighth: ``"2:1"``, ``(2, 1)`` or a number.
    Raises PatternError with line and column of the first fault and what would be right.

    >>> [str(s.at) for s in parse("D- DU -U DU").strokes]
    ['0', '1', '3/2', '5/2', '3', '7/2']
    """
    if not isinstance(text, str):
        raise PatternError(
            f"pattern text is a string such as 'D- DU -U DU', not {type(text).__name__}",
            code="text-type",
            places={"type": type(text).__name__},
        )
    if len(text) > MAX_TEXT:
        raise PatternError(
            f"the text has {len(text)} characters; a pattern needs at most {MAX_TEXT}",
            code="text-long",
            places={"length": len(text), "most": MAX_TEXT},
        )
    measure = meter if isinstance(meter, Meter) else Meter.parse(meter)
    check_tempo(tempo)
    return Pattern(_bars(text, measure), measure, tempo, read_swing(swing))


def format_pattern(pattern: Pattern) -> str:
    """Canonical text of the pattern: one space between beats, `` | `` between bars, silence as dots.

    >>> format_pattern(parse("-U  DU | D. -U", "2/4"))
    '.U DU | D. .U'
    """
    return pattern.text


def read_swing(swing: object) -> Fraction | None:
    """The swing ratio of ``"2:1"``, ``(2, 1)``, a number or None. Raises PatternError."""
    if swing is None or swing == "" or swing == "straight":
        return None
    try:
        if isinstance(swing, str):
            first, _, second = swing.partition(":")
            ratio = Fraction(first.strip()) / Fraction(second.strip() or "1")
        elif isinstance(swing, (tuple, list)):
            first_part, second_part = swing
            ratio = Fraction(first_part) / Fraction(second_part)
        elif isinstance(swing, (int, float, Fraction)) and not isinstance(swing, bool):
            ratio = Fraction(swing).limit_denominator(64)
        else:
            raise ValueError
    except (ValueError, TypeError, ZeroDivisionError, OverflowError):
        raise PatternError(
            f"{swing!r} is not a swing ratio; write long to short, such as 2:1 or 3:2",
            code="swing",
            places={"swing": swing},
        ) from None
    if not SWING_RANGE[0] <= ratio <= SWING_RANGE[1]:
        raise PatternError(
            f"a swing of {ratio.numerator}:{ratio.denominator} is outside 1:1 (even) to 4:1",
            code="swing-range",
            places={"long": ratio.numerator, "short": ratio.denominator},
        )
    return ratio if ratio != 1 else None


def _bars(text: str, meter: Meter) -> tuple[Bar, ...]:
    bars: list[Bar] = []
    beats: list[Beat] = []
    line, start = 1, 0
    pieces = list(re.finditer(r"\n|\||[^\s|]+", text))
    opened = False  # by a barline before the first beat
    for piece in pieces:
        if piece[0] == "\n":
            line, start = line + 1, piece.end()
            continue
        at = (line, piece.start() - start + 1)
        if piece[0] == "|":
            if beats:
                _close(bars, beats, meter, at)
            elif bars or opened:
                raise PatternError(
                    "two barlines with nothing between; write a whole bar or take one away",
                    *at,
                    code="bar-empty",
                )
            opened = True
            continue
        if len(beats) == len(meter.beats):
            raise PatternError(
                f"{meter.text} has {len(meter.beats)} beats in a bar and this is one more; "
                "put | before it, or take it away",
                *at,
                code="bar-long",
                places={"meter": meter.text, "right": len(meter.beats)},
            )
        beats.append(_read_beat(piece[0], *at))
    if beats:
        _close(bars, beats, meter, (line, len(text) - start + 1))
    if not bars:
        example = " ".join(["D"] * len(meter.beats))
        raise PatternError(
            f"there is no stroke here; write {len(meter.beats)} beats, such as {example}",
            code="text-empty",
            places={"right": len(meter.beats), "example": example},
        )
    return tuple(bars)


def _close(bars: list[Bar], beats: list[Beat], meter: Meter, at: tuple[int, int]) -> None:
    missing = len(meter.beats) - len(beats)
    if missing:
        more = "1 more beat" if missing == 1 else f"{missing} more beats"
        raise PatternError(
            f"bar {len(bars) + 1} has {len(beats)} of the {len(meter.beats)} beats of {meter.text}; "
            f"write {more} (spaces part beats, - keeps a place that is not struck)",
            *at,
            code="bar-short",
            places={
                "bar": len(bars) + 1,
                "beats": len(beats),
                "right": len(meter.beats),
                "meter": meter.text,
                "missing": missing,
            },
        )
    bars.append(tuple(beats))
    beats.clear()
    if len(bars) > MAX_BARS:
        raise PatternError(
            f"a pattern has at most {MAX_BARS} bars", *at, code="text-bars", places={"most": MAX_BARS}
        )


def _read_beat(word: str, line: int, column: int) -> Beat:
    slots: list[Slot] = []
    accent = False
    struck: list[bool] = []
    marks = sum(1 for mark in word if mark != ">")
    for offset, mark in enumerate(word):
        here = (line, column + offset)
        if mark == ">":
            if accent:
                raise PatternError("two accents on one stroke; write one >", *here, code="accent-twice")
            accent = True
            continue
        if mark in "-.":
            if accent:
                raise PatternError(
                    f"an accent needs a stroke after it, not {mark!r}; write >D, >U or >X",
                    *here,
                    code="accent-unstruck",
                    places={"mark": mark},
                )
            slots.append(RING if mark == "-" else REST)
        elif mark == "X":
            hand = natural_hand(len(slots), marks, len(struck) > 1 and struck[1])
            slots.append(Slot("strike", hand, True, accent))
        elif mark in _HANDS:
            slots.append(Slot("strike", _HANDS[mark], mark in "du", accent))
        else:
            if mark in _MEANT:
                raise PatternError(
                    f"{mark!r} is not a sign of pattern text; did you mean {_MEANT[mark]}?",
                    *here,
                    code="mark-meant",
                    places={"mark": mark, "meant": _MEANT[mark]},
                )
            raise PatternError(
                f"{mark!r} is not a sign of pattern text; use D U X d u > - .",
                *here,
                code="mark-unknown",
                places={"mark": mark},
            )
        struck.append(slots[-1].action == "strike")
        accent = False
    if accent:
        raise PatternError(
            "an accent needs a stroke after it; write >D, >U or >X",
            line,
            column + len(word) - 1,
            code="accent-last",
        )
    if len(slots) not in DIVISIONS:
        raise PatternError(
            f"a beat has 1, 2, 3, 4 or 6 slots and this one has {len(slots)}; part beats with a space",
            line,
            column,
            code="beat-slots",
            places={"slots": len(slots)},
        )
    return tuple(slots)
