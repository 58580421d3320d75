"""The block that shows a line, and the parts that all blocks with lines share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import (
    ANSWER,
    MOST_NAMED,
    WITH,
    WITHOUT,
    Block,
    Changes,
    ColourName,
    Example,
    FormName,
    Place,
    first_changes,
    key_of,
    progression_of,
)
from theorykit.handout.entries import About
from theorykit.handout.front import ChangesKey
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section
from theorykit.harmony.colours import Colour, colour as named_colour
from theorykit.lines.band import colours_over, performance
from theorykit.lines.placed import merged_chords
from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.lines.writing import (
    BEGINNINGS,
    DENSITIES,
    ENDINGS,
    MANNERS,
    REACHES,
    Wishes,
    write_lines,
)
from theorykit.notes.key import Key
from theorykit.tunes.progression import Progression
from theorykit.views.line import LineDraft
from theorykit.views.staves import legend, read_staff

PLAIN, LAST_SEED = Wishes(), 9999
LINE_PARTS = ("legend", "words")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLine(Block):
    """A line, written as ``Line.parse`` reads it, in concert pitch.

    It stands over ``changes`` (bars between bar lines) or, without them, over a ii-V-I. Where no
    notes are given (``line=""``) one is written to the wishes; the same ``seed`` gives the same.
    """

    line: Annotated[
        str,
        About(
            says="notes as at the desk for lines; empty, one is written",
            hint="8th F4 A4 C5 E5 D5 C5 A4 F4 | whole E4",
            rows=3,
        ),
    ]
    key: ChangesKey = ""
    form: FormName = "long"
    changes: Changes = ""
    colour: ColourName = ""
    seed: Annotated[int, About(least=0, most=LAST_SEED, says="which line is written")] = 0
    density: Annotated[str, About(offers=DENSITIES)] = PLAIN.density
    begins: Annotated[str, About(offers=BEGINNINGS, says="where the first note stands")] = (
        PLAIN.begins
    )
    ends: Annotated[str, About(offers=ENDINGS, says="where and how the last note stands")] = (
        PLAIN.ends
    )
    reach: Annotated[str, About(offers=tuple(REACHES), says="from lowest to highest note")] = (
        PLAIN.reach
    )
    manner: Annotated[str, About(offers=MANNERS, says="sung is easy to sing")] = PLAIN.manner

    @property
    def prints_notes(self) -> bool:
        """True where the line is, always."""
        return True

    def check(self) -> None:
        """Refuse a line that does not fit its progression."""
        self.music()

    def music(self) -> Line:
        """Return the line over its progression, in concert pitch and the key that is written."""
        over = progression_of(self.key, self.form, self.changes)
        if not self.line.strip():
            return _written(over, self.colour, self.seed, self.wishes)
        try:
            return Line.parse(self.line, over)
        except TheoryError as error:
            raise TheoryError(f"line: {error}") from None

    @property
    def wishes(self) -> Wishes:
        """What a line shall be like that is written for the page."""
        return Wishes(
            density=self.density,
            begins=self.begins,
            ends=self.ends,
            reach=self.reach,
            manner=self.manner,
        )

    @property
    def chosen(self) -> Colour | None:
        """The colour in which the line is written and read, if one is chosen."""
        return named_colour(self.colour) if self.colour else None

    @property
    def labels(self) -> tuple[str, ...]:
        """The line, the bars without it, both in turn."""
        return WITH, WITHOUT, ANSWER


@dataclass(frozen=True, slots=True, kw_only=True)
class LineBlock(WrittenLine):
    """A line with the degree and the role of every note."""

    kind: ClassVar[str] = "line"
    telling: ClassVar[tuple[str, ...]] = ("colour", "changes", "key")

    show: Annotated[
        tuple[str, ...],
        About(
            offers=LINE_PARTS,
            called="part to show",
            says="below the staff: what the short words mean, and what is good in the line",
        ),
    ] = LINE_PARTS

    @property
    def _how(self) -> str:
        """The colour in which the line is written, as its heading names it."""
        return "" if self.line.strip() or not self.chosen else f", {self.chosen.pretty}"

    @property
    def _over(self) -> tuple[object, ...] | None:
        """What its own heading says, by its sound; None where the teacher gave it one."""
        if self.heading.strip():
            return None
        return *_first_sounds(self.music().progression), self._how

    def place_in(self, blocks: Sequence[Block], number: int) -> Place:
        """Count the lines over the same chords, where there are several."""
        own = self._over
        if own is None:
            return Place()
        alike = [
            n for n, one in enumerate(blocks) if isinstance(one, LineBlock) and one._over == own
        ]
        return Place(nth=alike.index(number) + 1 if len(alike) > 1 else 0)

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a line with degrees and roles, and a teacher's words on it."""
        line = self.music()
        reading = read_line(line, self.chosen)
        view = read_staff(reading, self.chosen, reader=engraver.reader)
        written = read_line(moved(line, engraver.written(line.progression.key)), self.chosen)
        meaning = legend(note.role for note in reading.notes)
        name = f"Line {place.nth}" if place.nth else "A line"
        own = f"{name} over {first_changes(written.line.progression)}{self._how}"
        heading = self.headed(engraver, own)
        pieces: tuple[Piece, ...] = (
            *engraver.staff(view),
            *((Para(meaning, small=True),) if "legend" in self.show else ()),
            *(Para(text) for text in written.praise if "words" in self.show),
        )
        margin = (*self.margin_notes, *written.tries)
        return Section(heading, pieces, margin, scores=((heading, view),))

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield a typed line three times."""
        return line_examples(self.music(), self.colour, tempo)


def _first_sounds(progression: Progression) -> tuple[object, ...]:
    """Return what ``first_changes`` names, alike for names of one sound.

    G flat and F sharp are two keys in concert pitch, and one on the page of an alto saxophone.

    >>> over = progression_of("Gb", "long"), progression_of("F#", "long")
    >>> _first_sounds(over[0]) == _first_sounds(over[1])
    True
    """
    chords = [one.chord for one in merged_chords(progression)]
    sounds = [(one.root.semitone, one.lowest.semitone, one.kind) for one in chords]
    if len(sounds) <= MOST_NAMED:
        return tuple(sounds)
    return *sounds[: MOST_NAMED - 1], len(progression.bars)


@lru_cache(maxsize=64)  # a page asks several times for the same line
def _written(over: Progression, row: str, seed: int, wishes: Wishes) -> Line:
    """Return the line that is written where no notes are given."""
    return write_lines(over, row or None, count=1, seed=seed, wishes=wishes)[0]


def moved(line: Line, key: Key) -> Line:
    """Return a line in another key, or as it is in its own.

    A line without double accidentals gets none.
    """
    if key == line.progression.key:
        return line
    there = line.transposed(key)
    over, steps = there.progression, [n.pitch.midi for n in (*there.notes[:1], *line.notes[:1])]
    return line.onto(over, steps[0] - steps[1]) if steps else there


def draft_of(typed: Mapping[str, str], key: str, new: str) -> LineDraft | None:
    """Return the line of a block as its entries are typed, in a key, if it goes along to a new one.

    Changes go along where they were told the key that they point to, and the new one is of its
    mode. None for a line that stays, or that cannot be read.

    >>> typed = {"line": "half F4 F4 | whole E4", "form": "short", "changes": ""}
    >>> str(draft_of(typed, "C", "Eb").progression)
    'Dm7 G7 | Cmaj7'
    >>> draft_of({**typed, "changes": "Dm7 G7 | C6"}, "F", "Eb")
    """
    changes = typed["changes"].strip()
    try:
        home, there = key_of(key), key_of(new)
        if changes and (home != key_of("", changes) or home.mode != there.mode):
            return None
        draft = LineDraft(progression_of(str(home), typed["form"], changes)).typed(typed["line"])
    except TheoryError:
        return None
    return draft if draft.read.is_whole and draft.text.strip() else None


def line_examples(line: Line, over_v: str, tempo: int) -> Iterator[Example]:
    """Yield a line, the same bars without it, and both in turn."""
    over = line.progression
    bar = over.bars[0].beats
    wishes: dict[str, Any] = {"tempo": tempo}
    wishes["colours"] = colours_over(line, named_colour(over_v)) if over_v else None
    yield Example(WITH, performance(line, over, **wishes), bar, seen=True)
    yield Example(WITHOUT, performance(None, over, **wishes), bar)
    answered = performance(line, over, answer_bars=True, **wishes)
    yield Example(ANSWER, answered, bar, seen=True)
