"""Melody: what makes a line of notes one that is played, or sung, for its shape alone.

Leaps and what answers them, the climax, the first notes, notes that turn on the spot; and for a
line that is sung what singers stumble over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.chord_palette import CHORD, COLOUR, GUIDE, ChordPalette
from theorykit.lines.placed import is_triad
from theorykit.lines.text import TimedNote

BEAT, DOTTED_QUARTER = Fraction(1), Fraction(3, 2)
STEP, MINOR_THIRD, THIRD, FIFTH, MINOR_SEVENTH = 2, 3, 4, 7, 10  # half steps
NATURAL_SEVENTH, OCTAVE = 11, 12
SIXTHS = (8, 9)
TRIAD = 3  # notes
STABLE = (GUIDE, CHORD, COLOUR)
FIRST_NOTES, TWICE = 4, 2
# Notes that turn on the spot: so many in a row without a rest inside so many half steps, where so
# large a share of their moves goes back (from memory: a figure of eight notes is no wider).
ON_THE_SPOT = ((16, 7), (12, 5), (8, 4))
BACK = 1 / 3
# Notes in a row, and how many of them two pitches may not make up.
TWO_PITCHES = ((4, 4), (8, 6), (16, 9))
AUGMENTED = frozenset({0, 4, 8})


def sizes_of(notes: Sequence[TimedNote]) -> list[int]:
    """Return the moves of a line in half steps."""
    return [b.pitch.midi - a.pitch.midi for a, b in pairwise(notes)]


# === Leaps ===


def answered(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> bool:
    """Tell whether a step back follows every leap, or the leap is part of a shape with a name."""
    return all(
        abs(size) < FIFTH
        or (size * back < 0 and abs(back) <= STEP)
        or _spells(notes[at : at + 3], chords)
        for at, (size, back) in enumerate(pairwise([*sizes_of(notes), 0]))
    )


def is_calm(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> bool:
    """Tell whether each leap of a seventh or more is prepared.

    It leaves a long note, and both are tones of one chord, under which they stand.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("8th D5 C5 quarter D4", "quarter D4 8th C5 A4", "quarter C5 8th D4 F4"):
    ...     line = Line.parse(f"{text} 8th B4 A4 F4 D4 | whole E4", over)
    ...     print(is_calm(line.notes, palettes(over, None)))
    False
    True
    False
    """
    return all(
        a.beats >= BEAT
        and b.start - a.start >= preparing(b.pitch.midi - a.pitch.midi)
        and _share_a_chord(a, b, chords)
        for a, b in pairwise(notes)
        if abs(b.pitch.midi - a.pitch.midi) >= MINOR_SEVENTH
    )


def preparing(leap: int) -> Fraction:
    """Return how many beats prepare a leap, given in half steps; one that falls takes more."""
    return BEAT if leap > 0 else DOTTED_QUARTER


def _share_a_chord(a: TimedNote, b: TimedNote, chords: Sequence[ChordPalette]) -> bool:
    """Tell whether two notes are tones of one chord and stand under it."""
    return any(
        chord.placed.start <= a.start
        and b.start < chord.placed.end
        and all(chord.is_tone(note.pitch.midi % OCTAVE) for note in (a, b))
        for chord in chords
    )


def _spells(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> bool:
    """Tell whether three notes are a broken triad, or tones of the chord under the first of them.

    The triad is major, minor, diminished or augmented, out of notes of the chord or its colour.
    """
    before = [one for one in chords if one.placed.start <= notes[0].start]
    chord = before[-1] if before else chords[0]
    sounds = {note.pitch.midi % OCTAVE for note in notes}
    if len(sounds) < TRIAD:
        return False
    if all(chord.is_tone(sound) for sound in sounds):
        return True
    stable = all(chord.kinds[sound] in STABLE for sound in sounds)
    return stable and is_triad(sounds)


# === The shape of the whole ===


def one_climax(notes: Sequence[TimedNote]) -> bool:
    """Tell whether the highest note comes once; struck again at once it is still one."""
    midis = [note.pitch.midi for note in notes]
    top = [at for at, midi in enumerate(midis) if midi == max(midis)]
    return not top or top[-1] - top[0] == len(top) - 1


def begins_on_its_way(notes: Sequence[TimedNote]) -> bool:
    """Tell whether no pitch comes three times among the first four notes."""
    first = Counter(note.pitch.midi for note in notes[:FIRST_NOTES])
    return max(first.values(), default=0) <= TWICE


def turns_on_the_spot(notes: Sequence[TimedNote]) -> bool:
    """Tell whether notes run back and forth in a narrow space or between two of them, unrested.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = "8th D4 F4 E4 D4 F4 E4 G4 E4 | {} G4 E4 F4 D4 F4 E4 D4 | whole C4"
    >>> [turns_on_the_spot(Line.parse(line.format(one), two_five_one("C")).notes)
    ...  for one in ("F4", "rest")]
    [True, False]
    """
    return any(
        any(_is_narrow(part, width) for count, width in ON_THE_SPOT for part in parts(run, count))
        or any(of_two(part) >= most for count, most in TWO_PITCHES for part in parts(run, count))
        for run in _runs(notes)
    )


def parts(midis: Sequence[int], count: int) -> Iterator[Sequence[int]]:
    """Run through so many neighbours at a time."""
    return (midis[at : at + count] for at in range(len(midis) - count + 1))


def of_two(midis: Sequence[int]) -> int:
    """Return how many notes the two commonest pitches make up."""
    return sum(sorted(map(midis.count, set(midis)))[-2:])


def _runs(notes: Sequence[TimedNote]) -> list[list[int]]:
    """Return the MIDI numbers of a line from rest to rest."""
    found: list[list[int]] = []
    end = None
    for note in notes:
        if note.start != end:
            found.append([])
        found[-1].append(note.pitch.midi)
        end = note.end
    return found


def _is_narrow(midis: Sequence[int], width: int) -> bool:
    """Tell whether notes stay inside so many half steps and often go back."""
    if max(midis) - min(midis) > width:
        return False
    moving = [b - a for a, b in pairwise(midis) if a != b]
    return sum(a * b < 0 for a, b in pairwise(moving)) >= BACK * (len(midis) - 2)


def held_over_bars(notes: Sequence[TimedNote], edges: Sequence[Fraction]) -> bool:
    """Tell whether a note that comes again over a bar line came early, and is held then."""
    return all(
        b.beats >= BEAT
        for a, b in pairwise(notes)
        if a.pitch.midi == b.pitch.midi and b.start in edges and a.end == b.start
    )


# === What a singer stumbles over ===


def hard_to_sing(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> tuple[str, ...]:
    """Return what makes a line hard to sing, beside wide leaps (common practice in ear training).

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("G minor", "short")
    >>> line = Line.parse("8th A4 C5 C#5 D5 F#5 G5 Eb5 F#5 | D5 F#5 Bb5 G5 half G5", over)
    >>> for fault in hard_to_sing(line.notes, palettes(over, None)):
    ...     print(fault)
    a row of half steps
    an augmented triad
    a diminished fourth
    a leading note that is left by a leap or cancelled
    """
    sizes = sizes_of(notes)
    faults = (
        (any(a == b and abs(a) == 1 for a, b in pairwise(sizes)), "a row of half steps"),
        (any(map(_is_augmented, zip(notes, notes[1:], notes[2:], strict=False))),
         "an augmented triad"),
        (any(_is_diminished_fourth(notes, *pair) for pair in _resolving(chords)),
         "a diminished fourth"),
        (any(abs(a) in SIXTHS and not (a * b < 0 and abs(b) <= STEP) for a, b in pairwise(sizes)),
         "a sixth without a step back"),
        (not _is_led(notes, chords), "a leading note that is left by a leap or cancelled"),
        (any(_is_leaped_to(notes, chord) for chord in chords), "a leap to the natural 7 over V"),
    )  # fmt: skip
    return tuple(words for holds, words in faults if holds)


def _is_augmented(notes: Sequence[TimedNote]) -> bool:
    """Tell whether three notes are an augmented triad."""
    root = notes[0].pitch.midi
    return {(note.pitch.midi - root) % OCTAVE for note in notes} == AUGMENTED


def strained(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> int:
    """Count what a singer finds only after a while: tensions among skips, a 3rd near a #9.

    Some colours cannot be had without, so this is no fault.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for v in ("B4 Ab4 E4 F4", "B4 A4 Ab4 G4"):
    ...     line = Line.parse(f"8th D5 C5 A4 C5 {v} | whole G4", over)
    ...     print(strained(line.notes, palettes(over, colour("b9 13"))))
    1
    0
    """
    return sum(_strays(notes, chord) + _crosses(notes, chord) for chord in chords)


def _strays(notes: Sequence[TimedNote], chord: ChordPalette) -> int:
    """Count the tensions of a colour that are reached and left by skips, one a third or wider."""
    return sum(
        chord.kinds[here.pitch.midi % OCTAVE] == COLOUR
        and min(sizes) > STEP
        and max(sizes) > MINOR_THIRD
        for before, here, after in zip(notes, notes[1:], notes[2:], strict=False)
        if chord.placed.start <= here.start < chord.placed.end
        for sizes in [[abs(other.pitch.midi - here.pitch.midi) for other in (before, after)]]
    )


def _crosses(notes: Sequence[TimedNote], chord: ChordPalette) -> int:
    """Count the 3rds and #9s of a dominant within two beats of each other, not side by side."""
    if not chord.resolves:
        return 0
    root = chord.placed.chord.root.semitone
    found = [
        (at, note.start, (note.pitch.midi - root) % OCTAVE)
        for at, note in enumerate(notes)
        if chord.placed.start <= note.start < chord.placed.end
    ]
    return sum(
        {one, two} == {MINOR_THIRD, THIRD} and here - before > 1 and start - since < 2 * BEAT
        for before, since, one in found
        for here, start, two in found
    )


