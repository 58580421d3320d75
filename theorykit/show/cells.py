"""What a chapter's cell shows: the last line of a cell is the picture or the player itself."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.shortcuts import Shortcut
from theorykit.lines.line import Line
from theorykit.notes.instruments import reader
from theorykit.show.keyboard import keyboard_svg
from theorykit.show.players import player_html
from theorykit.show.staff import staff_svg
from theorykit.views.explorer import keyboard_of
from theorykit.views.phrase import phrase_staff

__all__ = ["Shown", "hear", "see", "see_keys"]


@dataclass(frozen=True, slots=True)
class Shown:
    """Something that a notebook shows: ``html`` for the eye and ear, ``words`` for the rest.

    >>> Shown("<b>G7</b>", "a chord")
    a chord
    """

    html: str
    words: str

    def _repr_html_(self) -> str:
        """What a notebook puts under the cell."""
        return self.html

    def __repr__(self) -> str:
        return self.words


def see(line: Line, *, written_for: str = "concert", scale: float = 50) -> Shown:
    """Return the staff of a line, the degree of each note under it.

    ``written_for`` is a reader such as ``"B flat"``; ``scale`` the size in percent.

    >>> from theorykit.lines.demonstration import demonstration
    >>> see(demonstration("F", "short"))
    2 bars in F major, chords Gm7, C7, Fmaj7; notes B♭5 (♭3), F5 (♭7), G5 (5), E5 (3), C5 (1), \
B♭4 (♭7), A4 (3).
    """
    view = phrase_staff(line, reader=reader(written_for))
    return Shown(staff_svg(view, scale=scale), view.alt)


def see_keys(shortcut: Shortcut) -> Shown:
    """Return the keyboard of a shortcut: the chord, and above it the shape.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> see_keys(shortcuts("G7", "b9 13")[0])
    Keyboard: G7 is G, B, D, F; above it E: E (13), A♭ (♭9), B (3).
    """
    names = {note.semitone: note for note in shortcut.function_notes}
    view = keyboard_of(shortcut.chord, shortcut, names)
    return Shown(keyboard_svg(view), view.alt)


def hear(
    line: Line,
    *,
    over_v: Colour | str | None = None,
    tempo: float = 100,
    swing: float | None = None,
    melody: str = "tenor saxophone",
    label: str = "phrase",
) -> Shown:
    """Return a player of a line over piano, bass and ride; nothing sounds until it is pressed.

    ``over_v`` is the colour that the piano plays on V as well, ``tempo`` in beats a minute from 40
    to 300, ``swing`` the ratio of the long to the short eighth from 1 to 3, by default what suits
    the tempo.
    """
    wanted = None if over_v is None else colour(over_v)
    html = player_html(line, label=label, colour=wanted, tempo=tempo, swing=swing, melody=melody)
    return Shown(html, f"Player: {label}, {line.progression}")
