"""Two octaves of keys to tap: buttons in two rows, reached with Tab and pressed with Space."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import ipywidgets as ipw

from theorykit.views.identifying import FIRST_KEY, LAST_KEY
from theorykit.views.keyboard import is_white

__all__ = ["PianoKeys"]

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
