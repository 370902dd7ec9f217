"""What a rendered pattern must be: exact in time, equal in loudness, clickless, every sign audible."""

from __future__ import annotations

import numpy as np
import pyloudnorm
import pytest

from drillapp.music import parse
from drillapp.sound import onset_samples, render, render_loop
from drillapp.sound.rendering import ENDING, LOUDNESS

RATE = 44100
PATTERNS = [
    "D- DU -U DU",
    "D- D- D- D-",
    "X- X- X- X-",
    "D. .. .. ..",
    "X. .. .. ..",
    "D- -- -- --",
    ">D- D- >D- D-",
    "D-DU X-DU D-DU X-DU",
    "DUDUDU DUDUDU D- DU",
    "D- DU -U DU | D. .U D- X.",
]


def level(samples: np.ndarray, at: float, width: float = 0.02) -> float:
    """Root mean square in dB around a time in s."""
    part = samples[round(at * RATE) : round((at + width) * RATE)].astype(float)
    return 10 * np.log10(np.mean(part**2) + 1e-12)


@pytest.mark.parametrize("text", PATTERNS)
def test_a_pattern_is_float32_mono_and_never_above_full_scale(text: str) -> None:
    samples = render(parse(text), tempo=100)
    assert samples.dtype == np.float32 and samples.ndim == 1
    assert 0.05 < np.abs(samples).max() <= 1


@pytest.mark.parametrize("tempo", [60, 120])
@pytest.mark.parametrize("text", PATTERNS)
def test_every_pattern_is_equally_loud(text: str, tempo: int) -> None:
    # ITU-R BS.1770 as pyloudnorm reads it; half a unit is the most that candidates may differ by.
    measured = pyloudnorm.Meter(RATE).integrated_loudness(render(parse(text), tempo).astype(float))
    assert measured == pytest.approx(LOUDNESS, abs=0.5)


def test_strokes_start_at_the_sample_that_tempo_arithmetic_gives() -> None:
    # 120 beats a minute: a beat is 500 ms, an eighth 250 ms (arithmetic).
    onsets = onset_samples(parse("D- DU -U DU"), tempo=120)
    assert onsets.tolist() == [round(RATE * s) for s in (0, 0.5, 0.75, 1.25, 1.5, 1.75)]


def test_triplets_divide_the_beat_in_three() -> None:
    # 120 beats a minute: a triplet eighth is 166.67 ms (arithmetic).
    onsets = onset_samples(parse("DUD D D D"), tempo=120)
    assert onsets[:3].tolist() == [0, round(RATE / 6), round(RATE / 3)]


def test_swing_of_two_to_one_gives_the_first_eighth_two_thirds_of_the_beat() -> None:
    # 2:1 at 120 beats a minute: 333.33 ms (arithmetic).
    onsets = onset_samples(parse("DU D- D- D-", swing=2), tempo=120)
    assert onsets[1] == round(RATE / 3)


def test_the_sound_begins_at_each_stroke_and_not_before() -> None:
    # After silence, nothing sounds until the stroke's own sample; within a millisecond something does.
    pattern = parse("D. .D .. D. | .U .. D. ..")
    samples, onsets = render(pattern, tempo=60), onset_samples(pattern, tempo=60)
    for onset in onsets[1:]:
        assert not samples[onset - 2000 : onset].any()
        assert np.abs(samples[onset : onset + 44]).max() > 0.01


def test_a_skip_rings_on_and_a_rest_is_silent_30_ms_later() -> None:
    # Letters cannot tell them apart, the ear must (common practice, no source).
    rings, stops = (render(parse(text), tempo=60) for text in ("D- -- D- --", "D- .. D- .."))
    assert level(rings, 1.03) > -45
    assert not stops[round(1.031 * RATE) : round(2 * RATE)].any()


def test_a_rest_stops_without_a_click() -> None:
    # A click is a step: the stopping fade adds nothing above 8 kHz that the ringing strings have not.
    stops = render(parse("D- .. D- .."), tempo=60).astype(float)

    def high(at: float) -> float:
        part = stops[round(at * RATE) : round((at + 0.04) * RATE)]
        spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part))))
        return 20 * np.log10(spectrum[round(8000 * 0.04) :].max() + 1e-9)

    assert high(0.995) <= high(0.94) + 3


def test_a_muted_stroke_is_short() -> None:
    # Common practice: heard, without ring.
    ringing, muted = (render(parse(text), tempo=60) for text in ("D- D- D- D-", "X- X- X- X-"))
    assert level(ringing, 0.3) - level(ringing, 0.02) > -12
    assert level(muted, 0.2) - level(muted, 0.0) < -40


def test_a_muted_stroke_stops_the_strings_that_it_does_not_strike() -> None:
    samples = render(parse("D- u- .. .."), tempo=60)
    assert level(samples, 1.25) < -60


@pytest.mark.parametrize("stroke", ["D", "U", "X"])
def test_an_accent_is_3_to_5_db_louder(stroke: str) -> None:
    # From memory: an accent is a little louder, not dramatic. The same stroke in the same place.
    plain, accented = parse(f"{stroke}- -- D- --"), parse(f">{stroke}- -- D- --")
    a, b = render(plain, tempo=60), render(accented, tempo=60)
    gain = level(b, 0, 0.3) - level(b, 2.0, 0.3) - (level(a, 0, 0.3) - level(a, 2.0, 0.3))
    assert 3 <= gain <= 5


