"""Tripping: where the letters of a written line trip the eye, though every name is right.

One letter in several forms in a bar, a sharp beside a flat, a triad that is not written in thirds:
a player who reads at sight stops there (common practice). A half step on one letter that goes on in
its direction, as D Db C, is read at once.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations, pairwise

from theorykit.lines.text.line import Line, TimedNote
from theorykit.notes.note import Note
from theorykit.tunes.progression import Progression

FORMS = 3  # of one letter in a bar: no eye takes that in
TOGETHER = 3  # notes that are seen as one gesture
FEW = 5  # notes, in which nobody forgets a sign
BAR_OF_EIGHTHS = 8  # notes, in which nobody forgets the name of a pitch
TRIADS = ({0, 4, 7}, {0, 3, 7})  # half steps above a root
IN_THIRDS = {0, 2, 4}  # letters above a root


def trips(line: Line) -> int:
    """Return how often the letters of a line trip the eye.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for v in ("D5 Db5 C5 B4", "C5 C#5 C5 B4", "D#5 C5 G4 A4"):
    ...     print(trips(Line.parse(f"8th G5 F5 A5 F5 {v} | whole G4", over)))
    0
    1
    1
    """
    over, edges = line.progression, line.progression.bar_starts
    changes = [placed.start for placed in over.chords]
    bars: dict[int, list[TimedNote]] = {}
    for note in line.notes:
        bars.setdefault(bisect_right(edges, note.start), []).append(note)
    held = frozenset(over.key.notes)
    found = [_forms([*bar, *_after(line, bar)], len(bar), changes) for bar in bars.values()]
    found += [_mixes(bar, held) for bar in bars.values()]
    found += [_flickers(line.notes, edges), _renamed(line.notes), _torn_triads(line.notes, over)]
    return sum(found)


def _renamed(notes: Sequence[TimedNote]) -> int:
    """Return how often a pitch has another name than in the bar before, by the count of notes."""
    last: dict[int, tuple[int, Note]] = {}
    found = 0
    for at, note in enumerate(notes):
        name = note.pitch.note
        before, other = last.get(name.semitone, (at, name))
        found += other != name and at - before <= BAR_OF_EIGHTHS
        last[name.semitone] = at, name
    return found


def _flickers(notes: Sequence[TimedNote], edges: Sequence[Fraction]) -> int:
    """Return how often a letter changes its form there and back within a few notes over a bar."""
    last: dict[str, tuple[int, int]] = {}
    found = 0
    for at, note in enumerate(notes):
        name = note.pitch.note
        one, other = last.get(name.letter, (at, at))
        back = _name(notes, one) == name != _name(notes, other) and at - one <= FEW
        found += back and bisect_right(edges, notes[one].start) < bisect_right(edges, note.start)
        last[name.letter] = other, at
    return found


def _after(line: Line, bar: Sequence[TimedNote]) -> list[TimedNote]:
    """Return the note after a bar's last one."""
    return [note for note in line.notes if note.start > bar[-1].start][:1]


def _forms(notes: Sequence[TimedNote], count: int, changes: Sequence[Fraction]) -> int:
    """Return the trips over letters of several forms among the first ``count`` notes."""
    over = [bisect_right(changes, note.start) for note in notes]
    on_letter: dict[str, list[int]] = {}
    for at, note in enumerate(notes[:count]):
        on_letter.setdefault(note.pitch.note.letter, []).append(at)
    return sum(_trip(notes, places, over) for places in on_letter.values() if len(places) > 1)


def _trip(notes: Sequence[TimedNote], places: Sequence[int], over: Sequence[int]) -> int:
    """Return what one letter costs that stands at some places of a bar.

    Over another chord, and some notes later, another form is expected: A over Dm7, Ab over G7.
    """
    names = [notes[at].pitch.note for at in places]
    if len(set(names)) >= FORMS:
        return 2
    changes = [pair for pair in pairwise(places) if _name(notes, pair[0]) != _name(notes, pair[1])]
    near = [(a, b) for a, b in changes if over[a] == over[b] or b - a < TOGETHER]
    return int(len(changes) > 1 or any(not _goes_on(notes, *pair) for pair in near))


def _name(notes: Sequence[TimedNote], at: int) -> Note:
    """Return the name of the note at a place."""
    return notes[at].pitch.note


def _goes_on(notes: Sequence[TimedNote], one: int, other: int) -> bool:
    """Tell whether two notes side by side are a half step that goes on in its direction."""
    return carries_on([note.pitch.midi for note in notes[one : other + 2]], 0, other - one)


def carries_on(midis: Sequence[int], one: int, other: int) -> bool:
    """Tell whether two pitches side by side are a half step that the next one carries on.

    >>> carries_on([62, 61, 60], 0, 1), carries_on([62, 61, 62], 0, 1)
    (True, False)
    """
    size = midis[other] - midis[one]
    if other - one > 1 or abs(size) != 1:
        return False
    return other + 1 == len(midis) or (midis[other + 1] - midis[other]) * size > 0


def _mixes(bar: Sequence[TimedNote], held: frozenset[Note]) -> int:
    """Return 1 where a sharp and a flat that the key has not stand among three notes of a bar."""
    signs = [0 if n.pitch.note in held else n.pitch.note.alteration for n in bar]
    groups = (signs[at : at + TOGETHER] for at in range(len(signs)))
    return int(any(a * b < 0 for group in groups for a, b in combinations(group, 2)))


def _torn_triads(notes: Sequence[TimedNote], over: Progression) -> int:
    """Return how many major and minor triads of three notes in a row are not in thirds.

    One with the flat 9 of its chord is read all the same: E Ab B over G7 is written so everywhere.
    """
    triples = zip(notes, notes[1:], notes[2:], strict=False)
    return sum(
        is_torn([note.pitch.note for note in triple])
        and not any(_is_flat_nine(note, over) for note in triple)
        for triple in triples
    )


def _is_flat_nine(note: TimedNote, over: Progression) -> bool:
    """Tell whether a note is the flat 9 of the chord over which it begins, and written as that."""
    name, root = note.pitch.note, over.chord_at(note.start).chord.root
    return (name.step - root.step) % 7 == 1 and (name.semitone - root.semitone) % 12 == 1


def is_torn(names: Sequence[Note]) -> bool:
    """Tell whether three names sound a major or minor triad and are not written in thirds.

    >>> [is_torn([Note.parse(n) for n in text.split()]) for text in ("Eb C G", "D# C G")]
    [False, True]
    """
    for root in names:
        if {(name.semitone - root.semitone) % 12 for name in names} in TRIADS:
            return {(name.step - root.step) % 7 for name in names} != IN_THIRDS
    return False
