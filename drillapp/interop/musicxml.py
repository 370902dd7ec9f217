"""MusicXML, the open format of scores: patterns out and in, plain (.musicxml) and compressed (.mxl).

What comes from outside is read with defusedxml (no entities), and no more than 4 MB of it.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from drillapp.files.reading import TooLarge, read_bounded
from drillapp.files.writing import write_whole
from drillapp.interop.errors import InteropError
from drillapp.interop.musicxml_read import patterns_of
from drillapp.interop.musicxml_write import score
from drillapp.music import Pattern

MOST_BYTES = 4_000_000
_CONTAINER = "META-INF/container.xml"
_SCORE = "score.musicxml"


def dumps(patterns: Iterable[Pattern], title: str = "", titles: Sequence[str] = ()) -> str:
    """The patterns as a MusicXML 4.0 document; ``titles`` are the patterns' own.

    Raises ValueError where there is no pattern.
    """
    return score(patterns, title, titles)


def loads(text: str | bytes) -> tuple[Pattern, ...]:
    """The patterns of a MusicXML document, plain or compressed.

    Raises InteropError, with the measure and the reason, for what cannot be a strum pattern.
    """
    data = text.encode() if isinstance(text, str) else text
    if data[:2] == b"PK":
        data = _unpacked(data)
    return patterns_of(_parsed(data))


def dump(patterns: Iterable[Pattern], path: Path, title: str = "", titles: Sequence[str] = ()) -> None:
    """Write the patterns as .musicxml, or compressed as .mxl by the name's ending.

    Raises OSError, and ValueError where there is no pattern.
    """
    data = dumps(patterns, title, titles).encode()
    write_whole(path, _packed(data) if path.suffix.lower() == ".mxl" else data)


def load(path: Path) -> tuple[Pattern, ...]:
    """The patterns of a .musicxml, .xml or .mxl file. Raises OSError, and InteropError as ``loads`` does."""
    try:
        return loads(read_bounded(path, MOST_BYTES))
    except TooLarge:
        most = MOST_BYTES // 1_000_000
        raise InteropError(
            f"the file is larger than {most} MB", code="file-large", places={"most": most}
        ) from None


def _parsed(data: bytes) -> Any:
    from xml.etree.ElementTree import ParseError

    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    if not data.strip():
        raise InteropError("the file is empty", code="file-empty")
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise InteropError(f"the file is larger than {most} MB", code="file-large", places={"most": most})
    try:
        return fromstring(data, forbid_dtd=False, forbid_entities=True, forbid_external=True)
    except DefusedXmlException:
        raise InteropError(
            "the file defines entities, which a score has no need of; it is not read",
            code="xml-entities",
        ) from None
    except ParseError as error:
        line, column = error.position
        raise InteropError(
            f"this is not well-formed XML: line {line}, column {column + 1}",
            code="xml-broken",
            places={"line": line, "column": column + 1},
        ) from None
    except (ValueError, LookupError) as error:
        raise InteropError(
            f"the XML's encoding cannot be read ({error})",
            code="xml-encoding",
            places={"reason": str(error)},
        ) from None


def _packed(data: bytes) -> bytes:
    """A compressed MusicXML file: a zip with a container that names the score (MusicXML 4.0, container)."""
    container = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles>'
        f'<rootfile full-path="{_SCORE}" media-type="application/vnd.recordare.musicxml+xml"/>'
        "</rootfiles></container>\n"
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in ((_CONTAINER, container.encode()), (_SCORE, data)):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def _unpacked(data: bytes) -> bytes:
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise InteropError(f"the file is larger than {most} MB", code="file-large", places={"most": most})
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            root = _parsed(_member(archive, _CONTAINER)).find("rootfiles/rootfile")
            name = root.get("full-path") if root is not None else None
            if not name:
                raise InteropError(
                    "the compressed file does not say which of its files is the score", code="zip-no-score"
                )
            return _member(archive, name)
    except InteropError:
        raise
    except (zipfile.BadZipFile, zlib.error, ValueError, RuntimeError, EOFError, OSError) as error:
        raise InteropError(
            f"the compressed file is damaged ({error})", code="zip-damaged", places={"reason": str(error)}
        ) from None


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        with archive.open(name) as file:
            data = file.read(MOST_BYTES + 1)
    except KeyError:
        raise InteropError(
            f"the compressed file has no {name[:80]} in it", code="zip-missing", places={"name": name[:80]}
        ) from None
    if len(data) > MOST_BYTES:
        raise InteropError(
            f"{name[:80]} in the compressed file is larger than {MOST_BYTES // 1_000_000} MB",
            code="zip-large",
            places={"name": name[:80], "most": MOST_BYTES // 1_000_000},
        )
    return data
