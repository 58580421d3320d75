"""ii-V-I in every key and form, written out by hand; bars, beats, printing and moving."""

from fractions import Fraction

import pytest
from plain import names
from together import together

from theorykit import FORMS, KEYS, Chord, Key, Progression, TheoryError, two_five_one
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Bar, cadence_chords

# ii, V and I of the thirty keys, written out by hand.
CADENCES = {
    "Cb major": "Dbm7 Gb7 Cbmaj7", "Gb major": "Abm7 Db7 Gbmaj7", "Db major": "Ebm7 Ab7 Dbmaj7",
    "Ab major": "Bbm7 Eb7 Abmaj7", "Eb major": "Fm7 Bb7 Ebmaj7", "Bb major": "Cm7 F7 Bbmaj7",
    "F major": "Gm7 C7 Fmaj7", "C major": "Dm7 G7 Cmaj7", "G major": "Am7 D7 Gmaj7",
    "D major": "Em7 A7 Dmaj7", "A major": "Bm7 E7 Amaj7", "E major": "F#m7 B7 Emaj7",
    "B major": "C#m7 F#7 Bmaj7", "F# major": "G#m7 C#7 F#maj7", "C# major": "D#m7 G#7 C#maj7",
    "Ab minor": "Bbm7b5 Eb7 Abm6", "Eb minor": "Fm7b5 Bb7 Ebm6", "Bb minor": "Cm7b5 F7 Bbm6",
    "F minor": "Gm7b5 C7 Fm6", "C minor": "Dm7b5 G7 Cm6", "G minor": "Am7b5 D7 Gm6",
    "D minor": "Em7b5 A7 Dm6", "A minor": "Bm7b5 E7 Am6", "E minor": "F#m7b5 B7 Em6",
    "B minor": "C#m7b5 F#7 Bm6", "F# minor": "G#m7b5 C#7 F#m6", "C# minor": "D#m7b5 G#7 C#m6",
    "G# minor": "A#m7b5 D#7 G#m6", "D# minor": "E#m7b5 A#7 D#m6", "A# minor": "B#m7b5 E#7 A#m6",
}  # fmt: skip
PATTERNS = {"long": "{0} | {1} | {2}", "short": "{0} {1} | {2}", "split": "{0} | {0} {1} | {2}"}
LENGTHS = {"long": [4, 4, 4], "short": [2, 2, 4], "split": [4, 2, 2, 4]}
each_key = together("key", KEYS, ids=str)
each_form = together("form", FORMS)


@each_key
def test_two_five_and_one_are_those_written_by_hand(key: Key):
    assert names(cadence_chords(key)) == CADENCES[str(key)]


@each_form
@each_key
def test_a_form_sets_the_chords_into_bars_and_beats(key: Key, form: str):
    found = two_five_one(key, form)
    assert str(found) == PATTERNS[form].format(*CADENCES[str(key)].split())
    assert [placed.beats for placed in found.chords] == LENGTHS[form]
    assert {bar.beats for bar in found.bars} == {4}
    assert found.beats == 4 * len(found.bars) == sum(bar.beats for bar in found.bars)
    assert found.key == key


@each_form
@each_key
def test_a_form_moved_from_c_is_the_form_of_the_other_key(key: Key, form: str):
    home = two_five_one(f"C {key.mode}", form)
    assert home.transposed(key) == two_five_one(key, form)
    assert home.transposed(key).transposed(home.key) == home


@each_key
def test_v_leads_to_i_a_fifth_down(key: Key):
    *_, five, one = (placed.chord for placed in two_five_one(key).chords)
    assert (one.root.semitone - five.root.semitone) % 12 == 5
    assert one.root == key.tonic


def test_chords_follow_each_other_without_a_gap():
    split = two_five_one("C", "split")
    placed = split.chords
    assert [chord.start for chord in placed] == [0, 4, 6, 8]
    assert [chord.end for chord in placed] == [4, 6, 8, 12]
    assert [chord.bar for chord in placed] == [0, 1, 1, 2]
    assert split.bar_starts == (0, 4, 8, 12)


@pytest.mark.parametrize(
    ("beat", "chord"),
    [(-1, "Dm7"), (0, "Dm7"), (5, "Dm7"), (6, "G7"), ("15/2", "G7"), (99, "Cmaj7")],
)
def test_the_chord_at_a_beat(beat: object, chord: str):
    found = two_five_one("C", "split").chord_at(Fraction(beat))  # type: ignore[arg-type]
    assert str(found.chord) == chord


