"""A question and its answer: what is the same, what is not, and where it stands."""

from __future__ import annotations

import pytest

from theorykit import KEYS, Line, TheoryError, two_five_one
from theorykit.notes.reader import LOW_SAXOPHONES, reader
from theorykit.views.played import compared_lines, compared_rounds

OVER = two_five_one("C", "short")
ASKED = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | half E4 rest", OVER)
LATE, EARLY = "come an eighth late", "come an eighth early"
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


def test_notes_that_are_only_added_contradict_nothing():
    more = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | half E4 quarter G4 rest", OVER)
    assert compared_lines(ASKED, more).words == (
        "9 of 9 notes are the same. Besides: bar 2, beat 3: G4 added."
    )
    assert ". Not so: " in compared_lines(ASKED, ANSWERED).words
    assert compared_lines(ASKED, ASKED).words == "9 of 9 notes are the same."


# By hand: three notes over each bar, as asked and then all of them elsewhere.
@pytest.mark.parametrize("key", ["C", "Db", "F#", "B"])
@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("quarter F3 A3 D4 rest | G3 B3 half rest", "are an octave lower"),
        ("quarter F5 A5 D6 rest | G5 B5 half rest", "are an octave higher"),
        ("quarter F6 A6 D7 rest | G6 B6 half rest", "are two octaves higher"),
        ("8th rest F4 rest A4 rest D5 quarter rest | 8th rest G4 rest B4 half rest", LATE),
        (
            "pickup 8th F4 | rest A4 rest D5 quarter rest 8th rest G4 | rest B4 dotted half rest",
            EARLY,
        ),
        ("quarter rest F4 A4 D5 | rest G4 B4 rest | whole rest", "come a quarter late"),
        ("whole rest | quarter F4 A4 D5 rest | G4 B4 half rest", "come a bar late"),
        ("quarter rest F3 A3 D4 | rest G3 B3 rest", "are an octave lower and come a quarter late"),
        ("quarter F3 A3 D4 rest | G4 B4 half rest", ""),  # not all
        ("quarter G4 B4 E5 rest | A4 C#5 half rest", ""),  # a whole step off: another line
        ("quarter F3 A3 D4 rest | G3 dotted half rest", ""),  # one is left out
        ("quarter F3 A3 D4 rest | dotted quarter G3 B3 quarter rest", ""),  # one is late
    ],
)
def test_what_is_elsewhere_as_a_whole_is_told_as_a_whole(answer, said, key):
    over = two_five_one("C", "long")
    asked = Line.parse("quarter F4 A4 D5 rest | G4 B4 half rest", over)
    lines = (one.transposed(key) for one in (asked, Line.parse(answer, over)))
    found = compared_lines(*lines)
    assert found.elsewhere == said
    assert (found.words == f"All 5 notes {said}.") == bool(said)


def test_one_note_is_not_all_of_them():
    one, low = (Line.parse(f"whole {note}", OVER) for note in ("F4", "F3"))
    assert compared_lines(one, low).words.startswith("0 of 1 notes are the same. Not so: ")


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
