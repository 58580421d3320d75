"""Landings: how a line meets each change of chord."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.harmony.chord_families import CHORD_TONE
from theorykit.harmony.wording import STEPS, ordinal
from theorykit.lines.placed import PlacedNote, beat_words, over
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.tunes.progression import PLAIN_PULSE, PlacedChord, Progression

NEAR = Fraction(1)  # beats after a change within which a chord tone still meets it
_WIDE = {7: "a fifth", 8: "a minor sixth", 9: "a major sixth", 10: "a minor seventh",
         11: "a major seventh", 12: "an octave"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Landing:
    """How a line comes into a chord.

    ``last`` is the last note before the change and ``first`` the first that sounds after it, or
    None; ``degree`` is what ``first`` is over the new chord; ``semitones`` the step between them,
    0 for a note that is held; ``beat`` counts from 1 in the bar; ``meets`` tells whether a chord
    tone of the new chord sounds within a beat of the change.
    """

    chord: PlacedChord
    last: PlacedNote | None
    first: PlacedNote | None
    degree: Degree | None
    semitones: int
    beat: Fraction
    held: bool
    meets: bool

    @property
    def strength(self) -> int:
        """How strong the place is on which the line lands, 0 off the beat to 3."""
        return self.first.strength if self.first is not None else 0

    @property
    def is_at_once(self) -> bool:
        """True where a chord tone of the new chord sounds at the change itself."""
        return (
            self.first is not None
            and self.first.note.start <= self.chord.start
            and over(self.chord.chord, self.first.midi)[1] == CHORD_TONE
        )

    @property
    def words(self) -> str:
        """The landing in a clause."""
        name = self.chord.chord.pretty
        if self.first is None or self.degree is None:
            return f"into {name} the line rests"
        goal = f"the {ordinal(self.degree)} of {name}"
        pitch = self.first.note.pitch.note.pretty
        if self.held:
            return f"{pitch} is held into {name}, where it is the {ordinal(self.degree)}"
        if self.last is None:
            return f"the line comes in on {pitch}, {goal}, on {self.first.place}"
        before = self.last.note.pitch.note.pretty
        way = interval_words(self.semitones)
        arrival = f"to {pitch}, {goal}" if self.semitones else f"as {goal}"
        return f"{before} {way} {arrival}, on {self.first.place}"


def interval_words(semitones: int) -> str:
    """Say how a line moves, by half steps.

    >>> interval_words(-1), interval_words(7), interval_words(0), interval_words(-14)
    ('falls a half step', 'rises a fifth', 'comes again', 'falls more than an octave')
    """
    if semitones == 0:
        return "comes again"
    size = STEPS.get(abs(semitones)) or _WIDE.get(abs(semitones)) or "more than an octave"
    return f"{'rises' if semitones > 0 else 'falls'} {size}"


def place_words(start: Fraction, over: Progression) -> str:
    """Say in which bar of a progression and on which beat a note starts.

    >>> from theorykit.tunes.progression import two_five_one
    >>> place_words(Fraction(13, 2), two_five_one("Db"))
    'bar 2, the and of 3'
    """
    bars = over.bar_starts
    bar = bisect_right(bars, start, hi=len(bars) - 1)
    if start < 0:
        bar, start = 1, bars[1] + start
        named = "pickup"
    else:
        start -= bars[bar - 1]
        named = f"bar {bar}"
    pulse = over.bars[bar - 1].pulse
    return f"{named}, {beat_words(start / pulse + 1, compound=pulse != PLAIN_PULSE)}"


def landings(chords: Sequence[PlacedChord], notes: Sequence[PlacedNote]) -> tuple[Landing, ...]:
    """Return how the notes come into every chord but the first, in order."""
    found, at = [], 0
    for chord in chords[1:]:
        while at < len(notes) and notes[at].note.start < chord.start:
            at += 1
        if not chord.chord.is_silent:
            found.append(_landing(chord, notes, at))
    return tuple(found)


def _landing(chord: PlacedChord, notes: Sequence[PlacedNote], at: int) -> Landing:
    """Return how the notes come into one chord; ``at`` is the first that starts over it."""
    last = notes[at - 1] if at else None
    held = last is not None and last.note.end > chord.start
    later = notes[at] if at < len(notes) and notes[at].note.start < chord.end else None
    first = last if held else later
    if first is None:
        return Landing(chord, last, None, None, 0, Fraction(1), False, False)
    joined = last is not None and not held and first.follows
    semitones = first.midi - last.midi if joined and last else 0
    return Landing(
        chord,
        last if joined or held else None,
        first,
        over(chord.chord, first.midi)[0],
        semitones,
        first.beat,
        held,
        _meets(chord.chord, chord.start, notes[max(0, at - 1) : at + 4]),
    )


def _meets(chord: Chord, start: Fraction, notes: Sequence[PlacedNote]) -> bool:
    """Tell whether one of the notes is a chord tone that sounds within a beat of the change."""
    return any(
        over(chord, note.midi)[1] == CHORD_TONE
        for note in notes
        if note.note.start <= start + NEAR and note.note.end > start
    )
