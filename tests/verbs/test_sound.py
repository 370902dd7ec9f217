"""`drillapp sound`: a WAV file of the right length, or a fault in words and no file."""

from __future__ import annotations

import wave

import pytest

from drillapp.__main__ import main


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory, monkeypatch):
    """Strokes are kept in a cache of the test's own (XDG Base Directory Specification)."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))


def seconds(path):
    with wave.open(str(path)) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        return file.getnframes() / file.getframerate()


def test_a_bar_of_four_at_120_lasts_two_seconds_and_its_ring(drillapp, tmp_path):
    done = drillapp("sound", "D- DU -U DU", "--tempo", 120, "-o", "walk.wav")
    assert (done.returncode, done.stdout) == (0, "")
    once = seconds(tmp_path / "walk.wav")
    assert 2.0 < once < 4.5
    assert (
        main(["sound", "D- DU -U DU", "--tempo", "120", "--times", "3", "-o", str(tmp_path / "w.wav")]) == 0
    )
    assert seconds(tmp_path / "w.wav") == pytest.approx(once + 4.0, abs=0.001)


def test_a_count_in_comes_before_it(tmp_path):
    out = str(tmp_path / "a.wav")
    assert main(["sound", "D D D", "--meter", "3/4", "--tempo", "60", "-o", out]) == 0
    plain = seconds(out)
    assert main(["sound", "D D D", "--meter", "3/4", "--tempo", "60", "--count-in", "2", "-o", out]) == 0
    assert seconds(out) == pytest.approx(plain + 6.0, abs=0.001)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["D D D"], "pattern:1:6: bar 1 has 3 of the 4 beats"),
        (["D DQ D D"], "pattern:1:4: 'Q' is not a sign"),
        (["D D D D", "--meter", "7/8"], "2+2+3/8"),
        (["D D D D", "--tempo", "9999"], "20 to 400"),
        (["D D D D", "--swing", "x"], "2:1"),
        (["D D D D", "--chord", "H13"], "H13"),
        (["D D D D", "--times", "0"], "1 to 64 times"),
        (["D D D D", "--count-in", "-1"], "0 to 8 bars"),
        (["D D D D", "--rate", "1"], "44100"),
    ],
)
def test_a_fault_in_what_is_given_is_named_and_nothing_is_written(arguments, words, tmp_path, capsys):
    out = tmp_path / "a.wav"
    assert main(["sound", *arguments, "-o", str(out)]) == 1
    assert words in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize(
    ("out", "words"),
    [("gone/a.wav", "there is no folder"), ("folder.wav", "is a folder"), ("a.mp3", "written as .wav")],
)
def test_a_place_that_cannot_be_written_is_named(out, words, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder.wav").mkdir()
    assert main(["sound", "D D D D", "-o", out]) == 1
    assert words in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["folder.wav"]


def test_what_was_there_stays_whole_when_writing_fails(tmp_path, monkeypatch, capsys):
    out = tmp_path / "a.wav"
    out.write_bytes(b"old")

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("drillapp.sound.audio_files.os.fsync", fail)
    assert main(["sound", "D D D D", "-o", str(out)]) == 1
    assert "No space left" in capsys.readouterr().err
    assert out.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["a.wav"]


def test_a_tempo_that_is_no_number_is_wrong_use(capsys):
    assert main(["sound", "D D D D", "--tempo", "fast", "-o", "a.wav"]) == 2


def test_a_loop_lasts_exactly_its_bars(tmp_path):
    out = tmp_path / "a.wav"
    assert main(["sound", "D- DU -U DU", "--tempo", "120", "--loop", "--voice", "nylon", "-o", str(out)]) == 0
    assert seconds(out) == pytest.approx(2.0, abs=1e-4)


def test_a_deck_is_written_into_a_folder_a_file_a_pattern(tmp_path, capsys):
    deck = tmp_path / "house.toml"
    deck.write_text(
        'title = "House"\n[[pattern]]\ntitle = "Front door!"\ntext = "D D D D"\n'
        '[[pattern]]\ntitle = "Stairs"\ntext = "D DU D DU"\n'
    )
    out = tmp_path / "sounds"
    assert main(["sound", str(deck), "-o", str(out)]) == 0
    assert sorted(path.name for path in out.iterdir()) == ["01 Front door.wav", "02 Stairs.wav"]
    assert "2 of 2" in capsys.readouterr().err
    assert main(["sound", str(deck), "-o", str(deck)]) == 1
    assert "into a folder" in capsys.readouterr().err


def test_flac_holds_the_same_samples_as_wav(tmp_path):
    import soundfile

    paths = [tmp_path / "a.wav", tmp_path / "a.flac"]
    for path in paths:
        assert main(["sound", "D- DU -U DU", "-o", str(path)]) == 0
    (wav, rate), (flac, same_rate) = (soundfile.read(path, dtype="int16") for path in paths)
    assert (rate, len(wav)) == (same_rate, len(flac))
    assert abs(wav.astype(int) - flac.astype(int)).max() <= 1


def test_without_soundfile_flac_is_refused_in_words(tmp_path, monkeypatch, capsys):
    monkeypatch.setitem(__import__("sys").modules, "soundfile", None)
    assert main(["sound", "D D D D", "-o", str(tmp_path / "a.flac")]) == 1
    assert "soundfile" in capsys.readouterr().err


def test_a_loop_with_a_count_in_is_refused(tmp_path, capsys):
    assert main(["sound", "D D D D", "--loop", "--count-in", "1", "-o", str(tmp_path / "a.wav")]) == 1
    assert "a loop has no count-in" in capsys.readouterr().err


DECK = 'title = "House"\n[[pattern]]\ntitle = "Door"\ntext = "D D D D"\n'


def test_a_decks_tempo_can_be_changed_for_slow_practice(tmp_path):
    # Arithmetic: four beats at 60 a minute last 4 s.
    deck = tmp_path / "house.toml"
    deck.write_text(DECK)
    out = tmp_path / "slow"
    assert main(["sound", str(deck), "--tempo", "60", "--loop", "-o", str(out)]) == 0
    assert seconds(out / "01 Door.wav") == pytest.approx(4.0, abs=1e-4)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--meter", "3/4"], "a deck says its own"),
        (["--swing", "2:1"], "a deck says its own"),
        (["--tempo", "9999"], "20 to 400"),
        (["--rate", "96001"], "--rate 96001: choose 8000 to 96000"),
    ],
)
def test_what_does_not_go_with_a_deck_is_said(arguments, words, tmp_path, capsys):
    deck = tmp_path / "house.toml"
    deck.write_text(DECK)
    assert main(["sound", str(deck), *arguments, "-o", str(tmp_path / "out")]) == 1
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_flac_for_one_sound_goes_by_its_name(tmp_path, capsys):
    assert main(["sound", "D D D D", "--flac", "-o", str(tmp_path / "a.wav")]) == 1
    assert "end the name of one sound in .flac" in capsys.readouterr().err


def test_the_help_names_every_chord_and_voice(capsys):
    from drillapp.sound import CHORDS, VOICES

    assert main(["sound", "--help"]) == 0
    words = capsys.readouterr().out.replace(",", " ").split()
    assert not {*CHORDS, *VOICES} - set(words)