def test_up_strokes_are_brighter_than_down_strokes() -> None:
    def centroid(text: str) -> float:
        part = render(parse(text), tempo=60)[: RATE // 4].astype(float)
        power = np.abs(np.fft.rfft(part)) ** 2
        return float(np.sum(power * np.arange(len(power))) / np.sum(power))

    assert centroid("U- -- -- --") > 1.1 * centroid("D- -- -- --")


def test_a_new_up_stroke_leaves_the_low_strings_ringing() -> None:
    # G chord: the low string sounds G2, 98 Hz.
    def low(text: str) -> float:
        part = render(parse(text), tempo=60)[round(1.1 * RATE) : round(1.6 * RATE)].astype(float)
        turn = np.exp(-2j * np.pi * 98.0 * np.arange(len(part)) / RATE) * np.hanning(len(part))
        return abs(np.sum(part * turn))

    assert low("D- U- -- --") > 5 * low("D. U- -- --")


def test_the_same_slot_sounds_the_same_in_two_candidates() -> None:
    # Only the sign that differs may differ: here the last stroke is missing.
    a, b = render(parse("D- DU D- D-"), tempo=100), render(parse("D- DU D- --"), tempo=100)
    end = onset_samples(parse("D- DU D- D-"), tempo=100)[-1]
    a, b = a[:end].astype(float), b[:end].astype(float)
    gain = np.dot(a, b) / np.dot(a, a)
    assert np.abs(b - gain * a).max() < 1e-3


def test_repeats_are_not_copies() -> None:
    samples, onsets = render(parse("D. D. D. D."), tempo=60), onset_samples(parse("D. D. D. D."), tempo=60)
    first, second = (np.abs(np.fft.rfft(samples[at : at + 20000].astype(float))) for at in onsets[:2])
    assert 0.05 < np.linalg.norm(first - second) / np.linalg.norm(first) < 0.5


def test_candidates_are_equally_long_and_end_alike() -> None:
    a, b = render(parse("D- D- D- D-"), tempo=80), render(parse("D- DU DU D."), tempo=80)
    assert len(a) == len(b) == round(RATE * 3) + round(ENDING * RATE)
    assert a[-1] == pytest.approx(0, abs=1e-5)


def test_a_bar_of_count_in_is_four_clicks_with_the_first_marked() -> None:
    # Common practice: one bar, its downbeat higher.
    pattern = parse("D- D- D- D-")
    plain, counted = render(pattern, tempo=120), render(pattern, tempo=120, count_in=1)
    assert len(counted) == len(plain) + 2 * RATE
    assert np.array_equal(counted[2 * RATE :], plain)
    assert onset_samples(pattern, 120, RATE, 1)[0] == 2 * RATE
    peaks = []
    for beat in range(4):
        part = counted[beat * RATE // 2 : beat * RATE // 2 + 4410].astype(float)
        peaks.append(np.argmax(np.abs(np.fft.rfft(part))) * 10)
    assert peaks[0] > 1.3 * peaks[1]
    assert max(peaks[1:]) - min(peaks[1:]) <= 10


def test_six_eight_is_counted_in_two() -> None:
    # Common practice: the counted beat of 6/8 is the dotted quarter.
    pattern = parse("DUD DUD", meter="6/8", tempo=60)
    assert onset_samples(pattern, count_in=1)[0] == 2 * RATE


def test_a_loop_joins_exactly() -> None:
    pattern = parse("D- DU -U D-")
    once = render_loop(pattern, tempo=100)
    assert len(once) == round(RATE * 4 * 0.6)
    twice = np.concatenate([once, once])
    join = len(once)
    steps = np.abs(np.diff(twice.astype(float)))
    # The stroke on the first beat is as sharp at the join as a stroke inside the bar.
    assert steps[join - 40 : join - 1].max() < 0.05
    assert level(twice, (join - 900) / RATE) > -40, "the last stroke must still ring at the join"


def test_a_loop_is_one_round_of_an_endless_pattern(monkeypatch: pytest.MonkeyPatch) -> None:
    # With nothing left to chance, the middle of three rounds is the loop, to the sample.
    monkeypatch.setattr("drillapp.sound.mixing._chances", lambda seed, at: (0, 0.0, (0.0,) * 6, (0.0,) * 6))
    pattern, thrice = parse("D- DU -U X-"), parse("D- DU -U X- | D- DU -U X- | D- DU -U X-")
    once, long = render_loop(pattern, tempo=100), render(thrice, tempo=100)
    middle = long[len(once) : 2 * len(once)].astype(float)
    gain = np.dot(once, middle) / np.dot(once, once)
    assert np.abs(middle - gain * once).max() < 1e-5


def test_a_bar_that_begins_with_a_rest_is_silent_there_in_a_loop() -> None:
    once = render_loop(parse(".. DU DU DU"), tempo=60)
    assert not once[round(0.031 * RATE) : RATE].any()


@pytest.mark.parametrize("rate", [8000, 22050, 48000, 96000])
def test_other_rates_sound_the_same_time(rate: int) -> None:
    pattern = parse("D- DU -U DU")
    assert len(render(pattern, tempo=120, rate=rate)) == round(2 * rate) + round(ENDING * rate)
    assert onset_samples(pattern, 120, rate)[1] == rate // 2


def test_a_bar_of_rests_is_silence() -> None:
    samples = render(parse(".. .. .. .."), tempo=120)
    assert len(samples) and not samples.any()


@pytest.mark.parametrize("tempo", [0, -5, 5000, float("nan")])
def test_an_impossible_tempo_is_refused(tempo: float) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        render(parse("D- D- D- D-"), tempo=tempo)


def test_an_unknown_chord_is_refused() -> None:
    with pytest.raises(ValueError, match="no chord is called"):
        render(parse("D- D- D- D-"), chord="Q")
