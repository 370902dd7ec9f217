"""What the app holds: the practice log, the decks and one learner's memory, and the sessions made of them.

No Kivy here. The clock, the seed and the folders are handed in; times are UTC seconds.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from datetime import date, datetime
from statistics import median
from typing import Any

from drillapp.decks.deck import Deck
from drillapp.decks.faults import Fault
from drillapp.drills.check import MOST_TASKS, ReadingCheck
from drillapp.drills.kinds import KINDS
from drillapp.drills.task_maker import FreshMaker, TaskMaker, opened, practised
from drillapp.drills.tasks import Source, Wishes, phrase
from drillapp.learning import (
    FRESH,
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
from drillapp.practice.conditions import conditions_of
from drillapp.practice.notice import Notice
from drillapp.practice.sitting import Sitting
from drillapp.practice.standing import FeatureProgress, progress_of, readings_of
from drillapp.records import Answer, Learner, Observation, PracticeLog, SittingRow, new_id

from .plan import LOOK_SECONDS, SIGNS_A_QUESTION, USUAL_SECONDS, PlanLine, Today, costs_of

FIRST_LEARNER = "First learner"
FRESH_TRIES = 8
DAY = 86400.0
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
        self._planner: Planner | None = None
        learners = log.learners.all()
        self._learner = log.learners.last() or (
            learners[0] if learners else log.learners.add(FIRST_LEARNER, now())
        )

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What the user should see."""
        return (
            *(Notice("log", text) for text in self.log.notices),
            *(Notice("settings", text) for text in self.log.settings.notices()),
            *self._notices,
        )

    @property
    def learner(self) -> Learner:
        return self._learner

    def learners(self, archived: bool = False) -> tuple[Learner, ...]:
        return self.log.learners.all(archived)

    def choose(self, learner: str) -> None:
        """Practise as this learner. Raises LookupError where there is none of that id."""
        self._learner = self.log.learners.get(learner)
        self._planner = None

    def add_learner(self, name: str) -> Learner:
        """Raises ValueError for an empty name."""
        return self.log.learners.add(name, self.now())

    def rename_learner(self, learner: str, name: str) -> None:
        self.log.learners.rename(learner, name, self.now())
        if learner == self._learner.id:
            self._learner = self.log.learners.get(learner)

    def archive_learner(self, learner: str) -> None:
        """Put a learner aside (their answers stay); another one practises then."""
        self.log.learners.archive(learner)
        if learner == self._learner.id:
            left = self.log.learners.all()
            self.choose(left[0].id if left else self.add_learner(FIRST_LEARNER).id)

    def restore_learner(self, learner: str) -> None:
        self.log.learners.restore(learner)

    def setting(self, name: str) -> Any:
        """A setting's value, the learner's own where it is one."""
        return self.log.settings.get(name, self._whose(name))

    def change(self, name: str, value: Any) -> None:
        """Raises ValueError where the value is not allowed."""
        self.log.settings.set(name, value, self._whose(name))

    @property
    def day(self) -> date:
        """Today, by this device's clock and zone."""
        return datetime.fromtimestamp(self.now()).astimezone().date()

    @property
    def planner(self) -> Planner:
        """The learner's planner, its memory rebuilt from the log."""
        if self._planner is None:
            seed = self._seed if self._seed is not None else int(self._learner.id[:8], 16)
            recent = self._recent_answers()
            planner = Planner(
                FEATURES,
                seed,
                Memory(FEATURES, self._prior),
                BUILDS_ON,
                signs=SIGNS_A_QUESTION * self._questions(recent),
                costs=costs_of((answer.asked[0], answer.seconds) for answer in recent if answer.asked),
            )
            for seen in self.log.observations(self._learner.id):
                time, features, correct, guess, conditions = _told(seen)
                planner.memory.observe(features, correct, time, guess, conditions)
            self._planner = planner
        return self._planner

    def questions(self) -> int:
        """How many questions fill the learner's minutes, from how long theirs take."""
        return self._questions(self._recent_answers())

    def _recent_answers(self) -> tuple[Answer, ...]:
        """Those of a month."""
        return tuple(self.log.answers(self._learner.id, self.now() - 30 * DAY))

    def _questions(self, recent: Sequence[Answer]) -> int:
        taken = [answer.seconds for answer in recent[-60:]]
        each = median(taken) + LOOK_SECONDS if len(taken) >= 10 else USUAL_SECONDS
        seconds = float(self.setting("minutes")) * 60
        return int(max(6, min(60, round(seconds / min(max(each, 20.0), 120.0)))))

    def today(self) -> Today:
        """Who practises, what the plan holds and why, how the signs read now."""
        left = self._left_over()
        count = int(left.plan["count"]) - left.answered if left else self.questions()
        return Today(
            self._learner,
            self.setting("minutes"),
            count,
            self._lines(count),
            readings_of(self.log.observations(self._learner.id), self.planner, self.now()),
            left is not None,
        )

    def start(self, deck: str | None = None, pattern: Pattern | None = None) -> Sitting:
        """Begin a session, or go on with one that was cut off; one deck's or one pattern's where given.

        Today's drill, cut off, can still be taken up after a session of a deck, a pattern or a check.
        Raises LookupError for an unknown deck, LogError where the log cannot be written.
        """
        row = None if deck or pattern else self._left_over()
        if row is None:
            self._end_others(keep_drill=bool(deck or pattern))
            count = 12 if deck or pattern else self.questions()
            row = self.log.sessions.begin(
                new_id(),
                self._learner.id,
                self.now(),
                {"count": count, "deck": deck, "pattern": bool(pattern)},
            )
        maker = TaskMaker(
            self.planner,
            self._sources(deck, pattern),
            self.met(),
            self.rng,
            self.wishes(),
            self._fresh_maker(),
        )
        return Sitting(self.log, self.planner, maker, row, self.now, self.version)

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
            self._sources(None, None),
            self.met(),
            self.rng,
            self.wishes(),
            self._fresh_maker(),
            known or None,
            level=memory.level(now) if answers >= ENOUGH_FOR_A_LEVEL else None,
        )
        self._end_others(keep_drill=True)
        row = self.log.sessions.begin(
            new_id(), self._learner.id, self.now(), {"count": MOST_TASKS, "check": True}
        )
        return Sitting(self.log, self.planner, check, row, self.now, self.version)

    def forecast(self) -> tuple[Forecast, ...]:
        """Accuracy expected today, and in two weeks with and without today's drill, of each open feature."""
        now, planner = self.now(), self.planner
        drill: Counter[str] = Counter()
        for line in self._lines(self.questions()):
            drill[line.feature] += line.count
        open_now = [feature for feature in FEATURES if feature in practised(planner, now)]
        fresh_pages = drill.pop("fresh", 0)
        for number in range(fresh_pages if open_now else 0):  # pages never seen mix the open signs
            drill[open_now[number % len(open_now)]] += 1
        return forecast(planner.memory, open_now, now, drill)

    def forecasts_held(self) -> ForecastScore:
        """What was forecast for each answer in the log from those before it, against what happened.

        May run in a worker thread.
        """
        seen = self.log.observations(self._learner.id)
        return calibration(*past_forecasts((_told(one) for one in seen), self._prior))

    def progress(self) -> tuple[FeatureProgress, ...]:
        """How each feature stands: first-seen beside met-before, trend, what is taken for what."""
        return progress_of(self.log.answers(self._learner.id), self.planner, self.now())

    def deck(self, name: str) -> Deck:
        """Raises LookupError where there is no such deck."""
        for deck in self.decks:
            if deck.name == name:
                return deck
        raise LookupError(f"there is no deck {name!r}; there are {', '.join(d.name for d in self.decks)}")

    def wishes(self) -> Wishes:
        shown = self.setting("layers")
        layers = tuple(layer for layer in LAYERS if layer in shown) or ("letters", "counts", "staff")
        return Wishes(
            layers, self.setting("pace"), self.setting("chord"), self.setting("fresh"), self.setting("drills")
        )

    def met(self) -> set[str]:
        """Texts of the patterns that the learner has met, as asked or as a candidate."""
        return self.log.met(self._learner.id, shown=True)

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
        return self._learner.id if self.log.settings.table[name].of == "learner" else None

    def _left_over(self) -> SittingRow | None:
        """A session of today's plan that was cut off a short while ago."""
        for session in self.log.sessions.unfinished(self._learner.id):
            if any(session.plan.get(kind) for kind in ("deck", "pattern", "check")):
                continue
            lately = 0 <= self.now() - session.started < UNFINISHED_FOR
            fits = lately and 0 < session.answered < int(session.plan.get("count", 0))
            return session if fits else None
        return None

    def _end_others(self, keep_drill: bool) -> None:
        """Note that sessions that were left are over; ``keep_drill``: but not today's, cut off."""
        kept = self._left_over() if keep_drill else None
        for session in self.log.sessions.unfinished(self._learner.id):
            if kept is None or session.id != kept.id:
                self.log.sessions.end(session.id, self.now())

    def _sources(self, deck: str | None, pattern: Pattern | None) -> tuple[Source, ...]:
        if pattern is not None:
            return (Source(pattern),)
        decks = (self.deck(deck),) if deck else self._chosen_decks()
        return tuple(
            Source(one.pattern, one.title, deck.name, deck.layers) for deck in decks for one in deck.patterns
        )

    def _chosen_decks(self) -> tuple[Deck, ...]:
        """The decks that the learner practises from; all of them where none is chosen or left."""
        chosen = self.setting("decks")
        return tuple(deck for deck in self.decks if deck.name in chosen) or self.decks

    def _lines(self, count: int) -> tuple[PlanLine, ...]:
        now, planner = self.now(), self.planner
        counts: Counter[tuple[str, str]] = Counter()
        since_fresh = 0
        patterns = [one.pattern for deck in self._chosen_decks() for one in deck.patterns]
        pool = {feature for pattern in patterns for feature in features_to_ask(pattern)}
        for features, why in planner.plan(now, count, opened(planner, pool, now)):
            since_fresh += 1
            if self.setting("fresh") and (why == FRESH or since_fresh >= 4):
                counts["fresh", FRESH] += 1
                since_fresh = 0
            else:
                counts[features[0], why] += 1
        lines = []
        for (feature, why), number in counts.most_common():
            if feature == "fresh":
                lines.append(PlanLine("fresh", FRESH, "never seen before · mixed signs", number))
            else:
                words = phrase(planner, feature, why, now)
                lines.append(PlanLine(feature, why, words, number))
        return tuple(sorted(lines, key=lambda line: line.feature == "fresh"))


def _told(seen: Observation) -> tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]:
    """What the memory is told of an answer: when, of which features, right or wrong, guess, conditions."""
    conditions = conditions_of(seen.first_seen, seen.pattern, seen.tempo, seen.layers)
    return seen.time, seen.features, seen.correct, seen.guess, conditions
