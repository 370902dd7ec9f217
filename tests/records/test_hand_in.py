"""Hand in and collect: whole or not at all, in any order, as often as one likes."""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import subprocess
from collections.abc import Callable
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.records import Answer, HandInError, PracticeLog, handin, open_log
from drillapp.records.lines import seal, unseal

MakeAnswer = Callable[..., Answer]


@pytest.fixture
def handed(tmp_path: Path, answer: MakeAnswer) -> Path:
    """What Zoë hands in: twelve answers."""
    with open_log(tmp_path / "student.sqlite") as student:
        zoe = student.learners.add("Zoë", now=1000.0)
        for number in range(12):
            student.append(answer(number, learner=zoe.id))
        return student.hand_in(tmp_path / "zoe.handin", zoe.id).path


def lines_of(path: Path) -> list[str]:
    return gzip.decompress(path.read_bytes()).decode("ascii").splitlines()


def pack(path: Path, lines: list[str], digest: bool = True) -> Path:
    """A file of these lines; with `digest`, closed by a right last line, as a forger would."""
    if digest:
        body = "".join(f"{line}\n" for line in lines[:-1]).encode()
        closing = json.loads(lines[-1])
        lines = [
            *lines[:-1],
            json.dumps({**closing, "sha256": hashlib.sha256(body).hexdigest()}, separators=(",", ":")),
        ]
    path.write_bytes(gzip.compress("".join(f"{line}\n" for line in lines).encode()))
    return path


def refused(log: PracticeLog, path: Path, words: str) -> None:
    """Collecting the file names what is wrong, and changes nothing."""
    before = (log.answers(), log.learners.all(archived=True))
    with pytest.raises(HandInError, match=words) as caught:
        log.collect(path)
    assert str(path) in str(caught.value)
    assert (log.answers(), log.learners.all(archived=True)) == before


def test_gzip_and_sha256sum_read_what_was_handed_in(handed: Path, needs: Callable[..., None]) -> None:
    needs("gzip", "sha256sum")
    # GNU gzip and coreutils, as the module's docstring says it.
    subprocess.run(["gzip", "--test"], stdin=handed.open("rb"), check=True)
    text = subprocess.run(["gzip", "-dc"], stdin=handed.open("rb"), check=True, capture_output=True).stdout
    first, *middle, last = [json.loads(line) for line in text.splitlines()]
    body = text[: text.rindex(b"\n", 0, -1) + 1]
    told = (
        subprocess.run(["sha256sum"], input=body, check=True, capture_output=True).stdout.decode().split()[0]
    )
    assert last == {"learners": 1, "answers": 12, "sha256": told}
    assert (first["drillapp"], first["schema"]) == ("hand in", 1)
    assert middle[0]["learner"]["name"] == "Zoë"
    assert [line["answer"]["id"] for line in middle[1:]] == [f"answer-{number:04}" for number in range(12)]


def test_sha256_agrees_with_the_published_example() -> None:
    # FIPS 180-4's example "abc" (NIST, examples with intermediate values).
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == expected


def test_the_teacher_gets_every_answer_and_the_name(
    log: PracticeLog, handed: Path, answer: MakeAnswer
) -> None:
    done = log.collect(handed)
    assert (done.new, done.known) == (12, 0)
    (zoe,) = log.learners.all()
    assert (zoe.name, zoe.here) == ("Zoë", False)
    assert done.learners == (zoe.id,)
    assert log.answers(zoe.id) == tuple(answer(number, learner=zoe.id) for number in range(12))
    assert log.met(zoe.id) == {"D- DU -U DU"}


def test_twice_is_the_same_as_once(log: PracticeLog, handed: Path) -> None:
    log.collect(handed)
    before = log.answers()
    done = log.collect(handed)
    assert (done.new, done.known) == (0, 12)
    assert log.answers() == before


def test_a_student_who_collects_the_own_file_changes_nothing(tmp_path: Path, handed: Path) -> None:
    with open_log(tmp_path / "student.sqlite") as student:
        assert student.collect(handed).new == 0
        assert student.learners.all()[0].here


