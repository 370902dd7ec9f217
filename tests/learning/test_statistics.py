"""Intervals and d' against published tables and general statistics libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import integrate, optimize, stats
from statsmodels.stats.proportion import proportion_confint

from drillapp.learning import choice_share, corrected, d_prime_choice, d_prime_yes_no, trend, wilson

# Newcombe 1998, Statistics in Medicine 17, Table I: examples; method 3 (Wilson). Last rows: statsmodels and
# scipy.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
    (8, 10, 0.4902, 0.9433),
    (9, 10, 0.5958, 0.9821),
    (10, 10, 0.7225, 1.0),
    (19, 20, 0.7639, 0.9911),
]
# Hacker and Ratcliff 1979, Perception & Psychophysics 26(2): formula; values recomputed with scipy's quad
# and brentq.
CHOICE_D = {
    0.50: (0.0000, 0.5565, 0.8368),
    0.60: (0.3583, 0.8852, 1.1532),
    0.70: (0.7416, 1.2380, 1.4933),
    0.75: (0.9539, 1.4338, 1.6822),
    0.80: (1.1902, 1.6524, 1.8932),
    0.85: (1.4657, 1.9078, 2.1399),
    0.90: (1.8124, 2.2302, 2.4516),
    0.95: (2.3262, 2.7101, 2.9162),
    0.99: (3.2900, 3.6173, 3.7970),
}
CHOICE_SHARE = {
    0.0: (0.50000, 0.33333, 0.25000),
    0.5: (0.63816, 0.48259, 0.39332),
    1.0: (0.76025, 0.63370, 0.55203),
    1.5: (0.85558, 0.76581, 0.70186),
    2.0: (0.92135, 0.86577, 0.82279),
    3.0: (0.98305, 0.96880, 0.95637),
}


@pytest.mark.parametrize(("right", "count", "low", "high"), NEWCOMBE)
def test_wilson_interval_is_newcombes_method_3(right: int, count: int, low: float, high: float) -> None:
    interval = wilson(right, count)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=5e-5)
    assert interval.count == count


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
def test_wilson_interval_is_that_of_statsmodels(confidence: float) -> None:
    for count in (1, 2, 7, 40, 1000):
        for right in {0, 1, count // 3, count - 1, count}:
            low, high = proportion_confint(right, count, alpha=1 - confidence, method="wilson")
            interval = wilson(right, count, confidence)
            assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-9)


def test_no_answer_leaves_the_whole_range() -> None:
    assert (wilson(0, 0).low, wilson(0, 0).high) == (0.0, 1.0)
    assert (corrected(0, 0, 0.5).low, corrected(0, 0, 0.5).high) == (0.0, 1.0)


def test_guessing_in_two_ways_halves_the_distance_to_certainty() -> None:
    interval = corrected(18, 20, guess=0.5)
    plain = proportion_confint(18, 20, method="wilson")
    assert interval.value == pytest.approx(0.8)
    assert (interval.low, interval.high) == pytest.approx((2 * plain[0] - 1, 2 * plain[1] - 1), abs=1e-9)


def test_worse_than_guessing_is_no_knowledge_not_less() -> None:
    assert corrected(3, 10, guess=0.5).value == 0.0


@pytest.mark.parametrize("share", CHOICE_D)
def test_d_prime_of_forced_choice_is_that_of_the_table(share: float) -> None:
    found = tuple(d_prime_choice(share, ways) for ways in (2, 3, 4))
    assert found == pytest.approx(CHOICE_D[share], abs=1e-4)


@pytest.mark.parametrize("d", CHOICE_SHARE)
def test_share_right_in_forced_choice_is_that_of_the_table(d: float) -> None:
    assert tuple(choice_share(d, ways) for ways in (2, 3, 4)) == pytest.approx(CHOICE_SHARE[d], abs=1e-5)


def test_d_prime_of_forced_choice_is_scipys_integral() -> None:
    def share(d: float) -> float:
        return integrate.quad(lambda x: stats.norm.pdf(x - d) * stats.norm.cdf(x) ** 2, -10, 15)[0]

    for right in (0.4, 0.66, 0.93):
        expected = optimize.brentq(lambda d, right=right: share(d) - right, 0, 8)
        assert d_prime_choice(right, 3) == pytest.approx(expected, abs=1e-4)


def test_between_two_ways_d_prime_is_root_two_times_z() -> None:
    for share in (0.55, 0.75, 0.9, 0.97):
        assert d_prime_choice(share, 2) == pytest.approx(math.sqrt(2) * stats.norm.ppf(share), abs=1e-4)


def test_all_right_is_held_to_half_an_answer_below() -> None:
    assert d_prime_choice(1.0, 2) == math.inf
    assert d_prime_choice(1.0, 2, count=10) == pytest.approx(math.sqrt(2) * stats.norm.ppf(0.95), abs=1e-4)
    assert d_prime_choice(0.3, 2) == 0.0


def test_yes_no_d_prime_is_the_difference_of_z() -> None:
    # Green and Swets 1966: d' = z(H) - z(F); values by scipy
    for hits, alarms, expected in ((80, 20, 1.6832), (90, 10, 2.5631), (75, 25, 1.3490)):
        assert d_prime_yes_no(hits, 100, alarms, 100) == pytest.approx(expected, abs=1e-4)
    assert math.isfinite(d_prime_yes_no(10, 10, 0, 10))


def test_trend_is_least_squares_with_robust_errors() -> None:
    rng = np.random.default_rng(4)
    weeks = np.sort(rng.uniform(0, 5, 120))
    right = rng.random(120) < 0.5 + 0.08 * weeks
    fit = sm.OLS(right.astype(float), sm.add_constant(weeks)).fit(cov_type="HC1")
    found = trend([float(week) * 604800 for week in weeks], [bool(bit) for bit in right])
    low, high = fit.conf_int()[1]
    assert (found.change, found.low, found.high) == pytest.approx((fit.params[1], low, high), abs=1e-6)
    assert found.direction == "up"


def test_trend_of_little_is_steady() -> None:
    assert trend([], []).direction == "steady"
    assert trend([5.0, 5.0, 5.0], [True, False, True]).direction == "steady"


@pytest.mark.parametrize(
    "call",
    [
        lambda: wilson(3, 2),
        lambda: wilson(1, 2, confidence=1.0),
        lambda: corrected(1, 2, guess=1.0),
        lambda: d_prime_choice(0.9, 1),
        lambda: d_prime_choice(1.2, 2),
        lambda: d_prime_yes_no(1, 2, 0, 0),
        lambda: trend([1.0], []),
    ],
)
def test_impossible_counts_are_refused(call: object) -> None:
    with pytest.raises(ValueError, match=r"must|needs"):
        call()  # type: ignore[operator]


def test_rates_of_none_and_all_are_held_half_an_answer_inside() -> None:
    # 1 / 2N and 1 - 1 / 2N (Macmillan and Kaplan 1985); scipy's normal quantiles
    expected = stats.norm.ppf(1 - 1 / 40) - stats.norm.ppf(1 / 20)
    assert d_prime_yes_no(20, 20, 0, 10) == pytest.approx(expected)
    assert d_prime_yes_no(0, 20, 10, 10) == pytest.approx(stats.norm.ppf(1 / 40) - stats.norm.ppf(1 - 1 / 20))
