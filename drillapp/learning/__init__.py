"""Evidence to memory to plan: what a learner is believed to read, and what to ask next.

Features are plain strings, time is an argument (seconds), nothing here draws, plays, stores or reads a clock.

Floor 1.
"""

from __future__ import annotations

from drillapp.learning.calibration import Bin, ForecastScore, calibration, past_forecasts
from drillapp.learning.diagnosis import Diagnosis, Suspect, diagnose
from drillapp.learning.expected import Expected, expect, surely_apart
from drillapp.learning.fit.fitting import fit_prior
from drillapp.learning.forecast import Forecast, forecast
from drillapp.learning.memory import Belief, Memory
from drillapp.learning.planner import FRESH, REACH, REFRESH, REPAIR, Planner
from drillapp.learning.prior import Prior
from drillapp.learning.statistics import (
    Interval,
    Trend,
    choice_share,
    corrected,
    d_prime_choice,
    d_prime_yes_no,
    trend,
    wilson,
)
from drillapp.learning.weakness_test import WeaknessTest

__all__ = [
    "FRESH",
    "REACH",
    "REFRESH",
    "REPAIR",
    "Belief",
    "Bin",
    "Diagnosis",
    "Expected",
    "Forecast",
    "ForecastScore",
    "Interval",
    "Memory",
    "Planner",
    "Prior",
    "Suspect",
    "Trend",
    "WeaknessTest",
    "calibration",
    "choice_share",
    "corrected",
    "d_prime_choice",
    "d_prime_yes_no",
    "diagnose",
    "expect",
    "fit_prior",
    "forecast",
    "past_forecasts",
    "surely_apart",
    "trend",
    "wilson",
]
