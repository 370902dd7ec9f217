"""Stroke banks kept on disk, so that a chord is ready at once the next time.

Conventions: one file a chord, voice and rate, named by them and by a digest of the model that made it: a
changed model never reads an old bank. A file that cannot be read or written costs time, nothing else.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import platformdirs

from drillapp.sound import chords, strings, strokes, voices
from drillapp.sound.strokes import Bank, all_takes, from_takes

KEPT = 8
"""Banks kept in a folder; the ones used longest ago go first."""
_MOST = 40_000_000


@lru_cache(maxsize=1)
def _model() -> str:
    """A digest of the code that makes banks."""
    digest = hashlib.sha256()
    for module in (chords, strings, strokes, voices):
        source = Path(module.__file__ or "")
        digest.update(source.read_bytes() if source.is_file() else module.__name__.encode())
    return digest.hexdigest()[:12]


def bank_folder() -> Path:
    """The folder for banks in this user's cache; it may not be there yet."""
    return Path(platformdirs.user_cache_dir("drillapp", appauthor=False)) / "strokes"


def bank_path(folder: Path, chord: str, voice: str, rate: int) -> Path:
    """The file that a bank has in a folder."""
    return folder / f"{chord}-{voice}-{rate}-{_model()}.npz"


def save_bank(bank: Bank, folder: Path) -> Path:
    """Write a bank into a folder, whole or not at all, and drop the oldest beyond KEPT; gives its path.

    Raises OSError where the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    takes = [take for string in bank.strings if string for take in all_takes(string)]
    path = bank_path(folder, bank.chord, bank.voice, bank.rate)
    handle, name = tempfile.mkstemp(dir=folder, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            np.savez(
                file,
                samples=np.concatenate(takes),
                lengths=np.array([len(take) for take in takes], np.int32),
                counts=np.array([len(all_takes(string)) if string else 0 for string in bank.strings]),
            )
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    _drop_oldest(folder)
    return path


def _drop_oldest(folder: Path) -> None:
    banks = sorted(folder.glob("*.npz"), key=lambda path: path.stat().st_mtime)
    for path in banks[:-KEPT]:
        path.unlink(missing_ok=True)


def read_bank(folder: Path, chord: str, voice: str, rate: int) -> Bank | None:
    """The bank from its file in a folder, or None where there is none that is whole."""
    path = bank_path(folder, chord, voice, rate)
    try:
        with np.load(path, allow_pickle=False) as file:
            samples, lengths, counts = file["samples"], file["lengths"], file["counts"]
        if samples.dtype != np.int16 or samples.size > _MOST or int(lengths.sum()) != samples.size:
            return None
        samples.flags.writeable = False
        cut = iter(np.split(samples, np.cumsum(lengths)[:-1]))
        found = [
            from_takes([next(cut) for _ in range(count)]) if count else None for count in counts.tolist()
        ]
        with suppress(OSError):
            os.utime(path)
    except (OSError, ValueError, KeyError, EOFError, StopIteration, BadZipFile):
        return None
    return Bank(chord, voice, rate, tuple(found))


@lru_cache(maxsize=2)
def stroke_bank(
    chord: str = "G", voice: str = "steel", rate: int = 44100, folder: Path | None = None
) -> Bank:
    """The stroke bank of a chord, a voice and a rate; the two used last stay in memory.

    ``folder`` keeps banks on disk (None: memory only). Raises ValueError for an unknown chord or voice, or
    a rate out of range.
    """
    if folder is not None:
        kept = read_bank(folder, chord, voice, rate)
        if kept is not None:
            return kept
    bank = strokes.make_bank(chord, voice, rate)
    if folder is not None:
        with suppress(OSError):
            save_bank(bank, folder)
    return bank
