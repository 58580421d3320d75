"""The motion picture as a view: heights, ways and words that agree with the resolution."""

import pytest
import spoken
from hypothesis import given, strategies as st

from theorykit import COLOURS, Note, resolve
from theorykit.views.motion import WAYS, motion_of

DOMINANTS = st.builds(
    str.__add__, st.sampled_from("G Db F# B C Ab E".split()), st.sampled_from(["7", "7sus4", "13"])
)
TARGETS = st.sampled_from("C Dbmaj7 F#m6 Em Fm(maj7) Dm7 A6/9 Bbm7b5".split())
each_colour = st.sampled_from([None, *COLOURS])


@given(DOMINANTS, each_colour, TARGETS)
def test_every_note_has_its_height_its_way_and_its_goal(dominant, colour, target):
    resolution = resolve(dominant, colour, target)
    view = motion_of(resolution)
    floor = min(rung.height for rung in (*view.left, *view.right))
    root = resolution.chord.root.semitone
    assert floor == 0
    assert len(view.ways) == len(view.left) == len(resolution.moves)
    lowest = view.left[0].height - spoken.degree(view.left[0].degree).semitone
    for rung, way in zip(view.left, view.ways, strict=True):
        assert rung.height == way.start
        assert (root + rung.height - lowest - spoken.note(rung.name)) % 12 == 0
        assert WAYS.index(way.kind) == min(abs(way.end - way.start), 3)
    ends = {rung.height: rung for rung in view.right}
    assert {way.end for way in view.ways} == set(ends)
    for height, rung in ends.items():
        assert (root + height - lowest - Note.parse(rung.name).semitone) % 12 == 0


@given(DOMINANTS, each_colour, TARGETS)
def test_the_words_for_those_who_cannot_see_it_tell_every_way(dominant, colour, target):
    resolution = resolve(dominant, colour, target)
    view = motion_of(resolution)
    called = {
        resolution.target.pretty: resolution.target,
        "I": resolution.target,
        "i": resolution.target,
    }
    text = view.alt.replace(" and ", ", ")
    sizes = list(spoken.claimed_moves(text, called))
    assert sizes == [way.end - way.start for way in view.ways]
    spoken.check_sum(view.caption, sizes)


def test_notes_of_the_colour_are_told_from_tones_of_the_chord():
    view = motion_of(resolve("G7", "b9 13", "C"))
    roles = {rung.degree: rung.role for rung in view.left}
    assert roles == {
        **dict.fromkeys(("1", "3", "5", "♭7"), "chord"),
        **dict.fromkeys(("♭9", "13"), "colour"),
    }
    assert view.titles == ("G7 with ♭9 13", "C")


@pytest.mark.parametrize(
    ("colour", "labels"),
    [(None, ["held", "half ↑", "whole ↓", "half ↓"]), ("b9", ["held", "half ↓", "half ↑"])],
)
def test_a_way_is_labelled_with_its_size_and_direction(colour, labels):
    view = motion_of(resolve("G7", colour, "C"))
    assert [way.label for way in view.ways][: len(labels)] == labels


def test_a_way_through_a_passing_note_names_it():
    (way,) = [one for one in motion_of(resolve("G7", "#9", "Cmaj7")).ways if one.through]
    assert (way.start - way.end, way.label) == (3, "by ♭9 ↓")
    assert "A♯ falls through A♭ to G, the 5th of I" in motion_of(resolve("G7", "#9", "Cmaj7")).alt


def test_a_long_way_tells_its_half_steps():
    """Over the open fifth E B, the root of G7 is a minor third from the nearest note."""
    root = motion_of(resolve("G7", None, "E5")).ways[0]
    assert (root.kind, root.label) == ("wider", "3 half ↓")


def test_the_words_of_a_picture_part_its_ways_by_semicolons():
    """A way has a comma in itself, so a list of them needs another sign."""
    alt = motion_of(resolve("G7", "b9", "C")).alt
    assert "A♭ falls a half step to G, the 5th of I; B rises a half step to C, the root of I" in alt
    assert " and F falls" not in alt
