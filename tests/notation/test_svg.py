"""SVG pages: well-formed, drawn without any font, and with words for those who cannot see them."""

from __future__ import annotations

import subprocess
from xml.etree import ElementTree

import pytest

from drillapp.music import LAYERS, parse
from drillapp.notation import engrave, to_svg
from drillapp.notation.painters import svg

SVG = "{http://www.w3.org/2000/svg}"


def test_a_page_is_well_formed_and_needs_no_font(generated):
    for pattern in generated(150):
        root = ElementTree.fromstring(to_svg(pattern, LAYERS))
        assert root.tag == f"{SVG}svg"
        assert not root.findall(f".//{SVG}text")
        defined = {path.get("id") for path in root.findall(f"{SVG}defs/{SVG}path")}
        used = {use.get("href")[1:] for use in root.findall(f".//{SVG}use")}
        assert used == defined


def test_a_page_has_a_title_and_a_description_that_are_its_label():
    root = ElementTree.fromstring(to_svg(parse("D- DU -U >DX"), ["staff"]))
    assert root.get("role") == "img"
    label = root.get("aria-labelledby").split()
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert label == [title.get("id"), description.get("id")]
    assert title.text == "D- DU -U >DX"
    assert description.text == (
        "Meter 4/4. 1 down, 2 down, + up, 3 rings on, + up, 4 down accented, + muted up."
    )


def test_glyphs_go_by_their_smufl_names():
    root = ElementTree.fromstring(to_svg(parse("D X D. D"), ["staff"]))
    ids = {path.get("id") for path in root.findall(f"{SVG}defs/{SVG}path")}
    assert {"g-noteheadSlashHorizontalEnds", "g-noteheadSlashX", "g-rest8th", "g-timeSig4"} <= ids


def test_every_sign_says_which_slot_it_belongs_to():
    pattern = parse("D- DU -U DU")
    root = ElementTree.fromstring(to_svg(pattern, ["letters"]))
    slots = [use.get("data-slot") for use in root.iter(f"{SVG}use")]
    assert slots == [str(place.index) for place in pattern.places]


def test_text_from_outside_is_escaped():
    page = engrave(parse("D D D D"), ["letters"])
    from dataclasses import replace

    root = ElementTree.fromstring(svg.paint(replace(page, title='<script>"&', description="a < b")))
    assert root.find(f"{SVG}title").text == '<script>"&'
    assert root.find(f"{SVG}desc").text == "a < b"


def test_two_pages_in_one_document_need_not_share_names():
    page = engrave(parse("D D D D"), ["letters"])
    root = ElementTree.fromstring(svg.paint(page, prefix="answer"))
    assert all(e.get("id").startswith("answer-") for e in root.iter() if e.get("id"))


@pytest.mark.parametrize("layers", [["staff"], ["letters", "counts"], list(LAYERS)])
def test_another_program_draws_it(layers, tmp_path, needs):
    needs("rsvg-convert")
    # librsvg, an independent SVG renderer.
    source, drawn = tmp_path / "page.svg", tmp_path / "page.png"
    source.write_text(to_svg(parse("D- DU -U >DX", swing="2:1"), layers), encoding="utf-8")
    subprocess.run(["rsvg-convert", source, "-o", drawn], check=True, timeout=60)
    assert drawn.stat().st_size > 1000
