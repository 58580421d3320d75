"""Chords, scales and tensions against the tables of handbooks.

The tables are in handbooks.json beside this file, each with its source: Marc Sabatella, *A Jazz
Improvisation Primer*, undated, chord and scale chart; Dariusz Terefenko, *Jazz Theory* (2014), ch.
5; Earl MacDonald, *Chordal extensions & alterations*, undated; Wikipedia contributors, *Altered
scale* and *Upper structure*, undated; Wikibooks contributors, *Dominant substitute*, undated;
Nettles and Graf, *The Chord Scale Theory & Jazz Harmony* (1997), from memory.
"""

import json
from pathlib import Path

import pytest
from plain import names
from together import together

from theorykit import (
    COLOURS,
    KEYS,
    Chord,
    Degree,
    Key,
    Note,
    Scale,
    colour,
    degrees_over,
    shortcuts,
)
from theorykit.harmony.chord_families import family
from theorykit.harmony.tensions import degree_names, why_it_rubs
from theorykit.notes.degree import above, degrees, plain_root
from theorykit.notes.scales import scale_row

TABLES = json.loads((Path(__file__).parent / "handbooks.json").read_text("utf-8"))
ABOUT = {"source", "licence"}
CHART = {row: found for row, found in TABLES["chord_scale_chart"].items() if row not in ABOUT}
FOURTH_UP = " a 4th up"

# Sabatella's chart: the chords of each row as we read them.
CHORDS = {
    "maj7/9/6": "maj7 maj9 6", "maj7#11": "maj7#11", "m7/9/11": "m7 m9 m11", "m6": "m6",
    "mMaj7": "mMaj7", "m7b6": "m7b6", "m7b9": "m7b9", "7/9/13": "7 9 13", "7sus": "7sus",
    "7#11": "7#11", "7alt/7#9#5/7#9": "7alt 7#9#5 7#9", "7b9/7b9b5": "7b9 7b9b5", "7#5": "7#5",
    "m7b5": "m7b5", "dim7": "dim7", "maj7#5": "maj7#5", "7susb9": "7susb9",
}  # fmt: skip


def sounds(found) -> set[int]:
    """Degrees as half steps above the root."""
    return {degree.semitone for degree in found}


def must_have(chord: Chord) -> set[int]:
    """What a scale may not miss: all but a plain 5, which players keep or drop (convention)."""
    return sounds(degree for degree in chord.degrees if degree != Degree(5))


@together("row", CHART)
def test_a_scale_of_the_chart_holds_the_chords_of_its_row(row: str):
    """Sabatella. The scales a 4th up are looked at below."""
    for kind in CHORDS[row].split():
        for name in CHART[row]:
            if not name.endswith(FOURTH_UP):
                assert must_have(Chord.parse(f"C{kind}")) <= sounds(scale_row(name).degrees)


@pytest.mark.parametrize("root", "C Db F# Bb G".split())
def test_harmonic_and_melodic_minor_a_4th_up_are_modes_on_the_root(root: str):
    """Sabatella names them by the scale a 4th up; as modes they are our rows."""
    fourth = above(Note.parse(root), Degree(4))
    for parent, mode in (
        ("harmonic minor", "phrygian dominant"),
        ("melodic minor", "mixolydian b6"),
    ):
        assert f"{parent}{FOURTH_UP}" in CHART["7b9/7b9b5"]
        up = Scale(fourth, scale_row(parent)).notes
        assert set(up) == set(Scale.parse(f"{root} {mode}").notes)


@pytest.mark.parametrize(
    ("name", "row"),
    [
        ("half-whole diminished", "7b9/7b9b5"),
        ("altered", "7alt/7#9#5/7#9"),
        ("whole tone", "7#5"),
        ("lydian dominant", "7#11"),
        ("lydian dominant", "7/9/13"),
    ],
)
def test_a_colour_that_is_a_scale_stands_in_the_row_of_the_chart(name: str, row: str):
    assert colour(name).scale in CHART[row]


def test_the_colour_of_minor_is_the_harmonic_minor_a_4th_up():
    assert "harmonic minor a 4th up" in CHART["7b9/7b9b5"]
    best = shortcuts("G7", "minor's own", "minor")[0]
    assert (best.shape, best.place) == ("C harmonic minor", Degree(4).semitone)


@pytest.mark.parametrize(
    ("name", "row"), [("suspended", "7sus"), ("suspended b9", "7susb9"), ("9 #11 13", "7#11")]
)
def test_a_colour_lies_in_the_scales_that_the_chart_gives_for_its_chord(name: str, row: str):
    for scale in CHART[row]:
        assert sounds(colour(name).degrees) <= sounds(scale_row(scale).degrees)


KINDS = {"maj7": "maj7", "min7": "m7", "m7b5": "m7b5", "dim7": "dim7", "dom7": "7", "7sus": "7sus4"}


@pytest.mark.parametrize("quality", KINDS)
def test_a_tension_of_the_table_has_the_same_name_here(quality: str):
    """Terefenko, ch. 5: diatonic and chromatic extensions of each family."""
    table = TABLES["tensions_by_quality"][quality]
    chord = Chord.parse(f"D{KINDS[quality]}")
    for name in (*table["diatonic"], *table.get("chromatic", ())):
        note = above(chord.root, Degree.parse(name))
        assert names(degrees_over(chord, [note])) == name


@pytest.mark.parametrize("quality", ["maj7", "m7b5", "dim7", "min7"])
def test_a_diatonic_tension_of_the_table_does_not_rub(quality: str):
    """Terefenko, ch. 5: diatonic extensions of each family."""
    chord = Chord.parse(f"Db{KINDS[quality]}")
    for name in TABLES["tensions_by_quality"][quality]["diatonic"]:
        assert why_it_rubs(chord, Degree.parse(name).semitone) == ""


