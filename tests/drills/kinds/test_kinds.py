"""Every kind of question has every part, each is put and graded, and nothing outside names one."""

from __future__ import annotations

import ast
import random
from dataclasses import fields
from fractions import Fraction
from pathlib import Path

import pytest

from drillapp.decks.load import load_decks
from drillapp.drills.dictation import ruled
from drillapp.drills.growth import size_for
from drillapp.drills.kinds import KINDS, USUAL, Kind, Performance, chosen
from drillapp.drills.kinds.kind import Base, Turn
from drillapp.drills.plan import Item, Plan
from drillapp.drills.strum.grade import Hit
from drillapp.drills.task_maker import TaskMaker
from drillapp.drills.tasks import Source, Task, Wishes
from drillapp.learning import Planner
from drillapp.music import FEATURES, Pattern, parse
from drillapp.music.slot_sheet import Sheet

PACKAGE = Path(__file__).resolve().parents[3] / "drillapp"
EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))


def a_task(kind: Kind, seed: int = 2) -> Task:
    """A task of this kind, as the maker of a sitting puts it."""
    decks, _ = load_decks()
    sources = [Source(one.pattern, one.title, deck.name) for deck in decks[:2] for one in deck.patterns]
    plan = Plan((Item(("beat",), "reach"),), ("beat",))
    wishes = Wishes(drills=(kind.name,))
    maker = TaskMaker(Planner(FEATURES, 3), plan, sources, set(), random.Random(seed), wishes)
    task = maker.make(1, 10, 0.0)
    assert task.drill == kind.name
    return task


def as_it_is(task: Task) -> object:
    """What someone gives who reads everything right; a new kind gets its line here."""
    return {
        "page_to_sound": lambda: task.question.answer,
        "sound_to_page": lambda: task.question.answer,
        "strum_it": lambda: Performance(
            tuple(
                Hit(task.pattern.seconds(one.at), one.hand, one.muted, 0.8 if one.accent else 0.5)
                for one in task.pattern.strokes
            )
        ),
        "write_it_down": lambda: Sheet(
            ruled(task.pattern), tuple(place.slot for place in ruled(task.pattern).places)
        ),
    }[task.drill]()


@EVERY
def test_a_kind_has_every_part(kind: Kind) -> None:
    assert KINDS[kind.name] is kind
    for part in ("title", "about", "screen", "shows"):
        assert getattr(kind, part), part
    for part in ("make", "sounds", "grade", "seconds"):
        assert callable(getattr(kind, part)), part
    assert kind.cannot_ask < set(FEATURES)
    assert {part.name for part in fields(kind)} >= {"from_page", "needs_ear", "usual", "check"}


@EVERY
def test_a_kind_stands_in_a_file_that_bears_its_name(kind: Kind) -> None:
    here = PACKAGE / "drills" / "kinds" / f"{kind.name}.py"
    assert f'name="{kind.name}"' in here.read_text(encoding="utf-8")


@EVERY
def test_what_needs_the_ear_sounds_and_what_does_not_is_silent(kind: Kind) -> None:
    task = a_task(kind)
    sounds = kind.sounds(task)
    assert bool(sounds) is kind.needs_ear
    assert all(isinstance(one, Pattern) for one in sounds)
    assert not sounds or task.pattern in sounds, "what is read is among what is heard"


@EVERY
def test_who_reads_all_is_right_and_every_sign_was_read_as_written(kind: Kind) -> None:
    task = a_task(kind)
    graded = kind.grade(task, as_it_is(task), float(task.tempo))
    assert graded.right and graded.set_aside is None and graded.detail is not None
    assert graded.evidence
    for sign in graded.signs:
        assert sign.read == sign.written and sign.evidence.correct
    assert set(task.asked) <= {feature for one in graded.evidence for feature in one.features}


