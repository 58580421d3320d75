"""Voicings: what the hands may play, and the smoothest way from one to the next."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, product

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.band.voicing_styles import LOW_INTERVAL_LIMITS, STYLES, sounds_clear
from theorykit.lines.band.voicings import STYLE_NAMES, Voicing, motion, voice_progression, voicings
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import KEYS, Key
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.tunes.progression import Bar, Progression, two_five_one

ROOTS = "C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B".split()


def written(chord: str, **wishes: object) -> list[str]:
    """Return the voicings of a chord as text, without the chord."""
    return [str(one).split(": ")[1] for one in voicings(chord, **wishes)]


# Left-hand voicings of a ii-V-I in C, both positions: Mark Levine, The Jazz Piano Book, 1989, and
# Frank Mantooth, Voicings for Jazz Keyboard, 1986 (both from memory).
@pytest.mark.parametrize(
    ("chord", "third_below", "seventh_below"),
    [
        ("Dm7", "F3 A3 C4 E4", "C4 E4 F4 A4"),
        ("G7", "B3 E4 F4 A4", "F3 A3 B3 E4"),
        ("Cmaj7", "E3 G3 B3 D4", "B3 D4 E4 G4"),
        ("G13b9", "B3 E4 F4 Ab4", "F3 Ab3 B3 E4"),
        ("C6/9", "E3 G3 A3 D4", "A3 D4 E4 G4"),
    ],
)
def test_both_rootless_positions_of_the_handbooks(chord, third_below, seventh_below):
    assert {third_below, seventh_below} <= set(written(chord))


def test_shells_of_the_handbooks():
    # Root, third and seventh, and root, seventh and third: common practice.
    assert written("Dm7", style="shell") == ["D3 F3 C4", "D3 C4 F4"]
    assert written("G7", style="shell") == ["G2 F3 B3", "G3 B3 F4"]
    assert written("Bbm6", style="shell") == ["Bb2 G3 Db4", "Bb3 Db4 G4"]


def test_drop_two_lowers_the_second_voice_from_the_top():
    # Close E G B D, second from the top is B: B E G D. Pease and Pullig (from memory).
    assert "B3 E4 G4 D5" in written("Cmaj7", style="drop 2")


# Wikipedia contributors, Upper structure, undated: the nine triads over a dominant seventh chord.
UPPER_STRUCTURES = {
    "9 #11 13": "A C# E",
    "#9 5 b7": "A# D F",
    "#11 b7 b9": "C# F Ab",
    "b13 1 #9": "Eb G A#",
    "13 b9 3": "E Ab B",
    "b9 3 b13": "Ab B Eb",
    "#9 #11 b7": "A# C# F",
    "#11 13 b9": "C# E Ab",
}


@pytest.mark.parametrize(("tensions", "triad"), UPPER_STRUCTURES.items())
def test_upper_structures_stand_over_the_guide_tones(tensions, triad):
    found = voicings("G7", style="upper structure", colour=degrees(tensions))
    tops = [{str(p.note) for p in one.pitches[2:]} for one in found]
    assert set(triad.split()) in tops
    assert all({str(p.note) for p in one.pitches[:2]} == {"B", "F"} for one in found)


def guide_tones(symbol: str, formula: str) -> set[str]:
    """Return the degrees that tell a kind: written out here, apart from the library's rules."""
    have = set(formula.split())
    thirds = {"3", "b3", "4", "2"} & have
    if symbol == "11":  # a dominant eleventh is played as a suspended chord: common practice
        thirds = {"11"}
    sevenths = {"7", "b7", "bb7"} & have or {"6"} & have
    return thirds | sevenths


@together("style", STYLE_NAMES)
@together("row", CHORD_KINDS, ids=lambda row: row.symbol or "major")
def test_every_kind_on_every_root_has_voicings_that_hold_the_rules(row, style):
    must = {Degree.parse(name) for name in guide_tones(row.symbol, row.formula)}
    low, high = STYLES[style].top
    for root in ROOTS:
        found = voicings(root + row.symbol, style=style)
        assert found
        for one in found:
            assert must <= set(one.degrees)
            assert STYLES[style].lowest <= one.midis[0]
            assert low <= one.midis[-1] <= high
            check_sound(one)


def check_sound(one: Voicing) -> None:
    """Check that a voicing climbs, is clear below, and holds no minor ninth or half step on top."""
    assert all(a < b for a, b in pairwise(one.midis))
    gaps = {(low, high - low) for low, high in combinations(one.midis, 2)}
    assert all(low >= LIMITS.get(gap, 0) for low, gap in gaps)
    assert 13 not in {gap for _, gap in gaps}
    assert one.midis[-1] - one.midis[-2] > 1
    assert [pitch.midi for pitch in one.pitches] == list(one.midis)


# Low interval limits by the name of the lower note, as taught after Pease and Pullig, Modern Jazz
# Voicings (from memory), written out a second time so that a slip in the table shows.
LIMITS = {
    **{1: 52, 2: 51, 3: 48, 4: 46, 5: 46, 6: 47, 7: 34, 8: 43, 9: 41, 10: 41, 11: 41},
    **{13: 40, 14: 39, 15: 36, 16: 34},
}


def test_the_table_of_low_interval_limits():
    assert LIMITS == LOW_INTERVAL_LIMITS
    assert not sounds_clear((45, 48))  # A2 C3: a third in the mud
    assert sounds_clear((48, 51))
    assert sounds_clear((36, 43))  # an open fifth may lie low


