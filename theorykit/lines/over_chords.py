"""The same notes over other chords: what a line is when the band plays something else."""

from __future__ import annotations

from dataclasses import replace

from theorykit.errors import TheoryError
from theorykit.harmony.tensions import degree_names
from theorykit.lines.line import Line
from theorykit.lines.timed import TimedNote
from theorykit.notes.note import MOST_ACCIDENTALS
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import above, plain_root
from theorykit.tunes.progression import Progression

__all__ = ["over_chords"]


def over_chords(line: Line, progression: Progression) -> Line:
    """Return the same sounds over other chords, each note named by what it is there.

    >>> from theorykit.tunes.progression import Bar, two_five_one
    >>> line = Line.parse("whole F5 | 8th C#5 B4 Ab4 F4 half rest | whole E4", two_five_one("C"))
    >>> bars = tuple(Bar.even(chord) for chord in ("Dm7", "Db7", "Cmaj7"))
    >>> over_chords(line, Progression(line.progression.key, bars)).text
    'whole F5 | 8th Db5 Cb5 Ab4 F4 half rest | whole E4'
    """
    if line.progression.beats != progression.beats:
        raise TheoryError(
            f"the line lasts {line.progression.beats} beats and the chords {progression.beats} "
            "(want the same length)"
        )
    return Line(progression, tuple(_renamed(note, progression) for note in line.notes))


def _renamed(note: TimedNote, progression: Progression) -> TimedNote:
    """Return a note with the name that it has over the chord of the moment."""
    chord = progression.chord_at(note.start).chord
    if chord.is_silent:
        return note
    midi = note.pitch.midi
    name = above(chord.root, degree_names(chord)[(midi - chord.root.semitone) % 12])
    readable = name if abs(name.alteration) <= MOST_ACCIDENTALS else plain_root(name)
    return replace(note, pitch=Pitch.numbered(readable, midi))
