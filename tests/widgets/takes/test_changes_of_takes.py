"""Changes to play over: four bars, and changes that are typed, under a line that stays whole."""

from __future__ import annotations

import pytest

from theorykit import KEYS, Line, take_down
from theorykit.notes.degree import Degree, above
from theorykit.widgets import play_in

TEMPO = 120
FOUR = (
    "8th F4 A4 C5 E5 D5 B4 Ab4 F4 | D4 F4 Ab4 B4 quarter D5 B4 | half C5 G4 | quarter E4 G4 half C5"
)


def played(page, text: str) -> Line:
    line, beat = Line.parse(text, page.over), 60 / TEMPO
    rows = [(float(n.start) * beat, float(n.end) * beat - 0.02, n.pitch.midi) for n in line.notes]
    page.put_down(take_down(rows, progression=page.over, tempo=TEMPO, start=0))
    return line


@pytest.fixture
def page(tmp_path):
    return play_in(book=tmp_path / "thursday", path=tmp_path / "drafts")


def test_each_form_says_how_many_bars_it_has(page):
    for label, form in page.form.options:
        page.form.value = form
        assert f"{len(page.player.shown[0].bars)} bars" in label.replace("four", "4")


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_four_bars_are_a_bar_of_ii_and_v_and_two_of_i(page, key):
    page.key.value, page.form.value = str(key), "four bars"
    roots = [one.chord.root.semitone for one in page.over.chords]
    assert roots == [above(key.tonic, Degree(d)).semitone for d in (2, 5, 1, 1)]
    assert [bar.beats for bar in page.over] == [4] * 4


def test_a_phrase_of_four_bars_keeps_its_last_one(page):
    page.form.value = "four bars"
    line = played(page, FOUR)
    assert page.line.text == line.text
    assert "left out" not in page.told.value
    assert len(page.player.shown[0].bars) == 4
    page.key.value = "Db major"
    assert [n.pitch.midi for n in page.line.notes] == [n.pitch.midi + 1 for n in line.notes]
    page.key.value, page.form.value = "C major", "long"
    assert page.line.text == FOUR.rpartition(" | ")[0]
    assert "3 notes after the last bar left out" in page.told.value.lower()


def test_changes_that_are_typed_are_played_over(page):
    page.changes.value = "Am7 D7 | Dm7 G7 | Cmaj7 | Cmaj7 | Em7"
    assert page.form.label == "your own, 5 bars: Am7 D7 | Dm7 G7 | Cmaj7 | Cmaj7 | Em7"
    assert len(page.player.shown[0].bars) == 5
    line = played(page, "whole C5 | D5 | E5 | rest | G4")
    page.changes.value = "Am7 H7"
    assert "want bars such as" in page.problem.value
    assert page.line.text == line.text
    page.key.value = "F major"
    assert page.changes.value == "Dm7 G7 | Gm7 C7 | Fmaj7 | Fmaj7 | Am7"
    page.key.value = "C minor"
    assert page.changes.value == "Dm7 G7 | Gm7 C7 | Fmaj7 | Fmaj7 | Am7"
    page.changes.value = ""
    assert (page.form.value, len(page.over)) == ("long", 3)
    assert page.line.text == "whole F5 | G5 | A5"
    assert "1 note after the last bar left out" in page.told.value


def test_the_chords_are_there_again_with_the_line(tmp_path):
    for changes in ("", "Dm7 | Db7 | Cmaj7"):
        places = {"path": tmp_path / f"drafts {len(changes)}", "book": tmp_path / "thursday"}
        page = play_in(**places)
        page.form.value = "four bars"
        page.changes.value = changes
        line = played(page, "whole F4 | F4 | E4")
        page.mine.write()
        again = play_in(**places)
        assert (again.line.text, again.over) == (line.text, page.over)
        assert (again.form.value, again.changes.value) == ("" if changes else "four bars", changes)


@pytest.mark.parametrize(
    ("changes", "key", "names"),
    [
        ("Abm7 Db7 | Gbmaj7", "Gb major", "8th Ab4 Cb5 Eb5 Gb5 F5 Db5 Cb5 Ab4"),
        ("G#m7 C#7 | F#maj7", "F# major", "8th G#4 B4 D#5 F#5 E#5 C#5 B4 G#4"),
    ],
)
def test_changes_that_come_after_the_take_give_it_their_key_and_its_notes_their_names(
    page, changes, key, names
):
    """Chord tones have the letters of their chord (common practice)."""
    page.form.value = "short"
    sounds = [n.pitch.midi for n in Line.parse(names, page.over).notes]
    rows = [(n * 0.25, n * 0.25 + 0.22, midi) for n, midi in enumerate(sounds)]
    page.put_down(take_down(rows, progression=page.over, tempo=TEMPO, start=0))
    page.changes.value = changes
    assert page.key.value == key
    assert page.line.text.startswith(names)


def test_changes_that_stop_on_v_are_in_the_key_of_its_i(page):
    page.changes.value = "Dm7b5 | G7b9"
    assert page.key.value == "C minor"
