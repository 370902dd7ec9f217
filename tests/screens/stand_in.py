"""A stand-in for the app's practice: fixed plans and readings of invented learners, real questions.

It keeps no log. Screens are looked at and tested with it where the real one would need weeks of answers.
"""

from __future__ import annotations

import os
import random
import sys
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace as Row

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.decks.faults import Fault
from drillapp.drills import NoQuestion, pick_question
from drillapp.drills.kinds import KINDS
from drillapp.drills.plan import Reason
from drillapp.learning import Expected, Forecast, calibration
from drillapp.music import FEATURES, parse
from drillapp.practice.notice import Notice
from drillapp.practice.sitting import Summary, SummaryLine
from drillapp.practice.standing import Confusion, Counted
from drillapp.practice.tally import DayCount
from drillapp.screens.frame.kivy_setup import prepare_kivy
from drillapp.screens.frame.options import Options
from drillapp.sound import open_player

TEXTS = (
    ("Straight on", "D D D D"),
    ("Late on the way up", "D- DU -U DU"),
    ("Both hands busy", "D- DU DU DU"),
    ("Knock on two", "D- XU -U XU"),
    ("A breath on three", "D- DU .U DU"),
    ("Push", ">D- DU >D- DU"),
    ("Run", "D-DU X-DU D-DU XUDU"),
    ("Two bars of a long walk round the market square", "D- DU -U DU | D- XU .U D-"),
)
CONFUSIONS = (Confusion("tied on", "struck", 7, 24), Confusion("silent", "tied on", 2, 24))


