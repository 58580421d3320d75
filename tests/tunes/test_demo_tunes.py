"""The tunes of the workshop, read bar by bar by hand: every bracket stands."""

from __future__ import annotations

import pytest
from house import ROOT
from labelled_charts import label_of
from together import together

from theorykit.tunes.cadences import cadences, key_regions
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import LEVELS, Treatment

FOLDER = ROOT / "workbook" / "tunes"

# Each cadence: its bars as played, its chords, and its label without the indices.
READ = {
    "nine_borrowed_stands": (
        "3-5 Ebm7 Ab7 Dbmaj7: ii-V-I long major Db",
        "7-9 Cm7 F7 Bbmaj7: ii-V-I long major Bb",
        "10-12 Ebm7 Ab7 Dbmaj7: ii-V-I long major Db",
        "13-15 Cm7 F7 Bb6: ii-V-I long major Bb",
        "17-19 Abm7 Db7 Gbmaj7: ii-V-I long major Gb",
        "21-22 Gm7 C7 -: ii-V long major F",
        "23-25 - F7 Bbmaj7: V-I 2 bars major Bb",
        "26-28 Ebm7 Ab7 Dbmaj7: ii-V-I long major Db",
        "29-31 Cm7 F7 Bb6: ii-V-I long major Bb",
    ),
    "the_kettle_comes_late": (
        "4-5 Ebm7 Ab7 Db7: ii-V-I short blues Db",
        "6-7 Dbm7 Gb7 Ab7: ii-V-I short blues Ab backdoor",
        "8-8 Bm7 E7 -: ii-V short major Eb tritone",
        "9-10 Bbm7 Eb7 -: ii-V long major Ab",
        "11-11 Cm7 F7 -: ii-V short minor Bb",
        "12-1 Bbm7 Eb7 Ab7: ii-V-I short blues Ab",
    ),
    "umbrella_in_the_hall": (
        "2-3 Am7b5 D7 Gm6: ii-V-I short minor G",
        "4-5 Dm7b5 G7 Cm6: ii-V-I short minor C",
        "7-8 Am7b5 D7b9 -: ii-V long minor G",
        "11-13 Em7b5 A7b9 Dm7: ii-V-I long minor D",
        "14-15 Dm7b5 G7 Cm7: ii-V-I short minor C",
        "16-17 Am7b5 D7 Gm6: ii-V-I short minor G",
        "18-18 Am7b5 D7 -: ii-V short minor G",
        "20-21 Am7b5 D7 Gm6: ii-V-I short minor G",
        "23-24 Am7b5 D7b9 Gm6: ii-V-I short minor G",
    ),
    "four_bus_stops": (
        "2-2 G#m7 C#7 -: ii-V short minor F#",
        "3-3 F#m7 B7 -: ii-V short minor E",
        "4-5 Em7 A7 Dmaj7: ii-V-I short major D",
        "6-7 Fm7 Bb7 Ebmaj7: ii-V-I short major Eb",
        "9-10 Abm7 Db7 Gbmaj7: ii-V-I short major Gb",
        "11-12 Dm7 G7 Cmaj7: ii-V-I short major C",
        "13-13 C#m7 F#7 -: ii-V short minor B",
        "14-14 Cm7 F7 -: ii-V short major E tritone",
        "15-16 Bm7 E7 A6: ii-V-I short major A",
        "20-1 - E7 Amaj7: V-I long major A",
    ),
    "rain_on_the_skylight": (
        "3-5 Cm7 F7 Gmaj7: ii-V-I long major G backdoor",
        "7-9 Am7 D7 Gmaj7: ii-V-I long major G",
        "11-13 Cm7 F7 Gmaj7: ii-V-I long major G backdoor",
        "15-17 Am7 Ab7 Gmaj7: ii-V-I long major G tritone",
        "18-19 Dm7 G7 Cmaj7: ii-V-I short major C",
        "21-22 C#m7b5 F#7 -: ii-V long minor B",
        "23-25 Bm7 E7 Am7: ii-V-I long minor A",
        "27-29 Cm7 F7 Gmaj7: ii-V-I long major G backdoor",
        "30-32 Am7 Ab7 G6: ii-V-I long major G tritone",
    ),
    # Bars 5-12 come again as 21-28, by the D.S.; their last V goes home at first, and to VI in the
    # coda then. Abm7 Db7 goes to G flat in the bridge, and home by the back door in the coda.
    "the_keys_are_still_upstairs": (
        "4-5 Fm7 Bb7 Ebmaj7: ii-V-I short major Eb",
        "6-7 Am7b5 D7 Gm7: ii-V-I short minor G",
        "8-9 Bbm7 Eb7 Abmaj7: ii-V-I short major Ab",
        "10-10 Gm7b5 C7 -: ii-V short minor F",
        "11-13 Fm7 Bb7 Ebmaj7: ii-V-I long major Eb",
        "14-15 Abm7 Db7 Gbmaj7: ii-V-I short major Gb",
        "17-18 Cm7 F7 Bbmaj7: ii-V-I short major Bb",
        "19-21 Fm7 Bb7 Ebmaj7: ii-V-I long major Eb",
        "22-23 Am7b5 D7 Gm7: ii-V-I short minor G",
        "24-25 Bbm7 Eb7 Abmaj7: ii-V-I short major Ab",
        "26-26 Gm7b5 C7 -: ii-V short minor F",
        "27-28 Fm7 Bb7 -: ii-V long major Eb",
        "30-31 Abm7 Db7 Ebmaj7: ii-V-I short major Eb backdoor",
    ),
}


