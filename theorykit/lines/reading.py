"""Reading a line: what every note does, which colours are spelled, how each chord is met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from theorykit.errors import TheoryError, shown
from theorykit.harmony.resolution import TONIC_NAMES, of_target
from theorykit.lines.advice import praise_and_tries
from theorykit.lines.changes import landings
from theorykit.lines.line import Line
from theorykit.lines.placed import PlacedNote, merged_chords, placed_notes
from theorykit.lines.readings import LineReading, NoteReading
from theorykit.lines.role_words import role_words
from theorykit.lines.roles import roles
from theorykit.lines.spelled_colour import SpelledColour, spelled_colour
from theorykit.lines.standing import ALTERATION, OUTSIDE
from theorykit.lines.whole import line_shape
from theorykit.tunes.progression import PlacedChord

__all__ = ["LineReading", "NoteReading", "read_line"]


def read_line(line: Line) -> LineReading:
    """Return what a line does, note by note, chord by chord and as a whole.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 E5 Ab5 B5 | whole C6", two_five_one("C", "short"))
    >>> reading = read_line(line)
    >>> [(str(n.degree), n.role) for n in reading.notes][4:7]
    [('3', 'chord tone'), ('13', 'tension'), ('b9', 'alteration')]
    >>> reading.dominants[0].colour.name, reading.changes[-1].words
    ('b9 13', 'B rises a half step to C, the root of Cmaj7, on beat 1')
    """
    if not isinstance(line, Line):
        raise TheoryError(f"not a line: {shown(line)} (want a Line, such as Line.parse gives)")
    placed = placed_notes(line)
    found = roles(placed)
    chords = merged_chords(line.progression)
    dominants = tuple(
        _dominant(chord, chords[place + 1 : place + 2], placed[first:after], found[first:after])
        for place, (chord, (first, after)) in enumerate(
            zip(chords, _stretches(chords, placed), strict=True)
        )
        if chord.chord.kind.is_dominant and first < after
    )
    notes = tuple(
        _note(placed, i, _in_colour(note, role, dominants))
        for i, (note, role) in enumerate(zip(placed, found, strict=True))
    )
    changes = landings(chords, placed)
    shape = line_shape(placed)
    reading = LineReading(line, notes, dominants, changes, shape, (), ())
    praise, tries = praise_and_tries(reading, placed)
    return replace(reading, praise=praise, tries=tries)


def _stretches(
    chords: Sequence[PlacedChord], placed: Sequence[PlacedNote]
) -> list[tuple[int, int]]:
    """Return for each chord the first of its notes and the one after its last."""
    found, at = [], 0
    for chord in chords:
        first = at
        while at < len(placed) and placed[at].chord == chord:
            at += 1
        found.append((first, at))
    return found


def _dominant(
    chord: PlacedChord,
    after: Sequence[PlacedChord],
    over: Sequence[PlacedNote],
    roles_over: Sequence[str],
) -> SpelledColour:
    """Return the colour over one dominant; what follows is I only where the dominant leads."""
    leads = [c.chord for c in after if of_target(chord.chord, c.chord) in TONIC_NAMES]
    target = leads[0] if leads else None
    return spelled_colour(chord, target, over, roles_over)


def _in_colour(note: PlacedNote, role: str, dominants: Sequence[SpelledColour]) -> str:
    """Return the role of a note, knowing the colour: what belongs to it is not outside."""
    if role != OUTSIDE or note.degree is None:
        return role
    belongs = any(
        d.chord == note.chord and d.is_exact and d.colour and note.degree in d.colour.degrees
        for d in dominants
    )
    return ALTERATION if belongs else role


def _note(placed: Sequence[PlacedNote], i: int, role: str) -> NoteReading:
    """Return the reading of one note."""
    note = placed[i]
    return NoteReading(note.note, note.chord.chord, note.degree, role, role_words(placed, i, role))
