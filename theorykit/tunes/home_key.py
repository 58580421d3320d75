"""The home key of a tune, and how well chords fit a key.

The rows say what the trade calls common in a key: the diatonic sevenths, the dominants of other
degrees, what is borrowed from the parallel key, the tritone substitutes (common practice). The
weights are ours: 1 for a chord that alone suggests the key, 0 for a stranger.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Note
from theorykit.tunes.dominant_moves import Blues, moves_of
from theorykit.tunes.families import (
    AUGMENTED,
    DIM_TRIAD,
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    OPEN,
    SUS_TRIAD,
    SUSPENDED,
    Span,
    spans_of,
)

__all__ = ["STATES", "blues_of", "fits", "home_key", "key_of_state", "state_of"]

STATES = 24  # twelve major keys by the number of the tonic, then twelve minor ones

# Family, then half steps above the tonic with the weight in tenths.
_MAJOR_KEY: dict[str, dict[int, int]] = {
    MAJOR: {0: 10, 5: 9, 7: 6, 8: 2, 1: 2, 3: 2, 10: 3},
    MINOR_7: {2: 10, 4: 7, 9: 8, 5: 5, 7: 3},
    MINOR: {2: 8, 9: 6, 5: 5, 4: 5},
    HALF: {11: 6, 2: 5, 6: 4, 4: 4},
    DOMINANT: {7: 10, 2: 5, 9: 5, 0: 4, 4: 4, 5: 4, 10: 5, 11: 3, 1: 4, 8: 3, 3: 2},
    SUSPENDED: {7: 10, 2: 4, 9: 4, 0: 4},
    AUGMENTED: {7: 6, 0: 5},
}
_MINOR_KEY: dict[str, dict[int, int]] = {
    MINOR: {0: 10, 5: 8, 7: 3},
    MINOR_7: {0: 10, 5: 9, 7: 4, 2: 3, 10: 2},
    MAJOR: {3: 6, 8: 8, 10: 5, 1: 4, 7: 4},
    HALF: {2: 10, 0: 3, 9: 5, 6: 3},
    DOMINANT: {7: 10, 8: 5, 10: 5, 5: 4, 2: 5, 0: 4, 3: 4, 1: 4},
    SUSPENDED: {7: 9, 0: 3, 10: 4},
    AUGMENTED: {7: 7},
}
_ANYWHERE = {DIMINISHED: 3, DIM_TRIAD: 3, SUS_TRIAD: 3, OPEN: 3}


@cache
def fits(root: int, family: str) -> tuple[float, ...]:
    """Return how well a chord fits each of the 24 keys, from 0 to 1.

    >>> fits(7, "dominant")[0]
    1.0
    """
    return tuple(
        table.get(family, {}).get((root - tonic) % 12, _ANYWHERE.get(family, 0)) / 10
        for table in (_MAJOR_KEY, _MINOR_KEY)
        for tonic in range(12)
    )


def state_of(key: Key) -> int:
    """Return the number of a key among the 24."""
    return key.tonic.semitone + 12 * key.is_minor


# How each of the 24 is written where nothing says otherwise: with the fewer signs, flats first.
_NAMES = "C Db D Eb E F Gb G Ab A Bb B", "C C# D Eb E F F# G G# A Bb B"


def key_of_state(state: int) -> Key:
    """Return a key by its number.

    >>> str(key_of_state(1)), str(key_of_state(13))
    ('Db major', 'C# minor')
    """
    mode, tonic = divmod(state, 12)
    return Key(Note.parse(_NAMES[mode].split()[tonic]), "minor" if mode else "major")


# What speaks for a key, in points. Ours, settled by ear on tunes whose key nobody doubts.
FIT, LANDINGS, REST, LAST, FIRST, CLOSE = 10.0, 8.0, 6.0, 2.5, 1.5, 2.0
THREE_CHORDS, MOSTLY = 6.0, 0.6  # for the chords of a blues, where dominants fill the tune
# === The home key ===

LONGEST = 8.0  # beats of one chord that count
FOURTH, BAR = Degree.parse("4"), 4  # from a V to its I; beats
HALF_DIMINISHED = ("b3", "b5", "b7")  # the ii of a minor key
AT_REST = {MAJOR: 0, DOMINANT: 0, MINOR: 12, MINOR_7: 12}  # family, and what it adds to the state


def home_key(chords: Sequence[tuple[Chord, Fraction]]) -> Key:
    """Return the key that the changes of a whole tune point to, from chords with their beats.

    >>> names = "Dm7 G7 Cmaj7 Am7 Dm7 G7 Cmaj7".split()
    >>> str(home_key([(Chord.parse(name), Fraction(4)) for name in names]))
    'C major'
    """
    spans = spans_of(chords)
    if not spans:
        return Key(Note("C"))
    points = _fit_points(spans)
    _add_landings(points, spans)
    _add_ends(points, spans)
    _add_blues(points, spans)
    roots = [span.root for span in spans]
    all_roots = dict.fromkeys(roots + [(roots[0] + steps) % 12 for steps in range(12)])
    order = [root + mode for root in all_roots for mode in (0, 12)]  # settles a tie
    return _as_written(max(order, key=points.__getitem__), spans)


def phrase_key(chords: Sequence[tuple[Chord, Fraction]]) -> Key:
    """Return the key that the changes of a phrase point to, from chords with their beats.

    A last V counts as going home.

    >>> names = "Dm7b5 G7".split()
    >>> str(phrase_key([(Chord.parse(name), Fraction(4)) for name in names]))
    'C minor'
    """
    return home_key([*chords, *_goal([chord for chord, _ in chords])])


def _goal(chords: Sequence[Chord]) -> Iterator[tuple[Chord, Fraction]]:
    """Yield the chord that the last one leads to, where it is a V; a blues ends on its own I7.

    >>> [str(chord) for chord, _ in _goal([Chord.parse("Dm7b5"), Chord.parse("G7")])]
    ['Cm6']
    """
    last = chords[-1]
    if not last.kind.is_dominant or (len(chords) > 1 and chords[0].root == last.root):
        return
    root = above(last.root, FOURTH)
    minor = len(chords) > 1 and all(map(chords[-2].kind.has, HALF_DIMINISHED))
    yield Chord.parse(f"{root}{'m6' if minor else 'maj7'}"), Fraction(BAR)


def _fit_points(spans: Sequence[Span]) -> list[float]:
    """Return points for how well all chords fit each key, and how long its tonic sounds."""
    points = [0.0] * STATES
    total = sum(min(span.beats, LONGEST) for span in spans)
    for span in spans:
        share = min(span.beats, LONGEST) / total
        for state, weight in enumerate(fits(span.root, span.family)):
            points[state] += FIT * share * weight
        if span.family in AT_REST:
            bonus = REST * share * (0.5 if span.family == DOMINANT else 1)
            points[span.root + AT_REST[span.family]] += bonus
    return points


def _add_landings(points: list[float], spans: Sequence[Span]) -> None:
    """Add points to the keys that dominants land on."""
    moves = moves_of(spans)
    landings = [(v, found) for v, found in enumerate(moves.landing) if found is not None]
    for v, found in landings:
        target = spans[found.span]
        share = (1.0 if moves.ii[v] >= 0 else 0.5) / len(landings)
        points[target.root + AT_REST.get(target.family, 0)] += LANDINGS * share
    closing = [spans[found.span] for v, found in landings if found.span > v]
    if closing:
        points[closing[-1].root + AT_REST.get(closing[-1].family, 0)] += CLOSE


def _add_ends(points: list[float], spans: Sequence[Span]) -> None:
    """Add points for the first chord and for the last, or for where the last V leads."""
    first, last = spans[0], spans[-1]
    if first.family in AT_REST:
        points[first.root + AT_REST[first.family]] += FIRST
    if last.family in (DOMINANT, SUSPENDED):
        for state in ((last.root + 5) % 12, (last.root + 5) % 12 + 12):
            points[state] += LAST / 2
    if last.family in AT_REST:
        points[last.root + AT_REST[last.family]] += LAST * (0.5 if last.family == DOMINANT else 1)


def _add_blues(points: list[float], spans: Sequence[Span]) -> None:
    """Add points where dominants fill the tune: for I7, IV7 and V7, and for beginning on I7."""
    sevenths = [span for span in spans if span.family == DOMINANT]
    total = sum(span.beats for span in spans)
    if sum(span.beats for span in sevenths) < MOSTLY * total:
        return
    for span in sevenths:
        for steps in (0, 5, 7):
            points[(span.root - steps) % 12] += THREE_CHORDS * span.beats / total
    if spans[0].family == DOMINANT:
        points[spans[0].root] += FIRST


def _as_written(state: int, spans: Sequence[Span]) -> Key:
    """Return a key, its tonic spelled as the chords on it are, where a signature allows."""
    plain = key_of_state(state)
    names = [span.note for span in spans if span.root == plain.tonic.semitone]
    for name in sorted(set(names), key=lambda note: (-names.count(note), str(note))):
        for key in KEYS:
            if key.tonic == name and key.mode == plain.mode:
                return key
    return plain


def blues_of(spans: Sequence[Span], key: Key, bars: int) -> Blues:
    """Return the tonic, and the roots on which dominant seventh chords are at rest.

    On I they rest where most chords on the tonic are dominants; on IV where that is so, or where
    the tune has the form of a blues: twelve bars or a multiple, IV in the fifth (common practice).
    """
    tonic = key.tonic.semitone
    beats = {family: 0.0 for family in AT_REST}
    for span in spans:
        if span.root == tonic and span.family in beats:
            beats[span.family] += span.beats
    total = sum(span.beats for span in spans)
    i7 = beats[DOMINANT]
    rests = i7 > 0.12 * total and i7 > 1.5 * (sum(beats.values()) - i7)
    fourth = (tonic + 5) % 12
    has_iv7 = any(span.root == fourth and span.family == DOMINANT for span in spans)
    ends = {spans[0].root, spans[-1].root} if spans else set()
    if rests and (has_iv7 or tonic in ends):
        return Blues(tonic, frozenset((tonic, fourth)), key.is_minor)
    if bars and bars % 12 == 0 and has_iv7 and _has_blues_form(spans, tonic, total / bars):
        return Blues(tonic, frozenset((fourth,)), key.is_minor)
    return Blues(tonic, frozenset(), key.is_minor)


def _has_blues_form(spans: Sequence[Span], tonic: int, bar: float) -> bool:
    """Tell whether the tune begins on I and stands on IV in its fifth bar."""
    here = 0.0
    for span in spans:
        if here <= 4 * bar < here + span.beats:
            return span.root == (tonic + 5) % 12 and spans[0].root == tonic
        here += span.beats
    return False
