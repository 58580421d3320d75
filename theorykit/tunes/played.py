"""A chart as it is played: its chords in order, its sections with repeats and jumps written out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from theorykit.notes.chord import Chord
from theorykit.tunes.bars import ChartBar, Section
from theorykit.tunes.repeats import play_order

__all__ = ["PlayedChord", "played_chords", "unrolled_sections"]


@dataclass(frozen=True, slots=True)
class PlayedChord:
    """A chord where it is played.

    ``bar`` is the bar as played and ``written`` the bar on the page, both from 0; ``beat`` is the
    place in the bar, the first beat being 1; ``start`` counts the beats from the top, from 0;
    ``beats`` is the length. Beats are those of the metre: a dotted quarter in 6/8 and 12/8.
    """

    chord: Chord
    bar: int
    written: int
    beat: Fraction
    start: Fraction
    beats: Fraction


def played_chords(bars: Sequence[ChartBar]) -> Iterator[PlayedChord]:
    """Play the bars from the top."""
    start = Fraction(0)
    known: dict[int, tuple[Fraction, ...]] = {}  # the beats of each content; bars often share one
    for number, index in enumerate(play_order(bars)):
        content = bars[index].content
        found = known.get(id(content))
        if found is None:
            found = known[id(content)] = tuple(accumulate(content.lengths, initial=Fraction(1)))
        for chord, beat, beats in zip(content.chords, found, content.lengths, strict=False):
            yield PlayedChord(chord, number, index, beat, start, beats)
            start += beats


def unrolled_sections(sections: Sequence[Section]) -> tuple[Section, ...]:
    """Return the sections as played: one that comes again stands again under its name."""
    bars = [bar for section in sections for bar in section.bars]
    owner = [number for number, section in enumerate(sections) for _ in section.bars]
    parts: list[tuple[str, list[ChartBar]]] = []
    before = -1
    for index in play_order(bars):
        name = sections[owner[index]].name
        is_new = before < 0 or owner[index] != owner[before] or index <= before
        if is_new and (name or not parts):
            parts.append((name, []))
        parts[-1][1].append(replace(bars[index], opens=False, closes=0, ending=(), marks=()))
        before = index
    return tuple(Section(name, tuple(group)) for name, group in parts)
