"""From one desk to the next by one click, and what is said when files are made."""

from __future__ import annotations

from pathlib import Path

import pytest

from theorykit.show.own_reader import own_files_in
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import handout_desk, line_desk, tune_desk

CHART = "title: Wet Gloves\nkey: {0}\n\n| {1} | {2} | {3} | % |\n"
OTHER = 'title = "{0}"\ndate = {1}\n\n[[block]]\nkind = "colour"\ncolour = "{2}"\nkey = "{3}"\n'


@pytest.fixture(autouse=True)
def own(tmp_path: Path):
    with own_files_in(tmp_path / "own"):
        yield


@pytest.fixture
def desks(tmp_path: Path):
    tunes, lines = tune_desk("| C6 |"), line_desk("F", book=tmp_path / "book.sqlite")
    path = tmp_path / "drafts.sqlite"
    return tunes, lines, handout_desk(lines=lines, tunes=tunes, path=path)


# By hand: ii, V and I of each key, and the key that the cadence leads to.
@pytest.mark.parametrize(
    ("chords", "key"),
    [
        (("C", "Dm7", "G7", "Cmaj7"), "C"),
        (("Db", "Ebm7", "Ab7", "Dbmaj7"), "Db"),
        (("F#", "G#m7", "C#7", "F#maj7"), "F#"),
        (("Bb minor", "Cm7b5", "F7", "Bbm6"), "Bb minor"),
    ],
)
def test_a_cadence_becomes_a_colour_on_the_handout(desks, chords, key):
    tunes, _, sheet = desks
    tunes.text.value = CHART.format(*chords)
    tunes.colouring.cadences.value = 1
    wanted = tunes.colouring.colour.value
    tunes.sending.buttons["put the cadence on the handout"].click()
    assert tunes.sending.problem.value == ""
    (block,) = sheet.handout.blocks
    assert (block.kind, block.colour, block.key) == ("colour", wanted, key)
    assert "It is block 1 of the handout" in tunes.sending.told.value


def test_a_tune_that_is_there_is_brought_up_to_date_in_its_place(desks):
    tunes, lines, sheet = desks
    send = tunes.sending.buttons["put the tune on the handout"]
    tunes.text.value = CHART.format("C", "Dm7", "G7", "Cmaj7")
    send.click()
    sheet.filling.form.fields["lines"].value = "guide tones"
    lines.text.value = "8th D Bb G F E G Bb Db | whole C"
    lines.sending.buttons["put it on the handout"].click()
    tunes.text.value = CHART.format("C", "Dm7 Ab7", "G7", "Cmaj7")
    tunes.playing.seed.value = 7
    send.click()
    assert tunes.sending.problem.value == ""
    assert [block.kind for block in sheet.handout.blocks] == ["tune", "line"]
    tune = sheet.handout.blocks[0]
    assert "Dm7 Ab7" in tune.chart
    assert (tune.seed, tune.lines) == (7, "guide tones")
    assert "This tune was there already: block 1" in tunes.sending.told.value
    assert sheet.blocks.value == 0
    assert sheet.filling.form.fields["seed"].value == "7"
    tunes.text.value = CHART.format("F", "Gm7", "C7", "F6").replace("Wet Gloves", "Two Stops")
    send.click()
    assert [block.kind for block in sheet.handout.blocks] == ["tune", "tune", "line"]


# By hand: a melody in each key, its last note the 3rd of I.
@pytest.mark.parametrize(
    ("chords", "melody"),
    [
        (("C", "Dm7", "G7", "Cmaj7"), "half F4 A4 | whole B4 | E4"),
        (("Db", "Ebm7", "Ab7", "Dbmaj7"), "half Gb4 Bb4 | whole C5 | F4"),
        (("F#", "G#m7", "C#7", "F#maj7"), "half B4 D#5 | whole E#5 | A#4"),
        (("Bb minor", "Cm7b5", "F7", "Bbm6"), "quarter Eb4 Gb4 half Bb4 | whole A4 | Db5"),
    ],
)
def test_the_melody_of_a_tune_becomes_the_line_on_the_desk(desks, chords, melody):
    tunes, lines, sheet = desks
    lines.text.value = "8th D5 Bb4"
    tunes.take(CHART.format(*chords).replace("key:", "tempo: 88\nkey:"), melody)
    tunes.sending.buttons["put the melody on the desk for lines"].click()
    assert tunes.sending.problem.value == ""
    assert "The melody of Wet Gloves is on the desk for lines" in tunes.sending.told.value
    assert lines.text.value == melody
    assert [str(one.chord) for one in lines.over.chords][:3] == list(chords[1:])
    assert lines.hearing.tempo.value == 88
    lines.sending.buttons["put it on the handout"].click()
    (block,) = sheet.handout.blocks
    assert (block.kind, block.line) == ("line", melody)
    rows = [label for label, _ in lines.mine.list.options]
    assert any("8th D5 Bb4" in label for label in rows)  # what was there is in the list


