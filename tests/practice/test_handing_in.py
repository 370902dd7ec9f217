"""What a learner hands in: a time of whole days, a pen name, a file of its own. Source: common practice."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

from drillapp.desk.invented import invented_class
from drillapp.practice import handing_in
from drillapp.records import open_log
from drillapp.records.made import hand_in_of

NOON = datetime(2026, 9, 28, 12).timestamp()


def test_a_time_holds_its_first_and_last_day_and_the_pen_name_goes(tmp_path: Path) -> None:
    (one,) = invented_class(NOON, planted={"Ida": ()}, days=6, a_day=4)
    hand_in_of(tmp_path / "all.handin", "device", one.id, "Ida", one.answers)
    days = sorted({datetime.fromtimestamp(answer.utc).date() for answer in one.answers})
    with open_log(tmp_path / "a.sqlite") as log:
        log.collect(tmp_path / "all.handin")
        whole = handing_in.held(log, one.id)
        assert (whole.answers, whole.first, whole.last) == (len(one.answers), days[0], days[-1])
        here = sum(datetime.fromtimestamp(answer.utc).date() == days[1] for answer in one.answers)
        assert handing_in.held(log, one.id, days[1], days[1]).answers == here > 0
        assert handing_in.held(log, one.id, days[-1] + timedelta(days=1)) == handing_in.Held(0)
        path = handing_in.file_in(tmp_path, "Ida/../x", date(2026, 9, 28))
        assert path == tmp_path / "Ida-x-2026-09-28.handin"
        done = handing_in.write(log, one.id, path, days[1], days[1], " Wren ")
        assert done.answers == here
        assert handing_in.file_in(tmp_path, "Ida-x", date(2026, 9, 28)).name == "Ida-x-2026-09-28-2.handin"
    with open_log(tmp_path / "b.sqlite") as desk:
        desk.collect(path)
        assert [learner.name for learner in desk.learners.all()] == ["Wren"]
