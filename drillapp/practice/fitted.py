"""The prior that the user has fitted (`drillapp fit --out FOLDER/prior.json`), where there is one."""

from __future__ import annotations

import math
from pathlib import Path

from drillapp.files.reading import read_bounded
from drillapp.learning import Memory, Prior
from drillapp.learning.prior_file import read_prior
from drillapp.music import FEATURES
from drillapp.practice.notice import Notice

PRIOR_FILE = "prior.json"
MOST_BYTES = 50_000_000
_DAY = 86_400.0


def fitted_prior(folder: Path) -> tuple[Prior | None, tuple[Notice, ...]]:
    """The prior in the data folder, None for the shipped one, and what the user should know."""
    path = folder / PRIOR_FILE
    try:
        prior = read_prior(read_bounded(path, MOST_BYTES).decode("utf-8"))
        _try(prior)
        return prior, ()
    except FileNotFoundError:
        return None, ()
    except (OSError, ValueError, ArithmeticError, RecursionError) as error:
        return None, (
            Notice(
                "prior",
                f"{path} cannot be used ({error}); the shipped one is used. Fit it again, or delete it.",
            ),
        )


def _try(prior: Prior) -> None:
    """Raises ValueError or ArithmeticError where no memory can be kept with a prior over years of answers."""
    memory = Memory(FEATURES, prior)
    now = 1.7e9
    for gap in (1.0, 60.0, _DAY, 400 * _DAY, 4000 * _DAY):
        for feature in FEATURES:
            for features in ((feature,), (feature, FEATURES[0])):
                for correct in (True, False, False, True):
                    memory.observe(features, correct, now, 0.25)
            if not 0 <= memory.predict((feature,), now + gap) <= 1:
                raise ValueError("what it expects is no chance from 0 to 1")
            belief = memory.belief(feature, now + gap)
            if not all(map(math.isfinite, (belief.low, belief.mean, belief.high))):
                raise ValueError("what it expects is no number")
        now += gap
