"""A chord from its root on the keyboard, and other notes above it."""

from __future__ import annotations

import pytest

from theorykit.harmony.tensions import degrees_over
from theorykit.notes.chord import Chord
from theorykit.notes.note import Note
from theorykit.views.keyboard import KeyNote, is_white, stacked_keys

ROOTS = "C Db D Eb E F F# G Ab A Bb B".split()


def notes_over(chord: Chord, text: str) -> list[KeyNote]:
    """Notes with their degrees over a chord."""
    notes = [Note.parse(name) for name in text.split()]
    return list(map(KeyNote, notes, degrees_over(chord, notes)))


@pytest.mark.parametrize("root", ROOTS)
def test_the_notes_lie_above_the_chord_and_the_keyboard_begins_and_ends_on_white_keys(root):
    chord = Chord.parse(f"{root}7")
    view = stacked_keys(chord, notes_over(chord, "E Ab B"), "words")
    plain = [lit.midi for lit in view.lit if not lit.ringed]
    ringed = [lit.midi for lit in view.lit if lit.ringed]
    assert plain[0] % 12 == chord.root.semitone
    assert max(plain) < min(ringed)
    assert [midi % 12 for midi in ringed] == [4, 8, 11]
    assert max(ringed) - max(plain) <= 19
    assert is_white(view.low)
    assert is_white(view.high)
    assert view.low <= plain[0]
    assert max(ringed) <= view.high
    assert view.alt == "words"


def test_a_note_of_the_chord_a_colour_and_a_rubbing_note_have_their_roles():
    chord = Chord.parse("G7")
    third, ninth = notes_over(chord, "B Ab")
    rubbing = KeyNote(Note.parse("F#"), degrees_over(chord, "F#")[0], rubs=True)
    view = stacked_keys(chord, [third, ninth, rubbing], "")
    assert [lit.role for lit in view.lit if lit.ringed] == ["chord", "colour", "outside"]
