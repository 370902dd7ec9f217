"""Reports as a browser, a reader of PDF and a reader of tables see them."""

from __future__ import annotations

import importlib.util
import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from types import ModuleType
from unicodedata import normalize

import pandas as pd
import pypdfium2
import pytest
from pypdf import PdfReader

from drillapp.desk.class_table import ClassStudent, class_table
from drillapp.desk.counts import Share, week_of
from drillapp.desk.desk import DeskTable, TeachersDesk
from drillapp.desk.student import PageFigures, ReadAs, SignFigures, Week, student_figures
from drillapp.desk.told import NOT_READ, TOLD, UNSURE, WEAK
from drillapp.music import FEATURES
from drillapp.notation.display import Beam, Line
from drillapp.reports.charts import range_bar, week_chart
from drillapp.reports.class_page import class_page
from drillapp.reports.html import html
from drillapp.reports.page import Page, Table
from drillapp.reports.parents_page import parents_page
from drillapp.reports.pdf import set_page
from drillapp.reports.reports import REPORTS, Asked, file_in, made
from drillapp.reports.rows import guarded
from drillapp.reports.student_page import student_page
from drillapp.words.reports import ROW_HEADS

spec = importlib.util.spec_from_file_location("browser", Path(__file__).with_name("browser.py"))
assert spec is not None and spec.loader is not None
browser: ModuleType = importlib.util.module_from_spec(spec)
spec.loader.exec_module(browser)

MONDAY = date(2026, 11, 2)
EACH = pytest.mark.parametrize("number", range(len(REPORTS)), ids=[f"{r.of}-{r.reader}" for r in REPORTS])


def asked(desk: TeachersDesk, number: int, name: str = "Edda", since: date | None = None) -> Asked:
    if REPORTS[number].of == "class":
        return Asked(desk, desk.log.classes.all()[0].id, since)
    return Asked(desk, next(one.id for one in desk.log.classes.students() if one.name == name), since)


def page_of(desk: TeachersDesk, number: int) -> Page:
    return REPORTS[number].make(asked(desk, number))


def tables(page: Page) -> list[Table]:
    return [part for row in page.rows for part in row if isinstance(part, Table)]


@EACH
def test_a_browser_has_nothing_to_complain_of_and_axe_finds_nothing_serious(
    desk: TeachersDesk, number: int, tmp_path: Path, needs: Callable[..., None]
) -> None:
    # axe-core 4.14.1 (rules of WCAG 2.2, A and AA); Chromium's own console
    needs("chromium")
    page = html(page_of(desk, number))
    dom, console = browser.open_page(page, tmp_path)
    assert console == [] and "</html>" in dom
    found = browser.axe_findings(page, tmp_path)
    assert [one for one in found if one[0] in ("serious", "critical")] == []


