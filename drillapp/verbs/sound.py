"""`drillapp sound`: what a pattern, or every pattern of a deck, sounds like (WAV, or FLAC with soundfile)."""

from __future__ import annotations

import argparse
import io
import re
import sys
import wave
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from drillapp.music import Pattern
from drillapp.music.pattern import MAX_BARS
from drillapp.verbs.common import (
    InputFault,
    add_pattern_arguments,
    is_deck,
    read_deck_file,
    read_pattern,
    write_output,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NAME = "sound"
SUMMARY = "write the sound of a pattern, or of a whole deck, to files"
EXAMPLE = 'drillapp sound "D- DU -U DU" --tempo 84 --times 2 -o walk.wav'
MOST_SECONDS = 600
ENDINGS = (".wav", ".flac")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "what", metavar="TEXT|DECK", help='pattern text, such as "D- DU -U DU", or a deck file'
    )
    add_pattern_arguments(parser)
    parser.add_argument("--chord", default="G", help="the chord that is strummed (G)")
    parser.add_argument("--voice", default="steel", help="the strings: steel or nylon (steel)")
    parser.add_argument("--times", type=int, default=1, metavar="N", help="play it so often (1)")
    parser.add_argument("--loop", action="store_true", help="end exactly where it can begin again")
    parser.add_argument("--count-in", type=int, default=0, metavar="BARS", help="bars of clicks first (0)")
    parser.add_argument("--click", action="store_true", help="click on the beats")
    parser.add_argument("--rate", type=int, default=44100, metavar="HZ", help="samples a second (44100)")
    parser.add_argument("--flac", action="store_true", help="a deck as .flac files (needs soundfile)")
    parser.add_argument(
        "-o", "--output", type=Path, required=True, metavar="OUT", help="file to write; a folder for a deck"
    )


def run(options: argparse.Namespace) -> int:
    if not 8000 <= options.rate <= 192_000:
        raise InputFault(f"--rate {options.rate}: choose 8000 to 192000 samples a second, such as 44100")
    if not 0 <= options.count_in <= 8:
        raise InputFault(f"--count-in {options.count_in}: 0 to 8 bars of clicks")
    if options.loop and options.count_in:
        raise InputFault("--loop begins again without a count-in; leave --count-in out")
    if is_deck(options.what):
        return _deck(options)
    if options.output.suffix.lower() not in ENDINGS:
        raise InputFault(f"{options.output}: sound is written as .wav or .flac; end the name so")
    _write(read_pattern(options.what, options), options.output, options)
    return 0


def _deck(options: argparse.Namespace) -> int:
    deck = read_deck_file(Path(options.what))
    folder: Path = options.output
    if folder.exists() and not folder.is_dir():
        raise InputFault(f"{folder} is a file; a deck's sounds are written into a folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputFault(f"{folder} cannot be made ({error.strerror or error}); write elsewhere") from None
    ending = ".flac" if options.flac else ".wav"
    for number, written in enumerate(deck.patterns, 1):
        name = re.sub(r"[^\w]+", "-", written.title.lower()).strip("-")[:60]
        path = folder / f"{number:02}-{name}{ending}"
        print(f"{number} of {len(deck.patterns)}  {path.name}", file=sys.stderr)
        _write(written.pattern, path, options)
    return 0


def _write(pattern: Pattern, path: Path, options: argparse.Namespace) -> None:
    most = MAX_BARS // len(pattern.bars)
    if not 1 <= options.times <= most:
        raise InputFault(f"--times {options.times}: play it 1 to {most} times")
    seconds = pattern.seconds(pattern.length) * options.times
    if seconds > MOST_SECONDS:
        raise InputFault(f"this would sound for {seconds:.0f} s; at most {MOST_SECONDS} s are written")
    samples = _samples(replace(pattern, bars=pattern.bars * options.times), options)
    write = flac_bytes if path.suffix.lower() == ".flac" else wav_bytes
    write_output(path, write(samples, options.rate))


def _samples(pattern: Pattern, options: argparse.Namespace) -> NDArray[np.float32]:
    from drillapp.sound import render, render_loop

    shared: dict[str, Any] = {
        "chord": options.chord,
        "rate": options.rate,
        "voice": options.voice,
        "click": options.click,
    }
    played = cast(Any, pattern)
    try:
        if options.loop:
            return render_loop(played, **shared)
        return render(played, count_in=options.count_in, **shared)
    except ValueError as error:
        raise InputFault(str(error)) from None


def wav_bytes(samples: NDArray[np.float32], rate: int) -> bytes:
    """Samples (float32, at most 1 in size) as a 16 bit mono WAV file."""
    import numpy as np

    whole = np.rint(np.clip(samples, -1, 1) * 32767).astype("<i2")
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(whole.tobytes())
    return file.getvalue()


def flac_bytes(samples: Sequence[float] | NDArray[np.float32], rate: int) -> bytes:
    """Samples as a 16 bit mono FLAC file. Raises InputFault where soundfile is not installed."""
    try:
        import soundfile
    except (ImportError, OSError):
        raise InputFault(
            "writing .flac needs soundfile; run: python -m pip install soundfile, or write .wav"
        ) from None
    file = io.BytesIO()
    soundfile.write(file, samples, rate, format="FLAC", subtype="PCM_16")
    return file.getvalue()
