"""One row a feature: no table beside it knows features by itself, and every table has them all."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path
from typing import get_args

import pytest

import drillapp
from drillapp.decks.load import load_decks
from drillapp.drills.kinds.strum_it import NOT_BY_HAND
from drillapp.drills.kinds.write_it_down import NOT_WRITTEN
from drillapp.drills.pick import BASIC
from drillapp.music import FEATURE_TABLE, FEATURES, LAYERS, features_of, features_to_ask, parse, signs
from drillapp.music.course import builds_on
from drillapp.music.feature_table import FactorKind
from drillapp.music.ways import MAY_CHANGE, changed, factors, write
from drillapp.notation.smufl import metrics

HOME = Path(inspect.getfile(drillapp)).parent
MANY = 5  # names of features that make a display of a module's own a table
KIVY = ("screens", "kivy_painter", "kivy_output")


ROWS = {
    "music/feature_table.py",
    "words/lessons.py",
    "words/signs.py",
}  # what is true of it, what is said of it


def written_tables() -> list[str]:
    """Displays in the code, outside the rows, that name many features."""
    found = []
    for path in sorted(HOME.rglob("*.py")):
        if path.relative_to(HOME).as_posix() in ROWS:
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            names: list[ast.expr | None] = []
            if isinstance(node, ast.Dict):
                names = node.keys
            elif isinstance(node, (ast.Tuple, ast.List, ast.Set)):
                names = node.elts
            named = {name.value for name in names if isinstance(name, ast.Constant)} & set(FEATURES)
            if len(named) >= MANY:
                found.append(f"{path.relative_to(HOME)}:{getattr(node, 'lineno', 0)}")
    return found


def test_only_the_rows_write_the_features_down() -> None:
    assert written_tables() == []


def test_every_table_keyed_by_features_has_every_feature() -> None:
    tables = {}
    for path in sorted(HOME.rglob("*.py")):
        parts = path.relative_to(HOME).with_suffix("").parts
        if any(word in parts for word in KIVY) or parts[-1] in ("__main__", "__init__"):
            continue
        module = importlib.import_module(".".join(("drillapp", *parts)))
        for name, value in vars(module).items():
            if isinstance(value, dict) and value and set(value) <= set(FEATURES):
                tables[f"{module.__name__}.{name}"] = set(value)
    assert {"drillapp.music.course.BUILDS_ON", "drillapp.music.difficulty.SIGN_WEIGHTS"} <= set(tables)
    assert {name for name, keys in tables.items() if keys != set(FEATURES)} == set()


@pytest.mark.parametrize("row", FEATURE_TABLE.values(), ids=FEATURES)
def test_a_row_says_all_that_is_to_be_said(row) -> None:
    assert row.layers and set(row.layers) <= set(LAYERS)
    assert row.changed_by and set(row.changed_by) <= set(get_args(FactorKind))
    assert set(row.builds_on) <= set(FEATURES) - {row.name}
    assert 0.0 <= row.weight <= 0.2
    assert row.drawn


def test_what_a_feature_builds_on_comes_before_it_and_is_not_harder() -> None:
    # Common practice, no source: what is built on is read more easily than what builds on it. How hard a
    # meter is depends on which, so that its sign by itself adds nothing.
    for row in FEATURE_TABLE.values():
        for base in builds_on([row.name]) - {row.name} if row.name != "meter" else ():
            assert FEATURE_TABLE[base].weight <= row.weight


@pytest.mark.parametrize("row", FEATURE_TABLE.values(), ids=FEATURES)
def test_signs_are_drawn_with_glyphs_of_the_music_font(row) -> None:
    # SMuFL's canonical glyph names; ``metrics`` knows those of Bravura's metadata.
    for ink in row.drawn:
        wanted = {"glyph": 3, "text": 3, "line": 5, "beam": 4, "curve": 6}[ink.shape]
        assert len(ink.numbers) == wanted
        if ink.shape == "glyph":
            left, bottom, right, top = metrics(ink.words).box
            assert right > left and top > bottom


def test_the_stems_of_the_two_sixteenths_stand_at_the_right_of_their_heads() -> None:
    # Gould 2011 (from memory): an up-stem stands at the right side of its notehead.
    drawn = FEATURE_TABLE["sixteenth"].drawn
    heads = [ink for ink in drawn if ink.shape == "glyph"]
    stems = [ink for ink in drawn if ink.shape == "line"]
    beams = [ink for ink in drawn if ink.shape == "beam"]
    assert len(heads) == len(stems) == len(beams) == 2  # two beams: sixteenths
    for head, stem in zip(heads, stems, strict=True):
        right = head.numbers[0] + metrics(head.words).box[2]
        assert stem.numbers[0] + stem.numbers[4] / 2 == pytest.approx(right)
    for beam in beams:
        assert beam.numbers[0] == pytest.approx(stems[0].numbers[0] - 0.07)
        assert beam.numbers[1] == pytest.approx(stems[1].numbers[0] + 0.07)


def test_basic_signs_stand_in_most_patterns() -> None:
    decks, _ = load_decks()
    shown = [features_of(one.pattern) for deck in decks for one in deck.patterns]
    share = {feature: sum(feature in one for one in shown) / len(shown) for feature in FEATURES}
    assert {"beat", "offbeat", "skip"} == BASIC
    others = set(FEATURES) - BASIC - {"meter"}
    assert min(share[feature] for feature in BASIC) > max(share[feature] for feature in others)


def test_hands_give_no_evidence_of_what_the_page_or_the_sheet_says_already() -> None:
    assert {"meter"} == NOT_BY_HAND
    assert {"meter", "swing"} == NOT_WRITTEN


def test_a_kind_of_factor_may_change_all_that_it_does_change() -> None:
    decks, _ = load_decks()
    seen: dict[str, set[str]] = {kind: set() for kind in MAY_CHANGE}
    for deck in decks:
        pattern = deck.patterns[-1].pattern
        for factor in factors(pattern):
            if factor.kind == "meter":  # moves every later sign; what is read is the meter
                continue
            start, end = factor.stretch
            ways = [write(pattern, [(factor, way)]) for way in factor.ways]
            for first in ways[1:]:
                for sign in changed(first, ways[0], LAYERS):
                    if start <= sign.at < end:
                        seen[factor.kind].add(sign.feature)
    for kind in ("accent", "hand"):
        assert seen[kind] == MAY_CHANGE[kind]
    assert {"tie", "rest", "mute", "beat", "offbeat", "skip"} <= seen["stroke"] <= MAY_CHANGE["stroke"]


def test_four_four_shows_a_meter_but_is_no_sign_to_ask_about() -> None:
    usual, waltz = parse("D DU D DU"), parse("D DU DU", "3/4")
    assert "meter" in features_of(usual) and "meter" in features_of(waltz)
    assert features_to_ask(usual) == features_of(usual) - {"meter"}
    assert features_to_ask(waltz) == features_of(waltz)


def test_features_are_those_of_the_signs_of_all_layers() -> None:
    decks, _ = load_decks()
    for deck in decks:
        for one in deck.patterns:
            assert features_of(one.pattern) == {sign.feature for sign in signs(one.pattern, LAYERS)}
