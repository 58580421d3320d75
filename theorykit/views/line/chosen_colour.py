"""The chosen colour in a line: the degrees that it has over each dominant, and those to come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from theorykit.harmony.colours import Colour
from theorykit.harmony.wording import listed
from theorykit.lines.placed import merged_chords
from theorykit.lines.reading import LineReading, SpelledColour, shape_behind
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.note import Note


@dataclass(frozen=True, slots=True)
class ChosenOver:
    """A colour over one dominant: the tensions that sound and those that are missing.

    ``names`` are those of the tensions that sound, as they stand in the line; ``after`` is the
    chord that follows; ``spelled`` what the line says by itself, or None where it is silent over
    the chord.
    """

    chord: Chord
    colour: Colour
    there: tuple[Degree, ...]
    names: tuple[Note, ...]
    missing: tuple[Degree, ...]
    after: Chord | None
    spelled: SpelledColour | None

    @property
    def words(self) -> str:
        """What is there and what is to come, empty where the line spells the colour anyway."""
        name = self.chord.pretty
        if self.missing:
            return f"Over {name} you chose {self.colour.pretty}: {self._parts}{self._think}."
        if self.spelled is None or self.spelled.colour == self.colour or not self.there:
            return ""
        one = len(self.there) == 1
        passing = set(self.spelled.passing).intersection(self.there)
        passes = f", but only pass{'es' * one}" if passing else ", as you chose"
        return f"Over {name} {self._sounding} sound{'s' * one}{passes}."

    @property
    def _parts(self) -> str:
        """Say which tensions are there and which are not."""
        told = [f"{self._sounding} {_are(self.there)} there"] if self.there else []
        root = self.chord.root
        to_come = _named([above(root, degree) for degree in self.missing], self.missing)
        told.append(f"{to_come} {_are(self.missing)} still to come")
        return ", ".join(told)

    @property
    def _sounding(self) -> str:
        """List the tensions that sound."""
        return _named(self.names, self.there)

    @property
    def _think(self) -> str:
        """Say the shape to think of."""
        shape = shape_behind(self.chord, self.colour, self.after)
        return f"; think {shape.words}" if shape else ""


def chosen_over(reading: LineReading, row: Colour) -> Iterator[ChosenOver]:
    """Run through the dominants of a progression with what a line has of a colour.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.text import Line
    >>> from theorykit.lines.reading import read_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half F4 8th B4 Ab4 F4 D4 | whole C4", two_five_one("C", "short"))
    >>> for found in chosen_over(read_line(line), colour("b9 13")):
    ...     print(found.words)
    Over G7 you chose ♭9 13: A♭ (♭9) is there, E (13) is still to come; think E major triad on the \
6th of V, which is the 3rd of I.
    """
    chords = merged_chords(reading.line.progression)
    spelled = {found.chord.start: found for found in reading.dominants}
    at = 0
    for placed, after in zip(chords, [*chords[1:], None], strict=True):
        chord = placed.chord
        sounding: dict[int, Note] = {}
        while at < len(reading.notes) and reading.notes[at].note.start < placed.end:
            name = reading.notes[at].note.pitch.note
            sounding.setdefault((name.semitone - chord.root.semitone) % 12, name)
            at += 1
        if chord.kind.is_dominant:
            there = tuple(d for d in row.tensions if d.semitone in sounding)
            names = tuple(sounding[degree.semitone] for degree in there)
            missing = tuple(d for d in row.tensions if d not in there)
            goal = after.chord if after is not None else None
            yield ChosenOver(chord, row, there, names, missing, goal, spelled.get(placed.start))


def _named(notes: Iterable[Note], found: Iterable[Degree]) -> str:
    """List notes with the degrees that they are over the chord."""
    pairs = zip(notes, found, strict=True)
    return listed(f"{note.pretty} ({degree.pretty})" for note, degree in pairs)


def _are(found: tuple[Degree, ...]) -> str:
    """Return the verb for one or many."""
    return "are" if len(found) > 1 else "is"
