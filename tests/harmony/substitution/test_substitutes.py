"""Substitutes: their chords in every key, what is true of each, and that the words agree."""

import itertools
import re

import pytest
from music21.chord import Chord as Music21Chord
from music21.pitch import Pitch as Music21Pitch
from music21.scale import OctatonicScale
from plain import names
from together import together

from theorykit import (
    COLOURS,
    Chord,
    Key,
    Note,
    Substitute,
    TheoryError,
    colour,
    functions,
    substitutes,
)
from theorykit.harmony.substitution import NAMES, substitute, substitute_name
from theorykit.harmony.substitution.substitute_reasons import shared_diminished
from theorykit.harmony.substitution.substitute_roots import held_notes
from theorykit.tunes.progression import cadence_chords

MAJOR = "C F Bb Eb Ab Db Gb F# B E A D G".split()
MINOR = "Cm Fm Bbm Ebm G#m C#m F#m Bm Em Am Dm Gm".split()
HALF_STEP_BELOW = "major seventh chord a half step below I"

# Written out by hand, in the order of the table.
WRITTEN = {
    "C": "Db7; Dm7 G7; Abm7 G7; Abm7 Db7; Bmaj7; Fm7 Bb7; Bb7; E7; Bdim7; E7 A7 D7 G7; G9sus4; "
    "Ebm7 Ab7 Dm7 G7",
    "Db": "D7; Ebm7 Ab7; Am7 Ab7; Am7 D7; Cmaj7; F#m7 B7; B7; F7; Cdim7; F7 Bb7 Eb7 Ab7; Ab9sus4; "
    "Em7 A7 Ebm7 Ab7",
    "F#": "G7; G#m7 C#7; Dm7 C#7; Dm7 G7; Fmaj7; Bm7 E7; E7; A#7; E#dim7; A#7 D#7 G#7 C#7; "
    "C#9sus4; Am7 D7 G#m7 C#7",
    "Gb": "G7; Abm7 Db7; Dm7 Db7; Dm7 G7; Fmaj7; Bm7 E7; E7; Bb7; Fdim7; Bb7 Eb7 Ab7 Db7; Db9sus4; "
    "Am7 D7 Abm7 Db7",
    "A": "Bb7; Bm7 E7; Fm7 E7; Fm7 Bb7; Abmaj7; Dm7 G7; G7; C#7; G#dim7; C#7 F#7 B7 E7; E9sus4; "
    "Cm7 F7 Bm7 E7",
    "Bbm": "B7; Cm7b5 F7; F#m7 F7; F#m7 B7; Amaj7; Ebm7 Ab7; Ab7; D7; Adim7; D7 G7 C7 F7; "
    "F7sus4b9; Dbm7b5 Gb7 Cm7b5 F7",
    "C#m": "D7; D#m7b5 G#7; Am7 G#7; Am7 D7; Cmaj7; F#m7 B7; B7; F7; B#dim7; F7 Bb7 D#7 G#7; "
    "G#7sus4b9; Em7b5 A7 D#m7b5 G#7",
    "Ebm": "E7; Fm7b5 Bb7; Bm7 Bb7; Bm7 E7; Dmaj7; Abm7 Db7; Db7; G7; Ddim7; G7 C7 F7 Bb7; "
    "Bb7sus4b9; F#m7b5 B7 Fm7b5 Bb7",
}


def in_key(name: str) -> tuple[Substitute, ...]:
    """The substitutes of the V of a key, before its I."""
    _, dominant, target = cadence_chords(Key.parse(name))
    return substitutes(dominant, target)


each_key = together("key", [*MAJOR, *MINOR])


@pytest.mark.parametrize("key", WRITTEN)
def test_the_chords_are_those_written_by_hand(key: str):
    assert [names(found.chords) for found in in_key(key)] == WRITTEN[key].split("; ")


@each_key
def test_no_root_carries_a_double_accidental_or_an_awkward_name(key: str):
    for found in in_key(key):
        held = held_notes(found.target)
        for chord in found.chords:
            assert abs(chord.root.alteration) <= 1
            assert str(chord.root) not in ("E#", "B#", "Cb", "Fb") or chord.root in held


@each_key
def test_roots_a_fifth_apart_are_written_a_fifth_apart(key: str):
    """But for one place in the chains of sharp minor keys, where E sharp would be needed."""
    breaks = []
    for found in in_key(key):
        for one, two in itertools.pairwise(found.chords):
            if (two.root.semitone - one.root.semitone) % 12 == 5:
                breaks += [(str(one), str(two))] * ("CDEFGAB"[two.root.step - 3] != one.root.letter)
    assert breaks == {"C#m": [("Bb7", "D#7")], "G#m": [("F7", "A#7")]}.get(key, [])


