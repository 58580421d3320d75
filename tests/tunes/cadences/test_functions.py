"""The job of every chord, against charts labelled by hand, and what must not change it."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st
from job_charts import LEADING, ROLES, is_dominant, job_cases, starts

import theorykit
from theorykit.notes.chord import Chord
from theorykit.notes.degree import enharmonics
from theorykit.notes.key import KEYS
from theorykit.tunes.bars import ChartBar
from theorykit.tunes.cadences import ROLES as ALL_ROLES, cadences, functions
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Bar

CASES = job_cases()
V_ROLES = {"": "the V of", "tritone": "tritone substitute for the V of", "backdoor": "backdoor"}


def told(function):
    """A role, and the chord it leads to where the role leads."""
    return function.role, function.leads_to if function.role in LEADING else None


def typed(bars, key="C"):
    return functions(Chart.parse(f"key: {key}\n| {bars} |"))


def short(bars, key="C"):
    """Role and symbol of the target of each chord."""
    return [
        (str(f.chord), f.role, str(f.target.chord) if f.target else "") for f in typed(bars, key)
    ]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.what)
def test_every_chord_has_the_job_that_was_written_by_hand(case):
    for function, labels in zip(functions(case.chart), case.labels, strict=True):
        assert told(function) in labels, (str(function.chord), function.index)


def test_there_are_enough_charts_in_enough_keys_and_roles():
    assert len(CASES) >= 60
    assert len({case.chart.key.tonic.semitone for case in CASES}) == 12
    assert {label[0] for case in CASES for labels in case.labels for label in labels} == set(
        ALL_ROLES
    )
    assert set(ROLES.values()) == set(ALL_ROLES)


def test_precision_and_recall_of_pairs_and_targets_are_one():
    wanted, found = set(), set()
    for number, case in enumerate(CASES):
        told = functions(case.chart)
        for n in starts(case):
            if case.labels[n][0][0] == "the ii of":
                v = case.labels[n][0][1]
                wanted.add((number, n, v, case.labels[v][0][1]))
            if told[n].role == "the ii of":
                found.add((number, n, told[n].leads_to, told[told[n].leads_to].leads_to))
    assert len(wanted) > 100
    assert found == wanted


def test_the_dominants_agree_with_the_labels():
    pairs = [
        (told(f) in case.labels[f.index])
        for case in CASES
        for f in functions(case.chart)
        if is_dominant(case, f.index)
    ]
    assert len(pairs) > 220
    assert all(pairs)


# Progressions that every player knows by these names (common practice).
@pytest.mark.parametrize(
    ("bars", "place", "role", "target"),
    [
        ("Am7 D7 | Dm7 G7 | C6 | %", 1, "the V of", "G7"),
        ("Dm7 D7 | G7 | C6 | %", 0, "the ii of", "G7"),
        ("Dm7 Fm6 | G7 | C6 | %", 0, "the ii of", "G7"),
        ("Dm7 Dm7b5 | G7 | C6 | %", 0, "the ii of", "G7"),
        ("Dm7 Dm7b5 | G7 | C6 | %", 1, "the ii of", "G7"),
        ("Gm7 Db7 | C7 | F6 | %", 0, "the ii of", "C7"),
        ("Gm7 Db7 | C7 | F6 | %", 1, "tritone substitute for the V of", "C7"),
        ("Cmaj7 | Em7 Eb7 | Dm7 G7 | C6", 2, "tritone substitute for the V of", "Dm7"),
        ("Fmaj7 | Ab7 G7 | Cm7 | Fmaj7", 1, "tritone substitute for the V of", "G7"),
        ("Cmaj7 | F7 Bb7 | Em7 A7 | Dm7 G7", 1, "the V of", "Bb7"),
        ("Cmaj7 | F7 Bb7 | Em7 A7 | Dm7 G7", 2, "backdoor", "Em7"),
        ("Cmaj7 C#dim7 | Dm7 G7 | C6 | %", 1, "leading-note diminished", "Dm7"),
        ("Fmaj7 | Bdim7 | C6 | %", 1, "leading-note diminished", "C6"),
        ("Cmaj7 G#dim7 | Am6 | F6 | C6", 1, "leading-note diminished", "Am6"),
        ("Em7 Ebdim7 | Dm7 G7 | C6 | %", 1, "passing", "Dm7"),
        ("C6 | Cdim7 | C6 | %", 1, "common-tone diminished", "C6"),
        ("C6 | G7/C | C6 | %", 1, "pedal", ""),
        ("C6 | Bdim7/C | C6 | %", 1, "pedal", ""),
        ("Dm7 G7 | Em7 A7 | Dm7 G7 | C6", 1, "the V of", "C6"),
        ("Dm7 | Am7 D7 | G7 | C6", 0, "the ii of", "G7"),
        ("Em7 A7 | Bbm7 Eb7 | Dm7 G7 | C6", 1, "the V of", "Dm7"),
        ("A7 Eb7 | Dm7 G7 | C6 | %", 0, "the V of", "Dm7"),
        ("Dm7 G7 | Em7 A7 | Dm7 Db7 | C6", 1, "the V of", "C6"),
        ("C6 | Ab7 | C/G G7 | C6", 1, "tritone substitute for the V of", "G7"),
        ("Dm7 G7 | G#dim7 | Am6 | F6", 1, "the V of", "Am6"),
        ("C6 | F7 F#7 | G7 | C6", 2, "passing", "G7"),
        ("Em7b5 Eb7 | Dm7 G7 | C6 | %", 0, "the ii of", "Eb7"),
        ("C6 | Fmaj7 | Eb7 | Fmaj7 | Dm7 G7 | C6", 2, "backdoor", "Fmaj7"),
        ("C6 | Cm7 F7 | Em7 | Am7", 2, "tritone substitute for the V of", "Em7"),
        ("C6 | C7/E | Fmaj7 | G7", 1, "the V of", "Fmaj7"),
        ("Cmaj7 | Ab7 | Dm7 | G7", 1, "tritone substitute for the V of", "G7"),
    ],
)
def test_known_progressions(bars, place, role, target):
    assert short(bars)[place][1:] == (role, target)


def test_a_dominant_over_a_pedal_is_no_cadence():
    assert cadences("key: C\n| C6 | G7/C | C6 | % |") == ()
    (real,) = cadences("key: C\n| C6 | Dm7 G7 | G7/C | C6 |")
    assert (real.v, real.i) == (2, 4)


def test_a_target_is_a_chord_as_played_and_goes_round_the_form():
    first, ii, v = functions("key: F\n| Fmaj7 | Gm7 | C7 |")
    assert first.target is None
    assert ii.target.bar == 2
    assert (v.leads_to, v.target.bar, str(v.target.chord)) == (0, 0, "Fmaj7")
    with pytest.raises(AttributeError):
        v.role = "tonic"


def test_repeats_have_a_job_each_time():
    found = functions("key: C\n|: Dm7 | 1. G7 :| 2. Db7 | C6 |")
    assert [f.role for f in found] == [
        "the ii of",
        "the V of",
        "the ii of",
        "tritone substitute for the V of",
        "tonic",
    ]


def test_a_detour_without_end_has_an_answer():
    found = functions("key: C\n" + "| Dm7 G7 | Em7 A7 |\n" * 600 + "| Dm7 G7 | C6 |")
    assert {str(f.target.chord) for f in found if str(f.chord) == "G7"} == {"C6"}


def test_silence_alone():
    (only,) = functions("key: G\n| N.C. |")
    assert (only.role, only.target, only.words) == ("silent", None, "No chord is played.")


@pytest.mark.parametrize(
    ("bars", "place", "words"),
    [
        ("Am7 D7 | Dm7 G7 | C6", 1, "D7 is the V of G7; its ii, Dm7, comes first."),
        ("Dm7 G7 | C6 | Bb7 | C6", 3, "B♭7 leads to C6 by the back door."),
        ("C6 | F7 | C6 | G7", 1, "F7 is IV7 of C major, a dominant seventh at rest."),
        ("C6 | Fm6 | C6 | G7", 1, "Fm6 is iv of C major, borrowed from another mode."),
        ("C6 | Dm7 G7 | Am7 | F6", 2, "G7 is the V of Am7, which stands for its I."),
        (
            "Dm7 G7 | Em7 A7 | Dm7 G7 | C6",
            1,
            "G7 is the V of C6; what begins with Em7 in between only delays it.",
        ),
        ("C6 | Fm7 Bb7 | Ebmaj7 | Eb6 | Dm7 G7", 0, "C6 is I of C major, at home."),
        (
            "C6 | Fm7 Bb7 | Ebmaj7 | Eb6 | Dm7 G7",
            3,
            "E♭maj7 is I of E♭ major, the key of these bars.",
        ),
        ("C6 | F#dim7 | C/G G7 | C6", 2, "C/G is the I over its fifth and only delays G7."),
    ],
)
def test_words(bars, place, words):
    assert typed(bars)[place].words == words


def test_the_name_is_public():
    assert theorykit.functions is functions
    assert "Function" in theorykit.__all__


# -- cadences follow from jobs, and nothing depends on key, spelling or how often one writes -------

PIECES = (
    "Dm7 G7|Cmaj7|Dm7b5 G7|Cm6|Fm7 Bb7|Abm7 Db7|C7|F7|G7|Em7 A7|Ebm7 Ab7|Am7|A7|D7|Fmaj7|C#dim7|"
    "Dm7/G|G7sus4 G7|C/G G7|Ab7 G7|Am7b5 D7|Gm7 C7|Bm7b5 E7|N.C.|Dm7 Db7|C6|Gm7|Bb7|Ebmaj7|Cm7|"
    "F#m7b5 B7|G7 Db7|Fm6|G7/C|C+|Dm7/C|Cm(maj7)|G|Ab7"
).split("|")


@st.composite
def random_charts(draw):
    bars = draw(st.lists(st.sampled_from(PIECES), min_size=1, max_size=16))
    return Chart.of(draw(st.sampled_from(["C", "A minor", "F", "Eb", "C minor"])), *bars)


ALL_CHARTS = random_charts() | st.sampled_from([case.chart for case in CASES])


@given(ALL_CHARTS)
def test_cadences_follow_from_jobs(chart):
    jobs = functions(chart)
    brackets = cadences(chart)
    for one in brackets:
        assert jobs[one.v].role == V_ROLES[one.substitute]
        if one.ii is not None:
            assert (jobs[one.ii].role, jobs[one.ii].leads_to) == ("the ii of", one.v)
        if one.i is not None:
            assert jobs[one.v].leads_to == one.i
    vs = {one.v for one in brackets}
    assert {f.leads_to for f in jobs if f.role == "the ii of"} <= vs


@given(ALL_CHARTS)
def test_every_job_says_what_it_is(chart):
    for n, one in enumerate(functions(chart)):
        assert (one.index, one.chord) == (n, chart.played[n].chord)
        assert one.role in ALL_ROLES
        assert (one.target is None) == (one.leads_to is None)
        assert one.target is None or one.target == chart.played[one.leads_to]
        assert one.words.endswith(".")
        assert one.chord.is_silent or one.words.startswith(one.chord.pretty)


def facts(chart):
    return [(f.role, f.leads_to) for f in functions(chart)]


PLAIN_KEYS = [
    key for key in KEYS if abs(key.fifths) < 5
]  # where every chord has a root that can be written


@given(ALL_CHARTS, st.sampled_from(PLAIN_KEYS))
def test_jobs_move_with_the_key(chart, key):
    if key.mode == chart.key.mode:
        assert facts(chart.transposed(key)) == facts(chart)


@given(ALL_CHARTS, st.randoms(use_true_random=False))
def test_jobs_do_not_hear_spelling(chart, random):
    def respelled(chord):
        if chord.is_silent:
            return chord
        bass = chord.bass and random.choice(enharmonics(chord.bass.semitone))
        return Chord(random.choice(enharmonics(chord.root.semitone)), chord.kind, bass)

    bars = [
        ChartBar(Bar(tuple(map(respelled, bar.chords)), bar.content.lengths), bar.metre)
        for bar in chart.bars
    ]
    assert facts(chart.with_bars(bars)) == facts(chart)
