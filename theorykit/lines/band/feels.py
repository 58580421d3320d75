"""Feels: what bass, drums and piano play in each, as rows of strokes.

A stroke is a beat counted from 1, so that 5/2 is the eighth after two. In a row of drums ``!`` is
an accent, ``.`` a soft stroke, ``'`` a stroke that is felt more than heard.

Sources. Swing in four: ride "ding, ding-a-ding" with accents on 2 and 4, hi-hat on 2 and 4, the
bass drum feathered on all four (common practice; John Riley, *The Art of Bop Drumming*, 1994, from
memory). In two: as in four, the bass drum on 1 and 3. Waltz: hi-hat on 2, bass drum on 1. Ballad:
brushes, a swirl with taps on 2 and 4. Bossa: bass drum on 1, the eighth after 2, 3 and the eighth
after 4, eighths on the closed hi-hat, side stick in a pattern of two bars with three strokes and
two (common practice; Ed Uribe, *The Essence of Brazilian Percussion and Drum Set*, 1993, from
memory). Straight eighths: even eighths on the ride, side stick on 4 (common practice).
The numbers of drums and their names: General MIDI Level 1 percussion map (MMA, 1991); those of the
brushes: General MIDI Level 2, brush set (MMA, 1999, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown

KICK, SIDE_STICK, SNARE, SWIRL = 36, 37, 38, 40
FLOOR_TOM, LOW_TOM, HIGH_TOM = 43, 45, 48
CLOSED_HI_HAT, PEDAL_HI_HAT, CRASH, RIDE = 42, 44, 49, 51
BRUSHES = 40  # the program of the brush set

DRUMS = {
    **{"kick": KICK, "stick": SIDE_STICK, "snare": SNARE, "swirl": SWIRL, "floor": FLOOR_TOM},
    **{"low": LOW_TOM, "high": HIGH_TOM, "closed": CLOSED_HI_HAT, "foot": PEDAL_HI_HAT},
    **{"crash": CRASH, "ride": RIDE},
}
# Loudness of a plain stroke, and what a mark adds.
STROKES = {
    **{"kick": 60, "stick": 58, "snare": 56, "swirl": 66, "floor": 66, "low": 64, "high": 64},
    **{"closed": 54, "foot": 68, "crash": 66, "ride": 74},
}
MARKS = {"!": 10, ".": -14, "'": -26}


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drum struck: its beat in the bar, from 0, its number and its loudness."""

    beat: Fraction
    midi: int
    loudness: int


def strokes(text: str) -> tuple[Stroke, ...]:
    """Read a row: the name of a drum and its strokes, one drum after the other.

    >>> [(str(one.beat), one.midi, one.loudness) for one in strokes("ride 1 2! 5/2. foot 2")]
    [('0', 51, 74), ('1', 51, 84), ('3/2', 51, 60), ('1', 44, 68)]
    """
    found, drum = [], ""
    for word in text.split():
        if word in DRUMS:
            drum = word
            continue
        beat = word.rstrip("".join(MARKS))
        loudness = STROKES[drum] + sum(MARKS[mark] for mark in word[len(beat) :])
        found.append(Stroke(Fraction(beat) - 1, DRUMS[drum], loudness))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Groove:
    """What drums play in bars of one length.

    Of each tuple in ``layers`` a bar plays one row by chance; the rows of ``cycle`` follow each
    other from bar to bar. ``comping`` are the places where the snare may answer, ``fills`` are
    whole bars at the end of a section.
    """

    beats: int
    layers: tuple[tuple[str, ...], ...]
    comping: str = ""
    fills: tuple[str, ...] = ()
    cycle: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Feel:
    """How a rhythm section plays: its grooves by the length of the bar, its bass, its chords.

    ``bass`` names a way of ``bass.py`` or of ``bass_figures.py``; ``figures`` are names of the
    piano's rhythms that suit it, empty for all; with ``even`` eighths are not swung; ``sparse`` is
    how often in a phrase the piano leaves a bar out; ``kit`` is the drummer's program. By
    ``loudness`` all strokes are multiplied, so that feels with few and with many are as loud.
    """

    name: str
    bass: str
    grooves: tuple[Groove, ...]
    figures: tuple[str, ...] = ()
    even: bool = False
    sparse: float = 0.15
    kit: int | None = None
    loudness: float = 1.0

    def groove(self, beats: Fraction) -> Groove | None:
        """Return what the drums play in a bar so long, if there is a row for it."""
        return next((one for one in self.grooves if one.beats == beats), None)


