"""The notes of a part of a score as they sound, out of plain XML, each measure once.

A measure is gone through once, whatever stands in it: nothing in a file makes this take longer
than its elements are many. Sources: MusicXML 4.0 (``note``, ``backup``, ``forward``, ``tie``,
``transpose``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError, shown
from theorykit.notes.degree import spell_near
from theorykit.notes.note import Note, Pitch
from theorykit.show.files.score_parts import ScorePart, check_size, duration_of, time_of

COMMON = (4, 4)  # where the file has no time signature
MOST_NOTES = 6_000  # of one part
MOST_ALTERED = 3  # half steps
HIGHEST_OCTAVE = 10
C = Note("C")


@dataclass(frozen=True, slots=True)
class Sound:
    """A note in its measure: where it starts and how long it is, in quarter notes, and its pitch.

    Notes that are tied are one. ``is_odd`` tells that it was written between two half steps.
    """

    start: Fraction
    beats: Fraction
    pitch: Pitch
    is_grace: bool = False
    is_odd: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: where it starts, how long it is, how far its own notes go, its notes."""

    start: Fraction
    beats: Fraction
    filled: Fraction
    sounds: tuple[Sound, ...]


@dataclass(frozen=True, slots=True)
class _Move:
    """What a part's ``<transpose>`` asks for: what a written C sounds as, and half steps."""

    sounding: Note = C
    semitones: int = 0

    def pitch(self, written: Pitch) -> Pitch:
        """Return a written pitch as it sounds."""
        if not self.semitones and self.sounding == C:
            return written
        midi = written.midi + self.semitones
        try:
            return Pitch.numbered(written.note.moved(C, self.sounding), midi)
        except TheoryError:  # a name with more accidentals than a page can hold
            return Pitch.numbered(spell_near(midi % 12, written.note), midi)


def measures_of(part: ScorePart) -> tuple[list[Measure], bool]:
    """Return the measures of a part, the first of them before beat 0 if it is a pickup."""
    check_size(part.element)
    elements = part.element.findall("measure")
    if part.notes > MOST_NOTES:
        raise TheoryError(f"{part.notes:,} notes in one part (want at most {MOST_NOTES:,})")
    if not elements:
        raise TheoryError("no music in this file: the part has no measure")
    reader = _Reader()
    found = [reader.measure(element) for element in elements]
    first = found[0]
    pickup = 0 < first.filled < first.beats
    if pickup:
        found[0] = replace(first, beats=first.filled)
    if pickup and len(found) == 1:
        raise TheoryError("a pickup and no bar after it (want at least one whole bar)")
    start = -first.filled if pickup else Fraction(0)
    for place, measure in enumerate(found):
        sounds = (reader.whole(sound) for sound in measure.sounds)
        found[place] = replace(measure, start=start, sounds=tuple(sounds))
        start += measure.beats
    return found, pickup


