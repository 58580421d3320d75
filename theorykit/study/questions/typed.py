"""Answers as musicians type, choose or tap them: notes, shapes, degrees, colours, chords."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.shapes import SHAPES
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, enharmonics
from theorykit.notes.note import Note, Pitch, ascii_accidentals, pretty_words, spelled_signs
from theorykit.notes.scales import Scale

LONGEST = 200  # characters
_ROOT = re.compile(r"([A-Ga-g])((?:b|#)*)(.*)")
_SOUNDED = re.compile(r"([A-Ga-g](?:b|#)*)-?\d")  # a name with its octave
_FILLER = re.compile(r"\b(the|of (v|i|one|five)|scale|arpeggio|colou?r)\b|[.!?]$", re.IGNORECASE)
_SIGNED = re.compile(r"\b(flat|sharp|natural|major|minor)[ -]*(?=\d)")
_SIGNS = {"flat": "b", "sharp": "#", "natural": "", "major": "", "minor": "b"}
_NUMBERS = {
    **{"root": "1", "one": "1", "tonic": "1", "second": "2", "third": "3", "fourth": "4"},
    **{"fifth": "5", "sixth": "6", "seventh": "7", "ninth": "9", "eleventh": "11"},
    **{"thirteenth": "13", "nine": "9", "eleven": "11", "thirteen": "13", "seven": "7"},
    **{"tritone": "#11", "five": "5", "three": "3", "six": "6", "four": "4", "two": "2"},
}
_ORDINAL = re.compile(r"(?<=\d)(st|nd|rd|th)\b")

# What is said for a shape, beside the names of the table (common practice).
_SAID = {
    **dict.fromkeys(("triad", "major", "maj", "major triad", "maj triad"), ""),
    **dict.fromkeys(("minor", "min", "minor triad", "min triad", "m triad", "-"), "m"),
    **dict.fromkeys(("diminished", "diminished triad", "dim triad"), "dim"),
    **dict.fromkeys(("augmented", "augmented triad", "aug triad", "+"), "aug"),
    **dict.fromkeys(("seventh", "dominant", "dominant seventh", "dominant 7", "dom7"), "7"),
    **dict.fromkeys(("minor seventh", "minor 7", "min7", "minor 7th"), "m7"),
    **dict.fromkeys(("major seventh", "major 7", "major 7th"), "maj7"),
    **dict.fromkeys(("diminished seventh", "diminished 7", "dim 7", "diminished 7th"), "dim7"),
    **dict.fromkeys(("half diminished", "half-diminished", "half dim"), "m7b5"),
    **dict.fromkeys(("half diminished seventh", "half-diminished seventh"), "m7b5"),
    **dict.fromkeys(("minor sixth", "minor 6"), "m6"),
    **dict.fromkeys(("major sixth", "major 6", "sixth"), "6"),
    **dict.fromkeys(("minor major seventh", "minor major 7"), "m(maj7)"),
}
_SUFFIXES = {row.suffix.strip().lower() for row in SHAPES} | {"jazz minor"}
_NOUNS = {row.noun.lower(): row.suffix for row in SHAPES if row.family != "scale"}


@dataclass(frozen=True, slots=True)
class TypedShape:
    """A shape as it was given: its name for the eye and its notes, each sound once.

    ``symbol`` is the chord where it was written as a symbol that no shape of the table has.
    """

    name: str
    notes: tuple[Note, ...]
    symbol: Chord | None = None


def plain(text: object, wanted: str) -> str:
    """Return typed text in plain form: signs as b and #, single spaces; refuse what is no text.

    >>> plain("  E♭  major ", "a shape")
    'Eb major'
    """
    if not isinstance(text, str) or not text.strip() or len(text) > LONGEST:
        raise TheoryError(f"not an answer: {shown(text)} (want {wanted})")
    return " ".join(spelled_signs(ascii_accidentals(_capital(text.strip()))).split())


def _capital(text: str) -> str:
    """Return a text whose first letter is a capital where it names a note: ``ab`` is ``Ab``."""
    spoken = re.sub(r"\b([a-g])(?=[ -]?(flat|sharp)\b)", lambda found: found[1].upper(), text)
    return spoken[:1].upper() + spoken[1:]


def note_typed(given: object) -> Note:
    """Return one note, typed or tapped.

    >>> [str(note_typed(text)) for text in ("ab", "G♯", "b flat", 68, "Ab4")]
    ['Ab', 'G#', 'Bb', 'Ab', 'Ab']
    """
    found = notes_typed(given)
    if len(found) != 1:
        raise TheoryError(f"not one note: {shown(given)} (want a note such as Ab)")
    return found[0]


def notes_typed(given: object) -> tuple[Note, ...]:
    """Return notes, typed with spaces, commas or bar lines between them, or tapped.

    >>> [str(note) for note in notes_typed("f, B | e B")]
    ['F', 'B', 'E', 'B']
    """
    if isinstance(given, str):
        words = re.split(r"[\s,;|/]+", plain(given, "notes such as Ab C Eb"))
        found = tuple(_note(word) for word in words if word and word.lower() != "and")
    elif isinstance(given, Iterable) and not isinstance(given, bytes):
        found = tuple(_tapped(one) for one in given)
    else:
        found = (_tapped(given),)
    if not found:
        raise TheoryError(f"no notes: {shown(given)} (want notes such as Ab C Eb)")
    return found


def _note(word: str) -> Note:
    """Read one name, in either case and with or without its octave."""
    sounded = _SOUNDED.fullmatch(word)
    name = sounded[1] if sounded else word
    return Note.parse(name[:1].upper() + name[1:])


def _tapped(one: object) -> Note:
    """Return the note of a key that was tapped, or one that is given as a value."""
    if isinstance(one, Note):
        return one
    if isinstance(one, Pitch):
        return one.note
    if isinstance(one, bool) or not isinstance(one, (int, str)):
        raise TheoryError(f"not a note: {shown(one)} (want a name, or a MIDI number)")
    return _note(plain(one, "a note such as Ab")) if isinstance(one, str) else key_name(one)


def key_name(midi: int) -> Note:
    """Return the plainest name of a key of the keyboard: flats, and F sharp.

    >>> [str(key_name(midi)) for midi in (60, 61, 63, 66, 68, 70)]
    ['C', 'Db', 'Eb', 'F#', 'Ab', 'Bb']
    """
    names = [note for note in enharmonics(midi % 12) if note not in AWKWARD]
    return min(names, key=lambda note: (abs(note.alteration), note.letter == "G", note.alteration))


def shape_typed(given: object) -> TypedShape:
    """Return a shape by name or by its notes; one letter is the triad.

    >>> for text in ("e", "E triad", "e flat minor", "Ab jazz minor", "F and G", "E G# B"):
    ...     print(shape_typed(text).name, [str(note) for note in shape_typed(text).notes])
    E major triad ['E', 'G#', 'B']
    E major triad ['E', 'G#', 'B']
    E♭ minor triad ['Eb', 'Gb', 'Bb']
    A♭ melodic minor scale ['Ab', 'Bb', 'Cb', 'Db', 'Eb', 'F', 'G']
    F and G ['F', 'A', 'C', 'G', 'B', 'D']
    E G♯ B ['E', 'G#', 'B']
    """
    if not isinstance(given, str):
        return _of_notes(notes_typed(given))
    text = _FILLER.sub("", plain(given, "a shape such as E, Abm or Ab melodic minor"))
    text = " ".join(text.split())
    both = re.split(r" (?:and|\+|&) ", re.sub(r"(?i)( triads?)$", "", text))
    if len(both) == 2:
        first, second = map(_one_shape, both)
        name = f"{pretty_words(both[0])} and {pretty_words(both[1][:1].upper() + both[1][1:])}"
        return TypedShape(name, _once((*first.notes, *second.notes)))
    return _one_shape(text)


def _of_notes(notes: tuple[Note, ...]) -> TypedShape:
    """Return notes as a shape without a name."""
    found = _once(notes)
    return TypedShape(" ".join(note.pretty for note in found), found)


def _one_shape(text: str) -> TypedShape:
    """Read one shape: a row of the table by what is said for it, a scale, a chord, or notes."""
    match = _ROOT.fullmatch(text)
    if match is None:
        raise TheoryError(f"not a shape: {shown(text)} (want E, Abm, Bdim7, Ab melodic minor)")
    root = Note.parse(match[1].upper() + match[2])
    rest = match[3].strip().lower()
    suffix = _NOUNS.get(rest, _SAID.get(rest, match[3].strip()))
    row = next((row for row in SHAPES if row.suffix.strip() == suffix.strip()), None)
    if row is not None:
        notes = tuple(above(root, degree) for degree in row.degrees)
        return TypedShape(f"{root.pretty} {row.noun}", notes)
    return _scale_or_chord(text, root, rest)


def _scale_or_chord(text: str, root: Note, rest: str) -> TypedShape:
    """Read a scale by another of its names, a chord of another kind, or notes."""
    try:
        scale = Scale.parse(f"{root} {rest}")
    except TheoryError:
        pass
    else:
        return TypedShape(f"{scale.pretty} scale", scale.notes)
    try:
        return _of_notes(notes_typed(text.replace("/", "?")))
    except TheoryError:
        chord = Chord.parse(text)
        return TypedShape(chord.pretty, _once((*chord.notes, chord.lowest)), chord)


def _once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Keep the first name of each sound."""
    found: dict[int, Note] = {}
    for note in notes:
        found.setdefault(note.semitone, note)
    return tuple(found.values())


