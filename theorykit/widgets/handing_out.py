"""The desk for handouts: choose blocks, order and fill them, see the pages, make the files."""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.block import Block
from theorykit.handout.editions import Edition
from theorykit.handout.handout import Handout
from theorykit.widgets.block_form import FRONT
from theorykit.widgets.controls import choice, guarded, offer, panel, picture
from theorykit.widgets.exploring import Explorer
from theorykit.widgets.fields import area, button
from theorykit.widgets.handout_draft import load_draft, own_draft, save_draft
from theorykit.widgets.handout_filling import Filling
from theorykit.widgets.handout_making import Making
from theorykit.widgets.handout_opening import HandoutOpening
from theorykit.widgets.handout_sources import Desks
from theorykit.widgets.keystrokes import keep_keys
from theorykit.widgets.own_files import own_book
from theorykit.widgets.page_look import PageLook
from theorykit.widgets.tune_page import TuneDesk
from theorykit.widgets.writing import LineDesk

__all__ = ["HandoutDesk", "handout_desk"]

EMPTY = 'title = "For Thursday"\n'
BEFORE = ".before.json"  # of what was typed last, where another handout is opened in its place
LEFT = {"flex": "1 1 480px", "min_width": "300px"}
RIGHT = {"flex": "1 1 480px", "min_width": "300px"}


class HandoutDesk(ipw.VBox):
    """The desk for handouts as a widget; its controls are attributes.

    ``text`` holds the handout as its text file; blocks and forms change that text, and the page
    follows it. ``handout`` is the last that could be read.
    """

    def __init__(self, text: str, path: Path, *, folder: str, book: str, desks: Desks) -> None:
        self.path = path
        kept = load_draft(path)
        if text and kept.get("text", text) != text:
            save_draft(self.before, kept)
        self.handout = Handout.parse(text or EMPTY)
        self.text = area("handout as text", text or kept.get("text", EMPTY), 14)
        self.blocks = ipw.Select(
            description="blocks", rows=8, layout={"width": "98%"}, tooltip="blocks in order"
        )
        self.up = button("up", lambda _: self._move(-1), "move the chosen block up")
        self.down = button("down", lambda _: self._move(1), "move the chosen block down")
        self.remove = button("remove", lambda _: self._remove(), "remove the chosen block")
        self.filling = Filling(self._take_up, self._save, lambda: self.handout, book, desks)
        self.edition = choice("page for", [("", None)], None)
        self.problem, self.saved = picture(), picture()
        self.look = PageLook()
        self.making = Making(self._good, folder or kept.get("folder", ""))
        self.opening = HandoutOpening(lambda one: self._exchange(str(one)), self._bring_back)
        super().__init__(self._parts())
        keep_keys(self)
        self.filling.restore(kept.get("form"))
        self.making.restore(kept.get("ticked"))
        self._watch()
        self._editions(None)
        looked_at = dict(self.edition.options).get(kept.get("page for"), self.edition.value)
        offer(self.edition, self.edition.options, looked_at, self._show)
        self._read(None)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        ordered = panel(self.up, self.down, self.remove)
        left = ipw.VBox([self.blocks, ordered, self.filling], layout=LEFT)
        right = ipw.VBox([self.edition, self.look], layout=RIGHT)
        below = [self.text, self.problem, self.saved, self.opening, self.making]
        return [panel(left, right), *below]

    def _watch(self) -> None:
        """Answer every change of a control."""
        self.text.observe(self._read, "value")
        self.blocks.observe(self._chosen, "value")
        self.edition.observe(self._show, "value")
        self.making.watch(self._ticked)

    # What was typed.

    def _read(self, _: object) -> None:
        """The text has changed: keep it, read it, show it; what is wrong is said beside it."""
        self._save(_)
        guarded(self.problem, self._parse, self._set_pages)

    def _parse(self) -> None:
        """Read the text and list its blocks."""
        self.handout = Handout.parse(self.text.value)
        place = self.blocks.value if self.blocks.value is not None else -1
        rows = [(f"{FRONT}: {self.handout.title[:60]}", -1)]
        rows += [(_named(n, block), n) for n, block in enumerate(self.handout.blocks)]
        offer(self.blocks, rows, min(place, len(self.handout.blocks) - 1), self._chosen)

    @property
    def before(self) -> Path:
        """The file of what was typed before another handout was opened in its place."""
        return self.path.with_suffix(BEFORE)

    @property
    def _draft(self) -> dict[str, Any]:
        """Everything that was typed and ticked."""
        return {
            "text": self.text.value,
            "folder": self.making.folder.value,
            "form": self.filling.typed,
            "ticked": self.making.ticked,
            "page for": self.edition.label or "",
        }

    def _save(self, _: object) -> None:
        """Keep everything that was typed and ticked."""
        guarded(self.saved, lambda: save_draft(self.path, self._draft))

    def _exchange(self, text: str) -> None:
        """Put another text in the place of the one on the desk, which is kept beside it."""
        save_draft(self.before, self._draft)
        self.text.value = text

    def _bring_back(self) -> None:
        """Exchange the text with the one that was there before."""
        text = load_draft(self.before).get("text")
        if text is None:
            raise TheoryError("no handout was here before (want one opened in place of another)")
        self._exchange(text)

    def _good(self) -> Handout:
        """Return the handout of the text as it stands, or say what is wrong with it."""
        return Handout.parse(self.text.value)

    # The page.

    def _ticked(self, _: object) -> None:
        """Something else is to be made: keep that, and offer its editions."""
        self._save(_)
        self._editions(_)

    def _editions(self, _: object) -> None:
        """The editions that are ticked are those whose pages can be looked at."""
        guarded(self.making.problem, self._offer_editions)

    def _offer_editions(self) -> None:
        """List the editions, and keep the one that is looked at if it is among them."""
        found = self.making.editions
        now = self.edition.value
        offer(
            self.edition,
            [(str(one), one) for one in found],
            now if now in found else found[0],
            self._show,
        )
        if now is not None and now not in found:
            self._show(None)

    def _show(self, _: object) -> None:
        """Show the pages of another edition, and remember which."""
        self._save(_)
        guarded(self.problem, self._set_pages)

    def _set_pages(self) -> None:
        """Set the pages anew; where no edition is ticked, those of the plainest."""
        self.look.show(self.handout, self.edition.value or Edition())

    # The blocks.

    def _change(self, blocks: list[Block], place: int) -> None:
        """Take another list of blocks for the handout; ``place`` is the one chosen."""
        self._write(self._good().with_blocks(blocks), place)

    def _write(self, handout: Handout, place: int) -> None:
        """Write a handout into the text, which shows it."""
        self.text.value = str(handout)
        offer(self.blocks, self.blocks.options, place, self._chosen)

    def _move(self, by: int) -> None:
        """Move the chosen block, if there is a place to move to."""

        def act() -> None:
            blocks, place = list(self._good().blocks), self.blocks.value
            if place >= 0 and 0 <= place + by < len(blocks):
                blocks[place], blocks[place + by] = blocks[place + by], blocks[place]
                self._change(blocks, place + by)

        guarded(self.filling.problem, act)

    def _remove(self) -> None:
        """Take the chosen block out."""

        def act() -> None:
            blocks, place = list(self._good().blocks), self.blocks.value
            if place < 0:
                raise TheoryError("the title and the note stay (want a block to remove)")
            self._change(blocks[:place] + blocks[place + 1 :], min(place, len(blocks) - 2))

        guarded(self.filling.problem, act)

    # The form.

    def _chosen(self, _: object) -> None:
        """A block was chosen: its form, filled in."""
        place = self.blocks.value
        if place is not None:
            one: Any = self.handout if place < 0 else self.handout.blocks[place]
            self.filling.fill(FRONT if place < 0 else one.kind, one)

    def _take_up(self, made: Any, new: bool) -> None:
        """Take what the form says into the handout."""
        handout, place = self._good(), self.blocks.value
        blocks = list(handout.blocks)
        if isinstance(made, Handout):
            self._write(made.with_blocks(blocks), place)
        elif new:
            here = len(blocks) if place < 0 else place + 1
            self._change([*blocks[:here], made, *blocks[here:]], here)
        elif place < 0:
            raise TheoryError("no block is chosen (want one in the list, or a new one)")
        else:
            self._change([*blocks[:place], made, *blocks[place + 1 :]], place)


