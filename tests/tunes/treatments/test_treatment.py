"""Treatments: proposed, set, applied, undone, kept as text, and told in words."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, strategies as st
from labelled_charts import CASES, chart_of
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.harmony.substitution import NAMES
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.cadences import cadences, dominants
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import LEVELS, Choice, Treatment
from theorykit.tunes.treatments.choice import coloured
from theorykit.tunes.treatments.palette import colours_at

LONG = Chart.of("Bb", "Cm7", "F7", "Bbmaj7", "%")
WALTZ = Chart.parse("key: G\nmetre: 3/4\n|: Am7 | D7 | 1. Gmaj7 | E7 :| 2. G6 | % |")


def row(chart):
    return " | ".join(map(str, chart.bars))


def test_a_long_cadence_is_split_and_coloured_for_its_target():
    # The V bar of a long ii-V heard as a short one: ii | ii V | I (common practice).
    assert row(Treatment.proposed(LONG, variety=1).applied(LONG)) == (
        "Cm7 | Cm7 F13b9 | Bbmaj7 | Bbmaj7"
    )
    minor = Chart.of("G minor", "Am7b5", "D7", "Gm6", "%")
    assert row(Treatment.proposed(minor, variety=1).applied(minor)) == (
        "Am7b5 | Am7b5 D7b9b13 | Gm6 | Gm6"
    )


def test_a_v_to_minor_gets_a_half_diminished_ii_whatever_stood_before():
    chart = Chart.of("G minor", "Am7", "D7", "Gm6", "%")
    assert row(Treatment.plain(chart).set(0, split=True).applied(chart)) == (
        "Am7 | Am7b5 D7 | Gm6 | Gm6"
    )


@pytest.mark.parametrize(
    ("key", "bars", "level", "wanted"),
    # A V that is written suspended stays so, by the target (common practice).
    [
        ("C", "Dm7 | G9sus4 | Cmaj7 | %", "first", {"suspended"}),
        ("C", "Dm7 | G9sus4 | Cmaj7 | %", "third", {"suspended", "suspended b9"}),
        ("Db", "Ebm7 | Ab7sus4 | Dbmaj7 | %", "first", {"suspended"}),
        ("F# minor", "G#m7b5 | C#7sus4 | F#m6 | %", "first", {"suspended b9"}),
        ("Bb minor", "Cm7b5 | F7sus4b9 | Bbm6 | %", "third", {"suspended b9"}),
        ("C", "Dm7 | G7sus4 G7 | C6 | %", "first", {"b9 13"}),
        ("C", "Dm7 | Dm7/G G7 | C6 | %", "first", {"b9 13"}),
    ],
)
def test_a_suspended_v_is_offered_a_suspended_colour(key, bars, level, wanted):
    chart = Chart.parse(f"key: {key}\n| {bars} |")
    treatment = Treatment.proposed(chart, level=level, variety=3)
    assert {choice.colour for choice in treatment.choices} <= wanted
    assert treatment.choices
    new = treatment.applied(chart)
    last = new.bars[1].content.chords[-1]
    assert last.kind.is_dominant
    assert last.kind.has("3") == wanted.isdisjoint({"suspended", "suspended b9"})
    assert treatment.undone(new) == chart


def test_all_colours_for_a_suspended_v_leave_the_3_out():
    for mode in ("major", "minor"):
        for level in LEVELS:
            for name in colours_at(level, f"suspended {mode}"):
                assert colour(name).suits(mode)
                assert Degree(3) not in colour(name).degrees


def test_a_v_that_is_no_dominant_seventh_has_no_choice_and_it_is_said_why():
    chart = Chart.of("C", "Dm7", "Dm7/G", "Cmaj7", "%")
    assert len(cadences(chart)) == 1
    with pytest.raises(TheoryError, match=r"no cadence 0 .* such as G9sus4 for Dm7/G"):
        Treatment.plain(chart).set(0, colour="suspended")


@pytest.mark.parametrize(
    ("key", "bars", "split"),
    # By hand: the ii that the chart writes keeps its name to the end of its cadence. Where the
    # chart writes it by another name than its V asks for, a root that the key of the page holds has
    # that name; any other is written by its plain name, and the V a fourth above it.
    [
        ("B", "E#m7b5 | A#7 | D#m7 | %", "E#m7b5 | E#m7b5 A#7 | D#m7 | D#m7"),
        ("F#", "E#m7b5 | A#7 | D#m7 | %", "E#m7b5 | E#m7b5 A#7 | D#m7 | D#m7"),
        ("D# minor", "B#m7b5 | E#7 | A#m7 | %", "B#m7b5 | B#m7b5 E#7 | A#m7 | A#m7"),
        ("A# minor", "B#m7b5 | E#7 | A#m6 | %", "B#m7b5 | B#m7b5 E#7 | A#m6 | A#m6"),
        ("Gb", "Bm7 | E7 | A6 | %", "Bm7 | Bm7 E7 | A6 | A6"),
        ("Eb minor", "Fm7b5 | Bb7 | Ebm6 | %", "Fm7b5 | Fm7b5 Bb7 | Ebm6 | Ebm6"),
        ("B", "E#m7b5 | A#7/C## | D#m7 | %", "E#m7b5 | E#m7b5 A#7/C## | D#m7 | D#m7"),
        ("B", "Fm7b5 | A#7 | D#m7 | %", "Fm7b5 | Fm7b5 Bb7 | D#m7 | D#m7"),
        ("B", "E#m7b5 | Bb7 | D#m7 | %", "E#m7b5 | Fm7b5 Bb7 | D#m7 | D#m7"),
        ("F#", "Fm7b5 | A#7 | D#m7 | %", "Fm7b5 | E#m7b5 A#7 | D#m7 | D#m7"),
        ("D# minor", "Cm7b5 | E#7 | A#m7 | %", "Cm7b5 | Cm7b5 F7 | A#m7 | A#m7"),
    ],
)
def test_a_split_bar_is_written_on_roots_that_can_be_read(key, bars, split):
    chart = Chart.parse(f"key: {key}\n| {bars} |")
    treatment = Treatment.plain(chart).set(0, split=True)
    new = treatment.applied(chart)
    assert row(new) == split
    assert treatment.undone(new) == chart


TUNES = sorted((Path(__file__).parents[3] / "workbook" / "tunes").glob("*.txt"))


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_a_treated_tune_has_readable_roots_in_every_key(file: Path, level: str):
    """No double accidentals; E#, B#, Cb and Fb only where the key has them (common practice).

    Besides there the ii of a V of the key: E#m7b5 A#7 in B and not Fm7b5 A#7.
    The ii that a split brings stands a fourth below its V by letters too.
    """
    tune = Chart.parse(file.read_text())
    for key in (key for key in KEYS if key.is_minor == tune.key.is_minor):
        moved = tune.transposed(key)
        treatment = Treatment.proposed(moved, level=level)
        new = treatment.applied(moved)
        assert treatment.undone(new) == moved
        for place in (*moved.played, *new.played):
            assert _reads(place.chord, key), (str(key), str(place.chord))
        for choice in treatment.choices:
            if choice.split:
                ii, v = new.bars[choice.bar - 1].content.chords[:2]
                assert above(ii.root, Degree(4)) == v.root, (str(key), str(ii), str(v))


def _reads(chord: Chord, key: Key) -> bool:
    """Tell whether a root is plain, or of the key (or of the ii of its V) and easily read there.

    The seventh may be doubly flat, as the B double flat of Cb7 in G flat is; third and fifth not.
    """
    if chord.is_silent or chord.root not in AWKWARD:
        return True
    tones = {above(chord.root, degree) for degree in chord.degrees if degree.number <= 5}
    doubles = {note for note in tones if abs(note.alteration) > 1}
    of_five = chord.kind.has("b3") and above(chord.root, Degree(4)) in key.notes
    at_home = chord.root in key.notes or of_five
    return at_home and doubles <= {above(key.tonic, Degree(7))}


def test_a_waltz_is_split_two_and_one_and_keeps_its_repeat():
    new = Treatment.plain(WALTZ).set(0, split=True).applied(WALTZ)
    assert row(new) == "Am7 | Am7 / D7 | Gmaj7 | E7 | G6 | G6".replace(" / ", " ")
    assert new.bars[1].content.lengths == (2, 1)
    assert new.played_bars == WALTZ.played_bars


def test_a_repeat_shows_two_cadences_on_one_dominant():
    found = cadences(WALTZ)
    assert [(c.v, c.bars) for c in found] == [(1, (1, 3)), (5, (5, 7))]
    first, second = dominants(WALTZ)
    assert (first.cadences, second.cadences) == ((0, 1), ())  # E7 goes to a ii: it is in a chain
    treatment = Treatment.plain(WALTZ)
    assert treatment.set(0, colour="b9") == treatment.set(1, colour="b9")
    assert str(treatment.set(1, colour="♭9")).splitlines()[0] == (
        "bar 2 of | D7 |, cadences 1 2: colour b9"
    )


def test_each_pass_may_differ_once_the_chart_is_written_out():
    flat = WALTZ.unrolled
    treatment = Treatment.plain(flat).set(0, colour="b9").set(1, colour="9 #11 13")
    assert row(treatment.applied(flat)) == ("Am7 | D7b9 | Gmaj7 | E7 | Am7 | D13#11 | G6 | G6")


def test_a_v_held_over_bars_and_clothes_is_coloured_throughout():
    chart = Chart.of("F", "Gm7", "C7sus4 C7", "C7", "F6")
    (one,) = dominants(chart)
    assert (one.bar, one.beat, one.written) == (2, 1, ("C7sus4 C7", "C7"))
    new = Treatment.plain(chart).set(0, colour="b9").applied(chart)
    assert row(new) == "Gm7 | C7sus4 C7b9 | C7b9 | F6"


def test_substitutes_take_the_place_of_the_last_symbol():
    chart = Chart.of("F", "Gm7", "C7", "%", "F6")
    treatment = Treatment.plain(chart)
    assert row(treatment.set(0, substitute="tritone substitute").applied(chart)) == (
        "Gm7 | C7 | Gb7 | F6"
    )
    pair = treatment.set(0, substitute="ii-V of the tritone substitute", colour="9 #11 13")
    assert row(pair.applied(chart)) == "Gm7 | C13#11 | Dbm7 Gb13#11 | F6"


def test_the_dominants_inside_a_chain_are_reached_by_their_bar():
    chart = Chart.of("C", "C6", "A7", "D7", "G7", "C6", "%")
    assert [(d.bar, d.cadences) for d in dominants(chart)] == [(2, ()), (3, ()), (4, (0,))]
    new = Treatment.plain(chart).set_bar(3, colour="lydian dominant").applied(chart)
    assert row(new) == "C6 | A7 | D9#11 | G7 | C6 | C6"


def test_variety_and_seed():
    chart = Chart.of("C", *["Dm7 G7", "C6"] * 12)
    for level in LEVELS:
        for variety in (1, 2, 4):
            proposal = Treatment.proposed(chart, level=level, variety=variety, seed=5)
            used = [choice.colour for choice in proposal.choices]
            assert len(set(used)) <= variety
            assert variety == 1 or all(a != b for a, b in pairwise(used))
            assert proposal == Treatment.proposed(chart, level=level, variety=variety, seed=5)
    seeds = {str(Treatment.proposed(chart, level="third", variety=4, seed=s)) for s in range(8)}
    assert len(seeds) > 4


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("seed", range(6))
def test_every_proposed_colour_suits_its_target(level, seed):
    for case in CASES:
        chart = chart_of(case)
        proposal = Treatment.proposed(chart, level=level, variety=9, seed=seed)
        for choice, one in zip(proposal.choices, dominants(chart), strict=True):
            if not one.substitute:
                assert colour(choice.colour).suits(one.mode), (case.what, choice)
            assert choice.split == one.is_long


@together("one", COLOURS, ids=str)
def test_every_colour_has_a_symbol_that_says_no_more_than_it_holds(one):
    # A symbol may leave notes of a scale out; what it adds to the seventh chord is in the colour.
    chord = coloured(Chord.parse("Ab7/C"), one)
    assert Chord.parse(str(chord)) == chord
    assert (str(chord.root), str(chord.bass)) == ("Ab", "C")
    held = {degree.semitone for degree in (*one.degrees, *one.passing)}
    plain = {0, 4, 7, 10}
    natural = {2, 9} if one.name in ("suspended",) else {2} if 9 in held else set()
    assert {degree.semitone for degree in chord.degrees} <= held | plain | natural


# The symbol that is written for each colour (common practice).
SYMBOLS = {
    "b9": "G7b9",
    "b9 13": "G13b9",
    "b9 b13": "G7b9b13",
    "9 #11 13": "G13#11",
    "#9 b13": "G7#9b13",
    "half-whole diminished": "G13b9",
    "altered": "G7alt",
    "whole tone": "G9#5",
    "lydian dominant": "G9#11",
    "minor's own": "G7b9b13",
    "suspended": "G9sus4",
    "suspended b9": "G7sus4b9",
}


@together(("name", "symbol"), SYMBOLS.items())
def test_symbols_of_colours(name, symbol):
    assert str(coloured(Chord.parse("G7"), name)) == symbol


# -- applied, undone, kept ---------------------------------------------------------------------


@st.composite
def treated(draw):
    chart = draw(st.sampled_from([chart_of(case) for case in CASES] + [LONG, WALTZ]))
    treatment = Treatment.proposed(chart, level="third", variety=4, seed=draw(st.integers(0, 99)))
    for one in dominants(chart):
        name = draw(st.sampled_from(["", "", "tritone substitute", "suspended version"]))
        treatment = treatment.set_bar(one.bar, beat=one.beat, substitute=name)
    return chart, treatment


@given(treated())
def test_undoing_gives_the_chart_that_was_treated(pair):
    chart, treatment = pair
    new = treatment.applied(chart)
    assert treatment.undone(new) == chart
    assert (new == chart) == all(choice.is_plain for choice in treatment.choices)
    assert Chart.parse(str(new)) == new


@given(treated())
def test_text_is_read_back(pair):
    _, treatment = pair
    assert Treatment.parse(str(treatment)) == treatment


@given(treated())
def test_a_treatment_leaves_all_else_alone(pair):
    chart, treatment = pair
    new = treatment.applied(chart)
    touched = {
        number
        for choice in treatment.choices
        for number in range(choice.bar - 1, choice.bar - 1 + len(choice.written))
    }
    assert len(new.bars) == len(chart.bars)
    for number, (old, now) in enumerate(zip(chart.bars, new.bars, strict=True)):
        assert number in touched or old == now
        assert (old.metre, old.opens, old.closes, old.ending) == (
            *(now.metre, now.opens),
            *(now.closes, now.ending),
        )


@together("name", NAMES)
def test_every_substitute_fits_a_bar_and_comes_off_again(name):
    for key, bars in (("F", "Gm7 | C7 | F6"), ("D minor", "Em7b5 | A7 | Dm6")):
        chart = Chart.parse(f"key: {key}\n| {bars} |")
        treatment = Treatment.plain(chart).set(0, substitute=name)
        new = treatment.applied(chart)
        assert new != chart
        assert treatment.undone(new) == chart


def test_no_room_is_told():
    chart = Chart.of("F", "Gm7 / / C7", "F6")
    fine = Treatment.plain(chart).set(0, substitute="related ii").applied(chart)
    assert fine.bars[0].content.lengths == (3, Fraction(1, 2), Fraction(1, 2))
    short = Chart.of("F", "F6 F6 F6 F6 F6 F6 Gm7 C7", "F6")
    with pytest.raises(TheoryError, match="no room for 4 chords"):
        Treatment.plain(short).set(0, substitute="side step").applied(short)


def test_another_chart_is_refused():
    treatment = Treatment.proposed(LONG)
    with pytest.raises(TheoryError, match=r"bar 2 is 'G7' in this chart .* 'F7'"):
        treatment.applied(Chart.of("C", "Dm7", "G7", "C6"))
    with pytest.raises(TheoryError, match="was not applied"):
        treatment.undone(Chart.of("Bb", "Cm7", "Cm7 B7", "Bbmaj7", "%"))
    with pytest.raises(TheoryError, match="no bar 2"):
        treatment.undone(Chart.of("Bb", "Cm7"))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Treatment.proposed(LONG, level="fourth"),
        lambda: Treatment.proposed(LONG, variety=0),
        lambda: Treatment.plain(LONG).set(1, colour="b9"),
        lambda: Treatment.plain(LONG).set_bar(1, colour="b9"),
        lambda: Treatment.plain(LONG).set(0, colour="blue"),
        lambda: Treatment.plain(LONG).set(0, substitute="nothing at all"),
        lambda: Treatment.plain(LONG).choice_for(7),
        lambda: Choice(0, Fraction(1), ("C7",)),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(TheoryError):
        make()


def test_only_a_long_cadence_is_split():
    chart = Chart.of("C", "Dm7 G7", "C6")
    with pytest.raises(TheoryError, match="only a long cadence"):
        Treatment.plain(chart).set(0, split=True).applied(chart)


@pytest.mark.parametrize(
    "line",
    [
        "bar 2: split",
        "bar x of | F7 |: split",
        "bar 2 of | F7 |: split, split",
        "bar 2 of | F7 |: colour",
        "bar 2 of | F7 |: colour blue",
        "bar 2 of | F7 |: substitute b9",
        "bar 2 beat 1/0 of | F7 |: split",
        "bar 2 of | F7 |: louder",
        "bar 0 of | F7 |: split",
        "x" * 5000,
    ],
)
def test_lines_that_are_no_choice_are_refused_with_their_number(line):
    with pytest.raises(TheoryError, match="line 2: "):
        Treatment.parse(f"bar 1 of | G7 |: as written\n{line}")


@pytest.mark.parametrize("line", [None, 4, 1.5, ["bar 2 of | F7 |: split"], b"bar 2"])
def test_what_is_no_text_is_no_choice(line):
    with pytest.raises(TheoryError, match="not a choice"):
        Choice.parse(line)


# -- in words ----------------------------------------------------------------------------------


def test_the_plan_for_a_long_cadence():
    treatment = Treatment.plain(LONG).set(0, split=True, colour="b9 13")
    assert treatment.plan(LONG) == (
        "bars 1-3: the long ii-V to B♭; think of the V bar as Cm7 F7, and over F7 play ♭9 13: "
        "the D major triad on the 6th of V, which is the 3rd of I.",
    )


def test_the_plan_tells_every_dominant_and_reads_as_sentences():
    for case in CASES:
        chart = chart_of(case)
        for treatment in (Treatment.plain(chart), Treatment.proposed(chart, level="third")):
            plan = treatment.plan(chart)
            assert len(plan) == len(dominants(chart))
            for text in plan:
                assert text.startswith(("bar ", "bars "))
                assert text.endswith(".")
                assert "None" not in text
                assert "  " not in text


def test_the_plan_names_substitutes_chains_and_the_way_round():
    chart = Chart.of("C", "C6", "A7", "D7", "Dm7 G7")
    plan = (
        Treatment.plain(chart)
        .set_bar(2, colour="b9")
        .set(0, substitute="tritone substitute")
        .plan(chart)
    )
    assert plan[0].startswith("bar 2: A7 on the way to D7; over A7 play ♭9: ")
    assert plan[1] == "bar 3: D7 on the way to G7; play D7 as it is written."
    assert plan[2] == (
        "bars 4 round to 1: the short ii-V to C; play D♭7 for G7 (tritone substitute)."
    )


@pytest.mark.parametrize(("metre", "bar"), [("6/8", "Dm7 G7 F6"), ("12/8", "Dm7 G7 F6 C6 A7 D7")])
def test_thirds_of_a_beat_are_kept_and_shared_where_beats_are_dotted(metre, bar):
    """In 6/8 three chords of a bar have two thirds of a beat each, and so have their colours."""
    chart = Chart.of("C", bar, "C6", metre=metre)
    treatment = Treatment.plain(chart).set_bar(
        1, beat=chart.played[1].beat, colour="b9", substitute="related ii"
    )
    new = treatment.applied(chart)
    assert [str(chord) for chord in new.bars[0].chords][1:3] == ["Dm7", "G7b9"]
    assert sum(new.bars[0].content.lengths) == chart.metre.beats
    assert treatment.undone(new) == chart


@pytest.mark.parametrize(
    ("name", "said"),
    # The chord meant is named: neither D flat 7 nor E7 is the V of C.
    [
        ("tritone substitute", "over D♭7 play 9 ♯11 13: the E♭ major triad on the 9th of D♭7"),
        ("dominant a minor third below", "over E7 play 9 ♯11 13: the F♯ major triad on the 9th of"),
    ],
)
def test_the_plan_of_a_substitute_names_the_chord_that_is_meant(name: str, said: str):
    chart = Chart.of("C", "Dm7", "G7", "Cmaj7", "Cmaj7", "Dm7 Db7", "C6")
    changed = Treatment.plain(chart).set(0, colour="9 #11 13", substitute=name)
    first, second = changed.set(1, colour="lydian dominant").plan(chart)
    assert said in first
    assert "of V" not in first + second
    assert "A♭ melodic minor scale on the 5th of D♭7" in second


def test_two_lines_for_one_place_are_refused():
    row = "bar 2 of | G7 |, cadence 1: split\n"
    with pytest.raises(TheoryError, match="line 2: a second choice for one place"):
        Treatment.parse(row * 2)
    with pytest.raises(TheoryError, match="line 2: a second choice for one place"):
        Treatment.parse(row + row.replace("split", "colour b9"))
