"""Lines lie where the instrument of their reader is at ease, and the page says what was moved."""

from dataclasses import replace

import pytest
from sheets import READY, pdf, ready, sections, text_of
from staves import staff

from theorykit.handout import Edition
from theorykit.handout.blocks import LineBlock, sections_of
from theorykit.handout.front import reader_words
from theorykit.handout.page import Engraver
from theorykit.handout.page.engraver import RANGES, at_ease, octaves_moved, range_words
from theorykit.handout.page.octave_words import octaves_said, said_of
from theorykit.handout.pieces import Para, Section, StaffLabel
from theorykit.notes.reader import READERS, Reader, reader
from theorykit.views.explorer_view import explore

WORDS = "octave lower than in the recordings"

# By hand: what a staff of two notes becomes for a reader, as written. Between the two octaves the
# one that leaves less outside is taken, and where both are as good it stays.
PLACES = [
    ("guitar", "E5 F6", "E4 F5"),
    ("guitar", "E3 A4", "E3 A4"),
    ("F", "B4 C6", "B3 C5"),
    ("F", "G3 G5", "G3 G5"),
    ("B flat", "F#4 G5", "F#4 G5"),
    ("B flat", "E3 G3", "E4 G4"),
    ("E flat", "A4 D6", "A4 D6"),
    ("E flat", "F5 G6", "F4 G5"),
    ("bass clef", "E3 F4", "E3 F4"),
    ("bass clef", "A3 B4", "A2 B3"),
    ("concert", "A5 C7", "A5 C7"),
]


@pytest.mark.parametrize(("who", "given", "wanted"), PLACES)
def test_a_line_is_moved_to_where_it_lies_at_ease(who: str, given: str, wanted: str):
    low, high = given.split()
    view = at_ease(staff(f"{low}:2 {high}:2", bars=1), reader(who))
    assert [str(note.pitch) for note in view.notes] == wanted.split()


def test_a_line_that_was_moved_is_told_where_it_stands():
    who = reader("guitar")
    view = explore("C", reader=who).staff
    assert "notes F6 (♭3), C6 (♭7)" in view.alt
    assert "notes F5 (♭3), C5 (♭7)" in at_ease(view, who).alt


def test_an_empty_staff_and_one_that_lies_well_are_left_as_they_are():
    for who in READERS:
        empty = staff("", bars=2)
        assert at_ease(empty, who) is empty
        assert octaves_moved(empty, who) == 0


def test_each_range_holds_its_easy_part():
    assert set(RANGES) == {one.name for one in READERS} - {"concert"}
    for one in RANGES.values():
        assert one.low.midi <= one.from_.midi < one.to.midi <= one.high.midi
        assert one.to.midi - one.from_.midi > 20  # an octave and a half at least


# The readers for whom the lines of a ready handout lie better in another octave.
MOVED = {
    "one_colour": ("F", "guitar"),
    "six_colours": ("F", "guitar"),
    "a_tune_with_its_lines": ("E flat", "F", "guitar"),
}


@pytest.mark.parametrize("name", READY)
@pytest.mark.parametrize("who", [one.name for one in READERS])
def test_a_page_says_that_its_lines_were_moved(name: str, who: str):
    found = sections(ready(name), who, "normal")
    moved = [way for one in found for way in one.moved]
    text = text_of(pdf(ready(name), Edition(who)))
    assert (WORDS in text) == any(moved)
    assert any(moved) == (who in MOVED[name])
    for one in found:
        assert one.moved == () or len(one.moved) == len(one.scores)
        assert range_words([view for _, view in one.scores], reader(who)) == ""


def test_a_page_tells_all_lines_at_once_and_some_where_they_stand():
    """That some lines are lower said nothing to those who play one of them."""
    horn, bass = reader("F"), reader("bass clef")

    def sheet(*moved: int) -> list[Section]:
        return [Section("", (StaffLabel("x"),), moved=(way,)) for way in moved]

    def told(who: Reader, *moved: int) -> list[str]:
        return [one.pieces[0].text for one in octaves_said(who, sheet(*moved))]

    for who in (horn, bass):
        assert said_of(who, sheet()) == said_of(who, sheet(0, 0)) == reader_words(who)
        assert told(who, 0, 0) == told(who, -1, -1) == ["x", "x"]
    assert said_of(horn, sheet(-1, -1)).endswith(
        "The lines are an octave lower than in the recordings."
    )
    assert said_of(horn, sheet(-1, 0)) == reader_words(horn)
    assert told(horn, -1, 0) == ["This line is an octave lower than in the recordings.", "x"]
    assert told(horn, 0, 1) == ["x", "This line is an octave higher than in the recordings."]
    assert said_of(bass, sheet(-1, -1)).endswith("sounding, two octaves below the concert page.")
    assert said_of(bass, sheet(-1, 0)).endswith("concert page where nothing else is said.")
    assert told(bass, -1, 0) == ["This line is two octaves below the concert page.", "x"]
    assert told(bass, 0, 1) == ["x", "This line is as high as the concert page."]


def test_what_the_bass_clef_says_of_its_octaves_is_where_the_notes_are():
    """A chorus stood two octaves below the concert page, under a head that said one.

    The octave is measured on the staves themselves, beside those of the concert page.
    """
    low = LineBlock(line="half D4 B3 | whole C4", key="C", form="short")
    high = replace(low, line="half D6 C6 | whole B5")
    who, concert = reader("bass clef"), Engraver()
    shown = sections_of((low, high), Engraver(who))
    plain = sections_of((low, high), concert)
    away = []
    for one, other in zip(shown, plain, strict=True):
        (_, mine), (_, theirs) = *one.scores, *other.scores
        away.append((theirs.notes[0].pitch.midi - mine.notes[0].pitch.midi) // 12)
    assert away == [1, 2]
    told = octaves_said(who, shown)
    said = [
        [p.text for p in one.pieces if isinstance(p, Para) and "octaves" in p.text] for one in told
    ]
    assert said == [[], ["This line is two octaves below the concert page."]]
