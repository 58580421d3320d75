"""Fingerboards: where a shape lies on the strings of a guitar or a bass, position by position.

Source of the tunings: common practice. Guitar E A D G B E, four-string bass E A D G; the pitches
are those that sound, an octave below what both instruments read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from theorykit.notes.note import Pitch
from theorykit.views.keyboard import KeyboardView, LitKey

__all__ = ["BASS", "GUITAR", "FingerboardView", "fingerboard_of"]

NARROW, WIDE = 4, 5  # frets of a position: a finger each, or one of them stretched
LAST_FRET = 12  # from where everything comes again an octave higher
MOST_POSITIONS = 3
APART = 3  # frets from the beginning of a position to that of the next one, at least
LOOK = 3  # frets on which a position of four may begin before one of five is taken
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Tuning:
    """The open strings of an instrument as they sound, the lowest first.

    >>> [str(pitch) for pitch in BASS.strings], GUITAR.string(1)
    (['E1', 'A1', 'D2', 'G2'], 'E')
    """

    instrument: str
    strings: tuple[Pitch, ...]

    def string(self, number: int) -> str:
        """Return the name of a string as players count: the first is the highest."""
        return self.strings[-number].note.pretty

    def midi(self, number: int, fret: int) -> int:
        """Return what sounds on a string at a fret, as a MIDI number.

        >>> GUITAR.midi(5, 3), GUITAR.midi(1, 0)
        (48, 64)
        """
        return self.strings[-number].midi + fret


def _tuning(instrument: str, strings: str) -> Tuning:
    """Return a tuning from the names of its strings."""
    return Tuning(instrument, tuple(map(Pitch.parse, strings.split())))


GUITAR = _tuning("guitar", "E2 A2 D3 G3 B3 E4")
BASS = _tuning("bass", "E1 A1 D2 G2")


@dataclass(frozen=True, slots=True)
class Dot:
    """A note on a string at a fret: its name, its degree, its role (as in ``note_roles``).

    ``ringed`` marks the notes of the shape that one thinks of.
    """

    string: int
    fret: int
    name: str
    degree: str
    role: str
    ringed: bool = False


@dataclass(frozen=True, slots=True)
class Position:
    """A stretch of frets under one hand, and the notes in it from the lowest to the highest."""

    first: int
    last: int
    dots: tuple[Dot, ...]


@dataclass(frozen=True, slots=True)
class FingerboardView:
    """A shape on a fingerboard: the tuning and the positions in which it is shown."""

    tuning: Tuning
    positions: tuple[Position, ...]
    alt: str


def fingerboard_of(keyboard: KeyboardView, tuning: Tuning) -> FingerboardView:
    """Return what a keyboard shows as positions on a fingerboard.

    It is the shape that is ringed there, and the root of the chord to tell where it stands; all
    that is lit where nothing is ringed. In each position every note of the shape between the
    lowest and the highest is under the hand.

    >>> from theorykit.views.explorer_view import explore
    >>> view = fingerboard_of(explore("C", "long", "b9 13").keyboard, GUITAR)
    >>> [(position.first, position.last) for position in view.positions]
    [(1, 5), (4, 7), (9, 12)]
    >>> [(dot.string, dot.fret, dot.degree) for dot in view.positions[1].dots][:4]
    [(6, 4, '♭9'), (6, 7, '3'), (5, 7, '13'), (4, 5, '1')]
    """
    shape = {key.midi % OCTAVE: key for key in keyboard.lit if key.ringed}
    root = {key.midi % OCTAVE: key for key in keyboard.lit if key.degree == "1"}
    found = root | shape if shape else {key.midi % OCTAVE: key for key in keyboard.lit}
    wanted = frozenset(shape or found)
    positions = tuple(_positions(found, wanted, tuning))
    return FingerboardView(tuning, positions, _words(positions, tuning))


def _positions(
    found: dict[int, LitKey], wanted: frozenset[int], tuning: Tuning
) -> Iterator[Position]:
    """Yield positions up the neck: of four frets where the next ones are enough, else of five."""
    start, count = 1, 0
    while start <= LAST_FRET - WIDE + 1 and count < MOST_POSITIONS:
        near = range(start, min(start + LOOK, LAST_FRET - NARROW + 2))
        ahead = (at for at in near if _holds(at, NARROW, wanted, tuning))
        at, width = next(ahead, start), NARROW
        if not _holds(at, NARROW, wanted, tuning):
            at, width = start, WIDE
        if not _holds(at, width, wanted, tuning):
            start += 1
            continue
        yield Position(at, at + width - 1, tuple(_dots(at, width, found, tuning)))
        start, count = at + APART, count + 1


def _under(start: int, width: int, tuning: Tuning) -> dict[int, tuple[int, int]]:
    """Return what lies under the hand: for each sound one string and fret, the higher string."""
    return {
        tuning.midi(string, fret): (string, fret)
        for string in range(len(tuning.strings), 0, -1)
        for fret in range(start, start + width)
    }


def _holds(start: int, width: int, wanted: frozenset[int], tuning: Tuning) -> bool:
    """Tell whether the whole shape lies in a position: a note a string or more, and no gap."""
    played = {midi for midi in _under(start, width, tuning) if midi % OCTAVE in wanted}
    few = len(played) < len(tuning.strings)
    if not wanted or few or {midi % OCTAVE for midi in played} != wanted:
        return False
    between = range(min(played), max(played) + 1)
    return {midi for midi in between if midi % OCTAVE in wanted} == played


def _dots(start: int, width: int, found: dict[int, LitKey], tuning: Tuning) -> Iterator[Dot]:
    """Yield the notes of a position from the lowest up."""
    for midi, (string, fret) in sorted(_under(start, width, tuning).items()):
        key = found.get(midi % OCTAVE)
        if key is not None:
            yield Dot(string, fret, key.name, key.degree, key.role, key.ringed)


def _words(positions: tuple[Position, ...], tuning: Tuning) -> str:
    """Say in words what the fingerboard shows."""
    names = ", ".join(tuning.string(number) for number in range(len(tuning.strings), 0, -1))
    told = [
        f"Frets {one.first} to {one.last}, from the lowest string: "
        + "; ".join(_string_words(one, number, tuning) for number in _played_on(one))
        + "."
        for one in positions
    ]
    return " ".join((f"Fingerboard of a {tuning.instrument} tuned {names}.", *told))


def _played_on(position: Position) -> list[int]:
    """Return the strings on which a position has notes, the lowest first."""
    return sorted({dot.string for dot in position.dots}, reverse=True)


def _string_words(position: Position, number: int, tuning: Tuning) -> str:
    """Say what one string has."""
    dots = (dot for dot in position.dots if dot.string == number)
    notes = ", ".join(f"{dot.name} ({dot.degree}) at {dot.fret}" for dot in dots)
    return f"string {number}, {tuning.string(number)}: {notes}"
