"""Half steps that fall, as a musician writes them."""

from dataclasses import replace

import pytest
from staves import staff
from sweeps import some_and_all

from theorykit.lines.chorus import write_chorus
from theorykit.notes.reader import READERS
from theorykit.tunes.charts import Chart
from theorykit.views.staves import chorus_staff
from theorykit.views.staves.chorus_staves import legible_staff

# By hand: notes, key, chord, and the names that a player would rather read.
LINES = [
    ("E5 C#5 C5", "C", "Dm7", "E5 Db5 C5"),
    ("A5 G#5 G5", "C", "Fm7", "A5 Ab5 G5"),
    ("A4 A#4 A4", "C", "Dm7", "A4 Bb4 A4"),
    ("A4 G#4 A4", "C", "Dm7", "A4 G#4 A4"),  # it rises
    ("A5 F#5 F5", "C", "D7", "A5 F#5 F5"),  # the 3rd of D7
    ("A5 F#5 F5", "G", "Am7", "A5 F#5 F5"),  # the key signature has it
    ("G5 E#5 E5", "C", "Am7", "G5 F5 E5"),
    ("C#5 C4 C5", "C", "Dm7", "C#5 C4 C5"),  # a leap
    ("C5 B4 Bb4", "C", "Dm7", "C5 B4 Bb4"),  # C flat is no better
]


@pytest.mark.parametrize(("given", "key", "chord", "wanted"), LINES)
def test_a_half_step_that_falls_is_written_with_a_flat(given, key, chord, wanted):
    notes = " ".join(f"{name}:1" for name in given.split())
    view = legible_staff(staff(notes, key=key, chords=[(0, chord)]))
    assert [str(note.pitch) for note in view.notes] == wanted.split()


def test_a_sharp_ninth_that_falls_is_written_as_a_minor_third():
    """As in a line that is written there; what rises to the 3rd stays sharp (common practice)."""
    for text, names in (("C#5:1 C5:1", "Db5 C5"), ("C#5:1 D5:1", "C#5 D5")):
        view = legible_staff(staff(text, chords=[(0, "Bb7")], label="♯9"))
        assert " ".join(str(note.pitch) for note in view.notes) == names


def test_a_note_that_is_called_a_flat_ninth_becomes_one():
    """Over F7 in G, where the key signature has F sharp."""
    view = legible_staff(staff("F#5:1 F5:1", key="G", chords=[(0, "F7")], label="♭9"))
    assert [str(note.pitch) for note in view.notes] == ["Gb5", "F5"]
    leaps = legible_staff(staff("F#5:1 Eb5:1", key="G", chords=[(0, "F7b9")], label="♭9"))
    assert [str(note.pitch) for note in leaps.notes] == ["Gb5", "Eb5"]


def test_a_flat_seventh_that_the_chord_writes_sharp_stays():
    view = staff("F#5:1 E5:1", key="E", chords=[(0, "G#7")], label="♭7")
    assert legible_staff(view) == view


def test_a_staff_without_notes_or_with_one_is_left_as_it_is():
    for text in ("", "C#5:4"):
        assert legible_staff(staff(text)) == staff(text)


@pytest.mark.parametrize("who", READERS, ids=lambda one: one.name)
@pytest.mark.parametrize("seeds", some_and_all(range(1), range(6)))
def test_a_chorus_sounds_the_same_and_falls_with_flats(who, seeds):
    chart = Chart.parse("A: | Ebm7 | Ab7 | Dbmaj7 | % | Cm7 | F7 | Bb6 | % |").transposed("Bb")
    for seed in seeds:
        view = chorus_staff(write_chorus(chart, seed=seed), 1, reader=who)
        again = legible_staff(replace(view))
        assert again == view
        assert len(view.notes) > 20
