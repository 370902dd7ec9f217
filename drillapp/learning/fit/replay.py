"""The memory's filter over the logs of many learners at once, for several priors at once.

Conventions: the same equations as `drillapp.learning.memory`, in arrays; axis 0 is the variant of the
prior, axis 1 the learner, axis 2 the place in the question. Used to fit priors; a test holds it to Memory's
own predictions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from drillapp.learning.prior import Prior
from drillapp.learning.times import DAY, HOUR, SCALES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_DECAYS = -1 / np.array(SCALES)
_STORES = len(SCALES)


@dataclass(frozen=True)
class Log:
    """Answers of many learners, step by step: axis 0 the step, axis 1 learners by falling number of answers.

    features: ids in `names`, -1 where a question has fewer; slots: the same in the learner's own numbering.
    lengths: answers of each learner; sets: id of the set of several features, -1 for one feature;
    conditions: id in `condition_names` of the conditions of asking (the replay leaves them out of account).
    """

    names: tuple[str, ...]
    learners: tuple[object, ...]
    lengths: Ints
    seconds: Floats
    features: Ints
    slots: Ints
    correct: NDArray[np.bool_]
    guess: Floats
    sets: Ints
    set_names: tuple[frozenset[str], ...]
    own: int
    conditions: Ints
    condition_names: tuple[tuple[str, ...], ...]

    @property
    def count(self) -> int:
        """Answers in all."""
        return int(self.lengths.sum())


def lay_out(rows: Iterable[Sequence[object]], guess: float = 0.0) -> Log:
    """Rows of (learner, seconds, features, correct[, guess rate[, conditions]]), in any order.

    guess: the rate where a row names none. Rows at one instant keep their order; rows without a feature are
    left out.
    """
    by_learner: dict[object, list[tuple[float, int, tuple[str, ...], bool, float, tuple[str, ...]]]] = {}
    for number, row in enumerate(rows):
        learner, seconds, features, correct = row[:4]
        rate = float(row[4]) if len(row) > 4 else guess  # type: ignore[arg-type]
        names = (features,) if isinstance(features, str) else tuple(dict.fromkeys(features))  # type: ignore[call-overload]
        if not names:
            continue
        conditions: tuple[str, ...] = tuple(row[5]) if len(row) > 5 else ()  # type: ignore[arg-type]
        by_learner.setdefault(learner, []).append(
            (float(seconds), number, names, bool(correct), rate, conditions)  # type: ignore[arg-type]
        )
    learners = sorted(by_learner, key=lambda learner: (-len(by_learner[learner]), str(learner)))
    every = {name for answers in by_learner.values() for row in answers for name in row[2]}
    ids = {name: number for number, name in enumerate(sorted(every, key=str))}
    sets: dict[frozenset[str], int] = {}
    steps = max((len(by_learner[learner]) for learner in learners), default=0)
    most = max((len(row[2]) for answers in by_learner.values() for row in answers), default=1) or 1
    shape = (steps, len(learners))
    seconds_of, guesses = np.zeros(shape), np.zeros(shape)
    right = np.zeros(shape, dtype=bool)
    set_of = np.full(shape, -1, dtype=np.int64)
    condition_of = np.zeros(shape, dtype=np.int64)
    circumstances: dict[tuple[str, ...], int] = {(): 0}
    feature_of, slot_of = (np.full((*shape, most), -1, dtype=np.int64) for _ in range(2))
    own = 1
    for column, learner in enumerate(learners):
        slots: dict[str, int] = {}
        for step, (at, _, names, correct, rate, conditions) in enumerate(
            sorted(by_learner[learner], key=lambda row: row[:2])
        ):
            seconds_of[step, column], right[step, column], guesses[step, column] = at, correct, rate
            condition_of[step, column] = circumstances.setdefault(conditions, len(circumstances))
            for place, name in enumerate(names):
                feature_of[step, column, place] = ids[name]
                slot_of[step, column, place] = slots.setdefault(name, len(slots))
            if len(names) > 1:
                set_of[step, column] = sets.setdefault(frozenset(names), len(sets))
        own = max(own, len(slots))
    lengths = np.array([len(by_learner[learner]) for learner in learners], dtype=np.int64)
    return Log(
        tuple(ids),
        tuple(learners),
        lengths,
        seconds_of,
        feature_of,
        slot_of,
        right,
        guesses,
        set_of,
        tuple(sets),
        own,
        condition_of,
        tuple(circumstances),
    )


@dataclass(frozen=True)
class Replay:
    """What a replay gives. loss: minus log chance of the answers, (variant, learner).

    The rest, for the first variant only and one row an answer (by step, then learner): chance of what was
    answered right, its slope and information by the logit, the features with their weight in the question
    and what their stores added, the set, seconds since the feature last practised longest ago (inf for a
    new one).
    """

    loss: Floats
    chance: Floats
    correct: NDArray[np.bool_]
    slope: Floats
    information: Floats
    features: Ints
    shares: Floats
    filled: Floats
    sets: Ints
    away: Floats


def replay(log: Log, priors: Sequence[Prior], keep: bool = False) -> Replay:
    """Run the filter for each prior over the whole log; keep: gather what is wanted for each answer, too.

    Offsets, gains and sets are taken from the first prior.
    """
    first = priors[0]
    p = _Table(priors)
    variants, learners, own = len(priors), len(log.lengths), log.own
    offset = np.array([first.offsets.get(name, 0.0) for name in log.names] + [0.0])
    gain = np.array([first.gains.get(name, 0.0) for name in log.names] + [0.0])
    usual = [first.several * (len(names) - 1) for names in log.set_names]
    known = [first.together.get(names, math.nan) for names in log.set_names]
    sizes = np.array([len(names) - 1 for names in log.set_names] + [0], dtype=float)
    fixed = np.array([*known, 0.0]) if usual else np.array([0.0])

    shape = (variants, learners, own, p.kinds.shape[3])
    weights, u, d = (np.broadcast_to(p.kinds[..., index], shape).copy() for index in range(3))
    gains = p.kinds[..., 3]
    uu = np.broadcast_to(p.feature_sd[..., None] ** 2, shape).copy()
    dd = np.broadcast_to(p.fade_sd[..., None] ** 2, shape).copy()
    ud = np.zeros(shape)
    stores = np.zeros((variants, learners, own, _STORES))
    last = np.full((learners, own), np.nan)
    a, b = np.zeros((variants, learners)), np.zeros((variants, learners))
    aa = np.broadcast_to(p.level_sd[:, :, 0] ** 2, (variants, learners)).copy()
    bb = np.broadcast_to(p.form_sd[:, :, 0] ** 2, (variants, learners)).copy()
    clock = np.full(learners, np.nan)
    loss = np.zeros((variants, learners))
    kept: list[tuple[NDArray[np.generic], ...]] = []

    level_ceiling = p.level_sd[:, :, 0] ** 2
    feature_ceiling, fade_ceiling = p.feature_sd[..., None] ** 2, p.fade_sd[..., None] ** 2
    for step in range(len(log.seconds)):
        active = int(np.searchsorted(-log.lengths, -step, side="left"))
        line = np.arange(active)[:, None]
        slot = log.slots[step, :active]
        most = max(int((slot >= 0).sum(1).max(initial=1)), 1)
        slot = slot[:, :most]
        there = slot >= 0
        slot = np.where(there, slot, own - 1)
        now = log.seconds[step, :active]

        gap = np.nan_to_num(np.maximum(now - clock[:active], 0.0))
        clock[:active] = np.fmax(clock[:active], now)
        aa[:, :active] = _widened(aa[:, :active], gap, p.level_drift[:, :, 0], level_ceiling)
        held = np.exp(-gap / p.form_scale[:, :, 0])
        b[:, :active] *= held
        bb[:, :active] = held * held * bb[:, :active] + (1 - held * held) * p.form_sd[:, :, 0] ** 2

        since = now[:, None] - last[line, slot]
        gap = np.nan_to_num(np.maximum(since, 0.0))
        moved = np.fmax(last[line, slot], now[:, None])
        away = np.log1p(gap / HOUR)
        at = (slice(None), line, slot)
        x = stores[at] * np.exp(gap[..., None] * _DECAYS)
        f_uu = _widened(uu[at], gap[..., None], p.feature_drift[..., None], feature_ceiling)
        f_ud, f_dd, part = ud[at], dd[at], weights[at]
        ids = np.where(there, log.features[step, :active, :most], -1)
        filled = (x * p.weights).sum(-1)
        lag = away[..., None]
        h = (
            (p.base + offset[ids])[..., None]
            + u[at]
            - d[at] * lag
            + ((1 + gain[ids]) * filled)[..., None] * gains
        )
        doubt = f_uu - lag * (2 * f_ud - lag * f_dd)
        mid = (part * h).sum(-1)
        mid_doubt = np.maximum((part * (doubt + h * h)).sum(-1) - mid * mid, 1e-6)
        lowest = np.where(there, mid, np.inf).min(-1, keepdims=True)
        pulls = np.where(there, np.exp(p.dragging * np.where(there, lowest - mid, 0.0)), 0.0)
        share = pulls / pulls.sum(-1, keepdims=True)
        set_id = log.sets[step, :active]
        extra = np.where(np.isnan(fixed[set_id]), p.several[:, :, 0] * sizes[set_id], fixed[set_id])
        mean = a[:, :active] + b[:, :active] + (share * mid).sum(-1) + extra
        variance = aa[:, :active] + bb[:, :active] + (share * share * mid_doubt).sum(-1)
        means = mean[..., None, None] + share[..., None] * (h - mid[..., None])
        variances = variance[..., None, None] + share[..., None] ** 2 * (doubt - mid_doubt[..., None])

        narrow = 1 / np.sqrt(1 + math.pi / 8 * variances)
        read = 1 / (1 + np.exp(-np.clip(means * narrow, -500, 500)))
        guess = log.guess[step, :active]
        top = ((1 - guess) * (1 - p.slip[:, :, 0]))[..., None, None]
        chances = guess[:, None, None] + top * read
        right = log.correct[step, :active]
        slopes = top * narrow * read * (1 - read)
        bends = slopes * narrow * (1 - 2 * read)
        sign = np.where(right, 1.0, -1.0)[:, None, None]
        seen = np.maximum(np.where(right[:, None, None], chances, 1 - chances), 1e-9)
        scores = sign * slopes / seen
        bends = np.maximum(np.minimum(sign * bends / seen - scores * scores, 0.0), -0.95 / variances)
        chance = (share * (part * chances).sum(-1)).sum(-1)
        loss[:, :active] -= np.log(np.maximum(np.where(right, chance, 1 - chance), 1e-9))
        part = part * seen
        part = part / part.sum(-1, keepdims=True)
        both = (part * scores).sum(-1)
        score = (share * both).sum(-1)
        bend = (share * ((part * (bends + scores**2)).sum(-1) - both**2)).sum(-1)
        bend = np.minimum(bend, 0.0)
        if keep:
            steep = (share * (part * slopes).sum(-1)).sum(-1)[0]
            information = steep**2 / np.maximum(chance[0] * (1 - chance[0]), 1e-9)
            longest = np.where(there, np.where(np.isnan(since), np.inf, gap), 0.0).max(-1)
            pad = ((0, 0), (0, log.slots.shape[2] - most))
            kept.append(
                (
                    chance[0],
                    right,
                    score[0],
                    information,
                    np.pad(ids, pad, constant_values=-1),
                    np.pad(share[0], pad),
                    np.pad(filled[0], pad),
                    set_id,
                    longest,
                )
            )

        a[:, :active] += aa[:, :active] * score
        aa[:, :active] = (
            np.maximum(aa[:, :active] * (1 + aa[:, :active] * bend), 1e-6) + p.level_noise[:, :, 0]
        )
        b[:, :active] += bb[:, :active] * score
        bb[:, :active] = np.maximum(bb[:, :active] * (1 + bb[:, :active] * bend), 0.0)

        to_u = share[..., None] * (f_uu - lag * f_ud)
        to_d = share[..., None] * (f_ud - lag * f_dd)
        power = np.where(right[:, None, None], 1.0, p.wrong[..., None])
        full = np.cumsum(x, axis=-1) / np.arange(1, _STORES + 1)
        x = x + power * p.rates * np.maximum(1 - full, 0.0)
        values = (
            u[at] + to_u * scores,
            d[at] + to_d * scores,
            _bounded(f_uu + to_u * to_u * bends + p.feature_noise[..., None], f_uu, feature_ceiling),
            f_ud + to_u * to_d * bends,
            _bounded(f_dd + to_d * to_d * bends + p.fade_noise[..., None], f_dd, fade_ceiling),
            np.maximum(part, 1e-9),
        )
        row, place = np.nonzero(there)
        target = (slice(None), row, slot[row, place])
        for state, value in zip((u, d, uu, ud, dd, weights), values, strict=True):
            state[target] = value[:, row, place]
        stores[target] = x[:, row, place]
        last[row, slot[row, place]] = moved[row, place]
    if not kept:
        empty: tuple[NDArray[np.generic], ...] = tuple(np.zeros(0) for _ in range(9))
        return Replay(loss, *empty)  # type: ignore[arg-type]
    return Replay(loss, *(np.concatenate(parts) for parts in zip(*kept, strict=True)))


class _Table:
    """The numbers of several priors as arrays that broadcast over (variant, learner, place)."""

    def __init__(self, priors: Sequence[Prior]) -> None:
        def column(name: str) -> Floats:
            return np.array([getattr(prior, name) for prior in priors], dtype=float)[:, None, None]

        self.base, self.several, self.dragging = column("base"), column("several"), column("dragging")
        self.level_sd, self.feature_sd, self.fade_sd = (
            column("level_sd"),
            column("feature_sd"),
            column("fade_sd"),
        )
        self.form_sd, self.form_scale = column("form_sd"), column("form_scale")
        self.level_noise, self.feature_noise = column("level_noise"), column("feature_noise")
        self.fade_noise = column("fade_noise")
        self.level_drift, self.feature_drift = column("level_drift"), column("feature_drift")
        self.wrong, self.slip = column("wrong"), column("slip")
        self.kinds = np.array([prior.kinds for prior in priors])[:, None, None]
        self.rates = np.array([prior.rates for prior in priors])[:, None, None, :]
        self.weights = np.array([prior.weights for prior in priors])[:, None, None, :]


def _widened(variance: Floats, gap: Floats, drift: Floats, ceiling: Floats) -> Floats:
    return np.where(variance >= ceiling, variance, np.minimum(variance + drift * gap / DAY, ceiling))


def _bounded(noisy: Floats, before: Floats, ceiling: Floats) -> Floats:
    return np.maximum(np.minimum(noisy, np.maximum(before, ceiling)), 1e-6)


def answers_of(log: Log, place: int) -> list[tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]]:
    """One learner's answers in order: seconds, features, right or wrong, guess rate, conditions."""
    length = int(log.lengths[place])
    return [
        (
            now,
            tuple([log.names[feature] for feature in features if feature >= 0]),
            right,
            guess,
            log.condition_names[conditions],
        )
        for now, features, right, guess, conditions in zip(
            log.seconds[:length, place].tolist(),
            log.features[:length, place].tolist(),
            log.correct[:length, place].tolist(),
            log.guess[:length, place].tolist(),
            log.conditions[:length, place].tolist(),
            strict=True,
        )
    ]
