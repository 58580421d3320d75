"""Every subset of the six tensions: the search against a count by hand, and the nine triads."""

from itertools import combinations

import pytest
from together import together

from theorykit import Chord, TheoryError, subsets
from theorykit.harmony.subsets import COLUMNS, SIX_TENSIONS, triad_groups

KEYS = [("G7", "C"), ("Ab7", "Dbm"), ("C#7", "F#"), ("F7", "Bbm")]

# Half steps above the root, written out here so that the search is not checked against itself.
CHORD_TONES = {0, 4, 7, 10}
TENSIONS = {"b9": 1, "9": 2, "#9": 3, "#11": 6, "b13": 8, "13": 9}
SHAPES = {
    "": (0, 4, 7),
    "m": (0, 3, 7),
    "dim": (0, 3, 6),
    "aug": (0, 4, 8),
    "7": (0, 4, 7, 10),
    "maj7": (0, 4, 7, 11),
    "m7": (0, 3, 7, 10),
    "m7b5": (0, 3, 6, 10),
    "dim7": (0, 3, 6, 9),
    "6": (0, 4, 7, 9),
    "m6": (0, 3, 7, 9),
    "m(maj7)": (0, 3, 7, 11),
    "maj7#5": (0, 4, 8, 11),
}


def by_hand(names: tuple[str, ...]) -> set[tuple[str, int]]:
    """Shapes, by suffix and half steps above V, that bring the tensions and no other note."""
    wanted = {TENSIONS[name] for name in names}
    found = set()
    for suffix, places in SHAPES.items():
        for root in range(12):
            sounds = {(root + place) % 12 for place in places}
            if wanted <= sounds <= wanted | CHORD_TONES:
                found.add((suffix, root))
    return found


def test_the_columns_are_the_triads_and_seventh_chords():
    assert [shape.suffix for shape in COLUMNS] == list(SHAPES)


@pytest.mark.parametrize(("dominant", "target"), KEYS)
def test_all_64_subsets_are_there_once(dominant: str, target: str):
    rows = subsets(dominant, target)
    expected = [
        " ".join(map(str, wanted))
        for size in range(7)
        for wanted in combinations(SIX_TENSIONS, size)
    ]
    assert [row.name for row in rows] == expected
    assert len(set(expected)) == 64


@pytest.mark.parametrize(("dominant", "target"), KEYS)
def test_the_routes_are_those_that_are_counted_by_hand(dominant: str, target: str):
    rows = subsets(dominant, target)
    for row in rows:
        found = {(route.row.suffix, route.place) for route in row.routes}
        assert found == by_hand(tuple(row.name.split()))
    assert sum(bool(row.routes) for row in rows) == 27


@pytest.mark.parametrize(("dominant", "target"), KEYS)
def test_what_is_wider_brings_other_tensions_but_nothing_new_that_rubs(dominant: str, target: str):
    for row in subsets(dominant, target):
        asked = {degree.semitone for degree in row.tensions}
        for route in row.wider:
            sounds = set(route.semitones)
            assert asked <= sounds
            assert route.extra
            assert not {5, 11} & sounds - asked
            if target.endswith("m"):
                assert 9 not in sounds - asked  # the major third of a minor I


def test_where_nothing_small_does_it_the_words_say_so_and_name_the_smallest():
    rows = {row.name: row for row in subsets("G7")}
    row = rows["9 b13"]
    assert (row.routes, row.wider) == ((), ())
    assert row.words.startswith("no triad or seventh chord brings these; the smallest shape")
    assert row.smallest.shape == "G whole tone"
    assert rows["b9 9 13"].words == (
        "no triad or seventh chord brings these alone; Amaj7 brings ♯11 as well"
    )
    for row in rows.values():
        honest = row.words.startswith("no triad or seventh chord brings th")
        assert honest == (not row.routes)


def test_the_smallest_shape_is_no_larger_than_any_that_was_found():
    for row in subsets("Bb7", "Ebm"):
        assert row.smallest is not None
        size = len(set(row.smallest.semitones))
        assert {d.semitone for d in row.tensions} <= set(row.smallest.semitones)
        assert all(size <= len(set(route.semitones)) for route in (*row.routes, *row.wider))


def test_what_rubs_is_said_where_it_was_asked_for():
    rows = {row.name: row.words for row in subsets("G7", "Cm")}
    assert rows["13"].endswith("; but E is the major 3rd of C, and the tonic is minor")
    assert "but" not in rows["b9 b13"]


def test_the_chord_itself_is_the_row_without_tensions():
    first = subsets("G7")[0]
    assert first.words == "these are tones of G7 itself: no colour"
    assert {route.shape for route in first.routes} == {"G", "Bdim", "G7"}


def test_a_row_of_the_table_has_a_cell_for_each_column():
    row = next(row for row in subsets("G7") if row.name == "b9 13")
    cells = dict(zip((shape.suffix for shape in COLUMNS), row.cells, strict=True))
    assert {suffix: cell for suffix, cell in cells.items() if cell} == {"": ("E",), "7": ("E7",)}


# Wikipedia contributors, Upper structure, undated (CC BY-SA): degree of the root, kind, and the
# degrees it brings.
PUBLISHED = {
    (2, ""): "9 #11 13",
    (3, ""): "#9 5 b7",
    (6, ""): "#11 b7 b9",
    (8, ""): "b13 1 #9",
    (9, ""): "13 b9 3",
    (0, "m"): "1 #9 5",
    (1, "m"): "b9 3 b13",
    (3, "m"): "#9 #11 b7",
    (6, "m"): "#11 13 b9",
}


@together("root", "C Db D Eb E F F# G Ab A Bb B".split())
def test_the_search_finds_the_nine_published_upper_structures_and_no_other(root: str):
    groups = triad_groups(f"{root}7")
    found = {(t.place, t.row.suffix): " ".join(map(str, t.degrees)) for t in groups.upper}
    assert found == PUBLISHED
    assert (len(groups.clashing), len(groups.plain)) == (12, 3)
    assert {(t.place, t.row.suffix) for t in groups.plain} == {(0, ""), (7, "m"), (9, "m")}
    for triad in groups.clashing:
        assert {5, 11} & set(triad.semitones)


def test_a_dominant_is_wanted():
    with pytest.raises(TheoryError, match=r"no dominant: 'Cmaj7' \(want a chord such as G7"):
        subsets("Cmaj7")


def test_any_dominant_will_do():
    for symbol in ("G7alt", "Bb13", "D7sus4", "F#7b9"):
        rows = subsets(Chord.parse(symbol))
        assert len(rows) == 64
        assert all(row.words for row in rows)