@EVERY
def test_not_sure_is_no_sign_read(kind: Kind) -> None:
    task = a_task(kind)
    graded = kind.grade(task, None, float(task.tempo))
    assert not graded.right and graded.set_aside is None
    assert graded.signs and all(sign.read is None and not sign.evidence.correct for sign in graded.signs)
    assert {feature for one in graded.evidence for feature in one.features} >= set(task.asked)


@EVERY
def test_a_kind_asks_only_what_it_can(kind: Kind) -> None:
    """Swing stands on the sheet and the meter on the page or the count-in: common practice, no source."""
    for feature in kind.cannot_ask:
        planner = Planner(FEATURES, 1)
        sources = [Source(parse("D- DU -U DU", swing=Fraction(2))), Source(parse("D- DU DU", meter="3/4"))]
        wishes = Wishes(drills=(kind.name,))
        plan = Plan((Item((feature,), "repair"),), (feature,))
        for seed in range(4):
            maker = TaskMaker(planner, plan, sources, set(), random.Random(seed), wishes, signs=FEATURES)
            task = maker.make(1, 4, 0.0)
            assert task.asked == (feature,) and KINDS[task.drill].usual


@EVERY
def test_a_longer_page_takes_longer(kind: Kind) -> None:
    short, long = parse("D- DU -U DU"), parse("D- DU -U DU | D- DU -U DU")
    assert 0 < kind.seconds(short, 80) < kind.seconds(long, 80)
    assert kind.seconds(short, 160) < kind.seconds(short, 80)


def test_whole_pages_are_put_only_where_they_show_all_that_is_asked() -> None:
    plain, tied = parse("D- DU DU DU"), parse("D- DU -U DU")
    bases = [Base(Source(one), one, ("letters", "staff")) for one in (plain, tied)]
    turn = Turn(("tie",), set(FEATURES), size_for(0.7), random.Random(1), iter(bases))
    assert [put.pattern for put in KINDS["strum_it"].make(turn)] == [tied]


def test_a_take_that_cannot_be_scored_is_set_aside_and_says_why() -> None:
    kind = KINDS["strum_it"]
    task = a_task(kind)
    graded = kind.grade(task, Performance(()), float(task.tempo))
    assert graded.set_aside == "no strokes"
    assert not graded.signs and not graded.recorded.extra


def test_what_a_pick_records_names_its_candidates() -> None:
    kind = KINDS["page_to_sound"]
    task = a_task(kind)
    wrong = (task.question.answer + 1) % len(task.question.candidates)
    recorded = kind.grade(task, wrong, float(task.tempo)).recorded
    assert recorded.pick == wrong
    assert recorded.candidates[recorded.written] == task.pattern.text


def test_who_has_chosen_no_kind_is_asked_in_the_usual_ones() -> None:
    assert chosen(()) == USUAL != ()
    assert chosen(("strum_it",)) == (KINDS["strum_it"],)
    with pytest.raises(KeyError):
        chosen(("hum_it",))


def _modules() -> list[Path]:
    return [path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE / "drills" / "kinds"]


def test_no_module_outside_names_a_kind() -> None:
    named = [
        f"{path.relative_to(PACKAGE)}:{node.lineno} {node.value!r}"
        for path in _modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and node.value in KINDS
    ]
    assert named == []


def test_no_module_outside_asks_which_kind_a_task_is() -> None:
    """Neither ``task.drill == ...`` nor ``isinstance`` of a task, nor one row of the table by its name."""
    rows = {kind.name.upper() for kind in KINDS.values()}
    asked = []
    for path in _modules():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Compare):
                sides = [node.left, *node.comparators]
                found = any(isinstance(one, ast.Attribute) and one.attr == "drill" for one in sides)
            elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                words = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
                found = node.func.id == "isinstance" and bool(
                    words & {"Task", "Kind", "Graded", "Performance"}
                )
            else:
                found = isinstance(node, ast.Name) and node.id in rows
            if found:
                asked.append(f"{path.relative_to(PACKAGE)}:{node.lineno}")
    assert asked == []
