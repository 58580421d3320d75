"""Keys: tonic, mode, signature, notes and chords; and the readers of ``notes.reader``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note, ascii_accidentals, spelled_signs
from theorykit.notes.reader import Reader, reader
from theorykit.notes.values import Value

__all__ = [
    "KEYS",
    "MODES",
    "Key",
    "heard_words",
    "reader_words",
    "tonic_key",
]

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
class Key(Value):
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
        named = isinstance(self.mode, str) and self.mode in _MODE_FIFTHS
        if not isinstance(self.tonic, Note) or not named:
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
            raise TheoryError(
                f"not a key: {shown(text)} (want a key such as 'Eb major' or 'Cm'{_meant(plain)})"
            )
        tonic, mode = match.groups()
        is_major = mode in ("", "maj", "major", "Major", "M")
        return cls(Note.parse(tonic), "major" if is_major else "minor")

    @property
    def fifths(self) -> int:
        """The signature: sharps count up from 0, flats count down.

        >>> [Key.parse(name).fifths for name in ("F#", "Db", "Bb minor", "C# minor")]
        [6, -5, -5, 4]
        """
        return self.tonic.fifths + _MODE_FIFTHS[self.mode]

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The degrees of the scale that the signature writes.

        >>> " ".join(str(degree) for degree in Key.parse("Bb minor").degrees)
        '1 2 b3 4 5 b6 b7'
        """
        return degrees(_FORMULAS[self.mode])

    @property
    def notes(self) -> tuple[Note, ...]:
        """The seven notes of the signature, tonic first.

        >>> " ".join(str(note) for note in Key.parse("Bb minor").notes)
        'Bb C Db Eb F Gb Ab'
        >>> " ".join(str(note) for note in Key.parse("F#").notes)
        'F# G# A# B C# D# E#'
        """
        return tuple(above(self.tonic, degree) for degree in self.degrees)

    @property
    def chord_notes(self) -> tuple[Note, ...]:
        """The notes that the chords of the key are made of: of minor the leading note as well.

        >>> str(Key.parse("F# minor").chord_notes[-1])
        'E#'
        """
        leading = (above(self.tonic, Degree(7)),) if self.is_minor else ()
        return self.notes + leading

    def along(self, places: int) -> Key:
        """Return the key of its mode so many places further on the line of fifths.

        >>> str(Key.parse("F minor").along(2))
        'G minor'
        """
        return Key(self.tonic.along(places), self.mode)

    def written_for(self, who: Reader | str) -> Key:
        """Return the key on the page of a reader, such as ``"B flat"`` or ``"alto saxophone"``.

        >>> str(Key.parse("Eb").written_for("trumpet")), str(Key.parse("B").written_for("alto"))
        ('F major', 'Ab major')
        """
        return reader(who).written_key(self)

    @property
    def is_minor(self) -> bool:
        """True for a minor key.

        >>> Key.parse("F# minor").is_minor, Key.parse("Db").is_minor
        (True, False)
        """
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
        """The name with ♭ and ♯.

        >>> Key.parse("Bb minor").pretty
        'B♭ minor'
        """
        return f"{self.tonic.pretty} {self.mode}"

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def _meant(text: str) -> str:
    """Return what a key that is refused probably means: H is B (German usage); else nothing.

    A small h alone is B minor.

    >>> _meant("H major"), _meant("h"), _meant("H# minor"), _meant("X")
    ('; probably B major is meant', '; probably B minor is meant', '', '')
    """
    if text[:1] not in ("H", "h"):
        return ""
    key = "B minor" if text == "h" else f"B{text[1:]}"
    try:
        Key.parse(key)
    except TheoryError:  # there is none
        return ""
    return f"; probably {key} is meant"


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


def tonic_key(chord: Chord) -> Key | None:
    """Return the key whose tonic a chord is, or None where no signature writes it.

    >>> str(tonic_key(Chord.parse("Bbm6"))), tonic_key(Chord.parse("G#"))
    ('Bb minor', None)
    """
    try:
        return Key(chord.root, "minor" if Degree(3, -1) in chord.degrees else "major")
    except TheoryError:
        return None


def reader_words(reader: Reader, key: Key, others: str = "what you hear is") -> str:
    """Return a sentence on what is at concert pitch, or nothing for one who reads that anyway.

    ``key`` is the one that sounds, ``others`` name what stays at concert pitch, with their verb.

    >>> from theorykit.notes.reader import reader
    >>> reader_words(reader("E flat"), Key.parse("C"))
    'Everything here is written for E flat (alto saxophone): your A major sounds in C major. \
What you hear is at concert pitch.'
    >>> reader_words(reader("guitar"), Key.parse("C"))
    ''
    """
    if not reader.transposes:
        return ""
    page = reader.written_key(key)
    return (
        f"Everything here is written for {reader.name} ({reader.players}): your {page.pretty} "
        f"sounds in {key.pretty}. {others[:1].upper()}{others[1:]} at concert pitch."
    )


def heard_words(reader: Reader, key: Key) -> str:
    """Return what a player adds to its name for one who reads another key than sounds.

    >>> from theorykit.notes.reader import reader
    >>> heard_words(reader("B flat"), Key.parse("C")), heard_words(reader("guitar"), Key.parse("C"))
    (' (sounds in C major)', '')
    """
    return f" (sounds in {key.pretty})" if reader.transposes else ""
