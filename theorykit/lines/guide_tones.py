"""Guide tones: the 3rds and 7ths of a progression, connected by the smallest moves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.placed import merged_chords
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import PlacedChord, Progression

__all__ = ["guide_tone_lines", "guide_tones", "places"]

OCTAVE, SEVENTH = 12, Degree(7)
HOMESICK = Fraction(1, 1000)  # what a half step away from the middle costs: less than any move

Voices = tuple[Pitch, ...]


def places(note: Note, low: int, high: int) -> Iterator[Pitch]:
    """Run through the pitches of a note from one MIDI number to another.

    >>> [str(pitch) for pitch in places(Note.parse("F"), 57, 77)]
    ['F4', 'F5']
    """
    for midi in range(low + (note.semitone - low) % OCTAVE, high + 1, OCTAVE):
        yield Pitch.numbered(note, midi)


def smoothest(choices: Sequence[Sequence[tuple[Voices, Fraction]]], middle: int) -> list[Voices]:
    """Return one choice for each chord so that the voices move as little as can be in all.

    Each choice is a tuple of pitches with what it costs besides, in half steps; ``middle`` is the
    MIDI number that the voices keep near where all else is equal.

    >>> c, d, b = (Pitch.parse(name) for name in ("C4", "D4", "B4"))
    >>> [str(voice) for (voice,) in smoothest([[((c,), 0)], [((b,), 0), ((d,), 0)]], 60)]
    ['C4', 'D4']
    """
    found: list[tuple[Fraction, list[Voices]]] = [(Fraction(0), [])]
    for row in choices:
        found = [_best(found, voices, extra, middle) for voices, extra in row]
    return min(found, key=lambda way: way[0])[1]


def _best(
    found: Sequence[tuple[Fraction, list[Voices]]], voices: Voices, extra: Fraction, middle: int
) -> tuple[Fraction, list[Voices]]:
    """Return the cheapest way to one choice."""
    here = extra + HOMESICK * sum(abs(pitch.midi - middle) for pitch in voices)
    cost, way = min(
        ((cost + _motion(way, voices), way) for cost, way in found), key=lambda pair: pair[0]
    )
    return cost + here, [*way, voices]


def _motion(way: Sequence[Voices], voices: Voices) -> int:
    """Return how far the voices move in half steps; the first move is free."""
    if not way:
        return 0
    return sum(abs(a.midi - b.midi) for a, b in zip(way[-1], voices, strict=True))


LOWEST, HIGHEST = Pitch(Note("A"), 3), Pitch(Note("F"), 5)  # where the lines lie unless asked
# === Guide-tone lines ===

RANK = Fraction(1, 4)  # what a less wanted note of the third line costs, in half steps
DOUBLED = 3  # what a note costs that one of the two lines has already, in half steps

# Which degrees stand for 3rd and 7th where a chord has none: the first that it has.
_THIRDS = (3, 4, 2, 5)
_SEVENTHS = (7, 6, 1)
# The notes of the third line over chords that are no dominants, the most wanted first; over a
# dominant it has the tensions of the colour (common practice: b9 falls to 5, 13 to 9 or 3).
_THIRD_LINE = (5, 9, 1, 3)


def guide_tone_lines(
    progression: Progression,
    colour: Colour | str | None = None,
    *,
    longest: int | Fraction = 2,
    lowest: Pitch | str = LOWEST,
    highest: Pitch | str = HIGHEST,
) -> tuple[Line, ...]:
    """Return two lines that together have the 3rd and 7th of every chord, as half notes.

    With a colour that has tensions a third line follows, which brings one of them over each
    dominant. No note lasts longer than ``longest`` beats; the lines stay between ``lowest`` and
    ``highest``, an octave and more apart, and leap an octave only where they would leave it.

    >>> from theorykit.tunes.progression import two_five_one
    >>> for line in guide_tone_lines(two_five_one("C", "short"), "b9", longest=4):
    ...     print(line)
    half F4 F4 | whole E4
    half C5 B4 | whole B4
    half A4 Ab4 | whole G4
    """
    if not isinstance(progression, Progression):
        raise TheoryError(
            f"not a progression: {shown(progression)} (want one such as two_five_one('C'))"
        )
    low, high = _window(lowest, highest)
    if not isinstance(longest, (int, Fraction)) or not longest > 0:
        raise TheoryError(f"not a length: {shown(longest)} (want beats above 0)")
    chords = [placed for placed in merged_chords(progression) if not placed.chord.is_silent]
    found = [*zip(*_voices([guide_tones(one.chord) for one in chords], low, high), strict=True)]
    row = None if colour is None else colour_named(colour)
    if row is not None and row.tensions:
        found += zip(*_third_voice(chords, progression.key, row, low, high), strict=True)
    voices = found or [(), ()]
    return tuple(_line(progression, chords, voice, Fraction(longest)) for voice in voices)


def guide_tones(chord: Chord) -> tuple[Note, Note]:
    """Return the 3rd and the 7th of a chord, or what stands for them.

    A suspended chord has its 4th, a sixth chord its 6th, a triad its root.

    >>> [str(note) for note in guide_tones(Chord.parse("C6"))]
    ['E', 'A']
    """
    return _member(chord, _THIRDS), _member(chord, _SEVENTHS)


def _member(chord: Chord, numbers: Sequence[int]) -> Note:
    """Return the first of some members that a chord has."""
    found = {degree.number: degree for degree in chord.degrees}
    return above(chord.root, next((found[n] for n in numbers if n in found), Degree(1)))


def _window(lowest: Pitch | str, highest: Pitch | str) -> tuple[int, int]:
    """Return the range as MIDI numbers; it holds every note at least once."""
    low, high = (p if isinstance(p, Pitch) else Pitch.parse(p) for p in (lowest, highest))
    if high.midi - low.midi < OCTAVE - 1:
        raise TheoryError(
            f"too narrow a range for guide tones: {low} to {high} (want an octave or more)"
        )
    return low.midi, high.midi


def _voices(tones: Sequence[tuple[Note, Note]], low: int, high: int) -> list[tuple[Pitch, ...]]:
    """Return the two voices, chord by chord; the first begins on the 3rd."""
    choices = [
        [
            ((one, other), Fraction(0))
            for pair in (both, both[::-1])
            for one in places(pair[0], low, high)
            for other in places(pair[1], low, high)
            if one.midi != other.midi
        ]
        for both in tones
    ]
    found = smoothest(choices, (low + high) // 2)
    swapped = bool(found) and found[0][0].note != tones[0][0]
    return [pair[::-1] for pair in found] if swapped else found


def _third_voice(
    placed: Sequence[PlacedChord], key: Key, row: Colour, low: int, high: int
) -> list[tuple[Pitch, ...]]:
    """Return the voice that brings the colour, chord by chord."""
    choices = [
        [
            ((pitch,), RANK * rank + DOUBLED * (note in guide_tones(one.chord)))
            for rank, note in enumerate(_third_notes(one.chord, key, row))
            for pitch in places(note, low, high)
        ]
        for one in placed
    ]
    return smoothest(choices, (low + high) // 2)


def _third_notes(chord: Chord, key: Key, row: Colour) -> tuple[Note, ...]:
    """Return what the third line may have over a chord, the most wanted first.

    The natural 7 over a dominant passes and is not held.
    """
    if chord.kind.is_dominant:
        return tuple(above(chord.root, degree) for degree in row.tensions if degree != SEVENTH)
    found = {degree.number: degree for degree in reversed(chord_scale(chord, key))}
    ninth = found.get(9)
    if ninth is not None and ninth.alteration:
        del found[9]
    return tuple(above(chord.root, found[n]) for n in _THIRD_LINE if n in found)


def _line(
    progression: Progression,
    placed: Sequence[PlacedChord],
    path: Sequence[Pitch],
    longest: Fraction,
) -> Line:
    """Return a voice as a line, cut at bar lines and into notes that are not too long."""
    edges = progression.bar_starts
    notes = [
        TimedNote(pitch, start, end - start)
        for one, pitch in zip(placed, path, strict=True)
        for start, end in _cut(one.start, one.end, edges, longest)
    ]
    return Line(progression, tuple(notes))


def _cut(
    start: Fraction, end: Fraction, edges: Sequence[Fraction], longest: Fraction
) -> Iterator[tuple[Fraction, Fraction]]:
    """Run through the stretches of a chord, none across a bar line and none too long."""
    while start < end:
        bar = min(edge for edge in edges if edge > start)
        stop = min(end, bar, start + longest)
        yield start, stop
        start = stop