def test_a_whole_melody_with_a_pickup_and_repeats_stands_each_bar_once(desks):
    tunes, lines, _ = desks
    text = "key: Eb\n\n|: Fm7 | Bb7 | Ebmaj7 | C7 :|\n" + "| Fm7 | Bb7 | Ebmaj7 | % |\n" * 7
    tunes.take(text, "pickup quarter Bb4 | half C5 Ab4 | whole G4 | whole G4 | whole Bb4")
    tunes.sending.buttons["put the melody on the desk for lines"].click()
    assert tunes.sending.problem.value == ""
    assert len(lines.over.bars) == 32
    assert lines.whole.line.notes[0].start == -1
    assert lines.problem.value == ""


def test_a_tune_without_a_melody_says_what_is_wanted(desks):
    tunes, lines, _ = desks
    lines.text.value = "8th D5"
    tunes.sending.buttons["put the melody on the desk for lines"].click()
    assert "has no melody" in tunes.sending.problem.value
    assert lines.text.value == "8th D5"


def test_without_a_cadence_it_says_what_is_wanted(desks):
    tunes, _, sheet = desks
    tunes.sending.buttons["put the cadence on the handout"].click()
    assert "no cadence is chosen" in tunes.sending.problem.value
    assert sheet.handout.blocks == ()


def test_a_line_goes_into_the_book_and_onto_the_handout_after_the_tune(desks, tmp_path):
    tunes, lines, sheet = desks
    tunes.sending.buttons["put the tune on the handout"].click()
    lines.text.value = "8th D Bb G F E G Bb Db | whole C"
    for name in ("put it on the handout", "keep it in the book", "keep it in the book"):
        lines.sending.buttons[name].click()
        assert lines.sending.problem.value == ""
    assert [block.kind for block in sheet.handout.blocks] == ["tune", "line"]
    assert sheet.handout.blocks[1].line == "8th D5 Bb4 G4 F4 E4 G4 Bb4 Db5 | whole C5"
    names = PhraseBook(tmp_path / "book.sqlite").names
    assert len(names) == 2
    assert names[1] == f"{names[0]} (2)"
    assert names[0].endswith(" in F")


def test_a_line_that_is_kept_can_be_taken_at_once_on_the_desk_for_handouts(tmp_path):
    lines = line_desk("Db")
    sheet = handout_desk(lines=lines, path=tmp_path / "drafts.sqlite")
    assert sheet.filling.sources.phrase.value == ""
    lines.text.value = "8th Gb4 F4 Eb4 Db4 C4 Bb3 Ab3 F3 | whole Eb4 | F4"
    lines.sending.buttons["keep it in the book"].click()
    assert sheet.filling.sources.phrase.value == "a line in Db"


def test_what_was_said_of_a_line_or_a_tune_goes_with_it(desks):
    """It stayed under a line that is on no handout."""
    tunes, lines, _ = desks
    put_on = lines.sending.buttons["put it on the handout"]
    for change in (lines.mine.new.click, lambda: setattr(lines.text, "value", "whole C5")):
        lines.text.value = "8th D5 Bb4 G4 F4 E4 G4 Bb4 Db5 | whole C5"
        put_on.click()
        assert "It is block" in lines.sending.told.value
        change()
        assert lines.sending.told.value == ""
    lines.text.value = "half"
    put_on.click()
    assert lines.sending.problem.value != ""
    lines.text.value = "half D5"
    assert lines.sending.problem.value == ""
    send = tunes.sending.buttons["put the tune on the handout"]
    for change in (tunes.mine.new.click, lambda: setattr(tunes.text, "value", "| F6 | % |")):
        tunes.text.value = CHART.format("C", "Dm7", "G7", "Cmaj7")
        send.click()
        assert "block 3 of the handout" in tunes.sending.told.value
        change()
        assert tunes.sending.told.value == ""


def test_an_empty_line_goes_nowhere(desks, tmp_path):
    _, lines, sheet = desks
    for name in ("put it on the handout", "keep it in the book"):
        lines.sending.buttons[name].click()
        assert "the desk for lines is empty" in lines.sending.problem.value
    assert sheet.handout.blocks == ()
    assert not (tmp_path / "book.sqlite").exists()


def test_making_ends_in_links_and_in_what_is_new(desks, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    sheet = desks[2]
    sheet.text.value = OTHER.format("One colour", "2026-11-19", "b9", "F")
    sheet.mine.new.click()
    sheet.text.value = OTHER.format("Two & more", "2026-11-26", "altered", "Db")
    sheet.making.folder.value = "made here"
    sheet.making.make.click()
    sheet.making.wait()
    assert sheet.making.problem.value == ""
    said = "New since One colour of 19 Nov 2026: colours altered; keys D♭."
    assert said in sheet.making.told.value
    names = [name for name, _, _ in sheet.making.links.files]
    assert "Two more - concert - student - A4.pdf" in names
    sheet.text.value += "\n"
    assert sheet.making.links.files == []
