"""What the desk for tunes shows of a tune, of one cadence, of a chorus."""

from __future__ import annotations

import pytest
from house import ROOT
from sweeps import some_and_all

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.substitution import NAMES
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.reader import reader
from theorykit.tunes.treatments import Treatment
from theorykit.views.keyboard import plain_keyboard
from theorykit.views.tune import (
    ChorusWishes,
    TuneDraft,
    cadence_takes,
    cadence_view,
    chorus_view,
    tune_view,
)

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))


def opened(name: str, proposal: str = "first") -> TuneDraft:
    """A tune of the workshop on the desk."""
    text = (ROOT / "workbook" / "tunes" / f"{name}.txt").read_text(encoding="utf-8")
    return TuneDraft().typed(text).proposed(proposal, 2)


@pytest.mark.parametrize(
    ("bars", "told"),
    # What each V is heard as, and is written as (common practice).
    [
        ("Dm7 | Dm7/G | C6 | %", "write Dm7/G as G9sus4"),
        ("Ebm7 | Gb/Ab | Dbmaj7 | %", "write G♭/A♭ as A♭9sus4"),
        ("Dm7b5 | Dm7b5/G | Cm6 | %", "write Dm7♭5/G as G7sus4♭9"),
        ("Dm7b5 | Bdim7/G | Cm6 | %", "write Bdim7/G as G7♭9"),
        ("G#m7 | C#aug | F#6 | %", "write C♯aug as C♯7♯5"),
        ("Dm7 | G | C | %", "write G as G7"),
    ],
)
def test_a_v_without_a_choice_says_how_it_would_get_one(bars: str, told: str):
    state = TuneDraft().typed(f"| {bars} |").proposed("first", 2)
    view = tune_view(state)
    (mark,) = view.grid.marks
    found = cadence_view(state, view, 1)
    assert found.sentence.endswith(f"A colour wants a dominant seventh: {told} to give it one.")
    with pytest.raises(TheoryError, match="such as G9sus4 for Dm7/G"):
        state.chosen(mark, colour="b9")
    written, new = told.replace("♭", "b").replace("♯", "#").removeprefix("write ").split(" as ")
    state = TuneDraft().typed(f"| {bars} |".replace(f"| {written} |", f"| {new} |"))
    assert tune_view(state.proposed("first", 2)).grid.marks[0].dominant is not None


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_every_cadence_can_be_seen_close_up(file):
    state = opened(file.stem, "second")
    view = tune_view(state)
    assert len(view.options) == len(view.grid.marks) == len(view.plan)
    for mark in view.grid.marks:
        found = cadence_view(state, view, mark.number)
        assert found.sentence in view.plan
        assert found.line.notes
        assert found.staff.alt.startswith(f"{len(found.line.progression.bars)} bar")
        best = shortcuts(mark.dominant.chord, found.choice.colour, mark.dominant.target)[0]
        ringed = {key.midi % 12 for key in found.keyboard.lit if key.ringed}
        assert ringed == {note.semitone for note in best.function_notes}


def test_without_a_colour_the_keyboard_has_the_chord_alone():
    state = opened("nine_borrowed_stands", "as written")
    found = cadence_view(state, tune_view(state), 1)
    assert not any(key.ringed for key in found.keyboard.lit)
    assert found.sentence == "bars 3-5: the long ii-V to D♭; play A♭7 as it is written."


def test_a_substitute_is_on_the_keyboard_in_the_place_of_v():
    state = opened("nine_borrowed_stands", "as written")
    view = tune_view(state)
    state = state.chosen(view.mark(1), substitute="tritone substitute")
    found = cadence_view(state, tune_view(state), 1)
    assert [key.name for key in found.keyboard.lit] == ["D", "F♯", "A", "C"]
    assert "D7" in str(found.line.progression)


