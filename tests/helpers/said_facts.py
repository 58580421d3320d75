"""What sentences of judges say of notes and degrees, checked by the intervals of music21."""

import re
from collections.abc import Iterator
from functools import cache

from music21 import interval, pitch

NOTE, DEGREE = r"[A-G][♭♯]*", r"(?:natural |major )?[♭♯]*\d+(?:st|nd|rd|th)?|root"
CHORD = r"[A-G][♭♯]*(?:maj7|m7♭5|m7|m6|7)?"
OF_NOTE = re.compile(rf"({NOTE}),? is the ({DEGREE}) of ({CHORD})\b")
OF_DEGREE = re.compile(rf"[Tt]he ({DEGREE}) of ({CHORD}) is ({NOTE})")
LISTED = re.compile(
    rf"Over ({CHORD}), ({NOTE}) (major|minor) triad is ({DEGREE}), ({DEGREE}) and ({DEGREE})"
)
TRIADS = {"major": ("P1", "M3", "P5"), "minor": ("P1", "m3", "P5")}
# Half steps of the unaltered degrees above a root (common practice: those of the major scale).
PLAIN = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11, 9: 2, 11: 5, 13: 9}


def _pitch(name: str) -> pitch.Pitch:
    """A note of a sentence as music21 has it."""
    return pitch.Pitch(name.replace("♭", "-").replace("♯", "#"))


@cache
def apart(low: str, high: str) -> int:
    """How many half steps a note lies above another, within the octave."""
    return int(interval.Interval(_pitch(low), _pitch(high)).semitones) % 12


@cache
def half_steps(degree: str) -> int:
    """How many half steps a degree says, within the octave."""
    plain = degree.removeprefix("natural ").removeprefix("major ").replace("root", "1")
    number = int(re.sub(r"\D", "", plain))
    return (PLAIN[number] + plain.count("♯") - plain.count("♭")) % 12


def _root(chord: str) -> str:
    """The root of a chord symbol."""
    return re.match(NOTE, chord)[0]  # type: ignore[index]


def facts(words: str) -> Iterator[tuple[str, bool]]:
    """Each claim that a sentence makes, and whether music21 agrees."""
    for note, degree, chord in OF_NOTE.findall(words):
        yield f"{note} {degree} {chord}", apart(_root(chord), note) == half_steps(degree)
    for degree, chord, note in OF_DEGREE.findall(words):
        yield f"{degree} {chord} {note}", apart(_root(chord), note) == half_steps(degree)
    for chord, note, quality, *degrees in LISTED.findall(words):
        tones = [_pitch(note).transpose(step).name for step in TRIADS[quality]]
        ours = [half_steps(degree) for degree in degrees]
        theirs = [apart(_root(chord), tone.replace("-", "♭")) for tone in tones]
        yield f"{note} {quality} over {chord}", ours == theirs
