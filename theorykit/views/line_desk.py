"""What the desk shows of a line: staff, a teacher's words, the colour chosen, note by note."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from theorykit.harmony.colours import Colour
from theorykit.harmony.wording import listed, sentence
from theorykit.lines.changes import beat_words
from theorykit.lines.line import Line
from theorykit.lines.placed import merged_chords, placed_notes
from theorykit.lines.reading import read_line
from theorykit.lines.readings import LineReading
from theorykit.lines.spelled_colour import shape_behind
from theorykit.notes.degree import Degree
from theorykit.notes.instruments import READERS, Reader
from theorykit.notes.spelling import above
from theorykit.tunes.progression import PlacedChord
from theorykit.views.read_staff import legend, read_staff
from theorykit.views.staff import StaffView

__all__ = ["LineView", "line_view"]

PICKUP = -1  # the number of the bar before the first


@dataclass(frozen=True, slots=True)
class LineView:
    """Everything that is shown of one line; ``colour`` is the one chosen for V, if one is."""

    reading: LineReading
    colour: Colour | None
    staff: StaffView

    @property
    def line(self) -> Line:
        """The line itself."""
        return self.reading.line

    @property
    def legend(self) -> str:
        """What the short words under the notes mean."""
        return legend(note.role for note in self.reading.notes)

    @property
    def sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The words beside the staff under their headings: what works comes first."""
        whole = (sentence(self.reading.whole.words),) if self.reading.notes else ()
        told = (
            ("what works", self.reading.praise),
            ("to try next", self.reading.tries),
            ("the colour you chose", tuple(dict.fromkeys(_chosen(self.reading, self.colour)))),
            ("the line as a whole", whole),
        )
        return tuple((heading, words) for heading, words in told if words)

    @property
    def caption(self) -> str:
        """What the table is about."""
        return "What the notes do that are no chord tones"

    @property
    def heads(self) -> tuple[str, ...]:
        """The heads of the table."""
        return ("where", "note", "over", "what it does")

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The notes that are no chord tones: where they stand, what they are, what they do."""
        return tuple(_cells(self.reading))

    @property
    def kept_colour(self) -> str:
        """The name of the colour that the line is filed under, empty where it has none.

        The chosen colour if all its tensions sound over every dominant, else the one that the line
        spells by itself.
        """
        reading, row = self.reading, self.colour
        over = [chord for chord in _dominants(reading) if _sounding(reading, chord)]
        if row is not None and over and not any(_missing(reading, one, row) for one in over):
            return row.name
        exact = {d.colour.name for d in reading.dominants if d.is_exact and d.colour}
        return exact.pop() if len(exact) == 1 else ""


def line_view(line: Line, over_v: Colour | None, *, reader: Reader = READERS[0]) -> LineView:
    """Return what is shown of a line.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F5 E5 D5 C5 B4 D5 Ab4 B4 | whole C5", two_five_one("C", "short"))
    >>> view = line_view(line, colour("b9 13"))
    >>> view.sections[1][1]
    ('Over G7 you chose ♭9 13: A♭ (♭9) is there, E (13) is still to come; think E major triad on \
the 6th of V, which is the 3rd of I.',)
    >>> [text.replace("\\u00a0", " ") for text in view.cells[-1]]
    ['bar 1, beat 4', 'A♭', '♭9 of G7', 'bends G7']
    >>> view.kept_colour
    'b9'
    """
    reading = read_line(line)
    return LineView(reading, over_v, read_staff(reading, over_v, reader=reader))


def _dominants(reading: LineReading) -> Iterator[PlacedChord]:
    """Run through the dominants of the progression, one that is written again being one."""
    return (c for c in merged_chords(reading.line.progression) if c.chord.kind.is_dominant)


def _sounding(reading: LineReading, chord: PlacedChord) -> set[int]:
    """Return what sounds over a chord, as half steps above its root."""
    return {
        note.degree.semitone
        for note in reading.notes
        if note.degree is not None and chord.start <= note.note.start < chord.end
    }


def _missing(reading: LineReading, chord: PlacedChord, row: Colour) -> list[Degree]:
    """Return the tensions of a colour that do not sound over a chord."""
    sounding = _sounding(reading, chord)
    return [degree for degree in row.tensions if degree.semitone not in sounding]


def _chosen(reading: LineReading, row: Colour | None) -> Iterator[str]:
    """Say of each dominant what of the chosen colour is there; nothing where all of it is."""
    if row is None:
        return
    chords = merged_chords(reading.line.progression)
    for placed in _dominants(reading):
        missing = _missing(reading, placed, row)
        if not missing:
            yield from _told_whole(reading, placed, row)
            continue
        after = next((c.chord for c in chords if c.start == placed.end), None)
        shape = shape_behind(placed.chord, row, after)
        there = [degree for degree in row.tensions if degree not in missing]
        told = [f"{_named(placed, there)} {_are(there)} there"] if there else []
        told.append(f"{_named(placed, missing)} {_are(missing)} still to come")
        think = f"; think {shape.words}" if shape else ""
        name = placed.chord.pretty
        yield f"Over {name} you chose {row.pretty}: {', '.join(told)}{think}."


def _told_whole(reading: LineReading, placed: PlacedChord, row: Colour) -> Iterator[str]:
    """Say that all of the chosen colour sounds, where the words beside it tell of another one."""
    own = [d for d in reading.dominants if d.chord == placed and d.colour != row]
    if own and row.tensions:
        verb = "sounds" if len(row.tensions) == 1 else "sound"
        yield f"Over {placed.chord.pretty} {_named(placed, row.tensions)} {verb}, as you chose."


def _named(placed: PlacedChord, found: Iterable[Degree]) -> str:
    """List degrees with the notes that they are over a chord."""
    root = placed.chord.root
    return listed(f"{above(root, degree).pretty} ({degree.pretty})" for degree in found)


def _are(found: list[Degree]) -> str:
    """Return the verb for one or many."""
    return "are" if len(found) > 1 else "is"


def _cells(reading: LineReading) -> Iterator[tuple[str, ...]]:
    """Run through the rows of the table."""
    for read, placed in zip(reading.notes, placed_notes(reading.line), strict=True):
        if read.words and read.degree is not None:
            bar = "pickup" if placed.bar == PICKUP else f"bar {placed.bar + 1}"
            over = f"{read.degree.pretty} of {read.chord.pretty}"
            where = f"{bar}, {beat_words(placed.beat)}"
            yield _joined(where), read.note.pitch.note.pretty, _joined(over), read.words


def _joined(text: str) -> str:
    """Return words that stay on one line of a table."""
    return text.replace(" ", "\u00a0")
