"""MIDI files out and in, read by mido; tick and tempo arithmetic of Standard MIDI Files 1.0 (1996)."""

from __future__ import annotations

import io
from fractions import Fraction

import mido
import pytest

from drillapp.interop import InteropError, midi
from drillapp.music import parse


def read(data: bytes) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(data))


def strokes_of(file: mido.MidiFile) -> list[tuple[int, int, bool, bool, str]]:
    """Every stroke in the file as (on, off, accented, muted, hand), in ticks."""
    found = set()
    for track in file.tracks:
        name, now, sounding = track.name, 0, {}
        for message in track:
            now += message.time
            if message.type == "note_on":
                sounding[message.note] = (now, message.velocity)
            elif message.type == "note_off":
                on, velocity = sounding.pop(message.note)
                hand = "up" if "up" in name else "down"
                found.add((on, now, velocity > 100, "muted" in name, hand))
        assert not sounding
    return sorted(found)


def played(pattern) -> list[tuple[int, int, bool, bool, str]]:
    rate = float(pattern.tempo) * float(pattern.meter.unit) / 60 * 480

    def tick(at: Fraction) -> int:
        return round(pattern.seconds(at) * rate)

    return sorted((tick(s.at), tick(s.at + s.length), s.accent, s.muted, s.hand) for s in pattern.strokes)


@pytest.fixture(scope="module")
def files(all_patterns) -> list[tuple[tuple, bytes]]:
    """All patterns in which anything sounds, a hundred to a file."""
    struck = [pattern for pattern in all_patterns if pattern.strokes]
    chunks = [tuple(struck[start : start + 100]) for start in range(0, len(struck), 100)]
    return [(chunk, midi.dumps(chunk)) for chunk in chunks]


def test_mido_reads_the_pattern_s_ticks(files):
    for patterns, data in files:
        wanted, start = [], 0
        for pattern in patterns:
            wanted += [(start + on, start + off, *signs) for on, off, *signs in played(pattern)]
            start += int(pattern.length * 480)
        assert strokes_of(read(data)) == wanted


def test_without_swing_a_tick_is_a_four_hundred_and_eightieth_of_a_quarter():
    # 480 ticks a quarter: an eighth is 240, a triplet eighth 160, a sixteenth 120.
    for text, ticks in (
        ("DU D D D", [0, 240]),
        ("DUD D D D", [0, 160, 320]),
        ("DUDU D D D", [0, 120, 240, 360]),
    ):
        ons = [on for on, *_ in strokes_of(read(midi.dumps([parse(text)])))]
        assert ons[: len(ticks)] == ticks and ons[len(ticks)] == 480


def test_swing_two_to_one_is_played_at_two_thirds_of_the_beat():
    ons = [on for on, *_ in strokes_of(read(midi.dumps([parse("DU D D D", swing="2:1")])))]
    assert ons[:2] == [0, 320]


def test_a_skip_rings_and_a_rest_stops():
    ringing = strokes_of(read(midi.dumps([parse("D- -- D- D-")])))
    stopped = strokes_of(read(midi.dumps([parse("D. .. D- D-")])))
    assert ringing[0][:2] == (0, 960)
    assert stopped[0][:2] == (0, 240)


# SMF 1.0: microseconds a quarter after FF 51 03.
@pytest.mark.parametrize(
    ("tempo", "meter", "data"),
    [
        (60, "4/4", "0F4240"),
        (80, "4/4", "0B71B0"),
        (90, "4/4", "0A2C2B"),
        (120, "4/4", "07A120"),
        (140, "4/4", "068A1B"),
        (60, "6/8", "0A2C2B"),  # a dotted quarter a second is 90 quarters a minute
    ],
)
def test_the_tempo_event_has_the_standard_s_bytes(tempo, meter, data):
    text = "D D D D" if meter == "4/4" else "D D"
    assert bytes.fromhex("FF5103" + data) in midi.dumps([parse(text, meter, tempo)])


@pytest.mark.parametrize(
    ("meter", "text", "data"),
    [
        ("4/4", "D D D D", "FF580404021808"),
        ("6/8", "D D", "FF580406032408"),
        ("3/4", "D D D", "FF580403021808"),
    ],
)
def test_the_time_signature_event_has_the_standard_s_bytes(meter, text, data):
    assert bytes.fromhex(data) in midi.dumps([parse(text, meter)])


def test_the_export_read_back_is_the_pattern(files):
    for patterns, data in files[::3]:
        assert midi.loads(data) == patterns
    for pattern in files[0][0]:
        assert midi.loads(midi.dumps([pattern])) == (pattern,)


def test_a_file_is_written_and_read(tmp_path):
    patterns = (parse("D- DU -U DU"), parse("DUD DUD", "6/8", 60))
    midi.dump(patterns, tmp_path / "walk.mid", ["Einkaufen über Land", "Zwei"])
    assert midi.load(tmp_path / "walk.mid") == patterns


