"""The language that sentences are said in."""

from __future__ import annotations

import ast
import re
import struct
from functools import cache
from pathlib import Path

import pytest

from drillapp.words import language

PACKAGE = Path(language.__file__).resolve().parents[1]
MARKS = {"_", "ngettext", "pgettext", "marked", "nmarked"}


def mo(messages: dict[str, str]) -> bytes:
    """A catalog as GNU gettext lays it out: its manual, "The Format of GNU MO Files" (from memory)."""
    rows = sorted((key.encode(), said.encode()) for key, said in messages.items())
    count, start = len(rows), 28
    texts, keys, saids = b"", [], []
    at = start + 16 * count
    for table, index in ((keys, 0), (saids, 1)):
        for row in rows:
            table.append(struct.pack("<II", len(row[index]), at + len(texts)))
            texts += row[index] + b"\0"
    head = struct.pack("<IIIIIII", 0x950412DE, 0, count, start, start + 8 * count, 0, start + 16 * count)
    return head + b"".join(keys) + b"".join(saids) + texts


def catalog(folder: Path, name: str, messages: dict[str, str]) -> None:
    place = folder / name / "LC_MESSAGES"
    place.mkdir(parents=True)
    head = "Content-Type: text/plain; charset=UTF-8\nPlural-Forms: nplurals=2; plural=(n != 1);\n"
    (place / "drillapp.mo").write_bytes(mo({"": head, **messages}))


def test_a_catalog_is_spoken_and_what_it_lacks_stays_english(tmp_path: Path) -> None:
    catalog(
        tmp_path,
        "de",
        {
            "Ties": "Bindebögen",
            "%(count)d slot left\0%(count)d slots left": "noch %(count)d Feld\0noch %(count)d Felder",
        },
    )
    assert language.use("de", tmp_path)
    assert language._("Ties") == "Bindebögen"
    assert language._("Rests") == "Rests"
    left = language.ngettext("%(count)d slot left", "%(count)d slots left", 2)
    assert left % {"count": 2} == "noch 2 Felder"


def test_a_language_without_a_catalog_is_english(tmp_path: Path) -> None:
    catalog(tmp_path, "de", {"Ties": "Bindebögen"})
    assert language.use("de", tmp_path)
    assert not language.use("fi", tmp_path)
    assert language._("Ties") == "Ties"
    assert language.ngettext("one", "many", 1) == "one" and language.ngettext("one", "many", 2) == "many"


def test_one_word_may_mean_two_things(tmp_path: Path) -> None:
    # A context and its message stand in one key, with an end-of-transmission sign between (gettext's manual).
    catalog(tmp_path, "de", {"hand\x04up": "auf", "up": "hoch"})
    language.use("de", tmp_path)
    assert language.pgettext("hand", "up") == "auf" and language._("up") == "hoch"


def test_nothing_is_said_of_nothing(tmp_path: Path) -> None:
    catalog(tmp_path, "de", {})
    language.use("de", tmp_path)
    assert language._("") == ""


def nodes(path: Path) -> list[ast.AST]:
    return list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


@cache
def calls() -> list[tuple[str, ast.Call]]:
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in nodes(path):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MARKS:
                found.append((f"{path.relative_to(PACKAGE)}:{node.lineno}", node))
    return found


@cache
def messages() -> list[tuple[str, list[str]]]:
    """Every message that stands in the code, with its forms."""
    found = []
    for where, call in calls():
        texts = [
            one.value for one in call.args if isinstance(one, ast.Constant) and isinstance(one.value, str)
        ]
        if texts:
            found.append((where, texts))
    return found


def test_messages_can_be_extracted() -> None:
    """A message is a literal, whole: xgettext reads no f-string and no sum of pieces."""
    glued = [
        where for where, call in calls() for one in call.args if isinstance(one, ast.JoinedStr | ast.BinOp)
    ]
    assert glued == []
    assert len(messages()) > 200


@pytest.mark.parametrize(("where", "texts"), messages())
def test_every_place_in_a_message_has_a_name(where: str, texts: list[str]) -> None:
    """Another language may want the places in another order."""
    for text in texts:
        bare = re.sub(r"%%|%\(\w+\)(?:\.\d)?[dsf]", "", text)
        assert "%" not in bare, where
        assert "{" not in bare, where


@pytest.mark.parametrize(("where", "texts"), messages())
def test_both_forms_of_a_plural_have_the_same_places(where: str, texts: list[str]) -> None:
    """But for the number itself, which English may leave out of the form for one."""
    if len(texts) == 2:
        one, many = (set(re.findall(r"%\((\w+)\)", text)) for text in texts)
        assert one <= many and many - one <= {"count"}, where


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.stem)
def test_no_name_hides_the_one_that_says_a_message(path: Path) -> None:
    """Where ``_`` says messages, it is no name for what is thrown away."""
    here = nodes(path)
    says = any(
        isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_"
        for node in here
    )
    hiding = [node.lineno for node in here if isinstance(node, ast.arg) and node.arg == "_"]
    hiding += [
        node.lineno
        for node in here
        if isinstance(node, ast.Name) and node.id == "_" and isinstance(node.ctx, ast.Store)
    ]
    assert not (says and hiding), hiding
