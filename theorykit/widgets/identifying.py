"""What did I just play? Tap notes or type them, over any chord, and read what they are."""

from __future__ import annotations

import ipywidgets as ipw

from theorykit.show.diagrams import motion_svg
from theorykit.show.keyboard import keyboard_svg
from theorykit.show.players import MELODY_SOUNDS, performance_html
from theorykit.show.sound import CAUTION
from theorykit.show.staff import staff_svg
from theorykit.show.text import explanation_html, sentences_html
from theorykit.views.identifying import (
    IdentificationView,
    identification,
    identification_of_keys,
)
from theorykit.widgets.controls import choice, guarded, panel, picture, put, slider, typed
from theorykit.widgets.keys import PianoKeys
from theorykit.widgets.keystrokes import keep_keys

__all__ = ["IdentifyNotes", "identify_notes"]

STAFF_SCALE, KEYBOARD_SCALE, MOTION_SCALE = 50, 1.3, 0.85
# Pixels kept free for the largest of each, so that nothing jumps when another takes its place.
STAFF_ROOM, KEYBOARD_ROOM, MOTION_ROOM, PLAYER_ROOM, PROBLEM_ROOM = 190, 264, 476, 96, 26
SEEN = {"flex": "0 1 660px", "min_width": "300px"}
BESIDE = {"flex": "1 1 380px", "min_width": "300px"}
TAP = "Tap keys to add notes and to take them away, or type notes, a chord or a scale."


class IdentifyNotes(ipw.VBox):
    """The page as a widget; its controls are attributes, the keys together ``piano``.

    >>> box = IdentifyNotes()
    >>> box.notes.value = "Bmaj7"
    >>> box.view.sentence
    'Bmaj7 (B D♯ F♯ A♯) over G7, going to C: 3 ♭13 7 ♯9.'
    >>> box.piano.tap(64)
    >>> [note.pretty for note in box.view.found.notes]
    ['E', 'B', 'E♭', 'F♯', 'A♯']
    """

    def __init__(self, notes: str = "E G# B", over: str = "G7", target: str = "C") -> None:
        self.view: IdentificationView = identification(notes, over, target)
        self.notes = typed("notes", notes, "notes such as E G# B, a chord or a scale")
        self.over = typed("over the chord", over, "any chord symbol")
        self.target = typed("going to", target, "the chord or key that follows; may be empty")
        self.tempo = slider("tempo", 100, 40, 300, 5, "beats a minute")
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.piano = PianoKeys()
        self.problem, self.sentence = picture(PROBLEM_ROOM), picture()
        self.words = picture()
        self.staff, self.keyboard = picture(STAFF_ROOM), picture(KEYBOARD_ROOM)
        self.motion, self.player = picture(MOTION_ROOM), picture(PLAYER_ROOM)
        self._given: str | tuple[int, ...] = notes  # text, or the keys that are down
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        self._answer()

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one reads them."""
        how, caution = picture(), picture()
        how.value, caution.value = sentences_html("", TAP), sentences_html("", CAUTION)
        above = panel(self.notes, self.over, self.target, self.tempo, self.melody)
        heard = ipw.VBox([self.player, caution], layout=BESIDE)
        seen = ipw.VBox([self.keyboard, self.staff, self.motion], layout=SEEN)
        told = ipw.VBox([self.words], layout=BESIDE)  # last, because its length changes
        answer = [self.problem, self.sentence, panel(seen, told)]
        return [above, how, panel(self.piano, heard), *answer]

    def _watch(self) -> None:
        """Answer every change of a control."""
        self.notes.observe(self._typed, "value")
        self.piano.on_tap(self._tapped)
        for control in (self.over, self.target):
            control.observe(self._other_chord, "value")
        for control in (self.tempo, self.melody):
            control.observe(self._play_change, "value")

    def _typed(self, _: object) -> None:
        """Notes were typed."""
        self._given = self.notes.value
        self._answer()

    def _tapped(self) -> None:
        """A key was tapped: the keys that are down are the notes; what was typed stays typed."""
        self._given = self.piano.down
        self._answer()

    def _other_chord(self, _: object) -> None:
        """Another chord or target: the same notes are read again."""
        self._answer()

    def _play_change(self, _: object) -> None:
        """Another tempo or melody sound: only the player changes."""
        guarded(self.problem, self._play)

    def _answer(self) -> None:
        """Show everything for the present notes."""
        guarded(self.problem, self._look, self._play)

    def _look(self) -> None:
        """Decide, then draw."""
        given, chords = self._given, (self.over.value, self.target.value)
        if isinstance(given, str):
            self.view = view = identification(given, *chords)
        else:
            self.view = view = identification_of_keys(given, *chords)
        self.piano.show(view.midis)
        put(self.sentence, sentences_html(view.sentence))
        put(self.keyboard, keyboard_svg(view.keyboard, scale=KEYBOARD_SCALE))
        put(self.staff, staff_svg(view.staff, scale=STAFF_SCALE))
        put(self.motion, motion_svg(view.motion, scale=MOTION_SCALE) if view.motion else "")
        put(self.words, explanation_html(view.found.sections))

    def _play(self) -> None:
        """Make the player."""
        played = self.view.heard.performance(tempo=self.tempo.value)
        html = performance_html(played, label=self.view.player, melody=self.melody.value)
        put(self.player, html)


def identify_notes(notes: str = "E G# B", over: str = "G7", target: str = "C") -> IdentifyNotes:
    """Return the page that names notes, opened on some notes, a chord and its target.

    >>> identify_notes("Ab", "Db7", "Gb").view.found.degrees[0].pretty
    '5'
    """
    return IdentifyNotes(notes, over, target)
