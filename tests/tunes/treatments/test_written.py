"""What the composer wrote binds what is proposed: examples by hand, and a sweep of the tables."""

from __future__ import annotations

import pytest
from sweeps import keys
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.agreement import agrees
from theorykit.harmony.colours import COLOURS, colour
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, plain_root
from theorykit.notes.key import Key
from theorykit.notes.kinds import CHORD_KINDS, ChordKind
from theorykit.notes.note import Note
from theorykit.tunes.cadences import dominants
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import LEVELS, Treatment
from theorykit.tunes.treatments.choice import coloured


def row(chart: Chart) -> str:
    return " | ".join(map(str, chart.bars))


def chart(key: str, bars: str) -> Chart:
    return Chart.parse(f"key: {key}\n| {bars} |")


# By hand (common practice): what the first proposal of the first level makes of each.
@together(
    ("key", "bars", "treated"),
    [
        ("C", "Dm7 | G7alt | Cmaj7 | %", "Dm7 | Dm7 G7alt | Cmaj7 | Cmaj7"),
        ("Db", "Ebm7 | Ab7alt | Dbmaj7 | %", "Ebm7 | Ebm7 Ab7alt | Dbmaj7 | Dbmaj7"),
        ("F minor", "Gm7b5 | C7sus4b9 | Fm6 | %", "Gm7b5 | Gm7b5 C7sus4b9 | Fm6 | Fm6"),
        ("F", "Gm7b5 | C7 | Fmaj7 | %", "Gm7b5 | Gm7b5 C13b9 | Fmaj7 | Fmaj7"),
        ("Gb", "Abm7b5 | Db7 | Gbmaj7 | %", "Abm7b5 | Abm7b5 Db13b9 | Gbmaj7 | Gbmaj7"),
        ("Eb", "Fm7 | Bb7sus4 Bb7 | Ebmaj7 | %", "Fm7 | Bb7sus4 Bb13b9 | Ebmaj7 | Ebmaj7"),
        ("Eb", "Fm7 | Bb9sus4 Bb7b9 | Ebmaj7 | %", "Fm7 | Bb9sus4 Bb13b9 | Ebmaj7 | Ebmaj7"),
        ("C", "Dm7 | G7 G7sus4 | Cmaj7 | %", "Dm7 | G7 G9sus4 | Cmaj7 | Cmaj7"),
        ("F#", "G#m7 | C#13 | F#maj7 | %", "G#m7 | G#m7 C#13#11 | F#maj7 | F#maj7"),
        ("Bb minor", "Cm7 | F9 | Bbm6 | %", "Cm7 | Cm7 F9#5 | Bbm6 | Bbm6"),
        ("C", "Dm7 | G7#9 | Cmaj7 | %", "Dm7 | Dm7 G7#9 | Cmaj7 | Cmaj7"),
        ("C", "Dm7 | G7#5 | Cmaj7 | %", "Dm7 | Dm7 G7#5b9 | Cmaj7 | Cmaj7"),
        ("C", "Dm7 | G13b9 | Cmaj7 | %", "Dm7 | Dm7 G13b9 | Cmaj7 | Cmaj7"),
        ("C", "Dm7 | G7sus2 | Cmaj7 | %", "Dm7 | Dm7 G7sus2 | Cmaj7 | Cmaj7"),
    ],
)
def test_a_proposal_keeps_what_is_written(key, bars, treated):
    tune = chart(key, bars)
    proposal = Treatment.proposed(tune, variety=1)
    new = proposal.applied(tune)
    assert row(new) == treated
    assert proposal.undone(new) == tune
    assert not any("by your own choice" in told for told in proposal.plan(tune))


# -- the reader's own choice ---------------------------------------------------------------------