_FILLS = (
    "ride 1 2! foot 2 4 snare 3 7/2. 4 9/2! kick 1'",
    "ride 1 2! 5/2. foot 2 4 snare 7/2 high 4 floor 9/2! kick 1' 3'",
    "ride 1 2! foot 2 4 snare 3 10/3. 11/3. high 4 low 13/3. floor 14/3 kick 1'",
    "ride 1 2! 5/2. 3 foot 2 4 snare 3. 7/2! 9/2! kick 4 kick 1'",
    "ride 1 foot 2 4 snare 2 5/2. 3! high 7/2 4 floor 9/2 kick 1'",
)
_WALTZ_FILLS = (
    "ride 1 2! foot 2 snare 5/2 3 7/2! kick 1'",
    "ride 1 foot 2 snare 2 7/3. 8/3. high 3 floor 7/2 kick 1'",
    "ride 1 2! foot 2 snare 2. high 5/2 low 3 floor 7/2! kick 1'",
)
_RIDE = (
    *("ride 1 2! 5/2. 3 4! 9/2.",) * 4,
    *("ride 1 2! 3 4! 9/2.", "ride 1 2! 5/2. 3 4!", "ride 1 2! 3 4!") * 2,
    "ride 1 3/2. 2! 3 4! 9/2.",
    "ride 1 2! 5/2. 3 7/2. 4!",
)
_COMPING = "3/2 2 5/2 7/2 4 9/2"
FOUR = Groove(
    4,
    (_RIDE, ("foot 2 4",), ("kick 1' 2' 3' 4'", "kick 1' 2' 3' 4'", "kick 1' 2' 3' 4' 9/2.")),
    _COMPING,
    _FILLS,
)
WALTZ = Groove(
    3,
    (
        ("ride 1 2! 5/2. 3", "ride 1 2! 5/2. 3 7/2.", "ride 1 2! 3", "ride 1 2! 3 7/2."),
        ("foot 2", "foot 2", "foot 2 3."),
        ("kick 1.", "kick 1.", "kick 1. 5/2'", "kick 1. 7/2'"),
    ),
    "3/2 5/2 3 7/2",
    _WALTZ_FILLS,
)
IN_TWO = Groove(
    4,
    (
        ("ride 1 2! 3 4!", "ride 1 2! 5/2. 3 4!", "ride 1 2! 3 4! 9/2.", _RIDE[0]),
        ("foot 2! 4!",),
        ("kick 1. 3.", "kick 1. 3.", "kick 1. 3. 9/2'"),
    ),
    "5/2 4 9/2",
    _FILLS,
)
BALLAD = Groove(
    4,
    (
        ("swirl 1 3 snare 2! 4!", "swirl 1 3 snare 2! 4! 9/2.", "swirl 1 3 snare 2! 5/2. 4!"),
        ("foot 2. 4.",),
        ("kick 1' 3'", "kick 1'", "kick 1' 3' 9/2'"),
    ),
    "7/2 9/2",
    (
        "swirl 1 snare 2 3 10/3. 11/3. 4 9/2 foot 2. 4. kick 1'",
        "swirl 1 3 snare 2 7/2. 4 13/3. 14/3 foot 2. 4. kick 1'",
    ),
)
_EIGHTHS = "closed 1 3/2. 2 5/2. 3 7/2. 4 9/2."
BOSSA = Groove(
    4,
    (
        (_EIGHTHS, "closed 1! 3/2. 2 5/2 3 7/2. 4! 9/2.", "closed 1 3/2. 2! 5/2. 3 7/2 4 9/2."),
        ("foot 2. 4.",),
        ("kick 1 5/2. 3 9/2.", "kick 1 5/2' 3 9/2.", "kick 1 3 9/2."),
    ),
    "",
    (
        "closed 1 3/2. 2 5/2. foot 2. stick 1 5/2 snare 7/2. 4 9/2 kick 1 5/2. 3",
        "closed 1 3/2. 2 5/2. foot 2. stick 1 snare 3. high 7/2 4 low 9/2 kick 1 5/2. 3",
    ),
    ("stick 1 5/2 4", "stick 2 7/2"),  # two bars: the side with three strokes, that with two
)
STRAIGHT = Groove(
    4,
    (
        (
            "ride 1 3/2. 2! 5/2. 3 7/2. 4! 9/2.",
            "ride 1 3/2. 2 5/2! 3 7/2. 4 9/2.",
            "ride 1 2 5/2. 3 4 9/2.",
            "ride 1! 3/2. 2 5/2. 3! 7/2. 4 9/2",
        ),
        ("foot 2 4", "foot 2 4", "foot 2 4 9/2."),
        ("kick 1 5/2.", "kick 1 7/2.", "kick 1 5/2. 4'", "kick 1. 9/2."),
        ("stick 4", "stick 4", "stick 4 5/2.", ""),
    ),
    "3/2 5/2 7/2",
    (
        "ride 1 3/2. 2! foot 2 4 snare 3 7/2. high 4 floor 9/2 kick 1",
        "ride 1 2 5/2. foot 2 4 snare 7/2 4! 9/2 kick 1 5/2.",
        "ride 1 3/2. 2 foot 2 4 high 5/2 3 low 7/2 floor 4! kick 1",
    ),
)
FEELS = {
    feel.name: feel
    for feel in (
        Feel("four", "walk", (FOUR, WALTZ)),
        Feel("two", "halves", (IN_TWO, WALTZ), sparse=0.1, loudness=1.03),
        Feel("waltz", "waltz", (WALTZ, IN_TWO), loudness=1.03),
        Feel(
            "ballad",
            "halves",
            (BALLAD, WALTZ),
            ("one held", "half notes", "one and after four", "one, and after two held"),
            sparse=0.0,
            kit=BRUSHES,
            loudness=1.08,
        ),
        Feel(
            "bossa",
            "bossa",
            (BOSSA, WALTZ),
            (
                *("one, after two and four", "two, and after three", "one, three and after four"),
                *("Charleston", "reverse Charleston", "after two and after four"),
            ),
            even=True,
            sparse=0.0,
            loudness=1.03,
        ),
        Feel(
            "straight",
            "broken",
            (STRAIGHT, WALTZ),
            (
                *("one and after two", "one held", "one, after two and after four"),
                *("after one, three", "Charleston", "one and after four"),
            ),
            even=True,
            sparse=0.1,
        ),
    )
}


def feel_named(name: str) -> Feel:
    """Return a feel by its name.

    >>> feel_named("bossa").even
    True
    """
    if name not in FEELS:
        raise TheoryError(f"no such feel: {shown(name)} (want {', '.join(FEELS)})")
    return FEELS[name]