def tune(name):
    return Chart.parse((FOLDER / f"{name}.txt").read_text(encoding="utf-8"))


def line_of(chart, cadence):
    chords = (
        "-" if index is None else str(chart.played[index].chord)
        for index in (cadence.ii, cadence.v, cadence.i)
    )
    first, last = cadence.bars
    return f"{first}-{last} {' '.join(chords)}: {' '.join(label_of(cadence).split()[3:])}"


@pytest.mark.parametrize("name", READ)
def test_every_bracket_stands(name):
    chart = tune(name)
    assert tuple(line_of(chart, cadence) for cadence in cadences(chart)) == READ[name]


@pytest.mark.parametrize("name", READ)
def test_the_file_is_written_as_print_writes_it(name):
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    assert str(tune(name)) == text


@pytest.mark.parametrize("name", READ)
def test_the_key_is_found_without_being_told(name):
    lines = str(tune(name)).splitlines()
    assert Chart.parse("\n".join(x for x in lines if not x.startswith("key"))) == tune(name)


@together("name", READ)
@together("level", LEVELS)
def test_a_treatment_lies_on_it_and_comes_off(name, level):
    chart = tune(name)
    treatment = Treatment.proposed(chart, level=level)
    assert treatment.undone(treatment.applied(chart)) == chart
    assert len(treatment.plan(chart)) == len(treatment.choices)


def test_each_shows_what_it_was_written_to_show():
    stands, blues, minor, stops, waltz, keys = map(tune, READ)
    assert len(stands.played_bars) == 32
    assert len({c.key for c in cadences(stands) if c.is_long}) >= 3
    assert len(blues.played_bars) == 12
    assert {c.mode for c in cadences(blues)} > {"blues"}
    assert all("m7b5" in str(minor.played[c.ii].chord) for c in cadences(minor))
    assert len({r.key for r in key_regions(stops)}) >= 5
    assert max(len(c.chain) for c in cadences(stops)) >= 4
    assert {c.substitute for c in cadences(waltz)} == {"", "tritone", "backdoor"}
    assert str(waltz.metre) == "3/4"
    assert keys.played_bars == (*range(20), *range(4, 12), *range(20, 24))
    same_v = [c for c in cadences(keys) if keys.played[c.v].written == 11]
    assert [(c.bars, c.deceptive) for c in same_v] == [((11, 13), False), ((27, 28), True)]


def test_no_tune_is_left_unread():
    assert {file.stem for file in FOLDER.glob("*.txt")} == set(READ)
