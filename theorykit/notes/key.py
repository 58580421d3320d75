"""Keys: tonic, mode, signature, notes and chords; and readers, whose instruments write in others.

Source of the intervals: common practice; those of trumpet, alto saxophone and horn agree with
music21's table of instruments. The guitar sounds an octave lower than it is written.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note, Pitch, ascii_accidentals, spelled_signs

__all__ = ["KEYS", "MODES", "READERS", "Key", "Reader", "reader"]

# Signature of a minor key as seen from the major key of the same tonic: three flats more.
_MODE_FIFTHS = {"major": 0, "minor": -3}
MODES = tuple(_MODE_FIFTHS)
_FORMULAS = {"major": "1 2 3 4 5 6 7", "minor": "1 2 b3 4 5 b6 b7"}
_TEXT = re.compile(r"([A-G][b#]*)\s*(maj|[Mm]ajor|M|m|-|mi|min|[Mm]inor|)")
MOST_SIGNS = 7


@dataclass(frozen=True, slots=True)
class DiatonicChord:
    """A chord of a key and the degree of the scale that it stands on."""

    degree: Degree
    chord: Chord


@dataclass(frozen=True, slots=True)
class Key:
    """One of the 15 major or 15 minor keys that have a signature.

    ``mode`` is ``"major"`` or ``"minor"``; the notes of a minor key are those of its signature.

    >>> key = Key.parse("B♭ minor")
    >>> str(key), key.fifths, [str(note) for note in key.notes]
    ('Bb minor', -5, ['Bb', 'C', 'Db', 'Eb', 'F', 'Gb', 'Ab'])
    """

    tonic: Note
    mode: str = "major"

    def __post_init__(self) -> None:
        """Refuse a key that no signature writes."""
        if not isinstance(self.tonic, Note) or self.mode not in _MODE_FIFTHS:
            raise TheoryError(
                f"not a key: {shown(self.tonic)} {shown(self.mode)} "
                "(want a note, then major or minor)"
            )
        if abs(self.fifths) > MOST_SIGNS:
            raise TheoryError(
                f"no key signature for {self} (it needs {abs(self.fifths)} signs; "
                f"want a key with at most {MOST_SIGNS})"
            )

    @classmethod
    def parse(cls, text: str) -> Key:
        """Read a key: ``Eb``, ``Eb major``, ``C#m``, ``F sharp minor``. The reverse of ``str``.

        >>> str(Key.parse("Eb")), str(Key.parse("C#m")), str(Key.parse("B flat minor"))
        ('Eb major', 'C# minor', 'Bb minor')
        >>> Key.parse("G# major")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no key signature for G# major (it needs 8 signs; want a key \
with at most 7)
        """
        plain = ascii_accidentals(text.strip()) if isinstance(text, str) and len(text) < 20 else ""
        match = _TEXT.fullmatch(spelled_signs(plain))
        if match is None:
            raise TheoryError(f"not a key: {shown(text)} (want a key such as 'Eb major' or 'Cm')")
        tonic, mode = match.groups()
        is_major = mode in ("", "maj", "major", "Major", "M")
        return cls(Note.parse(tonic), "major" if is_major else "minor")

    @property
    def fifths(self) -> int:
        """The signature: sharps count up from 0, flats count down."""
        return self.tonic.fifths + _MODE_FIFTHS[self.mode]

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The degrees of the scale that the signature writes."""
        return degrees(_FORMULAS[self.mode])

    @property
    def notes(self) -> tuple[Note, ...]:
        """The seven notes of the signature, tonic first."""
        return tuple(above(self.tonic, degree) for degree in self.degrees)

    @property
    def chord_notes(self) -> tuple[Note, ...]:
        """The notes that the chords of the key are made of: of minor the leading note as well.

        >>> str(Key.parse("F# minor").chord_notes[-1])
        'E#'
        """
        leading = (above(self.tonic, Degree(7)),) if self.is_minor else ()
        return self.notes + leading

    @property
    def is_minor(self) -> bool:
        """True for a minor key."""
        return self.mode == "minor"

    @property
    def triads(self) -> tuple[DiatonicChord, ...]:
        """The triad on each degree, of the signature's notes.

        >>> [f"{d.degree} {d.chord}" for d in Key.parse("A minor").triads][:3]
        ['1 Am', '2 Bdim', 'b3 C']
        """
        return self._stacked(3)

    @property
    def sevenths(self) -> tuple[DiatonicChord, ...]:
        """The seventh chord on each degree, of the signature's notes.

        >>> [str(d.chord) for d in Key.parse("C").sevenths]
        ['Cmaj7', 'Dm7', 'Em7', 'Fmaj7', 'G7', 'Am7', 'Bm7b5']
        """
        return self._stacked(4)

    def _stacked(self, count: int) -> tuple[DiatonicChord, ...]:
        """Stack ``count`` notes in thirds on each degree of the scale."""
        notes = self.notes
        return tuple(
            DiatonicChord(degree, _stack([notes[(i + 2 * n) % 7] for n in range(count)]))
            for i, degree in enumerate(self.degrees)
        )

    @property
    def pretty(self) -> str:
        """The name with ♭ and ♯."""
        return f"{self.tonic.pretty} {self.mode}"

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def _stack(notes: list[Note]) -> Chord:
    """Return the chord of stacked thirds: root, third, fifth, seventh."""
    root = notes[0]
    found = []
    for number, note in zip((1, 3, 5, 7), notes, strict=False):
        plain = above(root, Degree(number))
        found.append(Degree(number, (note.semitone - plain.semitone + 6) % 12 - 6))
    return Chord(root, ChordKind.of(found))


_TONICS = {
    "major": "Cb Gb Db Ab Eb Bb F C G D A E B F# C#",
    "minor": "Ab Eb Bb F C G D A E B F# C# G# D# A#",
}

# All thirty keys, from seven flats to seven sharps, major before minor.
KEYS = tuple(
    Key(Note.parse(tonic), mode) for mode, tonics in _TONICS.items() for tonic in tonics.split()
)


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
