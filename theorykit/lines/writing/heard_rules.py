"""Rules of the harmony that is heard in a written line: they read any finished line."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Collection, Sequence
from fractions import Fraction
from itertools import pairwise
from operator import attrgetter

from theorykit.lines.chord_palette import CHROMATIC, COLOUR, RUBS, ChordPalette
from theorykit.lines.text import TimedNote

BEAT = Fraction(1)
STEP = 2
MINOR_THIRD, THIRD, FIFTH = 3, 4, 7  # half steps
ALTERED_NINES = (1, 3)  # half steps above a root
# The notes of a key by half steps above its tonic: of minor as its signature says.
MAJOR_KEY = frozenset({0, 2, 4, 5, 7, 9, 11})
MINOR_KEY = frozenset({0, 2, 3, 5, 7, 8, 10})


def is_not_undone(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether nothing sounds over a chord that its colour replaces: a 3rd under an 11.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 A5 F5 D5 | whole E5", over)
    >>> is_not_undone(line.notes, palettes(over, colour("suspended"))[1])
    False
    """
    return not any(note.pitch.midi % 12 in chord.barred for note in notes_over(notes, chord))


def keeps_to_scale(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether no note outside a colour that is a scale is long, or the last over its chord."""
    over = notes_over(notes, chord)
    return not any(
        note.pitch.midi % 12 in chord.unscaled and (note.beats >= BEAT or note == over[-1])
        for note in over
    )


def is_slid_into(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether the major 3rd over a minor chord comes and goes by half step.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("8th D5 F5 F#5 G5 B5 G5 F5 D5", "8th A5 F#5 F5 D5 B4 D5 F5 D5"):
    ...     line = Line.parse(f"{text} | whole E5", over)
    ...     print(is_slid_into(line.notes, palettes(over, None)[0]))
    True
    False
    """
    return _slide(notes, chord, frozenset() if chord.sweet is None else frozenset({chord.sweet}))


def denies_nothing(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether what denies a colour only passes: short, and by half step on both sides.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C minor", "short")
    >>> v = palettes(over, colour("b9"))[1]
    >>> for text in ("B4 A4 F4 D4", "B4 Ab4 F4 E4"):
    ...     line = Line.parse(f"8th D5 F5 Ab5 C6 {text} | whole Eb4", over)
    ...     print(denies_nothing(line.notes, v))
    False
    True
    """
    short = all(
        n.beats < BEAT for n in notes_over(notes, chord) if n.pitch.midi % 12 in chord.contrary
    )
    return short and _slide(notes, chord, chord.contrary)


def hides_nothing(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether no note foreign to a colour sounds more often than a tension of the colour.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> v = palettes(over, colour("#9"))[1]
    >>> for text in ("Bb4 C#5 D5 C#5", "Bb4 G4 D5 C#5"):
    ...     line = Line.parse(f"8th D5 F5 A5 F5 {text} | whole C5", over)
    ...     print(hides_nothing(line.notes, v))
    False
    True
    """
    heard = Counter(note.pitch.midi % 12 for note in notes_over(notes, chord))
    told = [heard[sound] for sound in chord.hallmarks if chord.kinds[sound] == COLOUR]
    foreign = [n for sound, n in heard.items() if chord.kinds[sound] in (CHROMATIC, RUBS)]
    return not told or max(foreign, default=0) <= max(1, *told)


def says_dominant(notes: Sequence[TimedNote], v: ChordPalette, home: ChordPalette) -> bool:
    """Tell whether V is heard as V: by its 3rd, or by a tension foreign to the key it goes to.

    What only passes does not make a V.

    A V that its colour suspends has no 3rd, and where its colour takes all notes there is no room.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C minor", "short")
    >>> chords = palettes(over, colour("b9 b13"))
    >>> for text in ("F5 D5 Ab4 Eb5", "F5 B4 Ab4 Eb5"):
    ...     line = Line.parse(f"8th D5 F5 Ab5 C6 {text} | whole Eb5", over)
    ...     print(says_dominant(line.notes, *chords[1:]))
    False
    True
    """
    chord = v.placed.chord
    third = (chord.root.semitone + THIRD) % 12
    over = notes_over(notes, v)
    if third in v.barred or not v.is_tone(third) or len(over) <= len(v.hallmarks):
        return True
    tonic = home.placed.chord.root.semitone
    is_minor = MINOR_THIRD in {degree.semitone for degree in home.placed.chord.degrees}
    key = MINOR_KEY if is_minor else MAJOR_KEY
    sounds = {note.pitch.midi % 12 for note in over}
    tensions = {sound for sound in sounds if v.kinds[sound] == COLOUR}
    return third in sounds or not {(sound - tonic) % 12 for sound in tensions} <= key


def nines_fall(notes: Sequence[TimedNote], v: ChordPalette, home: ChordPalette) -> bool:
    """Tell whether a b9 or #9 that is the last note over V does not rise into I.

    The #9 would take the leading note back.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> chords = palettes(over, colour("b9"))
    >>> for landing in ("A4", "G4"):
    ...     line = Line.parse(f"8th D5 F5 A5 C6 B5 F5 B4 Ab4 | whole {landing}", over)
    ...     print(nines_fall(line.notes, *chords[1:]))
    False
    True
    """
    root = v.placed.chord.root.semitone
    is_v = (root - home.placed.chord.root.semitone) % 12 == FIFTH
    return not is_v or not any(
        (a.pitch.midi - root) % 12 in ALTERED_NINES and b.pitch.midi > a.pitch.midi
        for a, b in pairwise(notes)
        if v.placed.start <= a.start < home.placed.start <= b.start
    )


def falls_by_half_steps(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether no foreign note over a chord that is no dominant falls from a whole step above.

    Such a note takes the place of one of the scale, and the line seems to be in another key.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("F5 Eb5 D5 A4", "E5 Eb5 D5 A4"):
    ...     line = Line.parse(f"8th {text} B4 F5 D5 B4 | whole C5", over)
    ...     print(falls_by_half_steps(line.notes, palettes(over, None)[0]))
    False
    True
    """
    placed = chord.placed
    start = placed.start or notes[0].start  # a pickup belongs to the first chord
    return placed.chord.kind.is_dominant or not any(
        chord.kinds[here.pitch.midi % 12] == CHROMATIC
        and before.pitch.midi - here.pitch.midi == STEP
        and here.pitch.midi - after.pitch.midi == 1
        for before, here, after in zip(notes, notes[1:], notes[2:], strict=False)
        if start <= here.start < placed.end
    )


def _slide(notes: Sequence[TimedNote], chord: ChordPalette, sounds: Collection[int]) -> bool:
    """Tell whether some sounds over a chord come and go by half step."""
    if not any(note.pitch.midi % 12 in sounds for note in notes):
        return True
    placed = chord.placed
    moves = [
        (before.pitch.midi - note.pitch.midi, note)
        for pair in pairwise(notes)
        for before, note in (pair, pair[::-1])
    ]
    return all(
        abs(size) <= 1
        for size, note in moves
        if note.pitch.midi % 12 in sounds and placed.start <= note.start < placed.end
    )


def notes_over(notes: Sequence[TimedNote], chord: ChordPalette) -> list[TimedNote]:
    """Return the notes that begin while a chord sounds."""
    placed = chord.placed
    begins = bisect_left(notes, placed.start, key=attrgetter("start"))
    return list(notes[begins : bisect_left(notes, placed.end, begins, key=attrgetter("start"))])
