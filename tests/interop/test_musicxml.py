"""MusicXML out and in: elements of the standard, round trips, and everything that must be refused.

Elements, attributes and their order: MusicXML 4.0, W3C Community Group Final Report (2021).
"""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from drillapp.interop import InteropError, musicxml
from drillapp.music import parse


def notes_of(text: str, meter: str = "4/4", **options) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(musicxml.dumps([parse(text, meter, **options)])).iter("note"))


# MusicXML 4.0 durations at 12 divisions a quarter.
@pytest.mark.parametrize(
    ("text", "kind", "dots", "quarters"),
    [
        ("D - - -", "whole", 0, 4),
        ("D - - D", "half", 1, 3),
        ("D - D -", "half", 0, 2),
        ("D- -U D D", "quarter", 1, 1.5),
        ("D D D D", "quarter", 0, 1),
        ("DU D D D", "eighth", 0, 0.5),
        ("D--U D D D", "eighth", 1, 0.75),
        ("DUDU D D D", "16th", 0, 0.25),
    ],
)
def test_a_note_has_the_standard_s_type_and_duration(text, kind, dots, quarters):
    document = ElementTree.fromstring(musicxml.dumps([parse(text)]))
    divisions = int(document.find(".//divisions").text)
    note = document.find(".//note")
    assert note.find("type").text == kind
    assert len(note.findall("dot")) == dots
    assert int(note.find("duration").text) == quarters * divisions


def test_a_triplet_is_three_in_the_time_of_two():
    notes = notes_of("DUD D D D")[:3]
    for note in notes:
        assert note.findtext("time-modification/actual-notes") == "3"
        assert note.findtext("time-modification/normal-notes") == "2"
        assert note.findtext("type") == "eighth"
    assert [note.find("notations/tuplet").get("type") for note in (notes[0], notes[2])] == ["start", "stop"]


def test_down_and_up_strokes_are_down_bow_and_up_bow():
    notes = notes_of("D- DU -U DU")
    signs = ["".join(sign.tag for sign in note.findall("notations/technical/*")) for note in notes]
    assert signs == ["down-bow", "down-bow", "up-bow", "", "up-bow", "down-bow", "up-bow"]


def test_a_tied_note_is_joined_in_sound_and_in_notation_and_not_struck_again():
    notes = notes_of("D- DU -U DU")
    assert [tie.get("type") for tie in notes[2].findall("tie")] == ["start"]
    assert [tied.get("type") for tied in notes[3].findall("notations/tied")] == ["stop"]
    assert not notes[3].findall("notations/technical/*")


def test_heads_are_slashes_and_for_muted_strokes_x():
    assert [note.findtext("notehead") for note in notes_of("D X D X")] == ["slash", "x", "slash", "x"]


def test_an_accent_is_the_standard_s_accent():
    notes = notes_of("D >D D D")
    assert [note.find("notations/articulations/accent") is not None for note in notes] == [0, 1, 0, 0]


def test_beams_begin_continue_and_end_and_stubs_are_hooks():
    states = [{b.get("number"): b.text for b in note.findall("beam")} for note in notes_of("D--U DUDU D- DU")]
    assert states[:2] == [{"1": "begin"}, {"1": "end", "2": "backward hook"}]
    assert [state.get("2") for state in states[2:6]] == ["begin", "continue", "continue", "end"]


def test_swing_is_the_standard_s_swing_element():
    document = ElementTree.fromstring(musicxml.dumps([parse("DU DU DU DU", swing="5:3")]))
    swing = document.find(".//sound/swing")
    assert [(child.tag, child.text) for child in swing] == [
        ("first", "5"),
        ("second", "3"),
        ("swing-type", "eighth"),
    ]


def test_a_dotted_quarter_is_the_beat_of_six_eight():
    document = ElementTree.fromstring(musicxml.dumps([parse("DUD DUD", "6/8", 60)]))
    assert document.findtext(".//metronome/beat-unit") == "quarter"
    assert document.find(".//metronome/beat-unit-dot") is not None
    assert document.find(".//sound").get("tempo") == "90"


def test_children_of_a_note_stand_in_the_order_of_the_standard(made):
    order = ["rest", "unpitched", "duration", "tie", "voice", "type", "dot", "time-modification"]
    order += ["stem", "notehead", "beam", "notations"]
    for note in ElementTree.fromstring(musicxml.dumps(made[:150])).iter("note"):
        places = [order.index(child.tag) for child in note]
        assert places == sorted(places)


