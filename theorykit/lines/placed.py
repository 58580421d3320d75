"""Placed notes: each note of a line with its chord, degree, beat and neighbours."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.harmony.chord_families import CHORD_TONE, standings
from theorykit.harmony.tensions import degree_names
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.tunes.progression import PLAIN_PULSE, PlacedChord, Progression

__all__ = [
    "OFF_BEAT",
    "PlacedNote",
    "beat_strength",
    "beat_words",
    "is_triad",
    "merged_chords",
    "placed_notes",
    "repeats_by_accident",
]

OFF_BEAT, WEAK_BEAT, HALF_BAR, DOWNBEAT = range(4)
BREATH = Fraction(1)  # a rest of a beat and more parts two phrases


@dataclass(frozen=True, slots=True)
class PlacedNote:
    """A note and what it is where it stands.

    ``degree`` is None over N.C.; ``standing`` is a word of ``lines.chord_scale`` or empty;
    ``beat`` is counted from 1 in its bar, ``pulse`` quarters each, ``bar`` from 0; ``strength``
    goes from 0, off the beat, to 3, the first of the bar; ``follows`` tells whether the note before
    belongs to the same phrase; ``next_chord`` is None at the end.
    """

    note: TimedNote
    midi: int
    chord: PlacedChord
    degree: Degree | None
    standing: str
    bar: int
    beat: Fraction
    pulse: Fraction
    strength: int
    follows: bool
    next_chord: PlacedChord | None

    @property
    def place(self) -> str:
        """Where it begins in its bar, in words."""
        return beat_words(self.beat, compound=self.pulse != PLAIN_PULSE)

    @property
    def is_chord_tone(self) -> bool:
        """True for a root, third, fifth, sixth or seventh of the chord."""
        return self.standing == CHORD_TONE


def beat_words(beat: Fraction, *, compound: bool = False) -> str:
    """Say a place in a bar, counted from 1; no two places have the same words.

    In ``compound`` time, such as 6/8, a beat is a dotted quarter of three eighths (common
    practice).

    >>> beat_words(Fraction(3)), beat_words(Fraction(5, 2)), beat_words(Fraction(5, 3))
    ('beat 3', 'the and of 2', 'the third of the triplet on beat 1')
    >>> beat_words(Fraction(2), compound=True), beat_words(Fraction(5, 3), compound=True)
    ('beat 2', 'the third eighth of beat 1')
    """
    whole, part = divmod(beat, 1)
    if not part:
        return f"beat {whole}"
    names = _COMPOUND if compound else _PARTS
    return names.get(part, f"{part} of a beat after beat {{}}").format(whole)


_PARTS = {
    Fraction(1, 2): "the and of {}",
    Fraction(1, 4): "the second sixteenth of beat {}",
    Fraction(3, 4): "the last sixteenth of beat {}",
    Fraction(1, 3): "the second of the triplet on beat {}",
    Fraction(2, 3): "the third of the triplet on beat {}",
}
_COMPOUND = {
    Fraction(1, 3): "the second eighth of beat {}",
    Fraction(2, 3): "the third eighth of beat {}",
    Fraction(1, 6): "the second sixteenth of beat {}",
    Fraction(1, 2): "the fourth sixteenth of beat {}",
    Fraction(5, 6): "the last sixteenth of beat {}",
}


def beat_strength(place: Fraction, beats: Fraction) -> int:
    """Return how strong a place in a bar of so many beats is (common practice).

    >>> [beat_strength(Fraction(n, 2), Fraction(4)) for n in range(8)]
    [3, 0, 1, 0, 2, 0, 1, 0]
    """
    if not place:
        return DOWNBEAT
    if place.denominator > 1:
        return OFF_BEAT
    return HALF_BAR if beats >= 4 and place * 2 == beats else WEAK_BEAT


def merged_chords(progression: Progression) -> tuple[PlacedChord, ...]:
    """Return the chords, one that is written again at once being one chord.

    >>> from theorykit.tunes.progression import two_five_one
    >>> [str(c.chord) for c in merged_chords(two_five_one("C", "split"))]
    ['Dm7', 'G7', 'Cmaj7']
    """
    found: list[PlacedChord] = []
    for placed in progression.chords:
        if found and found[-1].chord == placed.chord:
            before = found.pop()
            placed = PlacedChord(
                before.chord, before.start, before.beats + placed.beats, before.bar
            )
        found.append(placed)
    return tuple(found)


def placed_notes(line: Line) -> tuple[PlacedNote, ...]:
    """Return every note of a line where it stands, in order."""
    chords = merged_chords(line.progression)
    starts = [chord.start for chord in chords]
    bars = line.progression.bar_starts
    begins = bars[:-1]
    found: list[PlacedNote] = []
    index = at = 0
    for note in line.notes:
        index, at = _begun(starts, index, note.start), _begun(begins, at, note.start)
        bar, place, length = _in_bar(note.start, bars, at)
        midi = note.pitch.midi
        pulse = line.progression.bars[max(bar, 0)].pulse
        found.append(
            PlacedNote(
                note,
                midi,
                chords[index],
                *over(chords[index].chord, midi),
                bar,
                place / pulse + 1,
                pulse,
                beat_strength(place / pulse, length / pulse),
                bool(found) and note.start - found[-1].note.end < BREATH,
                chords[index + 1] if index + 1 < len(chords) else None,
            )
        )
    return tuple(found)


def _begun(starts: Sequence[Fraction], at: int, beat: Fraction) -> int:
    """Return the last of some starts that is not after a beat, looked for from ``at`` on."""
    while at + 1 < len(starts) and starts[at + 1] <= beat:
        at += 1
    return at


def _in_bar(
    start: Fraction, bars: tuple[Fraction, ...], bar: int
) -> tuple[int, Fraction, Fraction]:
    """Return the bar, the place in it and its length; a pickup stands at the end of bar -1."""
    if start.numerator < 0:
        return -1, bars[1] + start, bars[1]
    return bar, start - bars[bar], bars[bar + 1] - bars[bar]


def over(chord: Chord, midi: int) -> tuple[Degree | None, str]:
    """Return what a sound is over a chord: its degree and how it stands.

    >>> degree, standing = over(Chord.parse("G7"), 68)
    >>> str(degree), standing
    ('b9', 'alteration')
    """
    if chord.is_silent:
        return None, ""
    semitone = (midi - chord.root.semitone) % 12
    return degree_names(chord)[semitone], standings(chord.kind)[semitone]


TRIADS = ({0, 4, 7}, {0, 3, 7}, {0, 3, 6}, {0, 4, 8})  # half steps above a root


def is_triad(sounds: Collection[int]) -> bool:
    """Tell whether pitch classes are those of a major, minor, diminished or augmented triad.

    >>> is_triad({4, 7, 0}), is_triad({0, 5, 7})
    (True, False)
    """
    return any({(other - root) % 12 for other in sounds} in TRIADS for root in sounds)


def repeats_by_accident(notes: Sequence[PlacedNote]) -> tuple[int, ...]:
    """Return which notes come again though they neither call nor came early, by their index.

    The two first notes of a phrase may be one; a short note right before a change of chord may be
    struck again as a tone of the new chord. The last note of a phrase comes again by accident.
    """
    return tuple(
        at
        for at in range(1, len(notes))
        if notes[at].midi == notes[at - 1].midi and notes[at].follows and not _is_meant(notes, at)
    )


def _is_meant(notes: Sequence[PlacedNote], at: int) -> bool:
    """Tell whether a note that comes again does so for a reason."""
    here, before = notes[at], notes[at - 1]
    if at == len(notes) - 1 or not notes[at + 1].follows:
        return False
    changes = here.note.start == here.chord.start
    early = changes and before.strength == OFF_BEAT and here.is_chord_tone
    return early or not before.follows
