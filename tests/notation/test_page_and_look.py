"""The page shows what `music.look` says the eye gets: no more differences, and no fewer."""

from __future__ import annotations

import random
from itertools import combinations

from drillapp.music import LAYERS, REST, RING, PatternError, Slot, look
from drillapp.notation import engrave

SUBSETS = [subset for size in range(1, 6) for subset in combinations(LAYERS, size)]
WAYS = [
    REST,
    RING,
    *(
        Slot("strike", hand, muted, accent)
        for hand in ("down", "up")
        for muted in (0, 1)
        for accent in (0, 1)
    ),
]


def variants(patterns, seed: int):
    """Pairs of patterns that differ in one slot or two."""
    rng = random.Random(seed)
    for pattern in patterns:
        places = rng.sample(range(len(pattern.places)), min(2, len(pattern.places)))
        changes = {place: rng.choice(WAYS) for place in places[: rng.choice((1, 2))]}
        try:
            other = pattern.with_slots(changes)
        except PatternError:
            continue
        yield pattern, other


def page(pattern, layers) -> list[str]:
    return sorted(repr(item) for item in engrave(pattern, layers, steady=True).items)


def test_patterns_look_different_on_the_page_exactly_where_their_looks_differ(generated):
    differing = 0
    for number, (one, other) in enumerate(variants(generated(350), 11)):
        for layers in (SUBSETS[number % len(SUBSETS)], SUBSETS[(7 * number + 3) % len(SUBSETS)]):
            same_look = look(one, layers) == look(other, layers)
            assert (page(one, layers) == page(other, layers)) is same_look, (one.text, other.text, layers)
            differing += not same_look
    assert differing > 250
