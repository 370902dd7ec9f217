"""Signs by name, the plan, checks and how a learner stands."""

from __future__ import annotations

from datetime import date

import pytest

from drillapp.drills import Finding
from drillapp.drills.plan import NO_FRESH, NO_PAGE, WAITS, Change, Item, Reason
from drillapp.learning import FRESH, REACH, REFRESH, REPAIR, Expected, Forecast
from drillapp.music import FEATURES
from drillapp.music.ways import factors
from drillapp.practice.plan import PlanLine
from drillapp.practice.sitting import SummaryLine
from drillapp.practice.standing import Confusion, Counted
from drillapp.words import checks, plan, signs, standing

DAY = 86_400.0


def test_every_feature_is_named_and_explained() -> None:
    assert set(signs.SIGNS) == set(FEATURES)
    for one in signs.SIGNS.values():
        assert one.title[0].isupper() and one.listed == one.title.lower() and one.meaning
    assert signs.title("fresh") == "Fresh patterns"
    assert signs.title("tie") == "Ties" and signs.title("a sign of long ago") == "a sign of long ago"
    assert signs.listed(("tie", "compound")) == "ties, beats in three"


def test_every_way_of_writing_has_a_name() -> None:
    from drillapp.music import parse

    for text, meter in (("DU X- D U", "4/4"), ("DUD DUD", "6/8")):
        for factor in factors(parse(text, meter)):
            for way in factor.ways:
                assert signs.way_name(way.name) == way.name  # English is what the practice log keeps
    assert signs.way_name("1 beats") == "1 beat"


def test_the_plans_heading_counts_minutes_or_what_is_left() -> None:
    assert plan.drill_heading(12, 9, False) == "12 questions, about 9 minutes"
    assert plan.drill_heading(1, 0.4, False) == "1 question, about a minute"
    assert plan.drill_heading(1, 9, True) == "The drill you began, 1 question left"
    assert plan.drill_heading(5, 9, True) == "The drill you began, 5 questions left"


def test_a_drills_end_counts_questions_and_time() -> None:
    assert plan.summary_heading(12, 512) == "12 questions in 9 minutes"
    assert plan.summary_heading(1, 20) == "1 question in under a minute"
    assert plan.spent(61) == "a minute"
    assert plan.question_place(3, 12) == "3 of 12" and plan.question_place(3, 0) == "page 3"


@pytest.mark.parametrize(
    ("why", "since", "count", "sentence"),
    [
        (REPAIR, DAY, 9, "repair · reads about 6 in 10"),
        (REFRESH, DAY / 3, 9, "refresh · some hours since the last"),
        (REFRESH, 1.4 * DAY, 9, "refresh · a day since the last"),
        (REFRESH, 3.2 * DAY, 9, "refresh · 3 days since the last"),
        (REFRESH, 7.0 * DAY, 9, "refresh · a week since the last"),
        (REFRESH, 8.0 * DAY, 9, "refresh · 8 days since the last"),
        (REFRESH, 21.0 * DAY, 9, "refresh · 3 weeks since the last"),
        (REACH, None, 0, "reach · opens today"),
        (REACH, DAY, 4, "reach · opened lately"),
        (FRESH, DAY, 4, "never seen before"),
        (REFRESH, None, 0, "refresh · never seen before"),
    ],
)
def test_a_line_of_the_plan_says_why(why: str, since: float | None, count: int, sentence: str) -> None:
    assert plan.why_there(Reason(why, "tie", expected(0.58, count), since)) == sentence


def expected(middle: float, count: int = 9, feature: str = "tie", spread: float = 0.1) -> Expected:
    return Expected(feature, max(0.0, middle - spread), middle, min(1.0, middle + spread), count)


def test_a_sign_of_which_nothing_can_be_told_is_said_to_be_no_repair() -> None:
    wide = Reason(REPAIR, "tie", expected(0.4, 2, spread=0.3), DAY)
    assert plan.why_there(wide) == "reach · nothing can be told yet"


def test_lines_that_are_not_shown_are_counted() -> None:
    assert plan.more_lines(0) == ""
    assert plan.more_lines(1) == "and 1 more sign" and plan.more_lines(7) == "and 7 more signs"


