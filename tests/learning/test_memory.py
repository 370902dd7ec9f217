"""What the memory believes after answers, in words of the trade."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import norm

from drillapp.learning import Memory, Prior

DAY = 86400.0


def practised(bits: list[bool], feature: str = "tie", gap: float = 60.0) -> Memory:
    memory = Memory(("tie", "rest"))
    for index, bit in enumerate(bits):
        memory.observe((feature,), bit, index * gap)
    return memory


def test_right_answers_raise_and_wrong_ones_lower_what_is_expected() -> None:
    start = Memory(("tie",)).predict(("tie",), 0.0)
    assert (
        practised([False] * 8).predict(("tie",), 500.0)
        < start
        < practised([True] * 8).predict(("tie",), 500.0)
    )


def test_a_right_answer_that_could_be_guessed_proves_less() -> None:
    sure, guessed = Memory(), Memory()
    sure.observe(("tie",), True, 0.0, guess=0.0)
    guessed.observe(("tie",), True, 0.0, guess=0.5)
    assert sure.predict(("tie",), 1.0) > guessed.predict(("tie",), 1.0)


@pytest.mark.parametrize("prior", [Prior(), Prior(guess=0.25)])
def test_an_answer_without_a_guess_rate_is_one_of_the_priors_ways(prior: Prior) -> None:
    # A pick between two is right by chance one time in two, between four one time in four.
    told, untold, read = Memory(prior=prior), Memory(prior=prior), Memory(prior=prior)
    told.observe(("tie",), True, 0.0, guess=prior.guess)
    untold.observe(("tie",), True, 0.0)
    read.observe(("tie",), True, 0.0, guess=0.0)
    assert untold.belief("tie", 1.0) == told.belief("tie", 1.0)
    assert untold.belief("tie", 1.0).mean < read.belief("tie", 1.0).mean


def test_a_first_answer_moves_the_belief_as_bayes_rule_does() -> None:
    # Numerical integration (scipy) of the model at the module's head, of one kind, with nothing practised:
    # the level, a passing up or down and the sign's own part are normal, so their sum is, and
    # P(right) = guess + (1 - guess)(1 - slip) logistic(sum). After the answer a practice is in the stores,
    # so what is compared is the learner's level: its share of the sum's variance times the sum's move.
    prior = Prior(weak_share=1e-9, fleeting_share=1e-9)
    variances = (prior.level_sd**2, prior.form_sd**2, prior.feature_sd**2)
    deviation = math.sqrt(sum(variances))
    for right, guess in ((True, 0.5), (False, 0.5), (True, 0.0), (False, 0.0)):

        def chance(z: float, right: bool = right, guess: float = guess) -> float:
            read = guess + (1 - guess) * (1 - prior.slip) * expit(z)
            return float(norm.pdf(z, prior.base, deviation) * (read if right else 1 - read))

        mass, _ = quad(chance, -12, 12)
        moment, _ = quad(lambda z, chance=chance: z * chance(z), -12, 12)
        memory = Memory(prior=prior)
        memory.observe(("tie",), right, 0.0, guess)
        exact = variances[0] / sum(variances) * (moment / mass - prior.base)
        # MacKay's approximation of the normal's mean through a logistic is good to a few hundredths.
        assert memory.ability == pytest.approx(exact, rel=0.06)


def test_reading_fades_with_time_away_and_doubt_widens() -> None:
    memory = practised([True] * 12)
    soon, later = memory.belief("tie", 800.0), memory.belief("tie", 60 * DAY)
    assert later.mean < soon.mean
    assert later.high - later.low > soon.high - soon.low


def test_practice_on_a_fading_sign_is_worth_more_than_at_once() -> None:
    # the spacing effect: Cepeda, Vul, Rohrer, Wixted and Pashler 2008
    massed, spaced = practised([True] * 4), practised([True] * 4)
    test = 40 * DAY
    massed.practise("tie", 200.0)
    spaced.practise("tie", 3 * DAY)
    massed_gain = massed.predict(("tie",), 200.0 + test) - practised([True] * 4).predict(
        ("tie",), 200.0 + test
    )
    spaced_gain = spaced.predict(("tie",), 3 * DAY + test) - practised([True] * 4).predict(
        ("tie",), 3 * DAY + test
    )
    assert spaced_gain > massed_gain > 0


def test_a_new_sign_starts_near_the_learners_own_level() -> None:
    good, poor = Memory(), Memory()
    for feature in ("beat", "offbeat", "skip"):
        for index in range(10):
            good.observe((feature,), True, index * 60.0)
            poor.observe((feature,), index % 2 == 0, index * 60.0)
    assert (
        good.predict(("accent",), 700.0)
        > Memory().predict(("accent",), 0.0)
        > poor.predict(("accent",), 700.0)
    )


def test_one_weak_sign_drags_a_question_with_several() -> None:
    memory = practised([False] * 10)
    for index in range(10):
        memory.observe(("rest",), True, 1000.0 + index)
    both = memory.predict(("tie", "rest"), 2000.0)
    tie, rest = memory.predict(("tie",), 2000.0), memory.predict(("rest",), 2000.0)
    assert tie < both < (tie + rest) / 2


def test_beliefs_rebuilt_from_the_same_answers_are_the_same_to_the_last_bit() -> None:
    rng = random.Random(5)
    answers = [(rng.choice(("tie", "rest", "mute")), rng.random() < 0.7, n * 977.0) for n in range(300)]
    one, two = Memory(), Memory()
    for memory in (one, two):
        for feature, bit, now in answers:
            memory.observe((feature,), bit, now)
    for feature in ("tie", "rest", "mute"):
        assert one.belief(feature, 400000.0) == two.belief(feature, 400000.0)


def test_the_learners_level_is_that_of_the_middle_sign_not_of_a_weak_one() -> None:
    memory = Memory(("accent",))
    assert memory.level(0.0) is None
    for index in range(20):
        for feature in ("beat", "offbeat", "tie"):
            memory.observe((feature,), feature != "tie", index * 60.0)
    level = memory.level(1200.0)
    assert level is not None
    assert memory.predict(("tie",), 1200.0) < level - 0.2
    assert level == sorted(memory.predict((name,), 1200.0) for name in ("beat", "offbeat", "tie"))[1]


def test_looking_ahead_on_a_copy_leaves_the_original_alone() -> None:
    memory = practised([True] * 3)
    before = memory.belief("tie", DAY)
    twin = memory.copy()
    twin.practise("tie", DAY)
    twin.observe(("tie",), False, DAY)
    assert memory.belief("tie", DAY) == before


def test_a_clock_set_back_counts_as_no_time_away() -> None:
    back, still = Memory(), Memory()
    for memory, second in ((back, 10.0), (still, 1000.0)):
        memory.observe(("tie",), True, 1000.0)
        memory.observe(("tie",), False, second)
    assert back.belief("tie", 2000.0).mean == still.belief("tie", 2000.0).mean


def test_belief_tells_count_and_last() -> None:
    memory = practised([True, False, True])
    assert (memory.belief("tie", 500.0).count, memory.belief("tie", 500.0).last) == (3, 120.0)
    assert (memory.belief("mute", 500.0).count, memory.belief("mute", 500.0).last) == (0, None)


@pytest.mark.parametrize("bits", [[], [True], [False], [True] * 3000, [False] * 3000])
def test_one_sided_histories_stay_sane(bits: list[bool]) -> None:
    memory = practised(bits)
    for now in (0.0, 200000.0, 3650 * DAY):
        belief = memory.belief("tie", now)
        assert 0 < belief.low <= belief.mean <= belief.high < 1
        assert belief.low < belief.high
        assert belief.spread > 0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sets(st.sampled_from("abcd"), max_size=4),
            st.booleans(),
            st.floats(-1e9, 1e10, allow_nan=False),
            st.sampled_from((0.0, 0.25, 0.5)),
        ),
        max_size=60,
    )
)
def test_any_answers_in_any_order_give_numbers(
    answers: list[tuple[set[str], bool, float, float]],
) -> None:
    memory = Memory()
    for features, bit, now, guess in answers:
        memory.observe(sorted(features), bit, now, guess)
    for now in (-1e9, 0.0, 1e10):
        assert 0 < memory.predict("abcd", now) < 1
        belief = memory.belief("a", now)
        assert math.isfinite(belief.spread)
        assert 0 <= belief.low <= belief.mean <= belief.high <= 1


def test_wrong_use_is_told() -> None:
    with pytest.raises(ValueError, match="guess"):
        Memory().observe(("tie",), True, 0.0, guess=1.0)
    with pytest.raises(ValueError, match="now"):
        Memory().observe(("tie",), True, math.nan)
    with pytest.raises(ValueError, match="stores"):
        Prior(rates=(1.0,))


@pytest.mark.parametrize("right", [True, False])
def test_an_answer_moves_each_belief_in_proportion_to_its_variance(right: bool) -> None:
    # Kalman 1960: where beliefs are added up, the gain of each is its variance over that of the sum.
    prior = Prior(conditions={"fast": -0.4})
    memory = Memory(prior=prior)
    memory.observe(("tie",), right, 0.0, 0.5, ("fast",))
    effect, variance = memory.conditions["fast"]
    assert (effect - -0.4) / memory.ability == pytest.approx(prior.condition_sd**2 / prior.level_sd**2)
    assert (effect > -0.4) == right
    assert 0 < variance < prior.condition_sd**2


def test_a_condition_that_was_met_with_wrong_answers_is_expected_to_bring_more_of_them() -> None:
    memory = Memory()
    for number in range(40):
        memory.observe(("tie",), number % 2 == 0, number * 60.0, 0.0, ("fast",) if number % 2 else ())
    now = 2500.0
    assert memory.predict(("tie",), now, conditions=("fast",)) < memory.predict(("tie",), now) - 0.05
    assert memory.predict(("tie",), now, conditions=("staff only",)) == pytest.approx(
        memory.predict(("tie",), now), abs=0.01
    )


def test_with_a_guess_rate_one_is_right_by_chance_where_one_does_not_read() -> None:
    # right = guess + (1 - guess) read: the high-threshold model (Blackwell 1953)
    memory = practised([False, True, False])
    read = memory.predict(("tie",), 200.0)
    for guess in (0.25, 0.5):
        assert memory.predict(("tie",), 200.0, guess=guess) == pytest.approx(guess + (1 - guess) * read)
