"""The palette of a written line: the notes that may sound over each chord, and their kind."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from theorykit.harmony.agreement import agrees, contradicts
from theorykit.harmony.chord_families import ALTERATION, CHORD_TONE, RUB, TENSION, standings
from theorykit.harmony.colours import Colour
from theorykit.harmony.tensions import TENSION_NAMES, stands_for_third
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.placed import merged_chords
from theorykit.lines.text import READ_AS
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.progression import PlacedChord, Progression

__all__ = [
    "CHORD",
    "CHROMATIC",
    "COLOUR",
    "DISPLACED",
    "GUIDE",
    "SCALE",
    "ChordPalette",
    "palettes",
]

# The kinds of sound over a chord, from the one that says most about it to the one that says least.
GUIDE, CHORD, COLOUR, SCALE, RUBS, DISPLACED, CHROMATIC = range(7)
GUIDE_NUMBERS = (3, 4, 7, 6)  # of degrees that tell a chord from others: 3rd or 4th, 7th or 6th
MINOR_THIRD, THIRD = Degree(3, -1), Degree(3)
SHARP_NINE, ELEVEN, SHARP_ELEVEN = Degree(9, 1), Degree(11), Degree(11, 1)
FLAT_NINE, FLAT_THIRTEEN, SEVENTH = Degree(9, -1), Degree(13, -1), Degree(7, -1)
ROOMY = 2  # beats
MOST_A_BEAT = 3  # notes
WHOLE_COLOUR = 4  # tensions: they say which dominant it is
SPARSE_BEATS, SPARSE_TENSIONS = 2, 2  # few notes: over so few beats so many tensions are enough
# What denies a colour, by half steps above the root (common practice): the natural 9 and 13 beside
# a b9 into minor, the natural 9 and 7 beside a #9, and the 13 where that goes into minor, the b5
# where the 11 stands for the 3rd, the 13 beside b9 and #11, which is the minor 3rd of the
# substitute that they spell.
DENY_FLAT_NINE, DENY_SHARP_NINE, DENY_SUSPENDED = {2, 9}, {2, 11}, {6}
DENY_SUBSTITUTE, DENY_MINOR = {9}, {9}
DENY_FLAT_FIVE, HALF_DIMINISHED = {7}, {MINOR_THIRD, Degree(5, -1), SEVENTH}
OF_MINOR = {1, 3, 5, 8}  # tensions of V that a minor key has, by half steps above the root


@dataclass(frozen=True, slots=True)
class ChordPalette:
    """A chord with its sounds, by pitch class from C.

    ``kinds`` tells for each pitch class which of the kinds above it is, ``names`` how its degree is
    spelled and how else it may be (nothing for chromatic notes), ``hallmarks`` the pitch classes of
    the tensions that make the colour, as many as the chord has room for beside its 3rd or 7th, and
    the 3rd where a #9 needs it, ``resolves`` whether the chord is a dominant that goes on;
    ``against`` are the pitch classes that contradict what its symbol writes, ``barred`` those that
    its colour replaces, ``unscaled`` those that a colour which is a scale has not, ``contrary``
    those that deny the colour; ``sweet`` is the major 3rd over a minor chord, or None.
    """

    placed: PlacedChord
    kinds: tuple[int, ...]
    names: tuple[tuple[Note, ...], ...]
    hallmarks: tuple[int, ...]
    resolves: bool
    against: frozenset[int] = frozenset()
    barred: frozenset[int] = frozenset()
    unscaled: frozenset[int] = frozenset()
    sweet: int | None = None
    contrary: frozenset[int] = frozenset()

    @property
    def needs_guide(self) -> bool:
        """True where the 3rd is one of the hallmarks."""
        return any(self.kinds[sound] == GUIDE for sound in self.hallmarks)

    def is_tone(self, semitone: int) -> bool:
        """Tell whether a pitch class is a tone of the chord as it is written."""
        chord = self.placed.chord
        return standings(chord.kind)[(semitone - chord.root.semitone) % 12] == CHORD_TONE


@lru_cache(maxsize=256)
def palettes(
    progression: Progression, row: Colour | None, *, sparse: bool = False
) -> tuple[ChordPalette, ...]:
    """Return the palette of each chord; the colour is that of every dominant that goes on.

    Where notes are to be ``sparse``, two tensions say the colour over two beats and fewer. Bars of
    N.C. have none: the line rests there.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> v, thin = (palettes(over, colour("altered"), sparse=s)[1] for s in (False, True))
    >>> len(v.hallmarks), len(thin.hallmarks)  # the second: #9, b13, and the 3rd
    (4, 3)
    """
    placed = [one for one in merged_chords(progression) if not one.chord.is_silent]
    found = []
    for place, one in enumerate(placed):
        after = placed[place + 1] if place + 1 < len(placed) else None
        resolves = one.chord.kind.is_dominant and after is not None
        minor = after is not None and MINOR_THIRD in after.chord.degrees
        told = _fitting(row, one, sparse=sparse) if row is not None and resolves else ()
        own = row if resolves else None
        found.append(_palette(one, progression.key, own, told, minor, resolves))
    return tuple(found)


def _palette(
    placed: PlacedChord,
    key: Key,
    row: Colour | None,
    told: tuple[Degree, ...],
    minor: bool,
    resolves: bool,
) -> ChordPalette:
    """Return the palette of one chord; ``told`` are the tensions that must sound."""
    chord = placed.chord
    root = chord.root.semitone
    scale = chord_scale(chord, key, row, minor=minor and chord.kind.is_dominant)
    kinds = [CHROMATIC] * 12
    names: list[tuple[Note, ...]] = [()] * 12
    for degree in chord.degrees:
        sound = (root + degree.semitone) % 12
        kinds[sound], names[sound] = DISPLACED, (above(chord.root, degree),)
    for degree in scale:
        sound = (root + degree.semitone) % 12
        kinds[sound], names[sound] = _kind(chord, degree, row), _names(chord.root, degree)
    hallmarks = [] if row is None else [(root + d.semitone) % 12 for d in row.tensions]
    needed = [(root + d.semitone) % 12 for d in told]
    for sound in hallmarks:
        kinds[sound] = COLOUR
    if row is not None and _needs_third(chord, row, told, minor=minor):
        needed.append((root + THIRD.semitone) % 12)
    if row is not None and row.tensions == (SHARP_NINE,) and _has_room(chord, placed):
        needed.append((root + SEVENTH.semitone) % 12)
    return ChordPalette(
        *(placed, tuple(kinds), tuple(names), tuple(needed), resolves),
        _against(chord, row),
        barred=_sounds(root, {THIRD.semitone} if _suspends(chord, row) else ()),
        unscaled=_sounds(root, _unscaled(row)),
        sweet=(root + THIRD.semitone) % 12 if _is_minor(chord) else None,
        contrary=_sounds(root, _contrary(chord, row, minor=minor)),
    )


def _sounds(root: int, semitones: Iterable[int]) -> frozenset[int]:
    """Return pitch classes from half steps above a root."""
    return frozenset((root + semitone) % 12 for semitone in semitones)


def _needs_third(chord: Chord, row: Colour, told: tuple[Degree, ...], *, minor: bool) -> bool:
    """Tell whether the tensions that sound are heard as those of V only with the 3rd.

    A #9 alone sounds minor, but a colour of four tensions is clear. The b9 and b13 before a minor
    chord are notes of its key, and without the leading note the ii goes on.
    """
    if THIRD not in chord.degrees or _suspends(chord, row):
        return False
    few = len(told) < WHOLE_COLOUR
    plain = minor and {d.semitone for d in told} <= OF_MINOR
    return plain or (SHARP_NINE in told and few)


def _has_room(chord: Chord, placed: PlacedChord) -> bool:
    """Tell whether a #9 alone, heard as a minor triad, has room for the 7th beside the 3rd."""
    return SEVENTH in chord.degrees and placed.beats >= ROOMY