class _Reader:
    """Goes through the measures of a part, and remembers what holds from one to the next."""

    def __init__(self) -> None:
        self.time = COMMON
        self.divisions = Fraction(1)
        self.move = _Move()
        self.at = Fraction(0)  # where the measure begins, counted by what the others hold
        self.tied: dict[int, tuple[Fraction, Sound]] = {}  # by MIDI number: its end, and the note
        self.longer: dict[int, Fraction] = {}  # by identity: what a note gets from later ones

    def measure(self, element: Element) -> Measure:
        """Return one measure; ties may still make its notes longer."""
        self.time = time_of(element, self.time)
        here = before = filled = Fraction(0)
        sounds: list[Sound] = []
        for one in element:
            if one.tag == "attributes":
                self.attributes(one)
            elif one.tag == "backup":
                here = max(here - self.length(one), Fraction(0))
            elif one.tag == "forward":
                here += self.length(one)
            elif one.tag == "note":
                begins = before if one.find("chord") is not None else here
                before, here = begins, max(here, begins + self.length(one))
                sounds += self.sound(one, begins)
            filled = max(filled, here)
        self.at += filled
        whole = Fraction(4 * self.time[0], self.time[1])
        return Measure(Fraction(0), whole, filled, tuple(sounds))

    def attributes(self, element: Element) -> None:
        """Note down the divisions of a quarter and the transposition."""
        self.divisions = duration_of(element, "divisions") or self.divisions
        if element.find("transpose") is not None:
            self.move = _move(element)

    def length(self, element: Element) -> Fraction:
        """Return how long an element is, in quarter notes; a grace note has no length."""
        return duration_of(element) / self.divisions

    def sound(self, note: Element, start: Fraction) -> Iterator[Sound]:
        """Return the sound of a note; nothing for a rest, for drums, or where a tie goes on."""
        written = note.find("pitch")
        if written is None:
            return
        pitch, is_odd = _pitch(written)
        grace = note.find("grace") is not None
        beats = Fraction(0) if grace else self.length(note)
        made = Sound(start, beats, self.move.pitch(pitch), grace, is_odd)
        ties = set() if grace else set(_ties(note))
        midi = made.pitch.midi
        end, begun = self.tied.pop(midi, (None, None)) if "stop" in ties else (None, None)
        if begun is not None and end == self.at + start:
            self.longer[id(begun)] = self.longer.get(id(begun), Fraction(0)) + beats
        else:  # the first of its notes, or a tie that comes from nowhere
            begun = made
            yield made
        if "start" in ties:
            self.tied[midi] = self.at + start + beats, begun

    def whole(self, sound: Sound) -> Sound:
        """Return a sound with what ties give it."""
        return replace(sound, beats=sound.beats + self.longer.get(id(sound), Fraction(0)))


def _ties(note: Element) -> Iterator[str]:
    """Return how the ties of a note go on, as they sound or as they are drawn."""
    ties: Iterable[Element] = note.findall("tie") or note.findall("notations/tied")
    return (tie.get("type", "") for tie in ties)


def _pitch(element: Element) -> tuple[Pitch, bool]:
    """Return a written pitch, and whether it lies between two half steps."""
    step = (element.findtext("step") or "").strip()
    octave = (element.findtext("octave") or "").strip()
    alter = _alter(element.findtext("alter") or "0")
    if not octave.isdecimal() or len(octave) > 2 or int(octave) > HIGHEST_OCTAVE:
        raise TheoryError(f"no octave: {shown(octave)} (want 0 to {HIGHEST_OCTAVE - 1})")
    return Pitch(Note(step, int(alter)), int(octave)), alter != int(alter)


def _alter(text: str) -> float:
    """Read the half steps of an accidental; quarter tones are halves."""
    try:
        alter = float(text) if len(text) < 16 else MOST_ALTERED + 1.0
    except ValueError:
        alter = MOST_ALTERED + 1.0
    if not abs(alter) < MOST_ALTERED:
        raise TheoryError(f"no accidental: {shown(text)} (want half steps, -2 to 2)")
    return alter


def _move(element: Element) -> _Move:
    """Return the transposition that stands in an element."""
    chromatic = _whole(element.findtext(".//transpose/chromatic"))
    octaves = _whole(element.findtext(".//transpose/octave-change"))
    return _Move(written_c(element), chromatic + 12 * octaves)


def written_c(element: Element) -> Note:
    """Return what a written C sounds as, by the part's ``<transpose>``."""
    letters = _whole(element.findtext(".//transpose/diatonic"))
    halves = _whole(element.findtext(".//transpose/chromatic"))
    natural = Note("CDEFGAB"[letters % 7])
    return Note(natural.letter, (halves - natural.semitone + 6) % 12 - 6)


def _whole(text: str | None) -> int:
    """Read a whole number of steps; what is none counts as 0."""
    plain = (text or "0").strip().removesuffix(".0")
    is_number = plain.removeprefix("-").isdecimal() and len(plain) < 6
    return int(plain) if is_number else 0
