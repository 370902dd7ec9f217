"""How an answer and time away move one feature's trace.

Conventions and sources: as in `drillapp.learning.memory`. Hot code: plain floats, no checks.
"""

from __future__ import annotations

import math

from .prior import Prior
from .times import DAY, HOUR
from .traces import DECAYS, LEAST, RARE, Part, Trace, evidence_of

_exp, _log1p = math.exp, math.log1p


def settle(trace: Trace, now: float, prior: Prior) -> float:
    """Bring a trace to that time: stores fade, doubt widens; gives ln(1 + hours away)."""
    last = trace.last
    if last is None:
        trace.last = now
        return 0.0
    if now <= last:
        return 0.0
    gap = now - last
    trace.stores = [store * _exp(gap * decay) for store, decay in zip(trace.stores, DECAYS)]  # noqa: B905
    more, most = prior.feature_drift * gap / DAY, prior.feature_sd * prior.feature_sd
    for kind in trace.kinds:
        uu = kind.uu
        if uu < most:
            kind.uu = uu + more if uu + more < most else most
    trace.last = now
    return _log1p(gap / HOUR)


def learn(
    trace: Trace,
    share: float,
    away: float,
    parts: list[Part],
    rest: float,
    doubts: float,
    right: bool,
    guess: float,
    prior: Prior,
) -> tuple[float, float]:
    """Move the beliefs about one feature by an answer in which it had this share.

    rest, doubts: logit mean and variance of all else in the question. Gives slope and bend for what is
    shared.
    """
    top = (1 - guess) * (1 - prior.slip)
    feature_noise, fade_noise = prior.feature_noise, prior.fade_noise
    most, most_fade = prior.feature_sd * prior.feature_sd, prior.fade_sd * prior.fade_sd
    square = share * share
    total = slopes = bends = 0.0
    for kind, (weight, h, doubt) in zip(trace.kinds, parts):  # noqa: B905
        chance, slope, bend = evidence_of(rest + share * h, doubts + square * doubt, right, guess, top)
        uu, ud, dd = kind.uu, kind.ud, kind.dd
        to_u = share * (uu - away * ud)
        to_d = share * (ud - away * dd)
        kind.u += to_u * slope
        kind.d += to_d * slope
        kind.ud = ud + to_u * to_d * bend
        noisy = uu + to_u * to_u * bend + feature_noise
        if noisy > most:
            noisy = uu if uu > most else most
        kind.uu = noisy if noisy > LEAST else LEAST
        noisy = dd + to_d * to_d * bend + fade_noise
        if noisy > most_fade:
            noisy = dd if dd > most_fade else most_fade
        kind.dd = noisy if noisy > LEAST else LEAST
        chance *= weight
        kind.weight = chance
        total += chance
        slopes += chance * slope
        bends += chance * (bend + slope * slope)
    for kind in trace.kinds:
        weight = kind.weight / total
        kind.weight = weight if weight > RARE else RARE
    slopes /= total
    return slopes, bends / total - slopes * slopes
