"""`drillapp convert`: decks, MusicXML and MIDI into one another."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.verbs.arguments import InputFault, output_faults, read_deck_file

if TYPE_CHECKING:
    from drillapp.decks.deck import Deck

NAME = "convert"
SUMMARY = "turn a deck, a MusicXML or a MIDI file into another of these"
EXAMPLE = "drillapp convert my-decks/ties.toml ties.musicxml"
MUSICXML, MIDI, DECK = (".musicxml", ".mxl", ".xml"), (".mid", ".midi"), (".toml",)
_KINDS = "a deck (.toml), MusicXML (.musicxml, .mxl) or MIDI (.mid)"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("source", type=Path, metavar="IN", help=_KINDS)
    parser.add_argument("target", type=Path, metavar="OUT", help="the same, by the name's ending")
    parser.add_argument("--title", help="title of a deck that is made (from the file's name)")


def run(options: argparse.Namespace) -> int:
    source, target = options.source, options.target
    for path in (source, target):
        if path.suffix.lower() not in MUSICXML + MIDI + DECK:
            raise InputFault(f"{path}: this kind is not known; give {_KINDS}, by the name's ending")
    deck = _read(source, options.title)
    _write(deck, target)
    return 0


def _read(path: Path, title: str | None) -> Deck:
    from dataclasses import replace

    if path.suffix.lower() in DECK:
        deck = read_deck_file(path)
        return replace(deck, title=title or deck.title)
    from drillapp.decks.deck import Deck, DeckPattern, usual_range
    from drillapp.interop import InteropError, midi, musicxml

    load = musicxml.load if path.suffix.lower() in MUSICXML else midi.load
    try:
        patterns = load(path)
    except InteropError as error:
        raise InputFault(f"{path}: {error}") from None
    except IsADirectoryError:
        raise InputFault(f"{path} is a folder; give the name of a file in it") from None
    except FileNotFoundError:
        raise InputFault(f"{path}: there is no such file; check its name and folder") from None
    except OSError as error:
        raise InputFault(f"{path} cannot be read ({error.strerror or error})") from None
    name = title or path.stem.replace("-", " ").replace("_", " ").strip().capitalize() or "Deck"
    rows = tuple(
        DeckPattern(f"Pattern {number}", pattern, *usual_range(pattern.tempo))
        for number, pattern in enumerate(patterns, 1)
    )
    return Deck(path.stem, name, "", rows, str(path))


def _write(deck: Deck, path: Path) -> None:
    patterns = [written.pattern for written in deck.patterns]
    titles = [written.title for written in deck.patterns]
    with output_faults(path):
        try:
            if path.suffix.lower() in DECK:
                from drillapp.decks.folder import DeckFileError, save_deck

                try:
                    save_deck(deck, path)
                except DeckFileError as error:
                    raise InputFault(str(error)) from None
            elif path.suffix.lower() in MUSICXML:
                from drillapp.interop import musicxml

                musicxml.dump(patterns, path, deck.title, titles)
            else:
                from drillapp.interop import midi

                midi.dump(patterns, path, titles)
        except ValueError as error:
            raise InputFault(f"{path}: {error}") from None
