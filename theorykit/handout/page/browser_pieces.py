"""Pieces of a page as HTML: texts, pictures for wide and narrow screens, tables, questions.

Texts are escaped, never markup. A picture that was made for a phone stands beside the wide one, and
the style sheet shows one of them; everything else stands there once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from itertools import groupby

from theorykit.handout.pieces import (
    BOX,
    Ask,
    Beside,
    Lead,
    Para,
    Picture,
    Piece,
    Plain,
    Section,
    StaffLabel,
    Table,
    direction,
)

PHONE_ROOM = 372  # pixels of text on a screen of 390
MOST_COLUMNS = 4  # of a table that fits a phone
EDGE = "|"  # where a column begins or ends


def tag(name: str, text: str, attributes: str = "") -> str:
    """Return a text in its element, with its direction and its line breaks.

    >>> tag("p", "a < b", ' class="note"')
    '<p class="note">a &lt; b</p>'
    """
    way = ' dir="rtl"' if direction(text) == "rtl" else ""
    said = escape(text, quote=False).replace("\n", "<br>")
    return f"<{name}{attributes}{way}>{said}</{name}>"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A section with its place on the page, for whom it is, and as it is drawn on a phone.

    ``narrow`` is the same section made for a phone.
    """

    section: Section
    place: int
    teacher: bool = False
    narrow: Section | None = None

    @property
    def small(self) -> Iterator[tuple[Picture, ...]]:
        """The pictures for a phone, a group for each group of the wide ones; none if they differ.

        What is no picture is the same in both, or else the wide pictures are shown on a phone too.
        """
        if self.narrow is None:
            return iter(())
        _, wide = _parted(self.section.pieces)
        groups, small = _parted(self.narrow.pieces)
        return iter(groups if wide == small else ())

    @property
    def answers(self) -> Mapping[int, str]:
        """The answers that may be seen, by the numbers of the questions."""
        if self.teacher:
            asked = (one for one in _flat(self.section.pieces) if isinstance(one, Ask))
            return {one.number: one.answer for one in asked if one.answer}
        return dict(self.section.answers)


def _flat(pieces: Iterable[Piece]) -> Iterator[object]:
    """Yield pieces one by one, with an edge before, between and after columns."""
    for piece in pieces:
        if isinstance(piece, Beside):
            yield EDGE
            yield from piece.left
            yield EDGE
            yield from piece.right
            yield EDGE
        else:
            yield piece


def _parted(pieces: Iterable[Piece]) -> tuple[list[tuple[Picture, ...]], list[object]]:
    """Return the groups of pictures that follow each other, and everything else; None for each."""
    groups: list[tuple[Picture, ...]] = []
    others: list[object] = []
    for is_picture, run in groupby(_flat(pieces), lambda one: isinstance(one, Picture)):
        found = list(run)
        others += [None] if is_picture else found
        if is_picture:
            groups.append(tuple(one for one in found if isinstance(one, Picture)))
    return groups, others


def section_html(drawn: Drawn) -> str:
    """Return what a section says and shows.

    >>> section_html(Drawn(Section("Listen", (Para("Twice."),)), 0))
    '<h2>Listen</h2>\\n<p>Twice.</p>'
    """
    section = drawn.section
    found = [tag("h2", section.heading)] if section.heading else []
    if drawn.teacher and section.margin:
        found += ['<aside aria-label="For the teacher">']
        found += [*(tag("p", text) for text in section.margin), "</aside>"]
    return "\n".join([*found, *_Writer(drawn).pieces(section.pieces)])


