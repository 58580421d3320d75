"""The order of play: repeats, endings and jumps followed, chord by chord."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import accumulate

from theorykit.notes.chord import Chord
from theorykit.tunes.bars import ChartBar, Section, has_marks
from theorykit.tunes.charts.passes import Form, JumpFault, faults_of_jumps, follow_jumps

Fault = tuple[int, str]  # the written bar, and what is wrong with it


@dataclass(slots=True)
class _Ending:
    """The bars under a bracket: the passes that take it, its first bar, the bar after it."""

    numbers: tuple[int, ...]
    first: int
    after: int


@dataclass(slots=True)
class _Block:
    """A repeated stretch: its body, and then at each pass the ending with that number."""

    start: int
    body_end: int = -1
    times: int = 2
    endings: list[_Ending] = field(default_factory=list)

    @property
    def end(self) -> int:
        """The bar after the block."""
        return self.endings[-1].after if self.endings else self.body_end

    @property
    def numbers(self) -> list[int]:
        """The passes that have an ending, in climbing order."""
        return sorted(number for ending in self.endings for number in ending.numbers)

    @property
    def passes(self) -> int:
        """How often the body is played; after a lone first ending it is played once more."""
        if not self.endings:
            return self.times
        return self.numbers[-1] + (len(self.endings) == 1)

    def order(self) -> list[int]:
        """Return the bars as they are played."""
        played: list[int] = []
        for turn in range(1, self.passes + 1):
            played += self.turn(turn)
        return played

    def turn(self, number: int) -> list[int]:
        """Return the bars of one pass."""
        played = [*range(self.start, self.body_end)]
        for ending in self.endings:
            if number in ending.numbers:
                played += range(ending.first, ending.after)
        return played


def close_up(bars: Sequence[ChartBar], sections: Sequence[int]) -> list[ChartBar]:
    """Return the bars with a repeat sign wherever print leaves the first one out.

    A repeat that closes but never opened goes back to the last repeat's end or to the top of its
    section, as it is played from the page (common practice). ``sections`` are the first bars.
    """
    marked = list(bars)
    tops = set(sections)
    home, is_open = 0, False
    for index, bar in enumerate(bars):
        home = index if index in tops and not is_open else home
        is_open = is_open or bar.opens
        if (bar.closes or bar.ending) and not is_open and not _follows_ending(bars, index):
            marked[home] = replace(marked[home], opens=True)
            is_open = True
        if bar.closes:
            home, is_open = index + 1, False
    return marked


def _follows_ending(bars: Sequence[ChartBar], index: int) -> bool:
    """Tell whether an ending stands right after the bar that closes another one."""
    return bool(bars[index].ending and index and bars[index - 1].closes)


def repeat_faults(bars: Sequence[ChartBar]) -> list[Fault]:
    """Return what is wrong with the repeats of a chart, each with the bar that shows it."""
    return _walked(bars).faults


def jump_faults(bars: Sequence[ChartBar]) -> list[JumpFault]:
    """Return what is wrong with segno, coda, fine, D.C. and D.S. in a chart of sound repeats."""
    return faults_of_jumps(bars, _form(bars)) if has_marks(bars) else []


def play_order(bars: Sequence[ChartBar]) -> list[int]:
    """Return the indices of the written bars in the order played, repeats and jumps followed."""
    if has_marks(bars):
        return follow_jumps(bars, _form(bars))
    return _straight(bars, _walked(bars).blocks, _Block.order)


def _straight(
    bars: Sequence[ChartBar], blocks: Sequence[_Block], played: Callable[[_Block], list[int]]
) -> list[int]:
    """Return the bars from first to last, each repeated stretch as ``played`` says."""
    order: list[int] = []
    here = 0
    for block in blocks:
        order += range(here, block.start)
        order += played(block)
        here = block.end
    return order + list(range(here, len(bars)))


def _form(bars: Sequence[ChartBar]) -> Form:
    """Return how the bars follow one another without jumps."""
    blocks = _walked(bars).blocks
    return Form(
        _straight(bars, blocks, _Block.order),
        _straight(bars, blocks, lambda block: block.turn(block.passes)),
        frozenset(bar for block in blocks for bar in range(block.start + 1, block.end)),
    )


@dataclass(slots=True)
class _Walk:
    """One walk over the bars that gathers the repeated stretches and the faults.

    ``place`` says where the walk is: outside, in a body, in an ending, or between two endings.
    """

    blocks: list[_Block] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    block: _Block = field(default_factory=lambda: _Block(0))
    place: str = "outside"

    def step(self, index: int, bar: ChartBar) -> None:
        """Take one bar."""
        if self.place == "between" and not bar.ending:
            self.finish()
        if bar.opens:
            self.open(index)
        if bar.ending:
            self.ending(index, bar)
        if bar.closes:
            self.close(index, bar)

    def open(self, index: int) -> None:
        """Begin a block."""
        if self.place == "ending" and len(self.block.endings) > 1:
            self.finish()
        elif self.place != "outside":
            self.faults.append((index, "a repeat opens inside a repeat (want :| before it)"))
        self.block, self.place = _Block(index), "body"

    def ending(self, index: int, bar: ChartBar) -> None:
        """Begin an ending."""
        if self.place == "outside":
            self.faults.append((index, "an ending outside a repeat (want |: where it begins)"))
            return
        if self.place == "ending":
            self.faults.append((index, "the ending before this one is not closed (want :|)"))
        if self.place == "body":
            self.block.body_end = index
        self.block.endings.append(_Ending(bar.ending, index, index + 1))
        self.place = "ending"

    def close(self, index: int, bar: ChartBar) -> None:
        """End a pass."""
        if self.place == "outside":
            self.faults.append((index, "a repeat closes that never opened (want |: before it)"))
        elif self.place == "body":
            self.block.body_end, self.block.times = index + 1, bar.closes
            self.finish()
        else:
            self.block.endings[-1].after = index + 1
            self.place = "between"

    def finish(self) -> None:
        """End the block that is under way."""
        numbers = self.block.numbers
        if numbers != list(range(1, len(numbers) + 1)):
            said = ", ".join(map(str, numbers))
            first = self.block.endings[0].first
            self.faults.append((first, f"endings {said} (want each pass once, from 1 up)"))
        self.blocks.append(self.block)
        self.place = "outside"

    def stop(self) -> None:
        """End the chart."""
        if self.place == "body" or (self.place == "ending" and len(self.block.endings) == 1):
            self.faults.append(
                (self.block.start, "a repeat opens here and never closes (want :| at its end)")
            )
        elif self.place != "outside":
            self.finish()


def _walked(bars: Sequence[ChartBar]) -> _Walk:
    """Return the walk over all bars."""
    walk = _Walk()
    for index, bar in enumerate(bars):
        walk.step(index, bar)
    walk.stop()
    return walk


# === Played chords and sections ===


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
