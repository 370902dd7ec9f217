"""Fresh patterns have the habits of the shipped decks, and a trained judge cannot tell them apart.

For each shipped pattern one is made with the same signs, in the same meter, as difficult as it. The judge is
a random forest (L. Breiman, Machine Learning 45, 2001; scikit-learn's), trained on half, tested on the rest.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from sklearn.ensemble import RandomForestClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from drillapp.decks.load import load_decks
from drillapp.music import Pattern
from drillapp.music.fresh import profile
from drillapp.music.fresh.fit import counted
from drillapp.music.fresh.statistics import SIGNS, by_slot, counterparts, measures, table

MOST_TOLD = 0.65


@cache
def both() -> tuple[tuple[Pattern, ...], tuple[Pattern, ...]]:
    decks, _ = load_decks()
    written = tuple(pattern.pattern for deck in decks for pattern in deck.patterns)
    return written, counterparts(written, seed=1)


@cache
def numbers() -> tuple[np.ndarray, np.ndarray]:
    written, made = both()
    # Difficulty is what the maker was told, so it is no habit of its own.
    rows = [[value for name, value in measures(p).items() if name != "difficulty"] for p in written + made]
    return np.array(rows), np.array([0] * len(written) + [1] * len(made))


def told_apart(judge, seed: int) -> float:
    rows, kinds = numbers()
    order = np.random.default_rng(seed).permutation(len(kinds))
    train, rest = order[: len(order) // 2], order[len(order) // 2 :]
    return float(judge.fit(rows[train], kinds[train]).score(rows[rest], kinds[rest]))


def test_the_profile_is_that_of_the_shipped_decks():
    """After a change of the decks: `python -m drillapp statistics --fit drillapp/music/fresh/profile.py`."""
    assert Path(profile.__file__).read_text(encoding="utf-8") == counted(both()[0])


def test_nearly_every_shipped_pattern_has_a_counterpart():
    written, made = both()
    assert len(made) >= 0.98 * len(written)


def test_a_trained_forest_cannot_tell_them_apart():
    judges = [
        told_apart(RandomForestClassifier(120, min_samples_leaf=3, random_state=seed), seed)
        for seed in range(3)
    ]
    assert np.mean(judges) <= MOST_TOLD, judges


def test_a_trained_line_cannot_tell_them_apart():
    line = make_pipeline(StandardScaler(), LogisticRegression(C=0.3, max_iter=2000))
    assert np.mean([told_apart(line, seed) for seed in range(3)]) <= MOST_TOLD


def test_the_judge_does_tell_noise_from_decks():
    """The judge is worth its name: patterns struck by the toss of a coin are found out."""
    written, _ = both()
    rng = np.random.default_rng(1)
    noise = []
    for pattern in written:
        struck = [place.index for place in pattern.places]
        flips = {
            index: pattern.places[int(rng.integers(len(struck)))].slot
            for index in struck
            if rng.random() < 0.5
        }
        noise.append(pattern.with_slots(flips))
    rows = np.array([list(measures(p).values()) for p in (*written, *noise)])
    kinds = np.array([0] * len(written) + [1] * len(noise))
    order = rng.permutation(len(kinds))
    train, rest = order[: len(order) // 2], order[len(order) // 2 :]
    forest = RandomForestClassifier(120, min_samples_leaf=3, random_state=1).fit(rows[train], kinds[train])
    assert forest.score(rows[rest], kinds[rest]) > 0.75


@pytest.mark.parametrize(
    "name",
    [
        "strokes a beat",
        "syncopation a bar",
        "strong beat struck",
        "weak beat struck",
        "offbeat struck",
        "sixteenth struck",
        "compound struck",
        "muted strokes",
        "accented strokes",
        "last beat struck",
        *(f"shows {sign}" for sign in SIGNS),
    ],
)
def test_habits_lie_within_a_third_of_a_deviation(name):
    apart = {row[0]: row[3] for row in table(*both())}
    assert abs(apart[name]) < 1 / 3


def test_each_place_of_a_bar_of_eighths_is_struck_about_as_often():
    written, made = (by_slot(patterns, "4/4", 2) for patterns in both())
    assert np.abs(np.array(written) - np.array(made)).max() < 0.2
    assert np.corrcoef(written, made)[0, 1] > 0.85
