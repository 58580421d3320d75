"""Identification: tap notes or type them, over any chord, and read what they are."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import explanation_html, sentences_html
from theorykit.show.pictures import picture_svg
from theorykit.show.sound import CAUTION
from theorykit.views.identification_view import (
    FIRST_KEY,
    LAST_KEY,
    IdentificationView,
    identification,
    identification_of_keys,
)
from theorykit.views.keyboard import is_white
from theorykit.views.sounding import Take
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    readers,
    typed,
    unwatched,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.player import Player, tempo_slider
from theorykit.widgets.works import Hands, KeptWork, place_of, put_back, told_by

__all__ = ["IdentifyNotes", "PianoKeys", "identify_notes"]

NAMES = "C D♭ D E♭ E F F♯ G A♭ A B♭ B".split()
SPOKEN = (
    "C, C sharp or D flat, D, D sharp or E flat, E, F, F sharp or G flat, G, G sharp or A flat, A, "
    "A sharp or B flat, B"
).split(", ")
OCTAVE = 12
HALF = 23  # pixels: half the width of a key
ROWS = {False: (1, "38px"), True: (2, "46px")}  # black keys above, white keys below


class PianoKeys(ipw.GridBox):
    """Keys that go down and up when they are tapped; ``down`` are the MIDI numbers of those down.

    A key that is down carries a sign as well as a colour.

    >>> keys = PianoKeys()
    >>> keys.show([64, 68])
    >>> keys.tap(71)
    >>> keys.down
    (64, 68, 71)
    """

    def __init__(self) -> None:
        self._answers: list[Callable[[], None]] = []
        self._is_shown = False
        self.buttons = {midi: _button(midi) for midi in range(FIRST_KEY, LAST_KEY + 1)}
        columns = 2 * sum(map(is_white, self.buttons))
        super().__init__(
            list(self.buttons.values()),
            layout=ipw.Layout(
                grid_template_columns=f"repeat({columns}, {HALF}px)",
                overflow="auto hidden",
                align_content="flex-start",  # beside something taller the rows stay together
            ),
        )
        for midi, button in self.buttons.items():
            button.observe(lambda _, midi=midi: self._turned(midi), "value")

    @property
    def down(self) -> tuple[int, ...]:
        """The keys that are down, from the lowest."""
        return tuple(midi for midi, button in self.buttons.items() if button.value)

    def on_tap(self, answer: Callable[[], None]) -> None:
        """Call ``answer`` after each tap of the reader."""
        self._answers.append(answer)

    def tap(self, midi: int) -> None:
        """Turn one key, as the reader does."""
        self.buttons[midi].value = not self.buttons[midi].value

    def show(self, midis: Iterable[int]) -> None:
        """Put just these keys down, without a tap."""
        wanted = frozenset(midis)
        self._is_shown = True
        for midi, button in self.buttons.items():
            button.value = midi in wanted
        self._is_shown = False

    def _turned(self, midi: int) -> None:
        """Mark a key that has turned, and answer if it was tapped."""
        _mark(self.buttons[midi], midi)
        if not self._is_shown:
            for answer in self._answers:
                answer()


def _button(midi: int) -> ipw.ToggleButton:
    """Return one key in its place: a white key is two columns wide, a black one lies between."""
    white = is_white(midi)
    before = sum(is_white(other) for other in range(FIRST_KEY, midi))
    column = 2 * before + (1 if white else 0)
    row, height = ROWS[white]
    button = ipw.ToggleButton(
        layout=ipw.Layout(
            grid_area=f"{row} / {column} / auto / span 2",
            width="auto",
            height=height,
            margin="1px",
            padding="0",
        )
    )
    _mark(button, midi)
    return button


def _mark(button: ipw.ToggleButton, midi: int) -> None:
    """Show whether a key is down: by a sign, by its colour, and in its tip."""
    sign = "✓ " if button.value else ""
    button.description = f"{sign}{NAMES[midi % OCTAVE]}"
    button.button_style = "info" if button.value else ""
    name = f"{SPOKEN[midi % OCTAVE]}, octave {midi // OCTAVE - 1}"
    button.tooltip = f"{name}: {'down' if button.value else 'up'}"


STAFF_SCALE, KEYBOARD_SCALE, MOTION_SCALE = 50, 1.3, 0.85
# Pixels kept free for the largest of each, so that nothing jumps when another takes its place.
STAFF_ROOM, KEYBOARD_ROOM, MOTION_ROOM, PROBLEM_ROOM = 190, 264, 476, 26
# === The page ===

SEEN = {"flex": "0 1 660px", "min_width": "300px"}
BESIDE = {"flex": "1 1 380px", "min_width": "300px"}
TAP = "Tap keys to add notes and to take them away, or type notes, a chord or a scale."


class IdentifyNotes(Page):
    """The page as a widget; its controls are attributes, the keys together ``piano``.

    >>> box = IdentifyNotes()
    >>> box.notes.value = "Bmaj7"
    >>> box.view.sentence
    'Bmaj7 (B D♯ F♯ A♯) over G7, going to C: 3 ♭13 7 ♯9.'
    >>> box.piano.tap(64)
    >>> [note.pretty for note in box.view.found.notes]
    ['E', 'B', 'E♭', 'F♯', 'A♯']
    """

    def __init__(
        self,
        notes: str = "E G# B",
        over: str = "G7",
        target: str = "C",
        *,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        self.notes = typed("notes", notes, "notes, a chord or a scale", example="E G# B")
        self.over = typed("over the chord", over, "any chord symbol", example="G7")
        self.target = typed(
            "going to", target, "the chord or key that follows; may be empty", example="C"
        )
        self.reader = readers()
        self.view: IdentificationView = self._read(notes, over, target)
        self.tempo = tempo_slider(100)
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.piano = PianoKeys()
        self.problem, self.sentence = picture(PROBLEM_ROOM), picture()
        self.words = picture()
        self.staff, self.keyboard = picture(STAFF_ROOM), picture(KEYBOARD_ROOM)
        self.motion, self.player = picture(MOTION_ROOM), Player()
        self.player.follow(self.tempo)
        self._add_menus()
        self._given: str | tuple[int, ...] = notes  # text, or the keys that are down
        place = place_of("notes", draft, {"notes": notes, "over": over, "target": target})
        setting = {"written for": self.reader, "tempo": self.tempo, "melody": self.melody}
        setting |= {"player": self.player.standing}
        self.mine = KeptWork("notes", place, Hands(self._work, self._bring, setting=setting), path)
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        self.mine.begin()

    @property
    def _fields(self) -> dict[str, ipw.Text]:
        """What is typed, by name."""
        return {"notes": self.notes, "over": self.over, "target": self.target}

    def _work(self) -> dict[str, Any]:
        """Return what is typed, and the keys that are down where they were tapped."""
        keys = None if isinstance(self._given, str) else list(self._given)
        return {**told_by(self._fields), "keys": keys}

    def _bring(self, kept: dict[str, Any]) -> None:
        """Show what was typed or tapped once; what cannot be read leaves a good picture."""
        with (
            unwatched(self._typed, self.notes),
            unwatched(self._other_chord, self.over, self.target),
        ):
            put_back(self._fields, kept)
        keys = kept.get("keys")
        self._given = tuple(keys) if isinstance(keys, list) else self.notes.value
        if not guarded(self.problem, self._look, self._play) and not self.keyboard.value:
            self._draw()

    def _add_menus(self) -> None:
        """Add the menus that save the pictures."""

        def title() -> str:
            return f"{self.view.found.sounds.name} over {self.view.found.over}"

        keyboard, motion = lambda: self.view.keyboard, lambda: self.view.motion
        self.staff_saving = Saving("staff", self.staff, title)
        self.keyboard_saving = Saving("keyboard", self.keyboard, title, keyboard)
        self.motion_saving = Saving("motion", self.motion, title, motion)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one reads them."""
        how, caution = picture(), picture()
        how.value, caution.value = sentences_html("", TAP), sentences_html("", CAUTION)
        above = panel(self.notes, self.over, self.target, self.reader, self.melody)
        heard = ipw.VBox([self.player, self.tempo, caution], layout=BESIDE)
        pictures = [self.keyboard, self.keyboard_saving, self.staff, self.staff_saving]
        seen = ipw.VBox([*pictures, self.motion, self.motion_saving], layout=SEEN)
        told = ipw.VBox([self.words], layout=BESIDE)  # last, because its length changes
        answer = [self.mine, self.problem, self.sentence, panel(seen, told)]
        return [above, how, panel(self.piano, heard), *answer]

    def _watch(self) -> None:
        """Answer every change of a control."""
        self.notes.observe(self._typed, "value")
        self.piano.on_tap(self._tapped)
        for control in (self.over, self.target, self.reader):
            control.observe(self._other_chord, "value")
        for control in (self.melody,):
            control.observe(self._play_change, "value")

    @answer
    def _typed(self, _: object) -> None:
        """Notes were typed."""
        self.mine.later()
        self._given = self.notes.value
        self._answer()

    @answer
    def _tapped(self) -> None:
        """A key was tapped: the keys that are down are the notes; what was typed stays typed."""
        self.mine.later()
        self._given = self.piano.down
        self._answer()

    @answer
    def _other_chord(self, _: object) -> None:
        """Another chord, target or reader: the same notes are read again."""
        self.mine.later()
        self._answer()

    @answer
    def _play_change(self, _: object) -> None:
        """Another melody sound: only the player changes."""
        guarded(self.problem, self._play)

    def _answer(self) -> None:
        """Show everything for the present notes."""
        guarded(self.problem, self._look, self._play)

    def _read(self, given: str | tuple[int, ...], over: str, target: str) -> IdentificationView:
        """Return what is shown of text, or of keys that are down."""
        if isinstance(given, str):
            return identification(given, over, target, reader=self.reader.value)
        return identification_of_keys(given, over, target, reader=self.reader.value)

    def _look(self) -> None:
        """Decide, then draw."""
        given, chords = self._given, (self.over.value, self.target.value)
        self.view = self._read(given, *chords)
        self._draw()

    def _draw(self) -> None:
        """Draw what was found last."""
        view = self.view
        self.piano.show(view.midis)
        put(self.sentence, sentences_html(view.sentence, *filter(None, [view.written])))
        put(self.keyboard, picture_svg(view.keyboard, scale=KEYBOARD_SCALE))
        put(self.staff, staff_svg(view.staff, scale=STAFF_SCALE))
        put(self.motion, picture_svg(view.motion, scale=MOTION_SCALE) if view.motion else "")
        put(self.words, explanation_html(view.found.sections))

    def _play(self) -> None:
        """Hand the player what is heard."""
        played = self.view.heard.performance(tempo=self.tempo.value)
        self.player.show([Take(self.view.player, played, as_players_do=True)], self.melody.value)


def identify_notes(
    notes: str = "E G# B",
    over: str = "G7",
    target: str = "C",
    *,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> IdentifyNotes:
    """Return the page that names notes, opened on some notes, a chord and its target.

    What is typed or tapped is there again when the cell is run again: ``draft`` names the page, so
    that two with the same notes each have their own, and ``path`` is the file, by default the
    reader's own.

    >>> identify_notes("Ab", "Db7", "Gb").view.found.degrees[0].pretty
    '5'
    """
    return IdentifyNotes(notes, over, target, draft=draft, path=path)
