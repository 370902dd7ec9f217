"""Paint a display list as a PNG picture, with numpy alone.

The outlines of each colour are filled together, exactly (see ``coverage``), and laid over one another.
PNG as in the W3C Recommendation (2003): 8-bit RGB, one image data chunk, rows without a filter.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from drillapp.notation.display import DisplayList, Glyph, Item, Text
from drillapp.notation.painters.coverage import Segments, coverage, edges_of, edges_of_path
from drillapp.notation.painters.svg import INK, MARGIN
from drillapp.notation.shapes import drawn, placed

MOST_PIXELS = 60_000_000


def paint(
    display: DisplayList,
    *,
    space: float = 20.0,
    colours: Mapping[str, str] | None = None,
    ground: str = "#FFFFFF",
    margin: float = MARGIN,
) -> bytes:
    """The page as the bytes of a PNG file; ``space``: pixels of one staff space.

    Raises ValueError for a picture of more than 60 million pixels.
    """
    return encode(pixels(display, space=space, colours=colours, ground=ground, margin=margin))


def pixels(
    display: DisplayList,
    *,
    space: float = 20.0,
    colours: Mapping[str, str] | None = None,
    ground: str = "#FFFFFF",
    margin: float = MARGIN,
) -> NDArray[np.uint8]:
    """The page as an array of shape (rows, columns, 3), top row first."""
    ink = {**INK, **(colours or {})}
    columns = max(1, int(np.ceil((display.width + 2 * margin) * space)))
    rows = max(1, int(np.ceil((display.height + 2 * margin) * space)))
    if columns * rows > MOST_PIXELS:
        raise ValueError(f"a picture of {columns} by {rows} pixels is too large; make a staff space smaller")
    page = np.empty((rows, columns, 3), np.float32)
    page[:] = _rgb(ground)
    for role in ("rule", "second", "ink", "mark"):
        parts = [_edges(item) for item in display.items if item.role == role]
        if not parts:
            continue
        edges = (np.vstack(parts) + margin) * space
        edges[:, 1::2] += rows - (display.height + 2 * margin) * space  # the page's top is the picture's
        share = coverage(edges, columns, rows)[..., None]
        page += share * (np.array(_rgb(ink[role]), np.float32) - page)
    return np.rint(page[::-1]).astype(np.uint8)


def encode(picture: NDArray[np.uint8]) -> bytes:
    """An array of shape (rows, columns, 3) as the bytes of a PNG file."""
    rows, columns, _ = picture.shape
    lines = np.zeros((rows, 1 + columns * 3), np.uint8)
    lines[:, 1:] = picture.reshape(rows, -1)
    header = struct.pack(">IIBBBBB", columns, rows, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(lines.tobytes(), 6)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, data) for name, data in chunks)


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _edges(item: Item) -> Segments:
    """The item's edges in staff spaces, turned so that its inside counts as positive."""
    if isinstance(item, (Glyph, Text)):
        parts = []
        for shape in placed(item):
            moved = edges_of_path(shape.path) * shape.unit
            parts.append(moved + np.array([shape.x, shape.y, shape.x, shape.y]))
        edges = np.vstack(parts) if parts else np.zeros((0, 4))
    else:
        edges = edges_of(drawn(item))
    x1, y1, x2, y2 = edges.T
    if (x1 * y2 - x2 * y1).sum() < 0:
        edges = edges[:, [2, 3, 0, 1]]
    return edges


def _rgb(colour: str) -> tuple[int, int, int]:
    text = colour.lstrip("#")
    if len(text) != 6:
        raise ValueError(f"{colour!r} is not a colour such as #1F1B16")
    return int(text[0:2], 16), int(text[2:4], 16), int(text[4:6], 16)