def _named(place: int, block: Block) -> str:
    """Return a block as the list has it."""
    what = block.heading or next(
        (str(getattr(block, n)) for n in ("colour", "substitute", "text") if getattr(block, n, "")),
        "",
    )
    return f"{place + 1}  {block.kind}  {' '.join(what.split())[:50]}".strip()


def handout_desk(
    handout: Handout | str = "",
    *,
    path: str | PathLike[str] | None = None,
    folder: str | PathLike[str] = "",
    book: str | PathLike[str] | None = None,
    explorer: Explorer | None = None,
    lines: LineDesk | None = None,
    tunes: TuneDesk | None = None,
) -> HandoutDesk:
    """Return the desk for handouts, opened on a handout, or on what was typed there last.

    What is typed is kept in the file ``path``, by default the reader's own; a ``handout`` given
    takes its place, and what was there is kept beside it. ``folder`` is where files shall go,
    ``book`` the path of a phrase book. ``explorer``, ``lines`` and ``tunes`` are an explorer, a
    desk for lines and a desk for tunes to take a colour, a line and a tune from.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as home:
    ...     desk = handout_desk('title = "Warm-up"', path=f"{home}/draft.json")
    >>> desk.handout.title
    'Warm-up'
    """
    return HandoutDesk(
        str(handout),
        own_draft() if path is None else Path(path).expanduser(),
        folder=str(folder),
        book=str(own_book() if book is None else book),
        desks=Desks(explorer, lines, tunes),
    )
