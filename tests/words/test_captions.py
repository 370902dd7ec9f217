"""Sentences are made in their room, and captions can be extracted."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp import screens

SCREENS = Path(screens.__file__).parent
LAYOUTS = sorted(SCREENS.rglob("*.kv"))
MODULES = sorted(SCREENS.rglob("*.py"))
SHOWN = ("text", "caption", "asks_for", "shown", "note", "head", "words")
NOTATION = {"D- DU -U DU", "4/4", "{:g}"}  # the same in every language
NAMES = {
    " on ",
    "keypad ",
    "no ",
}  # of a player with its device, of keys: kept in settings, so never translated


@pytest.mark.parametrize("path", LAYOUTS, ids=lambda path: path.name)
def test_every_caption_of_a_layout_goes_through_the_catalog(path: Path) -> None:
    left = []
    for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), 1):
        found = re.match(rf"\s*(?:{'|'.join(SHOWN)}):\s+(.*)$", line)
        if not found:
            continue
        value = re.sub(r'_\("(?:[^"\\]|\\.)*"\)', "", found[1])
        value = re.sub(r'pgettext\("[^"]*", "[^"]*"\)', "", value)
        value = re.sub(r'[=!]= "[^"]*"|\{"[^}]*\}', "", value)
        left += [
            f"{path.name}:{number}: {text}"
            for text in re.findall(r'"((?:[^"\\]|\\.)*)"', value)
            if re.search("[A-Za-z]{2}", text) and text not in NOTATION
        ]
    assert left == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_no_screen_glues_a_sentence(path: Path) -> None:
    assert set(glued(ast.parse(path.read_text(encoding="utf-8")))) - NAMES == set()


def test_a_glued_sentence_is_found() -> None:
    for code in (
        """f"{n} question" + ("s" if n != 1 else "")""",
        """f"{n} slot{'s' if n > 1 else ''} left" """,
        """f"{n} minutes" """,
        """str(n) + " taps" """,
        """"{} of {} right".format(a, b)""",
    ):
        assert list(glued(ast.parse(code))), code
    for code in ("""f"pattern-{n}" """, """f"{tempo:g}" """, """_("%(n)d left") % {"n": n}"""):
        assert not list(glued(ast.parse(code))), code


def glued(tree: ast.AST) -> Iterator[str]:
    """Words put together from pieces: an f-string, a sum or a format with words beside values."""
    errors = {id(part) for node in ast.walk(tree) if isinstance(node, ast.Raise) for part in ast.walk(node)}
    for node in ast.walk(tree):
        if id(node) in errors:
            continue  # for whoever writes the code, not for the user
        pieces: list[ast.expr] = []
        if isinstance(node, ast.JoinedStr):
            pieces = node.values
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
            pieces = [node.left, node.right]
        elif (
            isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "format"
        ):
            pieces = [node.func.value]
        words = [one.value for one in pieces if isinstance(one, ast.Constant) and isinstance(one.value, str)]
        # A word with a space before or after it is prose; names of controls have none.
        yield from (text for text in words if re.search(r"[A-Za-z]{2,} | [A-Za-z]{2,}", text))
