"""Published counts of what improvisers played, as tables.

Source: the Weimar Jazz Database of the Jazzomat Research Project, 456 transcribed solos; Martin
Pfleiderer, Klaus Frieler, Jakob Abeßer, Wolf-Georg Zaddach and Benjamin Burkhart, eds., *Inside the
Jazzomat*, 2017. It was read from the R data package jazzodata (Klaus Frieler, 2022), which is under
the MIT licence (Frieler, Pfleiderer, Zaddach, Abeßer).

Its authors give the database out under the Open Database License (ODbL) 1.0 (from memory). The
tables of this file contain information from the Weimar Jazz Database and are made available under
the same licence, https://opendatacommons.org/licenses/odbl/1-0/. The code around them is under the
MIT licence. What was altered: the notes of the solos are not here, only how often they came, by
degree, by interval and by where the chord goes; the 95 % intervals are a bootstrap over the solos.
``counts_data`` gives all of it as JSON. A count tells what was played, never what may be.
"""

from __future__ import annotations

from dataclasses import dataclass

SOLOS = 456
SOURCE = "Weimar Jazz Database"
LICENCE = "Open Database License 1.0"  # of the database, and so of these tables


@dataclass(frozen=True, slots=True)
class DegreeCounts:
    """The notes played over dominants that go one way, by degree above the root of the dominant.

    ``counts``, ``low`` and ``high`` stand for the twelve degrees in the order of
    ``tensions.TENSION_NAMES``; ``low`` and ``high`` are the ends of the 95 % interval of the share.
    """

    going: str
    words: str
    chords: int
    notes: int
    counts: tuple[int, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    aliases: tuple[str, ...]


def _whole(text: str) -> tuple[int, ...]:
    """Read a row of counts."""
    return tuple(map(int, text.split()))


def _shares(text: str) -> tuple[float, ...]:
    """Read a row of shares."""
    return tuple(map(float, text.split()))


def _row(
    going: str,
    words: str,
    chords: int,
    notes: int,
    counts: str,
    low: str,
    high: str,
    aliases: tuple[str, ...] = (),
) -> DegreeCounts:
    """Read one way of going."""
    return DegreeCounts(
        going, words, chords, notes, _whole(counts), _shares(low), _shares(high), aliases
    )


# The columns are 1 b9 9 #9 3 11 #11 5 b13 13 b7 7: counts, then low and high ends of the interval.
DEGREE_COUNTS = (
    _row(
        "major",
        "a dominant going to a major I",
        3093,
        15387,
        "2249 852 1551 615 1662 1485 477 1757 881 1551 1731 576",
        ".1391 .0492 .0942 .0347 .1017 .0897 .0260 .1080 .0517 .0944 .1064 .0336",
        ".1539 .0615 .1073 .0457 .1142 .1035 .0361 .1203 .0631 .1076 .1189 .0415",
    ),
    _row(
        "minor",
        "a dominant going to a minor tonic",
        541,
        2605,
        "393 208 91 162 258 240 130 339 272 64 328 120",
        ".1315 .0663 .0262 .0445 .0807 .0744 .0345 .1132 .0852 .0173 .1118 .0357",
        ".1746 .0939 .0436 .0791 .1160 .1120 .0640 .1474 .1273 .0317 .1405 .0579",
    ),
    _row(
        "down a half step",
        "a dominant going down a half step",
        1306,
        7333,
        "836 380 719 328 962 405 656 838 376 690 718 425",
        ".0987 .0453 .0842 .0367 .1159 .0465 .0736 .0980 .0428 .0816 .0860 .0511",
        ".1300 .0592 .1119 .0543 .1442 .0642 .1064 .1309 .0592 .1067 .1091 .0654",
        ("half step", "tritone substitute"),
    ),
    _row(
        "ii-V-I in major",
        "the V of a ii-V-I in major",
        2023,
        9510,
        "1348 557 935 367 1082 958 286 1071 557 994 1030 325",
        ".1346 .0515 .0911 .0321 .1068 .0931 .0252 .1054 .0518 .0966 .1008 .0298",
        ".1493 .0655 .1057 .0450 .1212 .1093 .0347 .1193 .0654 .1134 .1154 .0386",
    ),
    _row(
        "ii-V-i in minor",
        "the V of a ii-V-i in minor, its ii half-diminished",
        584,
        2718,
        "395 276 95 163 269 244 96 351 273 73 359 124",
        ".1316 .0871 .0267 .0472 .0870 .0756 .0260 .1140 .0883 .0198 .1183 .0368",
        ".1594 .1173 .0449 .0723 .1126 .1022 .0464 .1445 .1130 .0344 .1450 .0546",
    ),
    _row(
        "down a fifth",
        "a dominant going down a fifth to any chord",
        8198,
        47916,
        "7166 2720 4165 2775 4672 4341 1861 5921 2881 3909 5590 1915",
        ".1440 .0529 .0831 .0540 .0932 .0868 .0358 .1195 .0562 .0777 .1130 .0373",
        ".1552 .0608 .0911 .0621 .1023 .0945 .0420 .1280 .0641 .0859 .1202 .0425",
        ("any",),
    ),
)

# The twelve sounds over I, as the counts below name them.
DEGREES_OF_I = tuple("1 b9 9 b3 3 11 #11 5 b13 13 b7 7".split())

# First notes over a major I after V, in the same phrase. Published as shares of 2,440 notes with
# four digits, from which these counts follow.
FIRST_NOTES = _whole("443 36 278 92 467 109 46 539 49 137 55 189")

# Last notes of phrases that cross V and end on I, by the mode of I.
ENDINGS = {
    "major": _whole("307 6 65 12 197 20 13 286 9 103 30 62"),
    "minor": _whole("53 2 16 25 2 21 5 39 2 15 9 5"),
}

# The commonest moves from the last note over V to the first over a major I: degree of V, degree of
# I, count.
MOVES_TOTAL = 2440
MOVES = (
    ("b7", "3", 188),
    ("9", "5", 138),
    ("5", "1", 113),
    ("1", "3", 90),
    ("b9", "5", 86),
    ("3", "1", 84),
    ("13", "5", 68),
    ("b13", "3", 63),
    ("1", "1", 63),
    ("7", "5", 57),
    ("3", "9", 57),
    ("13", "9", 50),
)

# Absolute half steps between neighbouring notes of one phrase.
BINS = (*map(str, range(13)), "more than 12")
INTERVALS = {
    "inside phrases": _whole(
        "8773 52292 54161 32987 17332 12140 2780 3983 1725 1448 757 362 566 421"
    ),
    "over dominants that resolve": _whole(
        "1625 11247 11221 7233 3639 2209 600 660 348 309 122 80 106 55"
    ),
    "over a dominant going to a major I": _whole(
        "398 3363 3752 2220 1244 646 164 184 110 138 43 33 44 13"
    ),
}

# The same bins from the last note over one chord to the first over the next, with the published
# shares of half steps down and up.
LAST_STEPS = {
    "major": (
        _whole("98 771 630 392 197 188 30 64 18 31 5 2 11 3"),
        0.1877,
        0.1283,
    ),
    "minor": (
        _whole("21 120 97 68 33 34 6 13 7 2 2 1 2 2"),
        0.1471,
        0.1471,
    ),
    "down a half step": (
        _whole("25 390 200 149 74 51 16 21 14 7 4 5 4 5"),
        0.2435,
        0.1606,
    ),
    "any other chord change": (
        _whole("753 4630 3696 2299 1221 968 290 418 187 149 94 52 59 46"),
        0.1674,
        0.1441,
    ),
}
