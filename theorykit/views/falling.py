"""A half step that falls is written with a flat, so that the eye sees it fall.

Source of the rule: common practice (chromatic scales are written with sharps rising and with flats
falling). A line is spelled where it sounds; on the page of a transposing instrument a natural that
falls to a flat can become a sharp that falls to a natural, and that is what is mended here.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from theorykit.notes.chord import Chord
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import AWKWARD, enharmonics
from theorykit.views.staff import StaffNote, StaffView, with_pitches

__all__ = ["falling_flats"]


def falling_flats(view: StaffView) -> StaffView:
    """Return a staff on which no sharp falls to the natural of its own letter.

    What the chord or the key signature holds stays, and so does what is told to be a sharp degree;
    what is told to be a flattened one is written flat, wherever it goes.

    >>> from theorykit.lines.line import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staff import staff_of_line
    >>> line = Line.parse("8th E5 C#5 C5 A4 half rest", two_five_one("C", "short"))
    >>> [str(note.pitch) for note in falling_flats(staff_of_line(line)).notes]
    ['E5', 'Db5', 'C5', 'A4']
    """
    return with_pitches(view, list(_pitches(view)))


def _pitches(view: StaffView) -> Iterator[Pitch]:
    """Yield the pitches as they are better written."""
    for note, after in pairwise((*view.notes, None)):
        if note is None:
            return
        flat = _flat(note.pitch)
        falls = after is not None and _falls(note.pitch, after.pitch) and not _held(view, note)
        yield flat if flat and (falls or _misnamed(view, note)) else note.pitch


def _falls(pitch: Pitch, after: Pitch) -> bool:
    """Tell whether a sharp falls a half step to its own letter."""
    same = (pitch.note.letter, pitch.octave) == (after.note.letter, after.octave)
    return same and pitch.note.alteration == 1 and after.note.alteration == 0


def _flat(pitch: Pitch) -> Pitch | None:
    """Return a pitch by the name of the letter above, if that is one that the eye accepts."""
    for name in enharmonics(pitch.note.semitone):
        if name.letter != pitch.note.letter and name.alteration < 1 and name not in AWKWARD:
            return Pitch.numbered(name, pitch.midi)
    return None


def _misnamed(view: StaffView, note: StaffNote) -> bool:
    """Tell whether a note is called a flattened degree, is written sharp, and no chord holds it."""
    chord = _chord(view, note)
    flat = any(label.startswith("♭") for label in note.labels)
    return (
        flat and note.pitch.note.alteration == 1 and not (chord and note.pitch.note in chord.notes)
    )


def _held(view: StaffView, note: StaffNote) -> bool:
    """Tell whether a note has its name from its degree, from the key or from its chord."""
    if any(label.startswith("♯") for label in note.labels):
        return True
    names: set[Note] = set(view.key.notes)
    chord = _chord(view, note)
    if chord is not None:
        names.update(chord.notes)
    return note.pitch.note in names


def _chord(view: StaffView, note: StaffNote) -> Chord | None:
    """Return the chord over a note."""
    before = [chord for start, chord in view.chords if start <= note.start]
    return before[-1] if before else None