def test_two_devices_anas_never_mix(tmp_path: Path, log: PracticeLog, answer: MakeAnswer) -> None:
    for device in ("one", "two"):
        with open_log(tmp_path / device) as student:
            ana = student.learners.add("Ana")
            student.append(answer(learner=ana.id, id=device))
            student.hand_in(tmp_path / f"{device}.handin")
        log.collect(tmp_path / f"{device}.handin")
    first, second = log.learners.all()
    assert first.name == second.name == "Ana"
    assert {log.answers(first.id)[0].id, log.answers(second.id)[0].id} == {"one", "two"}


def test_only_the_chosen_learners_are_handed_in(tmp_path: Path, log: PracticeLog, answer: MakeAnswer) -> None:
    ana, bo, cy = (log.learners.add(name) for name in ("Ana", "Bo", "Cy"))
    for number, learner in enumerate((ana, bo, cy)):
        log.append(answer(number, learner=learner.id))
    one = log.hand_in(tmp_path / "one", ana.id)
    two = log.hand_in(tmp_path / "two", [ana.id, cy.id])
    every = log.hand_in(tmp_path / "every")
    assert [(done.learners, done.answers) for done in (one, two, every)] == [(1, 1), (2, 2), (3, 3)]
    assert '"Bo"' not in "".join(lines_of(two.path))
    with pytest.raises(LookupError):
        log.hand_in(tmp_path / "none", "nobody")


def test_the_same_answers_make_the_same_bytes(tmp_path: Path, log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer())
    first, second = (log.hand_in(tmp_path / name) for name in ("first", "second"))
    assert first.path.read_bytes() == second.path.read_bytes()


def test_a_name_given_later_goes_with_the_answers(tmp_path: Path, log: PracticeLog) -> None:
    with open_log(tmp_path / "student") as student:
        ana = student.learners.add("Ana", now=100.0)
        early = student.hand_in(tmp_path / "early").path
        student.learners.rename(ana.id, "Anna", now=200.0)
        late = student.hand_in(tmp_path / "late").path
    for order in permutations([early, late]):
        with open_log(tmp_path / f"teacher-{order[0].name}") as teacher:
            for path in order:
                teacher.collect(path)
            assert [one.name for one in teacher.learners.all()] == ["Anna"]


def test_a_teachers_own_archive_is_not_undone_by_collecting(log: PracticeLog, handed: Path) -> None:
    (learner,) = log.collect(handed).learners
    log.learners.archive(learner)
    log.collect(handed)
    assert log.learners.get(learner).archived


def contents(log: PracticeLog) -> tuple[object, ...]:
    return [(one, one.when) for one in log.answers()], [(one.id, one.name) for one in log.learners.all()]  # type: ignore[return-value]


