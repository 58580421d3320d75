"""Notes that a player brings: keys, staff, motion, and what is heard."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from theorykit.errors import TheoryError, shown
from theorykit.harmony.identification import Identification, identify
from theorykit.harmony.resolution import Move, Resolution
from theorykit.harmony.tensions import (
    LANDING,
    as_chord,
    as_target,
    degree_names,
    degrees_over,
    stands_for_third,
)
from theorykit.lines.in_place import Version
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, plain_root, single
from theorykit.notes.key import Key, tonic_key
from theorykit.notes.note import Note, Pitch, pretty_words
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.progression import Bar, Progression
from theorykit.views.keyboard import KeyboardView, KeyNote, stacked_keys
from theorykit.views.motion import MotionView, motion_of
from theorykit.views.staves import StaffView, staff_of_line

__all__ = [
    "FIRST_KEY",
    "LAST_KEY",
    "IdentificationView",
    "identification",
    "identification_of_keys",
    "key_note",
]

FIRST_KEY, LAST_KEY = 60, 83  # MIDI: C4 to B5, the keys that can be tapped
OCTAVE, BAR = 12, Fraction(4)
IN_QUARTERS, IN_A_BAR = 4, 8  # up to so many notes are quarters; as eighths so many fill a bar
MOST_WAYS = 8  # lines in the motion picture; more would be a tangle

_SMALL = re.compile(r"(?<![^\s,])[a-g]")  # a small letter where a name begins
_Read = TypeVar("_Read")
_Played = list[tuple[int, Note]]  # MIDI numbers, climbing, each with the name of its note


@dataclass(frozen=True, slots=True)
class IdentificationView:
    """Everything that is shown of some notes over a chord.

    ``midis`` are the keys of the notes, climbing; ``motion`` is None where nothing tells where the
    notes go, or where the lines would be too many. All of it is as the reader has it on the page,
    but for ``heard``, which is what sounds.
    """

    found: Identification
    midis: tuple[int, ...]
    keyboard: KeyboardView
    staff: StaffView
    motion: MotionView | None
    heard: Version
    reader: Reader

    @property
    def written(self) -> str:
        """What is at concert pitch, for a reader who has other names on the page."""
        if not self.reader.transposes:
            return ""
        one, comma = self.reader, "," if self.found.target else ""
        return (
            f"Everything here, the keys and what you type too, is written for {one.name} "
            f"({one.players}). What you hear is at concert pitch: your {self._chords}{comma} "
            f"sounds as {self._sounds}."
        )

    @property
    def _sounds(self) -> str:
        """The chord that sounds, and where it goes if that is known."""
        chords = [placed.chord.pretty for placed in self.heard.chords.chords]
        return chords[0] + (f", going to {chords[-1]}" if self.found.target else "")

    @property
    def sentence(self) -> str:
        """The notes, the chord and the degrees in one line."""
        found = self.found
        notes = " ".join(note.pretty for note in found.notes)
        what = f"{pretty_words(found.sounds.name)} ({notes})" if found.sounds.is_named else notes
        degrees = " ".join(degree.pretty for degree in found.degrees)
        return f"{what} over {self._chords}: {degrees}."

    @property
    def player(self) -> str:
        """What the player is called."""
        sounds = f" (sounds as {self._sounds})" if self.reader.transposes else ""
        return f"these notes over {self._chords}{sounds}"

    @property
    def _chords(self) -> str:
        """The chord, and where it goes if that is known."""
        over, target = self.found.over, self.found.target
        return over.pretty + (f", going to {target.pretty}" if target else "")


def identification(
    text: str, over: str = "G7", target: str = "", *, reader: Reader = READERS[0]
) -> IdentificationView:
    """Return what is shown of notes, or of a chord or scale, over a chord and its target.

    ``target`` may be empty: a dominant then goes to the major triad a fifth below, and any other
    chord nowhere. All three are read as ``reader`` writes them.

    >>> view = identification("E G# B", "G7", "C")
    >>> view.sentence
    'E G♯ B over G7, going to C: 13 ♭9 3.'
    >>> view.midis, view.heard.line.text
    ((64, 68, 71), 'quarter E4 G#4 B4 rest | whole C5')
    >>> identification("E", "G9b")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: over the chord: not a chord: 'G9b' (at character 3: 'b' is no \
mark that can follow; want b5 #5 b9 #9 #11 b13, add9, sus4, no3, or a bass such as /E)
    """
    chord, goal = _chords(over, target)
    found = _read(text, lambda given: identify(given, chord, goal))
    return _shown(found, _climbing(found.notes), reader)


def identification_of_keys(
    midis: Iterable[int], over: str = "G7", target: str = "", *, reader: Reader = READERS[0]
) -> IdentificationView:
    """Return the same of keys by their MIDI numbers, each named by what it is over the chord.

    >>> identification_of_keys((64, 68, 71), "G7", "C").sentence
    'E A♭ B over G7, going to C: 13 ♭9 3.'
    >>> identification_of_keys((), "G7")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no key is down (want at least one)
    """
    chord, goal = _chords(over, target)
    played = [(midi, key_note(midi, chord)) for midi in sorted(midis)]
    if not played:
        raise TheoryError("no key is down (want at least one)")
    return _shown(identify([note for _, note in played], chord, goal), played, reader)


def key_note(midi: int, over: Chord) -> Note:
    """Return the name of a key that is tapped: by its degree over a chord, if that reads easily.

    >>> [str(key_note(68, Chord.parse(symbol))) for symbol in ("G7", "E7", "Db7")]
    ['Ab', 'G#', 'Ab']
    """
    degree = degree_names(over)[(midi - over.root.semitone) % OCTAVE]
    return plain_root(above(over.root, degree))


def _chords(over: str, target: str) -> tuple[Chord, Chord | None]:
    """Read both chords; what is wrong is said with the name of its field."""
    chord = _read(over.strip(), as_chord, "over the chord: ")
    if not target.strip():
        return chord, None
    return chord, _read(target.strip(), lambda given: as_target(chord, given), "going to: ")


def _read(text: str, read: Callable[[str], _Read], field: str = "") -> _Read:
    """Read one field; a name in small letters is refused, and the capital ones are offered."""
    try:
        return read(text)
    except TheoryError as error:
        raise TheoryError(f"{field}{error}{_meant(text, read)}") from error


def _meant(text: str, read: Callable[[str], _Read]) -> str:
    """Return a question after names that capital letters would make readable, else nothing."""
    capital = _SMALL.sub(lambda found: found[0].upper(), text)
    if capital == text:
        return ""
    try:
        read(capital)
    except TheoryError:
        return ""
    return f"; did you mean {shown(capital)}, with capital letters?"


def _climbing(notes: tuple[Note, ...]) -> _Played:
    """Return notes with keys that climb within an octave from the first."""
    first = Pitch.at_or_above(notes[0], FIRST_KEY).midi
    return sorted((first + (note.semitone - first) % OCTAVE, note) for note in notes)


def _shown(found: Identification, played: _Played, reader: Reader) -> IdentificationView:
    """Return everything that is shown."""
    names = {note.semitone: degree for note, degree in zip(found.notes, found.degrees, strict=True)}
    degrees = [names[note.semitone] for _, note in played]
    page, resolution = _heard(found, played), found.resolution
    heard = _sounding(page, reader)
    drawn = resolution is not None and len(resolution.moves) <= MOST_WAYS
    return IdentificationView(
        found,
        tuple(midi for midi, _ in played),
        _keyboard(found),
        _staff(found, page.line, degrees, heard.line, reader),
        motion_of(resolution, _rubbing(found)) if resolution is not None and drawn else None,
        heard,
        reader,
    )


def _rubbing(found: Identification) -> frozenset[Degree]:
    """Return the degrees that rub; in a suspended colour the 11 stands for the 3rd."""
    wish = found.exact[0].colour.degrees if found.exact else ()
    return frozenset(d for _, d, _ in found.clashes if not stands_for_third(d, wish))


def _sounding(page: Version, reader: Reader) -> Version:
    """Return what sounds where a reader plays what is on the page; octave clefs move nothing."""
    if not reader.transposes:
        return page
    old = page.chords.key
    new = reader.sounding_key(old)

    def move(chord: Chord) -> Chord:
        return chord.transposed(old.tonic, new.tonic, new.chord_notes)

    bars = tuple(replace(bar, chords=tuple(map(move, bar.chords))) for bar in page.chords.bars)
    over = Progression(new, bars)
    notes = (
        replace(note, pitch=Pitch.numbered(name, note.pitch.midi - reader.semitones % OCTAVE))
        for note in page.line.notes
        for name in [single(note.pitch.note.moved(old.tonic, new.tonic))]
    )
    return Version(page.name, over, Line(over, tuple(notes)), over)


def _keyboard(found: Identification) -> KeyboardView:
    """Return the chord from its root, and above it the notes as they were named."""
    rubs = _rubbing(found)
    order = sorted(
        zip(found.notes, found.degrees, strict=True),
        key=lambda pair: (pair[0].semitone - found.notes[0].semitone) % OCTAVE,
    )
    keys = [KeyNote(note, degree, degree in rubs) for note, degree in order]
    tones = ", ".join(note.pretty for note in found.over.notes)
    above_it = ", ".join(f"{one.note.pretty} ({one.degree.pretty})" for one in keys)
    alt = f"Keyboard: {found.over.pretty} is {tones}; above it {above_it}."
    return stacked_keys(found.over, keys, alt)


def _heard(found: Identification, played: _Played) -> Version:
    """Return the notes climbing over the chord; the last one goes where it goes on the target."""
    beats = Fraction(1) if len(played) <= IN_QUARTERS else Fraction(1, 2)
    bars = [Bar.even(found.over)] * -(-len(played) // IN_A_BAR)
    over = Progression(_key(found.target), (*bars, Bar.even(found.target or found.over)))
    line = [
        TimedNote(Pitch.numbered(note, midi), place * beats, beats)
        for place, (midi, note) in enumerate(played)
    ]
    if found.resolution is not None:
        midi, note = played[-1]
        move = _move(found.resolution, note, found.over)
        landing = Pitch.numbered(move.to_note, midi + move.semitones)
        line.append(TimedNote(landing, BAR * len(bars), BAR))
    return Version("notes", over, Line(over, tuple(line)), over)


def _move(resolution: Resolution, note: Note, over: Chord) -> Move:
    """Return where a note goes."""
    place = (note.semitone - over.root.semitone) % OCTAVE
    return next(move for move in resolution.moves if move.degree.semitone == place)


def _key(target: Chord | None) -> Key:
    """Return the key whose signature the staff carries: the target's, or none."""
    found = tonic_key(target) if target is not None else None
    return found or Key(Note("C"))


def _staff(
    found: Identification, line: Line, degrees: list[Degree], heard: Line, reader: Reader
) -> StaffView:
    """Return the staff: under each note its degree; colour, what rubs and the landing marked."""
    labels = [(degree.pretty,) for degree in degrees]
    rubs = _rubbing(found)
    marks = [
        "" if degree in found.over.degrees else "outside" if degree in rubs else "colour"
        for degree in degrees
    ]
    landing = line.notes[len(degrees) :]
    for note in landing:
        over = line.progression.chord_at(note.start).chord
        labels.append((degrees_over(over, [note.pitch.note])[0].pretty,))
        marks.append(LANDING)
    page = replace(line, notes=tuple(_octaves_up(note, reader.octaves) for note in line.notes))
    return staff_of_line(heard, labels=tuple(labels), marks=tuple(marks), reader=reader, page=page)


def _octaves_up(note: TimedNote, octaves: int) -> TimedNote:
    """Return a note so many octaves higher."""
    pitch = note.pitch
    return replace(note, pitch=replace(pitch, octave=pitch.octave + octaves))
