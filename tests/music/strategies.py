"""Hypothesis strategies: any pattern that pattern text can write."""

from __future__ import annotations

from hypothesis import strategies as st

from drillapp.music import REST, RING, Meter, Pattern, Slot

METERS = (
    "4/4",
    "3/4",
    "2/4",
    "6/8",
    "9/8",
    "12/8",
    "2/2",
    "3/8",
    "5/4",
    "2+2+3/8",
    "3+2/8",
    "3+3+2/8",
    "3+2/4",
)

slots = st.one_of(
    st.just(RING),
    st.just(REST),
    st.builds(
        Slot,
        st.just("strike"),
        st.sampled_from(("down", "up")),
        muted=st.booleans(),
        accent=st.booleans(),
    ),
)
beats = st.sampled_from((1, 2, 3, 4, 6)).flatmap(lambda n: st.tuples(*[slots] * n))


@st.composite
def patterns(draw: st.DrawFn, meters: tuple[str, ...] = METERS, most_bars: int = 3) -> Pattern:
    meter = Meter.parse(draw(st.sampled_from(meters)))
    bars = draw(st.lists(st.tuples(*[beats] * len(meter.beats)), min_size=1, max_size=most_bars))
    swing = draw(st.sampled_from((None, 2, 3)))
    from fractions import Fraction

    return Pattern(tuple(bars), meter, draw(st.integers(40, 200)), None if swing is None else Fraction(swing))