@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_collecting_comes_to_the_same_in_any_order_and_however_often(
    tmp_path_factory: pytest.TempPathFactory, answer: MakeAnswer, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("merge")
    handed: list[Path] = []
    for device in range(2):
        # Each device hands in now and then while it goes on, with a clock that may jump.
        with open_log(folder / f"device-{device}") as log:
            for part in range(data.draw(st.integers(1, 2))):
                for number in range(data.draw(st.integers(0, 3))):
                    utc = float(data.draw(st.integers(0, 5)))
                    learner = data.draw(st.sampled_from(["ana", "bo"]))
                    log.append(answer(id=f"{device}-{part}-{number}", utc=utc, learner=learner))
                handed.append(log.hand_in(folder / f"file-{device}-{part}").path)
    results = []
    for turn in range(2):
        order = data.draw(st.permutations(handed))
        again = data.draw(st.lists(st.sampled_from(handed), max_size=2))
        with open_log(folder / f"teacher-{turn}") as teacher:
            for path in (*order, *again):
                teacher.collect(path)
            results.append(contents(teacher))
            third = teacher.hand_in(folder / f"all-{turn}").path
        with open_log(folder / f"head-{turn}") as head:
            head.collect(third)
            assert contents(head) == results[-1]
    assert results[0] == results[1]


def test_a_file_cut_off_anywhere_is_refused(log: PracticeLog, handed: Path, tmp_path: Path) -> None:
    data = handed.read_bytes()
    for length in [0, 1, 9, 10, 11, *range(20, len(data), 97), len(data) - 8, len(data) - 1]:
        cut = tmp_path / "cut"
        cut.write_bytes(data[:length])
        refused(log, cut, "cut off")


def test_a_file_altered_anywhere_is_refused(log: PracticeLog, handed: Path, tmp_path: Path) -> None:
    data = handed.read_bytes()
    # The first ten bytes are gzip's header, in which time, flags and system do not matter (RFC 1952).
    for place in [0, 1, 2, *range(10, len(data), 41), len(data) - 1]:
        altered = tmp_path / "altered"
        altered.write_bytes(data[:place] + bytes([data[place] ^ 0x10]) + data[place + 1 :])
        refused(log, altered, r"Nothing was collected|ask for it again")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lines: lines[:5] + lines[6:], "does not fit what is before it"),
        (lambda lines: [*lines[:-1], lines[5], lines[-1]], "does not fit what is before it"),
        (lambda lines: lines[:-1], "ends without its closing line"),
        (lambda lines: [*lines, lines[-1]], "more follows"),
        (
            lambda lines: [lines[0].replace('"schema":1', '"schema":2'), *lines[1:]],
            "newer drillapp .*Update drillapp",
        ),
        (lambda lines: [lines[0].replace('"schema":1', '"schema":true'), *lines[1:]], "no schema version"),
        (lambda lines: [lines[0].replace("hand in", "other"), *lines[1:]], "line 1 is not the first line"),
        (
            lambda lines: [lines[0].replace('"device"', '"devise"'), *lines[1:]],
            "line 1 is not a right first line",
        ),
        (lambda lines: ["{", *lines[1:]], "line 1 is not JSON"),
        (lambda lines: ["[" * 100_000, *lines[1:]], "line 1 is not JSON"),
        (lambda lines: [lines[0], *lines[2:]], "line 2 is not right: its learner is not among"),
        (
            lambda lines: [lines[0], lines[1], lines[1], *lines[2:]],
            "line 3 is not right: names a learner a second time",
        ),
        (
            lambda lines: [*lines[:3], lines[3].replace('"tempo":90', '"tempo":91'), *lines[4:]],
            "line 4 .*check value",
        ),
        (lambda lines: [*lines[:3], "x" * 300_000, *lines[4:]], "line 4 is cut off, or longer than"),
        (lambda lines: [*lines[:3], "", *lines[4:]], "line 4 is not right"),
    ],
)
def test_a_wrong_line_is_named(
    log: PracticeLog,
    handed: Path,
    tmp_path: Path,
    change: Callable[[list[str]], list[str]],
    words: str,
) -> None:
    refused(log, pack(tmp_path / "wrong", change(lines_of(handed)), digest=False), words)


def resealed(line: str, **changes: object) -> str:
    """A line altered and sealed again, as only someone who means to deceive would."""
    data = unseal(line)
    if set(changes) <= {"device", "number"}:
        return seal({**data, **changes})
    return seal({**data, "answer": {**data["answer"], **changes}})


@pytest.mark.parametrize(
    "change",
    [
        {"tempo": "fast"},
        {"tempo": 1e308},
        {"utc": -5},
        {"pick": 7},
        {"extra": None},
        {"factors": [{"at": "9" * 100}]},
        {"swing": "1e999999999"},
        {"heard": {"__class__": "os.system"}},
        {"more": 1},
        {"number": 0},
        {"number": 2**60},
        {"number": True},
        {"device": ""},
        {"device": "a\nb"},
    ],
)
def test_a_value_that_does_not_fit_is_refused_though_every_digest_is_right(
    log: PracticeLog, handed: Path, tmp_path: Path, change: dict[str, object]
) -> None:
    lines = lines_of(handed)
    lines[3] = resealed(lines[3], **change)
    refused(log, pack(tmp_path / "forged", lines), "line 4 is not right")