def _suspends(chord: Chord, row: Colour | None) -> bool:
    """Tell whether a colour puts the 11 in the place of the 3rd."""
    return row is not None and THIRD in chord.degrees and stands_for_third(ELEVEN, row.degrees)


def _unscaled(row: Colour | None) -> frozenset[int]:
    """Return what a colour that is a scale has not, by half steps above the root."""
    if row is None or not row.scale:
        return frozenset()
    return frozenset(range(12)) - {d.semitone for d in (*row.degrees, *row.passing)}


def _contrary(chord: Chord, row: Colour | None, *, minor: bool) -> set[int]:
    """Return what denies a colour and is no part of it, by half steps above the root.

    A half-diminished chord is denied by the natural 5; a #11 is no b5, a #9 no minor 3rd.
    """
    if row is None:
        return DENY_FLAT_FIVE if set(chord.degrees) >= HALF_DIMINISHED else set()
    found = set()
    if minor and FLAT_NINE in row.tensions:
        found |= DENY_FLAT_NINE
    if SHARP_NINE in row.tensions:
        found |= DENY_SHARP_NINE | (DENY_MINOR if minor else set())
    if {FLAT_NINE, SHARP_ELEVEN} <= set(row.tensions):
        found |= DENY_SUBSTITUTE
    if _suspends(chord, row):
        found |= DENY_SUSPENDED
    return found - {d.semitone % 12 for d in (*row.degrees, *row.passing, *chord.degrees)}


