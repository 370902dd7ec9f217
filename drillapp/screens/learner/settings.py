"""Settings: what the page shows, how it sounds, how long a drill is, the colours; and the cautions."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from kivy.core.window import Window
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp import __version__
from drillapp.music import SYLLABLES, parse
from drillapp.records import SETTINGS
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.widgets import care, row_list
from drillapp.screens.widgets.basic import Option, YesNo
from drillapp.screens.widgets.strum_keys import KeyRefused, StrumKeys, key_name, read_keys
from drillapp.words import keys as key_words
from drillapp.words import settings as words
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["SettingsView", "care", "row_list"]

CHORDS = next(setting.allowed for setting in SETTINGS if setting.name == "chord")
SAMPLE = "D- DU -U DU"
TRY = "try"


class KeyOf(BoxLayout):
    """What a key does when strumming, and a button to give it another key."""

    act = StringProperty("")
    title = StringProperty("")
    shown = StringProperty("")
    waiting = BooleanProperty(False)

    __events__ = ("on_press",)

    def on_press(self) -> None: ...


class SetTo(BoxLayout):
    """What is set, and beside it the control that sets it."""

    title = StringProperty("")


class SettingsView(Sounding):
    """The device's settings and the learner's; ``section``: the part of them that is shown."""

    section = StringProperty(next(iter(words.SECTIONS)))
    who = StringProperty("")
    minutes = StringProperty("")
    volume = StringProperty("")
    pace = StringProperty("")
    text_size = StringProperty("")
    refusal = StringProperty("")
    about = StringProperty("")
    latency = StringProperty("")
    waiting = StringProperty("")
    """The act that the next key is for."""

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._sections = {name: self.ids[name].__self__ for name in words.SECTIONS}
        for act, title in words.captions(words.KEYS).items():
            row = KeyOf(act=act, title=title)
            row.bind(on_press=lambda row: self.ask_key(row.act))
            self.ids.strum_keys.add_widget(row)

    def enter(self, **_given: Any) -> None:
        practice = self.app.practice
        self.who = practice.learner.name
        self.refusal = ""
        self.about = words.about(__version__, self.app.folder)
        self._choices(self.ids.themes, "theme", words.captions(words.THEMES))
        self._choices(self.ids.counts, "counts", {name: name for name in SYLLABLES})
        self._choices(self.ids.voices, "voice", words.captions(words.VOICES))
        self._choices(self.ids.chords, "chord", {name: name for name in CHORDS})
        self._choices(self.ids.hands, "hand", words.captions(words.HANDS))
        self._set_of(self.ids.layers, "layers", words.captions(words.LAYERS))
        self._set_of(self.ids.drills, "drills", words.kinds_in_full())
        self._show_keys()
        kept = self.app.latencies.kept
        self.latency = words.latency(None if kept is None else kept.latency)
        for name in ("count_in", "click", "key_hints", "fresh", "cursor"):
            self.ids[name].chosen = bool(practice.setting(name))
        self._numbers()
        self.choose_section(list(self._sections).index(self.section))
        super().enter()

    def choose_section(self, index: int) -> None:
        """Show one section; the others are taken out, since what is hidden would still take touches."""
        self._wait_for("")
        self.section = list(self._sections)[index]
        captions = words.captions(words.SECTIONS)
        self.ids.sections.fill(((captions[name], "", f"section-{name}") for name in captions), index)
        self.ids.shown.clear_widgets()
        self.ids.shown.add_widget(self._sections[self.section])
        self.ids.scroll.scroll_y = 1

    def acts(self) -> dict[str, Callable[[], object]]:
        if self.app.focus.current() is not None:
            return super().acts()
        at = list(self._sections).index(self.section)
        return {
            **super().acts(),
            "up": partial(self.choose_section, max(at - 1, 0)),
            "down": partial(self.choose_section, min(at + 1, len(self._sections) - 1)),
        }

    def leave(self) -> None:
        self._wait_for("")
        super().leave()

    def traced(self) -> dict[str, object]:
        return {"refusal": self.refusal, "section": self.section}

    def change(self, name: str, value: Any) -> bool:
        """Keep a setting; False, with a sentence on screen, where it is refused."""
        try:
            self.app.practice.change(name, value)
        except ValueError as refusal:
            self.refusal = fault_said(refusal)
            return False
        self.refusal = ""
        return True

    def step(self, name: str, by: float) -> None:
        """Move a number by a step, to whatever is allowed."""
        value = self.app.practice.setting(name)
        new = round(value + by, 2)
        if self.change(name, type(value)(new)):
            if name == "volume":
                self.app.speaker.set_volume(new)
            elif name == "text_size":
                look.text_size = new
                self.app.fit()
        else:
            self.refusal = ""  # the end of the range speaks for itself
        self._numbers()

    def switch(self, name: str) -> None:
        value = not self.app.practice.setting(name)
        if self.change(name, value):
            self.ids[name].chosen = value
            if name == "key_hints":
                look.hints = value

    def ask_key(self, act: str) -> None:
        """The next key that is pressed shall do this; asked again, or Escape, leaves things as they are."""
        self.refusal = ""
        self._wait_for("" if self.waiting == act else act)

    def usual_keys(self) -> None:
        """Back to the keys that the app came with."""
        self._wait_for("")
        self.change("strum_keys", StrumKeys().kept)
        self._show_keys()

    def _wait_for(self, act: str) -> None:
        Window.unbind(on_key_down=self._key_pressed)
        self.waiting = act
        if act:
            Window.bind(on_key_down=self._key_pressed)
        self._show_keys()

    def _key_pressed(self, _window: object, code: int, *_rest: object) -> bool:
        key, act = key_name(code), self.waiting
        if key == "escape":
            self._wait_for("")
            return True
        try:
            keys = read_keys(self.app.practice.setting("strum_keys")).assigned(act, key)
        except KeyRefused as refusal:
            self.refusal = key_words.refused(refusal.code, refusal.key, refusal.act)
            return True
        self.change("strum_keys", keys.kept)
        self._wait_for("")
        return True

    def _show_keys(self) -> None:
        keys = read_keys(self.app.practice.setting("strum_keys"))
        for row in self.ids.strum_keys.children:
            row.waiting = row.act == self.waiting
            row.shown = _("press a key") if row.waiting else key_words.key_caption(getattr(keys, row.act))

    def try_sound(self) -> None:
        setting = self.app.practice.setting
        self.app.speaker.toggle(
            TRY, Sound(parse(SAMPLE), 96, setting("chord"), setting("voice"), 0, click=setting("click"))
        )

    def _choices(self, box: BoxLayout, name: str, captions: dict[str, str]) -> None:
        box.clear_widgets()
        chosen = self.app.practice.setting(name)
        for value, caption in captions.items():
            option = Option(caption=caption, chosen=value == chosen, ident=f"{name}-{value}")
            option.bind(on_release=lambda _o, value=value: self._choose(box, name, captions, value))
            box.add_widget(option)

    def _choose(self, box: BoxLayout, name: str, captions: dict[str, str], value: str) -> None:
        if self.change(name, value):
            if name == "theme":
                look.theme = value
            for option, other in zip(reversed(box.children), captions, strict=True):
                option.chosen = other == value

    def _set_of(self, box: BoxLayout, name: str, captions: dict[str, str]) -> None:
        """Boxes to tick for a setting that is a set of names."""
        box.clear_widgets()
        for value, caption in captions.items():
            tick = YesNo(caption=caption, ident=f"{name}-{value}")
            tick.chosen = value in self.app.practice.setting(name)
            tick.bind(on_release=lambda tick, value=value: self._switch_one(tick, name, captions, value))
            box.add_widget(tick)

    def _switch_one(self, tick: YesNo, name: str, captions: dict[str, str], value: str) -> None:
        chosen = set(self.app.practice.setting(name)) ^ {value}
        if not chosen:
            self.refusal = _("Leave at least one of these on.")
        elif self.change(name, tuple(one for one in captions if one in chosen)):
            tick.chosen = value in chosen

    def _numbers(self) -> None:
        setting = self.app.practice.setting
        self.minutes = words.minutes(setting("minutes"))
        self.volume = words.volume(setting("volume"))
        self.pace = words.pace(setting("pace"))
        self.text_size = words.text_size(setting("text_size"))


load_kv(__file__)