def _resolving(chords: Sequence[ChordPalette]) -> Iterator[tuple[ChordPalette, ChordPalette]]:
    """Run through the dominants that go on, each with the chord to which it goes."""
    return ((chord, home) for chord, home in pairwise(chords) if chord.resolves)


def _is_diminished_fourth(
    notes: Sequence[TimedNote], chord: ChordPalette, home: ChordPalette
) -> bool:
    """Tell whether a leading note and the minor 3rd of its key stand side by side, a fourth apart.

    That is the 3rd of V and its b13; over V, and over the chord before and after it. Where the
    colour has the natural 7 too, it is a broken major seventh chord, which a singer knows.
    """
    if _is_major_seventh(chord):
        return False
    tonic = home.placed.chord.root.semitone
    fourth = {(tonic - 1) % OCTAVE, (tonic + MINOR_THIRD) % OCTAVE}
    return any(
        {a.pitch.midi % OCTAVE, b.pitch.midi % OCTAVE} == fourth
        and abs(a.pitch.midi - b.pitch.midi) == THIRD
        for a, b in pairwise(notes)
        if a.start < home.placed.end and b.end > chord.placed.start
    )


def _is_led(notes: Sequence[TimedNote], chords: Sequence[ChordPalette]) -> bool:
    """Tell whether each leading note goes where a singer takes it.

    Over a dominant it is left by a step, or by a third to another tone of the chord; as the last
    note before the landing it rises, or stays as a tone of the next chord. Over a chord that has
    it not it rises by a half step. The note a half step below never cancels it.
    """
    return all(
        _may_leave(a, b, chord, home)
        for chord, home in _resolving(chords)
        for a, b in pairwise(notes)
        if chord.placed.start <= a.start < home.placed.end
        and a.pitch.midi % OCTAVE == (home.placed.chord.root.semitone - 1) % OCTAVE
    )


