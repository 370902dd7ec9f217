"""Priors from logs: what learners before this one teach about the next.

Conventions: rows of (learner, seconds, features, correct[, guess rate[, conditions]]); any order.

The loss is that of forecasting each answer from those before it (prequential, Dawid 1984), so that nothing
is fitted to what it has seen. Shared numbers: scored steps with the outer product of each learner's
gradient (Berndt, Hall, Hall and Hausman 1974), held by a weak Gaussian penalty about the default table on a
logarithmic or logit scale. Offsets and gains of single features and of sets: ridge-damped scoring steps on
what the filter leaves unexplained. Last, what the filter leaves out (`drillapp.learning.readout`).

Time is bounded: shared numbers are fitted to a sample of learners, the readout to at most so many answers;
only the last passes for offsets, gains and sets go over all rows. Nothing is drawn by chance.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from drillapp.learning.fit.fitting_readout import LEAST, fit_readout
from drillapp.learning.fit.replay import Floats, Log, Replay, answers_of, lay_out, replay
from drillapp.learning.memory import Memory
from drillapp.learning.prior import Prior

_ROUNDS, _ENOUGH = 7, 3e-4  # at most so many, and until a round gains less than that an answer
_SAMPLED, _EACH = 18_000, 300  # answers to which shared numbers are fitted, in all and of one learner
_READ = 150_000  # answers to which the readout is fitted, and offsets to begin with
_PENALTY = 1.5
_TRIES = ((0.1, 1.0), (0.1, 2.5), (0.1, 5.0), (1.0, 1.0), (10.0, 1.0))
_CONDITION_ROUNDS, _FURTHER = 8, 1.8  # steps are longer than the estimate's, which creeps
_OFFSET_SD, _GAIN_SD, _SET_SD, _LEAST_SD = 1.2, 0.4, 0.7, 0.05


@dataclass(frozen=True)
class _Number:
    """One number of the table and the scale on which it is fitted."""

    name: str
    place: int | None = None
    scale: str = "log"

    def read(self, prior: Prior) -> float:
        value = getattr(prior, self.name)
        if self.place is not None:
            value = value[self.place]
        if self.scale == "plain":
            return float(value)
        if self.name.endswith("_share"):
            value /= 0.49
        value = min(max(value, 1e-6), 1e6)
        return math.log(value) if self.scale == "log" else math.log(value / max(1 - value, 1e-6))

    def write(self, prior: Prior, at: float) -> Prior:
        value = at
        if self.scale == "log":
            value = math.exp(min(max(at, -14.0), 14.0))
        elif self.scale == "logit":
            value = 1 / (1 + math.exp(-min(max(at, -7.0), 7.0)))
            if self.name.endswith("_share"):
                value *= 0.49
        if self.place is None:
            return replace(prior, **{self.name: value})  # type: ignore[arg-type]
        values = list(getattr(prior, self.name))
        values[self.place] = value
        return replace(prior, **{self.name: tuple(values)})  # type: ignore[arg-type]


NUMBERS = (
    _Number("base", scale="plain"),
    *(_Number(name) for name in ("level_sd", "feature_sd", "fade_sd", "form_sd", "form_scale")),
    *(
        _Number(name)
        for name in ("level_noise", "feature_noise", "fade_noise", "level_drift", "feature_drift")
    ),
    *(_Number("rates", place, "logit") for place in range(5)),
    *(_Number("weights", place) for place in range(5)),
    *(_Number(f"{kind}_share", scale="logit") for kind in ("weak", "fleeting")),
    *(
        _Number(f"{kind}_{what}", scale="plain")
        for kind in ("weak", "fleeting")
        for what in ("effect", "fade")
    ),
    *(_Number(f"{kind}_gain") for kind in ("weak", "fleeting")),
    _Number("wrong"),
    _Number("slip", scale="logit"),
)
SEVERAL = (_Number("dragging"), _Number("several", scale="plain"))
"""The numbers that matter only where questions have several features."""


def fit_prior(
    rows: Iterable[Sequence[object]],
    guess: float = 0.0,
    start: Prior | None = None,
    progress: Callable[[str], None] | None = None,
) -> Prior:
    """The prior that forecasts these answers best, each from the same learner's earlier ones.

    rows: (learner, seconds, features, correct[, guess rate[, conditions of asking, as in Memory.observe]]).
    guess: the rate where a row names none; it is
    the fitted prior's own too, so that with the default of 0 a Memory with this prior predicts answers as
    they come. start: where to begin and what to lean on where rows say little. progress: told a line after
    each round. Few or no rows give the start with its guess rate.
    """
    log = lay_out(rows, guess)
    prior = replace(start or Prior(), guess=guess)
    if log.count < 30:
        return prior
    if start is None:
        prior = replace(prior, slip=0.01 if guess == 0 else prior.slip)
        share = (float(log.correct.sum()) + 1) / (log.count + 2)
        share = min(max((share - guess) / (1 - guess), 0.05), 0.95)
        prior = replace(prior, base=math.log(share / (1 - share)) - 0.5)
    numbers = NUMBERS + (SEVERAL if log.set_names else ())
    tell = progress or (lambda line: None)
    many = len(log.learners) > 1
    if many:
        prior = _fit_effects(_sample(log, _READ), prior, 3, tell, 1.5)
    prior = fit_numbers(_sample(log, _SAMPLED, _EACH), prior, numbers, tell)
    if many:
        prior = _fit_effects(log, prior, 3, tell, 0.7)
    read = [answers_of(some, place) for some in [_sample(log, _READ)] for place in range(len(some.lengths))]
    if len(log.condition_names) > 1:
        prior = _fit_conditions(read, prior, tell)
    if many and log.count >= LEAST:
        prior = replace(prior, readout=fit_readout(read, prior, tell))
    return prior


def _fit_conditions(
    learners: Sequence[Sequence[tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]]],
    prior: Prior,
    tell: Callable[[str], None],
) -> Prior:
    """Means of what conditions add, their spread among learners, and the base without conditions, from what
    each one's memory learns (expectation and maximization: Dempster, Laird and Rubin 1977)."""
    for turn in range(_CONDITION_ROUNDS):
        found: dict[str, list[tuple[float, float]]] = {}
        levels = 0.0
        for answers in learners:
            memory = Memory(prior=prior)
            for now, names, right, guess, conditions in answers:
                memory.observe(names, right, now, guess, conditions)
            levels += memory.ability
            for name, belief in memory.conditions.items():
                found.setdefault(name, []).append(belief)
        means = {}
        for name, beliefs in found.items():
            before = prior.conditions.get(name, 0.0)
            middle = sum(effect for effect, _ in beliefs) / (len(beliefs) + 1)
            means[name] = before + _FURTHER * (middle - before)
        apart = [
            doubt + (effect - means[name]) ** 2
            for name, beliefs in found.items()
            for effect, doubt in beliefs
        ]
        spread = math.sqrt((sum(apart) + Prior().condition_sd ** 2) / (len(apart) + 1))
        base = prior.base + _FURTHER * levels / (len(learners) + 1)
        prior = replace(prior, base=base, conditions=means, condition_sd=spread)
        tell(f"conditions {turn}: " + ", ".join(f"{name} {mean:+.2f}" for name, mean in means.items()))
    return prior