@pytest.mark.parametrize("place", [1, 2, 8, 13])
def test_the_digest_finds_a_line_that_was_altered_and_sealed_again(
    log: PracticeLog, handed: Path, tmp_path: Path, place: int
) -> None:
    # A CRC-32 can be made anew by anyone, so each line alone is right. FIPS 180-4, section 1: any change to a
    # message gives another digest, "with a very high probability".
    lines = lines_of(handed)
    value = unseal(lines[place])
    (value["answer"] if "answer" in value else value["learner"])["utc" if place > 1 else "made"] -= 1.0
    lines[place] = seal(value)
    refused(log, pack(tmp_path / "altered", lines, digest=False), "line 15 does not fit what is before it")


@pytest.mark.parametrize(
    "change", [lambda sha: sha[:-1] + "0123456789abcdef"[int(sha[-1], 16) ^ 1], str.upper]
)
def test_only_the_digest_that_sha256sum_gives_is_taken(
    log: PracticeLog, handed: Path, tmp_path: Path, change: Callable[[str], str]
) -> None:
    lines = lines_of(handed)
    # coreutils' sha256sum (FIPS 180-4) of all before the last line
    body = "".join(f"{line}\n" for line in lines[:-1]).encode()
    told = subprocess.run(["sha256sum"], input=body, check=True, capture_output=True).stdout[:64].decode()
    closing = '{"learners":1,"answers":12,"sha256":"%s"}'
    wrong = pack(tmp_path / "wrong", [*lines[:-1], closing % change(told)], digest=False)
    refused(log, wrong, "does not fit what is before it")
    assert log.collect(pack(tmp_path / "right", [*lines[:-1], closing % told], digest=False)).new == 12


def test_an_answer_that_differs_from_the_one_in_the_log_is_refused(
    log: PracticeLog, handed: Path, tmp_path: Path
) -> None:
    log.collect(handed)
    lines = lines_of(handed)
    lines[5] = resealed(lines[5], seconds=0.5)
    refused(log, pack(tmp_path / "forged", lines), "one of the two was altered")


