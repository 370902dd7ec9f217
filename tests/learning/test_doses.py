"""Looking ahead in doses."""

from __future__ import annotations

import numpy as np
import pytest

from drillapp.learning import Memory, Planner
from drillapp.learning.doses import DAYS, DOSES, WAIT, curves, dealt

DAY = 86400.0
SIGNS = ("tie", "rest", "mute")


def practised(days: int = 5) -> Memory:
    memory = Memory(SIGNS)
    for day in range(days):
        for turn, sign in enumerate(SIGNS):
            memory.observe((sign,), sign != "tie", day * DAY + turn * 15.0)
    return memory


@pytest.mark.parametrize("dose", [1.0, 4.0, 15.0])
def test_a_dose_leads_where_practising_it_day_by_day_leads(dose: float) -> None:
    memory, now = practised(), 5 * DAY
    ahead = memory.copy()
    for day in range(DAYS):
        for turn in range(int(dose)):
            ahead.practise("rest", now + day * DAY + turn)
    slowly = ahead.predict(("rest",), now + (DAYS + WAIT - 1) * DAY)
    at_once = curves(memory, SIGNS, now)[SIGNS.index("rest"), DOSES.index(dose)]
    assert at_once == pytest.approx(slowly, abs=0.01)


def test_more_practice_never_leads_to_less() -> None:
    found = curves(practised(), (*SIGNS, "new"), 5 * DAY)
    assert found.shape == (4, len(DOSES))
    assert (np.diff(found, axis=1) >= 0).all()
    assert ((found > 0) & (found < 1)).all()


def test_doses_use_up_the_day_and_go_where_the_gain_is() -> None:
    memory = practised()
    doses = dealt(curves(memory, SIGNS, 5 * DAY), SIGNS, 12.0)
    assert sum(doses.values()) == pytest.approx(12.0)
    assert doses["tie"] == max(doses.values())


def test_a_sign_that_shows_only_after_many_practices_is_weighed_by_what_they_add_in_all() -> None:
    late = np.where(np.array(DOSES) >= 8, 0.9, 0.1)
    soon = 0.8 + 0.02 * np.minimum(DOSES, 4)
    doses = dealt(np.array([late, soon]), ("late", "soon"), 10.0)
    assert doses == {"late": 8.0, "soon": 2.0}


def test_a_sign_whose_questions_take_longer_gets_fewer() -> None:
    memory = practised()
    plain, slow = (Planner(SIGNS, memory=memory, costs=costs) for costs in (None, {"rest": 3.0}))
    asked = [
        [feature for features, _ in planner.plan(5 * DAY, 60) for feature in features].count("rest")
        for planner in (plain, slow)
    ]
    assert asked[1] < asked[0]


def test_costs_and_signs_below_zero_are_told() -> None:
    with pytest.raises(ValueError, match="above 0"):
        Planner(SIGNS, costs={"tie": 0.0})
    with pytest.raises(ValueError, match="above 0"):
        Planner(SIGNS, signs=0)
