"""Write it down: hear the sound, fill a sheet of slots with it."""

from __future__ import annotations

from collections.abc import Iterator
from operator import itemgetter

from drillapp.drills.dictation import WRITTEN_VERDICTS, grade_dictation, ruled
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.tasks import Task
from drillapp.music import FEATURE_TABLE, Pattern
from drillapp.music.slot_sheet import Sheet

from .by_hand import SlotBySlot, not_read, slots_recorded, whole_pages
from .kind import HEARINGS, Graded, InCheck, Kind, Put, Recorded, Turn, sounding

NOT_WRITTEN = frozenset(name for name, row in FEATURE_TABLE.items() if not row.by_dictation)
WRITE_A_SLOT = 1.5  # s to fill a slot
WRITTEN_FROM = 3  # open signs
EVERY = 4  # a page in so many of a check is written, so that an unskilled hand is not taken for misreading


def sheet_for(task: Task[Pattern | None]) -> Sheet:
    """The empty sheet that a task puts."""
    ruler = task.question if isinstance(task.question, Pattern) else ruled(task.pattern)
    return Sheet(ruler, (None,) * len(ruler.places))


def _pages(turn: Turn) -> Iterator[Put[Pattern | None]]:
    """Patterns to write down, each with the slots to write it on: no more than may be, else few.

    Where few are to be filled, a pattern without a stroke between the beats has a slot for each beat.
    """
    puts: list[tuple[int, Put[Pattern | None]]] = []
    for put in whole_pages(turn):
        plain = put.pattern if all(len(beat) == 1 for bar in put.pattern.bars for beat in bar) else None
        ruler = plain if plain is not None and turn.size.slow else ruled(put.pattern)
        sheet = Put[Pattern | None](put.base, put.pattern, put.layers, put.shown, ruler)
        puts.append((len(ruler.places), sheet))
    fitting = [one for one in puts if one[0] <= turn.size.slots]
    yield from (put for _, put in fitting or sorted(puts, key=itemgetter(0)))


def _grade(task: Task[Pattern | None], sheet: Sheet | None, tempo: float) -> Graded:
    """What was written, against what sounded."""
    if sheet is None:
        return not_read(task)
    result = grade_dictation(task.pattern, sheet, task.layers)
    detail = SlotBySlot(result.ruler, result.slots, WRITTEN_VERDICTS, written=result.written)
    extra = {"sheet": result.written.text, "slots": slots_recorded(result.slots)}
    return Graded(result.right, result.signs, detail, Recorded(extra=extra))


def _sound(task: Task[Pattern | None]) -> tuple[Pattern, ...]:
    return (task.pattern,)


def _seconds(pattern: Pattern, tempo: float) -> float:
    slots = sum(len(beat) for bar in pattern.bars for beat in bar)
    return HEARINGS * sounding(pattern, tempo) + WRITE_A_SLOT * slots


def _signs(pattern: Pattern, layers: tuple[str, ...]) -> tuple[SignRead, ...]:
    return grade_dictation(pattern, [place.slot for place in pattern.places], layers).signs


WRITE_IT_DOWN: Kind[Pattern | None, Sheet] = Kind(
    name="write_it_down",
    title="Write it down",
    about="hear it, fill the slots",
    screen="write",
    shows="hand_result",
    from_page=False,
    needs_ear=True,
    make=_pages,
    sounds=_sound,
    grade=_grade,
    seconds=_seconds,
    cannot_ask=NOT_WRITTEN,
    from_signs=WRITTEN_FROM,
    check=InCheck(EVERY, _signs),
)
