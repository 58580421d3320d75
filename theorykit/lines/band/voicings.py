"""Piano voicings as values, and the smoothest way through a progression."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from theorykit.errors import TheoryError, shown
from theorykit.lines.band.voicing_styles import STYLES, Style, sounds_clear, tones_of
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Progression

STYLE_NAMES = tuple(STYLES)
LOWEST_BOTTOM, HIGHEST_TOP = 36, 96  # MIDI: what a reader may ask for
MINOR_NINTH = 13
WIDEST_HAND = 2  # half steps within which three notes are a cluster

# The colour of a chord, by the chord's place in the progression counted from 0.
Colours = Mapping[int, Sequence[Degree]]


@dataclass(frozen=True, slots=True)
class Voicing:
    """A chord as the hands play it: degrees and MIDI numbers from the bottom. N.C. has none."""

    chord: Chord
    degrees: tuple[Degree, ...]
    midis: tuple[int, ...]

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """The notes from the bottom, spelled by degree.

        >>> [str(pitch) for pitch in voicings("Db7", style="shell")[0].pitches]
        ['Db3', 'F3', 'Cb4']
        """
        root = self.chord.root
        spelled = zip(self.degrees, self.midis, strict=True)
        return tuple(Pitch.numbered(above(root, degree), midi) for degree, midi in spelled)

    def __str__(self) -> str:
        return f"{self.chord}: {' '.join(map(str, self.pitches))}"


def voicings(
    chord: Chord | str,
    *,
    style: str = "rootless",
    colour: Sequence[Degree] = (),
    target: Chord | None = None,
    key: Key | None = None,
    top: tuple[int, int] | None = None,
) -> tuple[Voicing, ...]:
    """Return every voicing of a chord in a style, the lowest first.

    ``style`` is one of ``STYLE_NAMES``. ``colour`` is a set of degrees over the chord that nothing
    in the voicing contradicts; without one, ``target`` (the chord that follows) and ``key`` decide
    what is added to a bare symbol. ``top`` is the range of the top note in MIDI numbers, both ends
    included; it defaults to the range of the style. N.C. has one voicing, without notes.

    >>> [str(one) for one in voicings("Dm7")]
    ['Dm7: F3 A3 C4 E4', 'Dm7: C4 E4 F4 A4']
    >>> from theorykit.notes.degree import degrees
    >>> str(voicings("G7", style="upper structure", colour=degrees("13 b9 3"))[0])
    'G7: F3 B3 E4 Ab4 B4'
    """
    over = Chord.parse(chord) if isinstance(chord, str) else chord
    if style not in STYLES:
        raise TheoryError(f"no such style: {shown(style)} (want {', '.join(STYLE_NAMES)})")
    found = _all(over, STYLES[style], tuple(colour), target, key, _top(STYLES[style], top))
    if not found:
        low, high = _top(STYLES[style], top)
        raise TheoryError(
            f"no {style} voicing of {over} has its top note from MIDI {low} to {high} "
            "(want a wider range, best an octave)"
        )
    return found


def _top(style: Style, wanted: tuple[int, int] | None) -> tuple[int, int]:
    """Return the range of the top note."""
    low, high = wanted if wanted is not None else style.top
    if not LOWEST_BOTTOM <= low <= high <= HIGHEST_TOP:
        raise TheoryError(
            f"not a range for the top note: {shown(wanted)} "
            f"(want two MIDI numbers from {LOWEST_BOTTOM} to {HIGHEST_TOP}, the lower first)"
        )
    return low, high


@lru_cache(maxsize=1024)
def _all(
    chord: Chord,
    style: Style,
    colour: tuple[Degree, ...],
    target: Chord | None,
    key: Key | None,
    top: tuple[int, int],
) -> tuple[Voicing, ...]:
    """Place every arrangement of a style in every octave that suits it."""
    if chord.is_silent:
        return (Voicing(chord, (), ()),)
    tones = tones_of(chord, colour=colour, target=target, key=key)
    root = chord.root.semitone
    found = {
        midis: Voicing(chord, degrees, midis)
        for degrees in style.arrange(tones)
        for bottom in range(style.lowest, top[1] + 1)
        if bottom % 12 == (root + degrees[0].semitone) % 12
        if top[0] <= (midis := _stacked(root, degrees, bottom))[-1] <= top[1]
        if sounds_clear(midis) and not _clashes(midis)
    }
    return tuple(found[midis] for midis in sorted(found))


def _stacked(root: int, degrees: tuple[Degree, ...], bottom: int) -> tuple[int, ...]:
    """Return the MIDI numbers of degrees, each the nearest above the one before."""
    midis = [bottom]
    for degree in degrees[1:]:
        midis.append(midis[-1] + 1 + (root + degree.semitone - midis[-1] - 1) % 12)
    return tuple(midis)


def _clashes(midis: tuple[int, ...]) -> bool:
    """Tell whether a voicing holds a minor ninth, a half step on top, or a cluster of three.

    Pease and Pullig, *Modern Jazz Voicings*, 2001 (from memory).
    """
    if midis[-1] - midis[-2] == 1:
        return True
    if any(high - low == MINOR_NINTH for low, high in combinations(midis, 2)):
        return True
    return any(high - low <= WIDEST_HAND for low, high in zip(midis, midis[2:], strict=False))


def motion(before: Sequence[int], after: Sequence[int]) -> int:
    """Return how far the voices move from one set of MIDI numbers to the next, in half steps.

    Voices keep their order. Where the counts differ, each note of the fuller voicing moves from,
    or to, the nearest note of the other. To and from silence nothing moves.

    >>> motion((53, 57, 60, 64), (53, 57, 59, 64)), motion((53, 59), (52, 55, 59))
    (1, 3)
    """
    if len(before) == len(after):
        return sum(abs(a - b) for a, b in zip(before, after, strict=True))
    few, many = sorted((before, after), key=len)
    return sum(min(abs(note - other) for other in few) for note in many) if few else 0


def voice_progression(
    progression: Progression,
    *,
    style: str = "rootless",
    colours: Colours | None = None,
    top: tuple[int, int] | None = None,
    ceilings: Mapping[int, int] | None = None,
) -> tuple[Voicing, ...]:
    """Return a voicing for each chord of a progression, so that the voices move the least in all.

    ``colours`` gives degrees over chords by their place, counted from 0; ``ceilings`` the MIDI
    number under which a chord is to stay, so far as its voicings allow. Of ways that move as
    little the one wins whose top notes stay nearest to the middle of their range. The whole way is
    weighed, not only the next step.

    >>> from theorykit.tunes.progression import two_five_one
    >>> [str(one) for one in voice_progression(two_five_one("C"))]
    ['Dm7: C4 E4 F4 A4', 'G7: B3 E4 F4 A4', 'Cmaj7: B3 D4 E4 G4']
    """
    options = [
        _under(found, (ceilings or {}).get(place))
        for place, found in enumerate(_options(progression, style, colours or {}, top))
    ]
    middle = sum(_top(STYLES[style], top)) / 2
    ways: list[tuple[float, float, tuple[Voicing, ...]]] = [(0, 0, ())]
    for candidates in options:
        if candidates[0].midis:
            ways = [_extended(ways, voicing, middle) for voicing in candidates]
        else:  # N.C. leaves the hands where they are
            ways = [(moved, strayed, (*way, candidates[0])) for moved, strayed, way in ways]
    return min(ways, key=lambda way: way[:2])[2]


def _options(
    progression: Progression, style: str, colours: Colours, top: tuple[int, int] | None
) -> list[tuple[Voicing, ...]]:
    """Return what may stand at each chord."""
    placed = progression.chords
    for place in colours:
        if not 0 <= place < len(placed):
            raise TheoryError(f"no chord {shown(place)} to colour (want 0 to {len(placed) - 1})")
    chords = [one.chord for one in placed]
    return [
        voicings(
            chord,
            style=style,
            colour=tuple(colours.get(place, ())),
            target=following,
            key=progression.key,
            top=top,
        )
        for place, (chord, following) in enumerate(zip(chords, [*chords[1:], None], strict=True))
    ]


def _under(found: tuple[Voicing, ...], ceiling: int | None) -> tuple[Voicing, ...]:
    """Return the voicings under a key; if there are none, those whose top is the lowest."""
    if ceiling is None or not found[0].midis:
        return found
    lowest = min(one.midis[-1] for one in found)
    return tuple(one for one in found if one.midis[-1] < max(ceiling, lowest + 1))


def _extended(
    ways: list[tuple[float, float, tuple[Voicing, ...]]], voicing: Voicing, middle: float
) -> tuple[float, float, tuple[Voicing, ...]]:
    """Return the best way that ends on a voicing."""
    off = abs(voicing.midis[-1] - middle)
    reached = (
        (moved + motion(_held(way), voicing.midis), strayed + off, (*way, voicing))
        for moved, strayed, way in ways
    )
    return min(reached, key=lambda one: one[:2])


def _held(way: tuple[Voicing, ...]) -> tuple[int, ...]:
    """Return where the hands are at the end of a way."""
    return next((voicing.midis for voicing in reversed(way) if voicing.midis), ())
