"""The plucked string against its own recursion, equal temperament and Jaffe and Smith's decay."""

from __future__ import annotations

import numpy as np
import pytest
from analysis import pitches

from drillapp.music import parse
from drillapp.sound import render, stroke_bank
from drillapp.sound.chords import CHORDS, OPEN_STRINGS, chord_notes, frequency
from drillapp.sound.strings import (
    Loop,
    Pluck,
    design_loop,
    pluck_spectrum,
    sound,
    string_spectrum,
)
from drillapp.sound.strokes import FULL
from drillapp.sound.voices import VOICES

RATE = 44100


def ring(loop: Loop, frequency: float, size: int = 2**18) -> np.ndarray:
    pluck = pluck_spectrum(Pluck(0.15, 900, 5000, 0.05, 1), RATE / frequency, RATE, size)
    return sound(string_spectrum(loop, size) * pluck, size).astype(float)


def partial_level(samples: np.ndarray, frequency: float, at: float, width: float = 0.25) -> float:
    """Amplitude of one partial near a time in s, by a windowed projection."""
    part = samples[round(at * RATE) : round((at + width) * RATE)]
    time = np.arange(len(part)) / RATE
    return abs(np.sum(part * np.hanning(len(part)) * np.exp(-2j * np.pi * frequency * time)))


def decay_time(loop: Loop, frequency: float) -> float:
    """T60 in s of a partial at ``frequency``: ln(1000) periods of the loop over the loss in one.

    Source: Jaffe and Smith 1983 (a partial falls by the loop's gain once in each passage of the loop).
    """
    omega = 2 * np.pi * frequency / loop.rate
    delayed = np.exp(-1j * omega)
    gain = loop.loss * abs((1 - loop.stretch) + loop.stretch * delayed) ** loop.averages
    allpass = (loop.tuning + delayed) / (1 + loop.tuning * delayed)
    passage = loop.delay - float(np.angle(allpass)) / omega + loop.averages * loop.stretch
    return float(np.log(1000) * passage / loop.rate / -np.log(gain))


def recursion(loop: Loop, size: int) -> np.ndarray:
    """The string's response to one unit sample, sample by sample, as Karplus and Strong wrote it."""
    out, before, passed = np.zeros(size), 0.0, 0.0
    averages = [0.0] * loop.averages
    for n in range(size):
        now = out[n - loop.delay] if n >= loop.delay else 0.0
        passed, before = loop.tuning * now + before - loop.tuning * passed, now
        value = passed
        for k in range(loop.averages):
            value, averages[k] = (1 - loop.stretch) * value + loop.stretch * averages[k], value
        out[n] = (n == 0) + loop.loss * value
    return out


def test_solving_the_loop_at_once_equals_running_it_sample_by_sample() -> None:
    loop = design_loop(frequency(64), RATE, 2.6, 1.1)
    solved = sound(string_spectrum(loop, 2**15), 2**15)
    assert np.abs(solved - recursion(loop, 2**15)).max() < 5e-6


def test_open_strings_are_tuned_e_a_d_g_b_e() -> None:
    # Equal temperament on A4 = 440 Hz (ISO 16): 82.407, 110, 146.832, 195.998, 246.942, 329.628 Hz.
    wanted = [82.407, 110.0, 146.832, 195.998, 246.942, 329.628]
    assert [round(frequency(note), 3) for note in OPEN_STRINGS] == wanted


