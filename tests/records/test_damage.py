"""A damaged log is set aside whole, and what can be read is saved."""

from __future__ import annotations

import contextlib
import hashlib
import random
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import Answer, PracticeLog, open_log

COUNT = 60
STRUM = 7
"""The number of an answer too long for one page of the file."""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory, answer: Callable[..., Answer]) -> Path:
    """A closed log: two learners, sixty answers, one of them long, a setting and a session."""
    path = tmp_path_factory.mktemp("whole") / "practice.sqlite"
    with open_log(path) as log:
        ana = log.learners.add("Ana", now=1000.0)
        bo = log.learners.add("Bo", now=2000.0)
        log.learners.archive(bo.id)
        for number in range(COUNT):
            extra = {"hits": [[0.001 * hit, "down"] for hit in range(1500)]} if number == STRUM else {}
            log.append(answer(number, learner=ana.id, extra=extra, session="s"))
        log.settings.set("minutes", 15, learner=ana.id)
        log.sessions.begin("s", ana.id, now=1000.0)
    assert not Path(f"{path}-wal").exists()
    return path


def saved(log: PracticeLog) -> set[str]:
    return {one.id for one in log.answers()}


def everything() -> set[str]:
    return {f"answer-{number:04}" for number in range(COUNT)}


def aside(path: Path) -> list[Path]:
    return [one for one in path.parent.iterdir() if "damaged" in one.name and one.suffix != "-wal"]


def test_the_fixture_is_whole_by_sqlites_own_check(whole: Path) -> None:
    connection = sqlite3.connect(whole)
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()


def test_damage_anywhere_costs_at_most_the_answers_that_it_hits(
    whole: Path, tmp_path: Path, answer: Callable[..., Answer]
) -> None:
    data = whole.read_bytes()
    rng = random.Random(5)
    places = [*range(0, 140, 4), *(rng.randrange(140, len(data) - 8) for _ in range(100))]
    set_aside = 0
    for turn, place in enumerate(places):
        path = tmp_path / str(turn) / "practice.sqlite"
        path.parent.mkdir()
        damaged = bytearray(data)
        for offset in range(4):
            damaged[place + offset] ^= rng.randrange(1, 256)
        path.write_bytes(damaged)
        with open_log(path) as log:
            assert len(everything() - saved(log)) <= 1, f"damage at {place}"
            assert saved(log) <= everything()
            log.append(answer(999))
            kept = aside(path)
            if kept:
                set_aside += 1
                assert [one.read_bytes() for one in kept] == [bytes(damaged)]
                assert "damaged" in log.notices[0]
                assert kept[0].name in log.notices[0]
        check = sqlite3.connect(path)
        assert check.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        check.close()
        shutil.rmtree(path.parent)
    assert set_aside > 20


def test_a_zeroed_list_of_tables_is_damage_not_another_programs_file(whole: Path, path: Path) -> None:
    data = whole.read_bytes()
    # The list of tables is on the first page, after the file's header of 100 bytes.
    path.write_bytes(data[:100] + bytes(64) + data[164:])
    with open_log(path) as log:
        assert everything() - saved(log) <= {f"answer-{STRUM:04}"}
        assert log.notices


@pytest.mark.parametrize("page", [0, 1, 2, 5, 9])
def test_a_page_of_zeros_costs_only_its_own_answers(whole: Path, path: Path, page: int) -> None:
    data = bytearray(whole.read_bytes())
    data[page * 8192 : (page + 1) * 8192] = bytes(8192)
    path.write_bytes(data)
    with open_log(path) as log:
        # A page holds about seven such answers.
        assert len(saved(log)) >= COUNT - 9
        assert log.notices
    assert aside(path)[0].read_bytes() == bytes(data)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_log_cut_off_keeps_what_came_before(whole: Path, path: Path, share: float) -> None:
    data = whole.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    rest = path.read_bytes()
    readable = sum(f'"id":"{one}"'.encode() in rest for one in everything())
    with open_log(path) as log:
        # The long answer spans pages, so it may be there and yet cut.
        assert len(saved(log)) >= readable - 1
        for kept in aside(path):
            assert kept.read_bytes() == rest
            assert f"{len(saved(log))} answer" in log.notices[0]


@pytest.mark.parametrize(
    "content", [b"not a database at all", b"\0" * 5000, b"SQLite format 3\0", b"\xff" * 100_000]
)
def test_a_file_that_is_no_database_is_set_aside(
    path: Path, content: bytes, answer: Callable[..., Answer]
) -> None:
    path.write_bytes(content)
    with open_log(path) as log:
        log.append(answer())
        assert "0 answers were saved" in log.notices[0]
    assert aside(path)[0].read_bytes() == content
    with open_log(path) as log:
        assert log.count() == 1
        assert log.notices == ()


def test_learners_settings_and_sessions_are_saved_too(whole: Path, path: Path) -> None:
    data = bytearray(whole.read_bytes())
    place = data.index(b"answer-0030") // 8192 * 8192
    data[place : place + 8] = b"\xff" * 8
    path.write_bytes(data)
    with open_log(path) as log:
        assert log.notices
        ana, bo = log.learners.all(archived=True)
        assert (ana.name, ana.archived, ana.here) == ("Ana", False, True)
        assert (bo.name, bo.archived) == ("Bo", True)
        assert log.settings.get("minutes", ana.id) == 15
        (session,) = log.sessions.unfinished(ana.id)
        assert session.answered == COUNT
        assert log.met(ana.id) == {"D- DU -U DU"}
        assert saved(log) == everything()


