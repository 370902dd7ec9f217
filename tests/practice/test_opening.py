"""Opening a practice from its folder: every fault is one kind of error, and nothing accepted stops it."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.decks.load import load_decks
from drillapp.desk.desk import TeachersDesk
from drillapp.learning import Prior
from drillapp.learning.prior_file import write_prior
from drillapp.music import FEATURES, LAYERS
from drillapp.practice import opening
from drillapp.practice.fitted import PRIOR_FILE, fitted_prior
from drillapp.practice.opening import LOG_FILE, open_practice
from drillapp.records import Answer, FactorAnswer, LogError, open_log
from drillapp.records.limits import LATEST, MAX_GUESS

NOW = 1_790_000_000.0


def opened(folder: Path):
    return open_practice(folder, lambda: load_decks(), lambda: NOW, seed=3)


texts = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), min_size=1, max_size=12)
ids = texts.filter(str.isprintable)
features = st.lists(st.sampled_from(FEATURES) | texts, max_size=4).map(tuple)
numbers = st.floats(0, LATEST) | st.integers(0, int(LATEST)) | st.just(0) | st.just(LATEST)
factors = st.builds(
    FactorAnswer,
    at=st.fractions(-8, 16, max_denominator=24).map(str) | st.just("-999999999999/999999999999"),
    features=features,
    written=texts,
    read=st.none() | texts,
    correct=st.booleans(),
    guess=st.floats(0, MAX_GUESS) | st.just(MAX_GUESS),
    present=st.booleans(),
)
answers = st.builds(
    Answer,
    learner=st.just("ana"),
    session=texts,
    utc=numbers,
    offset=st.integers(-1439, 1439),
    drill=texts,
    pattern=st.sampled_from(["D- DU -U DU", "x", "|||", "D" * 8000]) | texts,
    meter=texts,
    tempo=st.floats(1, 1000) | st.sampled_from([1, 1000]),
    swing=st.none() | st.just("0"),
    layers=st.lists(st.sampled_from(LAYERS) | texts, max_size=3).map(tuple),
    candidates=st.lists(texts, max_size=3).map(tuple),
    factors=st.lists(factors, max_size=4).map(tuple),
    seconds=numbers,
    heard=st.lists(st.integers(0, 1_000_000), max_size=3).map(tuple),
    first_seen=st.booleans(),
    why=st.none() | texts,
    asked=features,
    extra=st.dictionaries(texts, st.integers(-5, 5) | texts | st.lists(st.booleans()), max_size=2),
)


@settings(max_examples=15, deadline=None)
@given(given_answers=st.lists(answers, max_size=12))
def test_whatever_the_check_accepts_every_room_can_use(
    tmp_path_factory: pytest.TempPathFactory, given_answers: list[Answer]
) -> None:
    folder = tmp_path_factory.mktemp("data")
    with open_log(folder / LOG_FILE) as log:
        for answer in given_answers:
            log.append(answer)
        log.hand_in(folder / "file")
    practice = opened(folder)
    with practice.log:
        if given_answers:
            assert practice.learner.id == "ana"
        practice.today()
        practice.progress()
        practice.forecast()
        practice.forecasts_held()
        assert sum(practice.log.days("ana").values()) == len(given_answers)
        assert len([one.day for one in practice.log.answers()]) == len(given_answers)
    with open_log(folder / "teacher.sqlite") as teacher:
        assert teacher.collect(folder / "file").new == len(given_answers)
        desk = TeachersDesk(teacher, folder, lambda: NOW)
        for student in desk.students(None):
            assert sum(desk.counts(student).questions.values()) == len(given_answers)
            desk.figures(student)
        desk.table(None)


@pytest.mark.parametrize(
    "text",
    [
        '{"format": "drillapp prior 1", "base": 1' + "0" * 400 + "}",
        '{"format": "drillapp prior 1", "base": ' + "9" * 5000 + "}",
        '{"format": "drillapp prior 1", "base": NaN}',
        '{"format": "drillapp prior 1", "base": 1e400}',
        "[" * 100_000,
        "\0",
        "null",
    ],
)
def test_a_prior_that_is_none_is_said_and_the_shipped_one_used(tmp_path: Path, text: str) -> None:
    (tmp_path / PRIOR_FILE).write_text(text)
    prior, (notice,) = fitted_prior(tmp_path)
    assert prior is None
    assert "the shipped one is used" in notice.text and len(notice.text) < 400


def test_a_prior_of_any_number_within_its_bounds_stops_nothing(tmp_path: Path) -> None:
    data = json.loads(write_prior(Prior()))
    names = [name for name, value in data.items() if isinstance(value, float)]
    assert len(names) > 5
    for name in names:
        for value in (0.0, -1.0, 1e-300, -1e4, 1e4):
            (tmp_path / PRIOR_FILE).write_text(json.dumps({**data, name: value}))
            prior, notices = fitted_prior(tmp_path)
            assert (prior is None) == bool(notices)


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir])
def test_a_pipe_or_a_folder_in_the_priors_place_is_not_waited_for(tmp_path: Path, make: Any) -> None:
    make(tmp_path / PRIOR_FILE)
    prior, (notice,) = fitted_prior(tmp_path)
    assert prior is None and "not a file" in notice.text


def test_the_prior_that_fit_writes_is_used(tmp_path: Path) -> None:
    (tmp_path / PRIOR_FILE).write_text(write_prior(replace(Prior(), base=0.3)))
    prior, notices = fitted_prior(tmp_path)
    assert prior is not None and prior.base == 0.3 and notices == ()


def test_any_fault_at_the_start_is_an_error_in_words_and_closes_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_args: object) -> None:
        raise OverflowError("math range error")

    monkeypatch.setattr(opening, "Practice", fails)
    with pytest.raises(LogError, match=r"cannot be used \(OverflowError: math range error\)"):
        opened(tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == [LOG_FILE]
