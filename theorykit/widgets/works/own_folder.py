"""The folder of works beside a desk: none, or the one that the reader has chosen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol
from weakref import WeakSet

from theorykit.show.own_place import work_folder
from theorykit.show.work_folder import KINDS, BookWorks, DraftWorks, WorkFolder
from theorykit.study.drafts import Data, Drafts
from theorykit.study.phrasebook import PhraseBook


def folder_of(kind: str, drafts: Drafts, titled: Callable[[Data], str]) -> WorkFolder | None:
    """Return the files of a kind of work, None where no folder is chosen or nothing is kept.

    >>> folder_of("tune", Drafts(), str) is None
    True
    """
    folder = work_folder() if drafts.lasts and kind in KINDS else None
    if folder is None:
        return None
    return WorkFolder(folder, KINDS[kind], DraftWorks(KINDS[kind], drafts, titled), drafts)


def phrase_folder(drafts: Drafts, book: PhraseBook) -> WorkFolder | None:
    """Return the files of the phrases of a book, None where no folder is chosen."""
    folder = work_folder() if drafts.lasts else None
    if folder is None:
        return None
    kind = KINDS["phrase"]
    return WorkFolder(folder, kind, BookWorks(kind, book, drafts), drafts)


# === Pages that list works ===


class WorksPage(Protocol):
    """A page that lists works."""

    @property
    def comm(self) -> object:
        """Its way to the browser, None once it is closed."""

    def works_changed(self, kind: str) -> None:
        """Look again, if works of that kind are listed."""


_LOOKING: WeakSet[WorksPage] = WeakSet()


def tell_works(page: WorksPage) -> None:
    """Tell a page from now on when a work is kept on any desk of this kernel."""
    _LOOKING.add(page)


def works_changed(kind: str) -> None:
    """Tell the pages that list works, and are not closed, that one of a kind was kept."""
    for page in list(_LOOKING):
        if page.comm is not None:
            page.works_changed(kind)
