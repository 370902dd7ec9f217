"""One meaning a key in the whole app, told by the list of keys; a whole day without a pointer.

Rule: a letter means one thing wherever it means anything. A to D hear the candidate with that letter, the
keys that strum are each learner's own choice, and where slots are filled the signs - and . are pattern text.
"""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path

from null_sink import NullSink
from window import ROOT, AppWindow, XServer

from drillapp.screens.widgets.strum_keys import KEY_NAMES
from drillapp.words.keys import MEANS, SHARED, SLOTS, SPOKEN, keys_said

SCREENS = ROOT / "drillapp" / "screens"
LETTER = re.compile(r"[a-z]")


def called(value: ast.expr) -> str:
    """The method behind a key: self.hear, screen.undo, partial(self.hear, BOTH), lambda: self.hear(BOTH)."""
    if isinstance(value, ast.Lambda):
        return called(value.body)
    if isinstance(value, ast.Call):
        return called(value.args[0]) if ast.unparse(value.func) == "partial" else called(value.func)
    return ast.unparse(value).split(".")[-1]


def acts_of_all_screens() -> dict[str, dict[str, set[str]]]:
    """Key -> method -> the files that say so, for every key written out in an ``acts``."""
    found: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for path in sorted(SCREENS.rglob("*.py")):
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(function, ast.FunctionDef) or function.name not in ("acts", "slot_acts"):
                continue
            for node in ast.walk(function):
                pairs: list[tuple[ast.expr | None, ast.expr]] = []
                if isinstance(node, ast.Dict):
                    pairs = list(zip(node.keys, node.values, strict=True))
                elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Subscript):
                    pairs = [(node.targets[0].slice, node.value)]
                for key, value in pairs:
                    if isinstance(key, ast.Constant):
                        found[str(key.value)][called(value)].add(path.name)
    return found


def test_a_letter_does_the_same_on_every_screen() -> None:
    acts = acts_of_all_screens()
    letters = {key: methods for key, methods in acts.items() if LETTER.fullmatch(key)}
    assert len(letters) > 12
    assert {key: dict(methods) for key, methods in letters.items() if len(methods) > 1} == {}


def test_every_key_of_a_screen_is_told_and_those_that_are_told_are_there() -> None:
    acts = set(acts_of_all_screens())
    told = set(MEANS) | set(SHARED) | set(SLOTS)
    assert {key for key in acts if key not in told} == set()
    by_name = {"x", "v", "f", "j", "a", "1"}  # given by tables, not written out
    assert {key for key in MEANS if LETTER.fullmatch(key)} - acts <= by_name
    assert {says for _caption, says in SHARED.values()} <= set(MEANS)


def test_no_caption_of_a_key_shows_another_letter_than_the_key() -> None:
    acts = acts_of_all_screens()
    hints = {
        hint
        for path in SCREENS.rglob("*.kv")
        for hint in re.findall(r'hint: "([A-Z])"', path.read_text(encoding="utf-8"))
    }
    assert hints and {hint.lower() for hint in hints} <= set(acts) | {"x", "v"}


def test_keys_of_strum_it_cannot_strum() -> None:
    tree = ast.parse((SCREENS / "questions" / "strum.py").read_text(encoding="utf-8"))
    acts = next(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name == "acts")
    own = {str(node.value) for node in ast.walk(acts) if isinstance(node, ast.Constant)}
    assert own == {"enter", "k", "l"} and own <= set(SPOKEN)


def test_lines_are_shared_by_keys_that_do_alike() -> None:
    assert keys_said(["1", "2", "n"]) == [("1 – 9", MEANS["1"]), ("N", MEANS["n"])]
    assert keys_said(["-"], fills_slots=True) == [("-", SLOTS["-"])]
    assert keys_said(["-"]) == [("-", MEANS["-"])]
    assert set(KEY_NAMES.values()) >= {"page up", "left", "backspace"}


ASKS = ("drill", "strum", "write", "meet")


def answered(app: AppWindow) -> None:
    """Answer the question, or read the lesson, on screen, and go on."""
    seen = app.look()
    if seen["screen"] == "meet":
        app.press("Return")
        app.until(lambda now: (now["screen"], now.get("feature")) != ("meet", seen["feature"]), "on")
        return
    app.press("1" if seen["screen"] == "drill" else "n")
    app.until(lambda seen: seen["screen"] in ("answer", "hand_result"), "an answer")
    app.press("Return")
    app.until(lambda now: now["screen"] not in ("answer", "hand_result"), "what comes next")


def tabbed_to(app: AppWindow, control: str) -> None:
    """Press Tab until a control has the focus."""
    for _ in range(80):
        if app.look()["focus"] == control:
            return
        before = app.seen["focus"]
        app.press("Tab")
        app.until(lambda seen, before=before: seen["focus"] != before, "the next control")
    raise AssertionError(f"Tab never comes to {control}: {app.seen}")


def test_a_whole_day_by_keyboard_alone(landscape: XServer, null_sink: NullSink, tmp_path: Path) -> None:
    with AppWindow(landscape, tmp_path / "data", environment=null_sink.environment()) as app:
        app.wait(screen="cautions")
        app.press("Return")
        app.wait(screen="first", step="name")
        app.control("first-name")
        app.press("A", "d", "a", "Return")
        app.wait(screen="first", step="reads")
        app.press("question")
        assert "1 – 9" in app.wait(screen="keys")["keys"]
        app.press("question")
        app.wait(screen="first", step="reads")
        app.press("1")
        app.wait(screen="meet")
        app.press("t")
        app.wait(trying=True)
        app.press("F1")
        assert app.wait(screen="keys")["keys"]["T"] == MEANS["t"]
        app.press("Escape")
        app.wait(screen="meet", playing="")
        while app.look()["screen"] == "meet":
            answered(app)
        app.wait(screen="today")
        app.press("Return")
        app.until(lambda seen: seen["screen"] == "drill", "a question")
        for key, screen in (("s", "look_up"), ("question", "keys")):
            app.press(key)
            app.wait(screen=screen)
        for key, screen in (("question", "look_up"), ("s", "drill")):
            app.press(key)
            app.wait(screen=screen)
        while app.until(lambda seen: seen["screen"] in (*ASKS, "summary"), "what is next")["screen"] in ASKS:
            answered(app)
        app.press("Return")
        app.wait(screen="today")
        app.press("alt+3")
        app.wait(screen="progress")
        app.press("Down")
        app.press("alt+4")
        app.wait(screen="decks")
        app.press("Down", "space")
        app.press("space", "Escape")
        app.wait(screen="today")
        app.press("alt+6")
        app.wait(screen="settings", section="drill")
        app.press("Down")
        app.wait(section="page")
        app.press("Escape")
        app.wait(screen="today")
        tabbed_to(app, "tab-signs")
        app.press("Return")
        app.wait(screen="signs")
        app.press("Escape")
        app.wait(screen="today", notices=app.seen["notices"])
