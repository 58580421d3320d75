"""A recording of the handout and what to listen for: which it is, for every reader and edition."""

from __future__ import annotations

import re
from dataclasses import replace

import html5lib
import pytest
from sheets import pdf, sections, text_of

from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.blocks import ColourBlock, TextBlock
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.listen_block import ListenBlock
from theorykit.handout.blocks.staff_block import StaffBlock
from theorykit.handout.pieces import Lead, Para, Table
from theorykit.notes.reader import READERS

XHTML = "{http://www.w3.org/1999/xhtml}"
THINGS = ("Where does the G7 begin to pull, in bar 1, or in bar 2?", "The last note: E or G?")
LISTEN = ListenBlock(things=THINGS, names=("G7", "E", "G"))
SOUNDING = (
    ColourBlock(colour="♭9 13", form="split", heading="One triad"),
    StaffBlock(heading="Now you: write"),
    GuideToneBlock(key="F"),
)


def handout(*blocks, **wishes) -> Handout:
    return Handout("Thursday", blocks=blocks, **wishes)


def told(*blocks, who: str = "concert") -> tuple[str, ...]:
    """Return what the last of some blocks says above its list."""
    pieces = sections(handout(*blocks), who, "normal")[-1].pieces
    return tuple(one.text for one in pieces if isinstance(one, Lead | Para))


def test_without_a_name_it_is_the_line_of_the_first_block_that_sounds():
    lead, where = told(TextBlock(text="Sit down."), *SOUNDING, LISTEN)
    assert lead == "Recording 1, with the line"
    assert "“01 One triad - with the line” in the folder “sound”" in where
    assert "the player is in this section" in where


@pytest.mark.parametrize(
    ("sound", "example", "file"),
    [
        ("One triad", "plain chord", "01 One triad - plain chord"),
        ("one  TRIAD", "With answer bars", "01 One triad - with answer bars"),
        ("Now you: write", "", "02 Now you write - without the line"),
        ("guide tones in F", "", "03 guide tones in F - with the line from the 3rd"),
        ("", "without the line", "01 One triad - without the line"),
    ],
)
def test_a_recording_is_named_by_its_block_and_its_example(sound, example, file, tmp_path):
    block = replace(LISTEN, sound=sound, example=example)
    _, where = told(block, *SOUNDING, block)
    assert f"“{file}”" in where
    order = handout(block, *SOUNDING).work(tmp_path, files="sound").order
    assert f"sound/{file}.mp3" in order.names  # the page names a file that is made


@pytest.mark.parametrize(
    ("block", "words"),
    [
        (replace(LISTEN, sound="Two triads"), "no such sound in this handout: 'Two triads' (want "),
        (replace(LISTEN, example="backwards"), "no such example of One triad: 'backwards' (want "),
    ],
)
def test_a_recording_that_is_not_there_is_refused_before_anything_is_made(block, words, tmp_path):
    with pytest.raises(TheoryError) as caught:
        handout(*SOUNDING, block).make(tmp_path / "new", progress=False)
    assert words in str(caught.value)
    assert "One triad" in str(caught.value)
    assert not (tmp_path / "new").exists()


def test_where_nothing_sounds_the_list_stands_alone():
    (section,) = sections(handout(LISTEN), "concert", "normal")
    assert [type(piece) for piece in section.pieces] == [Table]
    with pytest.raises(TheoryError, match="want a block that sounds"):
        sections(handout(replace(LISTEN, sound="x")), "concert", "normal")


def test_the_list_is_numbered_has_boxes_and_is_moved_for_the_reader():
    for who, chord, notes in (("concert", "G7", ("E", "G")), ("B flat", "A7", ("F♯", "A"))):
        section = sections(handout(*SOUNDING, LISTEN), who, "normal")[-1]
        (table,) = (piece for piece in section.pieces if isinstance(piece, Table))
        assert [row[0] for row in table.rows] == ["1", "2"]
        assert {row[2] for row in table.rows} == {"☐"}
        assert table.rows[0][1] == f"Where does the {chord} begin to pull, in bar 1, or in bar 2?"
        assert table.rows[1][1] == f"The last note: {notes[0]} or {notes[1]}?"


@pytest.mark.parametrize("who", [one.name for one in READERS])
def test_who_reads_another_pitch_is_told_that_the_recording_is_in_concert_pitch(who):
    _, where = told(*SOUNDING, LISTEN, who=who)
    assert ("in concert pitch" in where) == (who in ("B flat", "E flat", "F"))


@pytest.mark.parametrize("edition", EVERYONE, ids=str)
def test_every_edition_prints_the_whole_list(edition: Edition):
    text = text_of(pdf(handout(SOUNDING[1], LISTEN), edition))
    assert "Recording 1, without the line" in text
    assert "01 Now you write - without the line" in text
    for thing in ("1 Where does the", "2 The last note:"):
        assert thing in text


def test_on_the_web_page_the_player_stands_beside_it(tmp_path):
    made = handout(SOUNDING[1], LISTEN).make(tmp_path, files="web page", progress=False)
    text = made[0].read_text(encoding="utf-8")
    root = html5lib.HTMLParser(strict=True).parse(text)
    first, second = root.iter(f"{XHTML}section")
    players = [one for section in (first, second) for one in section.iter(f"{XHTML}audio")]
    assert [len(list(section.iter(f"{XHTML}audio"))) for section in (first, second)] == [1, 1]
    assert players[1].get("aria-label") == "01 Now you write - without the line"
    assert players[0].get("src") == players[1].get("src")
    assert re.search(r"<h2>Listen</h2>", text)


@pytest.mark.parametrize(
    ("things", "words"),
    [
        ((), "no such number of things: 0 (want 1 to 5)"),
        (("a",) * 6, "no such number of things: 6 (want 1 to 5)"),
        (("a", " "), "one of the things is empty"),
        (("a\nb",), "one of the things has a line break"),
        (("a" * 201,), "one of the things is too long"),
    ],
)
def test_a_list_for_no_one_hearing_is_refused(things, words):
    with pytest.raises(TheoryError) as caught:
        ListenBlock(things=things)
    assert words in str(caught.value)
