"""Hearing a phrase: its chords, keys and tempo, and a player when one is asked for.

Sound is made when the reader presses *hear*, not at each change: a long journey through the keys
takes a second, and a loop that plays is not cut off by a letter that is typed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import ipywidgets as ipw

from theorykit.harmony.colours import Colour
from theorykit.lines.band import default_swing
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.lines.text import Line
from theorykit.show.html_text import sentences_html
from theorykit.show.sound import CAUTION, performance_html
from theorykit.views.sounding import CHORDS, JOURNEYS, Practice, Rehearsal, rehearse
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    panel,
    picture,
    put,
    safely,
    slider,
    tick,
    watch,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.player import Player, tempo_slider

__all__ = ["Hearing"]

NARROW, NARROW_LABEL = "268px", "96px"
FEELS = (("in four", "four"), ("in two", "two"))
STALE = "This player holds what was here before your last change. Press hear for a new one."
Heard = tuple[Line, Colour | None]


class Hearing(Page):
    """Controls for sound and a player; ``what`` returns the line of the moment and its colour.

    >>> from theorykit.lines.demonstration import demonstration
    >>> box = Hearing(lambda: (demonstration("C", "short"), None))
    >>> box.player.shown
    ()
    >>> box.hear.click()
    >>> box.player.shown[0].label
    'plain, in C major, 120 beats a minute'
    """

    def __init__(self, what: Callable[[], Heard]) -> None:
        self._what = what
        self.chords = choice("chords", CHORDS, "coloured", "what the piano plays over V")
        self.journey = choice("play in", JOURNEYS, JOURNEYS[0])
        self.loops = tick("round and round", tip="without a count-in")
        self.answers = tick("answer bars", tip="the same bars again with the rhythm section alone")
        self.tempo = tempo_slider(120)
        self.by_tempo = tick("swing as the tempo asks", True, "after what drummers play")
        self.swing = slider("swing", default_swing(120), 1.0, 3.0, 0.1, "long eighth to short")
        self.feel = choice("bass", FEELS, "four")
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.hear = button("hear", self._press, "make a player of the line as it stands")
        self.problem, self.note, self.player = picture(), picture(), Player()
        self.player.follow(self.tempo)
        self.swing.disabled = True
        super().__init__(self._parts())
        watch((self.tempo, self.by_tempo), self._suit)
        older = (one for one in self.controls if one not in (self.tempo, self.swing))
        watch(older, safely(self.problem, self.stale))
        self.swing.observe(self._swung, "value")

    @property
    def controls(self) -> tuple[ipw.Widget, ...]:
        """Everything that changes the sound."""
        lists = (self.chords, self.journey, self.feel, self.melody)
        return (*lists, self.tempo, self.swing, self.by_tempo, self.loops, self.answers)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        caution = picture()
        caution.value = sentences_html("", CAUTION)
        lists = (self.chords, self.journey, self.feel, self.melody)
        for control in (
            *lists,
            self.tempo,
            self.swing,
        ):  # three in a row beside the browser of files
            control.layout.width, control.style.description_width = NARROW, NARROW_LABEL
        ticks = ipw.HBox([self.loops, self.answers, self.by_tempo])
        pressed = panel(self.hear, ticks)
        sliders = (self.tempo, self.swing)
        return [panel(*lists, *sliders), pressed, self.problem, self.note, self.player, caution]

    @property
    def wishes(self) -> Rehearsal:
        """What is wished for at the moment."""
        return Rehearsal(
            self.chords.value,
            self.journey.value,
            self.loops.value,
            self.answers.value,
            self.tempo.value,
            None if self.by_tempo.value else self.swing.value,
            self.feel.value,
        )

    @property
    def practice(self) -> Practice:
        """The line of the moment, made ready to practise."""
        return rehearse(*self._what(), self.wishes)

    def stale(self) -> None:
        """Say that the player is older than the page; what plays goes on playing."""
        if self.player.shown:
            self.player.is_seen = False
            put(self.note, sentences_html("", STALE))

    def play(self, line: Line, colour: Colour | None, label: str) -> str:
        """Return a player of another line, once, with the sound that is chosen here."""
        wishes = replace(self.wishes, journey=JOURNEYS[0], loops=False, answers=False)
        found = rehearse(line, colour, wishes)
        return performance_html(found.performance, label=label, melody=self.melody.value)

    @answer
    def _suit(self, _: object) -> None:
        """Let the swing follow the tempo, where that is wished for."""
        self.swing.disabled = self.by_tempo.value
        if self.by_tempo.value:
            self.swing.value = default_swing(self.tempo.value)

    @answer
    def _swung(self, _: object) -> None:
        """Another swing, which a player follows by itself where it goes with the tempo."""
        if not self.by_tempo.value:
            self.stale()

    @answer
    def _press(self, _: object) -> None:
        """Make a new player."""
        guarded(self.problem, self._make)

    def _make(self) -> None:
        """Decide, then sound."""
        wishes = replace(self.wishes, counted=True)
        found = rehearse(*self._what(), wishes)
        self.player.show([found.take], self.melody.value)
        self.player.is_seen = True
        put(self.note, "")
