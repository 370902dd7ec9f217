"""Patterns as sound files, for students without the app.

Conventions: tempos in beats a minute of the beat that the meter counts; ``count_in`` in bars.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from drillapp.music import Pattern
from drillapp.sound.audio_files import checked_suffix, write_sound
from drillapp.sound.bank_files import stroke_bank
from drillapp.sound.rendering import render, render_loop
from drillapp.sound.strokes import Samples


@dataclass(frozen=True)
class Playing:
    """How patterns are played into files.

    ``tempo`` None is each pattern's own; ``loop`` gives one round that joins itself exactly, without count-
    in or ending; ``bank_folder`` keeps stroke banks on disk.
    """

    tempo: float | None = None
    chord: str = "G"
    voice: str = "steel"
    rate: int = 44100
    count_in: int = 0
    click: bool = False
    loop: bool = False
    bank_folder: Path | None = None

    def __post_init__(self) -> None:
        if self.loop and self.count_in:
            raise ValueError("a loop has no count-in: it would be heard in each round; leave one of them out")


def play_to_samples(pattern: Pattern, playing: Playing) -> Samples:
    """A pattern's sound: float32, shape (n,). Errors are ``render``'s."""
    bank = stroke_bank(playing.chord, playing.voice, playing.rate, playing.bank_folder)
    if playing.loop:
        return render_loop(pattern, playing.tempo, click=playing.click, bank=bank)
    return render(pattern, playing.tempo, count_in=playing.count_in, click=playing.click, bank=bank)


def export_pattern(pattern: Pattern, path: Path, playing: Playing | None = None) -> Path:
    """Write one pattern to a .wav or .flac file; gives the path. Errors are write_sound's and render's."""
    chosen = playing or Playing()
    checked_suffix(path)
    return write_sound(path, play_to_samples(pattern, chosen), chosen.rate)


def file_name(number: int, count: int, title: str, suffix: str) -> str:
    """A file name for one of a deck's patterns: its number and its title, without what file systems forbid.

    >>> file_name(3, 20, "Up into 3: late/early?", ".wav")
    '03 Up into 3 late early.wav'
    """
    kept = "".join(letter if letter.isalnum() or letter in " -_,+&'()" else " " for letter in title)
    words = " ".join(kept.split())[:80].strip()
    return f"{number:0{max(2, len(str(count)))}d} {words}".strip() + suffix


def export_deck(
    patterns: Sequence[tuple[str, Pattern]],
    folder: Path,
    playing: Playing | None = None,
    *,
    suffix: str = ".wav",
    progress: Callable[[int, int, Path], bool | None] | None = None,
) -> tuple[Path, ...]:
    """Write a deck's patterns, each with its title, to files in a folder, which is made; gives the paths.

    ``progress(done, all, path)`` is called after each file; where it gives False the export stops there, with
    the files that are done. Errors are export_pattern's.
    """
    checked_suffix(Path(f"sound{suffix}"))
    folder.mkdir(parents=True, exist_ok=True)
    written: list[Path] = []
    count = len(patterns)
    for number, (title, pattern) in enumerate(patterns, start=1):
        path = folder / file_name(number, count, title, suffix)
        written.append(export_pattern(pattern, path, playing))
        if progress is not None and progress(number, count, path) is False:
            break
    return tuple(written)
