"""Counts kept beside the log say what the log says, also after answers come and are taken back."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from drillapp.desk.counts import Counts, count
from drillapp.desk.kept_counts import counts_of, forget
from drillapp.records import Answer, FactorAnswer, open_log


class Notes(dict[str, dict[str, Any]]):
    def put(self, name: str, value: Mapping[str, Any] | None) -> None:
        if value is None:
            self.pop(name, None)
        else:
            self[name] = dict(value)


def answer(learner: str, number: int) -> Answer:
    return Answer(
        learner=learner,
        session="one",
        utc=1_790_000_000.0 + number,
        offset=60,
        drill="page_to_sound",
        pattern="D- DU -U DU",
        meter="4/4",
        tempo=90,
        candidates=("D- DU -U DU", "D- DU DU DU"),
        pick=number % 2,
        written=0,
        factors=(FactorAnswer("2", ("tie",), "tied on", "struck", number % 2 == 0, 0.5, True),),
    )


def test_kept_counts_follow_the_log(tmp_path: Path) -> None:
    notes = Notes()
    with open_log(tmp_path / "practice.sqlite") as log:
        ida = log.learners.add("Ida").id
        given = [answer(ida, number) for number in range(5)]
        for one in given[:4]:
            log.append(one)
        first = counts_of(log, [ida], notes)[ida]
        assert first == count(log.entries(ida))
        assert first.answers == 4
        # one comes and one goes: as many answers stand as before, and they are others
        log.append(given[4])
        log.take_back(given[0], 1_790_000_100.0)
        again = counts_of(log, [ida], notes)[ida]
        assert again == count(log.entries(ida)) != first
        assert again.answers == 4


def test_what_is_kept_is_used_and_what_is_damaged_is_made_again(tmp_path: Path) -> None:
    notes = Notes()
    with open_log(tmp_path / "practice.sqlite") as log:
        ida = log.learners.add("Ida").id
        log.append(answer(ida, 1))
        right = counts_of(log, [ida], notes)[ida]
        (name,) = notes
        marked = {**notes[name]["counts"], "answers": 77}
        notes[name]["counts"] = marked
        assert counts_of(log, [ida], notes)[ida].answers == 77
        notes[name]["counts"] = {**marked, "reads": [[1]]}
        assert counts_of(log, [ida], notes)[ida] == right
        forget(notes, ida)
        assert not notes
        assert counts_of(log, ["nobody"])["nobody"] == Counts()
