"""PNG and PDF pages against other programs' pictures of the same page; handouts of decks."""

from __future__ import annotations

import io
import subprocess
from fractions import Fraction

import numpy as np
import pypdf
import pypdfium2
import pytest
from PIL import Image

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.music import parse
from drillapp.notation import engrave
from drillapp.notation.painters import pdf, png, svg
from drillapp.reports.deck_sheet import sheet, wrapped, write_page, write_sheet

ALL = ("letters", "arrows", "counts", "staff", "bows")


def deck(count: int = 12, bars: int = 1, advice: str = "") -> Deck:
    texts = ["D- DU -U DU", "D D D D", ">D- XU D- XU", "DUD D- D. -U"]
    items = []
    for number in range(count):
        pattern = parse(" | ".join([texts[number % 4]] * bars), tempo=84)
        items.append(DeckPattern(f"Garden path {number + 1}", pattern, 60, 110, advice))
    return Deck("garden", "Round the garden", "Keep the arm moving.", tuple(items))


def page():
    return engrave(parse("D- DU -U >DX | D.DU DUD X- D-", swing="2:1"), ALL, tempo=True)


def test_a_png_is_what_librsvg_makes_of_the_svg(tmp_path, needs):
    needs("rsvg-convert")
    source = tmp_path / "page.svg"
    source.write_text(svg.paint(page(), space=16, ground="#FFFFFF"), encoding="utf-8")
    subprocess.run(["rsvg-convert", source, "-o", tmp_path / "page.png"], check=True, timeout=60)
    theirs = np.asarray(Image.open(tmp_path / "page.png").convert("RGB"), float)
    ours = np.asarray(Image.open(io.BytesIO(png.paint(page(), space=16))), float)
    assert ours.shape == theirs.shape
    assert np.abs(ours - theirs).mean() / 255 < 0.003


def test_a_pdf_page_is_what_pdfium_shows_of_the_same_outlines():
    ours = png.pixels(page(), space=10).astype(float)
    drawn = (
        pypdfium2.PdfDocument(pdf.paint(page(), space=5))[0].render(scale=2).to_numpy()[..., :3].astype(float)
    )
    rows, columns = min(ours.shape[0], drawn.shape[0]), min(ours.shape[1], drawn.shape[1])
    assert abs(ours.shape[0] - drawn.shape[0]) <= 1 and abs(ours.shape[1] - drawn.shape[1]) <= 1
    assert np.abs(ours[:rows, :columns] - drawn[:rows, :columns]).mean() / 255 < 0.02


def test_a_pdf_draws_outlines_and_needs_no_font_of_its_own():
    reader = pypdf.PdfReader(io.BytesIO(pdf.paint(page())))
    resources = reader.pages[0]["/Resources"]
    fonts = {font.get_object()["/BaseFont"] for font in resources.get("/Font", {}).values()}
    assert fonts <= {"/Helvetica"}  # one of PDF's own, for the words that are not seen
    assert not reader.pages[0].images
    assert reader.metadata.title == page().title