def _is_minor(chord: Chord) -> bool:
    """Tell whether a chord has a minor 3rd and no other."""
    return MINOR_THIRD in chord.degrees and THIRD not in chord.degrees


def _fitting(row: Colour, placed: PlacedChord, *, sparse: bool) -> tuple[Degree, ...]:
    """Return the tensions of a colour that must sound.

    Over one beat that is one, so that two eighths may stand there; a colour of more tensions than
    the beat has room for is not told by one, and is refused there. Where notes are to be sparse it
    is two over two beats; else all of them.
    """
    own = row.tensions
    if 1 < len(own) <= int(placed.beats * MOST_A_BEAT) and placed.beats <= 1:
        return _telling(own)[:1]
    if sparse and len(own) > SPARSE_TENSIONS and 1 < placed.beats <= SPARSE_BEATS:
        return _telling(own)[:SPARSE_TENSIONS]
    return own


def _telling(tensions: tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return the tensions as they tell a colour: what is heard first, then from the 13 down.

    First is heard an 11 in the place of the 3rd, then what is altered, the nine before others, and
    of natural ones the highest. Of two nines the #9 goes with a b13, the b9 with a 13 (common
    practice).
    """
    sharp = -1 if FLAT_THIRTEEN in tensions else 1

    def heard(tension: Degree) -> tuple[bool, bool, int, int]:
        altered = tension.alteration != 0
        number = tension.number if altered else -tension.number
        return tension != ELEVEN, not altered, number, sharp * tension.alteration

    first = min(tensions, key=heard)
    return (first, *sorted(set(tensions) - {first}, key=lambda degree: -degree.number))


def _against(chord: Chord, row: Colour | None) -> frozenset[int]:
    """Return what contradicts the symbol of a dominant; nothing if the colour does so itself."""
    if not chord.kind.is_dominant or (row is not None and not agrees(row, chord)):
        return frozenset()
    own = {degree.semitone for degree in chord.degrees}
    found = {d.semitone for d in TENSION_NAMES if contradicts(d, chord.kind)} - own
    return frozenset((chord.root.semitone + sound) % 12 for sound in found)


def _names(root: Note, degree: Degree) -> tuple[Note, ...]:
    """Return the name of a degree; a #9 may read as b3 and a #11 as b5 (common practice)."""
    own = above(root, degree)
    other = READ_AS.get(degree)
    return (own, above(root, other)) if other else (own,)


def _kind(chord: Chord, degree: Degree, row: Colour | None) -> int:
    """Return which kind of sound a degree of the scale is over a chord.

    A tension that the colour has not would make another colour of it: it may only pass.
    """
    stands = standings(chord.kind)[degree.semitone]
    if stands == CHORD_TONE:
        own = next(d for d in chord.degrees if d.semitone == degree.semitone)
        return GUIDE if own.number in GUIDE_NUMBERS else CHORD
    foreign = row is not None and stands in (ALTERATION, TENSION) and not _holds(row, degree)
    return RUBS if stands == RUB or foreign else SCALE


def _holds(row: Colour, degree: Degree) -> bool:
    """Tell whether a colour has the sound of a degree."""
    return any(own.semitone == degree.semitone for own in row.degrees)
