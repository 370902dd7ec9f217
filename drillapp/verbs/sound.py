"""`drillapp sound`: what a pattern, or every pattern of a deck, sounds like (WAV, or FLAC with soundfile)."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.music import Pattern
from drillapp.music.pattern import MAX_BARS
from drillapp.verbs.arguments import (
    InputFault,
    add_pattern_arguments,
    is_deck,
    output_faults,
    read_deck_file,
    read_pattern,
)

if TYPE_CHECKING:
    from drillapp.sound import Playing

NAME = "sound"
SUMMARY = "write the sound of a pattern, or of a whole deck, to files"
EXAMPLE = 'drillapp sound "D- DU -U DU" --tempo 84 --times 2 --count-in 1 -o walk.wav'
MOST_SECONDS = 600
ENDINGS = (".wav", ".flac")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "what", metavar="TEXT|DECK", help='pattern text, such as "D- DU -U DU", or a deck file'
    )
    add_pattern_arguments(parser)
    parser.set_defaults(meter=None, tempo=None)
    parser.add_argument(
        "--chord", default="G", help="the chord that is strummed: G C D A E Am Em Dm D7 A7 E7 Cadd9 (G)"
    )
    parser.add_argument("--voice", default="steel", help="the strings: steel or nylon (steel)")
    parser.add_argument("--times", type=int, default=1, metavar="N", help="play it so often (1)")
    parser.add_argument(
        "--loop", action="store_true", help="end exactly where it can begin again: no count-in, no fading"
    )
    parser.add_argument("--count-in", type=int, default=0, metavar="BARS", help="bars of clicks first (0)")
    parser.add_argument("--click", action="store_true", help="click on the beats")
    parser.add_argument("--rate", type=int, default=44100, metavar="HZ", help="samples a second (44100)")
    parser.add_argument("--flac", action="store_true", help="a deck as .flac files (needs soundfile)")
    parser.add_argument(
        "-o", "--output", type=Path, required=True, metavar="OUT", help="file to write; a folder for a deck"
    )


def run(options: argparse.Namespace) -> int:
    from drillapp.sound import Playing, bank_folder, export_pattern

    if not 8000 <= options.rate <= 96_000:
        raise InputFault(f"--rate {options.rate}: choose 8000 to 96000 samples a second, such as 44100")
    if not 0 <= options.count_in <= 8:
        raise InputFault(f"--count-in {options.count_in}: 0 to 8 bars of clicks")
    try:
        playing = Playing(
            chord=options.chord,
            voice=options.voice,
            rate=options.rate,
            count_in=options.count_in,
            click=options.click,
            loop=options.loop,
            bank_folder=bank_folder(),
        )
        if is_deck(options.what):
            return _deck(options, playing)
        if options.flac and options.output.suffix.lower() != ".flac":
            raise InputFault(f"{options.output}: --flac is for a deck; end the name of one sound in .flac")
        options.meter = options.meter or "4/4"
        options.tempo = 90 if options.tempo is None else options.tempo
        if options.output.suffix.lower() not in ENDINGS:
            raise InputFault(f"{options.output}: sound is written as .wav or .flac; end the name so")
        pattern = _repeated(read_pattern(options.what, options), options.times)
        with output_faults(options.output):
            export_pattern(pattern, options.output, playing)
    except ValueError as error:
        raise InputFault(str(error)) from None
    return 0


def _deck(options: argparse.Namespace, playing: Playing) -> int:
    from drillapp.sound import export_deck

    if options.meter is not None or options.swing is not None:
        raise InputFault("--meter and --swing are for pattern text; a deck says its own")
    deck = read_deck_file(Path(options.what))
    folder: Path = options.output
    if os.path.exists(folder) and not os.path.isdir(folder):
        raise InputFault(f"{folder} is a file; a deck's sounds are written into a folder")
    repeated = tuple(
        (written.title, _repeated(_at_tempo(written.pattern, options.tempo), options.times))
        for written in deck.patterns
    )

    def tell(done: int, count: int, path: Path) -> None:
        print(f"{done} of {count}  {path.name}", file=sys.stderr)

    ending = ".flac" if options.flac else ".wav"
    with output_faults(folder / "sounds"):
        export_deck(repeated, folder, playing, suffix=ending, progress=tell)
    return 0


def _at_tempo(pattern: Pattern, tempo: float | None) -> Pattern:
    return pattern if tempo is None else pattern.at_tempo(tempo)


def _repeated(pattern: Pattern, times: int) -> Pattern:
    """The pattern so many times over, as one. Raises InputFault where that is too much."""
    most = MAX_BARS // len(pattern.bars)
    if not 1 <= times <= most:
        raise InputFault(f"--times {times}: play it 1 to {most} times")
    seconds = pattern.seconds(pattern.length) * times
    if seconds > MOST_SECONDS:
        raise InputFault(f"this would sound for {seconds:.0f} s; at most {MOST_SECONDS} s are written")
    return replace(pattern, bars=pattern.bars * times)