def test_bars_print_slashes_only_where_beats_are_uneven():
    assert str(Bar.even("Dm7", "G7")) == "Dm7 G7"
    assert str(Bar.of(("Dm7", 3), ("G7", 1))) == "Dm7 / / G7"
    assert str(Bar.of(("Dm7", Fraction(1, 2)), ("G7", Fraction(1, 3)))) == "Dm7 / / G7 /"
    assert str(Bar.even("C", beats=3)) == "C"


def test_a_progression_prints_signs_for_the_eye():
    bars = (Bar.even("N.C.", "Bb7b9"), Bar.of(("Ebmaj7", 3), ("Bb7/F", 1)))
    assert Progression(Key.parse("Eb"), bars).pretty == "N.C. B♭7♭9 | E♭maj7 / / B♭7/F"
    assert two_five_one("Db").pretty == "E♭m7 | A♭7 | D♭maj7"


def test_no_chord_stays_no_chord_in_another_key():
    bars = (Bar.even("N.C.", "Db7"), Bar.even("C6"))
    assert str(Progression(Key.parse("C"), bars).transposed("Gb")) == "N.C. G7 | Gb6"


@pytest.mark.parametrize("form", ["", "endless", "Long", None, 3, "l" * 10_000])
def test_a_form_that_does_not_exist_is_refused(form: object):
    with pytest.raises(TheoryError, match="no such form"):
        two_five_one("C", form)  # type: ignore[arg-type]


@pytest.mark.parametrize("key", ["H", "", None, 7, Chord.parse("C")])
def test_a_key_that_does_not_exist_is_refused(key: object):
    with pytest.raises(TheoryError, match="not a key"):
        two_five_one(key)  # type: ignore[arg-type]


def test_a_progression_does_not_move_between_major_and_minor():
    with pytest.raises(TheoryError, match="cannot move C major to C minor"):
        two_five_one("C").transposed("C minor")


def test_an_empty_bar_or_progression_is_refused():
    with pytest.raises(TheoryError, match="not a bar"):
        Bar.of()
    with pytest.raises(TheoryError, match="not a bar"):
        Bar.of(("C", 0))
    with pytest.raises(TheoryError, match="without a bar"):
        Progression(Key.parse("C"), ())


# How a copyist writes the part (common practice): what stands on a forced name in one key has its
# own name in the other, the chords that fall to it by fifths with it.
@together(
    ("key", "bars", "to", "wanted"),
    [
        ("Bb", "B7 | Bbmaj7", "C", "Db7 | Cmaj7"),  # for Cb7
        ("Bb", "F#m7 B7 | Bbmaj7", "G", "Ebm7 Ab7 | Gmaj7"),
        ("Bb", "C#m7 F#7 | Bmaj7", "C", "Ebm7 Ab7 | Dbmaj7"),
        ("Gb", "A7 | Abm7 G7 | Gb6", "Eb", "Gb7 | Fm7 E7 | Eb6"),  # E7 for Fb7, forced anew
        ("Db", "Fm7 E7 | Ebm7 Ab7", "Bb", "Dm7 Db7 | Cm7 F7"),
        ("Ab", "Bm7 E7 | Amaj7", "F", "Abm7 Db7 | Gbmaj7"),
        ("Ab", "Bdim7 | Bbm7", "F", "Abdim7 | Gm7"),  # the flat III, which falls
        ("Bb", "Bdim7 | Cm7", "C", "C#dim7 | Dm7"),  # the raised I, which rises
        ("E", "Fm7 Bb7 | Ebmaj7", "F", "F#m7 B7 | Emaj7"),  # for D# major
        ("F#", "F7 | A#m7", "G", "F#7 | Bm7"),  # for E#7
        ("B", "Am7 D7 | Gmaj7", "Ab", "F#m7 B7 | Emaj7"),  # a ii a fourth below its V, by letters
        ("C", "E7 Am7 | D7 | Gmaj7", "Gb", "Bb7 Ebm7 | Ab7 | Dbmaj7"),
        ("C", "Fm7 Bb7 | Cmaj7", "Db", "F#m7 B7 | Dbmaj7"),
        # what the composer chose freely stays
        ("C", "C#7 | F#m7 B7", "D", "D#7 | G#m7 C#7"),
        ("F", "F#m7 B7 | Emaj7", "G", "G#m7 C#7 | F#maj7"),
        ("C", "C#dim7 | Dm7", "Eb", "Edim7 | Fm7"),
        ("C", "Eb7 N.C. | Abmaj7", "D", "F7 N.C. | Bbmaj7"),
    ],
)
def test_a_forced_name_is_not_carried_into_another_key(key, bars, to, wanted):
    chart = Chart.parse(f"key: {key}\n| {bars} |")
    for moved in (chart.transposed(to).progression, chart.progression.transposed(to)):
        assert str(moved) == wanted
