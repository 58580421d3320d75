"""The table of shapes: what a player knows, each once, in the order of learning."""

from plain import names
from together import together

from theorykit import SCALES, Chord, Scale
from theorykit.harmony.shapes import FAMILIES, SHAPES, Shape

each_shape = together("row", SHAPES, ids=lambda row: row.noun)


def test_the_table_holds_triads_sevenths_quartals_pentatonics_and_every_scale():
    by_family = {family: [row for row in SHAPES if row.family == family] for family in FAMILIES}
    assert {row.suffix for row in by_family["triad"]} == {"", "m", "dim", "aug"}
    assert {"7", "maj7", "m7", "m7b5", "dim7"} <= {row.suffix for row in by_family["seventh"]}
    assert len(by_family["quartal"]) == len(by_family["pentatonic"]) == 2
    scales = {row.suffix.strip() for row in (*by_family["scale"], *by_family["pentatonic"])}
    assert scales == {row.name for row in SCALES}


@each_shape
def test_a_shape_that_is_a_chord_or_a_scale_has_the_formula_of_that_chord_or_scale(row: Shape):
    if row.family in ("triad", "seventh"):
        assert row.degrees == Chord.parse(f"C{row.suffix}").degrees
    elif row.family != "quartal":
        assert row.degrees == Scale.parse(f"C{row.suffix}").degrees
    else:  # fourths on fourths: C F B flat, and E flat on top
        assert names(row.degrees) in ("1 4 b7", "1 4 b7 b3")


def test_plainer_shapes_come_first_and_no_two_share_a_place():
    places = [row.plainness for row in SHAPES]
    assert places == sorted(set(places))
    assert [row.suffix for row in SHAPES[:4]] == ["", "m", "dim", "aug"]
    triads_first = [FAMILIES.index(row.family) for row in SHAPES]
    assert triads_first == sorted(triads_first)


def test_a_shape_that_repeats_sounds_the_same_on_another_root():
    repeating = {row.suffix.strip() for row in SHAPES if row.repeats}
    assert repeating == {
        *("aug", "dim7", "whole tone", "whole-half diminished", "half-whole diminished"),
    }


@each_shape
def test_every_shape_has_a_noun_that_can_stand_after_a_root(row: Shape):
    assert row.noun == row.noun.strip() != ""
    assert ("scale" in row.noun) == (row.family == "scale")


@each_shape
def test_twelve_bits_hold_the_formula(row: Shape):
    assert [n for n in range(12) if row.mask >> n & 1] == sorted({d.semitone for d in row.degrees})