@dataclass
class StandIn:
    """The calls of the app's practice that screens use."""

    empty: bool = False
    many: bool = False
    new: bool = False
    work: object = None
    log: object = None
    notices: list[Notice] = field(default_factory=list)

    def __post_init__(self) -> None:
        names = (
            ["Mira"]
            if not self.many
            else ["Mira", "Tomasz", "Ana of the second class with a rather long name indeed", "Jo"]
        )
        self._learners = [
            Row(id=str(i), name=name, made=0.0, named=0.0, archived=False, here=True)
            for i, name in enumerate(names)
        ]
        self.learner = self._learners[0]
        self._met = set(() if self.new else FEATURES)
        self.who = Row(
            all=self.learners,
            choose=self.choose,
            add=self.add_learner,
            rename=self.rename_learner,
            archive=self.archive_learner,
            restore=self.restore_learner,
        )
        self.log = self.log or Row(close=lambda: None)
        self._settings = {
            "theme": "paper",
            "text_size": 1.0,
            "volume": 0.3,
            "player": "automatic",
            "minutes": 10,
            "layers": ("letters", "counts", "staff"),
            "counts": "1 + 2 +",
            "pace": 1.0,
            "chord": "G",
            "decks": (),
            "fresh": True,
            "count_in": True,
            "click": False,
            "latencies": {},
            "voice": "steel",
            "hand": "right",
            "cursor": False,
            "strum_keys": ("f", "j", "space", "shift"),
            "drills": ("page_to_sound", "sound_to_page"),
            "key_hints": True,
            "cautions_read": True,
        }
        patterns = tuple(
            DeckPattern(title, parse(text), 70, 110, "Keep the hand moving.", line)
            for line, (title, text) in enumerate(TEXTS)
        )
        self.decks = (
            Deck(
                "on-the-beat", "On the beat and off it", "Count aloud while you listen.", patterns, "a.toml"
            ),
            Deck("skips", "Skips, ties and rests", "", patterns[1:5], "b.toml"),
            Deck("mutes", "Mutes and accents", "", patterns[3:], "c.toml"),
        )
        self.faults = (
            (
                Fault(
                    "evening.toml",
                    7,
                    12,
                    "'Q' is not a stroke; write D, U, X, d, u, - or .",
                    code="mark-unknown",
                ),
            )
            if self.many
            else ()
        )

    def is_new(self) -> bool:
        return self.new

    def begin(self, *holds: str) -> None:
        self.new = False

    def hears(self, sound: bool | None = None) -> bool:
        return bool(sound)

    def take_place(self, sitting: object) -> tuple[str, ...]:
        return ("beat", "offbeat", "skip")

    def met_signs(self) -> tuple[str, ...]:
        return tuple(feature for feature in FEATURES if feature in self._met)

    def meet(self, *features: str) -> None:
        self._met.update(features)

    def open_signs(self) -> frozenset[str]:
        return frozenset(FEATURES[:8])

    def setting(self, name: str) -> object:
        return self._settings[name]

    def change(self, name: str, value: object) -> None:
        self._settings[name] = value

    def learners(self, archived: bool = False) -> tuple[Row, ...]:
        return tuple(one for one in self._learners if archived or not one.archived)

    def choose(self, learner: str) -> None:
        self.learner = next(one for one in self._learners if one.id == learner)

    def add_learner(self, name: str) -> Row:
        if not name.strip():
            raise ValueError("A name has 1 to 60 characters; this one has 0.")
        one = Row(id=str(len(self._learners)), name=name, made=0.0, named=0.0, archived=False, here=True)
        self._learners.append(one)
        return one

    def rename_learner(self, learner: str, name: str) -> None:
        next(one for one in self._learners if one.id == learner).name = name

    def archive_learner(self, learner: str) -> None:
        next(one for one in self._learners if one.id == learner).archived = True

    def restore_learner(self, learner: str) -> None:
        next(one for one in self._learners if one.id == learner).archived = False

    ready = True

    def take_up(self) -> None:
        """Nothing: all is there."""

    def _expected(self, feature: str, shift: float = 0.0) -> Expected:
        one = self._reading(feature, shift)
        return one.expected

    def _reading(self, feature: str, shift: float = 0.0) -> Row:
        opened = not self.empty and FEATURES.index(feature) < 9
        middle = {"tie": 0.58, "rest": 0.77, "mute": 0.88}.get(
            feature, 0.93 - 0.01 * FEATURES.index(feature)
        ) - shift
        width = 0.11 if feature in ("tie", "rest") else 0.05
        count = 0 if not opened else 12 + 7 * FEATURES.index(feature)
        return Row(
            feature=feature,
            opened=opened or feature == "beat",
            expected=Expected(feature, max(0.0, middle - width), middle, min(1.0, middle + width), count),
            weak=feature == "tie" and opened,
        )

    def today(self) -> Row:
        lines = (
            Row(feature="tie", why="repair", reason=Reason("repair", "tie", self._expected("tie")), count=4),
            Row(
                feature="rest",
                why="refresh",
                reason=Reason("refresh", "rest", self._expected("rest"), 7 * 86_400.0),
                count=3,
            ),
            Row(feature="accent", why="reach", reason=Reason("reach", "accent"), count=2),
            Row(feature="fresh", why="fresh", reason=Reason("fresh", "fresh"), count=3),
        )
        if self.empty:
            lines = (
                Row(feature="beat", why="reach", reason=Reason("reach", "beat"), count=6),
                Row(feature="offbeat", why="reach", reason=Reason("reach", "offbeat"), count=6),
            )
        readings = tuple(self._reading(feature) for feature in FEATURES)
        return Row(
            learner=self.learner,
            minutes=9,
            questions=12,
            lines=lines,
            readings=readings,
            days=self.days()[-42:],
            unfinished=self.many,
            notices=(),
            work=self.work,
        )

    def days(self) -> tuple[DayCount, ...]:
        """Twelve weeks; every fifth day nothing was done."""
        back = [] if self.empty else [n for n in range(84) if n % 5]
        return tuple(
            DayCount(self.day - timedelta(83 - n), (9 + n % 4) * (n in back), (8.0 + n % 3) * (n in back))
            for n in range(84)
        )

    def progress(self) -> tuple[Row, ...]:
        def course(feature: str) -> tuple[Row, ...]:
            if not self._expected(feature).count:
                return ()
            return tuple(
                Row(
                    day=date(2026, 9, 3) + timedelta(days=3 * k),
                    expected={feature: self._expected(feature, 0.25 - 0.028 * k)},
                )
                for k in range(9)
            )

        def counts(feature: str) -> Counted:
            count = self._expected(feature).count
            middle = self._expected(feature).middle
            return Counted(count, round(count * middle), middle - 0.1, middle, min(1.0, middle + 0.1))

        def ahead(feature: str) -> Forecast | None:
            if not self._expected(feature).count:
                return None
            today, without, drilled = (self._expected(feature, shift) for shift in (0.0, 0.2, 0.1))
            return Forecast(feature, today, without, drilled, 4 * (feature in ("tie", "rest", "accent")))

        return tuple(
            Row(
                feature=f,
                reading=self._reading(f),
                first_seen=counts(f),
                met_before=counts(f),
                course=course(f),
                ahead=ahead(f),
                confusions=CONFUSIONS if f == "tie" else (),
            )
            for f in FEATURES
        )

    day = date(2026, 9, 28)

    def met(self) -> set[str]:
        return {parse(TEXTS[0][1]).text}

    def forecasts_held(self) -> object:
        chances = [] if self.empty else [0.55, 0.65, 0.75, 0.85, 0.95] * 20
        return calibration(chances, [random.Random(n).random() < p for n, p in enumerate(chances)])

    def broken(self) -> tuple[Row, ...]:
        raise RuntimeError("the shelf is empty")

    def now(self) -> float:
        return 0.0

    def played_along(self, pattern: object, started: float, ended: float) -> None:
        """The stand-in keeps no log."""

    def start(self, deck: object = None, pattern: object = None) -> StandInSitting:
        return StandInSitting(self)


