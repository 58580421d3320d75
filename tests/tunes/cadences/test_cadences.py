"""What cadences tell beside their labels, the keys of a tune, and what must not change them."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import given, strategies as st
from labelled_charts import CASES, chart_of, label_of

from theorykit.notes.chord import Chord
from theorykit.notes.degree import enharmonics
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.bars import COMMON_TIME, ChartBar, Section
from theorykit.tunes.cadences import cadences, dominants, key_regions
from theorykit.tunes.cadences.found import KINDS
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import stands_on
from theorykit.tunes.home_key import home_key
from theorykit.tunes.progression import FORMS, Bar, two_five_one


def only(chart, index=0):
    return cadences(chart)[index]


def test_precision_and_recall_over_the_labelled_charts_are_one():
    found, wanted, right = 0, 0, 0
    for case in CASES:
        labels = [label_of(cadence) for cadence in cadences(chart_of(case))]
        found += len(labels)
        wanted += len(case.labels)
        right += sum(label in case.labels for label in labels)
    assert wanted > 75
    assert right / found == right / wanted == 1


@pytest.mark.parametrize("key", [key for key in KEYS if abs(key.fifths) < 7], ids=str)
@pytest.mark.parametrize("form", FORMS)
def test_the_ii_v_i_of_every_key_and_form_is_found(key, form):
    bars = two_five_one(key, form).bars
    whole = tuple(ChartBar(bar, COMMON_TIME) for bar in bars)
    chart = Chart((Section("", whole),), key)
    (found,) = cadences(chart)
    assert (found.kind, found.length, found.mode) == ("ii-V-I", form, key.mode)
    assert (found.key, str(found.degree_of_key), found.substitute) == (key, "1", "")
    assert str(found.target) == str(bars[-1].chords[0])


# The turnarounds that handbooks teach beside each other (Mark Levine, The Jazz Theory Book,
# from memory): the same four roles, each step of them replaced. In each the last two chords lead
# to the I at the top.
@pytest.mark.parametrize(
    ("bars", "v", "substitute"),
    [
        ("Cmaj7 Am7 | Dm7 G7", 3, ""),
        ("Cmaj7 A7 | Dm7 G7", 3, ""),
        ("Em7 A7 | Dm7 G7 | Cmaj7", 3, ""),
        ("Cmaj7 C#dim7 | Dm7 G7", 3, ""),
        ("Cmaj7 Ebdim7 | Dm7 G7", 3, ""),
        ("Cmaj7 A7 | D7 G7", 3, ""),
        ("Cmaj7 Eb7 | Dm7 Db7", 3, "tritone"),
        ("Cmaj7 Eb7 | D7 Db7", 3, "tritone"),
        ("Cmaj7 A7 | Abm7 Db7", 3, "tritone"),
    ],
)
def test_turnarounds_lead_to_the_top(bars, v, substitute):
    last = cadences(Chart.parse(f"key: C\n| {bars} |"))[-1]
    assert (last.v, last.substitute, str(last.key)) == (v, substitute, "C major")
    assert str(Chart.parse(f"key: C\n| {bars} |").played[last.i].chord) == "Cmaj7"


def test_repeats_and_endings_are_followed_as_played():
    chart = Chart.parse("key: C\n|: Dm7 G7 | 1. Em7b5 A7 :| 2. C6 | Gm7 C7 | F6 | G7 |")
    found = [(c.ii, c.v, c.i, c.bars) for c in cadences(chart)]
    assert found == [
        (0, 1, None, (1, 1)),  # the first ending turns away
        (2, 3, None, (2, 2)),
        (4, 5, 6, (3, 4)),  # the second one brings the I
        (7, 8, 9, (5, 6)),
    ]
    assert [str(c.key) for c in cadences(chart)] == ["C major", "D minor", "C major", "F major"]


def test_a_repeat_that_is_played_three_times_shows_each_time():
    chart = Chart.parse("key: C\n|: Dm7 G7 | C6 :| x3 Fm7 Bb7 | C6")
    assert [(c.v, c.substitute) for c in cadences(chart)] == [
        *((1, ""), (4, ""), (7, "")),
        (10, "backdoor"),
    ]


def test_a_change_of_metre_changes_what_a_bar_is():
    chart = Chart.parse("key: C\n| Dm7 | G7 | C6 | 3/4 Dm7 | G7 | C6 | 2/4 Dm7 | G7 | 3/4 C6 |")
    assert [c.length for c in cadences(chart)] == ["long", "long", "long"]
    mixed = Chart.parse("key: C\n| Dm7 | 2/4 G7 | C6 |")
    assert [c.length for c in cadences(mixed)] == ["mixed"]


def test_degree_bars_and_target():
    chart = Chart.of("Eb", "Ebmaj7", "%", "Am7b5", "D7b9", "Gm7", "C7sus4 C7", "Fm7", "Bb7")
    first, second, third = cadences(chart)
    assert (str(first.key), str(first.degree_of_key), first.bars) == ("G minor", "3", (3, 4))
    assert (str(second.key), str(second.degree_of_key), second.bars) == ("F minor", "2", (5, 6))
    assert (str(third.degree_of_key), third.bars) == ("1", (7, 1))  # round to the top
    assert [str(c.target) for c in (first, second, third)] == ["Gm7", "Fm7", "Ebmaj7"]
    assert [c.is_long for c in (first, second, third)] == [True, True, True]


@pytest.mark.parametrize(
    ("key", "bars", "chain"),
    [
        ("C", "Cmaj7 | E7 | A7 | D7 | G7 | C6", "E7 A7 D7 G7"),
        ("C", "Em7 A7 | Dm7 G7 | Cmaj7", "A7 G7"),
        ("Bb", "Am7 D7 | Gm7 C7 | F7 | Bb6", "D7 C7 F7"),
        ("G", "Bm7 E7 | Bbm7 Eb7 | Am7 D7 | G6", "E7 Eb7 D7"),
        ("F", "Am7 | D7 | Dm7 | G7 | Gm7 | C7 | F6", "D7 G7 C7"),
        ("Eb", "Fm7 | Bb7 | Eb6", ""),
    ],
)
def test_chains_are_told_as_chains(key, bars, chain):
    chart = Chart.parse(f"key: {key}\n| {bars} |")
    last = cadences(chart)[-1]
    assert " ".join(str(chart.played[v].chord) for v in last.chain) == chain
    assert all(c.chain == last.chain for c in cadences(chart))
    assert ("form a chain" in last.why) == bool(chain)


@pytest.mark.parametrize(
    ("key", "bars", "deceptive", "target"),
    [
        ("E", "F#m7 | B7 | C#m7 | Amaj7 | E6", True, "C#m7"),
        ("A minor", "Bm7b5 | E7 | Fmaj7 | Am6", True, "Fmaj7"),
        ("C", "Dm7 | G7 | Em7 | Fmaj7 | C6", True, "Em7"),
        ("C", "Dm7 | G7 | F#m7b5 | Fm6 | C6", True, "F#m7b5"),
        ("C", "Dm7 | G7 | Cmaj7 | %", False, "Cmaj7"),
        ("C", "Em7 | A7 | Dm7 | G7 | C6", False, "Dm7"),
        ("C", "C6 | F#m7 | B7 | Dm7 | G7 | C6", False, "Dm7"),
    ],
)
def test_what_deceives_is_told(key, bars, deceptive, target):
    found = only(Chart.parse(f"key: {key}\n| {bars} |"))
    assert (found.deceptive, str(found.target)) == (deceptive, target)
    assert ("a deceptive move" in found.why) == deceptive
    assert found.i is None or not deceptive


@pytest.mark.parametrize(
    ("key", "bars", "target"),
    # A V whose target comes after the target's own ii (common practice).
    [
        ("C", "Am7 D7 | Dm7 G7 | C6 | %", "G7"),
        ("Db", "Bbm7 Eb7 | Ebm7 Ab7 | Db6 | %", "Ab7"),
        ("C", "Em7 A7 | Dm7 G7 | C6 | %", "Dm7"),
        ("G", "Bm7 E7 | Bbm7 Eb7 | Am7 D7 | G6", "Am7"),
    ],
)
def test_the_target_is_where_the_v_leads_at_last(key, bars, target):
    found = only(f"key: {key}\n| {bars} |")
    assert (str(found.target), found.i, found.deceptive) == (target, None, False)


@pytest.mark.parametrize(
    ("key", "bars", "told"),
    # A minor tonic has a small numeral (common practice).
    [
        ("C", "Dm7 | G7 | C6 | %", "and C6 is the I."),
        ("C minor", "Dm7b5 | G7 | Cm6 | %", "and Cm6 is the i."),
        ("C", "Dm7 | G7 | Am7 | C6", "Am7 comes in place of the I: a deceptive move."),
        ("Bb minor", "Cm7b5 | F7 | Gbmaj7 | Bbm6", "comes in place of the i: a deceptive move."),
        ("F# minor", "G#m7 | C#7 | F#m6 | %", "the ii as in major; the tonic is minor, F♯m6."),
        ("C minor", "Cm6 | Am7b5 | D7 | Fm7", "but Fm7 follows and no i."),
    ],
)
def test_the_tonic_of_a_minor_key_has_a_small_numeral(key, bars, told):
    assert only(Chart.parse(f"key: {key}\n| {bars} |")).why.endswith(told)


# What a dominant aims at, and in which mode (common practice): the chord that its job leads to, and
# where none comes, the chord that stands on that degree of the key around.
@pytest.mark.parametrize(
    ("key", "bars", "v", "target", "mode"),
    [
        ("D", "C#m7 F#7 | Cm7 F7 | Bm7 E7 | Bbm7 Eb7 | Am7 D7 | G6", 1, "Bm7", "minor"),
        ("D", "C#m7 F#7 | Cm7 F7 | Bm7 E7 | Bbm7 Eb7 | Am7 D7 | G6", 5, "Am7", "minor"),
        ("Gb", "Gbmaj7 | Ebm7 | Ab7 | Abm7/Db | Db7 | Gb6 | %", 2, "Db9sus4", "major"),
        ("Db", "Dbmaj7 | Fm7 | Bb7b9 | Gbmaj7 | Ebm7 Ab7 | Db6", 2, "Ebm6", "minor"),
        ("C", "Cmaj7 | Em7 A7 | Fmaj7 | G7 | C6", 2, "Dm6", "minor"),
        ("G", "G6 | F#7 F7 | E7 Eb7 | D7 Db7 | C7 B7 | Bb7 A7 | Ab7 | G6", 1, "F7", "major"),
        ("G", "G6 | F#7 F7 | E7 Eb7 | D7 Db7 | C7 B7 | Bb7 A7 | Ab7 | G6", 5, "Db7", "major"),
    ],
)
def test_a_dominant_aims_where_its_job_leads(key, bars, v, target, mode):
    (found,) = (one for one in dominants(Chart.parse(f"key: {key}\n| {bars} |")) if one.v == v)
    assert (str(found.target), found.mode) == (target, mode)


# The V that a substitute stands for is spelled as the V of what both lead to (common practice).
@pytest.mark.parametrize(
    ("key", "bars", "told"),
    [
        ("B", "B6 | Dm7 G7 | C#m7 | F#7 | B6", "G7 stands for C♯7"),
        ("Gb", "Gbmaj7 | Abm7 G7 | Gb6", "G7 stands for the V, D♭7"),
        ("E", "E6 | F7 | E6", "F7 stands for B7"),
        ("Eb", "Eb6 | E7 | Eb6", "E7 stands for B♭7"),
    ],
)
def test_the_plain_v_of_a_substitute_is_spelled_for_its_key(key, bars, told):
    found = cadences(f"key: {key}\n| {bars} |")
    assert told in next(one.why for one in found if one.substitute)


def test_each_reason_names_its_chords():
    for case in CASES:
        chart = chart_of(case)
        for found in cadences(chart):
            named = [i for i in (found.ii, found.v, found.i) if i is not None]
            for index in named:
                assert chart.played[index].chord.pretty in found.why, (case.what, found.why)
            assert found.kind in KINDS
            assert found.why.endswith(".")
            assert found.why[0] in "ABCDEFG"


# -- keys --------------------------------------------------------------------------------------


def test_a_key_that_is_only_touched_stays_in_its_region():
    chart = Chart.of("C", "Cmaj7 A7", "Dm7 G7", "Em7b5 A7", "Dm7 G7", "Cmaj7", "F6", "Dm7 G7", "C6")
    assert [(str(r.key), r.bars) for r in key_regions(chart)] == [("C major", (1, 8))]


def test_a_tune_that_moves_down_in_whole_steps():
    chart = Chart.of(
        "A", "Bm7", "E7", "Amaj7", "%", "Am7", "D7", "Gmaj7", "%", "Gm7", "C7", "Fmaj7", "%"
    )
    found = [(str(r.key), str(r.degree), r.bars) for r in key_regions(chart)]
    assert found == [
        ("A major", "1", (1, 4)),
        ("G major", "b7", (5, 8)),
        ("F major", "b6", (9, 12)),
    ]
    assert [(r.first, r.last) for r in key_regions(chart)] == [(0, 3), (4, 7), (8, 11)]


def test_regions_cover_every_chord_once():
    for case in CASES:
        chart = chart_of(case)
        regions = key_regions(chart)
        covered = [i for r in regions for i in range(r.first, r.last + 1)]
        assert covered == list(range(len(chart.played)))


def test_silence_has_the_home_key():
    chart = Chart.of("G", "N.C.", "%")
    assert cadences(chart) == ()
    assert [(str(r.key), r.bars) for r in key_regions(chart)] == [("G major", (1, 2))]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.what)
def test_the_home_key_moves_with_the_chords(case):
    chart = chart_of(case)
    timed = [(p.chord, p.beats) for p in chart.played]
    here = home_key(timed)
    for steps, key in enumerate(same_mode_keys(chart.key)):
        there = chart.transposed(key)
        found = home_key([(p.chord, p.beats) for p in there.played])
        assert found.mode == here.mode
        assert (found.tonic.semitone - here.tonic.semitone) % 12 == steps


# -- what must change nothing ------------------------------------------------------------------


def same_mode_keys(key):
    """Twelve keys of a mode, by half steps above a key."""
    by_steps = {(k.tonic.semitone - key.tonic.semitone) % 12: k for k in KEYS if k.mode == key.mode}
    return [by_steps[steps] for steps in range(12)]


def facts(chart, *, up=0):
    """Everything a cadence tells that has no spelling in it, its keys ``up`` half steps higher."""
    return [
        (
            *(c.kind, c.ii, c.v, c.i, c.length, c.mode, c.degree_of_key, c.substitute),
            *((c.key.tonic.semitone + up) % 12, c.key.mode, c.deceptive, c.chain, c.bars),
        )
        for c in cadences(chart)
    ]


def region_facts(chart):
    return [(str(r.degree), r.key.mode, r.first, r.last, r.bars) for r in key_regions(chart)]


PIECES = (
    "Dm7 G7|Cmaj7|Dm7b5 G7|Cm6|Fm7 Bb7|Abm7 Db7|C7|F7|G7|Em7 A7|Ebm7 Ab7|Am7|A7|D7|Fmaj7|C#dim7|"
    "Dm7/G|G7sus4 G7|C/G G7|Ab7 G7|Am7b5 D7|Gm7 C7|Bm7b5 E7|N.C.|Dm7 Db7|C6|Gm7|Bb7|Ebmaj7|Cm7|"
    "F#m7b5 B7|G7 Db7|Fm6|Dm7 G7 C A7|G+|Db7 C"
).split("|")


@st.composite
def charts(draw):
    bars = draw(st.lists(st.sampled_from(PIECES), min_size=1, max_size=24))
    key = draw(st.sampled_from(["C", "A minor", "F", "G", "Eb", "C minor"]))
    return Chart.of(key, *bars)


ALL_CASES = st.sampled_from([chart_of(case) for case in CASES])


@given(charts() | ALL_CASES, st.integers(0, 11))
def test_transposing_moves_the_cadences_and_changes_nothing_else(chart, steps):
    there = chart.transposed(same_mode_keys(chart.key)[steps])
    assert facts(there) == facts(chart, up=steps)
    assert region_facts(there) == region_facts(chart)


@given(charts() | ALL_CASES, st.randoms(use_true_random=False))
def test_respelling_changes_nothing(chart, random):
    def respelled(chord):
        if chord.is_silent:
            return chord
        bass = chord.bass and random.choice(enharmonics(chord.bass.semitone))
        return Chord(random.choice(enharmonics(chord.root.semitone)), chord.kind, bass)

    key = random.choice([k for k in KEYS if same_sound(k, chart.key)])
    there = chart.mapped(lambda chord: chord, key=key)
    contents = [Bar(tuple(map(respelled, bar.chords)), bar.content.lengths) for bar in chart.bars]
    bars = [ChartBar(content, bar.metre) for content, bar in zip(contents, chart.bars, strict=True)]
    assert facts(there.with_bars(bars)) == facts(chart)
    assert region_facts(there.with_bars(bars)) == region_facts(chart)


def same_sound(one: Key, other: Key) -> bool:
    return (one.tonic.semitone, one.mode) == (other.tonic.semitone, other.mode)


@given(charts() | ALL_CASES, st.randoms(use_true_random=False))
def test_writing_a_chord_twice_changes_nothing(chart, random):
    split, origin = [], []
    played = iter(range(len(chart.played)))
    for bar in chart.bars:
        timed = []
        for chord, beats in zip(bar.chords, bar.content.lengths, strict=True):
            index = next(played)
            times = 2 if random.random() < 0.6 and beats >= Fraction(1, 2) else 1
            timed += [(chord, beats / times)] * times
            origin += [index] * times
        split.append(ChartBar(Bar.of(*timed), bar.metre))
    first = {old: new for new, old in reversed(list(enumerate(origin)))}
    wanted = [
        (
            kind,
            moved(first, ii),
            moved(first, v),
            moved(first, i),
            *rest,
            tuple(map(first.get, chain)),
            bars,
        )
        for kind, ii, v, i, *rest, chain, bars in facts(chart)
    ]
    assert facts(chart.with_bars(split)) == wanted


def moved(first, index):
    return None if index is None else first[index]


@given(charts())
def test_every_cadence_is_what_it_says(chart):
    for found in cadences(chart):
        v = chart.played[found.v].chord
        assert (found.ii is None) == (found.kind == "V-I")
        assert (found.i is not None) or found.kind == "ii-V" or found.deceptive
        assert found.kind != "ii-V-I" or found.i is not None
        if found.i is not None:
            i = chart.played[found.i].chord
            assert i == found.target
            assert stands_on(i, found.key.tonic.semitone)  # Dm7/G stands on G
        if found.substitute == "tritone":
            assert (v.root.semitone - found.key.tonic.semitone) % 12 == 1
        if found.substitute == "backdoor":
            assert (v.root.semitone - found.key.tonic.semitone) % 12 == 10


def test_the_same_chart_gives_the_same_answer_in_any_process():
    draw = random.Random(3)
    chart = Chart.of("C", *(draw.choice(PIECES) for _ in range(200)))
    assert cadences(chart) == cadences(Chart.parse(str(chart)))