@together("row", CHART)
def test_a_scale_of_the_chart_is_a_scale_of_the_family(row: str):
    """Sabatella: all scales of a row but those a 4th up are offered over its chords."""
    for kind in CHORDS[row].split():
        found = family(Chord.parse(f"C{kind}").kind)
        named = {name for name in CHART[row] if not name.endswith(FOURTH_UP)}
        own = {scale_row(name).name for name in named}
        assert own <= {*found.scales, *found.wider}, kind


def test_the_tensions_of_a_dominant_are_just_those_that_do_not_rub():
    """Terefenko, ch. 5: 9 13 and b9 #9 #11 b13; the twelve sounds hold no others."""
    table = TABLES["tensions_by_quality"]["dom7"]
    chord = Chord.parse("Eb7")
    free = [
        str(degree)
        for semitone, degree in enumerate(degree_names(chord))
        if degree not in chord.degrees and not why_it_rubs(chord, semitone)
    ]
    assert set(free) == {*table["diatonic"], *table["chromatic"]}


def test_colours_are_made_of_the_tensions_of_a_dominant():
    """Terefenko, ch. 5; the 11 of the suspended colours is the 4 of 7sus, the 7 is told to rub."""
    table = TABLES["tensions_by_quality"]["dom7"]
    known = {*table["diatonic"], *table["chromatic"]}
    for row in COLOURS:
        strange = {str(degree) for degree in row.tensions} - known
        expected = {"suspended": {"11"}, "suspended b9": {"11"}, "its related ii": {"7"}}
        assert strange == expected.get(row.name, set())


@pytest.mark.parametrize(
    ("rule", "kinds", "holds", "lacks"),
    # MacDonald, one line a rule; which symbols it is about, and what they hold and lack.
    [
        ("9 implies 7", "9 9#11 9sus4", "b7 9", ""),
        ("9 implies 7", "maj9", "7 9", ""),
        ("11 implies 9 and 7", "11 m11 m11b5", "b7 9 11", ""),
        ("13 implies 9 and b7, not 11 or #11", "13 m13 13sus4", "b7 9 13", "11 #11"),
        ("half-diminished: b5, not #11", "ø ø7 m7b5 ø9", "b5", "#11 5"),
        ("major: #11, not b5", "maj7#11 maj9#11", "5 #11", "b5"),
        ("dominant: #11 or b5 both used", "7#11 9#11", "5 #11", "b5"),
        ("dominant: #11 or b5 both used", "7b5 9b5", "b5", "5 #11"),
    ],
)
def test_symbols_mean_what_the_conventions_say(rule: str, kinds: str, holds: str, lacks: str):
    assert rule in TABLES["symbol_conventions"]["rules"]
    for kind in kinds.split():
        found = set(Chord.parse(f"Ab{kind}").degrees)
        assert set(degrees(holds)) <= found
        assert found.isdisjoint(degrees(lacks))


def test_the_altered_scale_is_spelled_as_in_the_table():
    """Wikipedia contributors, Altered scale, undated."""
    table = TABLES["altered_scale"]
    assert names(Scale.parse("C altered").notes) == table["on_C"]
    assert list(map(str, scale_row("altered").degrees)) == table["degrees"]
    seventh_mode = Scale.parse("Db melodic minor").notes
    assert names((seventh_mode[6], *seventh_mode[:6])) == table["on_C"]


def test_the_half_whole_scale_is_spelled_as_in_the_table():
    """Wikipedia contributors, Upper structure, undated: the scale over 13b9."""
    table = TABLES["half_whole_for_13b9"]
    assert names(Scale.parse(f"C {table['name']}").notes) == table["on_C"]
    assert names(colour(table["name"]).notes("C7")) == table["on_C"]
    assert sounds(Chord.parse("C13b9").degrees) <= sounds(colour(table["name"]).degrees)


@together("root", "C Db D Eb E F F# G Ab A Bb B".split())
def test_a_dominant_and_its_tritone_substitute_share_their_guide_tones(root: str):
    """Wikibooks contributors, Dominant substitute, undated: the 3 of one is the b7 of the other."""
    one = Chord.parse(f"{root}7")
    other = one.on(plain_root(above(one.root, Degree(5, -1))))
    three, seven = one.notes[1].semitone, one.notes[3].semitone
    assert (other.notes[3].semitone, other.notes[1].semitone) == (three, seven)
    assert shortcuts(one, "tritone substitute")[0].shape == str(other)


FUNCTIONS = ("Imaj7", "iim7", "iiim7", "IVmaj7", "V7", "vim7", "viim7b5")


@together("key", [key for key in KEYS if not key.is_minor], ids=str)
def test_diatonic_tensions_are_notes_of_the_key_that_no_chord_tone_rubs_from_below(key: Key):
    """Nettles and Graf, from memory: a whole step above a chord tone; the 13 of ii is avoided."""
    for function, row in zip(FUNCTIONS, key.sevenths, strict=True):
        chord = row.chord
        foreign = [note for note in key.notes if note not in chord.notes]
        tones = {note.semitone for note in chord.notes}
        free = [note for note in foreign if (note.semitone - 1) % 12 not in tones]
        found = {str(degree) for degree in degrees_over(chord, free)}
        expected = set(TABLES["diatonic_tensions_from_memory"][function])
        assert found - expected == ({"13"} if function == "iim7" else set())
        assert expected <= found
