"""The colour of V is heard, and the major 3rd over a minor chord is slid into."""

from __future__ import annotations

from itertools import pairwise

import pytest
from sweeps import some_and_all

from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.chord_palette import palettes
from theorykit.lines.text import Line
from theorykit.lines.writing import Wishes, broken_rules, write_lines
from theorykit.lines.writing.whole_line import RULES
from theorykit.notes.degree import Degree
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.progression import FORMS, two_five_one

RANGE = (55, 84)


@pytest.mark.parametrize(
    ("name", "text", "rule"),
    [
        ("suspended", "8th D5 F5 A5 C6 B5 A5 F5 C5 | whole D5", RULES[13]),
        ("whole tone", "8th D5 F5 A5 C6 B5 C#5 Eb5 D5 | whole E5", RULES[14]),
        ("b9", "8th D5 A5 F#5 F5 B4 D5 Ab4 F4 | whole E4", RULES[15]),
    ],
)
def test_what_undoes_the_harmony_is_found(name, text, rule):
    line = Line.parse(text, two_five_one("C", "short"))
    assert rule in broken_rules(line, colour(name), RANGE)


def test_a_sharp_nine_needs_the_third_unless_its_colour_has_four_tensions():
    """A ♯9 alone is the minor third, and with a ♯11 the ii of another key (common practice)."""
    over = two_five_one("C", "short")
    without = Line.parse("8th D5 F5 A5 C6 Bb5 G5 F5 D5 | whole E5", over)
    assert RULES[1] in broken_rules(without, colour("#9"), RANGE)
    v = {row.name: palettes(over, row)[1].hallmarks for row in COLOURS}
    third = {name for name, sounds in v.items() if 11 in sounds}
    assert third == {"#9", "#9 b13", "#9 #11", "its related ii"}


def test_into_minor_the_tensions_of_the_key_need_the_third():
    """b9 and b13 stand in the signature; without the leading note ii goes on (common practice)."""
    over = two_five_one("A minor", "short")
    v = {row.name: palettes(over, row)[1].hallmarks for row in COLOURS if row.suits("minor")}
    third = {name for name, sounds in v.items() if 8 in sounds}
    assert third == {
        *("b9", "b9 b13", "minor's own"),
        *("#9", "#9 b13", "#9 #11", "its related ii"),
    }


@pytest.mark.parametrize(
    ("name", "text", "rule"),
    [
        # C minor: the plain notes of the signature over G7, and the same with its leading note.
        ("b9 b13", "8th D5 F5 Ab5 C6 F5 D5 Ab4 Eb5 | whole Eb5", RULES[20]),
        # The natural 9 between a whole and a half step, the natural 13 after a third.
        ("b9", "8th D5 F5 Ab5 C6 B5 A5 Ab5 F5 | whole Eb5", RULES[21]),
        ("b9", "8th D5 F5 Ab5 C6 B5 Ab5 G5 E5 | whole Eb5", RULES[21]),
        ("#9", "8th D5 F5 Ab5 C6 B5 Bb5 C6 A5 | whole G5", RULES[21]),
        ("suspended b9", "8th D5 F5 Ab5 C6 F5 Ab4 C5 Db5 | whole Eb5", RULES[21]),
        ("b9", "8th D5 F5 Ab5 C6 B5 F5 D5 Ab4 | whole A4", RULES[22]),
        # B natural is heard, and Bb goes up to C.
        ("#9", "8th D5 F5 Ab5 C6 B4 D5 F5 Bb4 | whole C5", RULES[22]),
        # A natural passes, and no V is heard: Ab is a note of the key.
        ("b9", "8th D5 F5 Ab5 C6 Bb5 A5 Ab5 F5 | whole Eb5", RULES[20]),
        # Db between Eb and C: the scale of another key.
        ("b9", "8th F5 Eb5 Db5 C5 B4 D5 F5 Ab5 | whole G5", RULES[23]),
        # F# is heard twice over G7, the chosen Ab once.
        ("b9", "8th D5 F5 Ab5 C6 Ab5 F#5 G5 F#5 | whole G5", RULES[24]),
        # The natural 5 of Dm7b5 between two skips.
        ("b9", "8th F5 A5 D5 C6 B5 Ab5 F5 Ab5 | whole G5", RULES[21]),
    ],
)
def test_what_denies_v_or_its_colour_is_found(name, text, rule):
    """The 3rd or a foreign note makes V, no colour is denied, a b9 falls (common practice)."""
    over = two_five_one("C minor", "short")
    assert rule in broken_rules(Line.parse(text, over), colour(name), RANGE)
    good = Line.parse("8th D5 F5 Ab5 C6 B5 Ab5 F5 Ab5 | whole G5", over)
    assert not {rule} & set(broken_rules(good, colour(name), RANGE))


@pytest.mark.parametrize("key", ["C", "Db", "F# minor", "Bb minor"])
def test_lines_into_every_key_say_v_and_do_not_deny_its_colour(key):
    """Minor by its signature; what is foreign over V is told by its distance from the tonic."""
    own = {0, 2, 3, 5, 7, 8, 10} if "minor" in key else {0, 2, 4, 5, 7, 9, 11}
    for row in (one for one in COLOURS if one.suits(Key.parse(key).mode)):
        for line in write_lines(two_five_one(key, "short"), row, count=3, seed=6):
            v, home = line.progression.chords[-2:]
            tonic = home.chord.root.semitone
            notes = [n for n in line.notes if v.start <= n.start < home.start]
            sounds = {(n.pitch.midi - tonic) % 12 for n in notes}
            suspended = "suspended" in row.name
            tight = len(notes) <= len(row.tensions)
            assert suspended or tight or 11 in sounds or sounds - own, line.text
            landing = next(n for n in line.notes if n.start == home.start)
            last = notes[-1].pitch.midi
            assert (last - tonic) % 12 != 8 or landing.pitch.midi <= last, line.text


@pytest.mark.parametrize("keys", some_and_all(KEYS[::11], KEYS))
def test_every_line_lets_its_colour_be_heard(keys):
    for number, key in enumerate(keys):
        for place, row in enumerate(COLOURS):
            form = FORMS[(number + place) % len(FORMS)]
            manner = "sung" if place % 4 == 3 else "played"
            over = two_five_one(key, form)
            (line,) = write_lines(over, row, count=1, seed=77, wishes=Wishes(manner=manner))
            chords = over.chords
            v = chords[-2]
            root = v.chord.root.semitone
            above_v = [n for n in line.notes if v.start <= n.start < v.end]
            sounds = [(n.pitch.midi - root) % 12 for n in above_v]
            tensions = {d.semitone for d in row.tensions}
            if 3 in tensions:
                assert {4, 6} & set(sounds), line.text
            if row.name.startswith("suspended"):
                assert 4 not in sounds, line.text
            if row.scale:
                own = {d.semitone for d in (*row.degrees, *row.passing)}
                assert sounds[-1] in own, line.text
                assert all(s in own for s, n in zip(sounds, above_v, strict=True) if n.beats >= 1)
            for one, other in pairwise(line.notes):
                chord = over.chord_at(other.start).chord
                minor = Degree(3, -1) in chord.degrees
                if minor and (other.pitch.midi - chord.root.semitone) % 12 == 4:
                    assert abs(one.pitch.midi - other.pitch.midi) == 1, line.text