@each_key
def test_a_tritone_substitute_shares_the_guide_tones(key: str):
    """The 3 of one is the b7 of the other.

    Source: Wikibooks contributors, Music Theory / Dominant substitute, undated.
    """
    found = in_key(key)[0]
    third, seventh = (found.dominant.notes[place].semitone for place in (1, 3))
    assert [note.semitone for note in found.chords[0].notes][1::2] == [seventh, third]
    assert found.keeps_tritone
    assert len(found.readings[0].shared) == 2


# The circle of fifths as it is printed (Wikipedia contributors, Circle of fifths, undated),
# falling, by sound.
FALLING_FIFTHS = "C F Bb Eb Ab Db F# B E A D G".split()


@each_key
def test_a_chain_of_dominants_runs_round_the_circle_of_fifths(key: str):
    chain = substitute("chain of dominants", *_v_and_i(key))
    printed = [Note.parse(name).semitone for name in FALLING_FIFTHS]
    start = printed.index(chain.chords[0].root.semitone)
    expected = [(printed * 2)[start + place] for place in range(5)]
    assert [c.root.semitone for c in (*chain.chords, chain.target)] == expected
    mixed = re.findall(r"([A-G][♭♯]?)7", chain.sections[0][1][1])
    falls = [Note.parse(name).semitone for name in mixed]
    assert len(falls) == 4
    assert all((one - two) % 12 == 1 for one, two in itertools.pairwise(falls))


def _v_and_i(key: str) -> tuple[Chord, Chord]:
    """The V and the I of a key."""
    return cadence_chords(Key.parse(key))[1:]


@each_key
def test_four_dominants_share_one_diminished_seventh_chord(key: str):
    """By music21: one set class 4-28, and with each root a dominant with flat 9, 5-31."""
    shared, family = shared_diminished(*_v_and_i(key))
    classes = sorted(note.semitone for note in shared.notes)
    assert Music21Chord(classes).forteClass == "4-28"
    assert len({chord.root.semitone for chord in family}) == 4
    for chord in family:
        nine = (chord.root.semitone + 1) % 12
        without_root = {note.semitone for note in chord.notes[1:]} | {nine}
        assert sorted(without_root) == classes
        full = Music21Chord([*without_root, chord.root.semitone])
        assert full.forteClass.startswith("5-31")


def test_the_family_brings_what_the_half_whole_scale_holds():
    """Against music21's octatonic scale, whose mode 1 is half-whole."""
    _, family = shared_diminished(Chord.parse("G7"), Chord.parse("C"))
    scale = {pitch.pitchClass for pitch in OctatonicScale("G", 1).getPitches("G3", "G4")}
    assert {note.semitone for chord in family for note in chord.notes} == scale
    over = [found for found in substitutes("G7", "C") if "minor third" in found.name]
    assert [names(found.readings[0].over) for found in over] == ["#9 5 b7 b9", "13 b9 3 5"]


@each_key
def test_a_passing_diminished_chord_is_the_dominant_with_flat_nine_and_no_root(key: str):
    dominant, target = _v_and_i(key)
    found = substitute("leading-note diminished chord", dominant, target)
    ninth = dominant.on(dominant.root).root.semitone + 1
    assert {n.semitone for n in found.chords[0].notes} == {
        ninth % 12,
        *(n.semitone for n in dominant.notes[1:]),
    }
    assert found.bass[0].semitones == 1
    assert found.keeps_tritone


@each_key
def test_the_case_that_puzzles_students_holds_in_every_key_by_sound(key: str):
    dominant, target = _v_and_i(key)
    slide = substitute(HALF_STEP_BELOW, dominant, target).chords[0]
    second, other = substitute("ii-V of the tritone substitute", dominant, target).chords
    sounds = {note.semitone for note in slide.notes}
    assert (slide.root.semitone + 1 - target.root.semitone) % 12 == 0
    ninth = (second.root.semitone + 2) % 12
    assert sounds == {note.semitone for note in second.notes[1:]} | {ninth}
    assert (dominant.root.semitone + 11 - other.root.semitone) % 12 == 5  # the natural 7 is its 11


