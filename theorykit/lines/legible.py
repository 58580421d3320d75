"""Names for the eye: a line that is to be played from the page."""

from __future__ import annotations

from dataclasses import replace

from theorykit.lines.line import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import AWKWARD, spell_near

__all__ = ["legible"]


def legible(line: Line) -> Line:
    """Return a line without double accidentals, and without E#, B#, Cb, Fb where they say little.

    These stay where the key has them, and where the chord symbol speaks of them: the 3rd of C#7 is
    E#, and nobody takes it for F.

    >>> from theorykit.tunes.progression import Bar, Progression
    >>> over = Progression(Key.parse("Gb"), (Bar.even("Db7"), Bar.even("C#7")))
    >>> legible(Line.parse("half Cb5 Ebb5 | E#5 Fb5", over)).text
    'half Cb5 D5 | E#5 E5'
    """
    key = line.progression.key
    notes = []
    for note in line.notes:
        chord = line.progression.chord_at(note.start).chord
        name = _name(note.pitch.note, chord, key)
        notes.append(replace(note, pitch=Pitch.numbered(name, note.pitch.midi)))
    return replace(line, notes=tuple(notes))


def _name(note: Note, chord: Chord, key: Key) -> Note:
    """Return the name for the eye of one note over a chord."""
    if abs(note.alteration) < 2 and (note not in AWKWARD or note in key.notes):
        return note
    if abs(note.alteration) < 2 and note in chord.notes:
        return note
    return spell_near(note.semitone, note)