@pytest.mark.parametrize(("paper", "millimetres"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_a_sheet_has_the_size_of_its_paper(paper, millimetres):
    # ISO 216 A4; US Letter, 8.5 by 11 inches.
    box = pypdf.PdfReader(io.BytesIO(sheet(deck(2), ["staff"], paper=paper))).pages[0].mediabox
    assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(
        millimetres, abs=0.1
    )


def words(document: bytes) -> list[str]:
    return [found.extract_text() for found in pypdf.PdfReader(io.BytesIO(document)).pages]


def test_a_sheet_has_title_numbers_titles_and_page_numbers_and_can_be_searched():
    pages = words(sheet(deck(30), ["letters", "counts", "staff"]))
    assert "Round the garden" in pages[0] and "Keep the arm moving." in pages[0]
    everything = "\n".join(pages)
    positions = [everything.index(f"Garden path {number}\n") for number in range(1, 31)]
    assert positions == sorted(positions)
    for number, text in enumerate(pages, 1):
        assert f"{number} of {len(pages)}" in text
        assert "Notes" in text


def test_the_answer_key_follows_on_pages_of_its_own():
    plain, keyed = words(sheet(deck(4), ["staff"])), words(sheet(deck(4), ["staff"], answer_key=True))
    assert len(keyed) == len(plain) + 1
    assert "Answer key" in keyed[-1] and "Answer key" not in keyed[0]
    assert "Garden path 4" in keyed[-1]


def ink(document: bytes, number: int = 0) -> float:
    shown = pypdfium2.PdfDocument(document)[number].render(scale=1).to_numpy()
    return float((255 - shown[..., :3]).mean())


def test_blank_counts_leave_the_counts_out_but_keep_their_room():
    full, blank = sheet(deck(4), ["staff", "counts"]), sheet(deck(4), ["staff", "counts"], blank_counts=True)
    assert len(words(full)) == len(words(blank))
    assert ink(blank) < ink(full)


def test_notes_can_be_left_out():
    assert "Notes" not in words(sheet(deck(2), ["staff"], notes=False))[0]


def test_progress_counts_every_pattern_and_may_stop_the_work(tmp_path):
    seen = []
    write_sheet(
        deck(6), tmp_path / "a.pdf", ["staff"], answer_key=True, progress=lambda *done: seen.append(done)
    )
    assert seen == [(number, 12) for number in range(1, 13)]

    def stop(done: int, of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_sheet(deck(6), tmp_path / "b.pdf", ["staff"], progress=stop)
    assert [path.name for path in tmp_path.iterdir()] == ["a.pdf"]


def test_equal_decks_make_equal_files():
    assert sheet(deck(3), ["staff"]) == sheet(deck(3), ["staff"])


def test_long_patterns_and_long_advice_stay_on_the_paper():
    long = sheet(deck(6, bars=8, advice="Slow and even. " * 20), list(ALL))
    for number in range(len(words(long))):
        shown = pypdfium2.PdfDocument(long)[number].render(scale=1).to_numpy()[..., :3]
        margin = 30  # points kept clear on every side
        edges = [shown[:margin], shown[-margin:], shown[:, :margin], shown[:, -margin:]]
        assert all(edge.min() == 255 for edge in edges)


def test_patterns_never_run_into_the_notes_or_one_another():
    # Ink of the blocks ends above the notes: a row of white parts them on every page.
    document = sheet(deck(40, bars=2), ["letters", "counts", "staff"])
    for number in range(len(words(document)) - 1):
        shown = pypdfium2.PdfDocument(document)[number].render(scale=2).to_numpy()[..., :3].min(axis=(1, 2))
        notes_top = round((841.89 - (16 + 12 + 24 - 4) * 72 / 25.4 - 8) * 2)
        assert shown[notes_top - 16 : notes_top - 2].min() == 255


@pytest.mark.parametrize("ending", [".svg", ".png", ".pdf"])
def test_a_page_is_written_by_its_name_s_ending(tmp_path, ending):
    path = tmp_path / f"walk{ending}"
    write_page(parse("D- DU -U DU"), path, ["staff"])
    start = {".svg": b"<svg", ".png": b"\x89PNG\r\n\x1a\n", ".pdf": b"%PDF"}[ending]
    assert path.read_bytes().startswith(start)


def test_what_cannot_be_written_leaves_nothing_behind(tmp_path):
    pattern = parse("D D D D")
    with pytest.raises(ValueError, match=r"\.svg, \.png, \.pdf"):
        write_page(pattern, tmp_path / "walk.doc", ["staff"])
    with pytest.raises(ValueError, match="not a layer"):
        write_page(pattern, tmp_path / "walk.svg", ["chords"])
    with pytest.raises(OSError):
        write_page(pattern, tmp_path / "missing" / "walk.svg", ["staff"])
    with pytest.raises(ValueError, match="A4, Letter"):
        write_sheet(deck(1), tmp_path / "walk.pdf", ["staff"], paper="A7")
    taken = tmp_path / "folder.svg"
    taken.mkdir()
    with pytest.raises(OSError):
        write_page(pattern, taken, ["staff"])
    assert list(tmp_path.iterdir()) == [taken]


def test_a_new_file_takes_the_old_one_s_place_only_when_it_is_whole(tmp_path):
    path = tmp_path / "walk.svg"
    path.write_text("old")
    with pytest.raises(ValueError):
        write_page(parse("D D D D"), path, ["chords"])
    assert path.read_text() == "old"
    write_page(parse("D D D D"), path, ["staff"])
    assert path.read_text().startswith("<svg")


def test_a_picture_that_would_fill_the_memory_is_refused():
    with pytest.raises(ValueError, match="too large"):
        png.paint(page(), space=2000)


def test_coverage_is_exact_for_a_tilted_square():
    # A square of side sqrt(2) on its corner has area 2 wherever it lies.
    from drillapp.notation.painters.coverage import coverage, edges_of

    for shift in (0.0, 0.25, 0.7):
        x = 3 + shift
        ring = [("M", (x, 2)), ("L", (x + 1, 3)), ("L", (x, 4)), ("L", (x - 1, 3)), ("Z", ())]
        assert coverage(edges_of(ring), 8, 6).sum() == pytest.approx(2, abs=1e-6)


def test_words_are_wrapped_and_a_long_one_keeps_a_line():
    lines = wrapped("one two three " + "x" * 200, 10, 60)
    assert " ".join(lines) == "one two three " + "x" * 200
    assert lines[-1] == "x" * 200


def test_a_tempo_that_all_share_is_written_once():
    shared = words(sheet(deck(4), ["staff"]))[0]
    assert "Garden path 1" in shared
    mixed = deck(4)
    other = DeckPattern("Other gait", parse("D D D D", tempo=Fraction(121, 2)), 50, 70)
    mixed = Deck(mixed.name, mixed.title, mixed.advice, (*mixed.patterns, other))
    assert ink(sheet(mixed, ["staff"])) > ink(sheet(deck(4), ["staff"]))


def test_the_shipped_decks_print():
    from drillapp.decks.load import load_decks

    decks, faults = load_decks()
    assert decks and not faults
    for each in decks:
        assert sheet(each, ["letters", "counts", "staff"]).startswith(b"%PDF")
    assert decks[-1].title in words(sheet(decks[-1], ["staff"]))[0]


def test_the_gallery_of_all_cases_is_painted(tmp_path):
    from drillapp.notation.gallery import CASES, gallery, main

    main([str(tmp_path / "cases.png"), "--space", "4"])
    picture = Image.open(tmp_path / "cases.png")
    assert picture.width > 600 and picture.height > 600
    captions = [
        item for item in gallery().items if getattr(item, "layer", "") == "" and hasattr(item, "text")
    ]
    assert len(captions) == len(CASES)
