"""What the app holds: the practice log, the decks and one learner's memory, and the sittings made of them.

No Kivy here. The clock, the seed and the folders are handed in; times are UTC seconds.
"""

from __future__ import annotations

import random
import threading
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from drillapp.decks.deck import Deck
from drillapp.decks.faults import Fault
from drillapp.drills.check import MOST_TASKS, ReadingCheck
from drillapp.drills.kinds import KINDS, allowed_kinds, can_ask
from drillapp.drills.placing import MOST_PAGES, Placing
from drillapp.drills.plan import Page, Plan, make_plan, open_for, practised
from drillapp.drills.task_maker import FreshMaker, TaskMaker
from drillapp.drills.tasks import Source, Wishes, pages_of
from drillapp.learning import (
    Forecast,
    ForecastScore,
    Memory,
    Planner,
    Prior,
    calibration,
    forecast,
    past_forecasts,
)
from drillapp.music import FEATURES, LAYERS, Pattern, features_to_ask
from drillapp.music.course import BUILDS_ON
from drillapp.music.difficulty import difficulty
from drillapp.music.fresh.make import fresh
from drillapp.music.ways import in_table_order
from drillapp.practice.conditions import conditions_of
from drillapp.practice.notice import Notice
from drillapp.practice.sitting import Sitting
from drillapp.practice.standing import FeatureProgress, progress_of, readings_of
from drillapp.records import (
    SET_WORK,
    Learner,
    LogError,
    Observation,
    PracticeLog,
    SetWork,
    SittingRow,
    new_id,
)

from .known import Known
from .learner import WhoPractises
from .plan import SIGNS_A_QUESTION, Begun, Today, costs_of, lines_of, questions_in
from .tally import RECENT, DayCount, with_played
from .work import running, told_of

NEW = ""  # no session yet
PICKED_QUESTIONS = 12  # in a session of one deck or one pattern
FRESH_TRIES = 8
DAY = 86400.0
LEAST_PLAYED = 5.0
"""seconds of playing along that are worth a note"""
WEEKS_ON_TODAY, WEEKS_ON_PROGRESS = 6, 12
FEW = 1000  # answers that are read from the log before anyone notices
UNFINISHED_FOR = DAY / 2
ENOUGH_FOR_A_LEVEL = 100  # signs read, before which a check finds out the learner's level for itself


