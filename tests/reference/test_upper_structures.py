"""The nine published upper-structure triads, and the theorem that goes with them, by search.

Source: Wikipedia contributors, *Upper structure*, undated (CC BY-SA); the table is in
upper_structures.json beside this file. Mark Levine, *The Jazz Piano Book* (1989), ch. 14,
has the same nine (from memory).
"""

import json
from pathlib import Path

from plain import names
from together import together

from theorykit import Scale, Shortcut, shortcuts
from theorykit.harmony.shortcuts import every_shape

ROWS = json.loads((Path(__file__).parent / "upper_structures.json").read_text("utf-8"))["rows"]
PLACES = "I bII II bIII III IV #IV/bV V bVI VI bVII VII".split()
QUALITIES = {"maj": "", "min": "m"}
SCALES = {
    "mixolydian": "mixolydian",
    "lydian dominant": "lydian dominant",
    "half-whole dim": "half-whole diminished",
    "altered": "altered",
    "phrygian dominant": "phrygian dominant",
}
DOMINANTS = [f"{root}7" for root in "C Db D Eb E F F# Gb G Ab A Bb B C# G#".split()]
each_row = together("row", ROWS, ids=lambda row: f"{row['root']} {row['quality']}")
each_dominant = together("dominant", DOMINANTS)


def triads(dominant: str) -> list[Shortcut]:
    """The major and minor triads on all twelve roots, as the search finds them."""
    found = every_shape(dominant, "triad")
    return [one for one in found if one.row.suffix in QUALITIES.values()]


def where(row: dict) -> tuple[int, str]:
    """A row of the table as a place above the root and a suffix."""
    return PLACES.index(row["root"]), QUALITIES[row["quality"]]


def is_colourful(one: Shortcut) -> bool:
    """More than a plain 9 or 13 is added."""
    return not {str(degree) for degree in one.adds} <= {"9", "13"}


def test_the_table_has_all_twenty_four():
    assert len({where(row) for row in ROWS}) == len(ROWS) == 24


@each_dominant
def test_twelve_of_twenty_four_hold_no_11_and_no_major_7(dominant: str):
    found = triads(dominant)
    assert len(found) == 24
    clean = [one for one in found if not {"11", "7"} & {str(degree) for degree in one.degrees}]
    assert len(clean) == 12
    assert clean == [one for one in found if not one.clashes]
    assert all(one.why_clashes for one in found if one not in clean)


@each_dominant
def test_three_of_the_twelve_add_at_most_a_plain_9_or_13(dominant: str):
    plain = {
        (one.place, one.row.suffix)
        for one in triads(dominant)
        if not one.clashes and not is_colourful(one)
    }
    assert plain == {(0, ""), (7, "m"), (9, "m")}  # I, v and vi


@each_dominant
def test_the_other_nine_are_the_published_ones(dominant: str):
    found = {
        (one.place, one.row.suffix)
        for one in triads(dominant)
        if not one.clashes and is_colourful(one)
    }
    assert found == {where(row) for row in ROWS if row["published"]}
    assert len(found) == 9


@each_dominant
def test_every_triad_has_the_degrees_and_the_clashes_of_the_table(dominant: str):
    found = {(one.place, one.row.suffix): one for one in triads(dominant)}
    for row in ROWS:
        one = found[where(row)]
        assert names(one.degrees) == " ".join(row["tones"])
        assert names(one.clashes) == " ".join(row["clash"])
        added = [str(degree) for degree in one.adds if str(degree) not in ("11", "7")]
        assert added == row["tensions_added"]


@each_row
def test_a_triad_lies_in_the_scales_of_the_table(row: dict):
    sounds = {where(row)[0]} | {(where(row)[0] + n) % 12 for n in (4 - (where(row)[1] == "m"), 7)}
    inside = {
        short
        for short, name in SCALES.items()
        if sounds <= {degree.semitone for degree in Scale.parse(f"C {name}").degrees}
    }
    assert inside == set(row["scales"])


@each_dominant
def test_asking_for_its_degrees_finds_a_published_triad_first(dominant: str):
    for row in ROWS:
        if row["published"]:
            best = shortcuts(dominant, row["tones"])[0]
            assert (best.place, best.row.suffix) == where(row)
