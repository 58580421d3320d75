"""The colour that a line spells over a dominant, exactly or nearly, and the shape behind it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from theorykit.harmony.colours import CHORD_TONES, COLOURS, Colour
from theorykit.harmony.shortcuts import Shortcut, shortcuts
from theorykit.harmony.wording import listed
from theorykit.lines.placed import OFF_BEAT, PlacedNote
from theorykit.lines.reading.roles import PASSING
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.tunes.progression import PlacedChord

DECORATION = frozenset((PASSING, "neighbour", "chromatic approach", "enclosure", "anticipation"))
PLAIN = frozenset(degree.semitone for degree in CHORD_TONES)
KEY_NOTES = frozenset((2, 5, 9))  # the 9, 11 and 13 that the key brings: no colour by themselves
ELEVEN, THIRD, SEVENTH = 5, 4, 11


@dataclass(frozen=True, slots=True)
class SpelledColour:
    """What a line says over one dominant.

    ``colour`` is the nearest row of the table of colours or None where the line keeps to the
    chord; ``missing`` are tensions of the colour that do not sound, ``extra`` tensions that are not
    its own; ``shortcut`` is the shape to think of, or None; ``passing`` are altered tensions that
    only decorate a line which keeps to the chord.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.lines.reading.line_reading import read_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5", two_five_one("C", "short"))
    >>> read_line(line).dominants[0].words
    'over G7 the line spells ♭9 13: think E major triad on the 6th of V, which is the 3rd of I'
    """

    chord: PlacedChord
    colour: Colour | None
    missing: tuple[Degree, ...]
    extra: tuple[Degree, ...]
    shortcut: Shortcut | None
    passing: tuple[Degree, ...] = ()

    @property
    def is_exact(self) -> bool:
        """True where the line has all tensions of the colour and no other."""
        return self.colour is not None and not self.missing and not self.extra

    @property
    def words(self) -> str:
        """What the line says, in a clause."""
        over = f"over {self.chord.chord.pretty} the line"
        if self.colour is None and not self.extra:
            added = f"its {self._passing}" if self.passing else "no colour is added"
            return f"{over} keeps to the chord and its key: {added}"
        if self.colour is None:
            return f"{over} adds {_names(self.extra)}, which together are no colour of the table"
        if self.is_exact:
            return f"{over} spells {self.colour.spoken}: think {self._shape}"
        apart = [f"without its {_names(self.missing)}"] if self.missing else []
        apart += [f"with {_names(self.extra)} besides"] if self.extra else []
        return f"{over} comes near {self.colour.spoken}, {' and '.join(apart)}"

    @property
    def _passing(self) -> str:
        """Say what only passes."""
        return f"{_names(self.passing)} only pass{'es' * (len(self.passing) == 1)}"

    @property
    def advice(self) -> str:
        """How what only passes is heard as a colour, in a clause; empty where nothing does."""
        if not self.passing:
            return ""
        where = "on a beat it is" if len(self.passing) == 1 else "on beats they are"
        return f"{where} heard as a colour"

    @property
    def _shape(self) -> str:
        """Say the shape behind the colour."""
        return self.shortcut.words if self.shortcut else "of its notes"


def _names(found: Iterable[Degree]) -> str:
    """List degrees for the eye."""
    return listed(degree.pretty for degree in found)


def spelled_colour(
    chord: PlacedChord,
    target: Chord | None,
    notes: Sequence[PlacedNote],
    note_roles: Sequence[str],
) -> SpelledColour:
    """Return the colour that notes over a dominant spell.

    First the notes that only decorate are left out; if what remains is no colour exactly, those
    that pass by step off the beat are left out too; then all notes are tried, for a run through a
    scale is made of passing notes.
    """
    told = [(n, role) for n, role in zip(notes, note_roles, strict=True) if n.degree is not None]
    structural = [n for n, role in told if role not in DECORATION]
    resting = [n for n in structural if not _slips_by(notes, n)]
    tries = [
        _nearest(frozenset(n.degree for n in found if n.degree), chord.chord)
        for found in (structural, resting, [n for n, _ in told])
    ]
    exact = (found for found in tries if found[0] is not None and not found[1] + found[2])
    row, missing, extra = next(exact, tries[0])
    shortcut = None if row is None else shape_behind(chord.chord, row, target)
    plain = row is None and not extra
    passing = _altered((n.degree for n, _ in told if n.degree), chord.chord) if plain else ()
    return SpelledColour(chord, row, missing, extra, shortcut, passing)


def _altered(found: Iterable[Degree], chord: Chord) -> tuple[Degree, ...]:
    """Return those degrees that colour a dominant altered, each once, from low to high."""
    own = PLAIN | KEY_NOTES | {SEVENTH} | {degree.semitone for degree in chord.degrees}
    sounding = {degree.semitone: degree for degree in found}
    return tuple(sounding[s] for s in sorted(sounding.keys() - own))


def _slips_by(notes: Sequence[PlacedNote], note: PlacedNote) -> bool:
    """Tell whether a note stands off the beat between two steps."""
    at = notes.index(note)
    around = notes[max(0, at - 1) : at + 2]
    steps = [abs(other.midi - note.midi) for other in around if other is not note]
    return note.strength == OFF_BEAT and len(steps) == 2 and max(steps) <= 2


@lru_cache(maxsize=512)
def shape_behind(chord: Chord, row: Colour, target: Chord | None) -> Shortcut | None:
    """Return the first shape that brings a colour over a chord, or None where no shape does."""
    found = shortcuts(chord, row, target)
    return found[0] if found else None


_Found = tuple[Colour | None, tuple[Degree, ...], tuple[Degree, ...]]


@lru_cache(maxsize=1024)
def _nearest(found: frozenset[Degree], chord: Chord) -> _Found:
    """Return the nearest colour with what is missing and what is too much.

    The tensions decide; among colours with the same tensions the one whose other notes sound too,
    then the first of the table. Nearly is one tension amiss, or two beside three that are right.
    """
    sounding = {degree.semitone: degree for degree in found}
    own = PLAIN | {degree.semitone for degree in chord.degrees if degree.number <= 7}
    added = {s: degree for s, degree in sounding.items() if s not in own}
    if added.keys() <= KEY_NOTES and (ELEVEN not in added or THIRD in sounding):
        return None, (), ()
    amiss, _, row = min(
        (*_distance(row, frozenset(sounding), frozenset(added)), row) for row in _RANKED
    )
    wanted = {degree.semitone: degree for degree in row.colour.tensions}
    missing = tuple(degree for s, degree in wanted.items() if s not in added)
    extra = tuple(added[s] for s in sorted(added.keys() - wanted.keys() - row.free))
    right = len(wanted) - len(missing)
    if right and amiss <= (2 if right > 2 else 1):
        return row.colour, missing, extra
    return None, (), tuple(added[s] for s in sorted(added))


@dataclass(frozen=True, slots=True, order=True)
class _Ranked:
    """A colour by its place in the table, with its sounds as half steps above the root."""

    place: int
    colour: Colour = field(compare=False)
    tensions: frozenset[int] = field(compare=False)
    others: frozenset[int] = field(compare=False)
    free: frozenset[int] = field(compare=False)  # what may join without changing the colour


def _ranked(place: int, row: Colour) -> _Ranked:
    """Prepare a row for comparing. The 11 is a common note of lines over any dominant."""
    tensions = frozenset(degree.semitone for degree in row.tensions)
    others = frozenset(degree.semitone for degree in row.degrees) - tensions
    free = frozenset(degree.semitone for degree in row.passing) | {ELEVEN}
    return _Ranked(place, row, tensions, others, free - tensions)


_RANKED = tuple(_ranked(place, row) for place, row in enumerate(COLOURS))


def _distance(row: _Ranked, sounding: frozenset[int], added: frozenset[int]) -> tuple[int, int]:
    """Return how many tensions are amiss, then how many other notes of the colour do not sound."""
    return len(row.tensions ^ (added - row.free)), len(row.others - sounding)