def test_the_plan_says_what_the_reader_changes():
    tune = chart("C", "Dm7 | G7alt | Cmaj7 | %")
    own = Treatment.plain(tune).set(0, colour="b9 13")
    assert row(own.applied(tune)) == "Dm7 | G13b9 | Cmaj7 | Cmaj7"
    assert own.plan(tune)[0].endswith(
        "; by your own choice G7alt becomes G13♭9: G7alt has a ♭13, and this colour has a 13."
    )
    tune = chart("Eb", "Fm7 | Bb7sus4 Bb7 | Ebmaj7 | %")
    own = Treatment.plain(tune).set(0, split=True)
    assert row(own.applied(tune)) == "Fm7 | Fm7 Bb7 | Ebmaj7 | Ebmaj7"
    assert own.plan(tune) == (
        "bars 1-3: the long ii-V to E♭; think of the V bar as Fm7 B♭7; by your own choice "
        "B♭7sus4 is left out.",
    )
    tune = chart("F", "Gm7b5 | C7 | Fmaj7 | %")
    told = Treatment.plain(tune).set(0, colour="lydian dominant").plan(tune)[0]
    assert "by your own choice C7 becomes C9♯11: Gm7♭5 has a D♭, the ♭9 of C7, and" in told


def test_the_related_ii_that_is_chosen_is_the_one_that_is_written():
    tune = chart("F", "Gm7b5 | C7 | Fmaj7 | %")
    own = Treatment.plain(tune).set(0, substitute="related ii")
    assert row(own.applied(tune)) == "Gm7b5 | Gm7b5 C7 | Fmaj7 | Fmaj7"
    assert "play Gm7♭5 C7 for C7 (related ii)" in own.plan(tune)[0]


def test_offers_tell_for_each_colour_what_speaks_against_it():
    tune = chart("C", "Dm7 | G7sus4b9 | Cmaj7 | %")
    found = Treatment.plain(tune).offers(tune, 2)
    assert [one.name for one, _ in found] == [one.name for one in COLOURS]
    assert [one.name for one, against in found if not against] == ["suspended b9"]
    with pytest.raises(TheoryError, match="no dominant that moves in bar 1"):
        Treatment.plain(tune).offers(tune, 1)


@pytest.mark.parametrize(
    ("name", "bar"),
    [
        ("tritone substitute", "Db13#11"),  # the lydian dominant (common practice)
        ("ii-V of the tritone substitute", "Abm7 Db13#11"),
        ("backdoor dominant", "Fm7 Bb13#11"),
        ("related ii", "Dm7 G13b9"),
        ("suspended version", "G9sus4"),
        ("leading-note diminished chord", "Bdim7"),
    ],
)
def test_a_substitute_brings_a_colour_that_goes_with_it(name, bar):
    tune = chart("C", "Dm7 | G7 | Cmaj7 | %")
    before = Treatment.plain(tune).set(0, colour="b9 13")
    new = before.with_substitute(tune, 2, name)
    assert str(new.applied(tune).bars[1]) == bar


# -- what comes next decides ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "bars", "targets"),
    # What each V leads to, by hand: the I may come after its own ii.
    [
        ("C", "Am7 D7 | Dm7 G7 | C6 | %", "G7 C6"),
        ("Bb", "Gm7 C7 | Cm7 F7 | Bb6 | %", "F7 Bb6"),
        ("C minor", "Am7b5 D7 | Dm7b5 G7 | Cm6 | %", "G7 Cm6"),
        ("A minor", "F#m7b5 B7 | Bm7b5 E7 | Am6 | %", "E7 Am6"),
        ("C", "Dm7 G7 | Abm7 Db7 | Cm6 | %", "Cm6 Cm6"),
    ],
)
def test_a_v_is_coloured_for_the_chord_that_it_leads_to(key, bars, targets):
    tune = chart(key, bars)
    found = dominants(tune)
    assert " ".join(str(one.target) for one in found) == targets
    for level in LEVELS:
        for seed in range(5):
            proposal = Treatment.proposed(tune, level=level, variety=4, seed=seed)
            for choice, one in zip(proposal.choices, found, strict=True):
                mode = "minor" if Degree(3, -1) in one.target.degrees else "major"
                assert colour(choice.colour).suits(mode) or one.substitute


# -- every kind, every level, every key ----------------------------------------------------------

