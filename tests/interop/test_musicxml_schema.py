"""Our MusicXML against the standard's own schema, MusicXML 4.0, as the package musicxml carries it."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest
import xmlschema

from drillapp.interop import musicxml
from drillapp.music import parse

# The schema refers to XLink's by a web address; these are the attributes of XLink 1.1 that it uses.
XLINK = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/1999/xlink">
<xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:string"/>
<xs:attribute name="role" type="xs:string"/><xs:attribute name="title" type="xs:string"/>
<xs:attribute name="show" type="xs:string"/><xs:attribute name="actuate" type="xs:string"/></xs:schema>"""


@pytest.fixture(scope="module")
def schema(tmp_path_factory) -> xmlschema.XMLSchema:
    (home,) = importlib.util.find_spec("musicxml").submodule_search_locations
    shipped, folder = Path(home) / "generate_classes", tmp_path_factory.mktemp("schema")
    text = (shipped / "musicxml_4_0.xsd").read_text(encoding="utf-8")
    for name in ("xml.xsd", "xlink.xsd"):
        text = text.replace(
            f'schemaLocation="http://www.musicxml.org/xsd/{name}"', f'schemaLocation="{name}"'
        )
    (folder / "xml.xsd").write_bytes((shipped / "xml.xsd").read_bytes())
    (folder / "xlink.xsd").write_text(XLINK)
    (folder / "musicxml.xsd").write_text(text, encoding="utf-8")
    return xmlschema.XMLSchema(folder / "musicxml.xsd")


def faults(schema: xmlschema.XMLSchema, document: str) -> list[str]:
    body = document[document.index("<score-partwise") :]
    return [f"{error.path}: {error.reason}" for error in schema.iter_errors(body)]


def test_the_standard_s_schema_finds_no_fault(schema, made, shipped_patterns):
    assert faults(schema, musicxml.dumps(made[:80], "Made up", ["First", "Second"])) == []
    assert faults(schema, musicxml.dumps(shipped_patterns[::20])) == []


def test_the_schema_would_see_a_fault(schema):
    good = musicxml.dumps([parse("D- DU -U DU")])
    assert faults(schema, good.replace("<down-bow", "<down-strum"))
    assert faults(schema, good.replace('<tied type="start" />', '<tied type="begin" />'))
