"""The block that shows a colour over V in one key."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, ClassVar

from theorykit.handout.blocks.block import (
    ANSWER,
    WITH,
    WITHOUT,
    Block,
    ColourName,
    Example,
    FormName,
    Place,
    StaffLayout,
)
from theorykit.handout.blocks.line_block import line_examples
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import (
    GUTTER,
    SHARE,
    STAFF_WORDS,
    Beside,
    Lead,
    Para,
    Piece,
    Plain,
    Section,
    Table,
    capital,
)
from theorykit.harmony.counts import evidence
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.wording import listed
from theorykit.lines.band import colours_over, performance
from theorykit.notes.key import Key
from theorykit.notes.reader import Reader
from theorykit.views.explorer_view import MOST_SHORTCUTS, SPELLINGS, ExplorerView, explore
from theorykit.views.fingerboard import BASS, GUITAR, fingerboard_of

PARTS = ("notes", "staff", "keyboard", "table", "pull")
PLAIN = "plain chord"
FINGERBOARDS = {"guitar": ("guitar",), "guitar and bass": ("guitar", "bass clef"), "none": ()}
OTHER_WAYS = 2  # that the teacher's margin names


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourBlock(Block):
    """A colour over V: staff, keyboard, the way to think of it, where every note goes.

    ``shortcut`` counts the ways to think of it, the best being 1. ``show`` names what stands on the
    page below the first sentence: its notes, the staff, the keyboard, the table, how the colour
    pulls. ``fingerboard`` names the readers who have one in the place of the keyboard. The staff is
    as wide as the page, or stands beside the words.
    """

    kind: ClassVar[str] = "colour"
    telling: ClassVar[tuple[str, ...]] = ("colour", "key")

    colour: ColourName
    key: KeyName = "C"
    form: FormName = "long"
    shortcut: Annotated[
        int,
        About(least=1, most=MOST_SHORTCUTS, says="which way to think of the colour: 1 is the best"),
    ] = 1
    spelling: Annotated[str, About(offers=SPELLINGS)] = SPELLINGS[0]
    show: Annotated[
        tuple[str, ...],
        About(offers=PARTS, called="part to show", says="what stands below the first sentence"),
    ] = PARTS
    fingerboard: Annotated[
        str, About(offers=tuple(FINGERBOARDS), says="whose page has one in the keyboard's place")
    ] = "guitar"
    layout: StaffLayout = "wide"

    @property
    def prints_notes(self) -> bool:
        """True where the staff is shown."""
        return "staff" in self.show

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a colour in one key: sentences, staff, keyboard, table."""
        view = _view(
            *(Key.parse(self.key), self.form, self.colour, self.shortcut - 1, self.spelling),
            engraver.reader,
        )
        share = 1 - SHARE - GUTTER if self.layout == "beside" and engraver.has_room else 1.0
        heading = self.headed(engraver, _heading(view))
        staff = engraver.staff(view.staff, share=share) if "staff" in self.show else ()
        words = tuple(_words(self, view, narrow=share < 1))
        above: tuple[Piece, ...] = (*words, *staff) if share == 1 else (Beside(words, staff),)
        return Section(
            heading,
            (*above, *_below(self, view, engraver)),
            margin=(*self.margin_notes, *_colour_margin(view)),
            scores=((heading, view.staff),) if staff else (),
        )

    @property
    def labels(self) -> tuple[str, ...]:
        """The plain chord, and the coloured phrase three times."""
        return PLAIN, WITH, WITHOUT, ANSWER

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield the plain phrase, then the coloured one three times."""
        wishes: dict[str, Any] = {"choice": self.shortcut - 1, "spelling": self.spelling}
        view = explore(self.key, self.form, self.colour, **wishes)
        plain, over = view.plain, view.plain.progression
        colours = colours_over(plain, None)
        yield Example(PLAIN, performance(plain, over, tempo=tempo, colours=colours))
        yield from line_examples(view.coloured, self.colour, tempo)

    @property
    def own_title(self) -> str:
        """The colour and its key."""
        return f"{self.colour} in {self.key}"


def _heading(view: ExplorerView) -> str:
    """Return the heading that the block gives itself."""
    return capital(
        f"{view.colour.pretty} over {view.dominant.pretty}, going to {view.target.pretty}"
    )


def _words(block: ColourBlock, view: ExplorerView, *, narrow: bool) -> Iterator[Plain]:
    """Yield what stands above the staff, or in a narrow column at its left."""
    yield Lead(_unbroken(view.sentence))
    if "notes" in block.show:
        yield Para(_notes_row(view.shortcut) if narrow else _notes_sentence(view))
    if view.advice:
        yield Para(view.advice)


def _below(block: ColourBlock, view: ExplorerView, engraver: Engraver) -> Iterator[Piece]:
    """Yield what stands below the staff."""
    if "staff" in block.show:
        yield Para(STAFF_WORDS, small=True)
    if "keyboard" in block.show:
        yield from _under_the_hand(block, view, engraver)
    if "table" in block.show:
        yield _moves_table(view)
    if "pull" in block.show:
        yield Para(view.summary, small=True)


def _under_the_hand(block: ColourBlock, view: ExplorerView, engraver: Engraver) -> Iterator[Piece]:
    """Yield the keyboard, or the fingerboard for a reader who is to have one."""
    reader = engraver.reader.name
    if reader in FINGERBOARDS[block.fingerboard]:
        tuning = GUITAR if reader == "guitar" else BASS
        yield from engraver.fingerboard(fingerboard_of(view.keyboard, tuning))
        if not engraver.has_room:
            yield engraver.keyboard(view.keyboard)[1]
    else:
        yield from engraver.keyboard(view.keyboard)


@lru_cache(maxsize=256)  # the two sizes of print show the same
def _view(
    key: Key, form: str, over_v: str, choice: int, spelling: str, who: Reader
) -> ExplorerView:
    """Return what the explorer shows, once for each choice."""
    return explore(key, form, over_v, choice=choice, spelling=spelling, reader=who)


def _notes_sentence(view: ExplorerView) -> str:
    """Name the notes of the shape, as it is spelled and as the staff writes them.

    >>> _notes_sentence(explore("C", "long", "b9 13"))
    'Its notes are E, G♯ and B. Over G7 they are 13, ♭9 and 3, written E, A♭ and B.'
    """
    best = view.shortcut
    own, heard = best.notes, tuple(row.note for row in view.rows)
    names = listed(note.pretty for note in own)
    degrees = listed(degree.pretty for degree in best.degrees)
    text = f"Its notes are {names}. Over {best.chord.pretty} they are {degrees}"
    if own == heard:
        return f"{text}."
    return f"{text}, written {listed(note.pretty for note in heard)}."


def _unbroken(sentence: str) -> str:
    """Return a sentence in which no line begins with the I, i or V of a route."""
    return re.sub(r" of (?=[IiV]\b)", " of\u00a0", sentence)


def _notes_row(best: Shortcut) -> str:
    """Name the notes of the shape and what they are over the chord, for a narrow column.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> _notes_row(shortcuts("G7", "b9 13")[0])
    'E G♯ B: 13 ♭9 3'
    """
    names = " ".join(note.pretty for note in best.notes)
    return f"{names}: {' '.join(degree.pretty for degree in best.degrees)}"


def _moves_table(view: ExplorerView) -> Table:
    """Return where every note goes."""
    widths = (0.0, 0.0, 1.0) if len(view.heads) == 3 else (0.0, 0.0, 1.0, 1.0)
    return Table(view.caption, view.heads, view.cells, widths, marks=(0, 1))


def _colour_margin(view: ExplorerView) -> Iterator[str]:
    """Yield what a teacher may want to have at hand: other ways, and what players did."""
    others = [one for one in view.options if one is not view.shortcut][:OTHER_WAYS]
    if others:
        yield "Other ways: " + "; ".join(map(_way, others)) + "."
    for degree in view.colour.tensions[:1]:
        yield evidence(degree, view.key.mode).words.replace(" %", "\u00a0%")


def _way(one: Shortcut) -> str:
    """Name a shape and what it brings."""
    return f"{one.pretty} ({' '.join(degree.pretty for degree in one.degrees)})"