def moved(feature: str, before: float, after: float) -> SummaryLine:
    return SummaryLine(feature, 4, expected(before, 9, feature), expected(after, 13, feature))


def test_the_end_of_a_drill_says_what_got_better() -> None:
    assert plan.what_moved([], False) == "No sign was asked, so none has moved."
    assert plan.what_moved([], True) == "No sign has moved far enough to be told after one drill."
    assert plan.what_moved([moved("tie", 0.31, 0.52)], True) == (
        "Ties: about 5 in 10 now, before this drill about 3."
    )
    two = [moved("tie", 0.31, 0.52), moved("rest", 0.31, 0.52)]
    assert plan.what_moved(two, True) == "Better than before: ties, rests."


def test_the_end_of_a_drill_says_what_comes_next() -> None:
    lines = [PlanLine(name, REPAIR, 3, Reason(REPAIR, name)) for name in ("tie", "rest", "mute")]
    assert plan.what_comes(lines, False) == "The next drill asks most about these: ties, rests."
    assert plan.what_comes(lines[:1], True) == "Next, the rest of the drill that you began: mostly ties."
    fresh = [PlanLine(FRESH, FRESH, 3, Reason(FRESH, FRESH))]
    assert plan.what_comes(fresh, False) == "Next come patterns never seen before."


def test_fresh_patterns_mix_the_signs() -> None:
    assert plan.why_there(Reason(FRESH, FRESH)) == "never seen before · mixed signs"


def test_a_change_of_the_plan_says_what_comes_instead_and_why() -> None:
    instead = Item(("skip",), "repair")
    waits = Change(WAITS, 3, Item(("tie", "rest"), "reach"), instead, "skip")
    assert plan.changed(waits) == (
        "Ties: to be opened once these are read surely: skips. This question: skips."
    )
    fresh = Change(NO_FRESH, 3, Item(("tie",), FRESH), instead)
    assert plan.changed(fresh) == (
        "No fresh pattern could be made here. This question is from the decks: skips."
    )
    page = Change(NO_PAGE, 3, Item(("compound",), "refresh"), instead)
    assert plan.changed(page) == "No pattern at hand can ask this: beats in three. This question: skips."


def finding(weak=(), sound=(), undecided=(), read=None) -> Finding:
    return Finding(weak, sound, undecided, read or {}, 0.05)


def test_a_finding_names_the_weak_signs_and_those_still_open() -> None:
    assert checks.finding_sentence(finding(("tie", "rest"))) == "Weak: ties, rests."
    found = finding(("tie",), (), ("skip", "mute"))
    assert checks.finding_sentence(found) == "Weak: ties. Still open: skips, mutes."
    assert checks.finding_sentence(finding(undecided=FEATURES[:7])) == (
        "No weak sign was found. 7 signs are still open."
    )
    assert checks.finding_sentence(finding(sound=("beat",))) == "No weak sign was found."


def test_who_reads_little_of_all_is_not_told_that_nothing_is_weak() -> None:
    found = finding(sound=("beat",), read={"beat": (7, 35)})
    assert checks.finding_sentence(found) == (
        "No sign is weaker than the others: all of them are misread often."
    )
    found = finding(undecided=("beat",), read={"beat": (7, 35)})
    assert checks.finding_sentence(found) == (
        "Many signs were not read right, and none stands out yet. Still open: beats."
    )


def test_who_was_not_sure_throughout_is_told_that_the_check_cannot_tell() -> None:
    for found in (
        finding(undecided=("beat",), read={"beat": (0, 35)}),
        finding(sound=("beat",), read={"beat": (0, 35)}),
    ):
        assert checks.finding_sentence(found) == (
            "No sign was read right, so this check cannot tell which one is weaker than the others."
        )


def test_a_check_says_how_much_was_read_and_how_sure_it_is() -> None:
    assert checks.finding_heading(1, 9, 300) == "1 page, 9 signs asked, in 5 minutes"
    assert checks.finding_heading(7, 80, 300) == "7 pages, 80 signs asked, in 5 minutes"
    assert checks.sureness(0.05).startswith("At most one check in 20 calls a sign weak")
    assert [checks.standing_name(one) for one in checks.STANDINGS] == [
        "weak",
        "still open",
        "no weaker than the others",
    ]
    assert checks.no_check("no pattern") == "A Reading check is not possible yet: no pattern."


