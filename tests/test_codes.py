"""Every fault that a pure room finds has a code of its own, and names what stands in its sentence."""

from __future__ import annotations

import ast
import inspect
import pickle
import re
from functools import cache
from pathlib import Path

import pytest

import drillapp
from drillapp.decks.faults import Fault
from drillapp.decks.read import read_deck
from drillapp.interop.errors import InteropError
from drillapp.interop.midi import loads as read_midi
from drillapp.interop.musicxml import loads as read_musicxml
from drillapp.music import Meter, Pattern, PatternError, Slot, parse, read_swing

ROOMS = ("music", "decks", "drills", "interop")
RAISED = {
    "PatternError",
    "Fault",
    "SyntaxFault",
    "DeckFileError",
    "InteropError",
    "NoQuestion",
    "fault",
    "_fail",
}


@cache
def raised() -> list[tuple[str, ast.Call]]:
    """Every place in the rooms where a fault is made, with file and line."""
    home = Path(inspect.getfile(drillapp)).parent
    found = []
    for room in ROOMS:
        for path in sorted((home / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.Call):
                    name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                    if name in RAISED:
                        found.append((f"{path.relative_to(home)}:{node.lineno}", node))
    return found


def given(call: ast.Call, name: str) -> ast.expr | None:
    return next((word.value for word in call.keywords if word.arg == name), None)


def sentences(call: ast.Call) -> list[ast.expr]:
    return [word for word in call.args if isinstance(word, ast.JoinedStr) or is_text(word)]


def is_text(word: ast.expr) -> bool:
    return isinstance(word, ast.Constant) and isinstance(word.value, str)


def test_there_are_many_faults_and_each_has_a_code() -> None:
    calls = raised()
    assert len(calls) > 90
    assert [where for where, call in calls if given(call, "code") is None] == []


def test_no_two_sentences_have_one_code() -> None:
    said: dict[str, set[str]] = {}
    for _, call in raised():
        code = given(call, "code")
        if isinstance(code, ast.Constant):
            assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code.value)
            said.setdefault(code.value, set()).update(map(ast.unparse, sentences(call)))
    assert {code: words for code, words in said.items() if len(words) > 1} == {}
    assert len(said) > 80


def test_what_stands_in_a_sentence_is_named() -> None:
    unnamed = []
    for where, call in raised():
        holes = [
            part
            for sentence in sentences(call)
            if isinstance(sentence, ast.JoinedStr)
            for part in sentence.values
            if isinstance(part, ast.FormattedValue)
        ]
        if holes and given(call, "places") is None:
            unnamed.append(where)
    assert unnamed == []


@pytest.mark.parametrize(
    ("text", "meter", "code", "places"),
    [
        ("D D D", "4/4", "bar-short", {"bar": 1, "beats": 3, "right": 4, "meter": "4/4", "missing": 1}),
        ("D D D D D", "4/4", "bar-long", {"meter": "4/4", "right": 4}),
        ("D D D D | | D D D D", "4/4", "bar-empty", {}),
        ("D Q D D", "4/4", "mark-unknown", {"mark": "Q"}),
        ("D x D D", "4/4", "mark-meant", {"mark": "x", "meant": "X"}),
        ("D >>D D D", "4/4", "accent-twice", {}),
        ("D >- D D", "4/4", "accent-unstruck", {"mark": "-"}),
        ("D D> D D", "4/4", "accent-last", {}),
        ("D DUDUD D D", "4/4", "beat-slots", {"slots": 5}),
        ("", "4/4", "text-empty", {"right": 4, "example": "D D D D"}),
        (" | ".join(["D"] * 65), "1/4", "text-bars", {"most": 64}),
        ("D" * 20_001, "4/4", "text-long", {"length": 20_001, "most": 20_000}),
        ("D", "4", "meter", {"meter": "4"}),
        ("D", "4/5", "meter-denominator", {"denominator": 5, "allowed": "1, 2, 4, 8, 16"}),
        ("D", "0/4", "meter-parts", {"most": 32, "parts": 0}),
        ("D", "7/8", "meter-grouping", {"parts": 7, "denominator": 8, "split": "2+2+3"}),
    ],
)
def test_each_slip_of_the_pen_has_its_code_and_the_sentence_holds_its_places(
    text, meter, code, places
) -> None:
    with pytest.raises(PatternError) as caught:
        parse(text, meter)
    assert (caught.value.code, caught.value.places) == (code, places)
    assert str(caught.value).endswith(caught.value.message)
    for value in caught.value.places.values():
        assert str(value) in caught.value.message


