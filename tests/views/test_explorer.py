"""The explorer as a view: what is offered to think of, and one account of where notes go."""

import pytest
from sweeps import keys

from theorykit import COLOURS, KEYS, Degree, resolve
from theorykit.views.explorer_view import explore

each_key = pytest.mark.parametrize("key", KEYS, ids=str)
THIRD = Degree(3).semitone


@each_key
def test_no_scale_without_the_third_of_v_is_offered_and_no_set_of_notes_twice(key):
    """But where the colour suspends the 3rd: Sabatella has phrygian for 7susb9."""
    for row in COLOURS:
        options = explore(key, "long", row).options
        sets = [frozenset(one.semitones) for one in options]
        assert len(set(sets)) == len(sets), row
        suspended = Degree(11) in row.degrees and Degree(3) not in row.degrees
        for one in options:
            if one.row.family == "scale" and not suspended:
                assert THIRD in one.semitones, (row, one.shape)


def test_the_best_name_of_a_set_of_notes_is_the_one_that_is_kept():
    names = [one.shape for one in explore("C", "long", "b9 b13").options]
    assert "Fm7b5" in names
    assert "Abm6" not in names
    altered = [one.shape for one in explore("C", "long", "altered").options]
    assert altered[0] == "Ab melodic minor"
    assert "G altered" not in altered


@pytest.mark.parametrize("key", keys(), ids=str)
def test_table_and_summary_tell_one_story(key):
    """A note of the colour goes in the table where it goes in the count of pulls."""
    for row in COLOURS:
        count = len(explore(key, "long", row).options)
        for choice in range(0, count, 4):
            view = explore(key, "long", row, choice=choice)
            moves = {move.degree.semitone: move.words for move in view.resolution.moves}
            for line in view.rows:
                assert line.move == moves.get(line.degree.semitone, line.move)


@pytest.mark.parametrize("row", COLOURS, ids=str)
def test_the_explorer_counts_what_chapter_four_counts(row):
    """The chapter resolves to C and the explorer to Cmaj7; only a suspension tells them apart."""
    here, there = explore("C", "long", row).resolution, resolve("G7", row, "C")
    suspended = Degree(11) in row.degrees and Degree(3) not in row.degrees
    assert here.added_pulls - there.added_pulls == suspended


def test_the_sharp_nine_is_no_pull_anywhere():
    for key in ("C", "C minor", "F# minor", "Db"):
        view = explore(key, "long", "#9")
        assert view.summary.endswith("this colour adds no half-step pull.")
        (nine,) = [line.move for line in view.rows if line.degree == Degree(9, 1)]
        assert nine.startswith("♯9 falls through ♭9 to the 5th of ")


def test_by_shape_the_chord_keeps_its_own_names_and_a_clash_tells_both():
    """D7 has an F sharp, whatever the shape above it calls that key (common practice)."""
    view = explore("G minor", "long", "altered", spelling="by shape")
    assert view.keyboard.alt.startswith("Keyboard: D7 is D, F♯, A, C; above it ")
    assert "G♭ (3)" in view.keyboard.alt
    clashing = explore("Cb", "long", "minor's own", spelling="by shape")
    row = next(row for row in clashing.rows if row.clash)
    assert (row.note.pretty, row.clash) == (
        "B",
        "the 11, B (C♭), rubs against the 3rd, B♭",
    )
    plain = explore("Cb", "long", "minor's own")
    assert plain.rows[0].clash == "the 11, C♭, rubs against the 3rd, B♭"