@EACH
def test_a_browser_prints_what_the_page_says(
    desk: TeachersDesk, number: int, tmp_path: Path, needs: Callable[..., None]
) -> None:
    needs("chromium")
    page = page_of(desk, number)
    out = tmp_path / "printed.pdf"
    browser.open_page(html(page), tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={out}")
    printed = PdfReader(out)
    assert len(printed.pages) == 1
    assert words_of(printed) >= set(page.title.split()) | set(page.finding.split())


@EACH
def test_a_page_in_html_needs_nothing_else(desk: TeachersDesk, number: int) -> None:
    text = html(page_of(desk, number)).decode()
    assert "<script" not in text and "@import" not in text and "src=" not in text and "url(" not in text
    assert text.count("http") == text.count('xmlns="http://www.w3.org/2000/svg"')


@EACH
def test_every_chart_stands_in_a_table_with_its_figures(desk: TeachersDesk, number: int) -> None:
    found = tables(page_of(desk, number))
    drawn = [row for table in found for row in table.rows if any(cell.drawing for cell in row)]
    assert drawn
    for row in drawn:
        assert sum(bool(cell.text) for cell in row) >= 2, "a name and a figure beside the drawing"


@EACH
def test_a_report_is_one_sheet_that_can_be_searched(desk: TeachersDesk, number: int) -> None:
    page = page_of(desk, number)
    data, sheets = set_page(page)
    read = PdfReader(io.BytesIO(data))
    assert (sheets, len(read.pages)) == (1, 1)
    assert words_of(read) >= set(page.title.split()) | set(page.finding.split())
    wide, high = read.pages[0].mediabox[2:]
    # ISO 216: A4 is 210 by 297 mm
    assert sorted((float(wide) / 72 * 25.4, float(high) / 72 * 25.4)) == pytest.approx([210, 297], abs=0.1)
    assert (wide > high) == page.lying


def full_signs(weeks: int) -> tuple[SignFigures, ...]:
    share = Share(120, 90, 0.61, 0.72, 0.8)
    by_week = tuple(Week(MONDAY + timedelta(weeks=number), share) for number in range(weeks))
    return tuple(SignFigures(one, share, share, share, by_week, one == "tie", 20) for one in FEATURES)


def test_a_student_of_all_signs_and_a_year_of_weeks_still_fits_one_sheet() -> None:
    readings = tuple(ReadAs(one, "tied on", "struck", 9, 40) for one in FEATURES)
    hard = "D-DU X-DU D-DU X-DU | D- DU -U DU"
    pages = tuple(PageFigures(hard, "4/4", None, ("letters", "counts", "staff"), 9, 12) for _ in range(10))
    full = replace(student_figures([]), answers=20_000, signs=full_signs(52), read_as=readings, pages=pages)
    assert set_page(student_page("A. B.", "", full, "work"))[1] == 1
    assert set_page(parents_page("A. B.", "", full, "work"))[1] == 1
    assert set_page(student_page("A. B.", "", full, "work"), "Letter")[1] == 1


def test_thirty_two_students_with_all_signs_fit_one_sheet_and_more_take_a_second_with_its_head(
    planted: Callable[..., list[object]],
) -> None:
    from drillapp.desk.counts import count

    counts = count(planted(5, ["tie"]))  # type: ignore[arg-type]

    def page(size: int) -> Page:
        students = [ClassStudent(f"{n}", f"Student of a long name {n}", counts) for n in range(size)]
        table = class_table(students)
        seen: dict[str, date | None] = {one.id: MONDAY for one in students}
        whole = DeskTable((object(),), table, seen, dict.fromkeys(seen))  # type: ignore[arg-type]
        return class_page("Tuesday", "", whole, MONDAY)

    assert set_page(page(32))[1] == 1
    data, sheets = set_page(page(55))
    assert sheets == 2
    read = PdfReader(io.BytesIO(data))
    assert all("Offbeats" in one.extract_text() for one in read.pages)


def test_a_bar_lies_on_paper_where_its_range_is() -> None:
    # The drawing's own lengths, found again in pixels: half of the bar is the range from .25 to .75.
    bar = range_bar(TOLD, 0.25, 0.5, 0.75)
    from drillapp.notation.painters import pdf

    image = pypdfium2.PdfDocument(pdf.paint(bar, space=10, margin=0))[0].render(scale=2).to_numpy()
    dark = image[..., :3].mean(axis=2) < 160
    tall = dark.sum(axis=0)
    thick = [x for x in range(dark.shape[1]) if tall[x] > 10]
    assert thick[0] / dark.shape[1] == pytest.approx(0.25, abs=0.01)
    assert thick[-1] / dark.shape[1] == pytest.approx(0.75, abs=0.01)
    ticked = max(range(dark.shape[1]), key=lambda x: tall[x])
    assert ticked / dark.shape[1] == pytest.approx(0.5, abs=0.01)


def test_shape_alone_tells_what_is_told() -> None:
    shapes = []
    for state in (NOT_READ, UNSURE, TOLD, WEAK):
        items = range_bar(state, 0.2, 0.5, 0.8).items
        shapes.append(
            (
                max((one.thickness for one in items if isinstance(one, Beam)), default=0.0),
                sum(isinstance(one, Line) for one in items),
            )
        )
    assert len(set(shapes)) == 4


def test_weeks_stand_under_their_mondays() -> None:
    shown = [MONDAY + timedelta(weeks=number) for number in range(4)]
    chart = week_chart([Week(shown[3], Share(9, 5, 0.4, 0.5, 0.6))], shown, wide=40.0)
    upright = [one for one in chart.items if isinstance(one, Line) and one.x1 == one.x2]
    assert {one.x1 for one in upright} == {35.0}


def read_back(data: bytes) -> pd.DataFrame:
    """A table as pandas reads it, each text without the apostrophe that guards it."""
    table = pd.read_csv(io.BytesIO(data), encoding="utf-8-sig", dtype=str, keep_default_na=False)
    return table.map(lambda text: text.removeprefix("'"))


def test_rows_reread_by_pandas_are_the_log(desk: TeachersDesk) -> None:
    table = read_back(made(REPORTS[0], asked(desk, 0, "Carla"), "csv"))
    assert tuple(table.columns) == ROW_HEADS
    (student,) = [one for one in desk.log.classes.students() if one.name == "Carla"]
    answers = desk.log.answers(student.learners[0])
    assert list(dict.fromkeys(table["answer"])) == [one.id for one in answers]
    expected = [
        (
            "Carla",
            answer.pattern,
            answer.drill,
            " ".join(factor.features),
            factor.at,
            factor.written,
            factor.read or "",
            str(int(factor.correct)),
            factor.guess,
            str(int(answer.first_seen)),
            answer.seconds,
        )
        for answer in answers
        for factor in answer.factors
    ]
    when = pd.to_datetime(table["answered"], utc=True)
    found = zip(
        *(
            table[one]
            for one in ("student", "pattern", "drill", "signs", "place", "written", "read", "right")
        ),
        table["guess rate"].astype(float),
        table["first seen"],
        table["seconds"].astype(float),
        strict=True,
    )
    assert list(found) == expected
    told = [answer.when for answer in answers for _ in answer.factors]
    assert [one.timestamp() for one in when] == pytest.approx(told, abs=2e-6, rel=0)


def test_rows_of_a_class_are_those_of_its_students_since_that_week(desk: TeachersDesk) -> None:
    middle = date.fromtimestamp(desk.now()) - timedelta(days=14)
    table = read_back(made(REPORTS[2], asked(desk, 2, since=middle), "csv"))
    assert set(table["student"]) == {one.name for one in desk.log.classes.students()}
    days = pd.to_datetime(table["answered"], utc=True).dt.date
    assert min(week_of(day) for day in days) == week_of(middle)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-U DU", "@a", "\tx", "\rx", "'=1"])
def test_what_a_spreadsheet_would_run_is_guarded(text: str) -> None:
    # OWASP, "CSV Injection": = + - @ tab and carriage return at the start of a cell
    assert guarded(text) == f"'{text}"
    assert guarded("D- DU") == "D- DU"


def test_a_name_that_is_a_formula_or_a_tag_stays_a_name(desk: TeachersDesk) -> None:
    figures = desk.figures(desk.log.classes.students()[0])
    name = "=<script>alert(1)</script>"
    text = html(student_page(name, "", figures)).decode()
    assert "<script" not in text and "=&lt;script&gt;" in text


def test_what_is_invented_says_so(desk: TeachersDesk) -> None:
    one = replace(asked(desk, 0), invented=True)
    assert REPORTS[0].make(one).about.startswith("INVENTED")
    assert not REPORTS[0].make(asked(desk, 0)).about.startswith("INVENTED")


def test_parents_are_told_the_planted_signs_and_what_goes_well(desk: TeachersDesk) -> None:
    # Edda is planted with ties and mutes (desk/invented.py).
    finding = REPORTS[1].make(asked(desk, 1)).finding
    well, _, practise = finding.partition(";")
    assert "ties" in practise and "mutes" in practise and "ties" not in well


def test_whoever_has_not_handed_in_gets_a_page_that_says_so(desk: TeachersDesk) -> None:
    nothing = student_figures([])
    for page in (student_page("Ida", "", nothing), parents_page("Ida", "", nothing)):
        assert set_page(page)[1] == 1 and "</html>" in html(page).decode()
    assert "not handed in" in parents_page("Ida", "", nothing).finding


def test_a_file_that_is_there_is_not_taken(tmp_path: Path) -> None:
    first = file_in(tmp_path, "Ida/../B", "teacher", MONDAY, "pdf")
    assert first == tmp_path / "Ida-B-teacher-2026-11-02.pdf"
    first.touch()
    assert file_in(tmp_path, "Ida/../B", "teacher", MONDAY, "pdf").name.endswith("-2.pdf")


def words_of(pdf: PdfReader) -> set[str]:
    """Every word; a browser writes ff as one sign, which NFKC (Unicode Annex 15) undoes."""
    return {word for page in pdf.pages for word in normalize("NFKC", page.extract_text()).split()}
