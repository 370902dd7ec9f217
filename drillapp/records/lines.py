"""Self-checking lines: one JSON object on one line, with a check value that damage cannot slip past.

Conventions: `{"answer":{...},"device":"...","number":7,"crc":"1f2e3d4c"}`, ASCII only, no spaces. The first
key names the kind. `crc` is the CRC-32 (ISO 3309, ITU-T V.42, as in gzip) of the line up to the comma
before it, in eight hexadecimal digits. The log keeps each answer as such a line and a handed-in file holds
the same lines, so that one can be found and trusted even in the raw bytes of a damaged file.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator
from mmap import mmap
from typing import Any

MAX_LINE = 256 * 1024
"""Longest line that is written or read, in characters."""

# Made once: json.dumps and json.loads make a new one for every call with options.
_ENCODER = json.JSONEncoder(ensure_ascii=True, allow_nan=False, separators=(",", ":"))
_TAIL = len(',"crc":"00000000"}')
_END = re.compile(rb',"crc":"[0-9a-f]{8}"\}')
_START = re.compile(rb'\{"(?:answer|learner)":\{')
_MOST_DIGITS = 20


def compact(value: Any) -> str:
    """JSON in ASCII without spaces. Raises ValueError for what JSON cannot hold (infinite, not a number)."""
    return _ENCODER.encode(value)


def seal(value: dict[str, Any]) -> str:
    """The line of a JSON object, with its check value. Raises ValueError where it is longer than MAX_LINE.

    >>> seal({"learner": {"name": "Ana"}})
    '{"learner":{"name":"Ana"},"crc":"933e8e59"}'
    """
    start = compact(value)[:-1]
    _check_length(start)
    return f'{start},"crc":"{zlib.crc32(start.encode("ascii")):08x}"}}'


def check_fits(value: dict[str, Any]) -> None:
    """Raises ValueError where the line of a JSON object would be longer than MAX_LINE."""
    _check_length(compact(value)[:-1])


def _check_length(start: str) -> None:
    if len(start) + _TAIL > MAX_LINE:
        raise ValueError(f"a line has {len(start)} characters; at most {MAX_LINE - _TAIL} are allowed")


def is_whole(line: str) -> bool:
    """True where the line's check value fits it."""
    if not line.isascii() or len(line) <= _TAIL:
        return False
    start = line[:-_TAIL]
    return line[-_TAIL:] == f',"crc":"{zlib.crc32(start.encode("ascii")):08x}"}}'


def unseal(line: str) -> dict[str, Any]:
    """The JSON object of a line, without its check value. Raises ValueError where the line is not whole."""
    if not is_whole(line):
        raise ValueError("the line's check value does not fit it; the line was cut or altered")
    value = read_json(line)
    del value["crc"]
    return value


def unseal_own(line: str) -> dict[str, Any]:
    """`unseal`, faster, for a line from our own log, whose values were checked when it was written."""
    if not is_whole(line):
        raise ValueError("the line's check value does not fit it")
    value: dict[str, Any] = json.loads(line)
    return value


def read_json(line: str) -> dict[str, Any]:
    """A JSON object from outside. Raises ValueError for anything else, however deep, long or strange."""
    if len(line) > MAX_LINE:
        raise ValueError(f"longer than {MAX_LINE} characters")
    try:
        value = _DECODER.decode(line)
    except RecursionError:
        raise ValueError("nested too deeply") from None
    if not isinstance(value, dict):
        raise ValueError("not a JSON object")
    return value


def carve(data: bytes | mmap) -> Iterator[str]:
    """Every whole line in raw bytes, in the order found; the same line may come more than once."""
    for found in _START.finditer(data):
        start = found.start()
        # A nested object may end like a line does, so more than one end is tried.
        for tries, end in enumerate(_END.finditer(data, start, start + MAX_LINE)):
            line = data[start : end.end()].decode("latin-1")
            if is_whole(line):
                yield line
                break
            if tries == 8:
                break


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is not a number that JSON knows")


def _short_int(digits: str) -> int:
    # Reading a whole number takes time that grows with the square of its digits.
    if len(digits) > _MOST_DIGITS:
        raise ValueError(f"a whole number with {len(digits)} digits; at most {_MOST_DIGITS} are allowed")
    return int(digits)


_DECODER = json.JSONDecoder(parse_constant=_no_constant, parse_int=_short_int)
