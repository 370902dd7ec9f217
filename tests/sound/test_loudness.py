"""Loudness against the standard's own figures and against pyloudnorm, an independent reading of BS.1770."""

from __future__ import annotations

import numpy as np
import pyloudnorm
import pytest

from drillapp.sound.loudness import gain_to, k_weighting_coefficients, loudness

RATE = 48000


def tone(frequency: float, level: float, seconds: float, rate: int = RATE) -> np.ndarray:
    return 10 ** (level / 20) * np.sin(2 * np.pi * frequency * np.arange(round(seconds * rate)) / rate)


def test_filters_at_48_khz_are_the_table_of_bs_1770() -> None:
    # ITU-R BS.1770-4, tables 1 and 2 (from memory; pyloudnorm's figures agree to 5 decimals).
    (shelf_b, shelf_a), (high_b, high_a) = k_weighting_coefficients(RATE)
    assert shelf_b == pytest.approx([1.53512485958697, -2.69169618940638, 1.19839281085285], abs=1e-6)
    assert shelf_a == pytest.approx([1, -1.69065929318241, 0.73248077421585], abs=1e-6)
    assert high_b == pytest.approx([1, -2, 1], abs=1e-6)
    assert high_a == pytest.approx([1, -1.99004745483398, 0.99007225036621], abs=1e-6)


@pytest.mark.parametrize("rate", [44100, 48000, 22050])
def test_a_full_scale_tone_of_997_hz_in_one_channel_is_3_01_lufs_down(rate: int) -> None:
    # ITU-R BS.1770 (from memory).
    assert loudness(tone(997, 0, 3, rate), rate) == pytest.approx(-3.01, abs=0.03)


def test_silence_between_sounds_is_gated_out() -> None:
    # EBU Tech 3341, case 3: -36, -23, -36 dBFS for 10, 60, 10 s read as the loud part alone; one channel is
    # 3.01 LU below the two of the case (from memory).
    programme = np.concatenate([tone(1000, -36, 10), tone(1000, -23, 60), tone(1000, -36, 10)])
    assert loudness(programme, RATE) == pytest.approx(-23.0 - 3.01, abs=0.1)


@pytest.mark.parametrize("rate", [44100, 48000])
def test_noise_with_a_gap_reads_as_in_pyloudnorm(rate: int) -> None:
    noise = np.random.default_rng(7).standard_normal(rate * 4) * 0.1
    noise[rate : 2 * rate] *= 0.01
    assert loudness(noise, rate) == pytest.approx(pyloudnorm.Meter(rate).integrated_loudness(noise), abs=0.1)


def test_silence_has_no_loudness_and_is_left_alone() -> None:
    assert loudness(np.zeros(RATE), RATE) == float("-inf")
    assert gain_to(-20, float("-inf")) == 1.0


def test_a_sound_shorter_than_a_block_still_has_a_loudness() -> None:
    assert -30 < loudness(tone(1000, -6, 0.1), RATE) < -6
