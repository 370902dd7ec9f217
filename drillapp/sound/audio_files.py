"""Sound files: WAV with the standard library, FLAC where the soundfile package is installed.

Conventions: samples are mono float arrays of shape (n,), full scale 1; files hold 16 bits. A file appears
whole or not at all.
"""

from __future__ import annotations

import os
import tempfile
import wave
from importlib import import_module
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.pcm import to_16_bit

SUFFIXES = (".wav", ".flac")
"""Kinds of file that can be written."""


def _write_wav(file: BinaryIO, samples: NDArray[np.floating], rate: int) -> None:
    with wave.open(file, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes(to_16_bit(samples).astype("<i2").tobytes())


def _write_flac(file: BinaryIO, samples: NDArray[np.floating], rate: int) -> None:
    import_module("soundfile").write(file, to_16_bit(samples), rate, format="FLAC", subtype="PCM_16")


def checked_suffix(path: Path) -> str:
    """The kind of file that a path names.

    Raises ValueError for a kind that is not in SUFFIXES, or FLAC where soundfile is missing.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise ValueError(
            f"{path.name}: a sound file ends in {' or '.join(SUFFIXES)}, not {suffix or 'nothing'}"
        )
    if suffix == ".flac":
        try:
            import_module("soundfile")
        except (ImportError, OSError) as error:
            raise ValueError(
                f"{path.name}: FLAC needs the soundfile package; install it or write .wav"
            ) from error
    return suffix


def write_sound(path: Path, samples: NDArray[np.floating], rate: int = 44100) -> Path:
    """Write samples to a .wav or .flac file, replacing it whole or leaving it as it was; gives the path.

    Raises ValueError for another kind of file, OSError where it cannot be written.
    """
    writer = _write_flac if checked_suffix(path) == ".flac" else _write_wav
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            writer(file, samples, rate)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o666 & ~_mask())
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return path


def _mask() -> int:
    """The process's file mode mask, which temporary files do not follow."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
