"""The latency estimate: median and spread of taps against clicks, and when it is refused."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from drillapp.sound import Calibration, calibrate, calibration_clicks, looks_off
from drillapp.sound.latency import FAR_OFF, TOO_FEW, UNEVEN

_, CLICKS = calibration_clicks()


def taps(latency: float, spread: float = 0.0, seed: int = 1) -> list[float]:
    rng = np.random.default_rng(seed)
    return [time + latency + spread * rng.standard_normal() for time in CLICKS]


@pytest.mark.parametrize("latency", [-0.04, 0.0, 0.08, 0.25, 0.4])
def test_exact_taps_give_the_latency_exactly(latency: float) -> None:
    result = calibrate(CLICKS, taps(latency))
    assert result.latency == pytest.approx(latency, abs=1e-9)
    assert result.spread == pytest.approx(0, abs=1e-9) and result.refusal == ""


@pytest.mark.parametrize("seed", range(20))
def test_a_musicians_taps_give_it_within_15_ms(seed: int) -> None:
    # Spread of about 2 % of the interval (from memory: Repp 2005), here 12 ms.
    result = calibrate(CLICKS, taps(0.11, 0.012, seed))
    assert result.refusal == "" and result.latency == pytest.approx(0.11, abs=0.015)
    assert abs(result.latency - 0.11) < 4 * result.error + 0.002


@pytest.mark.parametrize("count", [25, 101])
def test_the_error_is_that_of_a_median_of_normally_spread_taps(count: int) -> None:
    # Normal theory: the median of n has a standard error of sqrt(pi / 2) times spread / sqrt(n), for n not
    # small (Kendall and Stuart, The Advanced Theory of Statistics, vol. 1; from memory).
    assert Calibration(0.1, 0.012, count).error == pytest.approx(sqrt(pi / 2) * 0.012 / sqrt(count), rel=1e-4)
    drawn = np.random.default_rng(3).normal(0.1, 0.012, (20_000, count))
    assert Calibration(0.1, 0.012, count).error == pytest.approx(np.median(drawn, axis=1).std(), rel=0.03)


def test_one_stray_tap_moves_nothing() -> None:
    late = taps(0.1)
    late[5] += 0.2
    result = calibrate(CLICKS, late)
    assert result.latency == pytest.approx(0.1, abs=1e-9) and result.refusal == ""


def test_taps_that_do_not_agree_are_refused() -> None:
    result = calibrate(CLICKS, taps(0.1, 0.09))
    assert result.refusal == UNEVEN and result.near < 0.75


def test_too_few_taps_are_refused() -> None:
    result = calibrate(CLICKS, taps(0.1)[:6])
    assert result.refusal == TOO_FEW and result.taps == 4


def test_taps_at_random_are_refused() -> None:
    rng = np.random.default_rng(4)
    assert calibrate(CLICKS, rng.uniform(0, CLICKS[-1], 20).tolist()).refusal


def test_double_taps_count_once() -> None:
    both = sorted(taps(0.1) + taps(0.16))
    assert calibrate(CLICKS, both).latency == pytest.approx(0.1, abs=1e-9)


def test_clicks_out_of_order_are_an_error() -> None:
    with pytest.raises(ValueError, match="in order"):
        calibrate([0.0, 1.0, 0.5, 2.0], [0.0])


def test_the_clicks_sound_at_their_times() -> None:
    samples, times = calibration_clicks(count=4, interval=0.5, rate=44100)
    assert times == (0.0, 0.5, 1.0, 1.5)
    for time in times[1:]:
        at = round(time * 44100)
        assert not samples[at - 200 : at].any() and np.abs(samples[at : at + 100]).max() > 0.05


def test_taps_further_off_than_any_device_are_refused() -> None:
    # Clicks a second and a half apart, so that 0.55 s is still on the near side of the next one.
    clicks = [1.5 * number for number in range(14)]
    assert calibrate(clicks, [time + 0.55 for time in clicks]).refusal == FAR_OFF


KEPT = Calibration(0.15, 0.012, 12)


@pytest.mark.parametrize("lead", [0.0, 0.03, -0.03, 0.05])
def test_a_lead_that_people_have_is_no_fault_of_the_device(lead: float) -> None:
    # 0 to 30 ms ahead for musicians, up to 80 untrained, so up to 50 between two of them (Repp 2005).
    assert not looks_off([lead] * 10, KEPT)
    assert not looks_off([lead] * 10, None)


@pytest.mark.parametrize("side", [1, -1])
def test_takes_that_are_all_off_to_one_side_ask_for_another_calibration(side: int) -> None:
    # 100 to 200 ms: what wireless headphones add (common practice, no source).
    takes = [side * lead for lead in (0.13, 0.11, 0.15, 0.12)]
    assert looks_off(takes, KEPT) and looks_off(takes, None)
    assert looks_off([0.0, 0.0, *takes], KEPT), "the last takes count"
    assert not looks_off(takes[:3], KEPT), "fewer say nothing"


def test_hasty_takes_to_either_side_do_not_accuse_the_device() -> None:
    assert not looks_off([0.15, -0.15, 0.15, 0.15], KEPT)
    assert not looks_off([0.15, 0.01, 0.15, 0.15], KEPT)
    assert not looks_off([*[0.15] * 6, 0.0, 0.0, 0.0, 0.0], KEPT)


def test_a_widely_spread_calibration_is_trusted_less() -> None:
    rough = Calibration(0.15, 0.039, 8)
    assert looks_off([0.08] * 4, KEPT) and not looks_off([0.08] * 4, rough)
