"""Self-checking lines."""

from __future__ import annotations

import json
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillapp.records.lines import MAX_LINE, carve, read_json, seal, unseal


def test_the_check_value_is_the_published_crc_32() -> None:
    # Check value of CRC-32 (ISO 3309, ITU-T V.42) over "123456789": RevEng catalogue of CRCs (from memory).
    assert zlib.crc32(b"123456789") == 0xCBF43926
    line = seal({"answer": {"a": 1}})
    assert line[-10:-2] == f"{zlib.crc32(line[:-18].encode()):08x}"
    assert line[-18:-10] == ',"crc":"'


def test_a_line_is_plain_json_in_ascii() -> None:
    line = seal({"learner": {"name": "Zoë 🎸"}})
    assert line.isascii()
    assert json.loads(line)["learner"] == {"name": "Zoë 🎸"}


@given(st.data())
def test_no_single_byte_of_a_line_can_change_unseen(data: st.DataObject) -> None:
    line = seal({"answer": {"pattern": "D- DU", "pick": 1}, "number": 3})
    place = data.draw(st.integers(0, len(line) - 1))
    other = data.draw(
        st.characters(min_codepoint=32, max_codepoint=126).filter(lambda char: char != line[place])
    )
    with pytest.raises(ValueError):
        unseal(line[:place] + other + line[place + 1 :])


@given(st.binary(max_size=200), st.binary(max_size=200))
def test_whole_lines_are_found_in_raw_bytes(before: bytes, after: bytes) -> None:
    lines = [seal({"answer": {"n": n, "extra": {"crc": "00000000"}}, "number": n}) for n in range(3)]
    raw = before + lines[0].encode() + after + lines[1].encode() + lines[2].encode() + b'{"answer":{"cut'
    assert list(carve(raw)) == lines


def test_a_damaged_line_does_not_hide_the_next() -> None:
    lines = [seal({"answer": {"n": n}}) for n in range(3)]
    raw = bytearray("".join(lines).encode())
    raw[5] ^= 0xFF
    raw[len(lines[0]) - 3] ^= 1
    assert list(carve(bytes(raw))) == lines[1:]


@pytest.mark.parametrize(
    "text",
    ["", "[]", "7", '{"a":NaN}', '{"a":Infinity}', '{"a":' + "9" * 21 + "}", '{"a":' * 60_000, "[" * 200_000],
)
def test_strange_json_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_json(text)


def test_a_line_that_could_not_be_read_again_is_not_written() -> None:
    with pytest.raises(ValueError, match="at most"):
        seal({"answer": "x" * MAX_LINE})


def test_the_longest_line_is_still_read_and_one_more_character_is_not() -> None:
    start, end = '{"a":"', '"}'
    line = start + "x" * (MAX_LINE - len(start) - len(end)) + end
    assert len(read_json(line)["a"]) == MAX_LINE - 8
    with pytest.raises(ValueError, match=f"longer than {MAX_LINE} characters"):
        read_json(line.replace("x", "xx", 1))