@pytest.mark.parametrize(
    ("make", "code", "places"),
    [
        (lambda: parse("D D D D", tempo=5), "tempo", {"tempo": 5, "low": 20, "high": 400}),
        (lambda: read_swing("fast"), "swing", {"swing": "fast"}),
        (lambda: read_swing("9:1"), "swing-range", {"long": 9, "short": 1}),
        (lambda: parse(7), "text-type", {"type": "int"}),
        (
            lambda: Pattern(parse("D D", "2/4").bars, Meter.parse("3/4")),
            "bar-length",
            {"bar": 1, "beats": 2, "meter": "3/4", "right": 3},
        ),
        (
            lambda: Pattern((((Slot("rest"),) * 5,),), Meter.parse("1/4")),
            "beat-division",
            {"bar": 1, "slots": 5},
        ),
        (lambda: Pattern((), Meter.parse("4/4")), "bar-count", {"most": 64, "bars": 0}),
    ],
)
def test_faults_beside_the_text_have_codes_too(make, code, places) -> None:
    with pytest.raises(PatternError) as caught:
        make()
    assert (caught.value.code, caught.value.places) == (code, places)
    assert all(str(value) in caught.value.message for value in caught.value.places.values())


def test_a_fault_goes_to_another_process_whole() -> None:
    with pytest.raises(PatternError) as caught:
        parse("D DQ D D")
    again = pickle.loads(pickle.dumps(caught.value))
    assert (again.code, again.places, again.line, again.column, str(again)) == (
        "mark-unknown",
        {"mark": "Q"},
        1,
        4,
        str(caught.value),
    )


def test_a_deck_says_the_codes_of_its_patterns_and_of_the_bar_that_is_meant() -> None:
    deck = 'title = "A"\n[[pattern]]\ntitle = "B"\ntext = "D D D D | D D D"\n'
    _, (fault,) = read_deck(deck, "a")
    assert fault.code == "bar-short"
    assert fault.places == {"bar": 2, "beats": 3, "right": 4, "meter": "4/4", "missing": 1}


def test_a_fault_that_says_another_again_names_why() -> None:
    deck = 'title = "A"\ntempo = 900\n[[pattern]]\ntitle = "B"\ntext = "D D D D"\n'
    _, (fault,) = read_deck(deck, "a")
    assert fault.code == "tempo-not-bare"
    assert fault.places == {"why": "tempo", "tempo": 900, "low": 20, "high": 400}


def test_faults_of_one_place_and_sentence_are_equal() -> None:
    first, second = (Fault("a", 1, 1, "no", code="x", places={"n": n}) for n in (1, 2))
    assert first == second
    assert hash(first) == hash(second)


@pytest.mark.parametrize(
    ("read", "data", "code"),
    [
        (read_midi, b"", "file-empty"),
        (read_musicxml, b"", "file-empty"),
        (read_midi, b"RIFF", "midi-damaged"),
        (read_musicxml, b"<a>", "xml-broken"),
        (read_musicxml, b"<a/>", "score-other-xml"),
        (read_musicxml, b"<score-partwise/>", "score-empty"),
    ],
)
def test_files_of_other_programs_have_coded_faults(read, data, code) -> None:
    with pytest.raises(InteropError) as caught:
        read(data)
    assert caught.value.code == code
