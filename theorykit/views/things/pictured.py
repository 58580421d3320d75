"""Keyboards of things: a shortcut above its chord, a scale, notes over a chord."""

from __future__ import annotations

from theorykit.harmony.identification import Identification
from theorykit.harmony.shortcuts import Shortcut
from theorykit.notes.degree import Degree
from theorykit.notes.note import Pitch
from theorykit.notes.scales import Scale
from theorykit.views.explorer_view import keyboard_of
from theorykit.views.identification_view import identification
from theorykit.views.keyboard import KeyboardView, LitKey, keyboard_range

SEVENTH = (1, 3, 5, 7)  # the numbers of the degrees of a seventh chord
LOWEST = 60  # MIDI: the root of a scale lies in the octave that begins at middle C


def shortcut_keys(shortcut: Shortcut) -> KeyboardView:
    """Return the keyboard of a shortcut: the chord, and above it the shape.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> shortcut_keys(shortcuts("G7", "b9 13")[0]).alt
    'Keyboard: G7 is G, B, D, F; above it E: E (13), A♭ (♭9), B (3).'
    """
    names = {note.semitone: note for note in shortcut.function_notes}
    return keyboard_of(shortcut.chord, shortcut, names)


def scale_keys(scale: Scale) -> KeyboardView:
    """Return the keyboard of a scale from its root up.

    >>> scale_keys(Scale.parse("Eb dorian")).alt
    'Keyboard: E♭ dorian is E♭, F, G♭, A♭, B♭, C, D♭.'
    """
    low = Pitch.at_or_above(scale.root, LOWEST).midi
    lit = tuple(
        LitKey(low + degree.semitones, note.pretty, degree.pretty, _role(degree))
        for degree, note in zip(scale.degrees, scale.notes, strict=True)
    )
    first, last = keyboard_range([key.midi for key in lit])
    alt = f"Keyboard: {scale.pretty} is {', '.join(key.name for key in lit)}."
    return KeyboardView(first, last, lit, alt)


def _role(degree: Degree) -> str:
    """Return what a degree of a scale is over its seventh chord."""
    return "chord" if degree.number in SEVENTH else "colour"


def found_keys(found: Identification) -> KeyboardView:
    """Return the keyboard of notes over a chord, as the page that identifies notes shows it.

    >>> from theorykit.harmony.identification import identify
    >>> found_keys(identify("E G# B", "G7", "C")).alt.partition(";")[0]
    'Keyboard: G7 is G, B, D, F'
    """
    target = str(found.target) if found.target else ""
    return identification(found.sounds.name, str(found.over), target).keyboard