def test_what_is_taken_for_what_is_counted() -> None:
    assert standing.confusion(Confusion("tied on", "struck", 4, 9)) == "Tied on read as struck: 4 of 9."
    assert standing.confusion(Confusion("3 beats", "4 beats", 1, 5)) == "3 beats read as 4 beats: 1 of 5."


def test_what_is_expected_is_said_for_today_and_in_two_weeks() -> None:
    assert standing.expected_today(expected(0.58)) == (
        "Expected today: reads about 6 in 10, somewhere from 4 to 7."
    )
    assert standing.expected_today(expected(0.58, spread=0.3)).startswith("Nothing can be told yet")
    assert standing.expected_today(expected(0.58, 0)) == "No answers yet."
    assert standing.figure(expected(0.58)) == "6 in 10" and standing.figure(expected(0.58, 0)) == ""
    assert standing.weak_and_figure(True, expected(0.58)) == "weak\n6 in 10"
    assert standing.weak_and_figure(False, expected(0.58)) == "6 in 10"
    assert [standing.untold(expected(0.58, 0), opened) for opened in (True, False)] == [
        "no answers yet",
        "not opened yet",
    ]
    assert standing.untold(expected(0.58), True) == ""
    assert standing.untold(expected(0.58, spread=0.3), True) == "nothing can be told yet"


def ahead(without: float, drilled: float, asked: int = 3) -> Forecast:
    return Forecast("tie", expected(0.6), expected(without), expected(drilled), asked)


def test_a_forecast_has_figures_only_where_they_surely_differ() -> None:
    assert standing.ahead(ahead(0.5, 0.71)) == (
        "In two weeks: about 7 in 10 with today's drill, about 5 without."
    )
    too_little = "One drill makes too little difference in two weeks to be told in figures."
    assert standing.ahead(ahead(0.35, 0.37)) == too_little  # figures differ by rounding alone
    assert standing.ahead(ahead(0.56, 0.64)) == too_little  # both about 6 in 10
    assert standing.ahead(ahead(0.5, 0.5, 0)) == "Today's drill does not ask it."
    assert standing.ahead(Forecast("tie", expected(0.6), expected(0.5, spread=0.4), expected(0.7))) == (
        "For two weeks from now nothing can be told yet."
    )


def test_counts_stand_in_a_table_that_says_so() -> None:
    assert "counted" in standing.counted_heading()
    assert standing.counts_of(Counted(1200, 900, 0.45, 0.5, 0.55)) == ("1,200", "900", "50 (45 to 55)")
    assert standing.counts_of(Counted(0, 0, 0.0, 0.5, 1.0)) == ("0", "", "")
    assert standing.most_a_day(12.4, True) == "12 minutes" and standing.most_a_day(1, False) == "1 question"
    assert standing.more_on_progress(4) == "4 more on Progress" and standing.more_on_progress(0) == ""
    assert "ring" in standing.over_chart(True) and "ring" not in standing.over_chart(False)


def test_a_sign_that_was_never_asked_is_said_to_be_so() -> None:
    assert standing.unasked(True) == "No answers yet."
    assert standing.unasked(False).startswith("Not opened yet")


def test_forecasts_are_judged_only_by_enough_answers() -> None:
    assert standing.forecasts_held(0, 0.0) == "No answers yet, so there is nothing to compare."
    few = standing.forecasts_held(49, 0.031)
    assert few.startswith("49 signs read.") and few.endswith(
        "3.1 in 100 apart on average. That is too few to judge by."
    )
    assert standing.forecasts_held(1200, 0.031).startswith("1,200 signs read. ")
    assert standing.forecasts_held(1200, 0.031).endswith("average.")


def test_days_have_their_months() -> None:
    assert standing.short_day(date(2026, 11, 3)) == "3 Nov"
    assert standing.long_day(date(2026, 3, 25)) == "25 March 2026"
    for number in range(1, 13):
        day = date(2026, number, 9)
        # The names of months in English: the C locale's, by Python's own calendar.
        assert standing.short_day(day) == f"9 {day:%b}" and standing.long_day(day) == f"9 {day:%B} 2026"
