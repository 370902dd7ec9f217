"""Older files become newer ones, forward only, with a copy before each step."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import Answer, LogDamaged, LogError, PracticeLog, open_log
from drillapp.records.schema import MIGRATIONS, SCHEMA, migrate, version_of


def add_column(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE sessions ADD COLUMN place TEXT")


def fail_half_way(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE sessions ADD COLUMN place TEXT")
    connection.execute("SELECT * FROM nowhere")


@pytest.fixture
def connection(path: Path, answer: Callable[..., Answer]) -> sqlite3.Connection:
    with open_log(path) as log:
        log.append(answer())
    return sqlite3.connect(path, isolation_level=None)


def columns(connection: sqlite3.Connection) -> set[str]:
    return {row[1] for row in connection.execute("PRAGMA table_info(sessions)")}


def test_a_new_log_has_the_newest_version(path: Path) -> None:
    open_log(path).close()
    connection = sqlite3.connect(path)
    assert version_of(connection) == SCHEMA
    connection.close()
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_each_step_forward_leaves_a_copy_from_before(path: Path, connection: sqlite3.Connection) -> None:
    copies = migrate(connection, path, (*MIGRATIONS, add_column, lambda connection: None))
    assert version_of(connection) == SCHEMA + 2
    assert "place" in columns(connection)
    assert [copy.name for copy in copies] == [
        f"{path.name}.version-{SCHEMA}",
        f"{path.name}.version-{SCHEMA + 1}",
    ]
    for copy, version in zip(copies, (SCHEMA, SCHEMA + 1), strict=True):
        old = sqlite3.connect(copy)
        assert old.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert version_of(old) == version
        assert old.execute("SELECT count(*) FROM answers").fetchone() == (1,)
        old.close()
    connection.close()


def test_a_step_that_fails_changes_nothing(
    path: Path, connection: sqlite3.Connection, answer: Callable[..., Answer]
) -> None:
    with pytest.raises(LogError, match=rf"to version {SCHEMA + 1} .*as it was.*version-{SCHEMA}"):
        migrate(connection, path, (*MIGRATIONS, fail_half_way))
    assert version_of(connection) == SCHEMA
    assert "place" not in columns(connection)
    connection.close()
    with open_log(path) as log:
        assert log.answers() == (answer(),)


def test_a_copy_never_overwrites_an_earlier_one(path: Path, connection: sqlite3.Connection) -> None:
    path.with_name(f"{path.name}.version-{SCHEMA}").write_text("earlier")
    (copy,) = migrate(connection, path, (*MIGRATIONS, add_column))
    assert copy.name == f"{path.name}.version-{SCHEMA}-2"
    assert path.with_name(f"{path.name}.version-{SCHEMA}").read_text() == "earlier"
    connection.close()


def test_a_version_that_is_written_two_ways_is_damage_not_a_newer_log(
    path: Path, connection: sqlite3.Connection, answer: Callable[..., Answer]
) -> None:
    connection.execute("PRAGMA user_version = 77")
    connection.close()
    with open_log(path) as log:
        assert log.answers() == (answer(),)
        assert "damaged" in log.notices[0]


def test_damage_met_in_use_is_named_and_mended_at_the_next_opening(
    path: Path, answer: Callable[..., Answer]
) -> None:
    log = open_log(path)
    for number in range(60):
        log.append(answer(number))
    with log._store.reading() as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.execute("PRAGMA cache_size = 0")
        root = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'answers'").fetchone()[0]
    data = bytearray(path.read_bytes())
    data[(root - 1) * 8192 : root * 8192] = b"\xff" * 8192
    with path.open("r+b") as file:
        file.write(data)
    with pytest.raises(LogDamaged, match="open it again"):
        log.answers()
    log.close()
    with open_log(path) as log:
        assert log.count() >= 50


def test_what_is_committed_is_on_the_disk(log: PracticeLog) -> None:
    # SQLite's PRAGMA documentation: WAL; synchronous 2 is FULL; triggers fire for REPLACE's deletes too;
    # no functions of an untrusted schema.
    found = {
        name: log._store.one(f"PRAGMA {name}")[0]
        for name in ("journal_mode", "synchronous", "recursive_triggers", "trusted_schema", "page_size")
    }
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "recursive_triggers": 1,
        "trusted_schema": 0,
        "page_size": 8192,
    }
