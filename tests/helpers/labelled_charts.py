"""Small charts labelled by hand, one or more for each rule of what a cadence is.

The labels are what a jazz musician reads in the changes (common practice), written down by hand,
not taken from the finder. Each line gives the indices of ii, V and I among the played chords (- for
none), kind, length, mode and key of the I, and the substitute if there is one.
"""

from __future__ import annotations

from typing import NamedTuple

from theorykit.tunes.cadences import Cadence
from theorykit.tunes.charts import Chart


class Case(NamedTuple):
    """A chart, what it is there to show, and its labels."""

    what: str
    key: str
    bars: str
    labels: tuple[str, ...]
    metre: str = "4/4"


CASES = (
    # -- the plain thing in major and minor, long and short and other lengths
    Case("a long ii-V-I", "F", "Gm7 | C7 | Fmaj7 | %", ("0 1 2 ii-V-I long major F",)),
    Case("a short ii-V-I", "Db", "Ebm7 Ab7 | Dbmaj7", ("0 1 2 ii-V-I short major Db",)),
    Case(
        "two bars each, the chords written twice",
        "A",
        "Bm7 | Bm7 | E7 | % | Amaj7 | A6",
        ("0 2 4 ii-V-I 2 bars each major A",),
    ),
    Case(
        "one beat each at the end of a bar",
        "G",
        "Gmaj7 / Am7 D7 | G6",
        ("1 2 3 ii-V-I 1 beat each major G",),
    ),
    Case("a bar of ii, two of V", "Bb", "Cm7 | F7 | % | Bb6", ("0 1 3 ii-V-I mixed major Bb",)),
    Case(
        "the V bar already split",
        "E",
        "F#m7 | F#m7 B7 | Emaj7",
        ("0 2 3 ii-V-I split major E",),
    ),
    Case(
        "a minor one, half-diminished ii and minor sixth",
        "Bb minor",
        "Cm7b5 | F7b9 | Bbm6 | %",
        ("0 1 2 ii-V-I long minor Bb",),
    ),
    Case(
        "a waltz, a bar each and then a bar for both",
        "Eb",
        "Fm7 | Bb7 | Ebmaj7 | Fm7 Bb7 | Eb6 | %",
        ("0 1 2 ii-V-I long major Eb", "3 4 5 ii-V-I short major Eb"),
        "3/4",
    ),
    # -- modes that do not match
    Case(
        "a half-diminished ii to a major I",
        "C",
        "Dm7b5 | G7b9 | Cmaj7 | %",
        ("0 1 2 ii-V-I long major C",),
    ),
    Case(
        "a minor seventh ii to a minor i",
        "F minor",
        "Gm7 | C7 | Fm6 | %",
        ("0 1 2 ii-V-I long minor F",),
    ),
    # -- what an I looks like
    Case(
        "plain triads, 6/9, m(maj7) and m7 as I",
        "D minor",
        "Em7b5 A7 | Dm | Gm7 C7 | F | Em7b5 A7 | Dm(maj7) | Gm7 C7 | F6/9 | Em7b5 A7 | Dm7 | Bb6",
        (
            "0 1 2 ii-V-I short minor D",
            "3 4 5 ii-V-I short major F",
            "6 7 8 ii-V-I short minor D",
            "9 10 11 ii-V-I short major F",
            "12 13 14 ii-V-I short minor D",
        ),
    ),
    # -- look ahead
    Case(
        "V7 to a minor seventh that is the ii of the next",
        "Bb",
        "Bbmaj7 | Dm7 G7 | Cm7 F7 | Bb6",
        ("1 2 - ii-V short minor C", "3 4 5 ii-V-I short major Bb"),
    ),
    Case(
        "a lone V7 of ii is no cadence",
        "Ab",
        "Abmaj7 F7 | Bbm7 Eb7 | Ab6",
        ("2 3 4 ii-V-I short major Ab",),
    ),
    Case(
        "the same V7 where the minor seventh stays",
        "Ab",
        "Abmaj7 | C7 | Fm7 | Dbmaj7 | Ab6",
        ("- 1 2 V-I long minor F",),
    ),
    Case(
        "a half-diminished ii-V to the ii of the next, tritone substitute after it",
        "G",
        "Gmaj7 | Bm7b5 E7 | Am7 Ab7 | G6",
        ("1 2 - ii-V short minor A", "3 4 5 ii-V-I short major G tritone"),
    ),
    # -- prepared twice
    Case(
        "ii V ii V I",
        "Eb",
        "Fm7 Bb7 | Fm7 Bb7 | Ebmaj7 | %",
        ("0 1 4 ii-V-I short major Eb", "2 3 4 ii-V-I short major Eb"),
    ),
    Case(
        "long, then short, to minor",
        "C minor",
        "Dm7b5 | G7 | Dm7b5 G7 | Cm6",
        ("0 1 4 ii-V-I long minor C", "2 3 4 ii-V-I short minor C"),
    ),
    # -- one chord in many clothes
    Case(
        "V suspended, plain, altered, over the bar line; I as maj7 and 6",
        "D",
        "Em9 | A7sus4 A7 | A7b9 | Dmaj7 D6 | D6/9",
        ("0 1 4 ii-V-I mixed major D",),
    ),
    Case(
        "ii over the bass of V",
        "F",
        "Gm7 | Gm7/C | Fmaj7 | Bb/C | F6",
        ("0 1 2 ii-V-I long major F", "- 3 4 V-I long major F"),
    ),
    Case(
        "ii with its seventh in the bass, V over its third, I over its fifth before V",
        "G",
        "Am7 Am7/G | D7/F# | G/D D7 | G",
        ("0 2 5 ii-V-I mixed major G",),
    ),
    Case(
        "a chord held over the bar line",
        "B",
        "Bmaj7 / / C#m7 | C#m7 / F#7 / | B6",
        ("1 3 4 ii-V-I mixed major B",),
    ),
    # -- looked through
    Case(
        "a passing diminished chord between V and I",
        "Bb",
        "Cm7 F7 | F#dim7 Bb6 | %",
        ("0 1 3 ii-V-I short major Bb",),
    ),
    Case(
        "the ii-V of the substitute between V and I",
        "C",
        "Dm7 G7 | Abm7 Db7 | Cmaj7 | %",
        ("0 1 4 ii-V-I short major C", "2 3 4 ii-V-I short major C tritone"),
    ),
    Case(
        "a side step between a ii-V and the same again",
        "F",
        "Gm7 C7 | Abm7 Db7 | Gm7 C7 | F6",
        (
            "0 1 6 ii-V-I short major F",
            "2 3 - ii-V short major C tritone",
            "4 5 6 ii-V-I short major F",
        ),
    ),
    Case(
        "the substitute alone takes over from its V",
        "Eb",
        "Fm7 | Bb7 E7 | Ebmaj7 | %",
        ("0 1 3 ii-V-I long major Eb",),
    ),
    # -- round the form
    Case(
        "the end leads back to the top",
        "Ab",
        "Abmaj7 | Fm7 | Dbmaj7 | Bbm7 Eb7",
        ("3 4 0 ii-V-I short major Ab",),
    ),
    Case(
        "the end leads back to a top that begins with the ii",
        "D",
        "Em7 | A7 | Dmaj7 | Em7 A7",
        ("0 1 2 ii-V-I long major D", "3 4 2 ii-V-I short major D"),
    ),
    # -- chains
    Case(
        "a chain of dominants",
        "Bb",
        "Bb6 | D7 | G7 | C7 | F7 | Bb6",
        ("- 4 5 V-I long major Bb",),
    ),
    Case(
        "ii-Vs down in whole steps",
        "Eb",
        "Am7 D7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7",
        (
            "0 1 - ii-V short minor G",
            "2 3 - ii-V short minor F",
            "4 5 6 ii-V-I short major Eb",
        ),
    ),
    Case(
        "ii-Vs down in half steps",
        "G",
        "Gmaj7 | Bm7 E7 | Bbm7 Eb7 | Am7 D7 | G6",
        (
            "1 2 - ii-V short minor A",
            "3 4 - ii-V short major D tritone",
            "5 6 7 ii-V-I short major G",
        ),
    ),
    Case(
        "each V turns into the next ii",
        "F",
        "Am7 | D7 | Dm7 | G7 | Gm7 | C7 | F6",
        (
            "0 1 - ii-V long major G",
            "2 3 - ii-V long major C",
            "4 5 6 ii-V-I long major F",
        ),
    ),
    Case(
        "the ii-V of V, then V of I with its ii",
        "A",
        "Amaj7 | F#m7 | B7 | Bm7 | E7 | A6",
        ("1 2 - ii-V long major E", "3 4 5 ii-V-I long major A"),
    ),
    # -- substitutes
    Case(
        "the ii-V of the substitute",
        "Bb",
        "Bbmaj7 | F#m7 B7 | Bb6 | %",
        ("1 2 3 ii-V-I short major Bb tritone",),
    ),
    Case(
        "the plain ii and the substitute",
        "Gb",
        "Abm7 | G7 | Gbmaj7 | %",
        ("0 1 2 ii-V-I long major Gb tritone",),
    ),
    Case(
        "a lone substitute to minor",
        "G minor",
        "Gm6 | Ebmaj7 | Ab7 | Gm6",
        ("- 2 3 V-I long minor G tritone",),
    ),
    Case(
        "the back door with its iv",
        "D",
        "Dmaj7 | Gm7 C7 | Dmaj7 | %",
        ("1 2 3 ii-V-I short major D backdoor",),
    ),
    Case(
        "the back door alone",
        "Ab",
        "Abmaj7 | Dbmaj7 | Gb7 | Ab6",
        ("- 2 3 V-I long major Ab backdoor",),
    ),
    Case(
        "the same two chords as the ii-V of another key",
        "D",
        "Dmaj7 | Gm7 C7 | Fmaj7 | % | Em7 A7 | D6",
        ("1 2 3 ii-V-I short major F", "5 6 7 ii-V-I short major D"),
    ),
    Case(
        "the back door to iii",
        "Bb",
        "Bbmaj7 | Ebmaj7 | Ebm7 Ab7 | Dm7 G7 | Cm7 F7 | Bb6",
        (
            "2 3 - ii-V short major Bb backdoor",
            "4 5 - ii-V short minor C",
            "6 7 8 ii-V-I short major Bb",
        ),
    ),
    # -- deceptive
    Case(
        "V to vi",
        "E",
        "F#m7 | B7 | C#m7 | Amaj7 | F#m7 | B7 | E6 | %",
        ("0 1 - ii-V long major E", "4 5 6 ii-V-I long major E"),
    ),
    Case(
        "V to flat VI of minor",
        "A minor",
        "Am6 | Bm7b5 E7 | Fmaj7 | Bm7b5 E7 | Am6",
        ("1 2 - ii-V short minor A", "4 5 6 ii-V-I short minor A"),
    ),
    Case(
        "V without a ii to vi",
        "F",
        "Fmaj7 | Bbmaj7 | C7 | Dm7 | Bbmaj7 | C7 | F6",
        ("- 2 - V-I long major F", "- 5 6 V-I long major F"),
    ),
    Case(
        "a dark V of ii to IV",
        "Db",
        "Dbmaj7 | Fm7 | Bb7b9 | Gbmaj7 | Ebm7 | Ab7 | Db6 | %",
        ("1 2 - ii-V long minor Eb", "4 5 6 ii-V-I long major Db"),
    ),
    # -- a held bass
    Case("triads over a held tonic", "A", "A | D/A | E/A | A | G/A | D/A | A | %", ()),
    Case(
        "the V of a ii over the bass of V",
        "Gb",
        "Gbmaj7 | Ebm7 | Ab7 | Abm7/Db | Db7 | Gb6 | %",
        ("1 2 - ii-V long major Db", "- 3 5 V-I 2 bars major Gb"),
    ),
    # -- blues
    Case(
        "three chords: I7 to IV7 is no cadence, nor is V7 IV7 I7",
        "Bb",
        "Bb7 | Eb7 | Bb7 | % | Eb7 | % | Bb7 | % | F7 | Eb7 | Bb7 | F7",
        ("- 11 0 V-I long blues Bb",),
    ),
    Case(
        "a later blues: to IV7, through ii, and round",
        "G",
        "G7 | C7 | G7 | Dm7 G7 | C7 | C#dim7 | G7 | Bm7b5 E7 | Am7 | D7 | G7 E7 | Am7 D7",
        (
            "3 4 5 ii-V-I short blues C",
            "8 9 - ii-V short minor A",
            "10 11 12 ii-V-I long blues G",
            "14 15 0 ii-V-I short blues G",
        ),
    ),
    Case(
        "a minor blues",
        "F minor",
        "Fm7 | % | % | Cm7b5 F7 | Bbm7 | % | Fm7 | % | Db7 | C7 | Fm7 | Gm7b5 C7",
        (
            "3 4 5 ii-V-I short minor Bb",
            "- 10 11 V-I long minor F",
            "12 13 0 ii-V-I short minor F",
        ),
    ),
    Case(  # the iii is the ii of a ii-V that leads back; the same V leads to a minor chord later
        "iii for I in major, then the same V on the way elsewhere",
        "Bb",
        "Bb6 | Cm7 | F7 | Dm7 G7 | Cm7 F7 | Bbm7 Eb7 | Cm7b5 F7b9 | Bb6 | %",
        (
            "1 2 - ii-V long major Bb",
            "3 4 - ii-V short minor C",
            "5 6 - ii-V short minor Bb",
            "7 8 - ii-V short major Ab",
            "9 10 11 ii-V-I short major Bb",
        ),
    ),
    # -- what is none
    Case("i and IV7 of a minor vamp", "C minor", "Cm7 | F7 | Cm7 | F7", ()),
    Case("a plagal close, minor plagal too", "D", "Dmaj7 | G6 | Gm6 | D6", ()),
    Case(
        "diminished chords passing up and down", "Eb", "Ebmaj7 Edim7 | Fm7 F#dim7 | Eb/G | Ab6", ()
    ),
    Case("IV, raised iv diminished, I over V", "F", "Bbmaj7 | Bdim7 | F/C | F6", ()),
    # -- deeper in other metres
    Case(
        "six-eight, a dotted quarter each",
        "G minor",
        "Am7b5 D7 | Gm6 | %",
        ("0 1 2 ii-V-I short minor G",),
        "6/8",
    ),
    Case(
        "five-four, three and two",
        "Db",
        "Ebm7 / / Ab7 / | Db6 | %",
        ("0 1 2 ii-V-I short major Db",),
        "5/4",
    ),
)


def chart_of(case: Case) -> Chart:
    """Read the chart of a case."""
    return Chart.parse(f"key: {case.key}\nmetre: {case.metre}\n| {case.bars} |")


def label_of(cadence: Cadence) -> str:
    """Write a cadence as the labels are written."""
    places = ("-" if p is None else str(p) for p in (cadence.ii, cadence.v, cadence.i))
    words = (*places, cadence.kind, cadence.length, cadence.mode, str(cadence.key.tonic))
    return " ".join((*words, cadence.substitute)).strip()
