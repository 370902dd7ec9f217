"""Changes of bytes, of JSON and of words on a command line, from a seed."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

BYTES = (
    b"9" * 30,
    b"1e999",
    b"\0",
    b"-1",
    b"NaN",
    b"\xff",
    b"[[",
    b".",
    b"\r",
    b"|",
    b"<",
    b'"',
    b"\xe2\x80\xae",
)
VALUES: tuple[Any, ...] = (
    None,
    True,
    False,
    -1,
    0,
    1,
    0.5,
    -0.0,
    0.99,
    1.0,
    1e308,
    -1e308,
    1440,
    -1440,
    2**31,
    2**53 - 1,
    2**53,
    2**63,
    10**19,
    253402300799,
    253402300799.0 - 86_400,
    "",
    "x",
    "x" * 8001,
    "\0",
    "\ud800",
    "\u202e",
    "1/0",
    "1e9",
    "nan",
    [],
    {},
    [[]],
    ["x"] * 101,
    {"x": {"x": 1}},
    "taken back",
    "helped",
    "voids",
)


def changed_bytes(data: bytes, rng: random.Random) -> bytes:
    """The bytes with one to four changes: set, cut out, doubled, put in, cut off."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        place = rng.randrange(len(changed) + 1)
        length = rng.choice((1, 1, 2, 8, 64))
        kind = rng.randrange(12)
        if kind < 3:
            changed[place : place + length] = rng.randbytes(length)
        elif kind < 5:
            del changed[place : place + length]
        elif kind < 8:
            changed[place:place] = changed[place : place + length] * rng.choice((1, 2, 50))
        elif kind < 11:
            changed[place:place] = rng.choice(BYTES)
        else:
            del changed[max(place, 1) :]
    return bytes(changed)


def changed_json(value: Any, rng: random.Random) -> Any:
    """A copy of the value in which one to three places hold something else, are gone, doubled or new."""
    changed = [copy.deepcopy(value)]
    for _ in range(rng.randint(1, 3)):
        places = list(_places(changed))
        holder, key = places[rng.randrange(len(places))]
        kind = rng.randrange(8)
        if kind < 5 or holder is changed:
            holder[key] = _value(rng)
        elif kind == 5:
            del holder[key]
        elif isinstance(holder, list):
            holder[key:key] = [holder[key]] * rng.choice((1, 50))
        else:
            holder[rng.choice(("x", "", "id", "extra", "crc"))] = holder[key]
    return changed[0]


def _value(rng: random.Random) -> Any:
    if rng.random() < 0.2:
        return rng.uniform(-10, 1e11) if rng.random() < 0.5 else rng.randint(-(2**40), 2**40)
    return copy.deepcopy(rng.choice(VALUES))


def _places(value: Any) -> Any:
    if isinstance(value, list):
        for index, item in enumerate(value):
            yield value, index
            yield from _places(item)
    elif isinstance(value, dict):
        for key, item in value.items():
            yield value, key
            yield from _places(item)


WORDS = (
    "",
    "-",
    "--",
    "-1",
    "0",
    "1",
    "1e9",
    "nan",
    "inf",
    "9" * 30,
    "x" * 300,
    "\udcff",
    "é",
    "--data",
    "-o",
    "--title",
    "--help",
    "=",
    "4/4",
    "0/4",
    "999/4",
    "1:0",
    "2:1",
    "D- DU",
    "|",
    "G",
    "deck.toml",
    "a.mid",
    "a.musicxml",
    "in.handin",
    "out.pdf",
    "out.svg",
    "out.wav",
    "out.png",
    "prior.json",
    "practice.sqlite",
    ".",
    "new",
    "--layers",
    "staff",
    "--tempo",
    "--swing",
    "--meter",
    "\n",
    "\x1b[2J",
)


def changed_words(words: list[str], rng: random.Random) -> list[str]:
    """The words with one to three put in, left out, put in place of another or changed; none has a slash."""
    changed = list(words)
    for _ in range(rng.randint(1, 3)):
        place = rng.randrange(len(changed) + 1)
        kind = rng.randrange(4)
        if kind == 0:
            changed.insert(max(place, 1), rng.choice(WORDS))
        elif kind == 1 and len(changed) > 1:
            del changed[max(1, min(place, len(changed) - 1))]
        elif kind == 2 and len(changed) > 1:
            changed[max(1, min(place, len(changed) - 1))] = rng.choice(WORDS)
        elif len(changed) > 1:
            at = max(1, min(place, len(changed) - 1))
            changed[at] = changed_bytes(changed[at].encode("utf-8", "replace") or b"x", rng).decode(
                "utf-8", "replace"
            )
    # Nothing outside the folder is to be written.
    return [word if word in words else word.replace("/", "").replace("\0", "") for word in changed]


def as_json(value: Any) -> bytes:
    return json.dumps(value).encode()