@each_key
def test_the_motion_is_the_least_by_music21s_pitches(key: str):
    """Each note to the nearest note of the next chord, over music21's pitches in five octaves."""
    for found in in_key(key):
        for one in found.readings:
            goals = [
                Music21Pitch(f"{str(note).replace('b', '-')}{octave}").ps
                for note in one.following.notes
                for octave in range(2, 7)
            ]
            starts = [Music21Pitch(f"{str(n).replace('b', '-')}4").ps for n in one.chord.notes]
            nearest = [min(abs(goal - start) for goal in goals) for start in starts]
            assert one.resolution.total == sum(nearest)


def test_a_clash_tells_what_rubs_and_where_it_goes():
    found = substitute("ii-V of the tritone substitute", "G7", "C")
    (clash,) = found.clashes
    assert (str(clash.note), str(clash.degree), str(clash.own)) == ("Gb", "7", "b7")
    assert clash.why == "the natural 7, F♯, rubs against the ♭7, F"
    assert clash.move.semitones == -1
    assert "It may pass as G♭, the ♭7th of A♭m7: it falls a half step to F" in " ".join(found.words)


def test_before_a_minor_i_its_major_third_rubs():
    found = substitute("dominant a minor third below", "G7", "Cm")
    assert [str(clash.note) for clash in found.clashes] == ["E"]
    assert not substitute("dominant a minor third below", "G7", "C").clashes


def test_the_mode_of_the_related_ii_is_that_of_i_and_not_of_any_next_chord():
    assert names(substitute("related ii", "G7", "Am7").chords) == "Dm7 G7"
    assert names(substitute("related ii", "G7", "Cm7").chords) == "Dm7b5 G7"
    rubs = substitute("tritone substitute", "G7", "Am7").clashes[0].why
    assert rubs == "C♯ is the major 3rd of A, and Am7 is minor"


def test_a_chord_that_stands_for_another_name_says_so():
    text = substitute("backdoor dominant", "Ab7", "Db").words[0]
    assert "F♯m7 (written for G♭m7), which is the iv of D♭ minor" in text
    assert "written for" not in substitute("backdoor dominant", "G7", "C").words[0]


def test_the_dominant_that_was_given_is_kept_where_it_comes_back():
    found = substitute("related ii", "G13b9", "C")
    assert names(found.chords) == "Dm7 G13b9"
    assert found.readings[1].is_original


def test_a_dominant_without_a_third_has_no_tritone_to_keep():
    found = substitute("tritone substitute", "G7sus4", "C")
    assert not found.keeps_tritone
    assert "G7sus4 has no tritone of 3rd and ♭7th to keep." in found.words


def test_a_name_is_one_of_the_table_and_comes_once():
    assert tuple(found.name for found in substitutes("G7")) == NAMES
    assert len(set(NAMES)) == len(NAMES) == 12


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: substitutes("Cmaj7"), r"no dominant: 'Cmaj7' \(want a chord with a minor seventh"),
        (lambda: substitutes("N.C."), "no dominant: 'N.C.'"),
        (lambda: substitute("sidestep", "G7"), "no such substitute: 'sidestep'"),
        (lambda: substitutes("G7", "H"), "not a key: 'H'"),
        (lambda: substitutes("H7"), "not a chord: 'H7'"),
    ],
)
def test_what_cannot_be_substituted_is_refused_with_what_is_wanted(call, said: str):
    with pytest.raises(TheoryError, match=said):
        call()


def test_an_older_name_is_read_and_a_passing_chord_is_another_thing():
    """Told apart as in Aldwell and Schachter, *Harmony and Voice Leading* (1978, from memory)."""
    assert substitute_name("passing diminished chord") == "leading-note diminished chord"
    assert substitute("passing diminished chord", "G7", "C").name == "leading-note diminished chord"
    leads, passes = (
        functions(text)[1] for text in ("| Cmaj7 C#dim7 | Dm7 |", "| Em7 Ebdim7 | Dm7 |")
    )
    assert (leads.role, passes.role) == ("leading-note diminished", "passing")
    with pytest.raises(TheoryError, match="no such substitute"):
        substitute_name("passing chord")


def test_one_name_is_one_thing_among_colours_and_substitutes():
    shared = {row.pretty for row in COLOURS} & set(NAMES)
    assert shared == {"tritone substitute"}  # whose notes are those of the chord itself
    rootless = {note.semitone for note in colour("its related ii").notes("G7")}
    ii = substitute("related ii of the tritone substitute", "G7", "C").chords[0]
    assert rootless - {note.semitone for note in ii.notes} == {10}  # its 9, B flat
    assert ii.root.semitone not in rootless
