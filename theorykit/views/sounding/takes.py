"""The player of a page: takes of the band, and each note with the moments at which it sounds.

A page plays by itself: it is told when each note begins and ends at any tempo, which part plays it,
where bars begin, and which picture of a note it belongs to. It knows no theory.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.lines.band import Moment, moments, pace, paced
from theorykit.lines.parts import PART_NAMES, Performance, Sounding

SLOWEST, FASTEST = 40, 320  # beats a minute between which a page plays
STEP = 5  # beats a minute between two rows of a curve
BAR = Fraction(4)  # beats, where no count-in tells how many


@dataclass(frozen=True, slots=True)
class Take:
    """Something to be played, and what it is called.

    With ``as_players_do`` its swing follows the tempo. ``bar`` is the length of its bars in
    quarters, ``pulse`` of what its tempo counts. With ``loops`` it is made to go round. Where it
    ``is_seen`` the notes of its line are those of the staff on the page; ``keys`` then has the key
    of the keyboard for each pitch class. ``key`` is the name of its key, where it travels. Each of
    its ``sections`` has a name, a first and a last bar, from 0.
    """

    label: str
    performance: Performance
    as_players_do: bool = False
    bar: Fraction = Fraction(4)
    pulse: Fraction = Fraction(1)
    loops: bool = False
    is_seen: bool = False
    keys: tuple[int, ...] = ()
    key: str = ""
    sections: tuple[tuple[str, int, int], ...] = ()

    @classmethod
    def of(cls, label: str, performance: Performance, *, loops: bool = False) -> Take:
        """Return a performance as a page plays it; its bars are as long as that of its count-in.

        >>> from theorykit.lines.band import performance
        >>> from theorykit.tunes.progression import two_five_one
        >>> Take.of("C", performance(None, two_five_one("C"))).bars
        (0.0, 4.0, 8.0)
        """
        parts = performance.parts
        clicks = sorted(note.start for part in parts for note in part.notes if note.counts_in)
        bar = 2 * clicks[-1] - clicks[-2] if len(clicks) > 1 else BAR  # a bar of clicks, all alike
        return cls(label, performance, bar=bar, loops=loops)

    @property
    def count(self) -> Fraction:
        """How long the count-in is, in beats; it fills whole bars."""
        clicks = [n.start + n.beats for p in self.performance.parts for n in p.notes if n.counts_in]
        last = max(clicks, default=Fraction(0))
        return -(-last // self.bar) * self.bar

    @property
    def bars(self) -> tuple[float, ...]:
        """Where its bars begin, in beats after the count-in."""
        body = self.performance.beats - self.count
        return tuple(float(self.bar * number) for number in range(-(-body // self.bar)))


@dataclass(frozen=True, slots=True)
class TakeNote:
    """One note of a take; ``mark`` is its place on the staff and ``key`` its key on the keyboard.

    They are -1 where it is not seen.
    """

    part: str
    program: int | None
    note: Sounding
    begins: Moment
    ends: Moment
    mark: int = -1
    key: int = -1


def notes_of(take: Take) -> Iterator[TakeNote]:
    """Yield the notes of a take in the order in which they are written.

    >>> from theorykit.lines.band import performance
    >>> from theorykit.tunes.progression import two_five_one
    >>> take = Take("C", performance(None, two_five_one("C"), tempo=100), as_players_do=True)
    >>> first = next(notes_of(take))
    >>> first.part, first.note.counts_in, str(take.count), take.bars
    ('drums', True, '4', (0.0, 4.0, 8.0))
    """
    played = take.performance
    found = []
    for part in played.parts:
        for place, note in enumerate(part.notes):
            begins, ends = moments(played, part, note, as_players_do=take.as_players_do)
            seen = take.is_seen and part.name == PART_NAMES[0]
            key = take.keys[note.midi % 12] if seen and take.keys else -1
            mark = place if seen else -1
            found.append(TakeNote(part.name, part.program, note, begins, ends, mark, key))
    yield from sorted(found, key=lambda one: one.note.start)


def curve(take: Take) -> tuple[tuple[float, float], ...]:
    """Return the pace of a take at every ``STEP`` from ``SLOWEST`` to ``FASTEST``.

    >>> from theorykit.lines.parts import Performance
    >>> curve(Take("", Performance((), Fraction(4), swing=3.0)))[:2]
    ((0.75, 0.0), (0.75, 0.0))
    """
    tempos = range(SLOWEST, FASTEST + STEP, STEP)
    paces = (pace(take.performance, t, as_players_do=take.as_players_do) for t in tempos)
    return tuple((round(one.off_beat, 6), round(one.late, 3)) for one in paces)


def heard_take(take: Take, tempo: float, levels: Mapping[str, float]) -> Performance:
    """Return what is heard of a take at a tempo: a part whose level is 0 is not.

    A part that is soft is struck more softly: what is heard goes with the square of that. The
    clicks of the count-in stay.

    >>> from theorykit.lines.band import performance
    >>> from theorykit.tunes.progression import two_five_one
    >>> take = Take("C", performance(None, two_five_one("C")))
    >>> [part.name for part in heard_take(take, 90, {"piano": 0, "bass": 0.25}).parts]
    ['bass', 'drums']
    """
    quarters = tempo * float(take.pulse)
    played = paced(take.performance, quarters, as_players_do=take.as_players_do)
    parts = []
    for part in played.parts:
        level = levels.get(part.name, 1)
        notes = tuple(
            note if note.counts_in else replace(note, loudness=_softer(note.loudness, level))
            for note in part.notes
            if level > 0 or note.counts_in
        )
        parts.append(replace(part, notes=notes))
    return replace(played, parts=tuple(part for part in parts if part.notes))


def _softer(loudness: int, level: float) -> int:
    """Return the loudness of a note at a level."""
    return max(1, round(loudness * math.sqrt(level)))