def test_names_are_found_where_no_table_can_be_read(whole: Path, path: Path) -> None:
    data = bytearray(whole.read_bytes())
    data[:8192] = b"\xff" * 8192
    path.write_bytes(data)
    with open_log(path) as log:
        assert {one.name for one in log.learners.all(archived=True)} == {"Ana", "Bo"}
        assert all(one.here for one in log.learners.all(archived=True))
        # The long answer spans pages; without tables nothing says which.
        assert everything() - saved(log) <= {f"answer-{STRUM:04}"}


def test_an_answer_altered_in_place_is_left_out_and_said(whole: Path, path: Path) -> None:
    data = whole.read_bytes()
    place = data.index(b'"seconds":4.25', data.index(b"answer-0030"))
    path.write_bytes(data[:place] + b'"seconds":9.25' + data[place + 14 :])
    with open_log(path) as log:
        assert len(saved(log)) == COUNT - 1
        assert log.notices == (
            "1 answer in the practice log is damaged and left out. The file is kept as it is.",
        )
        assert len(log.observations()) == COUNT - 1
        assert log.hand_in(path.with_name("out")).answers == COUNT - 1


def test_the_new_log_counts_on_under_another_device(
    whole: Path, path: Path, answer: Callable[..., Answer]
) -> None:
    path.write_bytes(whole.read_bytes()[:-8192])
    before = sqlite3.connect(whole)
    device = before.execute("SELECT value FROM meta WHERE name = 'device'").fetchone()[0]
    before.close()
    with open_log(path) as log:
        assert log.device != device
        log.append(answer(999))
        assert log.answers()[-1].id == "answer-0999"


def test_a_damaged_journal_after_a_kill_loses_only_what_it_hits(
    path: Path, python: Callable[..., object]
) -> None:
    child = python(
        "import os, signal\n"
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r})\n"
        "for number in range(30):\n"
        "    log.append(make_answer(number))\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    child.communicate(timeout=60)  # type: ignore[attr-defined]
    journal = Path(f"{path}-wal")
    data = bytearray(journal.read_bytes())
    # From the first damaged frame on SQLite takes nothing from the journal.
    place = data.index(b"answer-0010")
    data[place : place + 4] = b"\xff" * 4
    journal.write_bytes(data)
    with open_log(path) as log:
        assert len(saved(log)) >= 29
        assert any("journal" in words for words in log.notices)


def test_a_rescue_cut_off_before_its_last_rename_is_finished(whole: Path, path: Path) -> None:
    shutil.copy(whole, f"{path}.rescued")
    with open_log(path) as log:
        assert saved(log) == everything()


def test_a_rescue_cut_off_earlier_begins_again(whole: Path, path: Path) -> None:
    shutil.copy(whole, f"{path}.rescued")
    path.write_bytes(b"\xff" * 20_000)
    with open_log(path) as log:
        assert saved(log) == everything()
    assert not Path(f"{path}.rescued").exists()


def test_two_rescues_keep_both_damaged_files(path: Path) -> None:
    for content in (b"first", b"second"):
        path.write_bytes(content)
        open_log(path).close()
    assert {one.read_bytes() for one in aside(path)} == {b"first", b"second"}
    assert len({hashlib.sha256(one.read_bytes()).digest() for one in path.parent.iterdir()}) == 3


@pytest.mark.parametrize("version", [1, 2])
def test_a_log_with_either_journal_of_sqlites_file_format_opens(
    path: Path, answer: Callable[..., Answer], version: int
) -> None:
    # SQLite's file format, section 1.3: bytes 18 and 19 are 1 with a rollback journal, 2 with a WAL.
    with open_log(path) as log:
        log.append(answer())
    with contextlib.closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA journal_mode = {'DELETE' if version == 1 else 'WAL'}")
    assert path.read_bytes()[18:20] == bytes([version, version])
    with open_log(path) as log:
        assert (log.count(), log.notices) == (1, ())


def test_a_log_whose_table_of_versions_is_gone_is_set_aside_and_its_answers_saved(
    path: Path, answer: Callable[..., Answer]
) -> None:
    with open_log(path) as log:
        log.append(answer())
    with contextlib.closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE meta")
    with open_log(path) as log:
        assert log.count() == 1
        assert len(log.notices) == 1


def long_answer(answer: Callable[..., Answer], number: int) -> Answer:
    """One that no page of the file holds whole."""
    return answer(number, extra={"hits": [[0.001 * hit, "down"] for hit in range(700)]})


@pytest.mark.parametrize("length", [1, 50, 100, 8192])
def test_a_damaged_head_costs_no_answer_however_long(
    path: Path, answer: Callable[..., Answer], length: int
) -> None:
    with open_log(path) as log:
        for number in range(30):
            log.append(long_answer(answer, number))
        wanted = {one.id for one in log.answers()}
    data = path.read_bytes()
    path.write_bytes(b"\xff" * length + data[length:])
    with open_log(path) as log:
        assert {one.id for one in log.answers()} == wanted
        assert log.notices


@pytest.mark.parametrize("share", [0.0, 0.2, 0.4, 0.6, 0.8])
def test_damage_in_a_journal_costs_no_long_answer_after_it(
    path: Path, answer: Callable[..., Answer], share: float
) -> None:
    with open_log(path) as log:
        for number in range(30):
            log.append(long_answer(answer, number))
        journal = path.with_name(path.name + "-wal").read_bytes()
        main = path.read_bytes()
        wanted = {one.id for one in log.answers()}
    place = path.with_name("left.sqlite")
    place.write_bytes(main)
    at = 40 + int(share * (len(journal) - 40))
    place.with_name(place.name + "-wal").write_bytes(journal[:at] + b"\xff\xfe\xfd" + journal[at + 3 :])
    with open_log(place) as log:
        assert len(wanted - {one.id for one in log.answers()}) <= 1
        assert log.notices
