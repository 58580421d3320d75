"""The desk for handouts: choose blocks, order and fill them, see the pages, make the files."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from os import PathLike
from pathlib import Path
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path
from theorykit.handout.blocks import Block
from theorykit.handout.handout import Handout
from theorykit.handout.term_sheet import sheet_of, term_of
from theorykit.widgets.controls import (
    answer,
    area,
    button,
    guarded,
    keep_keys,
    offer,
    panel,
    picture,
    unwatched,
)
from theorykit.widgets.exploring import Explorer
from theorykit.widgets.faults import Page
from theorykit.widgets.handouts.block_form import FRONT, block_rows, origins
from theorykit.widgets.handouts.file_making import Making
from theorykit.widgets.handouts.filling import Filling
from theorykit.widgets.handouts.handout_opening import (
    EMPTY,
    HandoutOpening,
    drafts_path,
    handout_title,
    readable,
    take_old,
)
from theorykit.widgets.handouts.looking import Looking
from theorykit.widgets.handouts.sources import Desks, renewed
from theorykit.widgets.lines import LineDesk
from theorykit.widgets.own_files import OwnFiles
from theorykit.widgets.tunes import TuneDesk
from theorykit.widgets.works import Hands, MyWork, place_of

LEFT = {"flex": "1 1 480px", "min_width": "300px"}
RIGHT = {"flex": "1 1 480px", "min_width": "300px"}


class HandoutDesk(Page):
    """The desk for handouts as a widget; its controls are attributes.

    ``text`` holds the handout as its text file; blocks and forms change that text, and the page
    follows it. ``handout`` is the last that could be read.
    """

    def __init__(
        self,
        text: str,
        path: Path | None,
        *,
        folder: str,
        book: str,
        desks: Desks,
        draft: str,
        files_below: bool,
    ) -> None:
        self._origins: list[int | None] | None = None  # of blocks that a button has moved
        self.handout = readable(text, EMPTY)
        self.text = area("handout as text", text or EMPTY, 14, EMPTY)
        self.blocks = ipw.Select(
            description="blocks", rows=8, layout={"width": "98%"}, tooltip="blocks in order"
        )
        self.after = -1  # the block chosen last, after which a new one goes
        self.up = button("up", lambda _: self._move(-1), "move the chosen block up")
        self.down = button("down", lambda _: self._move(1), "move the chosen block down")
        self.remove = button("remove", lambda _: self._remove(), "remove the chosen block")
        self.filling = Filling(self, book, desks)
        self.looking = Looking(self._looked)
        self.problem = picture()
        own = OwnFiles(drafts_path(path))
        self.making = Making(self._good, lambda: self.filling.left_out, self._news, folder, own)
        setting = self.making.controls | {"page for": self.looking.edition}
        if folder:  # what the cell says of it, it says again
            del setting["folder"]
        hands = Hands(self._work, self._bring, handout_title, setting)
        place = place_of("handout", draft, {"text": text})
        self.mine = MyWork("handout", place, hands, {"text": EMPTY}, drafts_path(path))
        self.opening = HandoutOpening(self.mine.take)
        self.filling.sources.offer_on_desks(self._put_on)
        super().__init__([*self._parts(), *([self.making] if files_below else [])])
        keep_keys(self)
        if not files_below:
            keep_keys(self.making)
        self._begin(path, place)

    def _begin(self, path: Path | None, place: str) -> None:
        """Show what was kept, or what was given where nothing was; nothing is written yet."""
        self.text.observe(self._read, "value")
        self.blocks.observe(self._row_chosen, "value")
        if self.mine.drafts.lasts:
            guarded(self.problem, lambda: take_old(self.mine.drafts, path, "handout", place))
        self.mine.begin({"text": self.text.value})
        self.making.make.on_click(self._settled)
        self.making.watch(self._ticked)  # what is ticked was restored by now, and shown once

    def _work(self) -> dict[str, Any]:
        """Return the handout as text, and beside it everything that is half typed."""
        beside = {"good": str(self.handout), "form": self.filling.typed, "place": self.after}
        return {"text": self.text.value, "beside": beside}

    def _bring(self, data: dict[str, Any]) -> None:
        """Put a handout on the desk that was kept."""
        kept = data.get("beside")
        beside: dict[str, Any] = kept if isinstance(kept, dict) else {}
        self.filling.clear()
        self.looking.pages.first()
        self._editions()
        with unwatched(self._read, self.text):
            self.text.value = str(data.get("text", ""))
        self.handout = readable(self.text.value, str(beside.get("good", "")), EMPTY)
        guarded(self.problem, self._set_pages)
        place, last = beside.get("place"), len(self.handout.blocks) - 1
        self.choose(max(-1, min(place, last)) if isinstance(place, int) else -1)
        self.filling.restore(beside.get("form"))
        self._read(None)
        self.making.show_made()

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        ordered = panel(self.up, self.down, self.remove)
        left = ipw.VBox([self.blocks, ordered, self.filling], layout=LEFT)
        right = ipw.VBox([self.looking], layout=RIGHT)
        below = [self.text, self.problem, self.opening]
        return [self.mine, panel(left, right), *below]

    # What was typed.

    @answer
    def _read(self, _: object) -> None:
        """The text has changed: read it, keep it, show it; what is wrong is said beside it."""
        if not self.mine.is_showing:
            self.making.stale()
        guarded(self.problem, self._take_in, self.filling.take_up, self._set_pages)

    def _take_in(self) -> None:
        """Read the text, and keep it whether it can be read or not."""
        try:
            self._parse()
        finally:
            self.keep()

    def _parse(self) -> None:
        """Read the text, list its blocks, and let the form follow the chosen one."""
        before, self.handout = self.handout.blocks, Handout.parse(self.text.value)
        found = self._origins if self._origins is not None else origins(before, self.handout.blocks)
        self._origins = None
        self.filling.follow(found)
        self.after = found.index(self.after) if self.after in found else -1
        place = self.filling.place
        self._list(place)
        if place is not None and self._block(place) != self.filling.chosen:
            self.filling.forget()
            self._fill(place)

    def _list(self, place: int | None) -> None:
        """List the blocks, one of them or none being chosen."""
        offer(self.blocks, block_rows(self.handout), place, self._row_chosen)

    def keep(self) -> None:
        """Keep everything that was typed and ticked."""
        self.mine.later()

    def _good(self) -> Handout:
        """Return the handout of the text as it stands, or say what is wrong with it."""
        return Handout.parse(self.text.value)

    # The page.

    @answer
    def _ticked(self, _: object) -> None:
        """Something else is to be made: offer its editions."""
        self._editions()

    def _editions(self) -> None:
        """The editions that are ticked are those whose pages can be looked at."""
        making = self.making
        guarded(making.problem, making.arrange, lambda: self.looking.offer(making.editions))

    @answer
    def _looked(self) -> None:
        """Another edition is looked at: show its pages."""
        guarded(self.problem, self._set_pages)

    def _set_pages(self) -> None:
        """Set the pages anew."""
        self.looking.show(self.handout)

    # The blocks.

    def _block(self, place: int) -> Any:
        """Return a block by its number, or title and note as -1."""
        return self.handout.with_blocks(()) if place < 0 else self.handout.blocks[place]

    def _write(self, order: list[int | None], new: Block | None = None) -> None:
        """Write the blocks in another order; ``None`` in it stands for the ``new`` one."""
        handout = self._good()
        blocks = [new if place is None else handout.blocks[place] for place in order]
        self._origins = order
        self.text.value = str(handout.with_blocks(block for block in blocks if block is not None))
        if self._origins is not None:  # the text is the same: equal blocks have changed places
            self._take_in()

    def _move(self, by: int) -> None:
        """Move the chosen block, if there is a place to move to."""

        def act() -> None:
            order, place = self._order, self._chosen_block("move")
            if 0 <= place + by < len(order):
                order[place], order[place + by] = order[place + by], order[place]
                self._write(order)

        guarded(self.filling.problem, act)

    @answer
    def _settled(self, _: object) -> None:
        """Files are made: the title is no longer being typed."""
        guarded(self.problem, self.mine.settle)

    def _remove(self) -> None:
        """Take the chosen block out."""

        def act() -> None:
            order, place = self._order, self._chosen_block("remove")
            self._write(order[:place] + order[place + 1 :])
            self.choose(min(place, len(order) - 2))

        guarded(self.filling.problem, act)

    @property
    def _order(self) -> list[int | None]:
        """The places of the blocks as they stand."""
        return list(range(len(self._good().blocks)))

    def _chosen_block(self, what: str) -> int:
        """Return the number of the chosen block, or refuse where none is chosen."""
        place = self.blocks.value
        if place is None or place < 0:
            raise TheoryError(f"no block is chosen (want one in the list, to {what} it)")
        return int(place)

    # The form, as ``Filling`` asks for it.

    def choose(self, place: int | None) -> None:
        """Choose a block by its number from 0, title and note as -1, or none."""
        self._list(place)
        if place is not None:
            self._fill(place)
            self.keep()

    @answer
    def _row_chosen(self, _: object) -> None:
        """A row of the list was chosen: its form."""
        if self.blocks.value is not None:
            self._fill(self.blocks.value)
            self.looking.turn_to(self.blocks.value)
            self.keep()

    def _fill(self, place: int) -> None:
        """Open the form of a block."""
        self.after, one = place, self._block(place)
        self.filling.show(FRONT if place < 0 else one.kind, one, place)

    def put(self, made: Any) -> None:
        """Put a changed block, or title and note, in the place of the chosen ones."""
        handout = self._good()
        if isinstance(made, Handout):
            self.text.value = str(made.with_blocks(handout.blocks))
        else:
            blocks = list(handout.blocks)
            blocks[self.after] = made
            self._exchange(blocks)

    def _exchange(self, blocks: Sequence[Block]) -> None:
        """Put changed blocks in the places of those that were there."""
        self._origins = self._order
        self.text.value = str(self._good().with_blocks(blocks))
        self._origins = None

    def _put_on(self, made: Block) -> str:
        """Add a block that another desk sends, or renew its tune; choose it, say where it is."""
        blocks = self._good().blocks
        new = [renewed(block, made) or block for block in blocks]
        places = [place for place, block in enumerate(blocks) if renewed(block, made) is not None]
        if not places:
            place = self.add(made)
            self.choose(place)
            return f"It is block {place + 1} of the handout {self.handout.title}."
        self._exchange(new)
        self.choose(places[0])
        self.looking.turn_to(places[0])
        return _renewed_words(places, self.handout.title)

    def _news(self, handout: Handout) -> str:
        """Return what is new in a handout since the sheet before, in a sentence."""
        drafts = self.mine.drafts
        held = drafts.present("handout")
        others = (work for work in drafts.works("handout") if not self.mine.has(work.number))
        days = ((held[one.number], date.fromtimestamp(one.changed)) for one in others)
        sheet = sheet_of(handout, date.today())
        return sheet.news(
            term_of((str(data.get("text", "")), day) for data, day in days).before(sheet)
        )

    def add(self, made: Block) -> int:
        """Add a new block after the one chosen last, or at the end, and turn to its page.

        Its place is returned.
        """
        order = self._order
        here = len(order) if self.after < 0 else self.after + 1
        self._write([*order[:here], None, *order[here:]], made)
        self.after = here
        self.looking.turn_to(here)
        return here


def _renewed_words(places: list[int], title: str) -> str:
    """Say which blocks had the tune that was sent.

    >>> _renewed_words([0, 3], "Warm-up")
    'This tune was there already: block 1 and block 4 of the handout Warm-up have it as it is now.'
    """
    named = " and ".join(f"block {place + 1}" for place in places)
    has = "has" if len(places) == 1 else "have"
    return f"This tune was there already: {named} of the handout {title} {has} it as it is now."


def handout_desk(
    handout: Handout | str = "",
    *,
    draft: str = "",
    path: str | PathLike[str] | None = None,
    folder: str | PathLike[str] = "",
    book: str | PathLike[str] | None = None,
    explorer: Explorer | None = None,
    lines: LineDesk | None = None,
    tunes: TuneDesk | None = None,
    files_below: bool = True,
) -> HandoutDesk:
    """Return the desk for handouts, opened on what was typed there last, or on a handout.

    What is typed is kept, and is there again when the cell is run again; a ``handout`` is shown
    where nothing was typed yet. ``draft`` names the desk, so that two with the same handout each
    have their own, and ``path`` is the file, by default the reader's own. ``folder`` is where files
    shall go, ``book`` the path of a phrase book. ``explorer``, ``lines`` and ``tunes`` are an
    explorer, a desk for lines and a desk for tunes to take a colour, a line and a tune from. What
    makes the files stands below the desk, or else is shown by a cell of its own as ``.making``.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as home:
    ...     desk = handout_desk('title = "Warm-up"', path=f"{home}/drafts.sqlite")
    >>> desk.handout.title
    'Warm-up'
    """
    return HandoutDesk(
        str(handout),
        None if path is None else Path(expect_path(path)).expanduser(),
        folder=str(folder),
        book="" if book is None else str(book),
        desks=Desks(explorer, lines, tunes),
        draft=draft,
        files_below=files_below,
    )
