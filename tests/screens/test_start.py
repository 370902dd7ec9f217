"""Starting: quietly, with or without a sound device, and with a log that cannot be used."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

import pytest
from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.records import open_log


def test_nothing_is_printed_and_nothing_is_written_into_the_home_folder(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    environment = {**null_sink.environment(), "HOME": str(home)}
    with AppWindow(landscape, tmp_path / "data", environment=environment) as app:
        app.wait(screen="cautions")
        app.click("cautions-read")
        app.wait(screen="first", notices=[])
        app.until(lambda seen: seen["controls"]["first-name"]["state"] == "writing", "the field in focus")
        app.press("Escape")  # leaves the field
        app.until(lambda seen: seen["controls"]["first-name"]["state"] != "writing", "the field left")
        app.press("Escape")
        app.wait(step="reads")
        app.press("Escape")
        app.wait(screen="today")
        app.click("tab-settings")
        app.wait(screen="settings")
        app.click("tab-learners")
        app.click("new-name")
        app.until(lambda seen: seen["controls"]["new-name"]["state"] == "writing", "the field in focus")
        app.screen.do("type", "--delay", "40", "Ana")
        app.press("Return")
        app.wait(screen="first", step="reads", who="Ana")
        app.press("Escape")
        app.until(lambda seen: "choose-Ana" in seen["controls"], "a new learner")
    assert app.output.read_text() == ""
    assert not (home / ".kivy").exists()
    assert (tmp_path / "data" / "kivy").is_dir()


def test_cautions_are_shown_once(landscape: XServer, null_sink: NullSink, tmp_path: Path) -> None:
    for screen in ("cautions", "first"):
        with AppWindow(landscape, tmp_path / "data", environment=null_sink.environment()) as app:
            app.wait(screen=screen)
            if screen == "cautions":
                app.press("Return")
                app.wait(screen="first")


def test_sound_comes_back_when_a_device_appears(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    null_sink.stop()
    with AppWindow(landscape, tmp_path / "data", environment=null_sink.environment()) as app:
        seen = app.until(lambda seen: seen["notices"], "a notice")
        assert "No sound device answers" in seen["notices"][0]
        null_sink.start()
        app.wait(notices=[])


def folder_with_log(data: Path) -> Path:
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    log.learners.add("Mira")
    log.close()
    return data / "practice.sqlite"


def test_a_log_of_a_newer_version_is_left_alone_and_said(landscape: XServer, tmp_path: Path) -> None:
    path = folder_with_log(tmp_path / "data")
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA user_version = 9999")
        connection.execute("UPDATE meta SET value = '9999' WHERE name = 'schema'")
    connection.close()
    before = path.read_bytes()
    with AppWindow(landscape, tmp_path / "data") as app:
        seen = app.wait(screen="stopped")
        assert str(path) in seen["message"]
        assert "newer" in seen["message"]
    assert path.read_bytes() == before


def test_a_locked_log_is_said_and_opens_once_it_is_free(landscape: XServer, tmp_path: Path) -> None:
    path = folder_with_log(tmp_path / "data")
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("PRAGMA locking_mode = EXCLUSIVE")
    holder.execute("BEGIN EXCLUSIVE")
    with AppWindow(landscape, tmp_path / "data") as app:
        seen = app.wait(screen="stopped")
        assert "another program" in seen["message"]
        holder.execute("ROLLBACK")
        holder.close()
        app.click("try-again")
        app.wait(screen="cautions")


def test_a_file_that_is_no_log_can_be_set_aside_and_a_new_one_begun(
    landscape: XServer, tmp_path: Path
) -> None:
    path = tmp_path / "data" / "practice.sqlite"
    path.parent.mkdir()
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE recipes (name)")
    connection.close()
    before = path.read_bytes()
    with AppWindow(landscape, tmp_path / "data") as app:
        seen = app.wait(screen="stopped")
        assert "another program's database" in seen["message"]
        app.click("save-answers")
        app.wait(done=f"0 answers are saved in {path.with_suffix('.handin.gz')}.")
        app.click("begin-anew")
        app.wait(screen="cautions")
    (aside,) = path.parent.glob("practice.sqlite.aside-*")
    assert aside.read_bytes() == before


@pytest.mark.parametrize("size", ["1280", "wide", "12x"])
def test_a_window_size_that_is_none_is_refused(size: str) -> None:
    from drillapp.screens.frame.options import Options

    with pytest.raises(ValueError, match="1280x800"):
        Options.from_environment({**os.environ, "DRILLAPP_WINDOW": size})