def degree_typed(given: object) -> Degree:
    """Return a degree in figures or in words.

    >>> [str(degree_typed(t)) for t in ("♭9", "flat nine", "#11th", "the 3rd", "minor third")]
    ['b9', 'b9', '#11', '3', 'b3']
    """
    text = plain(given, "a degree such as b9, #11 or 13").lower()
    text = _FILLER.sub("", text)
    words = re.split(r"([\s-]+)", text)
    text = "".join(_NUMBERS.get(word, word) for word in words).strip()
    signed = _SIGNED.sub(lambda found: _SIGNS[found[1]], _ORDINAL.sub("", text))
    return Degree.parse(signed.replace(" ", ""))


def is_degree(given: object) -> bool:
    """Tell whether an answer is a degree, in figures or words, and no note.

    >>> is_degree("b9"), is_degree("the 5th"), is_degree("Bb"), is_degree("root")
    (True, True, False, True)
    """
    try:
        degree_typed(given)
    except TheoryError:
        return False
    return True


def colour_typed(given: object) -> Colour | tuple[Degree, ...]:
    """Return a colour by name, or the degrees that were given for it.

    >>> colour_typed("B9 13").name, colour_typed("the altered scale").name
    ('b9 13', 'altered')
    >>> [str(degree) for degree in colour_typed("13, b9")], colour_typed("flat nine").name
    (['13', 'b9'], 'b9')
    """
    text = _FILLER.sub("", plain(given, "a colour such as b9 13 or altered").lower())
    text = " ".join(text.replace(" and ", " ").replace(",", " ").replace("/", " ").split())
    for one in (text, _figures(text)):
        try:
            return colour(one)
        except TheoryError:
            continue
    try:
        found = degrees(_figures(text))
    except TheoryError:
        found = ()
    return found or colour(text)  # whose message lists the names


def _figures(text: str) -> str:
    """Return words for degrees as figures: ``flat nine sharp eleven`` is ``b9 #11``."""
    words = " ".join(_NUMBERS.get(word, word) for word in text.split())
    return _SIGNED.sub(lambda found: _SIGNS[found[1]], _ORDINAL.sub("", words))


def chords_typed(given: object) -> tuple[Chord, ...]:
    """Return chords, typed with spaces, commas or bar lines between them.

    >>> [str(chord) for chord in chords_typed("dm7, g7 | C major seventh")]
    ['Dm7', 'G7', 'Cmaj7']
    """
    text = plain(given, "a chord such as Fm7")
    for said, suffix in sorted(_SAID.items(), key=lambda pair: -len(pair[0])):
        if said[-1].isalnum():
            text = re.sub(rf"(?<=[A-Ga-g#]) {said}\b", suffix, text, flags=re.IGNORECASE)
    words = [word for word in re.split(r"[\s,;|]+", text) if word and word != "and"]
    found = tuple(Chord.parse(word[:1].upper() + word[1:]) for word in words)
    if not all(chord.notes for chord in found):
        raise TheoryError(f"no chord: {shown(given)} (want a chord such as Fm7)")
    return found
