"""`drillapp sheet`: a pattern as a page, or every pattern of a deck as a handout."""

from __future__ import annotations

import argparse
import textwrap
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.verbs.arguments import (
    InputFault,
    add_pattern_arguments,
    is_deck,
    output_faults,
    read_deck_file,
    read_pattern,
    write_output,
)

if TYPE_CHECKING:
    from drillapp.decks.deck import Deck
    from drillapp.notation import DisplayList

NAME = "sheet"
SUMMARY = "write a pattern or a whole deck as a page of notation"
EXAMPLE = 'drillapp sheet "D- DU -U DU" --layers staff,letters,counts -o walk.svg'
ENDINGS = (".svg", ".pdf", ".png")
USUAL_LAYERS = "letters,counts,staff"
PAGE_WIDTH = 62.0
_TITLE_SIZE, _HEADING_SIZE, _ADVICE_SIZE = 2.6, 1.5, 1.25
_LONGEST_LINE = 92


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("what", metavar="TEXT|DECK", help="pattern text, or a deck file (.toml)")
    add_pattern_arguments(parser)
    parser.add_argument(
        "--layers",
        metavar="LAYERS",
        help="what is shown, parted by commas: letters, arrows, counts, staff, bows "
        f"({USUAL_LAYERS}, or what the deck asks for)",
    )
    parser.add_argument(
        "-o", "--output", type=Path, required=True, metavar="OUT", help="file to write: .svg, .pdf or .png"
    )
    paper = parser.add_argument_group("a deck as .pdf")
    paper.add_argument("--paper", default="A4", help="A4 or Letter (A4)")
    paper.add_argument("--no-notes", action="store_true", help="leave no room for notes")
    paper.add_argument("--blank-counts", action="store_true", help="leave the counts to be filled in")
    paper.add_argument("--answer-key", action="store_true", help="more pages that show everything")


def run(options: argparse.Namespace) -> int:
    from drillapp.reports.deck_sheet import write_page, write_sheet

    out: Path = options.output
    if out.suffix.lower() not in ENDINGS:
        raise InputFault(f"{out}: sheets are written as {', '.join(ENDINGS)}; end the name so")
    with output_faults(out):
        if not is_deck(options.what):
            pattern = read_pattern(options.what, options)
            layers = _layers(options.layers, ())
            write_page(pattern, out, layers, width=PAGE_WIDTH, tempo="staff" in layers)
            return 0
        deck = read_deck_file(Path(options.what))
        layers = _layers(options.layers, deck.layers)
        if out.suffix.lower() != ".pdf":
            write_output(out, _picture(deck, layers, out.suffix.lower()))
            return 0
        try:
            write_sheet(
                deck,
                out,
                layers,
                paper=options.paper,
                notes=not options.no_notes,
                blank_counts=options.blank_counts,
                answer_key=options.answer_key,
            )
        except ValueError as error:
            raise InputFault(str(error)) from None
    return 0


def deck_page(deck: Deck, layers: tuple[str, ...]) -> DisplayList:
    """All patterns of a deck below one another, each under its title; units as in the display list."""
    from drillapp.notation import DisplayList, Item, Text, engrave
    from drillapp.notation.engraver import shifted

    items: list[Item] = []
    down = _TITLE_SIZE
    items.append(Text(deck.title, 0.0, -down, _TITLE_SIZE, "semibold", "left"))
    for line in textwrap.wrap(deck.advice, _LONGEST_LINE):
        down += _ADVICE_SIZE * 1.5
        items.append(Text(line, 0.0, -down, _ADVICE_SIZE, "regular", "left", role="second"))
    for number, written in enumerate(deck.patterns, 1):
        down += 4.2
        items.append(Text(f"{number}  {written.title}", 0.0, -down, _HEADING_SIZE, "semibold", "left"))
        for line in textwrap.wrap(written.advice, _LONGEST_LINE):
            down += _ADVICE_SIZE * 1.4
            items.append(Text(line, 0.0, -down, _ADVICE_SIZE, "regular", "left", role="second"))
        page = engrave(written.pattern, layers, width=PAGE_WIDTH, tempo="staff" in layers)
        down += 1.4 + page.height
        items.extend(replace(shifted(item, -down), slot=None) for item in page.items)
    raised = tuple(shifted(item, down) for item in items)
    return DisplayList(raised, PAGE_WIDTH, down, (), (), layers, deck.title, deck.advice)


def _picture(deck: Deck, layers: tuple[str, ...], ending: str) -> bytes:
    from drillapp.notation.painters import png, svg

    page = deck_page(deck, layers)
    return svg.paint(page).encode() if ending == ".svg" else png.paint(page, ground="#FFFFFF")


def _layers(asked: str | None, usual: tuple[str, ...]) -> tuple[str, ...]:
    from drillapp.music import check_layers

    if asked is None and usual:
        return usual
    names = (asked if asked is not None else USUAL_LAYERS).split(",")
    try:
        return check_layers(name.strip() for name in names if name.strip())
    except ValueError as error:
        raise InputFault(f"--layers: {error}") from None
