"""The page for a lesson: a journal with its pictures and notes, set for paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from theorykit.handout.front import Edition, Front
from theorykit.handout.page import page_pdf, page_pngs
from theorykit.handout.pieces import Lead, Para, Picture, Piece, Section, Table
from theorykit.notes.reader import READERS, Reader
from theorykit.show.pictures import Drawable, for_paper, picture_svg
from theorykit.views.journal_view import LEGEND, JournalView

__all__ = ["lesson_pdf", "lesson_pngs"]

MOST_NOTES, LONGEST_NOTE = 12, 400  # on the page: the newest
WIDTHS = (0.0, 0.0, 1.0)
HEADS = ("day", "about", "note")


def lesson_pdf(
    view: JournalView, day: date, *, reader: Reader = READERS[0], name: str = ""
) -> bytes:
    """Return a journal as pages to print, a tagged PDF; ``name`` is whose journal it is.

    >>> from datetime import UTC, datetime
    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.study.journal import Journal
    >>> from theorykit.views.journal_view import journal_view
    >>> with TemporaryDirectory() as folder:
    ...     journal = Journal(f"{folder}/journal.sqlite")
    ...     journal.practised("Ida's turn", 12, tempo=96)
    ...     view = journal_view(journal, datetime.now(UTC))
    >>> lesson_pdf(view, date(2026, 11, 26), name="Ida")[:5]
    b'%PDF-'
    """
    return page_pdf(_front(day, name), tuple(_sections(view)), Edition(reader.name))


def lesson_pngs(
    view: JournalView, day: date, *, reader: Reader = READERS[0], name: str = "", dpi: float = 96
) -> list[bytes]:
    """Return the same pages as PNG pictures, to be looked at."""
    return page_pngs(_front(day, name), tuple(_sections(view)), Edition(reader.name), dpi=dpi)


def _front(day: date, name: str) -> Front:
    """Return what stands above and below."""
    return Front("For the lesson: a practice journal", teacher=name.strip(), date=day)


def _sections(view: JournalView) -> Iterator[Section]:
    """Run through the parts of the page; what is empty is left out."""
    first, *others = view.words
    yield Section("Where things stand", (Lead(first), *map(Para, others), _picture(view.due)))
    grids: list[Piece] = [_picture(one) for one in view.grids.values() if one.filled]
    if grids:
        yield Section("How well colours are known", (*grids, Para(LEGEND, small=True)))
    bars = (view.minutes, *([view.tempi] if view.tempi else []))
    yield Section("Practice", tuple(map(_picture, bars)))
    if view.notes:
        rows = tuple(
            (day, about, words[:LONGEST_NOTE].replace("\n", " "))
            for day, about, words in view.notes[: -MOST_NOTES - 1 : -1]
        )
        yield Section("Notes", (Table("notes of one's own", HEADS, rows, WIDTHS),))


def _picture(view: Drawable) -> Picture:
    """Return a picture as wide as the text."""
    drawn = picture_svg(view, paper="none")
    svg, _, _ = for_paper(drawn)
    return Picture(svg, getattr(view, "alt", ""))
