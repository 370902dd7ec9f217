"""Several learners on one device."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import Answer, PracticeLog, open_log
from drillapp.records.learner_line import learner_data
from drillapp.records.rows import put_learner


def names(log: PracticeLog, archived: bool = False) -> list[str]:
    return [learner.name for learner in log.learners.all(archived)]


def test_learners_are_listed_by_name(log: PracticeLog) -> None:
    for name in ("cy", "Ana", "Bo"):
        log.learners.add(name)
    assert names(log) == ["Ana", "Bo", "cy"]


def test_a_learner_is_there_after_closing(path: Path) -> None:
    with open_log(path) as log:
        ana = log.learners.add("Ana", now=5.0)
    with open_log(path) as log:
        assert log.learners.all() == (ana,)
        assert (ana.made, ana.here, ana.archived) == (5.0, True, False)


def test_a_renamed_learner_keeps_every_answer(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    ana = log.learners.add("Ana")
    log.append(answer(learner=ana.id))
    anna = log.learners.rename(ana.id, "  Anna  B ")
    assert anna.name == "Anna B"
    assert len(log.answers(anna.id)) == 1
    assert names(log) == ["Anna B"]


def test_a_rename_counts_though_the_clock_was_set_back(log: PracticeLog) -> None:
    ana = log.learners.add("Ana", now=1000.0)
    log.learners.rename(ana.id, "Anna", now=10.0)
    assert names(log) == ["Anna"]


def test_archiving_can_be_undone_and_deletes_nothing(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    ana, bo = log.learners.add("Ana"), log.learners.add("Bo")
    log.append(answer(learner=bo.id))
    assert log.learners.archive(bo.id).archived
    assert names(log) == ["Ana"]
    assert names(log, archived=True) == ["Ana", "Bo"]
    assert log.count(bo.id) == 1
    assert log.learners.last() == ana
    log.learners.restore(bo.id)
    assert names(log) == ["Ana", "Bo"]
    assert log.learners.last() == bo


def test_the_one_who_practised_last_is_known(path: Path, answer: Callable[..., Answer]) -> None:
    with open_log(path) as log:
        assert log.learners.last() is None
        ana = log.learners.add("Ana", now=1.0)
        bo = log.learners.add("Bo", now=2.0)
        assert log.learners.last() == bo
        log.append(answer(1, learner=bo.id, utc=500.0))
        # The clock was set back; still, Ana practised last.
        log.append(answer(2, learner=ana.id, utc=100.0))
    with open_log(path) as log:
        assert log.learners.last() == ana


def test_a_student_who_only_handed_in_is_not_the_one_who_practised_here(
    log: PracticeLog, tmp_path: Path, answer: Callable[..., Answer]
) -> None:
    ana = log.learners.add("Ana")
    log.append(answer(learner=ana.id))
    with open_log(tmp_path / "student") as student:
        bo = student.learners.add("Bo")
        student.append(answer(1, learner=bo.id, utc=2e9))
        log.collect(student.hand_in(tmp_path / "out").path)
    last = log.learners.last()
    assert last is not None
    assert last.id == ana.id
    # Until Bo takes up practice on this device.
    log.append(answer(2, learner=bo.id))
    assert log.learners.last() == log.learners.get(bo.id)
    assert log.learners.get(bo.id).here


def test_an_answer_of_someone_unknown_is_kept_under_a_name_for_now(
    log: PracticeLog, answer: Callable[..., Answer]
) -> None:
    log.append(answer(learner="0a1b2c3d4e"))
    assert names(log) == ["Learner 0a1b2c"]
    log.learners.rename("0a1b2c3d4e", "Ana")
    assert names(log) == ["Ana"]


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "A\x00na", "Ana\u202e", "\ud800"])
def test_a_name_that_is_no_name_is_refused(log: PracticeLog, name: str) -> None:
    with pytest.raises(ValueError, match="A name"):
        log.learners.add(name)
    assert names(log) == []


def test_two_learners_here_do_not_share_a_name(log: PracticeLog) -> None:
    ana = log.learners.add("Ana")
    with pytest.raises(ValueError, match=r"Ana already practises here.*such as ANA 2"):
        log.learners.add("ANA")
    bo = log.learners.add("Bo")
    with pytest.raises(ValueError, match="already practises here"):
        log.learners.rename(bo.id, "ana")
    assert log.learners.rename(ana.id, "ANA").name == "ANA"


def test_composed_and_decomposed_letters_are_one_name(log: PracticeLog) -> None:
    # Unicode Standard Annex 15: e + U+0308 and U+00EB are canonically equivalent.
    log.learners.add("Zoe\u0308")
    assert names(log) == ["Zo\u00eb"]
    with pytest.raises(ValueError, match="already"):
        log.learners.add("Zo\u00eb")


def test_an_unknown_learner_is_said_so(log: PracticeLog) -> None:
    for call in (log.learners.get, log.learners.archive, lambda one: log.learners.rename(one, "A")):
        with pytest.raises(LookupError, match="nobody"):
            call("nobody")


@pytest.mark.parametrize("archived", [True, False])
def test_a_new_name_leaves_all_else_of_a_learner_as_it_is(log: PracticeLog, archived: bool) -> None:
    ana = log.learners.add("Ana", now=1000.0)
    if archived:
        log.learners.archive(ana.id)
    anna = log.learners.rename(ana.id, "Anna", now=2000.0)
    assert (anna.made, anna.named, anna.archived, anna.here) == (1000.0, 2000.0, archived, True)
    assert log.learners.get(ana.id) == anna


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (["id", "name", "made", "named"], "must have id, name, made and named, and no more"),
        ("ana", "must have id, name, made and named, and no more"),
        ({"id": "a", "name": "Ana", "made": 0}, "must have id, name, made and named, and no more"),
        ({"id": "a", "name": "Ana", "made": 0, "named": 0, "more": 0}, "and no more"),
        ({"id": "", "name": "Ana", "made": 0, "named": 0}, "id must be text of 1 to 100"),
        ({"id": "a" * 101, "name": "Ana", "made": 0, "named": 0}, "id must be text of 1 to 100"),
        ({"id": "a\n", "name": "Ana", "made": 0, "named": 0}, "id must be text of 1 to 100"),
        ({"id": 1, "name": "Ana", "made": 0, "named": 0}, "id must be text of 1 to 100"),
        ({"id": "a", "name": " Ana", "made": 0, "named": 0}, "name is not tidy"),
        ({"id": "a", "name": None, "made": 0, "named": 0}, "name is not tidy"),
        ({"id": "a", "name": "Ana", "made": True, "named": 0}, "made must be UTC seconds"),
        ({"id": "a", "name": "Ana", "made": 0, "named": -1}, "named must be UTC seconds"),
        ({"id": "a", "name": "Ana", "made": 0, "named": float("nan")}, "named must be UTC seconds"),
    ],
)
def test_a_learner_from_outside_is_taken_whole_or_refused_in_words(data: object, words: str) -> None:
    with pytest.raises(ValueError, match=f"^a learner.*{words}"):
        learner_data(data)


def test_a_learner_from_outside_may_have_the_longest_id_and_unknown_times() -> None:
    data = {"id": "a" * 100, "name": "Ana", "made": 0, "named": 0.0}
    assert learner_data(data) == data


@pytest.mark.parametrize("known", [0.0, 500.0])
def test_when_a_learner_was_added_is_the_earliest_time_that_is_known(
    log: PracticeLog, tmp_path: Path, known: float
) -> None:
    ana = log.learners.add("Ana", now=1000.0)
    with open_log(tmp_path / "teacher") as teacher:
        with teacher._store.writing() as connection:
            early = {"id": ana.id, "name": "Ana", "made": known, "named": 0.0}
            put_learner(connection, early)
        assert teacher.learners.get(ana.id).made == known
        teacher.collect(log.hand_in(tmp_path / "out").path)
        assert teacher.learners.get(ana.id).made == (known or 1000.0)


def test_when_a_learner_was_added_may_stay_unknown(log: PracticeLog) -> None:
    with log._store.writing() as connection:
        for named in (1.0, 2.0):
            put_learner(connection, {"id": "a", "name": "Ana", "made": 0.0, "named": named})
    assert (log.learners.get("a").made, log.learners.get("a").named) == (0.0, 2.0)
