"""A pseudo-language run: what goes through the catalog stands in brackets, and everything does."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

from drillapp import words
from drillapp.desk.class_table import ClassRow, ClassTable, MisreadByMost
from drillapp.desk.collecting import FileLine
from drillapp.desk.counts import Share
from drillapp.desk.desk import ClassLine
from drillapp.desk.roll import Roll
from drillapp.desk.student import Practised, ReadAs, SignFigures, Strummed, student_figures
from drillapp.drills import Explanation, Finding, SlotResult, StrumResult, Told, WrittenSlot
from drillapp.drills.dictation import WRITTEN_VERDICTS
from drillapp.drills.kinds import KINDS
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.plan import NO_FRESH, NO_PAGE, WAITS, Change, Item, Reason
from drillapp.drills.verdicts import VERDICTS
from drillapp.learning import Expected, Forecast
from drillapp.music import parse
from drillapp.practice.plan import PlanLine
from drillapp.practice.sitting import SummaryLine
from drillapp.practice.standing import Confusion
from drillapp.records import Collected, Entry, HandIn, HandInError, SchoolClass, SetWork
from drillapp.records.entries import SignEntry
from drillapp.records.errors import Remark
from drillapp.records.work_rows import WorkDone
from drillapp.sound import Calibration
from drillapp.words import (
    after,
    answers,
    care,
    checks,
    decks,
    desk,
    desk_screens,
    faults,
    files,
    first,
    hands,
    keys,
    latency,
    lessons,
    places,
    plan,
    play,
    recovery,
    reports,
    set_work,
    settings,
    signs,
    slots,
    standing,
    students,
    window,
)

PAGE = parse("D- DU -U DU", tempo=90)
SLOTS = (SlotResult(Fraction(0), frozenset({"early"}), 0), SlotResult(Fraction(1), frozenset(), 2))
TAKE = replace(
    StrumResult(SLOTS, 0.0, 0.0, 0.01, 90.0, ()),
    rounds=(SLOTS, (SLOTS[0], replace(SLOTS[1], verdicts=frozenset({"extra"})))),
)
PLAYED = SlotBySlot(PAGE, SLOTS, VERDICTS, played=TAKE)
SHEET = (WrittenSlot(Fraction(2), frozenset({"extra"}), 4),)
WRITTEN = SlotBySlot(PAGE, SHEET, WRITTEN_VERDICTS, written=PAGE)
FOUND = Finding(("tie",), ("beat",), ("skip",), {"tie": (1, 5)}, 0.05)
TOLD = Told("stroke", 4, "tied on", "struck"), Told("meter", 0, "3 beats", "4 beats")
TAPPED = Calibration(0.142, 0.011, 12)
DAY = date(2026, 11, 3)
NONE = Expected("tie", 0.1, 0.5, 0.8, 0)
WIDE = Expected("tie", 0.1, 0.5, 0.8, 2)
HALF = Expected("tie", 0.4, 0.5, 0.6, 9)
MOST = Expected("tie", 0.7, 0.8, 0.9, 9)
MOVED = SummaryLine("tie", 3, HALF, MOST)
LINE = PlanLine("tie", "repair", 3, Reason("repair", "tie", HALF))
FOLDER = Path("/tmp")
REFUSED = HandInError("", code="hand-in-no-file", places={"path": "a"})
MOST_MISREAD = MisreadByMost("tie", 7, 9, "tied on", "struck", 418, 4)
WORK = SetWork("Ida", 0.0, DAY, 10, ("house", "yard"), ("tie",), ("staff",), 0.8)
DONE = WorkDone(WORK, 1, 1, 9.0), WorkDone(WORK, 2, 4, 21.0)
CLASS = SchoolClass("c", "[Tuesday]", 0.0)
SHARES = Share(9, 5, 0.4, 0.5, 0.6), Share(0, 0, 0.0, 0.5, 1.0)
SIGN = SignFigures("tie", SHARES[0], *SHARES, (), True, 20)
READ = Entry(
    0.0, 0, "D- DU", 90.0, ("staff",), True, True, 8.0, ("tie",), (SignEntry(("tie",), "a", "b", True, 0.0),)
)
ONE, TWO = (replace(student_figures([READ] * count), signs=(SIGN,)) for count in (1, 2))
NOBODY = student_figures([])
WELL = replace(SIGN, all=Share(90, 85, 0.88, 0.94, 0.97), weak=False)
COMING = replace(SIGN, all=Share(90, 60, 0.55, 0.64, 0.75), weak=False)
UNTOLD = replace(SIGN, all=SHARES[1], weak=False)
WRONG = ReadAs("tie", "tied on", "struck", 7, 24)
MIXED = replace(
    TWO, signs=(SIGN, WELL), read_as=(WRONG,), diagnosis=replace(TWO.diagnosis, weak=("tie",)), weeks=()
)
ABSENT = ClassTable((), (ClassRow("i", "Ida", 0, 0.0, 0, None, ()),), (), 0.05)
OLD = {"oldest": "2.0", "reason": ""}
SCREEN = {"display": ":0", "libraries": "libGL.so.1", "packages": "libgl1", "oldest": "2.0", "reason": "GLX"}

SAID: dict[Callable[..., object], list[tuple[object, ...]]] = {
    after.no_other_page: [()],
    after.place: [(1, 12, False, False), (1, 12, True, False), (1, 12, False, True)],
    after.kept_pages: [()],
    after.kept: [("House",)],
    after.keeping: [(True,), (False,)],
    after.row_played: [(1, 1), (2, 4)],
    after.row_sounded: [()],
    after.row_written: [()],
    answers.explained: [
        (Explanation((one,), "tie", PAGE, (4,), (4,)),) for one in (*TOLD, replace(TOLD[0], read=None))
    ]
    + [(Explanation(TOLD, "tie", PAGE, (4,), (4,)),)],
    answers.pick_verdict: [("B", "B"), ("B", None), ("B", "C")],
    answers.written_page: [(True, "A"), (False, "A")],
    answers.chosen_page: [("A",)],
    care.cautions: [()],
    recovery.answers_saved: [(1, "§"), (7, "§")],
    recovery.could_not: [("§",)],
    checks.finding_sentence: [
        (FOUND,),
        (replace(FOUND, weak=()),),
        (replace(FOUND, undecided=("skip",) * 5),),
        (replace(FOUND, weak=(), read={}, undecided=()),),
        (replace(FOUND, weak=(), undecided=()),),
        (replace(FOUND, weak=(), read={"tie": (0, 5)}),),
    ],
    checks.finding_heading: [(1, 9, 300.0), (2, 9, 300.0)],
    checks.sureness: [(0.05,)],
    checks.standing_name: [(one,) for one in checks.STANDINGS],
    checks.no_check: [("no pattern",)],
    decks.found: [(0, ()), (0, ("tie",)), (1, ()), (2, ("tie",))],
    decks.pattern_of: [("Stairs", "House")],
    decks.meter_and_bars: [("4/4", 2)],
    decks.taken_out: [("house",)],
    decks.not_saved: [(["House"],), (["House", "Yard"],)],
    decks.faults_heading: [(1,), (2,)],
    decks.own_copy: [("House",)],
    decks.written_to: [(FOLDER / "a.pdf",)],
    decks.sheet_written_to: [(FOLDER / "a.pdf", 1), (FOLDER / "a.pdf", 2)],
    decks.sheet_not_written: [()],
    decks.kept_file: [()],
    decks.progress: [(1, 2)],
    decks.up_to: [(FOLDER,)],
    desk.file_line: [
        (FileLine(FOLDER / "a", Collected(n, 2, ("i",), gone), ("[Ida]",)),)
        for n, gone in ((1, ()), (2, ("[Zoë]",)))
    ]
    + [(FileLine(FOLDER / "a", Collected(1, 2, ())),), (FileLine(FOLDER / "a", fault=REFUSED),)],
    desk.collected_heading: [
        ((),),
        ((FileLine(FOLDER, Collected(1, 2, ())),),),
        ((FileLine(FOLDER, Collected(4, 2, ())), FileLine(FOLDER, fault=REFUSED)),),
    ],
    desk.collecting: [(1, 30)],
    desk.holds: [("Ida", 0, None, None), ("Ida", 1, DAY, DAY), ("Ida", 2, DAY, DAY)],
    desk.handed_in: [(HandIn(FOLDER / "a", 1, 1, ""),), (HandIn(FOLDER / "a", 1, 2, ""),)],
    desk_screens.what_a_pin_does: [()],
    desk_screens.forgotten: [(FOLDER,)],
    desk_screens.wait: [(1.0,), (9.0,)],
    desk_screens.taken_off: [()],
    desk_screens.pins_differ: [()],
    desk_screens.class_name: [(ClassLine(None, 1, 0),), (ClassLine(CLASS, 1, 0),)],
    desk_screens.class_note: [(ClassLine(None, 1, 0),), (ClassLine(None, 2, 0),)],
    desk_screens.roll_read: [(Roll(("Ida",)),), (Roll(("Ida", "Zoë"), ("Ida",)),)],
    desk_screens.file_note: [
        (FileLine(FOLDER, Collected(1, 2, ())),),
        (FileLine(FOLDER, Collected(2, 2, ())),),
        (FileLine(FOLDER, fault=REFUSED),),
    ],
    desk_screens.watching: [(None,), (FOLDER,)],
    desk_screens.stopped: [(1,), (2,)],
    desk_screens.no_class: [()],
    desk_screens.more_names: [("Tuesday",)],
    desk_screens.no_class_name: [()],
    desk_screens.years: [(1,), (2,)],
    desk_screens.old_records: [((),), (("Ida",),)],
    desk_screens.old_deleted: [(1,), (2,)],
    desk_screens.backed_up: [(FOLDER / "a", 1), (FOLDER / "a", 2)],
    desk_screens.given_up: [()],
    desk_screens.kept: [()],
    desk_screens.archived: [("Ida", True), ("Ida", False)],
    desk_screens.every_deck: [()],
    desk_screens.beside: [("[a]", "[b]")],
    files.is_there: [(FOLDER / "a",)],
    files.not_there: [(FOLDER / "a",)],
    files.not_listed: [(FOLDER, "no")],
    files.no_day: [("x",)],
    reports.head: [(name,) for name in reports.HEADS],
    reports.part: [(name,) for name in reports.PARTS],
    reports.about: [("[Tuesday]", DAY, DAY, True), ("", None, DAY, False)],
    reports.pages_of: [("House",)],
    reports.reader_name: [(name,) for name in reports.READERS],
    reports.form_name: [(name,) for name in reports.FORMS],
    reports.to_print: [("Ida",)],
    reports.who_may_see: [("student",), ("class",)],
    reports.written: [(FOLDER / "a", True), (FOLDER / "a", False)],
    reports.not_written: [(FOLDER, "§")],
    reports.how_ranges_are_read: [()],
    reports.how_cells_are_read: [()],
    reports.how_weeks_are_read: [()],
    reports.of_ten: [(SIGN, True), (SIGN, False), (replace(SIGN, first_seen=SHARES[1]), True)],
    reports.week_cell: [(9, 0.4, 0.5, 0.6), (2, 0.1, 0.5, 0.9)],
    reports.of_ten_alone: [(0.5,)],
    reports.missing: [(20,)],
    reports.times: [(7, 24)],
    reports.not_misread: [()],
    reports.not_handed_in: [(ABSENT,), (replace(ABSENT, rows=()),)],
    reports.to_set_next: [(("tie",),), ((),)],
    reports.error_rate: [(0.05,)],
    reports.sheet_number: [(1, 2)],
    reports.nobody: [()],
    reports.parents_title: [("Ida",)],
    reports.parents_finding: [
        ("Ida", NOBODY),
        ("Ida", MIXED),
        ("Ida", replace(MIXED, signs=(SIGN,))),
        ("Ida", replace(ONE, signs=(WELL,))),
        ("Ida", replace(ONE, signs=(UNTOLD,))),
    ],
    reports.practised: [(ONE,), (TWO,)],
    reports.week_minutes: [(Practised(DAY, 2, 21.0),)],
    reports.in_plain_words: [(SIGN,), (WELL,), (COMING,), (UNTOLD,)],
    reports.taken_for: [(MIXED,)],
    reports.how_parents_read: [()],
    reports.at_home: [(ONE,), (MIXED,)],
    set_work.terms: [(WORK, {"house": "House"}), (WORK, {})],
    set_work.layers: [(("staff",),)],
    set_work.running: [(one,) for one in DONE],
    set_work.for_whom: [("Ida",)],
    set_work.minutes_a_day: [(None,), (1,), (10,)],
    set_work.pace_set: [(None,), (0.8,)],
    set_work.until: [(DAY,)],
    set_work.given: [(WORK, 0, 0), (WORK, 1, 2), (WORK, 2, 1)],
    set_work.days: [(one,) for one in DONE],
    students.by_most: [((),), ((MOST_MISREAD,),), ((replace(MOST_MISREAD, read=None),),)],
    students.evidence: [(MOST_MISREAD,), (replace(MOST_MISREAD, weeks=1),)],
    students.others_by_most: [((MOST_MISREAD, MOST_MISREAD),)],
    students.seen: [(None, DAY), *((DAY - timedelta(gone), DAY) for gone in (0, 1, 3, 99))],
    students.work: [(None, False), (DONE[0], True)],
    students.minutes: [(9.0,)],
    students.legend: [(0,), (1,), (2,)],
    students.order_name: [(order,) for order in students.ORDERS],
    students.period: [(None,), (1,), (4,)],
    students.heading: [(NOBODY,), (ONE,), (TWO,)],
    students.diagnosis: [
        (NOBODY, 0.05),
        (ONE, 0.05),
        (replace(ONE, diagnosis=replace(ONE.diagnosis, weak=("tie",)), signs=()), 0.05),
    ],
    students.sign_note: [(SIGN,), (replace(SIGN, weak=False),), (replace(SIGN, all=SHARES[1]),)],
    students.first_and_met: [(SIGN,)],
    students.read_as: [(ReadAs("tie", "tied on", "struck", 7, 24),)],
    students.timing: [(None,)] + [(Strummed(n, lead, 0.02, 0, 0),) for n in (1, 2) for lead in (0.01, -0.01)],
    students.ask_delete: [("Ida", 1), ("Ida", 2)],
    students.deleted: [("Ida", 1), ("Ida", 2)],
    students.one_now: [("Ida", "Zoë")],
    students.parted: [("Zoë",)],
    students.record_note: [(1, DAY), (2, DAY)],
    students.misread: [(3, 5)],
    faults.fault_said: [(Remark("", code="journal-rescued", places={"count": n}),) for n in (1, 2)],
    faults.went_wrong: [("a fault", "a.log")],
    keys.refused: [("unusable", ""), ("taken", "f", "down")] + [("spoken for", key) for key in keys.SPOKEN],
    hands.hand_there: [
        (Explanation((Told("any", index, way),), "tie", PAGE, (), ()),)
        for way in ("struck", "tied on", "up", "swung", "3 beats", "a slot later")
        for index in (0, 3)
    ],
    hands.sign_at: [(PAGE, 0), (PAGE, 1), (PAGE, 3)],
    hands.hand_of: [(slots.STRUMMED, "left out", "up"), (slots.STRUMMED, "late", "up")],
    keys.keys_said: [(("page up",),)],
    keys.general_keys: [()],
    keys.keys_in_use: [("f", "j", "space", "shift")],
    latency.tapped: [
        (TAPPED,),
        (replace(TAPPED, latency=-0.02),),
        *((replace(TAPPED, refusal=why),) for why in ("too few", "uneven", "far off")),
    ],
    latency.kept: [(TAPPED, DAY, True), (None, DAY, True), (TAPPED, DAY, False)],
    latency.kept_now: [()],
    latency.disturbed: [()],
    latency.taps_so_far: [(0,), (1,), (2,)],
    latency.looks_wrong: [(True,), (False,)],
    **{
        say: [("tie",), ("beat",), ("swing",), ("meter",)]
        for say in (
            lessons.lesson_title,
            lessons.see,
            lessons.hand,
            lessons.say,
            lessons.with_it,
            lessons.without_it,
            lessons.what_differs,
        )
    },
    lessons.layer_words: [(layer,) for layer in lessons.LAYER_WORDS],
    lessons.state_of: [(True, True), (False, True), (False, False)],
    lessons.try_words: [(True,), (False,)],
    lessons.no_signs: [()],
    lessons.helped_words: [()],
    places.place_name: [(PAGE, 3)],
    plan.drill_heading: [(1, 9.0, True), (2, 9.0, True), (2, 9.0, False), (2, 1.0, False)],
    plan.more_lines: [(1,), (2,)],
    plan.summary_heading: [(1, 61.0), (2, 512.0)],
    plan.what_moved: [([], True), ([], False), ([MOVED], True), ([MOVED, MOVED], True)],
    plan.what_comes: [([LINE], True), ([LINE], False), ([], False)],
    plan.spent: [(1.0,), (61.0,), (512.0,)],
    plan.question_place: [(1, 12), (1, 0)],
    plan.why_there: [
        (Reason("fresh", "fresh"),),
        (Reason("fresh", "tie", HALF, 9.0),),
        (Reason("repair", "tie", HALF, 9.0),),
        (Reason("reach", "tie"),),
        (Reason("reach", "tie", HALF, 9.0),),
        *((Reason("refresh", "tie", HALF, days * 86_400.0),) for days in (0.3, 1.2, 4.0, 7.0, 30.0)),
    ],
    plan.changed: [
        (Change(code, 3, Item(("tie",), "reach"), Item(("skip",), "repair"), "skip"),)
        for code in (WAITS, NO_FRESH, NO_PAGE)
    ],
    first.placed_heading: [((),), (("beat",),), (("beat", "tie"),)],
    first.placed_words: [((), ("tie",)), (("beat",), ("tie",)), (("beat",), ())],
    first.without_sound: [("[There is no sound.]",)],
    play.round_place: [(1, 90.0, 0, None), (1, 90.0, 0, 94.0), (1, 90.0, 1, 94.0), (1, 90.0, 2, 94.0)],
    play.counting_in: [()],
    play.getting_ready: [()],
    play.before_start: [(600.0,)],
    play.rest_now: [()],
    play.from_next_round: [()],
    play.rise: [(0,), (4,)],
    play.every: [(1,), (4,)],
    play.bars_a_chord: [(1,), (2,)],
    play.in_key: [("G",)],
    play.progression: [(("I",),)],
    play.next_chord: [("C",)],
    settings.captions: [(settings.VOICES,)],
    settings.kind_name: [(kind,) for kind in KINDS.values()],
    settings.kinds_in_full: [()],
    settings.minutes: [(1,), (8,)],
    settings.volume: [(0.3,)],
    settings.pace: [(1.0,), (1.1,), (0.9,)],
    settings.text_size: [(1.0,), (1.1,), (0.9,)],
    settings.latency: [(None,), (0.14,)],
    settings.about: [("2.0", FOLDER)],
    signs.title: [("tie",)],
    signs.meaning: [("tie",)],
    signs.listed: [(("tie", "rest"),)],
    signs.way_name: [("tied on",), ("3 beats",)],
    slots.verdict_of_slots: [(None, True), (0, True), (1, True), (2, False)],
    slots.slot_lines: [(PLAYED,), (WRITTEN,)],
    slots.slot_line: [(PAGE, 3, ("late",))],
    slots.set_aside: [(replace(TAKE, kind=kind),) for kind in (*slots.SET_ASIDE, "too few", "too many")],
    slots.disturbed: [(what,) for what in slots.DISTURBANCES],
    slots.timing: [(TAKE,), (replace(TAKE, lead=0.05, drift=0.1),)],
    slots.how_often: [(1,), (2,), (4,)],
    slots.slots_left: [(1,), (2,)],
    standing.confusion: [(Confusion("tied on", "struck", 4, 9),)],
    standing.figure: [(HALF,)],
    standing.reads_about: [(HALF,), (WIDE,)],
    standing.weak_and_figure: [(True, HALF), (False, HALF)],
    standing.untold: [(WIDE, True), (NONE, True), (NONE, False)],
    standing.expected_today: [(HALF,), (WIDE,), (NONE,)],
    standing.ahead: [
        (Forecast("tie", HALF, HALF, MOST, 3),),
        (Forecast("tie", HALF, HALF, HALF, 3),),
        (Forecast("tie", HALF, HALF, HALF, 0),),
        (Forecast("tie", HALF, WIDE, HALF, 0),),
    ],
    standing.over_chart: [(True,), (False,)],
    standing.counted_heading: [()],
    standing.most_a_day: [(1, True), (2, True), (1, False), (2, False)],
    standing.more_on_progress: [(1,), (2,)],
    standing.unasked: [(True,), (False,)],
    standing.forecasts_held: [(0, 0.0), (1, 0.1), (100, 0.1)],
    standing.short_day: [(DAY,)],
    standing.long_day: [(DAY,)],
    window.no_window_said: [(cause, SCREEN) for cause in window.NO_WINDOW] + [("no-driver", OLD)],
}
#: what is the same in every language, or no sentence
SAME = {
    standing.counts_of,
    settings.in_full,
    keys.key_caption,
    decks.fault_line,
    signs.beats_of,
    lessons.count_row,
}


def test_every_function_of_the_room_is_in_the_run() -> None:
    found = set()
    for module in iter_modules(words.__path__):
        if module.name == "language":
            continue
        made = import_module(f"drillapp.words.{module.name}")
        found |= {
            one
            for name, one in inspect.getmembers(made, inspect.isfunction)
            if one.__module__ == made.__name__ and not name.startswith("_")
        }
    assert found == set(SAID) | SAME


@pytest.mark.usefixtures("bracketed")
@pytest.mark.parametrize(
    ("say", "given"),
    [(say, given) for say, all_given in SAID.items() for given in all_given],
    ids=lambda one: one.__name__ if callable(one) else "",
)
def test_what_is_said_stands_in_brackets(say: Callable[..., object], given: tuple[object, ...]) -> None:
    said = say(*given)
    for text in texts(said):
        outside = strip(text)
        # Between the brackets of whole sentences and listed names stand only spaces and signs.
        assert text.startswith("[") and not any(letter.isalpha() for letter in outside), text


def texts(said: object) -> list[str]:
    if isinstance(said, dict):
        return list(said.values())
    if isinstance(said, tuple | list):
        return [text for one in said for text in texts(one)]
    assert isinstance(said, str)
    return [said]


def strip(text: str) -> str:
    """What stands outside the brackets."""
    depth, outside = 0, ""
    for letter in text:
        depth += (letter == "[") - (letter == "]")
        if not depth and letter not in "[]":
            outside += letter
    return outside
