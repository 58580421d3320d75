"""Names of chords in a chart that is moved: home keeps its names, what is foreign goes as one.

Source of the rules: common practice of copyists. A root of the key signature keeps the name that
the signature gives it; a borrowed ii-V is respelled as a whole, and its neighbours are left alone.
"""

from itertools import pairwise
from pathlib import Path

import pytest
from job_charts import job_cases
from labelled_charts import CASES, chart_of
from plain import names
from sweeps import swept

from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above
from theorykit.notes.key import KEYS, Key
from theorykit.notes.reader import READERS
from theorykit.tunes.cadences import cadences
from theorykit.tunes.charts import Chart

TUNES = [
    Chart.parse(file.read_text(encoding="utf-8"))
    for file in sorted((Path(__file__).parents[2] / "workbook" / "tunes").glob("*.txt"))
]
LABELLED = [chart_of(case) for case in CASES] + [case.chart for case in job_cases()]
ALL = TUNES + LABELLED
SOME = [Key.parse(key) for key in ("Db", "Gb", "Ab", "B", "F# minor", "Bb minor")]
each_key = pytest.mark.parametrize("key", swept(KEYS, lambda key: key in SOME), ids=str)
NEAR = range(-5, 7)  # fifths from the tonic: of what stands further off another name comes back


def movable(key: Key, charts: list[Chart] = ALL) -> list[Chart]:
    """The charts that can be moved to a key."""
    return [chart for chart in charts if chart.key.mode == key.mode]


def written(chart: Chart) -> list[Chord]:
    """The chords as they are written, one after another."""
    return [chord for bar in chart.bars for chord in bar.content.chords]


def falls(one: Chord, other: Chord) -> bool:
    """Whether a root is a fifth above the next, letters counted."""
    silent = one.is_silent or other.is_silent
    return not silent and above(one.root, Degree(4)) == other.root


def is_two_five(one: Chord, other: Chord) -> bool:
    return falls(one, other) and one.kind.has("b3") and other.kind.is_dominant


def is_hard(chord: Chord, root, key: Key) -> bool:
    """Whether a chord cannot be read on E#, B#, Cb or Fb: its third or fifth is doubly altered."""
    tones = [above(root, degree) for degree in chord.degrees if degree.number <= 5]
    strange = [n for n in tones if abs(n.alteration) > 1 and n not in key.chord_notes]
    return root in AWKWARD and bool(strange)


def own_name(chord: Chord, old: Key, new: Key):
    """The note of the new signature on the degree of the old one that a root is, or None."""
    return new.notes[old.notes.index(chord.root)] if chord.root in old.notes else None


def belongs_to_a_foreigner(here: list[Chord], there: list[Chord], n: int, key: Key) -> bool:
    """Whether a chord is the ii or V of a chord that stands outside the new signature."""
    last = n
    while last + 1 < len(here) and here[last + 1].root == here[n].root:
        last += 1
    if last + 1 == len(here) or not falls(here[last], here[last + 1]):
        return False
    leads = here[n].kind.has("b3") or here[n].kind.is_dominant
    return leads and there[last + 1].root not in key.notes and falls(there[last], there[last + 1])


@each_key
def test_a_root_of_the_signature_keeps_its_name(key: Key):
    for chart in movable(key):
        here, there = written(chart), written(chart.transposed(key))
        for n, (chord, moved) in enumerate(zip(here, there, strict=True)):
            own = own_name(chord, chart.key, key)
            if own is None or chord.is_silent or moved.root == own:
                continue
            hard = is_hard(chord, own, key)
            assert hard or belongs_to_a_foreigner(here, there, n, key), (str(chart), str(moved))


@each_key
def test_a_tonic_is_never_dragged_along(key: Key):
    """The I, be it a major seventh, a sixth or the seventh of a blues, is called as the key is."""
    for chart in movable(key):
        for chord, moved in zip(written(chart), written(chart.transposed(key)), strict=True):
            minor = chord.kind.has("b3")
            if chord.root == chart.key.tonic and minor == key.is_minor and not chord.is_silent:
                assert moved.root == key.tonic, (str(chart), str(moved))


@each_key
def test_a_ii_and_its_v_agree_in_letters(key: Key):
    for chart in movable(key):
        here, there = written(chart), written(chart.transposed(key))
        for old, new in zip(pairwise(here), pairwise(there), strict=True):
            assert not is_two_five(*old) or is_two_five(*new), (str(chart), names(new))


