"""A question and its answer: what is the same, what is not, and where it stands."""

from __future__ import annotations

import pytest

from theorykit import KEYS, Line, TheoryError, two_five_one
from theorykit.notes.reader import LOW_SAXOPHONES, reader
from theorykit.views.played import compared_lines, compared_rounds

OVER = two_five_one("C", "short")
ASKED = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | half E4 rest", OVER)
# By hand: another third note, the sixth left out, one more at the end, the last one held longer.
ANSWERED = Line.parse("8th F4 A4 D5 E5 D5 rest Ab4 F4 | half E4 quarter G4 E4", OVER)


def test_what_differs_is_told_with_its_place_and_marked_on_both_staves():
    found = compared_lines(ASKED, ANSWERED)
    assert (found.same, found.asked) == (7, 9)
    assert found.differences == (
        *("bar 1, beat 2: D5 for C5", "bar 1, the and of 3: B4 left out"),
        *("bar 2, beat 3: G4 added", "bar 2, beat 4: E4 added"),
    )
    assert [n.labels for n in found.first.notes if n.mark] == [("other",), ("left out",)]
    assert [n.labels for n in found.second.notes if n.mark] == [("other",), ("added",), ("added",)]


@pytest.mark.parametrize("key", KEYS, ids=str)
@pytest.mark.parametrize("who", [*map(reader, ("concert", "B flat", "E flat")), LOW_SAXOPHONES[0]])
def test_the_same_is_the_same_on_every_page(key, who):
    """However it is spelled: what sounds is compared, what is printed is told."""
    if key.mode != "major":
        return
    asked, answered = ASKED.transposed(key), ANSWERED.transposed(key)
    found = compared_lines(asked, answered, reader=who)
    assert found.same == 7
    assert compared_lines(asked, asked, reader=who).differences == ()
    page = asked.written_for(who)
    assert page.notes[2].pitch.pretty in found.differences[0]
    assert [n.pitch for n in found.first.notes] == [n.pitch for n in page.notes]


def test_a_note_held_longer_is_no_other_note_and_a_late_one_is():
    held = Line.parse("half F4 F4 | half E4 rest", OVER)
    assert not compared_lines(
        held, Line.parse("half F4 quarter F4 rest | whole E4", OVER)
    ).differences
    late = compared_lines(held, Line.parse("half F4 F4 | 8th rest E4 half rest quarter rest", OVER))
    assert (late.same, len(late.differences)) == (2, 2)


def test_rounds_are_beside_the_question_or_else_beside_the_first_one():
    names = [name for name, _ in compared_rounds(None, [None, ASKED, ANSWERED, None, ASKED])]
    assert names == ["round 2 and round 3", "round 2 and round 5"]
    assert [name for name, _ in compared_rounds(ASKED, [ANSWERED])] == [
        "the question and your answer"
    ]
    assert compared_rounds(None, [ASKED]) == compared_rounds(ASKED, [None]) == ()


def test_lines_over_other_chords_are_not_compared():
    other = Line(two_five_one("F", "short"), ())
    with pytest.raises(TheoryError, match="want both over the same chords"):
        compared_lines(ASKED, other)