@pytest.mark.parametrize("voice", VOICES.values(), ids=lambda voice: voice.name)
@pytest.mark.parametrize("string", range(6))
def test_each_open_string_sounds_within_a_cent_of_equal_temperament(string: int, voice) -> None:
    # Independent estimate: how far the fundamental's phase turns in a second.
    pitch = frequency(OPEN_STRINGS[string])
    samples = ring(design_loop(pitch, RATE, voice.decay[string], voice.decay_high[string]), pitch)
    window, time = np.hanning(RATE // 2), np.arange(RATE // 2) / RATE
    turn = np.exp(-2j * np.pi * pitch * time) * window
    first, second = (np.sum(samples[at : at + len(turn)] * turn) for at in (4410, 4410 + 4410))
    error = np.angle(second / first * np.exp(-2j * np.pi * pitch * 0.1)) / (2 * np.pi * 0.1)
    assert abs(1200 * np.log2((pitch + error) / pitch)) < 1.0


@pytest.mark.parametrize(("string", "partial"), [(0, 1), (0, 8), (2, 4), (3, 1), (5, 1), (5, 5)])
def test_partials_fall_by_60_db_in_the_time_that_the_formula_gives(string: int, partial: int) -> None:
    # Jaffe and Smith 1983: T60 = ln(1000) passages of the loop / -ln(the loop's gain).
    voice = VOICES["steel"]
    pitch = frequency(OPEN_STRINGS[string])
    loop = design_loop(pitch, RATE, voice.decay[string], voice.decay_high[string])
    samples = ring(loop, pitch)
    early, late = (partial_level(samples, partial * pitch, at) for at in (0.2, 0.7))
    measured = 0.5 * 3 / np.log10(early / late)
    assert measured == pytest.approx(decay_time(loop, partial * pitch), rel=0.03)


@pytest.mark.parametrize(("string", "chord"), [(0, "E"), (1, "A"), (2, "D"), (3, "G"), (4, "Em"), (5, "Am")])
def test_open_strings_of_a_chord_are_in_tune_to_the_ear_of_yin(string: int, chord: str) -> None:
    # de Cheveigné and Kawahara 2002. The strings are a little out with each other on purpose, by less than
    # a cent.
    bank = stroke_bank(chord, "steel", 44100)
    pitch = frequency(OPEN_STRINGS[string])
    body = bank.strings[string].down.body[8820 : 8820 + 33000] / np.float32(FULL)
    heard = pitches(body, RATE, pitch * 0.7, pitch * 1.4, 8192, 4096)
    assert len(heard) >= 6
    assert np.abs(1200 * np.log2(heard / pitch)).max() <= 3


def test_another_tempo_has_the_same_pitch() -> None:
    def fundamental(tempo: float) -> float:
        part = render(parse("D- -- -- --"), tempo)[4410:48510].astype(float)
        return float(np.argmax(np.abs(np.fft.rfft(part * np.hanning(len(part))))))

    assert fundamental(60) == fundamental(120)


def test_the_plain_two_point_average_decays_as_karplus_and_strong_computed() -> None:
    # N = 100 at 44100 Hz, no other loss: the fundamental's time constant is 4.664 s, T60 = 6.908 times that
    # (computed from |cos(pi f / rate)| a period, and by simulation).
    plain = Loop(RATE, 99, 0.0, 1, 0.5, 1.0)  # the all-pass of coefficient 0 is the hundredth sample
    pitch = RATE / 100.5
    early, late = (partial_level(ring(plain, pitch), pitch, at) for at in (0.5, 3.5))
    assert 3.0 / np.log(early / late) == pytest.approx(4.664, rel=1e-3)
    assert decay_time(plain, pitch) == pytest.approx(4.664 * np.log(1000), rel=1e-3)


def test_a_string_cannot_ring_longer_high_up_than_at_its_fundamental() -> None:
    with pytest.raises(ValueError, match="decay_high"):
        design_loop(110, RATE, 1.0, 2.0)


def test_a_d_chord_leaves_out_the_two_low_strings() -> None:
    # Common practice, no source.
    assert chord_notes("D")[:2] == (None, None)
    assert len(CHORDS) >= 8


def test_an_e_minor_chord_is_made_of_e_g_and_b() -> None:
    # Theory of music: a minor triad; pitch classes 4, 7 and 11.
    assert {note % 12 for note in chord_notes("Em") if note is not None} == {4, 7, 11}


@pytest.mark.parametrize(
    ("chord", "classes"),
    [("G", {7, 11, 2}), ("C", {0, 4, 7}), ("D", {2, 6, 9}), ("A", {9, 1, 4}), ("E", {4, 8, 11}),
     ("Am", {9, 0, 4}), ("Dm", {2, 5, 9}), ("D7", {2, 6, 9, 0}), ("A7", {9, 1, 4, 7}), ("E7", {4, 8, 11, 2}),
     ("Cadd9", {0, 4, 7, 2})],
)  # fmt: skip
def test_chords_are_spelled_as_their_names_say(chord: str, classes: set[int]) -> None:
    # Theory of music: pitch classes of each triad, seventh and added ninth.
    assert {note % 12 for note in chord_notes(chord) if note is not None} == classes


def test_an_unknown_chord_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"H7.*there are G, C, D"):
        chord_notes("H7")
