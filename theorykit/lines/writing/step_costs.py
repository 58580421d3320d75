"""The cost of each step of a written line: one table a question.

Costs are in nats: of two lines, one that costs 1 more is drawn 2.7 times less often. Nothing here
is a rule; the rules are in ``writing.whole_line``.
"""

from __future__ import annotations

from functools import lru_cache
from math import log

from theorykit.harmony.counts import tally
from theorykit.lines.chord_palette import CHORD, CHROMATIC, COLOUR, DISPLACED, GUIDE, RUBS, SCALE

NEVER = float("inf")

# A note by what it is and where it stands: off the beat, on a weak beat, on a half bar.
PLACES = {
    GUIDE: (0.3, 0.0, 0.0),
    CHORD: (0.2, 0.0, 0.2),
    COLOUR: (0.1, 0.0, 0.1),
    SCALE: (0.0, 1.3, 2.0),
    RUBS: (0.2, NEVER, NEVER),
    DISPLACED: (2.0, 3.5, 4.0),
    CHROMATIC: (0.8, 4.5, 6.0),
}
# A long note by what it is: what is held is heard as meant.
HELD = {
    GUIDE: 0.0,
    CHORD: 0.0,
    COLOUR: 0.0,
    SCALE: 1.5,
    RUBS: NEVER,
    DISPLACED: NEVER,
    CHROMATIC: NEVER,
}
# The first note over a chord says which chord it is.
AT_CHANGES = {
    GUIDE: 0.0,
    CHORD: 0.5,
    COLOUR: 0.7,
    SCALE: 2.0,
    RUBS: 4.0,
    DISPLACED: 2.0,
    CHROMATIC: 6.0,
}
# How much of the cost of a chromatic note is added for each amount of chromatic approach.
CHROMATIC_TASTE = {"none": 99.0, "a little": -1.0, "a lot": -2.3}

# Moves by their size in half steps: as often as they were played inside phrases (Weimar Jazz
# Database), with a correction for what the other terms favour, so that lines as a whole come out
# like that. A move up and one down share the count.
_PLAYED = tally("intervals inside phrases")
_CORRECTION = (
    -2.2,
    0.31,
    0.21,
    -0.21,
    -0.5,
    -1.12,
    -2.2,
    -2.4,
    -2.95,
    -2.85,
    -5.7,
    -10.0,
    -5.2,
)
INTERVAL_COSTS = tuple(
    -log(_PLAYED.count(str(size)) / (1 if size == 0 else 2) / _PLAYED.total) + _CORRECTION[size]
    for size in range(13)
)

# Moves by what they are to a player. A leap is a fifth and wider.
MOVES = (
    "again",
    "step up",
    "step down",
    "third up",
    "third down",
    "skip up",
    "skip down",
    "leap up",
    "leap down",
)
_WIDEST = ((0, 0), (2, 1), (4, 3), (6, 5), (12, 7))  # half steps, place of the rising move above


@lru_cache(maxsize=64)
def move_of(semitones: int) -> int:
    """Return the place in ``MOVES`` of a move in half steps.

    >>> [MOVES[move_of(n)] for n in (-1, 3, 6, -12, 0)]
    ['step down', 'third up', 'skip up', 'leap down', 'again']
    """
    first = next(place for widest, place in _WIDEST if abs(semitones) <= widest)
    return first + (semitones < 0)


# A move after a move: lines run on by step, fill a skip by turning back, climb chords by thirds and
# do not zigzag (common practice). None is what never comes.
TURNS = {
    #             again  st up  st dn  th up  th dn  sk up  sk dn  lp up  lp dn
    "start":     (0.0,   0.0,   0.0,   0.0,   0.0,   0.0,   0.0,   0.0,   0.0),
    "again":     (NEVER, 0.0,   0.0,   0.2,   0.2,   0.4,   0.4,   1.0,   1.0),
    "step up":   (0.3,  -0.4,   0.5,   0.1,   0.2,   0.3,   0.2,   0.5,   0.2),
    "step down": (0.3,   0.5,  -0.6,   0.2,   0.1,   0.2,   0.4,   0.2,   0.6),
    "third up":  (0.3,   0.3,  -0.3,  -0.9,   0.9,   0.3,   0.8,   0.9,   0.6),
    "third down": (0.3, -0.3,   0.2,   0.9,  -0.5,   0.7,   0.6,   0.5,   1.2),
    "skip up":   (0.3,   0.6,  -0.6,   0.7,   0.1,   1.4,   0.9,   2.0,   1.2),
    "skip down": (0.3,  -0.6,   0.6,   0.2,   0.8,   0.9,   1.4,   1.2,   2.0),
    "leap up":   (NEVER, NEVER, -0.3,  1.1,   0.4,   1.4,   1.1,   NEVER, NEVER),
    "leap down": (NEVER, -0.3,  NEVER, 0.4,   1.1,   1.1,   1.4,   NEVER, NEVER),
}  # fmt: skip

# Out of a chromatic note, by the move into it: up, down. It slides on, or leads back as a lower
# neighbour or out of a third; a note above that only falls back again is no approach.
CHROMATIC_TURNS = {
    "start": (0.0, 0.0),
    "again": (0.0, 0.0),
    "step up": (-0.3, 3.0),
    "step down": (0.3, -0.3),
    "third up": (0.0, -0.6),
    "third down": (-1.6, 0.2),
    "skip up": (0.5, 0.0),
    "skip down": (-0.4, 1.0),
    "leap up": (NEVER, 0.6),
    "leap down": (0.6, NEVER),
}

# A skip or leap by what it joins: notes of the chord or its colour (True) or others (False).
LINKS = {(True, True): 0.0, (True, False): 0.7, (False, True): 0.5, (False, False): 2.0}
WIDE_LINK = 2.5  # and more where a skip wider than a fourth has not both ends in the chord

# A chromatic note that leads to a note of the scale, and to none of the chord or its colour.
ASIDE = 1.5

DROP = -12  # half steps: an octave down, which is a way to stay in range and no melody
WIDE_DROP = 0.0  # a fall of a minor seventh and more, beside a rise

# A move over V against the direction that is wished for.
DIRECTION = 0.6
# A note by its distance from the middle of the range, for a whole half of the range.
OFF_CENTRE = 1.2

# A landing on the note that is sounding already: it came early, and nothing moves.
STILL = 2.0
# The note on which a dominant lands, by its degree over the chord: as the first notes over I that
# were counted after V (Weimar Jazz Database) have the 5, 3 and 1 far more often than 9, 6 and 7.
LANDINGS = {1: 0.0, 3: 0.4, 5: -0.3, 9: 1.0, 6: 3.2, 7: 1.7}
# The last note as a short one, where it is no 1, 3 or 5: it wants to be held to be heard.
SHORT_END = 3.0
# The last note, by its degree over the last chord: less often the 9 and the 7 than 1, 3 and 5, as
# in the last notes of phrases (Weimar Jazz Database); a 13 seldom, other notes never.
LAST_NOTES = {1: 0.0, 3: 0.0, 5: 0.0, 9: 0.7, 7: 0.9, 6: 3.0, 13: 3.0}