@pytest.mark.parametrize("name", ["nine_borrowed_stands", "umbrella_in_the_hall"])
@pytest.mark.parametrize("rows", some_and_all(COLOURS[::4], COLOURS))
def test_every_colour_over_a_long_and_a_short_cadence(name, rows):
    state = opened(name, "as written")
    mark = tune_view(state).mark(1)
    for row in rows:
        changed = state.chosen(mark, colour=row.name)
        assert cadence_view(changed, tune_view(changed), 1).choice.colour == row.name


@pytest.mark.parametrize("name", ["nine_borrowed_stands", "umbrella_in_the_hall"])
@pytest.mark.parametrize("substitutes", some_and_all(NAMES[::4], NAMES))
def test_every_substitute_over_a_long_and_a_short_cadence(name, substitutes):
    state = opened(name, "as written")
    mark = tune_view(state).mark(1)
    for substitute in substitutes:
        changed = state.chosen(mark, substitute=substitute)
        found = cadence_view(changed, tune_view(changed), 1)
        assert substitute in tune_view(changed).options[0][0]
        assert found.keyboard.lit


def test_the_staff_is_written_for_its_reader_and_the_line_stays():
    state = opened("nine_borrowed_stands")
    view = tune_view(state)
    concert = cadence_view(state, view, 1)
    alto = cadence_view(state, tune_view(state, reader=reader("E flat")), 1)
    assert concert.line == alto.line
    assert str(alto.staff.key) == "Bb major"


def test_what_is_not_there_is_not_shown():
    assert tune_view(TuneDraft()) is None
    state = opened("nine_borrowed_stands")
    assert cadence_view(state, tune_view(state), 99) is None
    assert tune_view(state).number_at((99, 1)) == 0


def test_players_as_written_and_with_the_colour():
    state = opened("nine_borrowed_stands")
    view = tune_view(state)
    found = cadence_view(state, view, 1)
    plain, coloured = cadence_takes(state, view, found, tempo=120, swing=None)
    assert plain.label == "bars 3-5, ii-V-I D♭, long, as written"
    assert coloured.label == "bars 3-5, ii-V-I D♭, long, with split, ♭9 13"
    assert plain.performance.beats == coloured.performance.beats == 16
    assert plain.performance != coloured.performance
    bare = opened("nine_borrowed_stands", "as written")
    view = tune_view(bare)
    only = cadence_takes(bare, view, cadence_view(bare, view, 1), tempo=120, swing=None)
    assert [take.label for take in only] == ["bars 3-5, ii-V-I D♭, long, as written"]


def test_a_chorus_on_the_desk_says_what_it_is():
    chart = opened("four_bus_stops").chart
    treatment = Treatment.proposed(chart)
    view = chorus_view(chart, treatment, ChorusWishes(choruses=2))
    assert view.label == "Four Bus Stops, 2 choruses"
    assert view.performance.beats == 4 * (1 + 20 + 20 + 1)  # count-in, choruses, the top
    loop = chorus_view(chart, treatment, ChorusWishes(loops=True))
    assert (loop.label, loop.performance.beats) == ("Four Bus Stops, 1 chorus, round and round", 80)
    some = chorus_view(chart, treatment, ChorusWishes(first=9, last=12, tempo=100, swing=1.5))
    assert some.label == "Four Bus Stops, bars 9-12"
    assert (some.performance.beats, some.performance.tempo, some.performance.swing) == (
        20,
        100,
        1.5,
    )
    assert view.without_line == ("line",)
    quiet = chorus_view(chart, treatment, ChorusWishes(silent=("drums",)))
    assert quiet.without_line == ("drums", "line")
    with pytest.raises(TheoryError, match="no such bars"):
        chorus_view(chart, treatment, ChorusWishes(first=12, last=9))


def test_keys_of_a_chord_alone():
    view = plain_keyboard(Chord.parse("F#m7b5"))
    assert [key.name for key in view.lit] == ["F♯", "A", "C", "E"]
    assert view.low <= view.lit[0].midi < view.lit[-1].midi <= view.high
    silent = plain_keyboard(NO_CHORD)
    assert silent.lit == ()
    assert "silent" in silent.alt
    assert plain_keyboard(Chord.parse("C")).alt == "Keyboard: C is C, E, G."
