"""A line as a page: staff, a teacher's words, the colour chosen, note by note."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from theorykit.harmony.agreement import disagreements
from theorykit.harmony.colours import Colour, borrowed
from theorykit.harmony.wording import sentence
from theorykit.lines.reading import LineReading, place_words, read_line
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import reader_words
from theorykit.notes.reader import READERS, Reader
from theorykit.views.line.chosen_colour import chosen_over
from theorykit.views.staves import StaffView, legend, read_staff

SEVENTH = Degree(7)
CHOSEN = "the colour you chose"
AT_CONCERT = "the text of the line, the keys in the list and what you hear are"


@dataclass(frozen=True, slots=True)
class LineView:
    """Everything that is shown of one line; ``colour`` is the one chosen for V, if one is.

    ``line`` is what sounds; the reading, the staff and all words are as the reader has them on the
    page. ``written`` tells a reader whose instrument transposes what is at concert pitch.
    """

    line: Line
    reading: LineReading
    colour: Colour | None
    staff: StaffView
    written: str = ""

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
            ("to try next", self.tries),
            (CHOSEN, self.chosen),
            ("the line as a whole", whole),
        )
        return tuple((heading, words) for heading, words in told if words)

    @property
    def old_sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The words while the text has gone on: what is still to come may be there by now."""
        return tuple(one for one in self.sections if one[0] != CHOSEN)

    @property
    def tries(self) -> tuple[str, ...]:
        """What to try next; where a colour was chosen no other one is proposed in its place."""
        over = chosen_over(self.reading, self.colour) if self.colour else ()
        own = [d.spelled for d in over if d.spelled and not (d.missing and d.spelled.colour)]
        done = [sentence(found.words)[:-1] for found in own]
        return tuple(text for text in self.reading.tries if not text.startswith(tuple(done)))

    @property
    def chosen(self) -> tuple[str, ...]:
        """What of the chosen colour is there over each dominant, each sentence once."""
        if self.colour is None:
            return ()
        over = tuple(chosen_over(self.reading, self.colour))
        told = [found.words for found in over]
        told += [sentence(why) for one in over for why in disagreements(one.colour, one.chord)]
        told.append(borrowed(self.colour, self.line.progression.key.mode))
        return tuple(dict.fromkeys(words for words in told if words))

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
        reading = self.reading
        over = [*chosen_over(reading, self.colour)] if self.colour else []
        heard = [found for found in over if found.spelled is not None]
        if self.colour and heard and not any(found.missing for found in heard):
            return self.colour.name
        exact = {d.colour.name for d in reading.dominants if d.is_exact and d.colour}
        return exact.pop() if len(exact) == 1 else ""


def line_view(line: Line, over_v: Colour | None, *, reader: Reader = READERS[0]) -> LineView:
    """Return what is shown of a line.

    >>> from theorykit.harmony.colours import borrowed, colour
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
    sounding = read_line(line, over_v)
    page = line.written_for(reader)
    reading = read_line(page, over_v) if reader.semitones else sounding
    staff = read_staff(sounding, over_v, reader=reader, page=page)
    told = reader_words(reader, line.progression.key, AT_CONCERT)
    return LineView(line, reading, over_v, staff, told)


def _cells(reading: LineReading) -> Iterator[tuple[str, ...]]:
    """Run through the rows of the table."""
    for read in reading.notes:
        if read.words and read.degree is not None:
            over = f"{_named(read.degree, read.chord)} of {read.chord.pretty}"
            where = _joined(place_words(read.note.start, reading.line.progression))
            yield where, read.note.pitch.note.pretty, _joined(over), read.words


def _named(degree: Degree, chord: Chord) -> str:
    """Return a degree for the eye; the 7 is natural where the chord has another one or none."""
    return f"{'natural ' * (degree == SEVENTH and degree not in chord.degrees)}{degree.pretty}"


def _joined(text: str) -> str:
    """Return words that stay on one line of a table."""
    return text.replace(" ", "\u00a0")