@together("style", STYLE_NAMES)
@together("row", COLOURS, ids=str)
def test_a_coloured_voicing_never_contradicts_its_colour(row, style):
    for root in ROOTS:
        for one in voicings(root + "7", style=style, colour=row.degrees):
            check_sound(one)
            for degree in set(one.degrees) - set(row.degrees) - set(degrees("1 3 5 b7")):
                pytest.fail(f"{one} holds {degree}, which is not of {row.name}")
            hand = one.degrees[1:] if style == "shell" else one.degrees  # a shell: root below
            for ours, theirs in product(hand, row.tensions):
                rubs = (ours.semitone - theirs.semitone) % 12 in (1, 11)
                assert not rubs or ours in row.degrees or ours in degrees("3 b7")


@pytest.mark.parametrize(
    ("name", "never"),
    [
        ("b9 13", "9 b13 #9"),
        ("b9 b13", "9 13 5"),
        ("9 #11 13", "b9 #9 b13 5"),
        ("altered", "9 13 5"),
        ("suspended", "3"),
        ("its related ii", "b7 1 9 13 5"),
    ],
)
def test_what_a_colour_rules_out(name, never):
    out = set(degrees(never))
    for style in STYLE_NAMES[1:]:
        for one in voicings("Bb7", style=style, colour=colour(name).degrees):
            assert not out & set(one.degrees)


def test_a_dominant_to_a_minor_chord_takes_the_tensions_of_minor():
    # Common practice: b9 and b13 of V7 are notes of the minor key that it falls to.
    v7, minor, major = Chord.parse("G7"), Chord.parse("Cm6"), Chord.parse("Cmaj7")
    assert {str(d) for d in voicings(v7, target=minor)[0].degrees} == {"3", "b13", "b7", "b9"}
    assert {str(d) for d in voicings(v7, target=major)[0].degrees} == {"3", "13", "b7", "9"}


def test_no_tension_is_added_that_the_key_does_not_hold():
    # The 9 of the iii chord is foreign: Nettles and Graf give it no 9 (from memory).
    iii = voicings("Em7", key=Key.parse("C"))
    assert all(Degree(9) not in one.degrees for one in iii)
    ii = voicings("Dm7", key=Key.parse("C"))
    assert all(Degree(9) in one.degrees for one in ii)


def test_written_tensions_stay():
    assert all(Degree(11, 1) in one.degrees for one in voicings("C7#11"))
    assert all(Degree(5, 1) in one.degrees for one in voicings("C7#5"))
    assert all(Degree(11) in one.degrees for one in voicings("Cm11"))


def test_no_chord_is_silent():
    assert voicings("N.C.") == (Voicing(Chord.parse("N.C."), (), ()),)


def test_a_slash_bass_is_left_to_the_bass():
    assert written("Dm7/G") == written("Dm7")


def test_the_reader_sets_the_top_note():
    for one in voicings("Ebmaj7", style="drop 2", top=(66, 77)):
        assert 66 <= one.midis[-1] <= 77


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"style": "block"}, "no such style: 'block'"),
        ({"top": (70, 60)}, "not a range for the top note"),
        ({"top": (61, 61)}, "no rootless voicing of Dm7 has its top note from MIDI 61 to 61"),
    ],
)
def test_what_cannot_be_voiced_is_refused(wishes, words):
    with pytest.raises(TheoryError, match=words):
        voicings("Dm7", **wishes)


def test_a_colour_needs_a_chord():
    with pytest.raises(TheoryError, match="no chord 7 to colour"):
        voice_progression(two_five_one("C"), colours={7: degrees("b9")})


def way_cost(way: tuple[Voicing, ...]) -> int:
    """Add up the motion of a way through a progression, silence left out."""
    heard = [one.midis for one in way if one.midis]
    return sum(motion(a, b) for a, b in pairwise(heard))


@together("seed", range(25))
def test_no_way_through_four_chords_is_smoother(seed):
    rng = random.Random(seed)
    kinds = [row.symbol for row in CHORD_KINDS]
    names = [rng.choice(ROOTS) + rng.choice(kinds) for _ in range(4)]
    if seed % 5 == 0:
        names[2] = "N.C."
    progression = Progression(Key.parse("C"), tuple(Bar.even(name) for name in names))
    style = rng.choice(STYLE_NAMES)
    found = voice_progression(progression, style=style)
    chords = [one.chord for one in progression.chords]
    options = [
        voicings(chord, style=style, target=following, key=progression.key)
        for chord, following in zip(chords, [*chords[1:], None], strict=True)
    ]
    assert way_cost(found) == min(map(way_cost, product(*options)))


@pytest.mark.parametrize("style", STYLE_NAMES[1:])
def test_a_two_five_one_moves_by_steps_in_every_key(style):
    # Common practice: in rootless voicings no voice need move more than a whole step, and common
    # tones are held. Seven half steps in all leave room for two chord changes of four voices.
    for key in KEYS:
        ii, v, one = voice_progression(two_five_one(key), style=style)
        for before, after in ((ii, v), (v, one)):
            if len(before.midis) == len(after.midis):
                moves = [abs(a - b) for a, b in zip(before.midis, after.midis, strict=True)]
                assert max(moves) <= (2 if style == "rootless" else 4)
                assert sum(moves) <= 8


def test_spelling_in_distant_keys():
    # By degree: the b9 of Ab7 is B double flat, the 3rd of C#7 is E sharp.
    found = voice_progression(two_five_one("Db"), colours={1: degrees("13 b9 3")})
    assert str(found[1]) == "Ab7: C4 F4 Gb4 Bbb4"
    assert "E#4" in str(voice_progression(two_five_one("F#"))[1])


def test_motion_between_voicings_of_different_size():
    assert motion((60, 64, 67), (60, 64, 67)) == 0
    assert motion((60, 64), (59, 64, 67)) == 1 + 0 + 3
    assert motion((59, 64, 67), (60, 64)) == 1 + 0 + 3
    assert motion((), (60, 64)) == 0
