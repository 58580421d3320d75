"""A keyboard with a chord from its root, and above it other notes in close position."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.views.keyboard import KeyboardView, LitKey

__all__ = ["KeyNote", "stacked_keys"]

LOWEST_ROOT = 43  # MIDI: the root of the chord lies in the octave that begins at G2
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class KeyNote:
    """A note above the chord: its name, its degree over the chord, whether it rubs there."""

    note: Note
    degree: Degree
    rubs: bool = False

    def role(self, chord: Chord) -> str:
        """Return what its key is, one of ``views.keyboard.ROLES``."""
        if self.rubs:
            return "outside"
        return "chord" if self.degree in chord.degrees else "colour"


def stacked_keys(chord: Chord, notes: Iterable[KeyNote], alt: str) -> KeyboardView:
    """Return the keyboard: the chord from its root, above it the notes, each above the last.

    >>> from theorykit.harmony.tensions import degrees_over
    >>> g7, db7 = Chord.parse("G7"), Chord.parse("Db7")
    >>> notes = map(KeyNote, db7.notes, degrees_over(g7, db7.notes))
    >>> view = stacked_keys(g7, notes, "D♭7 over G7")
    >>> [(key.midi, key.name, key.degree) for key in view.lit if key.ringed]
    [(61, 'D♭', '♯11'), (65, 'F', '♭7'), (68, 'A♭', '♭9'), (71, 'C♭', '3')]
    """
    root = Pitch.at_or_above(chord.root, LOWEST_ROOT).midi
    tones = zip(chord.degrees, chord.notes, strict=True)
    lit = {
        root + degree.semitone: LitKey(root + degree.semitone, note.pretty, degree.pretty, "chord")
        for degree, note in tones
    }
    at = max(lit)
    for one in notes:
        at += 1 + (one.note.semitone - at - 1) % OCTAVE
        lit[at] = LitKey(at, one.note.pretty, one.degree.pretty, one.role(chord), True)
    keys = tuple(sorted(lit.values(), key=lambda key: key.midi))
    return KeyboardView(_white_below(keys[0].midi), _white_above(keys[-1].midi), keys, alt)


def _white_below(midi: int) -> int:
    """Return the C or F at or below a key, where a drawn keyboard begins."""
    return next(m for m in range(midi, midi - OCTAVE, -1) if m % OCTAVE in (0, 5))


def _white_above(midi: int) -> int:
    """Return the E or B at or above a key, where a drawn keyboard ends."""
    return next(m for m in range(midi, midi + OCTAVE) if m % OCTAVE in (4, 11))
