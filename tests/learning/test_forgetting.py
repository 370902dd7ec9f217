"""The memory's forms of forgetting against published tables, and spacing in its own forecasts."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import curve_fit

from drillapp.learning import Memory
from drillapp.learning.times import HOUR, MINUTE, SCALES

DAY = 86400.0
# Savings after 19 and 63 minutes, 8.75 hours, 1, 2, 6 and 31 days. Ebbinghaus 1885, chapter VII; the
# others: Murre and
# Dros 2015 (PLoS ONE 10(7), e0120644), table 3, from a transcription.
AWAY = np.array([19.0, 63.0, 525.0, 1440.0, 2880.0, 8640.0, 44640.0]) * MINUTE
SAVINGS = {
    "Ebbinghaus": (0.582, 0.442, 0.358, 0.337, 0.278, 0.254, 0.211),
    "Dros": (0.472, 0.373, 0.276, 0.317, 0.230, 0.168, 0.041),
    "Mack": (0.544, 0.432, 0.285, 0.316, 0.365, 0.309, 0.258),
    "Seitz": (0.442, 0.325, 0.270, 0.270, 0.286, 0.205, 0.201),
}
Curve = Callable[..., np.ndarray]


def logistic(x: np.ndarray) -> np.ndarray:
    return 1 / (1 + np.exp(-x))


def by_stores(away: np.ndarray, start: float, weight: float) -> np.ndarray:
    """Stores filled alike, each emptying with its own time constant."""
    return logistic(start + weight * np.exp(-away[:, None] / np.array(SCALES)).sum(1))


def by_fading(away: np.ndarray, start: float, fading: float) -> np.ndarray:
    """Odds that fall as a power of one plus the hours away."""
    return logistic(start - fading * np.log1p(away / HOUR))


def by_one_exponential(away: np.ndarray, start: float, rate: float) -> np.ndarray:
    return start * np.exp(-rate * away)


def misfit(curve: Curve, savings: tuple[float, ...], guess: tuple[float, float]) -> float:
    found, _ = curve_fit(curve, AWAY, np.array(savings), p0=guess, maxfev=10000)
    return float(((curve(AWAY, *found) - np.array(savings)) ** 2).sum())


@pytest.mark.parametrize("who", SAVINGS)
def test_both_forms_of_forgetting_fit_the_published_tables_better_than_an_exponential(who: str) -> None:
    savings = SAVINGS[who]
    plain = misfit(by_one_exponential, savings, (0.5, 1e-6))
    assert misfit(by_stores, savings, (-1.0, 0.3)) < 0.75 * plain
    assert misfit(by_fading, savings, (0.0, 0.2)) < 0.75 * plain


def test_ebbinghaus_is_fitted_to_three_points_in_a_hundred_by_the_stores() -> None:
    assert (misfit(by_stores, SAVINGS["Ebbinghaus"], (-1.0, 0.3)) / len(AWAY)) ** 0.5 < 0.03


def best_gap(retention: float) -> float:
    """The gap (days) between two sessions that leaves most that many days after the second."""
    left = {}
    for gap in (0.0, 0.04, 0.25, 1.0, 2.0, 4.0, 7.0, 14.0, 28.0, 70.0):
        memory = Memory(("tie",))
        for session in (0.0, gap * DAY):
            for turn in range(6):
                memory.practise("tie", session + turn * 20.0)
        left[gap] = memory.predict(("tie",), (gap + retention) * DAY)
    return max(left, key=left.__getitem__)


def test_the_best_gap_between_two_sessions_grows_with_the_time_to_the_test() -> None:
    # Cepeda, Vul, Rohrer, Wixted and Pashler 2008: best gap 1, 11, 21, 21 days for tests 7, 35, 70, 350
    # days later
    gaps = [best_gap(days) for days in (1.0, 7.0, 35.0, 70.0, 350.0)]
    assert gaps == sorted(gaps)
    assert gaps[-1] > 4 * gaps[0]
    assert all(
        0 < gap < days or days == 1.0 for gap, days in zip(gaps, (1.0, 7.0, 35.0, 70.0, 350.0), strict=True)
    )