def foreign(notes: list[tuple[float, float, int]], velocity: int = 70, meter=(4, 4), chord: int = 3) -> bytes:
    """A file as another program might write it: chords spread by a few ticks, held nearly to the next."""
    file = mido.MidiFile(type=0, ticks_per_beat=96)
    events = [(0, mido.MetaMessage("time_signature", numerator=meter[0], denominator=meter[1]))]
    events.append((0, mido.MetaMessage("set_tempo", tempo=600_000)))
    for at, length, louder in notes:
        for string in range(chord):
            pitch = 50 + 5 * string
            on = round(at * 96) + string * 2
            events.append((on, mido.Message("note_on", note=pitch, velocity=velocity + louder)))
            events.append((round((at + length) * 96) - 2, mido.Message("note_off", note=pitch)))
    track, now = mido.MidiTrack(), 0
    for at, message in sorted(events, key=lambda event: event[0]):
        track.append(message.copy(time=at - now))
        now = at
    file.tracks.append(track)
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def test_a_file_of_another_program_is_read_at_its_nearest_slots():
    notes = [(0, 1, 0), (1.01, 0.5, 0), (1.49, 1, 0), (2.5, 0.5, 40), (3.02, 0.45, 0), (3.5, 0.5, 0)]
    (pattern,) = midi.loads(foreign(notes))
    assert pattern.text == "D DU -U DU".replace("-U DU", "->U DU")
    assert pattern.tempo == 100


def test_silence_between_strokes_is_a_rest_and_a_breath_is_not():
    (pattern,) = midi.loads(foreign([(0, 0.5, 0), (1, 0.9, 0), (2, 1, 0), (3, 1, 0)]))
    assert pattern.text == "D. D D D"


def test_triplets_of_another_program_are_triplets():
    thirds = [(n / 3, 1 / 3, 0) for n in range(3)] + [(1, 1, 0), (2, 1, 0), (3, 1, 0)]
    (pattern,) = midi.loads(foreign(thirds))
    assert pattern.text == "DUD D D D"


def test_a_new_meter_begins_a_new_pattern():
    patterns = (parse("D D D D", tempo=100), parse("D D D", "3/4", 100))
    assert midi.loads(midi.dumps(patterns)) == patterns


def test_strokes_near_no_slot_are_refused_with_their_place():
    fifths = [(n / 5, 1 / 5, 0) for n in range(5)] + [(1, 3, 0)]
    with pytest.raises(InteropError, match="measure 1: beat 1 has strokes that are near no slots"):
        midi.loads(foreign(fifths))


def test_two_tracks_are_refused():
    file = mido.MidiFile(type=1)
    for _ in range(2):
        on, off = mido.Message("note_on", note=60), mido.Message("note_off", note=60, time=480)
        file.tracks.append(mido.MidiTrack([on, off]))
    data = io.BytesIO()
    file.save(file=data)
    with pytest.raises(InteropError, match="2 tracks"):
        midi.loads(data.getvalue())


def test_a_file_that_lasts_for_hours_is_refused():
    with pytest.raises(InteropError, match="at most 64 bars"):
        midi.loads(foreign([(0, 1, 0), (100_000, 1, 0)]))


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"MThd", "not a MIDI file"),
        (b"<score-partwise/>", "not a MIDI file"),
        (b"\0" * 400, "not a MIDI file"),
        (b"MThd\0\0\0\6\0\1\0\0\1\xe0", "no notes"),
        (b"x" * 1_000_001, "larger than 1 MB"),
    ],
)
def test_malformed_files_are_refused(data, reason):
    with pytest.raises(InteropError, match=reason):
        midi.loads(data)


def test_a_damaged_file_never_gives_another_error():
    good = midi.dumps([parse("D- DU -U >DX | DUD D- D. -U", swing="2:1")])
    for at in range(0, len(good), 3):
        for broken in (good[:at], good[:at] + b"\xff" + good[at + 1 :], good[:at] + good[at + 2 :]):
            try:
                midi.loads(broken)
            except InteropError:
                continue


def test_nothing_to_write_is_said_so(tmp_path):
    with pytest.raises(ValueError, match="at least one"):
        midi.dump([], tmp_path / "none.mid")
    assert list(tmp_path.iterdir()) == []


def test_a_silent_pattern_between_others_stays_silent():
    patterns = (parse("D D D D", tempo=100), parse(". . .", "3/4", 100), parse("D D D D", tempo=90))
    assert midi.loads(midi.dumps(patterns)) == patterns
    changed = midi.dumps(patterns).replace(b"strum pattern;", b"other pattern;")  # our texts gone
    assert [pattern.text for pattern in midi.loads(changed)] == ["D D D D", ". . .", "D D D D"]


def test_more_changes_of_meter_than_any_sheet_has_are_refused_before_they_are_read():
    # A meta event: delta time, FF 58 04, numerator, power of two, clocks, 32nds (Standard MIDI Files 1.0).
    event = b"\x01\xff\x58\x04\x03\x02\x18\x08"
    track = event * 100_000
    data = b"MThd\0\0\0\x06\0\0\0\x01\x01\xe0MTrk" + len(track).to_bytes(4, "big") + track
    with pytest.raises(InteropError, match="more than 20,000 changes of meter and tempo"):
        midi.loads(data)
