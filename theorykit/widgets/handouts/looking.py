"""Pages of a handout as they will print, for one edition, and words on them."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Sequence
from dataclasses import replace

from theorykit.handout.fitting import Fitted, fitted
from theorykit.handout.front import Edition
from theorykit.handout.handout import Handout, moved_hint
from theorykit.handout.page import PLAIN, Setting, check_letters, page_pngs
from theorykit.notes.reader import READERS
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import answer, button, choice, offer, panel, picture, put, safely
from theorykit.widgets.faults import Page

NOT_TICKED = " (not ticked below)"
DPI = 84  # an A4 page is then about 700 pixels wide
ROOM = 600


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

    def show(self, handout: Handout, edition: Edition, one: Fitted) -> None:
        """Set the pages of an edition and show the one that was looked at."""
        self.pages = page_pngs(handout, one.sections, edition, one.setting, told=one.told, dpi=DPI)
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
    """A list of editions, and the pages of one of them; ``changed`` follows another choice."""

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self._settings: dict[Edition, Setting] = {}  # in which the pages were set last
        self._shown: tuple[Handout, Edition] | None = None
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
        if (handout, edition) == self._shown:
            self.pages.turn(0)
            return
        self._shown = None
        check_letters(handout)
        one = fitted(handout, handout.blocks, edition, near=self._settings.get(edition, PLAIN))
        self._settings[edition] = one.setting
        hints = [text for text in (one.told, moved_hint(handout, edition)) if text]
        put(self.hint, sentences_html("", *hints) if hints else "")
        self.pages.show(handout, edition, one)
        self._shown = handout, edition


def _for_others(editions: Sequence[Edition]) -> tuple[Edition, ...]:
    """Return editions like the first one for the readers for whom none is.

    >>> [one.reader for one in _for_others([Edition("B flat", "teacher"), Edition("F")])]
    ['concert', 'E flat', 'bass clef', 'guitar']
    """
    there = {one.reader for one in editions}
    names = (who.name for who in READERS if who.name not in there)
    return tuple(replace(editions[0], reader=name) for name in names)