def test_a_small_file_that_unpacks_to_a_huge_one_is_refused(
    log: PracticeLog, tmp_path: Path, handed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bomb = tmp_path / "bomb"
    # One line without end: read no further than the longest line.
    bomb.write_bytes(gzip.compress(b"0" * 50_000_000))
    assert bomb.stat().st_size < 60_000
    refused(log, bomb, "line 1 is cut off, or longer than")
    # Lines without end: read no further than the most that is unpacked.
    monkeypatch.setattr(handin, "MAX_UNPACKED", 5_000)
    refused(log, handed, "goes past 5,000 bytes unpacked")


def test_too_many_answers_are_refused(
    log: PracticeLog, handed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(handin, "MAX_ANSWERS", 10)
    refused(log, handed, "one too many; at most 10 answers")


def test_a_file_that_is_too_large_is_not_even_opened(log: PracticeLog, tmp_path: Path) -> None:
    huge = tmp_path / "huge"
    with huge.open("wb") as file:
        file.truncate(handin.MAX_FILE + 1)
    refused(log, huge, "has 67,108,865 bytes")


def test_what_is_no_file_is_refused(log: PracticeLog, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    refused(log, tmp_path / "pipe", "is not a file")
    refused(log, tmp_path, "is not a file")
    refused(log, tmp_path / "missing", "No such file")


def test_bytes_after_the_end_are_refused(log: PracticeLog, handed: Path) -> None:
    handed.write_bytes(handed.read_bytes() + b"and more")
    refused(log, handed, "cannot be read as a file that was handed in")


def test_a_place_that_cannot_be_written_leaves_nothing(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    log.append(answer())
    (tmp_path / "file").write_text("")
    for path in (tmp_path / "missing" / "out", tmp_path / "file" / "out"):
        with pytest.raises(HandInError, match="cannot be written"):
            log.hand_in(path)
    (tmp_path / "folder").mkdir()
    with pytest.raises(HandInError, match="cannot be written"):
        log.hand_in(tmp_path / "folder")
    assert not [one for one in tmp_path.iterdir() if one.name.endswith(".part")]


def test_stopped_half_way_nothing_is_left_and_the_old_file_stays(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    with log._store.writing() as connection:
        from drillapp.records.lines import seal
        from drillapp.records.rows import insert, whole

        for number in range(1200):
            data = whole(answer(number), log.device, number + 1)
            insert(connection, seal(data), data, here=True)
    out = tmp_path / "out"
    out.write_text("earlier")
    shares: list[float] = []

    def stop(share: float) -> None:
        shares.append(share)
        if share > 0.5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        log.hand_in(out, progress=stop)
    assert out.read_text() == "earlier"
    assert shares == [500 / 1200, 1000 / 1200]
    assert not list(tmp_path.glob(".*.part"))
    done = log.hand_in(out)
    with open_log(tmp_path / "teacher") as teacher:
        with pytest.raises(KeyboardInterrupt):
            teacher.collect(done.path, progress=stop)
        assert teacher.count() == 0
        assert teacher.collect(done.path).new == 1200


def test_a_teacher_killed_while_collecting_has_all_or_nothing(
    tmp_path: Path, handed: Path, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    target = tmp_path / "teacher.sqlite"
    child = python(
        "import os, signal\n"
        "from drillapp.records import open_log, rows, log\n"
        f"teacher = open_log({str(target)!r})\n"
        "real, seen = log.insert, []\n"
        "def insert(*given, **named):\n"
        "    seen.append(1)\n"
        "    if len(seen) == 6:\n"
        "        os.kill(os.getpid(), signal.SIGKILL)\n"
        "    return real(*given, **named)\n"
        "log.insert = insert\n"
        f"teacher.collect({str(handed)!r})\n"
    )
    child.communicate(timeout=30)
    assert child.returncode == -9
    with open_log(target) as teacher:
        assert teacher.count() == 0
        assert teacher.collect(handed).new == 12


def test_the_file_names_no_python_and_runs_none() -> None:
    # Neither pickle nor eval, exec, marshal or shelve anywhere in the package.
    package = Path(handin.__file__).parent
    for module in package.glob("*.py"):
        code = module.read_text()
        for word in ("import pickle", "import marshal", "import shelve", " eval(", " exec("):
            assert word not in code, module.name


def test_what_a_kill_left_half_written_is_cleared_by_the_next_hand_in(
    path: Path, log: PracticeLog, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    for number in range(5):
        log.append(answer(number))
    target = path.with_name("ana.handin")
    program = (
        "import os, signal, sys\n"
        "from pathlib import Path\n"
        "from drillapp.files.writing import written_whole\n"
        f"with written_whole(Path({str(target)!r})) as file:\n"
        "    file.write(b'half')\n"
        "    file.flush()\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    for _ in range(3):
        python(program).communicate(timeout=60)
    assert list(path.parent.glob("*.part"))
    log.hand_in(target)
    assert not list(path.parent.glob("*.part")) and not list(path.parent.glob(".*.part"))


@pytest.mark.parametrize("name", ["a" * 255, "\N{MUSICAL SYMBOL G CLEF}" * 63])
def test_the_longest_names_are_written_or_refused_in_words(
    path: Path, log: PracticeLog, answer: MakeAnswer, name: str
) -> None:
    # ext4 and most others: 255 bytes a name.
    log.append(answer())
    assert log.hand_in(path.with_name(name)).answers == 1
    with pytest.raises(HandInError, match="cannot be written"):
        log.hand_in(path.with_name(name + name))


def test_a_large_hand_in_takes_little_memory_and_leaves_no_journal(
    path: Path, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    with open_log(path) as log:
        for number in range(50):
            log.append(answer(number, extra={"hits": [[0.001 * hit, "down"] for hit in range(2000)]}))
        log.hand_in(path.with_name("file"))
    program = (
        "import tracemalloc\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path.with_name('teacher.sqlite'))!r})\n"
        "tracemalloc.start()\n"
        f"print(log.collect({str(path.with_name('file'))!r}).new)\n"
        "print(tracemalloc.get_traced_memory()[1])\n"
        "import os\n"
        f"print(os.path.getsize({str(path.with_name('teacher.sqlite-wal'))!r}))\n"
    )
    new, peak, journal = map(int, python(program).communicate(timeout=60)[0].split())
    assert new == 50
    assert journal == 0
    # Two megabytes of lines; a few of them at a time are in memory.
    assert peak < 1_500_000
