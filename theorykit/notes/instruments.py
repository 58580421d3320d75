"""Readers and their instruments: clef, and the interval between written and sounding notes.

Source of the intervals: common practice; those of trumpet, alto saxophone and horn agree with
music21's table of instruments. The guitar sounds an octave lower than it is written.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Note, Pitch

__all__ = ["READERS", "Reader", "reader"]

CONCERT = Note("C")


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads the page: a name, a clef, the written note for a sounding C, octaves on top.

    ``clef`` is ``"treble"`` or ``"bass"``; ``written_c`` is the name on the page of the C that
    sounds; ``octaves`` are added to that. ``semitones`` is the whole distance.

    >>> reader("E flat").semitones, str(reader("B flat").written(Pitch.parse("Eb4")))
    (9, 'F4')
    """

    name: str
    clef: str
    written_c: Note
    octaves: int = 0
    players: str = ""

    @property
    def semitones(self) -> int:
        """Half steps from the sounding to the written pitch."""
        return self.written_c.semitone + 12 * self.octaves

    def written_key(self, key: Key) -> Key:
        """Return the key on the page.

        A key of seven signs and more that transposing brings about is written as the enharmonic
        one of five signs and fewer (Michael Miller, *The Complete Idiot's Guide to Music Theory*,
        2005, chapter 18, names D flat before C sharp for what sounds in B).

        >>> [str(reader("B flat").written_key(Key.parse(key))) for key in ("C# major", "B major")]
        ['Eb major', 'Db major']
        """
        fifths = key.fifths + self.written_c.fifths
        if fifths != key.fifths:
            fifths -= 12 * (fifths > 6) - 12 * (fifths < -6)
        return next(k for k in KEYS if k.mode == key.mode and k.fifths == fifths)

    def written_note(self, note: Note, key: Key) -> Note:
        """Return the name on the page of a sounding note, in music that sounds in ``key``."""
        return note.moved(key.tonic, self.written_key(key).tonic)

    def written(self, pitch: Pitch, key: Key | None = None) -> Pitch:
        """Return the pitch on the page of a sounding pitch, in music that sounds in ``key``."""
        sounding = key if key is not None else Key(CONCERT)
        note = self.written_note(pitch.note, sounding)
        return Pitch.numbered(note, pitch.midi + self.semitones)


READERS = (
    Reader("concert", "treble", CONCERT, 0, "flute, violin, voice, vibraphone, piano"),
    Reader("B flat", "treble", Note("D"), 0, "trumpet, clarinet; tenor saxophone an octave lower"),
    Reader("E flat", "treble", Note("A"), 0, "alto saxophone"),
    Reader("F", "treble", Note("G"), 0, "horn in F"),
    Reader("bass clef", "bass", CONCERT, -1, "trombone, cello; the page is an octave down"),
    Reader("guitar", "treble", CONCERT, 1, "guitar; it sounds an octave lower than written"),
)

_BY_NAME = {one.name: one for one in READERS}


def reader(name: str) -> Reader:
    """Return a reader by name.

    >>> reader("guitar").clef
    'treble'
    >>> reader("kazoo")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such reader: 'kazoo' (want concert, B flat, E flat, F, \
bass clef or guitar)
    """
    if name not in _BY_NAME:
        *most, last = _BY_NAME
        raise TheoryError(f"no such reader: {shown(name)} (want {', '.join(most)} or {last})")
    return _BY_NAME[name]
