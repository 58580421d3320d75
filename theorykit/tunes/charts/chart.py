"""Charts: the changes of a tune as they are written, printed and played."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, SupportsIndex, overload

from theorykit.errors import TheoryError, expect_all, shown
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.reader import Reader, reader
from theorykit.notes.values import Value
from theorykit.tunes.bars import ChartBar, Metre, Section, bar_words, jump_mark, names_coda
from theorykit.tunes.charts.chart_rows import Problem, refusal
from theorykit.tunes.charts.chart_text import checked_line, checked_tempo, read_chart_text
from theorykit.tunes.charts.play_order import (
    PlayedChord,
    jump_faults,
    play_order,
    played_chords,
    repeat_faults,
    unrolled_sections,
)
from theorykit.tunes.home_key import home_key
from theorykit.tunes.progression import Bar, Progression, moved_bars

BARS_A_ROW = 4
_Row = list[tuple[ChartBar, str]]  # the bars of a row, each with its text


def print_chart(chart: Chart) -> str:
    """Return the typed form of a chart; ``Chart.parse`` reads it back."""
    blocks = []
    metre = chart.metre
    codas = [section for section in chart.sections if names_coda(section.name)]
    for section in chart.sections:
        rows = _rows(section, metre, said="coda" if codas and section is codas[0] else "")
        blocks.append((section.name, rows))
        metre = section.bars[-1].metre
    texts = _aligned([row for _, rows in blocks for row in rows])
    parts = [_heads(chart)]
    for name, rows in blocks:
        lines = [f"[{name}]"] if name else []
        parts.append("\n".join(lines + [next(texts) for _ in rows]))
    return "\n\n".join(parts) + "\n"


def _heads(chart: Chart) -> str:
    """Print the head lines that say something."""
    heads = {
        "title": chart.title,
        "by": chart.by,
        "key": str(chart.key),
        "metre": str(chart.metre),
        "tempo": "" if chart.tempo is None else str(chart.tempo),
        "feel": chart.feel,
    }
    return "\n".join(f"{name}: {value}" for name, value in heads.items() if value)


def _rows(section: Section, metre: Metre, *, said: str) -> list[_Row]:
    """Cut a section into rows; repeats open and endings begin a row, repeats close one.

    So does a coda. A bar where players come in from elsewhere is never a sign for the bar before.
    ``said`` is a mark of the first bar that the name of the section says already.
    """
    rows: list[_Row] = []
    held: ChartBar | None = None  # the bar before, if it stands in the same row
    for place, bar in enumerate(section.bars):
        full = not rows or len(rows[-1]) == BARS_A_ROW or bar.opens or bool(bar.ending)
        if full or "coda" in bar.marks or (held is not None and held.closes):
            rows.append([])
            held = None
        held = None if "segno" in bar.marks else held
        names = [name for name in bar.marks if place or name != said]
        rows[-1].append((bar, _cell(bar, metre, held, names)))
        held, metre = bar, bar.metre
    return rows


def _cell(bar: ChartBar, metre: Metre, held: ChartBar | None, names: list[str]) -> str:
    """Print what stands between two bar lines; ``names`` are the marks of the bar."""
    words = ["".join(f"{number}." for number in bar.ending)] if bar.ending else []
    if bar.metre != metre:
        words.append(str(bar.metre))
    words += [name for name in names if jump_mark(name).at_head]
    again = held is not None and bar.metre == metre and held.content == bar.content
    words += ["%"] if again else bar_words(bar.content, bar.metre)
    return " ".join(words + [name for name in names if not jump_mark(name).at_head])


def _aligned(rows: list[_Row]) -> Iterator[str]:
    """Print the rows with their bar lines one under the other."""
    widths = [0] * BARS_A_ROW
    for row in rows:
        for column, (_, text) in enumerate(row):
            widths[column] = max(widths[column], len(text))
    repeats = any(bar.opens for row in rows for bar, _ in row)
    for row in rows:
        cells = (text.ljust(width + repeats) for (_, text), width in zip(row, widths, strict=False))
        lead = "|: " if row[0][0].opens else "|  " if repeats else "| "
        closes = row[-1][0].closes
        times = f" x{closes}" if closes > 2 else ""
        yield lead + " | ".join(cells) + (":|" if closes else " |") + times


# === The chart ===

_Change = Callable[[Chord], Chord]


@dataclass(frozen=True, slots=True, repr=False)
class Chart(Value):
    """The changes of a tune: sections of bars, a key, and what stands above them.

    ``played`` are the chords in the order played, repeats, endings and jumps followed. A chart is
    typed as text: head lines, names of sections, bars between bar lines. ``/`` holds a chord for a
    beat and ``%`` repeats a bar; ``|:`` and ``:|`` are repeats, ``1.`` and ``2.`` their endings.
    Segno, coda, to coda, fine, D.C. and D.S. stand at the head or the end of a bar. A chart is
    iterated and indexed by its written bars.

    >>> chart = Chart.parse('''
    ... title: Wet Gloves by the Door
    ... key: F
    ...
    ... |: Gm7 / / C7 | Fmaj7 | % :|
    ... ''')
    >>> [str(p.chord) for p in chart.played], len(chart.played_bars)
    (['Gm7', 'C7', 'Fmaj7', 'Fmaj7', 'Gm7', 'C7', 'Fmaj7', 'Fmaj7'], 6)
    >>> print(chart, end="")
    title: Wet Gloves by the Door
    key: F major
    metre: 4/4
    <BLANKLINE>
    |: Gm7 / / C7  | Fmaj7  | % :|
    """

    _reads_back = "Chart.parse"

    sections: tuple[Section, ...]
    key: Key
    title: str = ""
    by: str = ""
    tempo: int | None = None
    feel: str = ""
    played: tuple[PlayedChord, ...] = field(init=False, compare=False, repr=False)

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(
            self,
            sections: Iterable[Section],
            key: Key,
            title: str = "",
            by: str = "",
            tempo: int | None = None,
            feel: str = "",
        ) -> None: ...

    def __post_init__(self) -> None:
        """Check the parts and play the chart once."""
        want = "Sections of bars, or use Chart.parse"
        object.__setattr__(self, "sections", expect_all(self.sections, Section, "sections", want))
        if not self.sections or not isinstance(self.key, Key):
            raise TheoryError(
                f"not a chart: {len(self.sections)} sections in {shown(self.key)} "
                "(want at least one section, and a Key)"
            )
        if not all(section.name for section in self.sections[1:]):
            raise TheoryError("a section without a name (only the first may be without one)")
        for name in ("title", "by", "feel"):
            object.__setattr__(self, name, checked_line(getattr(self, name), name))
        if self.tempo is not None:
            checked_tempo(self.tempo)
        bars = self.bars
        for index, message in repeat_faults(bars):
            raise TheoryError(f"bar {index + 1}: {message}")
        for index, _, message in jump_faults(bars):
            raise TheoryError(f"bar {index + 1}: {message}")
        object.__setattr__(self, "played", tuple(played_chords(bars)))

    @classmethod
    def parse(cls, text: str) -> Chart:
        """Read a typed chart. The reverse of ``str``.

        Where no head line says the key, it is found from the changes. A text that cannot be read
        is refused with all its problems, each with line and column; ``chart_problems`` gives them
        one by one.

        >>> Chart.parse("| Dm7 | | Cmaj7 |")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: line 1, column 9: an empty bar (want a chord, % for the bar \
before, or N.C.)
        """
        parts, problems = read_chart_text(text)
        if parts is None:
            raise refusal(problems)
        heads, sections = parts.heads, parts.sections
        key = heads.key
        if key is None:
            bars = [bar for section in sections for bar in section.bars]
            key = home_key([(p.chord, p.beats) for p in played_chords(bars)])
        return cls(sections, key, heads.title, heads.by, heads.tempo, heads.feel)

    @classmethod
    def of(cls, key: Key | str, *bars: str, metre: Metre | str = "4/4", title: str = "") -> Chart:
        """Return a chart of bars, each given as text without bar lines.

        >>> [str(p.chord) for p in Chart.of("C", "Dm7 G7", "C6").played]
        ['Dm7', 'G7', 'C6']
        """
        home = key if isinstance(key, Key) else Key.parse(key)
        time = metre if isinstance(metre, Metre) else Metre.parse(metre)
        bars = expect_all(bars, str, "bars", "each as text without bar lines, such as 'Dm7 G7'")
        title = checked_line(title, "title")
        return cls.parse(f"title: {title}\nkey: {home}\nmetre: {time}\n\n| {' | '.join(bars)} |")

    @property
    def metre(self) -> Metre:
        """The metre at the top.

        >>> str(Chart.of("Eb", "Fm7 / Bb7", "Eb6", metre="3/4").metre)
        '3/4'
        """
        return self.sections[0].bars[0].metre

    @property
    def bars(self) -> tuple[ChartBar, ...]:
        """The written bars of all sections.

        >>> [str(bar) for bar in Chart.parse("|: Abm7 Db7 | Gb6 :|").bars]
        ['Abm7 Db7', 'Gb6']
        """
        return tuple(bar for section in self.sections for bar in section.bars)

    @property
    def played_bars(self) -> tuple[int, ...]:
        """For each bar as it is played, the index of the written bar.

        >>> Chart.parse("|: Abm7 Db7 | 1. Gb6 :| 2. Gbmaj7 |").played_bars
        (0, 1, 0, 2)
        """
        return tuple(play_order(self.bars))

    @property
    def progression(self) -> Progression:
        """The chart as played, for writers, staves and players; a beat is a quarter note there.

        >>> Chart.of("C", "Am Dm", metre="6/8").progression.bars[0].lengths[0]
        Fraction(3, 2)
        """
        written = [_in_quarters(bar) for bar in self.bars]
        return Progression(self.key, tuple(written[index] for index in self.played_bars))

    def transposed(self, key: Key | str) -> Chart:
        """Return the chart in another key of the same mode, spelled for that key.

        >>> [str(p.chord) for p in Chart.of("C", "Ebm7 Ab7", "Dm7 Db7", "C").transposed("E").played]
        ['Gm7', 'C7', 'F#m7', 'F7', 'E']
        """
        new = Key.parse(key) if isinstance(key, str) else key
        if not isinstance(new, Key) or new.mode != self.key.mode:
            raise TheoryError(
                f"cannot move {self.key} to {shown(_said(new))} (want a {self.key.mode} key)"
            )
        moved = iter(moved_bars([bar.content for bar in self.bars], self.key, new))
        return replace(
            self,
            key=new,
            sections=tuple(
                Section(name, tuple(replace(bar, content=next(moved)) for bar in bars))
                for name, bars in ((one.name, one.bars) for one in self.sections)
            ),
        )

    def written_for(self, who: Reader | str) -> Chart:
        """Return the chart on the page of a reader, such as ``"B flat"`` or ``"trumpet"``.

        >>> [str(p.chord) for p in Chart.of("Eb", "Fm7 Bb7", "Eb6").written_for("E flat").played]
        ['Dm7', 'G7', 'C6']
        """
        page = reader(who).written_key(self.key)
        return self if page == self.key else self.transposed(page)

    @property
    def unrolled(self) -> Chart:
        """The chart written out as it is played, without repeats: each pass may then differ.

        >>> len(Chart.parse("|: F | C :| x3").unrolled.bars)
        6
        """
        return replace(self, sections=unrolled_sections(self.sections))

    def mapped(self, change: _Change, *, key: Key | None = None) -> Chart:
        """Return the chart with every chord changed by a function, its bars left as they are.

        >>> from theorykit import Chord
        >>> dark = {"Ebmaj7": "Ebm6"}
        >>> chart = Chart.of("Eb", "Fm7 Bb7", "Ebmaj7")
        >>> changed = chart.mapped(lambda chord: Chord.parse(dark.get(str(chord), str(chord))))
        >>> [str(bar) for bar in changed]
        ['Fm7 Bb7', 'Ebm6']
        """
        if not callable(change):
            raise TheoryError(f"not a change: {shown(change)} (want a function of a Chord)")
        moved: dict[Bar, Bar] = {}
        sections = []
        for section in self.sections:
            bars = [
                replace(bar, content=_changed(bar.content, change, moved)) for bar in section.bars
            ]
            sections.append(Section(section.name, tuple(bars)))
        return replace(self, sections=tuple(sections), key=key or self.key)

    def with_bars(self, bars: Sequence[ChartBar]) -> Chart:
        """Return the chart with other bars, the same number in each section.

        >>> chart = Chart.of("Db", "Ebm7 Ab7", "Db6")
        >>> other = Chart.of("Db", "Ebm7b5 Ab7", "Dbm6")
        >>> [str(bar) for bar in chart.with_bars(other.bars)]
        ['Ebm7b5 Ab7', 'Dbm6']
        """
        given = expect_all(bars, ChartBar, "bars of a chart", "as many ChartBars as it has")
        if len(given) != len(self.bars):
            raise TheoryError(f"{len(given)} bars (want {len(self.bars)}, as many as there are)")
        left = iter(given)
        sections = tuple(
            Section(section.name, tuple(next(left) for _ in section.bars))
            for section in self.sections
        )
        return replace(self, sections=sections)

    def __str__(self) -> str:
        return print_chart(self)

    def _about(self) -> str:
        bars = f"{len(self.bars)} bar{'s' * (len(self.bars) != 1)}"
        return f"{self.title or 'untitled'}: {bars} in {self.key}"

    def __iter__(self) -> Iterator[ChartBar]:
        return iter(self.bars)

    def __len__(self) -> int:
        return len(self.bars)

    @overload
    def __getitem__(self, place: SupportsIndex) -> ChartBar: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[ChartBar, ...]: ...

    def __getitem__(self, place: SupportsIndex | slice) -> ChartBar | tuple[ChartBar, ...]:
        return self.bars[place]


def chart_problems(text: str) -> tuple[Problem, ...]:
    """Return every problem that keeps a text from being a chart, in the order of the page.

    >>> [(p.line, p.column) for p in chart_problems("key: H\\n| Dm7 | G8 |\\n| ")]
    [(1, 6), (2, 9)]
    """
    return read_chart_text(text)[1]


def _said(key: object) -> object:
    """Return a key as text; what is none stays what it is."""
    return str(key) if isinstance(key, Key) else key


def _in_quarters(bar: ChartBar) -> Bar:
    """Return what a bar holds with its lengths in quarter notes."""
    each = bar.metre.quarters
    if each == 1:
        return bar.content
    return Bar(bar.chords, tuple(length * each for length in bar.content.lengths), each)


def _changed(content: Bar, change: _Change, done: dict[Bar, Bar]) -> Bar:
    """Return a bar with its chords changed, each different bar once."""
    found = done.get(content)
    if found is None:
        found = Bar(tuple(change(chord) for chord in content.chords), content.lengths)
        done[content] = found
    return found
