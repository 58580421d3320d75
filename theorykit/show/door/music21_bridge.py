"""Things as music21 has them, and back: spelling kept, flats as it writes them."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note, Pitch
from theorykit.show.door.saved import score_xml
from theorykit.show.files import open_line
from theorykit.tunes.progression import Progression
from theorykit.views.keyboard import LOWEST_ROOT
from theorykit.views.things import Thing, thing

OCTAVE = 12
INSIDE, TENSIONS = (3, 5, 7), (2, 4, 6)
WANT = "want a note, a pitch, a chord, a chord symbol or a score of music21"


def score_of(given: Thing | Note | Pitch | str) -> Any:
    """Return a thing as music21 has it."""
    from music21 import converter, note, pitch

    if isinstance(given, Note):
        return note.Note(_named(given))
    if isinstance(given, Pitch):
        return pitch.Pitch(f"{_named(given.note)}{given.octave}")
    one = thing(given)
    if isinstance(one, Chord):
        return _chord(one)
    return converter.parseData(score_xml(one), format="musicxml")


def _named(name: Note) -> str:
    """Return a name with flats as music21 writes them."""
    return str(name).replace("b", "-")


def _chord(one: Chord) -> Any:
    """Return a chord with its notes from the root up, below it a foreign bass."""
    from music21 import chord, pitch

    low = Pitch.at_or_above(one.root, LOWEST_ROOT)
    climbing = [Pitch.numbered(name, low.midi + degree.semitones)
                for name, degree in zip(one.notes, one.degrees, strict=True)]  # fmt: skip
    if one.bass is not None:
        climbing.insert(0, Pitch.at_or_above(one.bass, LOWEST_ROOT - OCTAVE))
    found = chord.Chord([f"{_named(p.note)}{p.octave}" for p in climbing])
    if climbing:
        found.root(pitch.Pitch(_named(one.root)))
    return found


def value_of(found: Any, over: Progression | None) -> Note | Pitch | Chord | Line:
    """Return what music21 has as a value of ours."""
    from music21 import chord, harmony, note, pitch, stream

    if isinstance(found, (Note, Pitch, Chord, Line)):
        return found
    if isinstance(found, pitch.Pitch):
        name = Note.parse(found.name.replace("-", "b"))
        return name if found.octave is None else Pitch(name, found.octave)
    if isinstance(found, note.Note):
        return value_of(found.pitch, over)
    if isinstance(found, harmony.ChordSymbol):
        return Chord.parse(found.figure.replace("-", "b"))
    if isinstance(found, chord.Chord):
        return _read_chord(found)
    if isinstance(found, stream.Stream):
        return _read_score(found, over)
    raise TheoryError(f"nothing that can be read: {shown(found)} ({WANT})")


def _read_chord(found: Any) -> Chord:
    """Return a chord by its root, what stands above it, and a bass that is another note."""
    pitches = [(Note.parse(p.name.replace("-", "b")), int(p.midi)) for p in found.pitches]
    if not pitches:
        raise TheoryError(f"a chord without notes: {shown(found)} ({WANT})")
    root = Note.parse(found.root().name.replace("-", "b"))
    low = next(midi for note, midi in pitches if note == root)
    bass = pitches[0][0]
    above = [_degree(root, note, midi - low) for note, midi in pitches if midi >= low]
    under = _degree(root, bass, 0)
    if bass != root and under.number in INSIDE and under.number not in {d.number for d in above}:
        above.append(under)
    return Chord(root, ChordKind.of(above), None if bass == root else bass)


def _degree(root: Note, note: Note, distance: int) -> Degree:
    """Return what a note is above a root, a tension where it lies more than an octave above it."""
    number = (note.step - root.step) % 7 + 1
    natural = Degree(number).semitones
    off = ((note.semitone - root.semitone - natural) + 6) % 12 - 6
    is_tension = distance > OCTAVE and number in TENSIONS
    return Degree(number + 7 * is_tension, off)


def _read_score(found: Any, over: Progression | None) -> Line:
    """Return the melody of a score, by way of the file that music21 writes."""
    from music21.musicxml.m21ToXml import GeneralObjectExporter

    with TemporaryDirectory() as folder:
        file = Path(folder) / "score.musicxml"
        file.write_bytes(GeneralObjectExporter(found).parse())
        return open_line(file, over=over).line
