"""What stands on the staff for known rhythms, as the sequence of SMuFL glyphs a reader meets.

The spellings follow from the rules of E. Gould, Behind Bars (2011), on meter and beaming (from memory).
"""

from __future__ import annotations

import pytest

from drillapp.music import parse
from drillapp.notation import Beam, Curve, Glyph, Line, engrave

SLASH, HALF, WHOLE = "noteheadSlashHorizontalEnds", "noteheadSlashWhiteHalf", "noteheadSlashWhiteWhole"


def staff(text: str, meter: str = "4/4", **options):
    return engrave(parse(text, meter), ["staff"], **options)


def reading(page) -> list[str]:
    """Heads, dots, flags, beams and ties, from left to right, in words."""
    words = []
    beams = [item for item in page.items if isinstance(item, Beam)]
    stems = {item.slot: item.x1 for item in page.items if isinstance(item, Line) and item.slot is not None}
    for slot in range(len(page.slots)):
        items = [item for item in page.items if item.slot == slot]
        names = [item.name for item in items if isinstance(item, Glyph)]
        heads = [name for name in names if name.startswith(("notehead", "rest"))]
        if not heads:
            continue
        word = heads[0].replace(SLASH, "slash").replace(HALF, "half").replace(WHOLE, "whole")
        word += "." * names.count("augmentationDot")
        word += "".join("/" for name in names if name == "flag8thUp")
        word += "".join("//" for name in names if name == "flag16thUp")
        at = stems.get(slot)
        if at is not None:
            word += "=" * sum(beam.x1 - 0.01 <= at <= beam.x2 + 0.01 for beam in beams)
        if any(isinstance(item, Curve) for item in items):
            word += "~"
        words.append(word)
    return words


@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        # dotted quarter, eighth tied to quarter, quarter
        ("D- -U -- D-", ["slash.", "slash/~", "slash", "slash"]),
        # quarter, eighth, eighth tied to eighth, eighth, quarter
        ("D- DU -U D-", ["slash", "slash=", "slash=~", "slash=", "slash=", "slash"]),
        ("D- DU -U DU", ["slash", "slash=", "slash=~", "slash=", "slash=", "slash=", "slash="]),
        # dotted quarter, eighth tied to half
        ("D- -U -- --", ["slash.", "slash/~", "half"]),
        # eighth, quarter, eighth: no tie, for a stroke falls on 3
        ("DU -U D- D-", ["slash/", "slash", "slash/", "slash", "slash"]),
        ("D- D- D- D-", ["slash", "slash", "slash", "slash"]),
        # quarter, half, quarter: the one half note that may hide the middle of the bar
        ("D D - D", ["slash", "half", "slash"]),
        ("D - - D", ["half.", "slash"]),
        ("D - - -", ["whole"]),
        ("D - D -", ["half", "half"]),
    ],
)
def test_a_rhythm_is_spelled_by_the_rules(text, spelled):
    assert reading(staff(text)) == spelled


# Common practice: of two tied notes the second is not struck, and a tie joins the heads that it holds.
def test_a_dash_on_three_is_a_tie_in_the_staff():
    page = staff("D- DU -U DU")
    (tie,) = [item for item in page.items if isinstance(item, Curve)]
    assert tie.slot == 3
    assert page.slots[3].x < tie.x1 < tie.x2 < page.slots[4].x


def test_a_dot_is_a_rest_where_a_dash_is_a_tie():
    ringing, stopped = staff("D- DU -U DU"), staff("D- DU .U DU")
    assert "rest8th" not in reading(ringing)
    assert reading(stopped)[3] == "rest8th"


def test_a_muted_stroke_has_an_x_for_its_head():
    assert reading(staff("D X D X")) == ["slash", "noteheadSlashX", "slash", "noteheadSlashX"]


def test_sixteenths_have_two_beams_and_an_eighth_among_them_one():
    assert reading(staff("D-DU DUDU D- D-"))[:7] == [
        "slash=", "slash==", "slash==", "slash==", "slash==", "slash==", "slash==",
    ]  # fmt: skip


# Gould 2011; Read 1979: a beamlet points to the note that it makes up a beat or half a beat with.
def test_a_sixteenth_after_a_dotted_eighth_has_a_beamlet_to_its_left():
    page = staff("D--U D D D")
    short = min((item for item in page.items if isinstance(item, Beam)), key=lambda beam: beam.x2 - beam.x1)
    stem = max(i.x1 for i in page.items if isinstance(i, Line) and i.slot == 3)
    assert short.x2 == pytest.approx(stem + 0.06) and short.x1 < stem - 0.5


def test_a_sixteenth_before_a_dotted_eighth_has_a_beamlet_to_its_right():
    page = staff("DU-- D D D")
    short = min((item for item in page.items if isinstance(item, Beam)), key=lambda beam: beam.x2 - beam.x1)
    stem = max(i.x1 for i in page.items if isinstance(i, Line) and i.slot == 0)
    assert short.x1 == pytest.approx(stem - 0.06) and short.x2 > stem + 0.5


# Gould 2011: 6/8 is two groups of three, never three of two.
def test_six_eighths_are_beamed_in_two_groups_of_three():
    page = staff("DUD DUD", "6/8")
    beams = [item for item in page.items if isinstance(item, Beam)]
    assert len(beams) == 2
    assert [beam.slot for beam in beams] == [0, 3]


