"""Carrying work: all of it in one file that is saved, and such a file brought in."""

from __future__ import annotations

from datetime import date

from theorykit.show.exports import link_html
from theorykit.show.html_text import sentences_html
from theorykit.show.work_file import bring_work, work_bytes, work_file_name
from theorykit.widgets.controls import answer, button, guarded, keep_keys, panel, picture, put
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.reader_files import FileOpening, book_changed, own_book
from theorykit.widgets.works import works_changed, write_all

KINDS = ("tune", "line", "handout")
SHOWS = "A page that is open shows it when its cells are run again."
TOLD = (
    "Phrases, answers, notes, and everything on the desks, with all earlier states. Bringing a "
    "file in adds what is not here yet; nothing is replaced."
)


class WorkFile(Page):
    """Two buttons: all work into a file, and a file in; its controls are attributes.

    >>> page = work_file()
    >>> page.make.click()
    >>> page.told.value.partition(" work ")[0]
    '<a download="theorykit'
    """

    def __init__(self) -> None:
        self.make = button("make a link to all my work", self._make, "one file, to carry along")
        self.opening = FileOpening("bring work in", [".zip"], _as_it_came, take=_brought)
        self.problem, self.told, self.meant = picture(), picture(), picture()
        put(self.meant, sentences_html("", TOLD))
        super().__init__([self.meant, panel(self.make), self.problem, self.told, self.opening])
        keep_keys(self)

    @answer
    def _make(self, _: object) -> None:
        """Put all work into a link."""
        put(self.told, "")
        guarded(self.problem, self._link)

    def _link(self) -> None:
        """Let the desks write what was typed last, then put all work into a link."""
        write_all()
        put(self.told, link_html(work_file_name(date.today()), "application/zip", work_bytes()))


def _as_it_came(_: str, content: bytes) -> bytes:
    """Return a file as it came: it is looked over when it is brought in."""
    return content


def _brought(content: bytes) -> tuple[str, ...]:
    """Bring a file in, tell the pages, and return what is to be said."""
    write_all()
    words = bring_work(content)
    lasting(words)
    book_changed(own_book())
    for kind in KINDS:
        works_changed(kind)
    return "", f"{words} {SHOWS}"


def work_file() -> WorkFile:
    """Return the page on which all work goes into one file, and comes out of one.

    >>> work_file().make.description
    'make a link to all my work'
    """
    return WorkFile()
