"""First sight: what stops one who reads a line from the page or sings it, as the writer finds it.

What trips the eye on any page is in ``lines.text``; here stands what depends on a wish, and a guess
that takes no time.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from theorykit.lines.chord_palette import ChordPalette
from theorykit.lines.text import TimedNote, carries_on, half_step_name
from theorykit.notes.note import Note, Pitch

THIRD = Fraction(1, 3)  # of a beat
STEP, TRITONE, OCTAVE = 2, 6, 12  # half steps
# The half steps of a plain interval by the letters between its notes: perfect, major or minor.
PLAIN = ((0,), (1, 2), (3, 4), (5,), (7,), (8, 9), (10, 11))


def changes_form(notes: Iterable[TimedNote]) -> int:
    """Return how often two notes side by side are on one letter with other signs.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> changes_form(Line.parse("8th D5 F5 F#5 A5 B4 C5 C#5 B4 | whole C5", over).notes)
    2
    """
    pairs = pairwise(note.pitch.note for note in notes)
    return sum(a.letter == b.letter and a != b for a, b in pairs)


def strange_to_sing(notes: Sequence[TimedNote]) -> int:
    """Return what a singer stops at on the page: strange intervals in triplets, doubtful letters.

    Strange are augmented and diminished ones but for the tritone, also out of a triplet. One letter
    may stand there in two forms.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for v in ("B4 F4 triplet 8th D4 E4 F4", "B4 F4 triplet 8th B4 Ab4 G4"):
    ...     print(strange_to_sing(Line.parse(f"8th D5 F5 A5 F5 {v} | whole G4", over).notes))
    0
    1
    """
    quick = [pair for pair in pairwise(notes) if pair[0].beats == THIRD]
    return sum(map(_strange_steps, quick)) + max(0, _doubtful_letters(notes) - 1)


def kinds_over(notes: Iterable[TimedNote], chords: Sequence[ChordPalette]) -> list[int]:
    """Return the kind of each note over its chord; a pickup belongs to the first one.

    >>> from theorykit.lines.chord_palette import CHROMATIC, palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("8th D5 F5 F#5 A5 B4 C5 C#5 B4 | whole C5", over)
    >>> kinds_over(line.notes, palettes(over, None)).count(CHROMATIC)
    2
    """
    starts = [chord.placed.start for chord in chords]
    at = ((max(0, bisect_right(starts, note.start) - 1), note.pitch.midi) for note in notes)
    return [chords[place].kinds[midi % OCTAVE] for place, midi in at]


def stops_a_singer(notes: Sequence[TimedNote]) -> int:
    """Return how many leaps are written as augmented or diminished: in a triplet, beyond the first.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C minor", "short")
    >>> for v in ("B4 Eb5 D5 Ab4", "B4 Eb5 B4 Ab4", "B4 F4 triplet 8th G4 B4 Ab4"):
    ...     print(stops_a_singer(Line.parse(f"8th D5 F5 Eb5 C5 {v} | whole G4", over).notes))
    0
    2
    1
    """
    leaps = [
        a.beats.denominator == THIRD.denominator
        for a, b in pairwise(notes)
        if abs(b.pitch.midi - a.pitch.midi) > STEP and _strange_steps((a, b))
    ]
    return sum(leaps) + max(0, len(leaps) - 1)


def _strange_steps(notes: Iterable[TimedNote]) -> int:
    """Return how many moves are written as augmented or diminished, but for the tritone."""
    return sum(not _is_plain(a.pitch, b.pitch) for a, b in pairwise(notes))


def _is_plain(one: Pitch, other: Pitch) -> bool:
    """Tell whether a move is written as a perfect, major or minor interval, or is a tritone."""
    low, high = sorted((one, other), key=lambda pitch: pitch.midi)
    size = (high.midi - low.midi) % OCTAVE
    return size == TRITONE or size in PLAIN[(high.note.step - low.note.step) % len(PLAIN)]


def _doubtful_letters(notes: Iterable[TimedNote]) -> int:
    """Return how many letters stand there in several forms."""
    names = {note.pitch.note for note in notes}
    return sum(times > 1 for times in Counter(name.letter for name in names).values())


def guessed_trips(names: Sequence[Note | None], midis: Sequence[int], bars: Sequence[int]) -> int:
    """Return how often notes are likely to trip the eye, before all their names are found.

    ``names`` are those of their degrees, None for a chromatic step; ``bars`` count the bars.

    >>> c, d = Note("C"), Note("D")
    >>> guessed_trips([c, None, d], [60, 61, 62], [0, 0, 0])
    0
    >>> guessed_trips([c, None, d, c], [60, 61, 62, 60], [0, 0, 0, 0])  # C C# D C
    1
    """
    last: dict[tuple[int, str], tuple[int, Note]] = {}
    found = 0
    for at, (name, bar) in enumerate(zip(names, bars, strict=True)):
        told = name if name is not None else _step_name(names, midis, at)
        if told is None:
            continue
        before, other = last.get((bar, told.letter), (at, told))
        last[bar, told.letter] = at, told
        found += other != told and not carries_on(midis, before, at)
    return found


def _step_name(names: Sequence[Note | None], midis: Sequence[int], at: int) -> Note | None:
    """Return the name of a chromatic step to the next note, if that has one."""
    goal = names[at + 1] if at + 1 < len(names) else None
    size = midis[at + 1] - midis[at] if goal is not None else 0
    return _half_step(goal, size > 0) if goal is not None and abs(size) == 1 else None


_half_step = lru_cache(maxsize=256)(half_step_name)
