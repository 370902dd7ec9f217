"""`drillapp sound`: what a pattern sounds like, as a WAV file (16 bit, mono)."""

from __future__ import annotations

import argparse
import io
import wave
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.music.pattern import MAX_BARS
from drillapp.verbs.common import InputFault, add_pattern_arguments, read_pattern, write_output

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NAME = "sound"
SUMMARY = "write a pattern's sound to a WAV file"
EXAMPLE = 'drillapp sound "D- DU -U DU" --tempo 84 --times 2 -o walk.wav'
MOST_SECONDS = 600


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("text", metavar="TEXT", help='pattern text, such as "D- DU -U DU"')
    add_pattern_arguments(parser)
    parser.add_argument("--chord", default="G", help="the chord that is strummed (G)")
    parser.add_argument("--times", type=int, default=1, metavar="N", help="play it so often (1)")
    parser.add_argument("--count-in", type=int, default=0, metavar="BARS", help="bars of clicks first (0)")
    parser.add_argument("--click", action="store_true", help="click on the beats")
    parser.add_argument("--rate", type=int, default=44100, metavar="HZ", help="samples a second (44100)")
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT.wav", help="file to write")


def run(options: argparse.Namespace) -> int:
    from drillapp.sound import render

    if options.output.suffix.lower() != ".wav":
        raise InputFault(f"{options.output}: sound is written as .wav; end the name so")
    pattern = read_pattern(options.text, options)
    if not 1 <= options.times <= MAX_BARS // len(pattern.bars):
        raise InputFault(f"--times {options.times}: play it 1 to {MAX_BARS // len(pattern.bars)} times")
    if not 8000 <= options.rate <= 192_000:
        raise InputFault(f"--rate {options.rate}: choose 8000 to 192000 samples a second, such as 44100")
    if not 0 <= options.count_in <= 8:
        raise InputFault(f"--count-in {options.count_in}: 0 to 8 bars of clicks")
    seconds = pattern.seconds(pattern.length) * options.times
    if seconds > MOST_SECONDS:
        raise InputFault(f"this would sound for {seconds:.0f} s; at most {MOST_SECONDS} s are written")
    pattern = replace(pattern, bars=pattern.bars * options.times)
    try:
        samples = render(
            pattern,
            chord=options.chord,
            rate=options.rate,
            count_in=options.count_in,
            click=options.click,
        )
    except ValueError as error:
        raise InputFault(str(error)) from None
    write_output(options.output, wav_bytes(samples, options.rate))
    return 0


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
