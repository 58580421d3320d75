"""Substitutes: choose a key and a chord in the place of V, hear it over both basses, read why."""

from __future__ import annotations

from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.harmony.substitution import NAMES
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import explanation_html, sentences_html
from theorykit.show.pictures import picture_svg
from theorykit.show.sound import CAUTION
from theorykit.views.substitutes_view import SubstitutionView, parallel_key, substitution
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    keep_keys,
    offer,
    panel,
    picture,
    put,
    readers,
    slider,
    unwatched,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.player import Player, tempo_slider
from theorykit.widgets.works import Hands, KeptWork, place_of, put_back, told_by

__all__ = ["Substitutions", "substitutions"]

STAFF_SCALE, KEYBOARD_SCALE, MOTION_SCALE, CLOCK_SCALE = 50, 1.3, 0.85, 0.85
# Pixels kept free for the largest of each, so that nothing jumps when another takes its place.
STAFF_ROOM, KEYBOARD_ROOM, MOTION_ROOM, CLOCK_ROOM = 206, 264, 484, 462
WIDE = "440px"  # the longest name of a substitute is not cut
SEEN = {"flex": "0 1 660px", "min_width": "300px"}
TOLD = {"flex": "1 1 380px", "min_width": "300px"}


class Substitutions(Page):
    """The page of substitutes as a widget; its controls are attributes.

    >>> box = Substitutions()
    >>> box.substitute.value = "backdoor dominant"
    >>> box.view.found.title
    'Fm7 B♭7'
    """

    def __init__(
        self,
        key: str = "C major",
        name: str = NAMES[0],
        *,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        home = Key.parse(key)
        self.view: SubstitutionView = substitution(home, name)
        self.key = choice("key", [(k.pretty, str(k)) for k in KEYS], str(home))
        self.target = choice("going to", [(f"a {mode} I", mode) for mode in MODES], home.mode)
        self.substitute = choice("substitute", NAMES, name, width=WIDE)
        self.chord = choice("pictures show", [("", 0)], 0)
        self.reader = readers()
        self.tempo = tempo_slider(100)
        self.swing = slider("swing", 2.0, 1.0, 3.0, 0.1, "long eighth to short eighth")
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.problem, self.sentence, self.words = picture(), picture(), picture()
        self.staff, self.keyboard = picture(STAFF_ROOM), picture(KEYBOARD_ROOM)
        self.motion, self.clock = picture(MOTION_ROOM), picture(CLOCK_ROOM)
        self._add_menus()
        self.player = Player()
        self.player.follow(self.tempo)
        place = place_of("substitutes", draft, {"key": str(home), "name": name})
        setting = {"written for": self.reader, "tempo": self.tempo, "swing": self.swing}
        setting |= {"melody": self.melody, "player": self.player.standing}
        self.mine = KeptWork(
            "substitutes", place, Hands(self._work, self._bring, setting=setting), path
        )
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        self.mine.begin({**self._work(), "chord": None})

    @property
    def _chosen(self) -> dict[str, ipw.Dropdown]:
        """What is chosen, by name."""
        return {"key": self.key, "target": self.target, "substitute": self.substitute}

    def _work(self) -> dict[str, Any]:
        """Return what is chosen, and the chord in the pictures."""
        return {**told_by(self._chosen), "chord": self.chord.value}

    def _bring(self, kept: dict[str, Any]) -> None:
        """Show what was chosen once; no chord stands for the one that makes the substitute."""
        with (
            unwatched(self._new_key, self.key),
            unwatched(self._new_target, self.target),
            unwatched(self._new_chords, self.substitute),
        ):
            put_back(self._chosen, kept)
        place = kept.get("chord")
        self._answer(place if isinstance(place, int) else None)

    def _add_menus(self) -> None:
        """Add the menus that save the pictures."""

        def title() -> str:
            return f"{self.view.reading.chord} {self.view.key}"

        keyboard, motion = lambda: self.view.keyboard, lambda: self.view.motion
        self.staff_saving = Saving(
            "staff", self.staff, lambda: f"{title()} {self.reader.value.name}"
        )
        self.keyboard_saving = Saving("keyboard", self.keyboard, title, keyboard)
        self.motion_saving = Saving("motion", self.motion, title, motion)
        self.clock_saving = Saving("clock", self.clock, title, lambda: self.view.clock)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one reads them."""
        chosen = (self.key, self.target, self.reader, self.substitute, self.chord)
        above = panel(*chosen, self.swing, self.melody)
        caution, under = picture(), picture()
        caution.value = sentences_html("", CAUTION)
        under.value = sentences_html("", self.view.staff_words)
        pictures = [under, self.staff, self.staff_saving, self.keyboard, self.keyboard_saving]
        pictures += [self.motion, self.motion_saving, self.clock, self.clock_saving]
        seen = ipw.VBox(pictures, layout=SEEN)
        told = ipw.VBox([self.words], layout=TOLD)  # last, because its length changes
        heard = [panel(self.player, self.tempo), caution]
        return [above, self.mine, self.problem, self.sentence, *heard, panel(seen, told)]

    def _watch(self) -> None:
        """Answer every change of a control."""
        self.key.observe(self._new_key, "value")
        self.target.observe(self._new_target, "value")
        self.substitute.observe(self._new_chords, "value")
        self.chord.observe(self._look_change, "value")
        self.reader.observe(self._new_reader, "value")
        for control in (self.swing, self.melody):
            control.observe(self._play_change, "value")

    @answer
    def _new_key(self, _: object) -> None:
        """Another key: the target is that of its mode."""
        self.mine.later()
        mode = Key.parse(self.key.value).mode
        offer(self.target, self.target.options, mode, self._new_target)
        self._answer(self.chord.value)

    @answer
    def _new_target(self, _: object) -> None:
        """Another target: the key of the other mode on the same tonic."""
        self.mine.later()
        key = parallel_key(self.key.value, self.target.value)
        offer(self.key, self.key.options, str(key), self._new_key)
        self._answer(self.chord.value)

    @answer
    def _new_chords(self, _: object) -> None:
        """Another substitute: the pictures begin with the chord that makes it."""
        self.mine.later()
        self._answer(None)

    @answer
    def _new_reader(self, _: object) -> None:
        """Another reader: everything is written anew, the names of the players too."""
        self._answer(self.chord.value)

    @answer
    def _look_change(self, _: object) -> None:
        """Another chord in the pictures: what is heard stays."""
        self.mine.later()
        guarded(self.problem, lambda: self._look(self.chord.value))

    @answer
    def _play_change(self, _: object) -> None:
        """Another swing or melody sound: only the player changes."""
        guarded(self.problem, self._play)

    def _answer(self, place: int | None) -> None:
        """Show everything for the present choice."""
        guarded(self.problem, lambda: self._look(place), self._play)

    def _look(self, place: int | None) -> None:
        """Decide, then draw. A staff gets new ids each time, so the same one is left alone."""
        chosen = (self.key.value, self.substitute.value)
        view = substitution(*chosen, place=place, reader=self.reader.value)
        chords = [(text, at) for at, text in enumerate(view.options)]
        offer(self.chord, chords, view.place, self._look_change)
        said = (view.summary, view.doubled, view.written)
        put(self.sentence, sentences_html(view.sentence, *said))
        if view.staff != self.view.staff or not self.staff.value:
            put(self.staff, staff_svg(view.staff, scale=STAFF_SCALE))
        put(self.keyboard, picture_svg(view.keyboard, scale=KEYBOARD_SCALE))
        put(self.motion, picture_svg(view.motion, scale=MOTION_SCALE))
        put(self.clock, picture_svg(view.clock, scale=CLOCK_SCALE))
        put(self.words, explanation_html(view.sections))
        self.view = view

    def _play(self) -> None:
        """Hand the player the three versions."""
        takes = self.view.takes(self.tempo.value, self.swing.value)
        self.player.show(takes, self.melody.value)


def substitutions(
    key: str = "C major",
    name: str = NAMES[0],
    *,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> Substitutions:
    """Return the page of substitutes, opened on a key and a substitute.

    What is chosen is there again when the cell is run again: ``draft`` names the page, so that two
    with the same choice each have their own, and ``path`` is the file, by default the reader's own.

    >>> substitutions("E♭", "tritone substitute").view.sentence
    'E7 stands in for B♭7: the dominant seventh chord a tritone away.'
    """
    return Substitutions(key, name, draft=draft, path=path)