@each_key
def test_a_dominant_and_its_target_agree_in_letters(key: Key):
    """Except a dominant that cannot be read on its own name: F7 A#m7 in F sharp, for E#7.

    One that stands on a root of the key keeps it before a foreign ii or another foreign dominant,
    as the IV7 does before the flat VII7: Gb7 B7 in D flat.
    """
    for chart in movable(key):
        here, there = written(chart), written(chart.transposed(key))
        for n, (v, target) in enumerate(pairwise(here)):
            if not (v.kind.is_dominant and falls(v, target)) or falls(*there[n : n + 2]):
                continue
            own = own_name(v, chart.key, key)
            two_of_another = n + 2 < len(here) and is_two_five(*here[n + 1 : n + 3])
            hard = own is not None and is_hard(v, own, key)
            of_home = own is not None and there[n].root == own
            begins = of_home and (two_of_another or target.kind.is_dominant)
            assert hard or begins, (str(chart), names(there[n : n + 2]))


@each_key
def test_a_pitch_has_one_root_name_within_a_cadence(key: Key):
    for chart in movable(key):
        moved = chart.transposed(key)  # what a composer calls by two names may have two
        for found in cadences(moved):
            ends = [n for n in (found.ii, found.v, found.i) if n is not None]
            if max(ends) - min(ends) > 3:  # others stand between
                continue
            span = slice(min(ends), max(ends) + 1)
            roots = {placed.chord.root for placed in moved.played[span]}
            given = {placed.chord.root for placed in chart.played[span]}
            assert len(roots) <= len(given), (str(moved), sorted(map(str, roots)))


@each_key
def test_there_and_back_is_the_original(key: Key):
    for chart in movable(key):
        back = written(chart.transposed(key).transposed(chart.key))
        for chord, again in zip(written(chart), back, strict=True):
            assert again.kind == chord.kind
            assert again.root.semitone == chord.root.semitone
            if chord.root.fifths - chart.key.tonic.fifths in NEAR:
                assert again == chord, (str(chart), str(again))


@pytest.mark.parametrize("who", READERS, ids=lambda one: one.name)
@each_key
def test_the_page_of_a_reader_is_the_chart_in_the_key_of_the_page(key: Key, who):
    for chart in movable(key, TUNES):
        sounding = chart.transposed(key)
        page = sounding.written_for(who)
        home = page.key.tonic
        for chord, moved in zip(written(chart), written(page), strict=True):
            if chord.root == chart.key.tonic and not chord.kind.has("b3"):
                assert moved.root == home
        for old, new in zip(pairwise(written(chart)), pairwise(written(page)), strict=True):
            assert not is_two_five(*old) or is_two_five(*new), (page.key, names(new))


# How a copyist writes the part (common practice).
@pytest.mark.parametrize(
    ("key", "bars", "to", "wanted"),
    [
        ("Bb", "Bbmaj7 | Ebm7 Ab7 | Bbmaj7", "Db", "Dbmaj7 | F#m7 B7 | Dbmaj7"),
        ("Bb", "Cm7 F7 | Bbmaj7 | Ebm7 Ab7", "Gb", "Abm7 Db7 | Gbmaj7 | Bm7 E7"),
        ("Bb", "F7 | Bbmaj7 | Ebm7 Ab7", "Ab", "Eb7 | Abmaj7 | Dbm7 Gb7"),
        ("Bb", "Bbmaj7 | Ebm7 Ab7 | Dbmaj7", "Ab", "Abmaj7 | C#m7 F#7 | Bmaj7"),
        ("Bb", "Bbmaj7 | Ebm7 Ab7 | Bbmaj7", "Cb", "Cbmaj7 | Em7 A7 | Cbmaj7"),
        ("Ab", "Ab7 | Db7 | Dbm7 Gb7 | Ab7", "Gb", "Gb7 | Cb7 | Bm7 E7 | Gb7"),
        ("Ab", "Ab7 | Db7 | Dbm7 Gb7 | Ab7", "Db", "Db7 | Gb7 | F#m7 B7 | Db7"),
        ("Eb", "Am7b5 D7 | Gm7", "B", "E#m7b5 A#7 | D#m7"),
        ("C", "Cm7 F7 | Bbmaj7", "Db", "C#m7 F#7 | Bmaj7"),
        ("C", "Bm7b5 E7 | Am7", "C#", "Cm7b5 F7 | A#m7"),  # for E#7 with its G double sharp
    ],
)
def test_neighbours_of_what_is_borrowed_keep_their_names(key, bars, to, wanted):
    chart = Chart.parse(f"key: {key}\n| {bars} |")
    for moved in (chart.transposed(to).progression, chart.progression.transposed(to)):
        assert str(moved) == wanted
