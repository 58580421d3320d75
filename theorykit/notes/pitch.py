"""A pitch: a note in an octave, with its MIDI number and frequency."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.note import NATURAL_SEMITONES, Note

__all__ = ["Pitch"]

LOWEST_OCTAVE, HIGHEST_OCTAVE = -2, 10
CONCERT_A = 440.0  # Hz, ISO 16:1975
CONCERT_A_MIDI = 69  # MIDI 1.0 Detailed Specification: A above middle C


@dataclass(frozen=True, slots=True)
class Pitch:
    """A note and its octave; the octave belongs to the letter, and C4 is middle C.

    >>> Pitch.parse("Cb4").midi, Pitch.parse("B3").midi
    (59, 59)
    """

    note: Note
    octave: int

    def __post_init__(self) -> None:
        """Refuse what is no pitch."""
        if not isinstance(self.note, Note):
            raise TheoryError(f"not a note: {shown(self.note)} (want a Note)")
        if not isinstance(self.octave, int) or not LOWEST_OCTAVE <= self.octave <= HIGHEST_OCTAVE:
            raise TheoryError(
                f"not an octave: {shown(self.octave)} "
                f"(want a whole number, {LOWEST_OCTAVE} to {HIGHEST_OCTAVE})"
            )

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read a note name with its octave. The reverse of ``str``.

        >>> str(Pitch.parse("E♭5")), Pitch.parse("C-1").midi
        ('Eb5', 0)
        >>> Pitch.parse("Eb")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a pitch: 'Eb' (want a note name, then an octave: Eb4)
        """
        name = text.strip() if isinstance(text, str) and len(text) < 16 else ""
        cut = len(name.rstrip("0123456789"))
        if cut and name[cut - 1] == "-":
            cut -= 1
        try:
            note, octave = Note.parse(name[:cut]), int(name[cut:])
        except ValueError:
            raise TheoryError(
                f"not a pitch: {shown(text)} (want a note name, then an octave: Eb4)"
            ) from None
        return cls(note, octave)

    @classmethod
    def at_or_above(cls, note: Note, midi: int) -> Pitch:
        """Return the lowest pitch named ``note`` that is not below MIDI number ``midi``.

        >>> str(Pitch.at_or_above(Note.parse("Cb"), 59))
        'Cb4'
        """
        return cls.numbered(note, midi + (note.semitone - midi) % 12)

    @classmethod
    def numbered(cls, note: Note, midi: int) -> Pitch:
        """Return the pitch named ``note`` whose MIDI number is ``midi``.

        >>> str(Pitch.numbered(Note.parse("B#"), 60))
        'B#3'
        """
        octave, off = divmod(midi - NATURAL_SEMITONES[note.step] - note.alteration, 12)
        if off:
            raise TheoryError(f"{note} does not sound MIDI {midi} (want a number that it names)")
        return cls(note, octave - 1)

    @property
    def midi(self) -> int:
        """The MIDI note number: middle C is 60, A4 is 69 (MIDI 1.0 specification)."""
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.note.step] + self.note.alteration

    @property
    def frequency(self) -> float:
        """The frequency in hertz, equal temperament on A4 = 440 Hz (ISO 16).

        >>> round(Pitch.parse("C4").frequency, 2)
        261.63
        """
        return float(CONCERT_A * 2 ** ((self.midi - CONCERT_A_MIDI) / 12))

    @property
    def pretty(self) -> str:
        """The name with ♭ and ♯, and the octave."""
        return f"{self.note.pretty}{self.octave}"

    def __str__(self) -> str:
        return f"{self.note}{self.octave}"
