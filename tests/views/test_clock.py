"""The clock of twelve as a view: places, the shared tritone, and symmetry."""

import pytest
from music21.chord import Chord as Music21Chord
from sweeps import swept

from theorykit import COLOURS, Chord, substitutes
from theorykit.views.clock import clock_of

ROOTS = "C Db D Eb E F F# G Ab A Bb B".split()


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("row", COLOURS, ids=str)
def test_every_note_stands_on_its_place_with_its_degree(root: str, row):
    view = clock_of(f"{root}7", row)
    base = Chord.parse(f"{root}7").root.semitone
    for ring, degrees in zip(view.rings, (Chord.parse("C7").degrees, row.degrees), strict=True):
        expected = {(base + d.semitone) % 12: d.pretty for d in degrees}
        assert dict(zip(ring.places, ring.labels, strict=True)) == expected
        assert list(ring.places) == sorted(ring.places)
    assert view.lit == {place for ring in view.rings for place in ring.places}


@pytest.mark.parametrize("root", ROOTS)
def test_the_shared_tritone_is_a_diameter_between_the_guide_tones(root: str):
    found = substitutes(f"{root}7")
    view = clock_of(f"{root}7", None, found[0].chords[0])
    base = Chord.parse(f"{root}7").root.semitone
    assert view.axis == ((base + 4) % 12, (base + 10) % 12)
    assert (view.axis[0] - view.axis[1]) % 12 == 6
    assert view.axis_words.startswith(f"tritone of {Chord.parse(f'{root}7').pretty} and ")


def test_no_axis_is_drawn_where_nothing_is_shared():
    assert clock_of("G7", None, "Bb7").axis is None
    assert clock_of("G7sus4").axis is None
    assert clock_of("G7", None, "Bdim7").axis == (11, 5)
    assert clock_of("G7", "altered").axis_words == "tritone of G7: B and F"


# Symmetric sets and after how many half steps they repeat: the modes of limited transposition
# (Messiaen, Technique de mon langage musical, 1944, from memory) and the diminished seventh chord.
@pytest.mark.parametrize(
    ("name", "period"),
    [("b9", 3), ("half-whole diminished", 3), ("whole tone", 2), ("altered", 12), ("b9 13", 12)],
)
def test_symmetric_sets_repeat_on_the_clock(name: str, period: int):
    for root in ROOTS:
        ring = clock_of(f"{root}7", name).rings[1]
        assert ring.period == period
        turned = {(place + period) % 12 for place in ring.places}
        assert turned == set(ring.places)
    said = f"the same after every {period} half steps" in clock_of("G7", name).alt
    assert said == (period < 12)


REPEATING = ("half-whole diminished", "whole tone", "altered", "b9")


@pytest.mark.parametrize("row", swept(COLOURS, lambda row: row.name in REPEATING), ids=str)
def test_symmetry_agrees_with_music21(row):
    """A set has as many transpositions as it takes half steps to repeat, by music21's classes."""
    ring = clock_of("G7", row).rings[1]
    forms = {
        frozenset(Music21Chord([place + step for place in ring.places]).pitchClasses)
        for step in range(12)
    }
    assert len(forms) == ring.period


def test_a_place_carries_every_spelling_that_stands_on_it():
    view = clock_of("G7", None, "Db7")
    assert view.names[11] == "B C♭"
    assert view.names[5] == "F"
    assert view.names[0] == "C"
    assert 0 not in view.lit
    assert clock_of("Db7", "b9").names[2] == "E♭♭"


def test_the_words_name_every_ring_and_the_axis():
    view = clock_of("G7", "b9", "Db7")
    assert view.alt == (
        "Clock of twelve pitch classes, C at the top: chord G7 (5, ♭7, 1 and 3); colour ♭9 (5, ♭7, "
        "♭9 and 3, the same after every 3 half steps); substitute D♭7 (♯11, ♭7, ♭9 and 3). "
        "An axis: tritone of G7 and D♭7: B and F."
    )
