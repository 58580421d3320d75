"""The tensions that must sound over V, by its length and how many notes are wished for."""

from __future__ import annotations

import pytest
from sweeps import some_and_all

from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.chord_palette import GUIDE, palettes
from theorykit.lines.writing import Wishes, write_lines
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import KEYS
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import FORMS, Progression, two_five_one


def needed(over: Progression, name: str, *, sparse: bool = False) -> set[str]:
    """The degrees over the last dominant without which its colour is not heard."""
    v = next(one for one in palettes(over, colour(name), sparse=sparse) if one.resolves)
    names = {"b9": 1, "9": 2, "#9": 3, "3": 4, "11": 5, "#11": 6, "b13": 8, "13": 9, "b7": 10}
    root = v.placed.chord.root.semitone
    return {degree for degree, size in names.items() if (root + size) % 12 in v.hallmarks}


# By hand (common practice): what is altered is heard first, of natural tensions the highest; a
# sharp 9 is heard beside its 3rd, and goes with the b13, as the b9 does with the 13.
@pytest.mark.parametrize(
    ("name", "whole", "sparse", "one_beat"),
    [
        ("b9 13", "b9 13", "b9 13", "b9"),
        ("9 #11 13", "9 #11 13", "#11 13", "#11"),
        ("b9 #11 13", "b9 #11 13", "b9 13", "b9"),
        ("altered", "b9 #9 #11 b13", "#9 b13 3", "b9 #9 #11 b13"),
        ("half-whole diminished", "b9 #9 #11 13", "b9 13", "b9 #9 #11 13"),
        ("whole tone", "9 #11 b13", "#11 b13", "#11"),
        ("suspended", "9 11", "9 11", "11"),
        ("#9 b13", "#9 b13 3", "#9 b13 3", "#9 3"),
    ],
)
def test_few_notes_have_the_tensions_that_tell_most(name, whole, sparse, one_beat):
    over = two_five_one("Db", "short")
    assert needed(over, name) == set(whole.split())
    assert needed(over, name, sparse=True) == set(sparse.split())
    brief = Chart.of("Db", "Ebm7 Gbm7 Gbm7 Ab7", "Db6").progression
    assert needed(brief, name) == set(one_beat.split())


def test_over_a_bar_a_sparse_line_has_the_whole_colour():
    over = two_five_one("F#", "long")
    assert needed(over, "altered", sparse=True) == {"b9", "#9", "#11", "b13"}


@pytest.mark.parametrize("keys", some_and_all(KEYS[4::9], KEYS))
def test_a_sparse_line_has_room_for_long_notes(keys):
    """No more than five notes lead to the landing over one bar, a pickup among them."""
    for number, key in enumerate(keys):
        over = two_five_one(key, "short")
        i, v = over.chords[-1], over.chords[-2]
        tones = {above(v.chord.root, Degree.parse(name)).semitone for name in ("3", "b7")}
        for row in (one for one in COLOURS if one.suits(key.mode)):
            wishes = Wishes(density="sparse")
            (line,) = write_lines(over, row, count=1, seed=number, wishes=wishes)
            before = [note for note in line.notes if note.start < i.start]
            assert len(before) <= 5, line.text
            over_v = {n.pitch.midi % 12 for n in before if n.start >= v.start}
            assert over_v & tones or "11" in row.name, line.text
            own = palettes(over, row, sparse=True)[1]
            assert set(own.hallmarks) <= over_v


def test_over_one_beat_a_colour_stands_in_two_eighths():
    over = Chart.of("Bb", "Cm7 Gb7 Gb7 F7", "Bb6").progression
    wishes = Wishes(triplets="none")
    for row in ("b9 13", "9 #11 13", "b9 #11 13", "#9 b13"):
        (line,) = write_lines(over, row, count=1, seed=3, wishes=wishes)
        over_v = [note for note in line.notes if 3 <= note.start < 4]
        v = palettes(over, colour(row))[-2]
        assert len(over_v) == 2
        assert any(v.kinds[note.pitch.midi % 12] == GUIDE for note in over_v)


def test_a_line_in_six_flats_that_was_wished_sparse_for_the_alto_is_so():
    wishes = Wishes.for_reader("E flat", density="sparse")
    over = two_five_one("Ab minor", "short")
    (line,) = write_lines(over, "altered", count=1, seed=2778, wishes=wishes)
    assert sum(note.start < over.chords[-1].start for note in line.notes) <= 5


@pytest.mark.parametrize("form", FORMS)
def test_full_lines_have_the_whole_colour(form):
    over = two_five_one("C minor", form)
    (line,) = write_lines(over, "altered", count=1, wishes=Wishes(density="full"))
    v = over.chords[-2]
    sounds = {n.pitch.midi % 12 for n in line.notes if v.start <= n.start < v.end}
    tensions = ("b9", "#9", "#11", "b13")
    assert {above(v.chord.root, Degree.parse(name)).semitone for name in tensions} <= sounds


@pytest.mark.parametrize(
    ("kind", "denied"),
    [
        ("m7b5", "5"),
        ("m9b5", "5"),
        ("m7#11", None),
        ("m9#11", None),
        ("7#9#11", None),
        ("dim7", None),
    ],
)
def test_the_natural_5_denies_a_half_diminished_chord_and_no_chord_that_has_it(kind, denied):
    """Common practice: a #11 stands beside the 5, a #9 beside the 3rd."""
    for key in KEYS:
        (found,) = palettes(Chart.of(key, f"{key.tonic}{kind}").progression, None)
        root = found.placed.chord.root
        wanted = {above(root, Degree.parse(denied)).semitone} if denied else set()
        assert found.contrary == wanted, str(found.placed.chord)
