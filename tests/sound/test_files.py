"""Sound files and stroke banks on disk: whole or not at all, and read back by others."""

from __future__ import annotations

import stat
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile

from drillapp.decks.read import read_deck
from drillapp.music import parse
from drillapp.sound import Playing, export_deck, export_pattern, render, render_loop, stroke_bank, write_sound
from drillapp.sound.bank_files import KEPT, bank_path, read_bank, save_bank
from drillapp.sound.export import file_name
from drillapp.sound.strokes import Bank, all_takes, make_bank

PATTERN = parse("D- DU -U DU")
DECK = """
title = "Two for the file"
tempo = 120

[[pattern]]
title = "First: plain"
text = "D- D- D- D-"

[[pattern]]
title = "Second/skip"
text = "D- DU -U DU"
"""


@pytest.mark.parametrize("suffix", [".wav", ".flac"])
def test_a_file_holds_what_was_rendered(suffix: str, tmp_path: Path) -> None:
    # Read back by soundfile, an independent reader of both formats.
    samples = render(PATTERN)
    path = write_sound(tmp_path / f"pattern{suffix}", samples, 44100)
    read, rate = soundfile.read(path, dtype="float32")
    assert rate == 44100 and soundfile.info(path).subtype == "PCM_16"
    assert np.abs(read - samples).max() <= 2 / 32768


def test_a_wav_file_is_mono_16_bit_for_the_standard_library_too(tmp_path: Path) -> None:
    path = write_sound(tmp_path / "pattern.wav", np.zeros(100, np.float32), 48000)
    with wave.open(str(path)) as file:
        assert file.getparams()[:4] == (1, 2, 48000, 100)
    assert stat.S_IMODE(path.stat().st_mode) & stat.S_IRUSR


@pytest.mark.parametrize("name", ["pattern.mp3", "pattern", "pattern.txt"])
def test_another_kind_of_file_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"\.wav or \.flac"):
        write_sound(tmp_path / name, np.zeros(10, np.float32))
    assert not list(tmp_path.iterdir())


def test_a_write_that_fails_leaves_the_old_file_and_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_sound(tmp_path / "pattern.wav", np.ones(10, np.float32) / 2)
    before = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError("no space left on device")

    monkeypatch.setattr("drillapp.sound.audio_files.to_16_bit", full)
    with pytest.raises(OSError, match="no space"):
        write_sound(path, np.zeros(10, np.float32))
    assert path.read_bytes() == before and list(tmp_path.iterdir()) == [path]


def test_an_exported_loop_is_exactly_one_round(tmp_path: Path) -> None:
    path = export_pattern(PATTERN, tmp_path / "loop.wav", Playing(tempo=120, loop=True))
    assert soundfile.info(path).frames == 2 * 44100
    read, _ = soundfile.read(path, dtype="float32")
    assert np.abs(read - render_loop(PATTERN, 120)).max() <= 2 / 32768


def test_a_loop_with_a_count_in_is_refused() -> None:
    with pytest.raises(ValueError, match="no count-in"):
        Playing(loop=True, count_in=1)


def test_a_deck_becomes_one_file_a_pattern_with_progress(tmp_path: Path) -> None:
    deck, faults = read_deck(DECK, "two")
    assert deck is not None and not faults
    seen: list[tuple[int, int, str]] = []
    paths = export_deck(
        [(one.title, one.pattern) for one in deck.patterns],
        tmp_path / "out",
        Playing(count_in=1),
        progress=lambda n, of, path: seen.append((n, of, path.name)),
    )
    assert [path.name for path in paths] == ["01 First plain.wav", "02 Second skip.wav"]
    assert seen == [(1, 2, "01 First plain.wav"), (2, 2, "02 Second skip.wav")]
    # Two bars of 120 beats a minute (arithmetic), and the last quarter of a second.
    assert soundfile.info(paths[0]).frames == 4 * 44100 + 11025


def test_an_export_can_be_stopped(tmp_path: Path) -> None:
    deck, _ = read_deck(DECK, "two")
    assert deck is not None
    patterns = [(one.title, one.pattern) for one in deck.patterns]
    assert len(export_deck(patterns, tmp_path, progress=lambda *_: False)) == 1


def test_file_names_hold_nothing_that_leads_out_of_the_folder() -> None:
    assert file_name(1, 9, "../../up\\and:away", ".wav") == "01 up and away.wav"
    assert file_name(7, 120, "...", ".wav") == "007.wav"


@pytest.fixture(scope="module")
def bank() -> Bank:
    return make_bank("D", "nylon", 22050)


def test_a_bank_read_from_its_file_is_the_one_that_was_made(bank: Bank, tmp_path: Path) -> None:
    save_bank(bank, tmp_path)
    again = read_bank(tmp_path, "D", "nylon", 22050)
    assert again is not None and [s is None for s in again.strings] == [s is None for s in bank.strings]
    for made, read in zip(bank.strings, again.strings, strict=True):
        if made is not None and read is not None:
            assert all(np.array_equal(a, b) for a, b in zip(all_takes(made), all_takes(read), strict=True))
    assert np.array_equal(render(PATTERN, bank=bank), render(PATTERN, bank=again))


@pytest.mark.parametrize("damage", [b"", b"not a bank", b"PK\x03\x04 cut off"])
def test_a_damaged_bank_file_is_made_anew(bank: Bank, damage: bytes, tmp_path: Path) -> None:
    path = bank_path(tmp_path, "D", "nylon", 22050)
    path.write_bytes(damage)
    assert read_bank(tmp_path, "D", "nylon", 22050) is None
    made = stroke_bank("D", "nylon", 22050, tmp_path)
    assert read_bank(tmp_path, "D", "nylon", 22050) is not None
    assert made.size == bank.size


def test_a_folder_that_cannot_be_written_costs_nothing_but_time(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert stroke_bank("D", "nylon", 22050, blocked / "banks").chord == "D"


def test_only_the_banks_used_last_are_kept(bank: Bank, tmp_path: Path) -> None:
    for number in range(KEPT + 3):
        (tmp_path / f"old-{number}.npz").write_bytes(b"")
    path = save_bank(bank, tmp_path)
    assert path.exists() and len(list(tmp_path.iterdir())) == KEPT


def test_a_bank_takes_less_than_40_mb() -> None:
    assert stroke_bank("E", "steel", 44100).size < 40e6
    assert make_bank("E", "steel", 48000).size < 40e6