class Practice:
    """One device's practice: who practises, what is planned, and the sessions.

    ``log`` is open and ``decks`` and their ``faults`` are loaded already; ``now`` gives UTC seconds;
    ``seed`` makes choices repeatable; ``prior``: what the memory takes for granted (the shipped table);
    ``notices``: what else the user should see.
    """

    def __init__(
        self,
        log: PracticeLog,
        decks: tuple[Deck, ...],
        faults: tuple[Fault, ...],
        now: Callable[[], float],
        seed: int | None = None,
        version: str = "",
        prior: Prior | None = None,
        notices: Sequence[Notice] = (),
    ) -> None:
        self.log = log
        log.settings.offer("drills", tuple(KINDS))
        self._prior = prior
        self._notices = tuple(notices)
        self.now = now
        self.version = version
        self.rng = random.Random(seed)
        self._seed = seed
        self.decks = decks
        self.faults = faults
        self._held: Known | None = None
        self._taking_up = threading.RLock()
        self._shown: dict[str, Plan] = {}  # the plan that Today shows, by the session that it goes on with
        self._refused: list[Notice] = []
        self._sound = True
        self.who = WhoPractises(log, now)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What the user should see."""
        return (
            *(Notice("log", text) for text in self.log.notices),
            *(Notice("settings", text) for text in self.log.settings.notices()),
            *self._notices,
        )

    def hears(self, sound: bool | None = None) -> bool:
        """Whether sound can be heard here; say so where it has changed. Without it no ear is asked."""
        if sound is not None and sound != self._sound:
            self._sound, self._shown = sound, {}
        return self._sound

    @property
    def learner(self) -> Learner:
        """Who practises now."""
        return self.who.current

    def setting(self, name: str) -> Any:
        """A setting's value, the learner's own where it is one."""
        return self.log.settings.get(name, self._whose(name))

    def change(self, name: str, value: Any) -> None:
        """Raises ValueError where the value is not allowed."""
        self.log.settings.set(name, value, self._whose(name))
        self._shown = {}

    def met_signs(self) -> tuple[str, ...]:
        """The signs whose lesson is done or passed over, in table order.

        Until one is, those practised so far: a log from before there were lessons has met what it asked.
        """
        kept = self.setting("met_signs")
        if kept or self.setting("begun"):
            return in_table_order(kept)
        memory, now = self.planner.memory, self.now()
        return tuple(feature for feature in FEATURES if memory.belief(feature, now).count)

    def open_signs(self) -> frozenset[str]:
        """The signs that may be asked now."""
        return frozenset(self.planner.open(self.now()))

    def meet(self, *features: str) -> None:
        """Keep that these signs are met. Raises ValueError for a name that is no feature."""
        unknown = [feature for feature in features if feature not in FEATURES]
        if unknown:
            raise ValueError(f"{unknown[0]!r} is not a feature; choose from {', '.join(FEATURES)}")
        # Not by ``change``: the plan that is shown stays as it is.
        met = in_table_order((*self.met_signs(), *features))
        self.log.settings.set("met_signs", met, self._whose("met_signs"))

    def is_new(self) -> bool:
        """Whether the learner was not asked yet what is read already, and has answered nothing."""
        return not self.setting("begun") and not self.met_signs()

    def start_placing(self) -> Sitting:
        """Begin the placing check: two or three minutes that find which signs are read already.

        Today's drill, cut off, can still be taken up afterwards. Raises LogError where the log cannot be
        written.
        """
        self.begin()
        placing = Placing(self._sources(), self.met(), self.rng, self.wishes(), self.hears)
        self._end_others(keep_drill=True)
        row = self.log.sessions.begin(
            new_id(), self.learner.id, self.now(), Begun(MOST_PAGES, check=True).to_dict()
        )
        return Sitting(self.log, self.planner, placing, row, MOST_PAGES, self.now, self.version)

    def take_place(self, sitting: Sitting) -> tuple[str, ...]:
        """Keep as met the signs that a placing check found to be read; gives them."""
        holds = sitting.placing.holds() if sitting.placing is not None else ()
        self.begin(*holds)
        return holds

    def begin(self, *holds: str) -> None:
        """Keep that the learner was asked what is read already, and that these signs are."""
        met = in_table_order((*self.met_signs(), *holds))
        self.change("begun", True)
        self.change("met_signs", met)

    @property
    def day(self) -> date:
        """Today, by this device's clock and zone."""
        return datetime.fromtimestamp(self.now()).astimezone().date()

    @property
    def known(self) -> Known:
        """What is known of the learner, made from the log when it is first asked for, then kept up."""
        with self._taking_up:
            if self._held is None or self._held.learner != self.learner.id:
                self._held, self._shown = self._made_from_log(), {}
            return self._held

    @property
    def planner(self) -> Planner:
        """The learner's planner, its memory rebuilt from the log."""
        return self.known.planner

    @property
    def ready(self) -> bool:
        """Whether all that screens ask for is there at once; else ``known`` takes a moment to make."""
        held = self._held
        return (held is not None and held.learner == self.learner.id) or self._rows() <= FEW

    def take_up(self) -> None:
        """Make what is known of the learner, so that screens need not wait. May run in a worker thread."""
        _ = self.known

    def _up_to_date(self) -> Known:
        """What is known, made anew where something else has written answers of this learner to the log."""
        with self._taking_up:
            if self._held is not None and self._held.rows != self._rows():
                self._held = None
            return self.known

    def _rows(self) -> int:
        waiting = sum(answer.learner == self.learner.id for answer in self.log.unsaved)
        return self.log.count(self.learner.id) + waiting

    def _made_from_log(self) -> Known:
        seed = self._seed if self._seed is not None else int(self.learner.id[:8], 16)
        entries, rows = self.log.entries(self.learner.id), self._rows()
        lately = [
            (entry.asked[0] if entry.asked else "", entry.seconds)
            for entry in entries
            if entry.when >= self.now() - RECENT and not entry.helped
        ]
        planner = Planner(
            FEATURES,
            seed,
            Memory(FEATURES, self._prior),
            BUILDS_ON,
            signs=SIGNS_A_QUESTION * self._questions(lately),
            costs=costs_of((feature, seconds) for feature, seconds in lately if feature),
        )
        known = Known(self.learner.id, planner)
        known.take_in(entries)
        known.rows = rows
        return known

    def questions(self) -> int:
        """How many questions fill the learner's minutes, from how long theirs take."""
        return self._questions(self.known.tally.lately(self.now()))

    def set_work(self) -> SetWork | None:
        """What a teacher has set for the learner, newest first; None where nothing is to be done now."""
        return running(self.log, self.learner.id, self.day)

    def take_set_work(self, work: SetWork) -> None:
        """Take a piece of set work for this learner."""
        self.log.set_work.give(work, (self.learner.id,))
        self._shown = {}

    def _minutes(self) -> int:
        work = self.set_work()
        return int((work.minutes if work else None) or self.setting("minutes"))

    def _questions(self, lately: Sequence[tuple[str, float]]) -> int:
        return questions_in(float(self._minutes()), [seconds for _, seconds in lately])

    def today(self) -> Today:
        """Who practises, what the plan holds and why, how the signs read now.

        The plan shown is the one that ``start`` begins, until a setting or the learner changes.
        """
        known, now = self._up_to_date(), self.now()
        left = self._left_over()
        plan = self._plan_left(*left) if left else self._new_plan(self._drill_sources(), self.questions())
        self._shown = {left[0].id if left else NEW: plan}
        refused, self._refused = tuple(self._refused), []
        return Today(
            self.learner,
            self._minutes(),
            len(plan.items),
            lines_of(plan, known.planner, now),
            readings_of(known, now),
            self._days(7 * WEEKS_ON_TODAY),
            left is not None,
            refused,
            told_of(self.log, self.learner.id, self.day),
        )

    def start(self, deck: str | None = None, pattern: Pattern | None = None) -> Sitting:
        """Begin a session, or go on with one that was cut off; one deck's or one pattern's where given.

        Today's drill, cut off, can still be taken up after a session of a deck, a pattern or a check.
        Raises LookupError for an unknown deck, LogError where the log cannot be written.
        """
        sources = self._sources(deck, pattern) if deck or pattern else self._drill_sources()
        planner, shown = self.planner, self._shown
        self._shown = {}
        left = None if deck or pattern else self._left_over()
        if left is not None:
            row, begun = left
            plan = begun.plan or shown.get(row.id) or self._plan_left(row, begun)
        else:
            self._end_others(keep_drill=bool(deck or pattern))
            if deck or pattern:
                plan = self._new_plan(sources, PICKED_QUESTIONS, chosen=True)
            else:
                plan = shown.get(NEW) or self._new_plan(sources, self.questions())
            begun = Begun(len(plan.items), deck, bool(pattern), plan=plan)
            row = self.log.sessions.begin(new_id(), self.learner.id, self.now(), begun.to_dict())
        maker = TaskMaker(
            planner,
            plan,
            sources,
            self.met(),
            self.rng,
            self.wishes(),
            self._fresh_maker(),
            signs=self._open_in(sources, bool(deck or pattern)),
            whole=pattern is not None,
            hears=self.hears,
        )
        work = None if deck or pattern else self.set_work()
        said = {} if work is None else {SET_WORK: work.id}
        return Sitting(self.log, planner, maker, row, begun.count, self.now, self.version, self.known, said)

    def start_check(self) -> Sitting:
        """Begin a Reading check: about five minutes, by playing and writing, that find the weak signs.

        It checks the signs practised so far, or all that the decks show where there is no record yet. Today's
        drill, cut off, can still be taken up afterwards. Raises NoQuestion where no deck shows a sign,
        LogError where the log cannot be written.
        """
        now, memory = self.now(), self.planner.memory
        known = practised(self.planner, now)
        answers = sum(memory.belief(feature, now).count for feature in known)
        check = ReadingCheck(
            self._sources(),
            self.met(),
            self.rng,
            self.wishes(),
            self._fresh_maker(),
            known or None,
            level=memory.level(now) if answers >= ENOUGH_FOR_A_LEVEL else None,
            hears=self.hears,
        )
        self._end_others(keep_drill=True)
        row = self.log.sessions.begin(
            new_id(), self.learner.id, self.now(), Begun(MOST_TASKS, check=True).to_dict()
        )
        return Sitting(self.log, self.planner, check, row, MOST_TASKS, self.now, self.version, self.known)

    def forecast(self, now: float | None = None) -> tuple[Forecast, ...]:
        """Accuracy expected today, and in two weeks with and without today's drill, of each open feature.

        ``now``: the time to tell it for, where it is not this moment.
        """
        now, planner = self.now() if now is None else now, self.planner
        left = self._left_over()
        plan = self._shown.get(left[0].id if left else NEW)
        if plan is None:
            plan = self._plan_left(*left) if left else self._new_plan(self._drill_sources(), self.questions())
        drill = Counter(feature for item in plan.items for feature in item.features)
        open_now = [feature for feature in FEATURES if feature in practised(planner, now)]
        return forecast(planner.memory, open_now, now, drill)

    def forecasts_held(self) -> ForecastScore:
        """What was forecast for each answer in the log from those before it, against what happened.

        May run in a worker thread.
        """
        seen = self.log.observations(self.learner.id)
        return calibration(*past_forecasts((_told(one) for one in seen), self._prior))

    def progress(self) -> tuple[FeatureProgress, ...]:
        """How each feature stands: expected today and ahead, its course, its counts, its misreadings."""
        known, now = self._up_to_date(), self.now()
        return progress_of(known, now, {one.feature: one for one in self.forecast(now)})

    def days(self) -> tuple[DayCount, ...]:
        """Questions and minutes of each day of twelve weeks, the oldest first and today the last."""
        return self._days(7 * WEEKS_ON_PROGRESS)

    def _days(self, count: int) -> tuple[DayCount, ...]:
        """So many days up to today: minutes of questions, and of playing along."""
        since = self.now() - (count + 1) * DAY
        played = self.log.sessions.played(self.learner.id, since)
        return with_played(self.known.tally.days(self.day, count), played)

    def played_along(self, pattern: Pattern, started: float, ended: float) -> None:
        """Note that a page was played along with, between two times in UTC seconds; nothing is graded.

        Less than a few seconds is not noted. Raises LogError where the log cannot be written.
        """
        if ended - started >= LEAST_PLAYED:
            plan = {"pattern": pattern.text, "meter": pattern.meter.text}
            self.log.sessions.note_play(new_id(), self.learner.id, started, ended, plan)

    def deck(self, name: str) -> Deck:
        """Raises LookupError where there is no such deck."""
        for deck in self.decks:
            if deck.name == name:
                return deck
        raise LookupError(f"there is no deck {name!r}; there are {', '.join(d.name for d in self.decks)}")

    def wishes(self) -> Wishes:
        shown = self.setting("layers")
        work = self.set_work()
        shown, pace = (work.layers or shown, work.pace) if work else (shown, None)
        layers = tuple(layer for layer in LAYERS if layer in shown) or ("letters", "counts", "staff")
        pace = self.setting("pace") if pace is None else pace
        return Wishes(layers, pace, self.setting("chord"), self.setting("fresh"), self.setting("drills"))

    def met(self) -> set[str]:
        """Texts of the patterns that the learner has met, as asked or as a candidate."""
        return self.log.met(self.learner.id, shown=True)

    def _fresh_maker(self) -> FreshMaker:
        met = self.met()

        def make(features: tuple[str, ...], like: Pattern, rng: random.Random) -> Pattern | None:
            """A pattern that this learner has not met, about as hard as ``like``; None where none is left."""
            for _ in range(FRESH_TRIES):
                try:
                    made = fresh(features, like.meter, difficulty(like), rng.getrandbits(32))
                except ValueError:
                    return None
                if made.text not in met:
                    met.add(made.text)
                    return made
            return None

        return make

    def _whose(self, name: str) -> str | None:
        return self.learner.id if self.log.settings.table[name].of == "learner" else None

    def _pages(self, sources: Sequence[Source]) -> frozenset[Page]:
        """The pages that the kinds at hand can ask on."""
        kinds, instead = allowed_kinds(self.setting("drills"), self.hears())
        return pages_of(sources, can_ask((*kinds, *instead)))

    def _open_in(self, sources: Sequence[Source], chosen: bool) -> frozenset[str]:
        """The signs that may come from the start; where one deck or pattern was chosen, all that it shows.

        Whoever chooses it wants its signs; the lesson on each comes before the first question with it.
        """
        met = self.met_signs()
        if chosen:
            met += tuple(sign for source in sources for sign in features_to_ask(source.pattern))
        return open_for(self._pages(sources), met)

    def _new_plan(self, sources: Sequence[Source], count: int, chosen: bool = False) -> Plan:
        opened, pages = self._open_in(sources, chosen), self._pages(sources)
        work = None if chosen else self.set_work()
        wanted = work.signs if work else ()
        return make_plan(self.planner, pages, count, self.now(), self.setting("fresh"), opened, wanted)

    def _plan_left(self, row: SittingRow, begun: Begun) -> Plan:
        """What is left of a drill that was cut off; planned anew where an earlier version kept no plan."""
        if begun.plan is not None:
            return begun.plan.after(row.answered)
        plan = self._new_plan(self._drill_sources(), begun.count - row.answered)
        return replace(plan, first=row.answered + 1)

    def _left_over(self) -> tuple[SittingRow, Begun] | None:
        """A session of today's plan that was cut off a short while ago, and what it was begun with.

        One whose plan cannot be read counts as ended, which the next ``today`` says.
        """
        for session in self.log.sessions.unfinished(self.learner.id):
            try:
                begun = Begun.from_dict(session.plan)
            except ValueError as error:
                self._refuse(session, error)
                continue
            if not begun.drill:
                continue
            lately = 0 <= self.now() - session.started < UNFINISHED_FOR
            return (session, begun) if lately and 0 < session.answered < begun.count else None
        return None

    def _refuse(self, session: SittingRow, error: ValueError) -> None:
        text = (
            f"The drill that you began cannot be taken up again: its plan is damaged ({error}). "
            "Its answers are kept; a new drill is planned."
        )
        self._refused.append(Notice("log", text))
        try:
            self.log.sessions.end(session.id, self.now())
        except LogError:
            return  # it is looked at, and refused, again next time

    def _end_others(self, keep_drill: bool) -> None:
        """Note that sessions that were left are over; ``keep_drill``: but not today's, cut off."""
        kept = self._left_over() if keep_drill else None
        for session in self.log.sessions.unfinished(self.learner.id):
            if kept is None or session.id != kept[0].id:
                self.log.sessions.end(session.id, self.now())

    def _sources(self, deck: str | None = None, pattern: Pattern | None = None) -> tuple[Source, ...]:
        if pattern is not None:
            return (Source(pattern),)
        decks = (self.deck(deck),) if deck else self._chosen_decks()
        return tuple(
            Source(one.pattern, one.title, deck.name, deck.layers) for deck in decks for one in deck.patterns
        )

    def _drill_sources(self) -> tuple[Source, ...]:
        """The patterns of today's drill: of the decks that are set, where any is here, else as ever."""
        work = self.set_work()
        there = {deck.name for deck in self.decks}
        found = [self._sources(name) for name in (work.decks if work else ()) if name in there]
        return tuple(source for sources in found for source in sources) or self._sources()

    def _chosen_decks(self) -> tuple[Deck, ...]:
        """The decks that the learner practises from; all of them where none is chosen or left."""
        chosen = self.setting("decks")
        return tuple(deck for deck in self.decks if deck.name in chosen) or self.decks


def _told(seen: Observation) -> tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]:
    """What the memory is told of an answer: when, of which features, right or wrong, guess, conditions."""
    conditions = conditions_of(seen.first_seen, seen.pattern, seen.tempo, seen.layers)
    return seen.time, seen.features, seen.correct, seen.guess, conditions