class _Writer:
    """Writes the pieces of one section; it counts the tables that are ticked."""

    def __init__(self, drawn: Drawn) -> None:
        self._drawn, self._small = drawn, drawn.small
        self._tables = 0

    def pieces(self, pieces: Sequence[Piece], *, column: bool = False) -> Iterator[str]:
        """Yield pieces one after the other; in a ``column`` pictures are as wide as that."""
        for is_picture, run in groupby(pieces, lambda one: isinstance(one, Picture)):
            if is_picture:
                yield from self._pictures([p for p in run if isinstance(p, Picture)], column)
                continue
            for piece in run:
                if isinstance(piece, Beside):
                    yield '<div class="beside"><div>'
                    yield from self.pieces(piece.left, column=True)
                    yield "</div><div>"
                    yield from self.pieces(piece.right, column=True)
                    yield "</div></div>"
                else:
                    yield from self._plain(piece)

    def _pictures(self, wide: Sequence[Picture], column: bool) -> Iterator[str]:
        """Yield pictures, and those for a phone where they are others."""
        small = next(self._small, ())
        if not small or [one.svg for one in small] == [one.svg for one in wide]:
            yield from (_picture(one, column=column) for one in wide)
            return
        yield from (_picture(one, column=column, screen=" wide") for one in wide)
        yield from (_picture(one, column=True, screen=" narrow") for one in small)

    def _plain(self, piece: Plain | Beside) -> Iterator[str]:
        """Yield a piece that is neither a picture nor in columns."""
        if isinstance(piece, Lead):
            yield tag("p", piece.text, ' class="lead"')
        elif isinstance(piece, Para):
            yield tag("p", piece.text, ' class="small"' if piece.small else "")
        elif isinstance(piece, StaffLabel):
            yield tag("h3", piece.text)
        elif isinstance(piece, Table):
            yield from self._table(piece)
        elif isinstance(piece, Ask):
            yield from self._ask(piece)

    def _table(self, table: Table) -> Iterator[str]:
        """Yield a table; one without heads says what its rows are in their first cells."""
        ticked = any(BOX in row for row in table.rows)
        self._tables += ticked
        kind = ' class="ticked"' if ticked else ""
        moves = ' role="group" tabindex="0" aria-label="A table that can be moved sideways"'
        is_wide = len(table.widths) > MOST_COLUMNS and not ticked
        yield f'<div class="rows"{moves if is_wide else ""}>'
        yield f'<table{kind} aria-label="{escape(table.what)}">'
        if table.heads:
            heads = "".join(_head(head) for head in table.heads)
            yield f"<thead><tr>{heads}</tr></thead>"
        yield "<tbody>"
        for number, row in enumerate(table.rows):
            yield f"<tr>{''.join(self._cells(table, number, row))}</tr>"
        yield "</tbody></table></div>"
        if ticked:
            yield '<p class="small kept" hidden>What you tick is kept on this device.</p>'

    def _cells(self, table: Table, number: int, row: Sequence[str]) -> Iterator[str]:
        """Yield the cells of a row; a box can be ticked, and is named for those who cannot see."""
        for place, cell in enumerate(row):
            if cell == BOX:
                head = table.heads[place] if table.heads else ""
                words = f"{'day ' if head.isdigit() else ''}{head}: {max(row, key=len)}"
                name = f"{self._drawn.place}-{self._tables}-{number}-{place}"
                day = f'<span class="day" aria-hidden="true">{escape(head)}</span>'
                yield (
                    f'<td class="box"><label>{day}<input type="checkbox" '
                    f'data-tick="{name}" aria-label="{escape(words)}"></label></td>'
                )
            elif place == 0 and 0 in table.marks:
                yield tag("th", cell, ' scope="row"')
            else:
                yield tag("td", cell, ' class="mark"' if place in table.marks else "")

    def _ask(self, ask: Ask) -> Iterator[str]:
        """Yield a question; its answer, where it may be seen, is folded away."""
        yield f'<div class="ask"><p><b>{ask.number}</b></p><div>{tag("p", ask.question)}'
        answer = self._drawn.answers.get(ask.number, "")
        if answer:
            whose = f'<span class="unseen"> to question {ask.number}</span>'
            yield f"<details><summary>Answer{whose}</summary>{tag('p', answer)}</details>"
        yield "</div></div>"


def _head(head: str) -> str:
    """Return the head of a column; one that says nothing is no head."""
    return tag("th", head, ' scope="col"') if head else "<td></td>"


def _picture(picture: Picture, *, column: bool, screen: str = "") -> str:
    """Return a picture in its width; the numbers of bars hang out to the left.

    One that needs more room than a phone has can be moved sideways there, by keyboard as well.
    """
    full = 1 / (1 - picture.hang)
    width = full if column else min(picture.width, full)
    style = f"width:{width:.2%};margin-left:{-picture.hang * width:.2%}"
    attributes = ""
    if picture.least > PHONE_ROOM:
        screen += " moves"
        style += f";--least:{picture.least:.0f}px"
        attributes = ' role="group" tabindex="0" aria-label="A picture that can be moved sideways"'
    return f'<div class="picture{screen}" style="{style}"{attributes}>{picture.svg}</div>'