def loss(log: Log, prior: Prior) -> float:
    """Mean log loss (natural) of forecasting each answer from the earlier ones."""
    return float(replay(log, [prior]).loss.sum()) / max(log.count, 1)


def _sample(log: Log, answers: int, each: int | None = None) -> Log:
    """Every so manieth learner, from those with many answers to those with few, so that about so many answers
    are left, at most so many first ones of each."""
    lengths = log.lengths if each is None else np.minimum(log.lengths, each)
    step = max(1, math.ceil(int(lengths.sum()) / answers))
    keep = np.arange((step - 1) // 2, len(log.learners), step)
    if step == 1 and (each is None or len(log.seconds) <= each):
        return log
    steps = int(lengths[keep].max())
    return Log(
        log.names,
        tuple(log.learners[index] for index in keep),
        lengths[keep],
        log.seconds[:steps, keep],
        log.features[:steps, keep],
        log.slots[:steps, keep],
        log.correct[:steps, keep],
        log.guess[:steps, keep],
        log.sets[:steps, keep],
        log.set_names,
        log.own,
        log.conditions[:steps, keep],
        log.condition_names,
    )


def fit_numbers(log: Log, prior: Prior, numbers: Sequence[_Number], tell: Callable[[str], None]) -> Prior:
    """The prior with these of its shared numbers fitted to a log; what single features add stays."""
    start = np.array([number.read(prior) for number in numbers])
    at = start.copy()
    nudge, damping = 0.03, 0.1

    def table(point: Floats) -> Prior:
        found = prior
        for number, value in zip(numbers, point, strict=True):
            found = number.write(found, float(value))
        return found

    def penalty(point: Floats) -> float:
        return float(((point - start) ** 2).sum()) / (2 * _PENALTY**2)

    for turn in range(_ROUNDS):
        points = [at, *(at + nudge * row for row in np.eye(len(at)))]
        losses = replay(log, [table(point) for point in points]).loss
        scores = (losses[1:] - losses[0]) / nudge
        slope = scores.sum(1) + (at - start) / _PENALTY**2
        bend = scores @ scores.T + np.eye(len(at)) * (1 / _PENALTY**2)
        here = float(losses[0].sum()) + penalty(at)
        tries = []
        for more, length in _TRIES:
            step = -np.linalg.solve(bend + np.diag(np.diag(bend)) * damping * more, slope) * length
            tries.append(at + step * min(1.0, 2.0 / float(np.abs(step).max())))
        totals = [
            float(row.sum()) + penalty(point)
            for row, point in zip(replay(log, [table(point) for point in tries]).loss, tries, strict=True)
        ]
        best = int(np.argmin(totals))
        tell(f"round {turn + 1}: mean loss {here / log.count:.5f} -> {totals[best] / log.count:.5f}")
        if totals[best] >= here:
            damping *= 10
            if damping > 1e2:
                break
            continue
        at = tries[best]
        damping = min(max(damping * _TRIES[best][0], 1e-3), 1e3)
        if here - totals[best] < _ENOUGH * log.count:
            break
    return table(at)


def _fit_effects(log: Log, prior: Prior, rounds: int, tell: Callable[[str], None], length: float) -> Prior:
    """Offsets and gains of features and what sets add; a step that does not help is not taken."""
    found, best = prior, math.inf
    step: tuple[Floats, Floats, Floats] | None = None
    for turn in range(rounds + 1):
        trial = found if step is None else _moved(log, found, step, length)
        run = replay(log, [trial], keep=True)
        total = float(run.loss.sum())
        tell(f"effects {turn}: mean loss {total / log.count:.5f}")
        if total >= best - 1e-6 * log.count and step is not None:
            if total < best:
                found = trial
            elif turn < rounds:
                length *= 0.4
                continue
            break
        found, best = trial, total
        step = _effect_step(log, trial, run)
    return found


def _effect_step(log: Log, prior: Prior, run: Replay) -> tuple[Floats, Floats, Floats]:
    """Scoring steps for offsets, gains and sets, each damped by its prior spread."""
    count = len(log.names)
    there = run.features >= 0
    ids = run.features[there]
    weight = run.shares[there]
    slope = np.broadcast_to(run.slope[:, None], run.features.shape)[there]
    information = np.broadcast_to(run.information[:, None], run.features.shape)[there]
    practised = weight * run.filled[there]
    offsets = np.array([prior.offsets.get(name, 0.0) for name in log.names])
    gains = np.array([prior.gains.get(name, 0.0) for name in log.names])
    bend = np.asarray(np.bincount(ids, information * weight**2, count), dtype=float)
    both = np.bincount(ids, information * weight * practised, count)
    steep = np.asarray(np.bincount(ids, information * practised**2, count), dtype=float)
    offset_ridge, gain_ridge = _ridge(offsets, bend, _OFFSET_SD), _ridge(gains, steep, _GAIN_SD)
    up = np.bincount(ids, slope * weight, count) - offsets * offset_ridge
    more = np.bincount(ids, slope * practised, count) - gains * gain_ridge
    bend, steep = bend + offset_ridge, steep + gain_ridge
    whole = bend * steep - both**2
    steps = [(steep * up - both * more) / whole, (bend * more - both * up) / whole]
    sets = len(log.set_names)
    if sets:
        those = run.sets >= 0
        now = np.array(
            [
                prior.together.get(names, prior.several * (len(names) - 1)) - prior.several * (len(names) - 1)
                for names in log.set_names
            ]
        )
        down = np.asarray(np.bincount(run.sets[those], run.information[those], sets), dtype=float)
        ridge = _ridge(now, down, _SET_SD)
        up = np.bincount(run.sets[those], run.slope[those], sets) - now * ridge
        steps.append(up / (down + ridge))
    else:
        steps.append(np.zeros(0))
    return steps[0], steps[1], steps[2] * 0.5


def _ridge(effects: Floats, information: Floats, spread: float) -> float:
    """One over the variance of effects of one kind: what they come to so far, at most the spread given."""
    if not effects.any():
        return 1 / spread**2
    found = float(np.mean(effects**2 + 1 / (information + 1 / spread**2)))
    return 1 / min(max(found, _LEAST_SD**2), spread**2)


def _moved(log: Log, prior: Prior, step: tuple[Floats, Floats, Floats], length: float) -> Prior:
    offsets, gains, together = dict(prior.offsets), dict(prior.gains), dict(prior.together)
    for name, offset, gain in zip(log.names, step[0], step[1], strict=True):
        offsets[name] = offsets.get(name, 0.0) + length * _held(offset, 1.0)
        gains[name] = max(gains.get(name, 0.0) + length * _held(gain, 0.3), -0.9)
    for names, more in zip(log.set_names, step[2], strict=True):
        usual = prior.several * (len(names) - 1)
        together[names] = together.get(names, usual) + length * _held(more, 0.5)
    return replace(prior, offsets=offsets, gains=gains, together=together)


def _held(value: float, most: float) -> float:
    return min(max(float(value), -most), most)
