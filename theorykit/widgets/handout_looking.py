"""Looking at a handout: for which edition, its pages, and what is to be said of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as ipw

from theorykit.handout.editions import Edition
from theorykit.handout.handout import Handout
from theorykit.handout.hints import unmoved_hint
from theorykit.handout.letters import check_letters
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import choice, offer, picture, put
from theorykit.widgets.page_look import PageLook

__all__ = ["Looking"]


class Looking(ipw.VBox):
    """A list of editions, and the pages of one of them; ``changed`` follows another choice."""

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self.edition = choice("page for", [("", None)], None)
        self.hint, self.pages = picture(), PageLook()
        super().__init__([self.edition, self.hint, self.pages])
        self.edition.observe(self._chosen, "value")

    def _chosen(self, _: object) -> None:
        """Another edition was chosen."""
        self._changed()

    def offer(self, editions: Sequence[Edition], kept: str = "") -> None:
        """List editions; the one that is looked at, or the one kept by name, stays chosen."""
        rows = [(str(one), one) for one in editions]
        before = self.edition.value
        now = dict(rows).get(kept, before if before in editions else editions[0])
        offer(self.edition, rows, now, self._chosen)
        if before is not None and before != now:
            self._changed()

    def show(self, handout: Handout) -> None:
        """Set the pages anew; where no edition is listed, those of the plainest."""
        edition = self.edition.value or Edition()
        check_letters(handout)
        hint = unmoved_hint(handout, edition)
        put(self.hint, sentences_html("", hint) if hint else "")
        self.pages.show(handout, edition)
