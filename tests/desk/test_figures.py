"""A student's and a class's figures, from answers that are counted by hand or by general libraries."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from statistics import median

import pandas as pd
import pytest
from statsmodels.stats.proportion import proportion_confint

from drillapp.desk.class_table import ClassStudent, class_table, misread_by_most
from drillapp.desk.counts import Counts, count, from_row, monday_of, shares, to_row, week_of
from drillapp.desk.student import student_figures
from drillapp.records import Entry
from drillapp.records.entries import SignEntry, Take, day_of

NOON = 1_790_000_000.0
DAY = 86_400.0


def entry(*signs: SignEntry, when: float = NOON, **changes: object) -> Entry:
    plain = Entry(when, 0, "D- DU -U DU", 90.0, ("staff",), True, True, 8.0, ("tie",), signs)
    return plain._replace(**changes)


def tie(right: bool, guess: float = 0.0) -> SignEntry:
    return SignEntry(("tie", "skip"), "tied on", "tied on" if right else "struck", right, guess)


@pytest.mark.parametrize(
    ("right", "of", "low", "high"),
    # Newcombe 1998, Statistics in Medicine 17, table I, method 3
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (1, 29, 0.0061, 0.1718)],
)
def test_a_signs_range_is_newcombes_and_that_of_statsmodels(
    right: int, of: int, low: float, high: float
) -> None:
    share = shares(count([entry(tie(n < right)) for n in range(of)]))["tie"]
    assert (share.low, share.high) == pytest.approx((low, high), abs=5e-5)
    assert (share.low, share.high) == pytest.approx(proportion_confint(right, of, method="wilson"), abs=1e-9)


def test_guessing_is_taken_off_and_not_sure_is_no_guess() -> None:
    # (share - guess) / (1 - guess): 15 of 20 by guesses of one in two is half (Abbott 1925)
    assert shares(count([entry(tie(n < 15, 0.5)) for n in range(20)]))["tie"].middle == pytest.approx(0.5)
    unsure = [entry(tie(False, 0.5), sure=False)] * 10 + [entry(tie(True, 0.5))] * 10
    # ten of twenty were guessed at, so 5 lucky ones of 20 are expected: (0.5 - 0.25) / 0.75
    assert shares(count(unsure))["tie"].middle == pytest.approx(1 / 3)


def test_weeks_first_seen_and_read_as_agree_with_pandas(planted: Callable[..., list[Entry]]) -> None:
    entries = planted(3, ["tie"])
    figures = student_figures(entries)
    table = pd.DataFrame(
        [
            (sign.features[0], sign.correct, one.first_seen, sign.written, sign.read, day_of(one.when, 0))
            for one in entries
            for sign in one.factors
        ],
        columns=["sign", "right", "fresh", "written", "read", "day"],
    )
    iso = pd.to_datetime(table["day"])
    table["monday"] = (iso - pd.to_timedelta(iso.dt.weekday, unit="D")).dt.date
    for one in figures.signs:
        mine = table[table["sign"] == one.feature]
        assert (one.all.count, one.all.right) == (len(mine), mine["right"].sum())
        fresh = mine[mine["fresh"]]
        assert (one.first_seen.count, one.first_seen.right) == (len(fresh), fresh["right"].sum())
        assert one.met_before.count == len(mine) - len(fresh)
        weeks = mine.groupby("monday")["right"].agg(["size", "sum"])
        assert [(w.monday, w.share.count, w.share.right) for w in one.weeks] == [
            (day, size, right) for day, size, right in weeks.itertuples()
        ]
    crossed = table.groupby(["sign", "written", "read"]).size().to_dict()
    assert {(one.feature, one.written, one.read): one.times for one in figures.read_as} == crossed
    assert (figures.days, figures.answers) == (table["day"].nunique(), len(entries))
    assert figures.minutes == pytest.approx(len(entries) * 20 / 60)  # 8 s and a look of 12 s each


def test_what_was_helped_counts_for_the_day_alone() -> None:
    figures = student_figures([entry(tie(False), helped=True), entry(tie(True))])
    assert figures.answers == 2
    assert [(one.feature, one.all.count) for one in figures.signs] == [("tie", 1)]
    assert not figures.pages


def test_pages_misread_most_come_first_and_one_misreading_is_none() -> None:
    often = [entry(tie(n > 2), pattern="D- D- D- DU") for n in range(4)]
    seldom = [entry(tie(n > 0), pattern="D- DU D. DU") for n in range(4)]
    once = [entry(tie(False), pattern="DU DU DU DU")]
    pages = student_figures([*once, *seldom, *often]).pages
    assert [(one.pattern, one.wrong, one.of) for one in pages] == [
        ("D- D- D- DU", 3, 4),
        ("D- DU D. DU", 1, 4),
    ]


def test_timing_is_the_median_of_the_takes() -> None:
    takes = [Take(0.03, 0.012, 1, 0), Take(-0.01, 0.02, 0, 2), Take(0.02, 0.03, 0, 0)]
    found = student_figures([entry(tie(True), take=take) for take in takes]).strummed
    assert found is not None
    assert found.lead == median([0.03, -0.01, 0.02])
    assert (found.steadiness, found.early, found.late, found.takes) == (0.02, 1, 2, 3)


def test_weeks_begin_on_mondays() -> None:
    # ISO 8601: 2026-11-30 is a Monday
    assert (
        monday_of(week_of(date(2026, 12, 6))) == date(2026, 11, 30) == monday_of(week_of(date(2026, 11, 30)))
    )


def test_counts_come_back_from_their_row_and_add_up(planted: Callable[..., list[Entry]]) -> None:
    entries = planted(1)
    whole = count(entries)
    assert from_row(to_row(whole)) == whole
    half = count(entries[:500])
    half.take_in(count(entries[500:]))
    assert half == whole
    with pytest.raises(ValueError, match="version"):
        from_row({**to_row(whole), "version": 99})


def test_since_takes_whole_weeks(planted: Callable[..., list[Entry]]) -> None:
    entries = planted(1)
    day = day_of(entries[600].when, 0)
    monday = monday_of(week_of(day))
    later = [one for one in entries if day_of(one.when, 0) >= monday]
    kept = count(entries).since(day)
    assert replace(kept, last=0.0) == replace(count(later), last=0.0)


def test_a_class_says_what_most_of_it_misreads_and_who_has_not_handed_in(
    planted: Callable[..., list[Entry]],
) -> None:
    students = [
        ClassStudent(str(n), f"Student {n}", count(planted(n, ["tie"] if n < 7 else []))) for n in range(9)
    ]
    table = class_table([*students, ClassStudent("x", "Zoe", Counts())])
    assert table.absent == ("Zoe",)
    assert [one.feature for one in table.by_most] == ["tie"]
    most = table.by_most[0]
    assert (most.written, most.read) == ("tied on", "struck")
    assert most.below >= 7 - 1
    assert most.of == 9
    ties = table.signs.index("tie")
    assert sum(row.cells[ties].weak for row in table.rows) >= 6
    assert not any(cell.weak for row in table.rows[7:] for cell in row.cells)


def test_a_sound_class_is_told_of_nothing(planted: Callable[..., list[Entry]]) -> None:
    counts = [count(planted(n, days=2)) for n in range(10)]
    assert misread_by_most(counts, [shares(one) for one in counts], ("beat", "tie", "rest")) == ()
