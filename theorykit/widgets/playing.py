"""I play ...: for whom the whole workbook is written, and with which sounds it plays."""

from __future__ import annotations

from theorykit.notes.reader import BASSIST, READERS, Reader
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import keep_reader, own_player
from theorykit.show.sound import keep_soundfont, own_soundfont, soundfont_words
from theorykit.widgets.controls import choice, guarded, keep_keys, panel, picture, put, typed
from theorykit.widgets.faults import Page

__all__ = ["IPlay", "i_play"]

WIDE = "560px"  # the longest list of players is not cut
TIP = (
    "a file .sf2 or .sf3 on this machine, with all sounds of General MIDI; "
    "empty for the ones found here"
)
KEPT = (
    "This is kept. Widgets, chapters and handouts that you open from now on are written for it; "
    "each of them can be set to another reader. What is open already changes when its cell is run "
    "again."
)


class IPlay(Page):
    """The settings as a widget: a list, a file of sounds, and what becomes of the choice.

    >>> box = IPlay()
    >>> box.reader.value.name
    'concert'
    """

    def __init__(self) -> None:
        self.reader = choice("I play", _options(), own_player(), width=WIDE)
        own = own_soundfont()
        self.soundfont = typed(
            "SoundFont", str(own or ""), TIP, example="sounds/band.sf2", width=WIDE
        )
        self.problem, self.told, self.sounds = picture(), picture(), picture()
        super().__init__([panel(self.reader, self.soundfont), self.problem, self.told, self.sounds])
        keep_keys(self)
        self._tell_sounds(soundfont_words())
        self.reader.observe(self._chosen, "value")
        self.soundfont.observe(self._typed, "value")

    def _chosen(self, _: object) -> None:
        """Another instrument: keep it."""
        guarded(self.problem, self._keep)

    def _keep(self) -> None:
        """Keep what is chosen, and say so."""
        kept = keep_reader(self.reader.value)
        put(self.told, sentences_html(f"Written for {kept.name}.", KEPT))

    def _typed(self, _: object) -> None:
        """Another file of sounds: keep it."""
        guarded(self.problem, self._keep_sounds)

    def _keep_sounds(self) -> None:
        """Keep what was typed, and say what plays."""
        self._tell_sounds(keep_soundfont(self.soundfont.value.strip() or None))

    def _tell_sounds(self, words: str) -> None:
        """Say which sounds play."""
        put(self.sounds, sentences_html("", f"The band plays with {words}."))


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