def test_slots_in_which_nothing_happens_come_back_too():
    for text in ("D D D D", "D- D- D- D-", "D--- D-D- D-- D-----", "-. .. .D -."):
        pattern = parse(text)
        assert musicxml.loads(musicxml.dumps([pattern])) == (pattern,)


def test_a_score_changed_elsewhere_is_read_as_it_sounds():
    text = musicxml.dumps([parse("D- D- D- D-")]).replace("<down-bow />", "<up-bow />", 1)
    (pattern,) = musicxml.loads(text)
    assert [stroke.hand for stroke in pattern.strokes] == ["up", "down", "down", "down"]
    assert pattern.text == "U D D D"  # the kept text no longer agrees, so it is not used


def test_several_patterns_of_different_meters_keep_apart():
    patterns = (
        parse("D- DU -U DU", tempo=80, swing="2:1"),
        parse("DUD DUD", "6/8", 60),
        parse("D D D | D D D", "3/4", 92.5),
        parse("D D D", "3/4", 92.5),
    )
    assert musicxml.loads(musicxml.dumps(patterns, "Mixed", ["One", "Two", "Three", "Four"])) == patterns


def test_a_compressed_file_is_read_and_written(tmp_path):
    patterns = (parse("D- DU -U >DX"),)
    path = tmp_path / "walk.mxl"
    musicxml.dump(patterns, path)
    assert zipfile.is_zipfile(path)
    assert musicxml.load(path) == patterns
    plain = tmp_path / "walk.musicxml"
    musicxml.dump(patterns, plain)
    assert musicxml.load(plain) == patterns


def measure(inner: str, attributes: str = "", number: int = 1) -> str:
    return f'<measure number="{number}">{attributes}{inner}</measure>'


FOUR_FOUR = (
    "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)


def score(*measures: str) -> str:
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>'
        f'<part id="P1">{"".join(measures)}</part></score-partwise>'
    )


def note(duration: int, inner: str = "", sound: str = "<unpitched/>") -> str:
    return f"<note>{inner}{sound}<duration>{duration}</duration></note>"


def test_a_plain_score_of_another_program_is_read_with_the_hand_that_keeps_time():
    pitched = "<pitch><step>G</step><octave>3</octave></pitch>"
    inner = "".join(note(1, sound=pitched) for _ in range(8))
    (pattern,) = musicxml.loads(score(measure(inner, FOUR_FOUR)))
    assert pattern.text == "DU DU DU DU"


def test_a_chord_is_one_stroke():
    chord = note(2) + note(2, "<chord/>") + note(2, "<chord/>")
    (pattern,) = musicxml.loads(score(measure(chord + note(2) * 3, FOUR_FOUR)))
    assert pattern.text == "D D D D"


def test_an_odd_meter_without_groups_is_read_as_twos_and_a_three():
    seven = FOUR_FOUR.replace("<beats>4", "<beats>7").replace("<beat-type>4", "<beat-type>8")
    (pattern,) = musicxml.loads(score(measure(note(1) * 7, seven)))
    assert pattern.meter.text == "2+2+3/8"


REFUSED = [
    (measure(note(2) * 3, FOUR_FOUR), "measure 1: it holds 3 quarters and 4/4 has 4"),
    (measure(note(2) * 5, FOUR_FOUR), "measure 1: it holds 5 or more quarters and 4/4 has 4"),
    (measure(note(2) * 4), "measure 1: there is no time signature"),
    (
        measure(note(2) * 4, FOUR_FOUR) + measure(note(2, "<grace/>") + note(2) * 4),
        "measure 2: it has a grace note",
    ),
    (measure(note(2) * 4 + "<backup><duration>8</duration></backup>" + note(8), FOUR_FOUR), "several voices"),
    (
        measure(note(2) * 4, FOUR_FOUR.replace("<divisions>2", "<divisions>0")),
        "measure 1: divisions of 0 are not above zero",
    ),
    (
        measure(note(2) * 4, FOUR_FOUR.replace("<divisions>2", "<divisions>many")),
        "measure 1: 'many' is not a number for divisions",
    ),
    (
        measure(note(1) * 5 + note(15), FOUR_FOUR.replace("<divisions>2", "<divisions>5")),
        "measure 1: beat 1 would need other slots than 1, 2, 3, 4, 6",
    ),
    (
        measure(note(2) * 4, FOUR_FOUR.replace("<beat-type>4", "<beat-type>5")),
        "measure 1: 5 is not a note value",
    ),
    (
        measure(note(2) + '<sound tempo="60"/>' + note(2) * 3, FOUR_FOUR + '<sound tempo="90"/>'),
        "measure 1: the tempo changes within the measure",
    ),
    (measure(note(2) * 4, FOUR_FOUR + '<sound tempo="9000"/>'), "measure 1: tempo 9000"),
    ("".join(measure(note(2) * 4, FOUR_FOUR if n == 0 else "", n) for n in range(65)), "at most 64 bars"),
    (measure("", FOUR_FOUR), "the score has no notes"),
]


