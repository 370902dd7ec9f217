"""What an answer holds, and the evidence in it."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillapp.records import Answer, FactorAnswer, evidence_of, new_id
from drillapp.records.answer import as_dict, from_dict
from drillapp.records.limits import LATEST
from drillapp.records.lines import compact


def test_each_factor_is_one_observation(answer: Callable[..., Answer]) -> None:
    tie = FactorAnswer("2", ("tie", "skip"), "tied on", "struck", False, 0.5, True)
    mute = FactorAnswer("3", ("mute",), "struck", "struck", True, 0.5, False)
    first, second = evidence_of(answer(factors=(tie, mute), first_seen=True, tempo=100, utc=5.0))
    assert (first.features, first.correct, first.guess, first.present) == (("tie", "skip"), False, 0.5, True)
    assert (second.features, second.correct, second.present) == (("mute",), True, False)
    for seen in (first, second):
        assert (seen.first_seen, seen.time, seen.layers, seen.tempo) == (True, 5.0, ("letters", "staff"), 100)
        assert (seen.learner, seen.drill, seen.seconds, seen.sure) == ("ana", "page to sound", 4.25, True)


def test_not_sure_is_neither_a_guess_nor_right(answer: Callable[..., Answer]) -> None:
    factor = FactorAnswer("2", ("tie",), "tied on", None, False, 0.5, True)
    (seen,) = evidence_of(answer(pick=None, factors=(factor,)))
    assert not seen.sure
    assert not seen.correct


def test_a_drill_without_candidates_is_sure(answer: Callable[..., Answer]) -> None:
    strummed = answer(drill="strum", candidates=(), pick=None, written=None, extra={"hits": [[0.01, "down"]]})
    assert strummed.sure


def test_half_past_midnight_in_summer_is_the_next_day(answer: Callable[..., Answer]) -> None:
    # 22:30 UTC is 00:30 on the next day in Central European summer time, UTC+2 (IANA time zone database).
    late = answer(utc=1_750_026_600.0, offset=120)
    assert late.local.isoformat() == "2025-06-16T00:30:00+02:00"
    assert late.day == date(2025, 6, 16)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("learner", ""),
        ("session", 7),
        ("utc", float("nan")),
        ("utc", -1.0),
        ("utc", "now"),
        ("offset", 1441),
        ("offset", 60.0),
        ("pattern", "D\0"),
        ("pattern", "\ud800"),
        ("pattern", "D" * 8001),
        ("tempo", 0),
        ("tempo", True),
        ("swing", "1e999999999"),
        ("swing", "2/0"),
        ("layers", ["staff"]),
        ("candidates", "D-"),
        ("pick", 2),
        ("pick", -1),
        ("written", True),
        ("factors", ({"at": "2"},)),
        ("seconds", float("inf")),
        ("heard", (1.5,)),
        ("heard", [1]),
        ("first_seen", 1),
        ("why", ""),
        ("extra", {1: 2}),
        ("extra", {"a": float("nan")}),
        ("extra", {"a": b"bytes"}),
        ("extra", {"a": "x" * 200_001}),
        ("extra", []),
    ],
)
def test_a_value_that_does_not_fit_is_named(answer: Callable[..., Answer], field: str, value: object) -> None:
    with pytest.raises(ValueError, match=field):
        answer(**{field: value})


@pytest.mark.parametrize(
    ("field", "value"),
    [("at", "one"), ("features", ["tie"]), ("written", None), ("read", 3), ("correct", 1), ("guess", 1.1)],
)
def test_a_factor_value_that_does_not_fit_is_named(field: str, value: object) -> None:
    values = {"at": "2", "features": ("tie",), "written": "struck", "read": None, "correct": False}
    with pytest.raises(ValueError, match=field):
        FactorAnswer(**{**values, "guess": 0.5, "present": True, field: value})  # type: ignore[arg-type]


def test_ids_never_come_twice() -> None:
    assert len({new_id() for _ in range(1000)}) == 1000


texts = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), min_size=1, max_size=30)
factors = st.builds(
    FactorAnswer,
    at=st.fractions(0, 16, max_denominator=24).map(str),
    features=st.lists(texts, max_size=3).map(tuple),
    written=texts,
    read=st.none() | texts,
    correct=st.booleans(),
    guess=st.floats(0, 0.99),
    present=st.booleans(),
)
answers = st.builds(
    Answer,
    id=texts,
    learner=texts.filter(str.isprintable),
    session=texts,
    utc=st.floats(0, 4e9),
    offset=st.integers(-720, 840),
    drill=texts,
    pattern=texts,
    meter=st.sampled_from(["4/4", "6/8", "2+2+3/8"]),
    tempo=st.integers(30, 240) | st.floats(30, 240),
    swing=st.none() | st.fractions(1, 4, max_denominator=5).map(str),
    layers=st.lists(texts, max_size=5).map(tuple),
    factors=st.lists(factors, max_size=3).map(tuple),
    seconds=st.floats(0, 1e5),
    heard=st.lists(st.integers(0, 99), max_size=4).map(tuple),
    first_seen=st.booleans(),
    extra=st.dictionaries(texts, st.integers(-5, 5) | texts | st.lists(st.booleans())),
)


@given(answers)
def test_an_answer_comes_back_from_json_unchanged(given_answer: Answer) -> None:
    again = from_dict(json.loads(compact(as_dict(given_answer))))
    assert again == given_answer
    assert hash(again) == hash(given_answer)
    assert [Fraction(one.at) for one in again.factors] == [Fraction(one.at) for one in given_answer.factors]


@pytest.mark.parametrize("change", [{"more": 1}, {"utc": None}, {"layers": "staff"}, {"factors": [{}]}])
def test_json_that_is_not_an_answer_is_refused(
    answer: Callable[..., Answer], change: dict[str, object]
) -> None:
    data = json.loads(compact(as_dict(answer())))
    with pytest.raises(ValueError):
        from_dict({**data, **change})


def test_json_that_lacks_a_field_is_refused_by_its_name(answer: Callable[..., Answer]) -> None:
    data = json.loads(compact(as_dict(answer())))
    del data["tempo"]
    with pytest.raises(ValueError, match="lacks tempo"):
        from_dict(data)


@pytest.mark.parametrize("name", ["layers", "candidates", "heard", "asked", "factors"])
def test_what_should_be_a_list_is_named(answer: Callable[..., Answer], name: str) -> None:
    with pytest.raises(ValueError, match=f"^{name}: must be a list$"):
        from_dict({**as_dict(answer()), "layers": [], "candidates": [], "heard": [], "asked": [], name: "D-"})


def test_of_many_strange_fields_three_are_named(answer: Callable[..., Answer]) -> None:
    # enough to see what sort of file it is, and still one sentence
    strange = {f"field-{number}": number for number in range(6)}
    with pytest.raises(ValueError, match="field-0") as caught:
        from_dict({**as_dict(answer()), **strange})
    assert str(caught.value).count("unknown") == 3


@pytest.mark.parametrize(
    ("field", "least", "most", "beyond"),
    [
        ("tempo", 1, 1000, 1000.5),
        ("offset", -1439, 1439, 1440),  # less than a day, as datetime.timezone and PEP 495 have it
        ("seconds", 0, LATEST, LATEST * 2),
        ("utc", 0, LATEST, LATEST * 2),
        ("pick", 0, 1, 2),
        ("written", 0, 1, 2),
    ],
)
def test_the_least_and_the_most_are_still_allowed(
    answer: Callable[..., Answer], field: str, least: float, most: float, beyond: float
) -> None:
    assert getattr(answer(**{field: least}), field) == least
    assert getattr(answer(**{field: most}), field) == most
    for value in (beyond, least - 1):
        with pytest.raises(ValueError, match=f"^{field}: is .* from {least} to "):
            answer(**{field: value})


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("swing", "long", """^swing: is 'long'; must be a fraction as text, such as "3/2"$"""),
        ("version", 3, "^version: is '3'; must be text of 0 to "),
        ("drill", "", "^drill: is ''; must be text of 1 to "),
        ("why", "a\x00b", "^why: holds a character that is not text$"),
        ("first_seen", 1, "^first_seen: is 1; must be True or False$"),
        ("layers", ["staff"], r"^layers: is \"\['staff'\]\"; must be a tuple of at most 100 texts$"),
        ("heard", [1], r"^heard: is \[1\]; must be a tuple of whole numbers$"),
        ("factors", [], "^factors: must be a tuple of FactorAnswer$"),
    ],
)
def test_a_refusal_says_which_field_what_it_is_and_what_would_be_right(
    answer: Callable[..., Answer], field: str, value: object, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        answer(**{field: value})


@pytest.mark.parametrize(
    ("field", "value"), [("at", "one"), ("features", ["tie"]), ("written", None), ("read", 3), ("correct", 1)]
)
def test_a_factors_refusal_begins_with_its_field(field: str, value: object) -> None:
    values = {"at": "2", "features": ("tie",), "written": "struck", "read": None, "correct": False}
    with pytest.raises(ValueError, match=f"^{field}: "):
        FactorAnswer(**{**values, "guess": 0.5, "present": True, field: value})  # type: ignore[arg-type]
