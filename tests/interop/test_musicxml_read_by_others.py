"""Our MusicXML as Verovio and music21 read it: onsets, lengths, ties, accents, heads, hands, bar sums."""

from __future__ import annotations

from xml.etree import ElementTree

import music21
import pytest
import verovio

from drillapp.interop import musicxml
from drillapp.music import Pattern

MEI = "{http://www.music-encoding.org/ns/mei}"
ID = "{http://www.w3.org/XML/1998/namespace}id"
CHUNK = 100


@pytest.fixture(scope="module")
def documents(all_patterns) -> list[tuple[list[Pattern], str]]:
    """All patterns, a hundred to a document."""
    chunks = [all_patterns[start : start + CHUNK] for start in range(0, len(all_patterns), CHUNK)]
    return [(chunk, musicxml.dumps(chunk)) for chunk in chunks]


def expected(patterns: list[Pattern]) -> tuple[list[tuple], list[float]]:
    """Every stroke of the patterns one after another, and where every bar begins, in quarters."""
    strokes, bars, start = [], [], 0
    for pattern in patterns:
        bars += [float(start + pattern.meter.length * bar) for bar in range(len(pattern.bars))]
        strokes += [
            (float(start + s.at), float(s.length), s.accent, s.muted, s.hand) for s in pattern.strokes
        ]
        start += pattern.length
    return strokes, bars


def joined(notes: list[dict]) -> list[tuple]:
    """Notes tied to the one before counted as one stroke with it."""
    strokes: list[list] = []
    for note in notes:
        if note["tied_from"]:
            assert not note["accent"] and not note["hand"]  # nothing is struck again
            strokes[-1][1] += note["length"]
        else:
            strokes.append([note["at"], note["length"], note["accent"], note["muted"], note["hand"]])
    return [tuple(stroke) for stroke in strokes]


def assert_same(read: list[tuple], patterns: list[Pattern]) -> None:
    wanted, _ = expected(patterns)
    assert len(read) == len(wanted)
    for ours, theirs in zip(wanted, read, strict=True):
        assert theirs[:2] == pytest.approx(ours[:2], abs=1e-5)
        assert theirs[2:] == ours[2:]


def test_verovio_s_time_map_has_the_pattern_s_onsets_durations_ties_accents_and_bars(documents):
    toolkit = verovio.toolkit()
    verovio.enableLog(verovio.LOG_OFF)
    toolkit.setOptions({"breaks": "none"})
    for patterns, text in documents:
        assert toolkit.loadData(text)
        on, off, bars = {}, {}, []
        for event in toolkit.renderToTimemap({"includeMeasures": True}):
            on.update(dict.fromkeys(event.get("on", ()), event["qstamp"]))
            off.update(dict.fromkeys(event.get("off", ()), event["qstamp"]))
            if "measureOn" in event:
                bars.append(event["qstamp"])
        root = ElementTree.fromstring(toolkit.getMEI())
        ends = {tie.get("endid").lstrip("#") for tie in root.iter(f"{MEI}tie")}
        notes = []
        for element in root.iter(f"{MEI}note"):
            name = element.get(ID)
            signs = {sign.get("artic") for sign in element.iter(f"{MEI}artic")}
            notes.append(
                {
                    "at": on[name],
                    "length": off[name] - on[name],
                    "accent": "acc" in signs,
                    "muted": element.get("head.shape") == "x",
                    "hand": "down" if "dnbow" in signs else "up" if "upbow" in signs else None,
                    "tied_from": name in ends,
                }
            )
        assert_same(joined(notes), patterns)
        assert bars == pytest.approx(expected(patterns)[1], abs=1e-5)


def test_music21_reads_the_pattern_s_onsets_durations_ties_accents_and_bars(documents):
    for patterns, text in documents:
        score = music21.converter.parseData(text, format="musicxml")
        measures = list(score.parts[0].getElementsByClass("Measure"))
        notes, bars, start = [], [], 0.0
        for measure in measures:
            bars.append(start)
            held = sum(note.quarterLength for note in measure.notesAndRests)
            assert held == pytest.approx(measure.barDuration.quarterLength)
            for note in measure.notes:
                signs = {type(sign).__name__ for sign in note.articulations}
                notes.append(
                    {
                        "at": start + float(note.offset),
                        "length": float(note.quarterLength),
                        "accent": "Accent" in signs,
                        "muted": note.notehead == "x",
                        "hand": "down" if "DownBow" in signs else "up" if "UpBow" in signs else None,
                        "tied_from": note.tie is not None and note.tie.type in ("stop", "continue"),
                    }
                )
            start += float(held)
        assert_same(joined(notes), patterns)
        assert bars == pytest.approx(expected(patterns)[1], abs=1e-5)


def test_music21_reads_meter_and_tempo(shipped_patterns):
    for pattern in shipped_patterns[::7]:
        score = music21.converter.parseData(musicxml.dumps([pattern]), format="musicxml")
        time = score.recurse().getElementsByClass("TimeSignature")[0]
        assert (time.numerator, time.denominator) == (pattern.meter.numerator, pattern.meter.denominator)
        mark = score.recurse().getElementsByClass("MetronomeMark")[0]
        assert mark.number == pytest.approx(float(pattern.tempo))
        assert mark.referent.quarterLength == pytest.approx(float(pattern.meter.unit))


def test_the_export_read_back_is_the_pattern(documents):
    for patterns, text in documents:
        assert musicxml.loads(text) == tuple(patterns)
