"""The player: takes of the band, told to the page once, and the sounds that it asks for.

The page plays by itself. Tempo, levels, bars and rounds need no kernel; a new key or colour sends
the new notes, and of their sounds only those that the page has not yet, what is needed first before
the rest. The engine makes the file of what is heard when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

import anywidget
import ipywidgets as ipw
import traitlets as t

from theorykit.errors import TheoryError, shown
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES
from theorykit.show.player import player_script, player_style
from theorykit.show.sound import NoteStock, band_told, mp3_bytes, render, takes_html
from theorykit.views.sounding import FASTEST, SLOWEST, STEP, PlayerSetting, Take, heard_take
from theorykit.widgets.controls import slider as labelled_slider
from theorykit.widgets.faults import noted
from theorykit.widgets.player.feed import Feed
from theorykit.widgets.player.standing import Standing

PICTURES = "theorykit-pictures"  # the class of a part of a page with a player and its pictures
Travel = Callable[[int, str], Sequence[Take]]


class Player(anywidget.AnyWidget):
    """A player; ``show`` says what there is to be played, and ``takes`` is that as the page has it.

    ``travel`` returns the takes of all keys for the place of a take and a step from key to key.
    ``is_seen`` tells whether the staff on the page is still that of the line. ``standing`` is how
    it is set, for a page that keeps that: ``levels`` of the parts and the ``bar``.

    >>> from theorykit.lines.band import performance
    >>> from theorykit.tunes.progression import two_five_one
    >>> box = Player(tempo=100)
    >>> box.show([Take("in C", performance(None, two_five_one("C")))])
    >>> [take["label"] for take in box.takes], box.shown[0].label
    (['in C'], 'in C')
    """

    _esm = player_script()
    _css = player_style()
    band = t.Dict().tag(sync=True)
    takes: t.List = t.List().tag(sync=True)
    chosen = t.Int(0).tag(sync=True)
    every_key: t.List = t.List().tag(sync=True)
    tempo = t.Float(120.0).tag(sync=True)
    journey = t.Unicode("").tag(sync=True)
    travels = t.Bool(False).tag(sync=True)
    is_seen = t.Bool(True).tag(sync=True)
    levels: t.List = t.List(t.Unicode(), [*PlayerSetting().levels]).tag(sync=True)
    bar = t.Int(0).tag(sync=True)  # where it stands when nothing sounds, from 0
    problem = t.Unicode("").tag(sync=True)
    paced = False  # whether its tempo is part of its setting

    def __init__(self, *, tempo: float = 120, travel: Travel | None = None) -> None:
        self.shown: tuple[Take, ...] = ()
        self._melody, self._travel = "", travel
        self._stock = NoteStock()
        self._feed = Feed(self._stock, self._say, lambda: self.comm is not None)
        self._told: dict[tuple[Take, str], dict[str, object]] = {}
        super().__init__(band=band_told(), tempo=float(tempo), travels=travel is not None)
        self.standing = Standing(self, paced=self.paced)
        self.on_msg(self._asked)
        self.observe(self._set_out, ["journey", "chosen"])

    def follow(self, slider: ipw.FloatSlider) -> None:
        """Let a slider say the tempo, in the page too, where no kernel need answer."""
        self.tempo = slider.value
        t.link((slider, "value"), (self, "tempo"))
        self._linked = ipw.jslink((slider, "value"), (self, "tempo"))

    def show(self, takes: Iterable[Take], melody: str = "") -> None:
        """Let there be these takes, with this sound of the line; what plays goes on with them."""
        before = (self.shown, self._melody)
        found = tuple(takes)
        if before == (found, melody):
            return
        noted(partial(self._put, *before))
        self._put(found, melody)

    def _put(self, takes: tuple[Take, ...], melody: str) -> None:
        """Set the takes."""
        self.shown, self._melody = takes, melody
        self._feed.rest()
        told = [self._tell(take) for take in takes]
        keys = self._keys()
        with self.hold_sync():
            self.chosen = min(self.chosen, max(0, len(told) - 1))
            self.every_key = keys
            self.takes = told

    def _tell(self, take: Take) -> dict[str, object]:
        """Return a take as the page is told it; the last ones are remembered."""
        name = (take, self._melody)
        if name not in self._told:
            while len(self._told) >= 32:
                self._told.pop(next(iter(self._told)))
            self._told[name] = self._stock.told(take, self._melody)
        return self._told[name]

    def _keys(self) -> list[dict[str, object]]:
        """Return the takes of all keys, where the music travels."""
        if not (self.journey and self._travel and self.shown):
            return []
        return [self._tell(take) for take in self._travel(self.chosen, self.journey)]

    def _set_out(self, _: object) -> None:
        """Another way through the keys, or another take to go that way with."""
        self.every_key = self._keys()

    def _asked(self, _: object, message: dict[str, Any], __: object) -> None:
        """The page asks for sounds, or for a file."""
        try:
            if "ask" in message:
                self._feed.ask(message["ask"], message.get("form", "ogg"))
            elif "save" in message:
                name, data = self.saved(message["save"])
                self.send({"saved": name, "type": "audio/mpeg"}, buffers=[data])
        except TheoryError as refusal:
            self.send({"problem": str(refusal)})

    def _say(self, message: Mapping[str, object], files: Sequence[bytes]) -> None:
        """Send the page a message, and files with it."""
        self.send(dict(message), buffers=[*files])

    @property
    def page_html(self) -> str:
        """The player for a page without a kernel; its plain players play each take once through.

        >>> Player().page_html
        ''
        """
        return takes_html(self.shown, melody=self._melody or next(iter(MELODY_SOUNDS)))

    def saved(self, heard: dict[str, Any]) -> tuple[str, bytes]:
        """Return the name and the bytes of a file of what is heard, made by the engine.

        ``heard`` has the ``tempo``, the place of the take that is ``chosen``, and the level of each
        part: one of 0 is left out, one that is soft is as loud there.
        """
        chosen, tempo = heard.get("chosen", 0), float(heard.get("tempo", self.tempo))
        if not 0 <= chosen < len(self.shown):
            raise TheoryError(f"no such take: {shown(chosen)} (want one of {len(self.shown)})")
        levels = dict(zip(PART_NAMES, heard.get("silent", ()), strict=False))
        take = self.shown[chosen]
        played = heard_take(take, tempo, levels)
        sound = render(played, melody=self._melody or next(iter(MELODY_SOUNDS)))
        return f"{take.label}, tempo {tempo:g}.mp3", mp3_bytes(sound)


def tempo_slider(tempo: float) -> ipw.FloatSlider:
    """Return the slider of a tempo, over all that a page plays.

    >>> slider = tempo_slider(100)
    >>> slider.min, slider.max
    (40.0, 320.0)
    """
    return labelled_slider("tempo", tempo, SLOWEST, FASTEST, STEP, "beats a minute")
