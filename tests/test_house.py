"""The house: every room stands on a floor, and arrows point down. Source: DEVELOPERS.md, "The house"."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "drillapp"
ROOMS = sorted(path.name for path in PACKAGE.iterdir() if (path / "__init__.py").exists())
NO_ROOMS = {"utils", "common", "helpers", "core"}


@cache
def modules() -> dict[str, Path]:
    """Every module by its dotted name."""
    found = {}
    for path in PACKAGE.rglob("*.py"):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def imports_of(module: str) -> frozenset[str]:
    """The modules of ours that a module imports, anywhere in it, for types alone too."""
    path = modules()[module]
    package = module.split(".") if path.name == "__init__.py" else module.split(".")[:-1]
    return frozenset(_imports(ast.parse(path.read_text(encoding="utf-8")), package))


def _imports(tree: ast.AST, package: list[str]) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in modules())
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            source = ".".join(part for part in (base, node.module) if part)
            for alias in node.names:
                whole = f"{source}.{alias.name}"
                if whole in modules():
                    yield whole
                elif source in modules():
                    yield source


def room_of(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


@cache
def floor_of(room: str) -> int:
    """The floor that a room's own docstring names."""
    tree = ast.parse((PACKAGE / room / "__init__.py").read_text(encoding="utf-8"))
    named = re.findall(r"\bFloor (\d)\b", ast.get_docstring(tree) or "")
    assert len(named) == 1, f"{room}/__init__.py says on which floor the room lies: Floor 1 to 6"
    return int(named[0])


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_from_floors_below_its_own(room: str) -> None:
    wrong = [
        f"{module} imports {other}"
        for module in modules()
        if room_of(module) == room
        for other in imports_of(module)
        if room_of(other) not in ("", room) and floor_of(room_of(other)) >= floor_of(room)
    ]
    assert not wrong


def test_nothing_below_the_command_line_imports_it() -> None:
    assert [module for module in modules() if "drillapp.__main__" in imports_of(module)] == []


def test_no_two_files_import_each_other() -> None:
    pairs = [
        (module, other)
        for module in modules()
        for other in imports_of(module)
        if module < other and module in imports_of(other)
    ]
    assert pairs == []


def test_no_module_stands_loose_and_no_room_is_a_drawer_for_everything() -> None:
    loose = {path.stem for path in PACKAGE.glob("*.py")}
    assert loose == {"__init__", "__main__"}
    assert not NO_ROOMS & {path.stem for path in PACKAGE.rglob("*")}


@pytest.mark.parametrize("room", ["music", "notation", "drills", "learning"])
def test_a_pure_room_knows_nothing_of_kivy_files_or_clocks(room: str) -> None:
    """Painters put pages on screen or paper, and notation reads its own shipped glyphs."""
    barred = {"kivy", "time", "datetime", "sqlite3", "os", "tempfile"}
    wrong = []
    for path in sorted((PACKAGE / room).rglob("*.py")):
        if "painters" in path.parts or path.name in ("gallery.py", "make_outlines.py"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            wrong += [f"{path.name}: {name}" for name in names if name.split(".")[0] in barred]
    assert not wrong
