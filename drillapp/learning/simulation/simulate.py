"""The planner against other policies, on simulated learners whose truth is not the memory's model.

Conventions: thirty days of ten minutes (40 signs of 15 s), some days missed, answers guessed and slipped,
patterns that differ in difficulty; accuracy is the true chance of reading each feature, without guessing,
two weeks after the last planned day. All policies meet the same learners and get the same number of signs.

    gap closed = (policy - uniform) / (oracle - uniform), of mean accuracies
"""

from __future__ import annotations

import math
import multiprocessing
import random
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from drillapp.learning.planner import Planner
from drillapp.learning.simulation.learners import FAMILIES, Learner, logistic
from drillapp.learning.simulation.policies import Boxes, Missing, Oracle, Policy, RoundRobin, Uniform, Weakest
from drillapp.learning.times import DAY


@dataclass(frozen=True)
class Setting:
    """How practice and test are laid out.

    days, signs: planned days and signs a day; seconds: from one sign to the next; wait: days from the last
    planned day to the test; missed: part of the days that are missed; guess, slip: chances of right without
    reading and of wrong in spite of it; spread: of the patterns' difficulty (logits); features: how many
    signs there are.
    """

    days: int = 30
    signs: int = 40
    seconds: float = 15.0
    wait: int = 14
    missed: float = 0.15
    guess: float = 0.5
    slip: float = 0.02
    spread: float = 0.5
    features: int = 12

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the features."""
        return tuple(f"sign {number + 1}" for number in range(self.features))

    @property
    def test(self) -> float:
        """Time of the test (s from the first day's start)."""
        return (self.days - 1 + self.wait) * DAY


@dataclass(frozen=True)
class Outcome:
    """One learner's test after one policy: mean and lowest accuracy over the features."""

    family: str
    policy: str
    mean: float
    lowest: float


Maker = Callable[[Setting, Learner, int], Policy]

POLICIES: Mapping[str, Maker] = {
    "uniform": lambda setting, learner, seed: Uniform(setting.names, seed),
    "round robin": lambda setting, learner, seed: RoundRobin(setting.names, seed),
    "boxes": lambda setting, learner, seed: Boxes(setting.names, seed),
    "weakest": lambda setting, learner, seed: Weakest(setting.names, seed),
    "missing": lambda setting, learner, seed: Missing(setting.names, seed),
    "planner": lambda setting, learner, seed: Planner(setting.names, seed),
    "oracle": lambda setting, learner, seed: Oracle(
        setting.names,
        seed,
        learner,
        setting.days,
        setting.signs,
        setting.test,
        kept=1 - setting.missed,
        guess=setting.guess,
    ),
}
"""Missing asks in proportion to 1 - p + 0.05, p a fading guess-corrected mean; weakest asks the lowest."""


def practise(
    learner: Learner, policy: Policy, setting: Setting, rng: random.Random
) -> Iterator[tuple[float, str, bool]]:
    """Let a learner practise by a policy; gives each answer: (time, feature, right)."""
    for day in range(setting.days):
        if day and rng.random() < setting.missed:
            continue
        number = 0
        while number < setting.signs:
            now = day * DAY + number * setting.seconds
            features = policy.next(now)
            bits = []
            for feature in features:
                p = min(max(learner.chance(feature, now), 1e-4), 1 - 1e-4)
                item = logistic(math.log(p / (1 - p)) + rng.gauss(0.0, setting.spread))
                right = rng.random() < item * (1 - setting.slip) or rng.random() < setting.guess
                learner.practise(feature, now, float(right))
                bits.append(right)
                number += 1
                yield now, feature, right
            policy.record(now, features, bits)


def outcomes(family: int, seed: int, setting: Setting, policies: Sequence[str]) -> list[Outcome]:
    """Tests of one learner (of that family, drawn from that seed) after each policy."""
    results = []
    for name in policies:
        learner = FAMILIES[family](setting.names, random.Random(seed))
        policy = POLICIES[name](setting, learner, seed)
        for _ in practise(learner, policy, setting, random.Random(seed * 7919 + 1)):
            pass
        ends = [learner.chance(feature, setting.test) for feature in setting.names]
        results.append(Outcome(learner.family, name, fmean(ends), min(ends)))
    return results


def compare(
    learners: int = 240,
    setting: Setting | None = None,
    policies: Sequence[str] = tuple(POLICIES),
    seed: int = 0,
    workers: int = 2,
    progress: Callable[[int, int], None] | None = None,
) -> list[Outcome]:
    """Test so many learners, evenly over the families, after each policy.

    progress: told how many learners are done, and of how many. Raises ValueError for an unknown policy.
    """
    unknown = [name for name in policies if name not in POLICIES]
    if unknown:
        raise ValueError(f"no policy {', '.join(unknown)}; there are {', '.join(POLICIES)}")
    setting = setting or Setting()
    jobs = [
        (number % len(FAMILIES), zlib.crc32(f"{seed}/{number}".encode()), setting, tuple(policies))
        for number in range(learners)
    ]
    results: list[Outcome] = []
    if workers < 2:
        for done, job in enumerate(jobs):
            results += _one(job)
            if progress:
                progress(done + 1, learners)
        return results
    with multiprocessing.get_context("spawn").Pool(workers) as pool:
        for done, found in enumerate(pool.imap(_one, jobs, chunksize=1)):
            results += found
            if progress:
                progress(done + 1, learners)
    return results


def _one(job: tuple[int, int, Setting, tuple[str, ...]]) -> list[Outcome]:
    return outcomes(*job)


@dataclass(frozen=True)
class Line:
    """One policy on one family ("all": on all): mean and lowest accuracy at the test, gap closed."""

    family: str
    policy: str
    mean: float
    lowest: float
    closed: float


def summary(results: Sequence[Outcome]) -> list[Line]:
    """Lines for each family and all, each policy; nan where the gap is not known."""
    families = list(dict.fromkeys(outcome.family for outcome in results))
    policies = list(dict.fromkeys(outcome.policy for outcome in results))
    lines = []
    for family in [*families, "all"]:
        means = {
            policy: fmean(o.mean for o in results if o.policy == policy and family in (o.family, "all"))
            for policy in policies
        }
        gap = means.get("oracle", math.nan) - means.get("uniform", math.nan)
        for policy in policies:
            lowest = fmean(o.lowest for o in results if o.policy == policy and family in (o.family, "all"))
            closed = (means[policy] - means.get("uniform", math.nan)) / gap if gap else math.nan
            lines.append(Line(family, policy, means[policy], lowest, closed))
    return lines


def table(lines: Sequence[Line]) -> str:
    """The lines as a text table."""
    head = f"{'family':<12} {'policy':<12} {'mean':>7} {'lowest':>7} {'gap closed':>11}"
    rows = [
        f"{line.family:<12} {line.policy:<12} {line.mean:7.3f} {line.lowest:7.3f} {line.closed:11.0%}"
        for line in lines
    ]
    return "\n".join([head, *rows])