class StandInSitting:
    """Twelve questions over the stand-in's patterns, both drills in turn."""

    def __init__(self, practice: StandIn, of: int = 12, seed: int = 3) -> None:
        self._practice, self._of, self._number = practice, of, 0
        self._rng = random.Random(seed)
        self._ahead: Row | None = None
        self._results: list[Row] = []
        self.check = self.placing = None
        self.may_take_back = False

    may_take_back = False

    @property
    def over(self) -> bool:
        return self._number >= self._of

    def prepare(self) -> Row | None:
        if self._ahead is None and self._number < self._of:
            self._ahead = self._build(self._number + 1)
        return self._ahead

    def next(self) -> Row | None:
        task = self.prepare()
        self._ahead = None
        self._number += task is not None
        return task

    def _build(self, number: int) -> Row:
        layers = self._practice.setting("layers")
        while True:
            _, text = self._rng.choice(TEXTS)
            feature = self._rng.choice(("tie", "rest", "skip", "mute", "accent", "offbeat", "beat"))
            try:
                question = pick_question(
                    parse(text), (feature,), layers, self._rng, size=self._rng.choice((2, 3, 4, 4))
                )
            except NoQuestion:
                continue
            drills = self._practice.setting("drills")
            drill = drills[(number - 1) % len(drills)]
            return Row(
                number=number,
                of=self._of,
                drill=drill,
                question=question,
                pattern=question.written,
                tempo=84,
                layers=layers,
                why="repair",
                change=None,
                chord="G",
                asked=(feature,),
            )

    def answer(
        self,
        task: Row,
        given: object,
        seconds: float,
        plays: tuple[int, ...] = (),
        tempo: float | None = None,
        helped: bool = False,
    ) -> Row:
        result = self.practise(task, given, tempo, counted=True)
        if result.kept:
            self._results.append(result)
        return result

    def practise(self, task: Row, given: object, tempo: float | None = None, counted: bool = False) -> Row:
        graded = KINDS[task.drill].grade(task, given, float(tempo or task.tempo))
        kept = graded.set_aside is None
        return Row(task=task, graded=graded, right=graded.right, kept=kept, notice="", counted=counted)

    def summary(self) -> Summary:
        expected = self._practice._expected
        lines = tuple(
            SummaryLine(f, n, expected(f, shift), expected(f))
            for f, n, shift in (("tie", 5, 0.2), ("rest", 3, 0.06), ("accent", 4, 0.06))
        )
        return Summary(lines, len(self._results), 512.0)


def main() -> None:
    """Run the app on the stand-in: ``stand_in.py FOLDER [empty] [many] [night] [broken]``."""
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    options = Options.from_environment(os.environ)
    prepare_kivy(folder / "kivy", options.window or (1280, 800))

    from drillapp.screens.frame.errors import log_to
    from drillapp.screens.frame.shell import DrillApp

    def make() -> StandIn:
        practice = StandIn(empty="empty" in sys.argv, many="many" in sys.argv, new="new" in sys.argv)
        if "hands" in sys.argv:
            practice.change("drills", ("strum_it", "write_it_down"))
        if "left" in sys.argv:
            practice.change("hand", "left")
        if "cursor" in sys.argv:
            practice.change("cursor", True)
        if "night" in sys.argv:
            practice.change("theme", "night")
        if "broken" in sys.argv:
            practice.progress = practice.broken  # type: ignore[method-assign]
        return practice

    log_to(folder)
    DrillApp(make, lambda _preferred: open_player("silent"), folder, (), None, options.trace).run()


if __name__ == "__main__":
    main()
