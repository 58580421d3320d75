"""What the reader plays: kept on disk, the default of cells and handouts, overridden anywhere."""

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import platformdirs
import pytest

from theorykit import Chart, TheoryError, demonstration, shortcuts, write_chorus
from theorykit.handout import Handout
from theorykit.notes.reader import BASSIST, READERS, reader
from theorykit.show.cells import hear, see, see_clock, see_keys, see_reading
from theorykit.show.own_reader import (
    fingerboard_for,
    keep_reader,
    own_folder,
    own_player,
    own_reader,
    reader_or_own,
)
from theorykit.show.tune_cells import see_cadence, see_chorus, see_tune
from theorykit.views.explorer_view import explore


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A folder for the own files of a reader who has none yet."""
    folder = tmp_path / "a" / "b"
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda *_, **__: str(folder))
    return folder


def test_what_is_kept_is_read_again(home):
    assert own_folder() == home
    assert own_reader() == READERS[0]
    assert not home.exists()  # looking makes nothing
    assert keep_reader("alto sax").name == "E flat"
    assert own_reader().name == "E flat"
    assert reader_or_own(None).name == "E flat"
    assert reader_or_own("guitar").name == "guitar"
    keep_reader("concert")
    assert own_reader() == READERS[0]
    assert [file.name for file in home.iterdir()] == ["reader.txt"]


@pytest.mark.parametrize("kept", [b"", b"kazoo\n", b"\xff\xfe\x00", b"B flat" * 1000])
def test_a_file_that_says_nothing_is_concert_pitch(home, kept):
    home.mkdir(parents=True)
    (home / "reader.txt").write_bytes(kept)
    assert own_reader() == READERS[0]


def test_two_notebooks_keep_a_reader_at_once(home, monkeypatch):
    """They once wrote beside the file under one name, and one took it from the other."""
    parts = []
    replace = os.replace

    def moved(beside, file):
        parts.append(Path(beside).name)
        if len(parts) == 1:
            with ThreadPoolExecutor(1) as other:
                other.submit(keep_reader, "alto sax").result()
        replace(beside, file)

    monkeypatch.setattr("theorykit.show.files.saving.os.replace", moved)
    assert keep_reader("trumpet").name == "B flat"
    assert own_reader().name == "B flat"
    assert len(set(parts)) == 2
    assert [file.name for file in home.iterdir()] == ["reader.txt"]


def test_what_cannot_be_kept_is_said(home):
    home.parent.mkdir()
    home.write_text("a file in the way")
    with pytest.raises(TheoryError, match="cannot keep what you play in "):
        keep_reader("trumpet")
    with pytest.raises(TheoryError, match="no such reader: 'kazoo'"):
        keep_reader("kazoo")
    assert own_reader() == READERS[0]


def test_every_cell_that_names_notes_is_written_for_the_reader_or_says_that_it_is_not(home):
    line, best = demonstration("C", "long", "b9 13"), shortcuts("G7", "b9 13")[0]
    chart = Chart.of("C", "C6", "Dm7", "G7", "C6")
    chorus = write_chorus(chart)
    concert = "At concert pitch"
    assert concert not in hear(line).html
    keep_reader("trumpet")
    assert "chords Em7, A7, Dmaj7" in repr(see(line))
    assert "your D major sounds in C major" in see(line).html
    assert repr(see_keys(best)).startswith("Keyboard: A7 is A, C♯, E, G; above it F♯: F♯ (13)")
    assert "your A7 sounds as G7" in see_keys(best).html
    assert "Over A7" in repr(see_reading(line, "b9 13"))
    assert "in D major" in repr(see_chorus(chorus))
    assert "Em7, A7" in repr(see_cadence(chorus, 1))
    assert "to D" in repr(see_tune(chart))
    for shown in (hear(line), see_clock("G7", "b9")):
        assert concert in shown.html
    assert "chords Dm7, G7, Cmaj7" in repr(see(line, written_for="concert"))
    assert "sounds in" not in see(line, written_for="concert").html
    assert repr(see_keys(best, written_for="flute")).startswith("Keyboard: G7")


def test_a_handout_is_made_for_what_the_reader_plays(home, tmp_path):
    handout = Handout("Warm-up")

    def names(**wishes: object) -> list[str]:
        return [file.name for file in handout.work(tmp_path, files="text", **wishes).files]

    assert names() == ["Warm-up.toml"]
    keep_reader("tenor saxophone")
    made = handout.work(tmp_path, files="pages").files
    assert [file.name for file in made] == ["Warm-up - B flat - student - A4.pdf"]
    made = handout.work(tmp_path, "horn in F, teacher", "pages").files
    assert [file.name for file in made] == ["Warm-up - F - teacher - A4.pdf"]


@pytest.mark.parametrize("name", ["bass", "double bass", "Electric Bass", BASSIST])
def test_a_bass_player_reads_the_bass_clef_and_has_a_fingerboard(home, name):
    keyboard = explore("Db").keyboard
    assert keep_reader(name).name == "bass clef"
    assert own_reader() == reader("bass clef")
    assert own_player() == BASSIST
    assert fingerboard_for(own_reader(), keyboard).tuning.instrument == "bass"
    keep_reader("trombone")
    assert own_player() == own_reader() == reader("bass clef")
    assert fingerboard_for(own_reader(), keyboard) is None


def test_a_guitar_has_a_fingerboard_and_a_trumpet_has_none(home):
    keyboard = explore("Bb minor", "long", "altered").keyboard
    assert fingerboard_for(reader("guitar"), keyboard).tuning.instrument == "guitar"
    assert [fingerboard_for(who, keyboard) for who in READERS if who.name != "guitar"] == [None] * 5


def test_a_chapter_shows_the_fingerboard_to_who_has_one(home):
    best = shortcuts("A♭7", "b9 13")[0]
    keyboard_alone = see_keys(best).html
    assert "Fingerboard" not in keyboard_alone
    keep_reader("electric bass")
    both = see_keys(best)
    assert "Fingerboard of a bass tuned E, A, D, G." in both.html
    assert "Fingerboard of a bass tuned E, A, D, G." in both.words
    assert "Fingerboard of a guitar" in see_keys(best, written_for="guitar").html
