"""I play ...: the one control that says for whom the whole workbook is written."""

from __future__ import annotations

from theorykit.notes.reader import BASSIST, READERS, Reader
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import keep_reader, own_player
from theorykit.widgets.controls import choice, guarded, keep_keys, panel, picture, put
from theorykit.widgets.faults import Page

__all__ = ["IPlay", "i_play"]

WIDE = "560px"  # the longest list of players is not cut
KEPT = (
    "This is kept. Widgets, chapters and handouts that you open from now on are written for it; "
    "each of them can be set to another reader. What is open already changes when its cell is run "
    "again."
)


class IPlay(Page):
    """The setting as a widget: a list, and what becomes of the choice.

    >>> box = IPlay()
    >>> box.reader.value.name
    'concert'
    """

    def __init__(self) -> None:
        self.reader = choice("I play", _options(), own_player(), width=WIDE)
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.reader), self.problem, self.told])
        keep_keys(self)
        self.reader.observe(self._chosen, "value")

    def _chosen(self, _: object) -> None:
        """Another instrument: keep it."""
        guarded(self.problem, self._keep)

    def _keep(self) -> None:
        """Keep what is chosen, and say so."""
        kept = keep_reader(self.reader.value)
        put(self.told, sentences_html(f"Written for {kept.name}.", KEPT))


def _options() -> list[tuple[str, Reader]]:
    """Return the readers with those who play what is written so."""
    return [(f"{one.name}: {one.players}", one) for one in (*READERS, BASSIST)]


def i_play(instrument: str = "") -> IPlay:
    """Return the setting; an instrument, by any name that players use, is kept at once.

    >>> i_play("kazoo")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such reader: 'kazoo' (want concert, B flat, E flat, F, \
bass clef or guitar, or an instrument such as tenor saxophone)
    """
    if instrument:
        keep_reader(instrument)
    return IPlay()
