"""Landings: how a line meets each change of chord."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.harmony.chord_families import ALTERATION, CHORD_TONE, RUB, TENSION
from theorykit.harmony.wording import STEPS, ordinal
from theorykit.lines.placed import OFF_BEAT, PlacedNote, beat_words, over
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.note import Note
from theorykit.tunes.progression import PLAIN_PULSE, PlacedChord, Progression

STEP = 2  # half steps: the widest step
NEAR = Fraction(1)  # beats after a change within which a chord tone still meets it
_WIDE = {7: "a fifth", 8: "a minor sixth", 9: "a major sixth", 10: "a minor seventh",
         11: "a major seventh", 12: "an octave"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Landing:
    """How a line comes into a chord.

    ``last`` is the last note before the change and ``first`` the first that sounds after it, or
    None; ``degree`` is what ``first`` is over the new chord; ``semitones`` the step between them,
    0 for a note that is held; ``beat`` counts from 1 in the bar; ``meets`` tells whether a chord
    tone of the new chord sounds within a beat of the change; ``fits`` whether ``first`` is a tone
    or a tension of it; ``clashes`` whether it is neither, is heard on a beat, and leads to no tone
    by a half step.
    """

    chord: PlacedChord
    last: PlacedNote | None
    first: PlacedNote | None
    degree: Degree | None
    semitones: int
    beat: Fraction
    held: bool
    meets: bool
    fits: bool = False
    clashes: bool = False

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

    @property
    def clash_words(self) -> str:
        """What clashes and the nearest chord tone, in a clause; empty where nothing clashes."""
        if not self.clashes or self.first is None or self.degree is None:
            return ""
        chord, name = self.chord.chord, self.first.note.pitch.note.pretty
        degree, tone = nearest_tone(chord, self.first.midi)
        where = (
            f"{name}, held into {chord.pretty}, clashes with it"
            if self.held
            else f"{name} on {self.first.place} clashes with {chord.pretty}"
        )
        is_its = f"as its {ordinal(self.degree)}"
        return f"{where}, {is_its}: try {tone.pretty}, its {ordinal(degree)}"


def nearest_tone(chord: Chord, midi: int | None) -> tuple[Degree, Note]:
    """Return the chord tone nearest to a pitch, the 3rd and 7th first; without one, the first.

    >>> [str(one) for one in nearest_tone(Chord.parse("Ebmaj7"), 66)]
    ['3', 'G']
    """
    tones = [(degree, above(chord.root, degree)) for degree in chord.degrees if degree.number <= 7]

    def far(tone: tuple[Degree, Note]) -> tuple[int, bool]:
        way = 0 if midi is None else abs(shortest_way(midi, tone[1]))
        return way, tone[0].number not in (3, 7)

    return min(tones, key=far)


def shortest_way(midi: int, note: Note) -> int:
    """Return the shortest way in half steps from a pitch to a note in any octave."""
    return (note.semitone - midi + 5) % 12 - 5


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
    fits = _fits(chord.chord, first.midi)
    after = notes[at if held else at + 1 : at + 3]
    leads = _leads(chord, [first, *after])
    clashes = not fits and not leads and (held or first.strength > OFF_BEAT)
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
        fits,
        clashes,
    )


def _fits(chord: Chord, midi: int) -> bool:
    """Tell whether a sound is a tone or a tension of a chord; the 11 suspends a dominant.

    >>> [_fits(Chord.parse("Ebmaj7"), midi) for midi in (67, 66, 65, 68)]  # G, G flat, F, A flat
    [True, False, True, False]
    """
    standing = over(chord, midi)[1]
    suspends = standing == RUB and chord.kind.is_dominant
    return suspends or standing in (CHORD_TONE, TENSION, ALTERATION)


def _leads(chord: PlacedChord, notes: Sequence[PlacedNote]) -> bool:
    """Tell whether a note leads to a tone of a chord: by a half step, or closing in on it."""
    joined = [notes[0]]
    for note in notes[1:3]:
        if not note.follows or note.note.start >= chord.end:
            break
        joined.append(note)
    tones = [over(chord.chord, note.midi)[1] == CHORD_TONE for note in joined]
    steps = [note.midi - notes[0].midi for note in joined]
    if len(joined) > 1 and tones[1] and abs(steps[1]) == 1:
        return True
    if len(joined) < 3 or not tones[2]:
        return False
    around = steps[2], steps[2] - steps[1]
    return around[0] * around[1] < 0 and max(map(abs, around)) <= STEP


def _meets(chord: Chord, start: Fraction, notes: Sequence[PlacedNote]) -> bool:
    """Tell whether one of the notes is a chord tone that sounds within a beat of the change."""
    return any(
        over(chord, note.midi)[1] == CHORD_TONE
        for note in notes
        if note.note.start <= start + NEAR and note.note.end > start
    )
