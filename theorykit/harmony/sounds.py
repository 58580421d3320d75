"""Reading what a player brings: notes, a chord symbol or the name of a scale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.note import Note
from theorykit.notes.scales import Scale

__all__ = ["LONGEST_TEXT", "Sounds", "read_sounds"]

LONGEST_TEXT = 200  # characters: twelve notes with room to spare
WANTED = "want notes such as 'E G# B', or one chord such as 'E7'"


@dataclass(frozen=True, slots=True)
class Sounds:
    """What was brought: its name in plain form, and its notes, each sound once.

    >>> found = read_sounds("Bmaj7")
    >>> found.name, [str(note) for note in found.notes]
    ('Bmaj7', ['B', 'D#', 'F#', 'A#'])
    """

    name: str
    notes: tuple[Note, ...]
    is_named: bool = False  # a chord or a scale, not single notes


def read_sounds(brought: Chord | Scale | str | Iterable[Note | str]) -> Sounds:
    """Return what a player brought; a text of one letter is a note, ``Emaj`` the triad.

    >>> [read_sounds(text).name for text in ("E, G# B", "E", "Emaj", "Ab melodic minor")]
    ['E G# B', 'E', 'E', 'Ab melodic minor']
    >>> len(read_sounds("E").notes), len(read_sounds("Emaj").notes)
    (1, 3)
    >>> read_sounds("E7 A7")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: neither notes nor a chord: 'E7 A7' (want notes such as \
'E G# B', or one chord such as 'E7')
    """
    if isinstance(brought, Chord):
        return _of_chord(brought)
    if isinstance(brought, Scale):
        return Sounds(str(brought), _once(brought.notes), True)
    if isinstance(brought, str):
        return _of_text(brought)
    if not isinstance(brought, Iterable):
        raise TheoryError(f"neither notes nor a chord: {shown(brought)} ({WANTED})")
    return _of_notes(_as_note(note) for note in brought)


def _as_note(note: object) -> Note:
    """Return a note, read where text came."""
    return note if isinstance(note, Note) else Note.parse(note)  # type: ignore[arg-type]


def _of_chord(chord: Chord) -> Sounds:
    """Return the notes of a chord, a foreign bass among them."""
    if chord.is_silent:
        raise TheoryError(f"no notes in {chord} ({WANTED})")
    return Sounds(str(chord), _once((*chord.notes, chord.lowest)), True)


def _of_notes(notes: Iterable[Note]) -> Sounds:
    """Return single notes."""
    found = _once(notes)
    if not found:
        raise TheoryError(f"no notes ({WANTED})")
    return Sounds(" ".join(map(str, found)), found)


def _of_text(text: str) -> Sounds:
    """Read notes, or else a chord, or else a scale."""
    if len(text) > LONGEST_TEXT:
        raise TheoryError(f"neither notes nor a chord: {shown(text)} ({WANTED})")
    notes = [_note_or_none(word) for word in text.replace(",", " ").split()]
    if None in notes:
        return _of_name(text)
    return _of_notes(note for note in notes if note is not None)


def _note_or_none(word: str) -> Note | None:
    """Read a note name, or return None."""
    try:
        return Note.parse(word)
    except TheoryError:
        return None


def _of_name(text: str) -> Sounds:
    """Read the name of a chord or of a scale; the message of a chord tells best what is wrong."""
    try:
        return read_sounds(Scale.parse(text))
    except TheoryError:
        pass
    try:
        return _of_chord(Chord.parse(text))
    except TheoryError as wrong:
        if len(text.split()) > 1:
            raise TheoryError(f"neither notes nor a chord: {shown(text)} ({WANTED})") from wrong
        raise


def _once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Keep the first name of each sound."""
    found: dict[int, Note] = {}
    for note in notes:
        found.setdefault(note.semitone, note)
    return tuple(found.values())
