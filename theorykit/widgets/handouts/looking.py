"""Pages of a handout as they will print, for one edition, and words on them."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Sequence
from dataclasses import replace

from theorykit.handout.fitting import Fitted, fitted, set_as
from theorykit.handout.front import Edition
from theorykit.handout.handout import Handout, moved_hint
from theorykit.handout.page import PLAIN, check_letters, page_extent, page_pngs
from theorykit.notes.reader import READERS
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    offer,
    panel,
    picture,
    put,
    safely,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.side_work import Quiet

NOT_TICKED = " (not ticked below)"
DPI = 105  # an A4 page is then about 870 pixels wide, and the smallest letters are whole
ROOM = 600
GIVEN_AWAY = (
    "The answers stand on a page that has questions as well: choose 'teacher only' for them, or "
    "put a new page behind the questions."
)
FOLLOWS = "The page follows when you stop typing: a chorus is written anew."


class PageLook(Page):
    """A page with buttons to turn to the one before and the next."""

    def __init__(self) -> None:
        self.pages: list[bytes] = []
        self.place = 0
        self.shown = picture(ROOM)
        self.told = picture()
        self.problem = picture()
        self.back = button("page before", safely(self.problem, lambda: self.turn(-1)))
        self.on = button("next page", safely(self.problem, lambda: self.turn(1)))
        super().__init__([panel(self.back, self.on, self.told), self.problem, self.shown])

    def show(self, pages: Sequence[bytes]) -> None:
        """Show the one of other pages that was looked at."""
        self.pages = list(pages)
        self.turn(0)

    def first(self) -> None:
        """Go back to the first page, for the pages that are shown next."""
        self.place = 0

    def turn(self, by: int) -> None:
        """Turn some pages on; there is none before the first and none after the last."""
        last = len(self.pages) - 1
        self.place = max(0, min(last, self.place + by))
        self.back.disabled, self.on.disabled = self.place <= 0, self.place >= last
        if self.pages:
            words = f"page {self.place + 1} of {last + 1}"
            data = b64encode(self.pages[self.place]).decode()
            put(self.told, words)
            put(
                self.shown,
                f'<img alt="{words}, as it will print" src="data:image/png;base64,{data}" '
                'style="max-width:100%;border:1px solid #888">',
            )


# === Editions ===


class Looking(Page):
    """A list of editions, and the pages of one of them; ``changed`` follows another choice.

    Pages with a target take several layouts to be found. While letters are typed they are set as
    they were before; whether they fit so, or in a wider setting, is asked in the first quiet
    moment (``quiet``), by ``settle``. Pages for which a chorus is to be written wait for it whole.
    """

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self._ways: dict[tuple[Edition, str], Fitted] = {}  # how pages were set last, by target
        self._shown: tuple[Handout, Edition, Fitted] | None = None
        self._is_sure, self._gives_away = True, False
        self._waits: tuple[Handout, Edition] | None = None
        self.quiet = Quiet(lambda: guarded(self.problem, self.settle))
        self.edition = choice("page for", [("", None)], None)
        self.hint, self.problem, self.pages = picture(), picture(), PageLook()
        super().__init__([self.edition, self.hint, self.problem, self.pages])
        self.edition.observe(self._chosen, "value")

    @answer
    def _chosen(self, _: object) -> None:
        """Another edition was chosen."""
        self._changed()

    def offer(self, editions: Sequence[Edition]) -> None:
        """List editions, then the same for other readers; the one looked at stays chosen.

        Those that are not ticked are looked at alone; nothing is made of them.
        """
        found = (*editions, *_for_others(editions))
        rows = [(str(one) if one in editions else f"{one}{NOT_TICKED}", one) for one in found]
        before = self.edition.value
        now = before if before in found else editions[0]
        offer(self.edition, rows, now, self._chosen)
        if before is not None and before != now:
            self._changed()

    def show(self, handout: Handout) -> None:
        """Set the pages anew; where no edition is listed, those of the plainest."""
        edition = self.edition.value or Edition()
        if not self._waits and self._shown is not None and self._shown[:2] == (handout, edition):
            self.pages.turn(0)
            return
        known, self._shown, self._waits = self._shown, None, None
        check_letters(handout)
        before = None if self.quiet.at_once else self._ways.get((edition, handout.fits))
        if before is not None and known is not None and _writes(handout, known[0]):
            self._shown, self._waits = known, (handout, edition)
            put(self.hint, sentences_html("", FOLLOWS))
            self.quiet.wait()
            return
        if before is None:
            self._set(handout, edition)
        else:
            one = set_as(before, handout.blocks, edition)
            self._put(handout, edition, one)
            self._is_sure = not (edition.most_pages(handout.fits) or _answers(one, edition))
            if not self._is_sure:
                self.quiet.wait()

    def _set(self, handout: Handout, edition: Edition) -> None:
        """Set pages as they will be printed."""
        key = edition, handout.fits
        near = self._ways[key].setting if key in self._ways else PLAIN
        one = fitted(handout, handout.blocks, edition, near=near)
        self._ways[key] = replace(one, sections=())
        self._is_sure, self._gives_away = True, _gives_away(handout, edition, one)
        self.quiet.cancel()
        if (handout, edition, one) != self._shown:
            self._put(handout, edition, one)
        else:
            self._say(handout, edition, one)

    def _put(self, handout: Handout, edition: Edition, one: Fitted) -> None:
        """Draw pages."""
        pages = page_pngs(handout, one.sections, edition, one.setting, told=one.told, dpi=DPI)
        self._say(handout, edition, one)
        self.pages.show(pages)
        self._shown = handout, edition, one

    def _say(self, handout: Handout, edition: Edition, one: Fitted) -> None:
        """Say what is to be said of the pages."""
        gone = f"Left out so that it fits: {one.gone}." if one.gone else ""
        near = GIVEN_AWAY if self._gives_away and _answers(one, edition) else ""
        hints = [text for text in (one.told, gone, near, moved_hint(handout, edition)) if text]
        put(self.hint, sentences_html("", *hints) if hints else "")

    def settle(self) -> None:
        """Set the pages as they will be printed, where they were set as those before."""
        asked, self._waits = self._waits, None
        if asked is not None:
            self._set(*asked)
        elif self._shown is not None and not self._is_sure:
            self._set(*self._shown[:2])

    def turn_to(self, place: int) -> None:
        """Turn to the page on which a block begins, by its number from 0; title and note are -1."""
        self.settle()
        if self._shown is None or place >= len(self._shown[0].blocks):
            return
        page = 1
        if place >= 0 and len(self.pages.pages) > 1:
            handout, edition, one = self._shown
            sizes = page_extent(
                handout, one.sections, edition, one.setting, told=one.told, by_section=True
            )
            page = sizes.begins[place]
        self.pages.turn(page - 1 - self.pages.place)


def _writes(handout: Handout, before: Handout) -> bool:
    """Tell whether music is to be written for a handout that the one before did not have."""
    return any(block.writes_lines and block not in before.blocks for block in handout.blocks)


def _answers(one: Fitted, edition: Edition) -> bool:
    """Tell whether answers stand at the end of pages."""
    return edition.audience == "student" and any(section.answers for section in one.sections)


def _gives_away(handout: Handout, edition: Edition, one: Fitted) -> bool:
    """Tell whether the answers of pages stand below questions."""
    if not _answers(one, edition):
        return False
    return page_extent(handout, one.sections, edition, one.setting, told=one.told).gives_away


def _for_others(editions: Sequence[Edition]) -> tuple[Edition, ...]:
    """Return editions like the first one for the readers for whom none is.

    >>> [one.reader for one in _for_others([Edition("B flat", "teacher"), Edition("F")])]
    ['concert', 'E flat', 'bass clef', 'guitar']
    """
    there = {one.reader for one in editions}
    names = (who.name for who in READERS if who.name not in there)
    return tuple(replace(editions[0], reader=name) for name in names)