# Gould 2011; Read 1979: beams show the beats.
def test_a_beam_never_crosses_from_beat_to_beat(generated):
    for pattern in generated(300):
        page = engrave(pattern, ["staff"])
        beat_of = [(place.bar, place.beat) for place in pattern.places]
        for beam in (item for item in page.items if isinstance(item, Beam) and item.slot is not None):
            under = [i for i, slot in enumerate(page.slots) if beam.x1 - 1.06 <= slot.x <= beam.x2 - 1.0]
            assert len({beat_of[i] for i in under}) <= 1


# Gould 2011; Read 1979: a tuplet that its beam covers needs a number only, any other a bracket too.
def test_a_triplet_under_one_beam_has_a_number_and_no_bracket():
    page = staff("DUD D D D")
    assert sum(isinstance(i, Glyph) and i.name == "tuplet3" for i in page.items) == 1
    top = page.systems[0].extents["staff"][1]
    assert not [i for i in page.items if isinstance(i, Line) and i.x1 != i.x2 and i.y1 > top - 2]


def test_a_triplet_of_quarter_and_eighth_has_a_bracket():
    page = staff("D-U D D D")
    number = next(i for i in page.items if isinstance(i, Glyph) and i.name == "tuplet3")
    bracket = [i for i in page.items if isinstance(i, Line) and i.x1 != i.x2 and i.slot == 0]
    assert len(bracket) == 2
    assert max(bracket[0].box[2], bracket[0].box[0]) < number.box[0]
    assert bracket[1].box[0] > number.box[2]


def test_a_silent_bar_has_one_whole_rest_in_its_middle_in_any_meter():
    # Common practice: the whole rest stands for a whole bar whatever the meter.
    for meter, beats in (("4/4", ". . . ."), ("3/4", ". . ."), ("6/8", ". .")):
        page = staff(f"{' '.join('D' * len(beats.split()))} | {beats}", meter, ending="single")
        rests = [i for i in page.items if isinstance(i, Glyph) and i.name.startswith("rest")]
        assert [rest.name for rest in rests] == ["restWhole"]
        bars = sorted(i.x1 for i in page.items if isinstance(i, Line) and i.x1 == i.x2 and i.slot is None)
        middle = (rests[0].box[0] + rests[0].box[2]) / 2
        assert abs(middle - (bars[-2] + bars[-1]) / 2) < 0.6


# Gould 2011: accents of a part whose stems all go up may stand above the staff throughout.
def test_accents_stand_above_the_staff_over_their_heads():
    page = staff(">D D >D D")
    accents = [i for i in page.items if isinstance(i, Glyph) and i.name == "articAccentAbove"]
    assert [accent.slot for accent in accents] == [0, 2]
    line = next(i for i in page.items if isinstance(i, Line) and i.slot is None and i.y1 == i.y2)
    for accent in accents:
        assert accent.box[1] > line.y1 + 4
        assert (accent.box[0] + accent.box[2]) / 2 == pytest.approx(page.slots[accent.slot].x, abs=0.01)


# Gould 2011: what says how a note is struck stands at the first of tied notes only.
def test_a_tied_note_carries_no_accent_of_its_own():
    page = staff("D- D>U -U DU")
    assert [i.slot for i in page.items if isinstance(i, Glyph) and i.name == "articAccentAbove"] == [3]


def test_the_time_signature_is_the_meter_s():
    for meter, text, digits in (
        ("4/4", "D D D D", ["timeSig4", "timeSig4"]),
        ("6/8", "D D", ["timeSig6", "timeSig8"]),
        ("12/8", "D D D D", ["timeSig1", "timeSig2", "timeSig8"]),
        ("2+2+3/8", "D D D", ["timeSig2", "timeSigPlus", "timeSig2", "timeSigPlus", "timeSig3", "timeSig8"]),
    ):
        page = staff(text, meter)
        assert [i.name for i in page.items if isinstance(i, Glyph) and i.name.startswith("timeSig")] == digits


def test_every_value_from_the_breve_to_the_64th_has_its_head_rest_and_beams():
    # SMuFL 1.4 names; a flag or beam halves the value (common practice).
    assert reading(staff("D -", "2/1")) == ["noteheadSlashWhiteDoubleWhole"]
    assert [word.count("=") for word in reading(staff("D D", "6/8", ending="single"))] == [0, 0]
    assert reading(staff("DUDU D D D", "4/8"))[0] == "slash==="
    assert reading(staff("DUDU D D D", "4/16"))[0] == "slash===="
    assert reading(staff(".U D D D", "4/16"))[0] == "rest32nd"


def test_beams_beyond_the_second_make_longer_stems():
    # Gould 2011: the innermost beam keeps its distance from the heads.
    def innermost(page) -> float:
        line = next(i for i in page.items if isinstance(i, Line) and i.y1 == i.y2 and i.slot is None)
        return min(i.box[1] for i in page.items if isinstance(i, Beam)) - line.y1

    sixteenths, shorter = staff("DUDU D D D"), staff("DUDU D D D", "4/16")
    assert innermost(shorter) == pytest.approx(innermost(sixteenths))