DOMINANTS = [row.symbol for row in CHORD_KINDS if ChordKind.of(row.formula).is_dominant] + (
    "7b9 7#9 7b5 7b13 7#11 13b9 13#11 7b9b13 7b9#9 7#5b9 7#5#9 7b9#11 9b13 9#11 7b5b9 13b5".split()
)
PAIRS = ((2, 1), (2, 3), (9, 8))  # 9 with b9 or #9, 13 with b13: half steps above the root
FIFTH_ABOVE, WHOLE_STEP_ABOVE = Degree(5), Degree(2)


def contradiction(old: Chord, new: Chord) -> str:
    """Say what a symbol lost or gained against the written one, by sound and without the table."""
    was = {degree.semitone for degree in old.degrees}
    now = {degree.semitone for degree in new.degrees}
    if (was - {7}) - now:
        return f"{old} became {new}: something written is gone"
    for pair in PAIRS:
        if set(pair) <= now and not set(pair) <= was:
            return f"{old} became {new}: two kinds of one tension"
    if {4, 5} <= now and not {4, 5} <= was:
        return f"{old} became {new}: a 3rd beside its suspension"
    if 7 in now and 7 not in was:
        return f"{old} became {new}: a plain fifth beside an altered one"
    return ""


def all_kinds(key: Key) -> Chart:
    """A chart with each kind of dominant in a long ii-V-I of a key."""
    v = plain_root(above(key.tonic, FIFTH_ABOVE), key.notes)
    ii = plain_root(above(key.tonic, WHOLE_STEP_ABOVE), key.notes)
    kinds = ("m7b5", "m6") if key.is_minor else ("m7", "maj7")
    bars = [f"{ii}{kinds[0]} | {v}{symbol} | {key.tonic}{kinds[1]}" for symbol in DOMINANTS]
    return chart(str(key), " | ".join(bars))


@pytest.mark.parametrize("key", keys(), ids=str)
def test_no_level_writes_against_a_symbol_in_any_key(key):
    tune = all_kinds(key)
    for level in LEVELS:
        for seed in (0, 1):
            proposal = Treatment.proposed(tune, level=level, variety=3, seed=seed)
            assert len(proposal.choices) == len(DOMINANTS)
            new = proposal.applied(tune)
            assert proposal.undone(new) == tune
            for choice in proposal.choices:
                old = tune.bars[choice.bar - 1].content.chords[-1]
                now = new.bars[choice.bar - 1].content.chords[-1]
                assert contradiction(old, now) == ""
                assert Chord.parse(str(now)) == now
            assert not any("by your own choice" in told for told in proposal.plan(tune))


@together("symbol", DOMINANTS)
def test_every_colour_that_agrees_keeps_the_symbol(symbol):
    for root in "C Db F# Bb E Ab".split():
        old = Chord(Note.parse(root), Chord.parse(f"C{symbol}").kind)
        for one in COLOURS:
            new = coloured(old, one)
            assert Chord.parse(str(new)) == new
            if agrees(one, old):
                assert contradiction(old, new) == "", one.name
            else:  # the reader's own choice: the symbol of the colour, as over a plain V
                assert new == coloured(Chord.parse(f"{root}7"), one)


@pytest.mark.parametrize("level", LEVELS)
def test_no_level_lays_the_half_whole_scale_over_what_falls_a_half_step(level):
    half_whole = {"half-whole diminished", "b9 13", "b9 #11 13"}
    for bars in (
        "Dm7 | Db7 | Cmaj7 | %",
        "Abm7 Db7 | Cmaj7",
        "Em7 Eb7 | Dm7 Db7 | Cmaj7",
        "Dm7 | Db7b9 | Cmaj7 | %",
        "Fm7 | Bb7 | Cmaj7 | %",
        "Em7 | Eb7 | D7 | G7 | C6 | %",
    ):
        tune = chart("C", bars)
        for seed in range(8):
            proposal = Treatment.proposed(tune, level=level, variety=6, seed=seed)
            for choice, one in zip(proposal.choices, dominants(tune), strict=True):
                falls = (one.chord.root.semitone - one.target.root.semitone) % 12
                if one.substitute or falls == 1:
                    assert choice.colour not in half_whole, (bars, str(choice))