@pytest.mark.parametrize(("measures", "reason"), REFUSED, ids=[reason[:40] for _, reason in REFUSED])
def test_what_cannot_be_a_strum_pattern_is_refused_with_measure_and_reason(measures, reason):
    with pytest.raises(InteropError, match=re.escape(reason)):
        musicxml.loads(score(measures))


def test_two_parts_are_refused():
    text = score(measure(note(2) * 4, FOUR_FOUR))
    part = text[text.index("<part id") : text.index("</score-partwise>")]
    with pytest.raises(InteropError, match="2 parts"):
        musicxml.loads(text.replace(part, part * 2))


BOMB = (
    '<!DOCTYPE score-partwise [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><score-partwise>&c;</score-partwise>'
)
OUTSIDE = '<!DOCTYPE s [<!ENTITY a SYSTEM "file:///etc/hostname">]><score-partwise>&a;</score-partwise>'


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("<score-partwise><part>", "not well-formed XML: line 1"),
        ("MThd", "not well-formed"),
        ("<html/>", "not a MusicXML"),
        ("<score-timewise/>", "timewise"),
        ("<score-partwise/>", "no notes"),
        (BOMB, "entities"),
        (OUTSIDE, "entities"),
        (b"\xff\xfe\x00", "not well-formed"),
        (b'<?xml version="1.0" encoding="moon"?><a/>', "not well-formed|encoding"),
        (b"PK\x03\x04 and then nothing", "damaged"),
    ],
)
def test_malformed_and_hostile_files_are_refused(data, reason):
    with pytest.raises(InteropError, match=reason):
        musicxml.loads(data)


def test_a_huge_file_is_refused_unread():
    with pytest.raises(InteropError, match="larger than 4 MB"):
        musicxml.loads(b"<score-partwise>" + b" " * 4_000_001)


def test_a_small_archive_that_unpacks_to_a_huge_score_is_refused(tmp_path):
    path = tmp_path / "bomb.mxl"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>',
        )
        archive.writestr("a.xml", b" " * 30_000_000)
    assert path.stat().st_size < 100_000
    with pytest.raises(InteropError, match="larger than 4 MB"):
        musicxml.load(path)


def test_deeply_nested_xml_is_refused_not_followed():
    with pytest.raises(InteropError):
        musicxml.loads("<a>" * 100_000 + "</a>" * 100_000)


def test_a_damaged_score_never_gives_another_error():
    # Every file is read as patterns or refused; nothing else is raised.
    good = musicxml.dumps([parse("D- DU -U >DX | DUD D- D. -U", swing="2:1")])
    for at in range(0, len(good), 37):
        for broken in (good[:at], good[:at] + "9" + good[at:], good[:at] + good[at + 12 :]):
            try:
                musicxml.loads(broken)
            except InteropError:
                continue


def test_nothing_to_write_is_said_so(tmp_path):
    with pytest.raises(ValueError, match="at least one"):
        musicxml.dumps([])
    with pytest.raises(ValueError):
        musicxml.dump([], tmp_path / "none.musicxml")
    assert list(tmp_path.iterdir()) == []


def test_a_tempo_of_any_size_comes_back(made):
    for tempo in (20, 61.3, 92.5, 133, 400):
        pattern = replace(made[3], tempo=tempo)
        assert musicxml.loads(musicxml.dumps([pattern])) == (pattern,)
