"""I play ...: one choice, and every widget that is opened afterwards is written for it."""

import platformdirs
import pytest
from small_soundfont import sine_soundfont

from theorykit import TheoryError
from theorykit.notes.reader import LOW_SAXOPHONES, READERS, reader
from theorykit.show.own_reader import own_player, own_reader
from theorykit.widgets import (
    explorer,
    handout_desk,
    i_play,
    identify_notes,
    line_desk,
    phrase_book,
    subset_table,
    substitutions,
    tune_desk,
)


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """A folder for the own files of a reader who has none yet."""
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda *_, **__: str(tmp_path / "own"))
    return tmp_path / "own"


DESKS = [explorer, substitutions, identify_notes, subset_table, line_desk, tune_desk, phrase_book]
each_desk = pytest.mark.parametrize("desk", DESKS, ids=lambda desk: desk.__name__)


@each_desk
def test_a_desk_is_opened_for_what_is_kept_and_can_be_set_to_another(desk):
    assert desk().reader.value == READERS[0]
    i_play("alto saxophone")
    box = desk()
    assert box.reader.value.name == "E flat"
    low = [one.name for one in LOW_SAXOPHONES] if desk is line_desk else []
    assert [one.name for _, one in box.reader.options] == [one.name for one in READERS] + low
    box.reader.value = READERS[1]
    assert desk().reader.value.name == "E flat"  # the setting stays


def test_every_choice_of_the_list_is_kept_and_said():
    box = i_play()
    for text, one in box.reader.options:
        assert one.players in text
        box.reader.value = one
        assert own_player() == one
        assert own_reader() == reader(one.name)  # a bass player reads the bass clef
        assert f"Written for {one.name}." in box.told.value or one == READERS[0]
        assert box.problem.value == ""
    box.reader.value = READERS[0]
    assert own_reader() == READERS[0]
    assert "Written for concert." in box.told.value
    assert i_play("Bb").reader.value.name == "B flat"


def test_what_cannot_be_kept_is_said_where_the_reader_looks(home):
    home.write_text("a file in the way")
    box = i_play()
    box.reader.value = READERS[1]
    assert "cannot keep what you play" in box.problem.value
    assert box.told.value == ""
    with pytest.raises(TheoryError, match="kazoo"):
        i_play("kazoo")


def test_the_desk_for_handouts_ticks_what_is_kept(tmp_path):
    i_play("horn")
    making = handout_desk(path=str(tmp_path / "draft.json")).making
    assert making.ticked["readers"] == ["F"]


def test_the_shortcut_speaks_the_language_of_the_reader():
    i_play("trumpet")
    box = explorer("C", "b9 13")
    assert "Over A7 think F♯ major triad" in box.sentence.value
    assert "your D major sounds in C major" in box.sentence.value
    assert box.player.shown[0].label == "plain A7 (sounds in C major)"
    assert "F♯ over A7, on the way to Dmaj7" in box.table.value
    assert box.view.keyboard.alt.endswith("above it F♯: F♯ (13), B♭ (♭9), C♯ (3).")
    named = identify_notes("F# A# C#", "A7", "D")
    assert "F♯ A♯ C♯ over A7, going to D: 13 ♭9 3." in named.sentence.value
    assert "your A7, going to D, sounds as G7, going to C." in named.sentence.value
    tune = tune_desk("| Dm7 | G7 | C6 | % |")
    assert tune.view.options[0][0].startswith("1   bars 1-3   long ii-V-I to D")
    assert "over A7" in tune.plan.value


def test_a_soundfont_of_ones_own_is_kept_and_said(tmp_path):
    box = i_play()
    assert "The band plays with " in box.sounds.value
    path = sine_soundfont(tmp_path / "mine.sf2", program=66)
    box.soundfont.value = str(path)
    assert "The band plays with mine.sf2 (your own)." in box.sounds.value
    assert i_play().soundfont.value == str(path.resolve())
    box.soundfont.value = str(tmp_path / "none.sf2")
    assert "none.sf2" in box.problem.value
    assert "mine.sf2" in box.sounds.value
    box.soundfont.value = ""
    assert "mine.sf2" not in box.sounds.value
    assert box.problem.value == ""