def _is_leaped_to(notes: Sequence[TimedNote], v: ChordPalette) -> bool:
    """Tell whether the natural 7 over a dominant comes by more than a third."""
    placed = v.placed
    sound = (placed.chord.root.semitone + NATURAL_SEVENTH) % OCTAVE
    return placed.chord.kind.is_dominant and any(
        b.pitch.midi % OCTAVE == sound and abs(b.pitch.midi - a.pitch.midi) > THIRD
        for a, b in pairwise(notes)
        if placed.start <= b.start < placed.end
    )


def _may_leave(a: TimedNote, b: TimedNote, chord: ChordPalette, home: ChordPalette) -> bool:
    """Tell whether a leading note, over a dominant or the chord it goes to, may go to a note."""
    size = b.pitch.midi - a.pitch.midi
    if size == -1:
        return False
    if a.start >= home.placed.start:
        return size == 1 or home.is_tone(a.pitch.midi % OCTAVE)
    if b.start >= home.placed.start:
        return size in (0, 1)
    sound = b.pitch.midi % OCTAVE
    known = chord.is_tone(sound) or (_is_major_seventh(chord) and sound in chord.hallmarks)
    return abs(size) <= STEP or (abs(size) <= THIRD and known)


def _is_major_seventh(chord: ChordPalette) -> bool:
    """Tell whether a colour has the natural 7: from its 3rd it is a major seventh chord."""
    return (chord.placed.chord.root.semitone + NATURAL_SEVENTH) % OCTAVE in chord.hallmarks
