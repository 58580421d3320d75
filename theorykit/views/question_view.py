"""Questions on a page: what is shown with them, how they are answered, what is shown after."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.harmony.colours import COLOURS
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.note import Note, Pitch, pretty_words
from theorykit.notes.reader import READERS, Reader
from theorykit.study.questions import Heard, Question
from theorykit.tunes.progression import Bar, Progression, cadence_chords
from theorykit.views.explorer_view import keyboard_of
from theorykit.views.keyboard import KeyboardView, KeyNote, stacked_keys
from theorykit.views.staves import StaffView, staff_of_line

__all__ = ["KEY_BUTTONS", "SURFACES", "QuestionView", "question_view"]

SURFACES = ("keyboard", "staff")  # on which notes are shown
ONE, SOME = "one", "some"  # notes that an answer has
SHORTCUTS = ("shortcut over V", "shortcut to I", "colour of a shape")
LOOP = "guide tones over the loop"
LISTED = ("line by ear", "target note")  # whose lines are shown before the answer
COLOUR, NOTE, SHAPE = "a colour: b9 13, altered", "a note: Ab", "a shape: E, Abm, Ab melodic minor"
FIRST_LINE = 60  # MIDI: notes on a staff begin at this C or above
LONG, MOST_LONG = Fraction(1), 4  # beats of a note on a staff, and how many are as long

# How each kind is answered: how many notes, and what a field asks for.
ANSWERED = {
    **{"shortcut over V": (SOME, SHAPE), "shortcut to I": (SOME, SHAPE)},
    **{"colour of a shape": ("", COLOUR), "degree of a note": ("", "a degree: b9, #11, 13")},
    **{"note of a degree": (ONE, NOTE), "guide tones": (SOME, "two notes for each: F C | F B |")},
    **{"where a note goes": (ONE, NOTE), "substitute": ("", "chords: Db7, or Abm7 Db7")},
    **{"ii of a V": ("", "a chord: Dm7"), "colour in a picture": ("", COLOUR)},
    **{"target note": (ONE, NOTE), "wrong note": (ONE, NOTE), "colour by ear": ("", COLOUR)},
    **{"plain or coloured": ("", "plain or coloured"), "top note": ("", "a degree: b9, 13")},
    **{"major or minor target": ("", "major or minor"), "landing by ear": ("", "a degree: 3, 5")},
    **{"line by ear": ("", "a letter: A"), "form by ear": ("", "long, short or split")},
    **{"substitute by ear": ("", "original or tritone substitute")},
    **{"bar of a colour": ("", "a bar and the landing: 8th B4 Ab4 ... | whole G4")},
    LOOP: ("", "clean, with slips or lost"),
}
NAMES_TYPED = ("substitute", "ii of a V", "bar of a colour")  # besides what can be tapped
# The keys of an octave that can be tapped: the text that a tap writes, and the names for the eye.
KEY_BUTTONS = (
    *(("C", "C"), ("Db", "C♯ D♭"), ("D", "D"), ("Eb", "D♯ E♭"), ("E", "E"), ("F", "F")),
    *(("F#", "F♯ G♭"), ("G", "G"), ("Ab", "G♯ A♭"), ("A", "A"), ("Bb", "A♯ B♭"), ("B", "B")),
)


@dataclass(frozen=True, slots=True)
class QuestionView:
    """A question as a page shows it, and what the page shows once it is answered.

    ``choices`` are what is read and what is given; ``tapped`` says how many keys an answer takes:
    one, some, or nothing; ``typed`` is what the field asks for. ``heard`` is at concert pitch.
    """

    prompt: str
    hint: str
    choices: tuple[tuple[str, str], ...]
    tapped: str
    typed: str
    keyboard: KeyboardView | None
    staves: tuple[tuple[str, StaffView], ...]
    answer: str
    answer_keyboard: KeyboardView | None
    answer_staves: tuple[tuple[str, StaffView], ...]
    heard: Heard | None
    player: str
    loops: bool


def question_view(
    asked: Question, *, reader: Reader = READERS[0], surface: str = SURFACES[0]
) -> QuestionView:
    """Return a question as a page shows it, in the key of the reader's page.

    >>> from theorykit.study.questions import question
    >>> view = question_view(question("wrong note", keys=["Db"], topic="b9 13", seed=2))
    >>> view.tapped, view.choices[0], [key.degree for key in view.keyboard.lit if not key.degree]
    ('one', ('B♭♭', 'Bbb'), ['', '', ''])
    """
    tapped, typed = ANSWERED[asked.kind]
    if reader.transposes and (tapped or asked.kind in NAMES_TYPED):
        typed += f", as written for {reader.name}"
    shown, chord = asked.shown, asked.shown.chord
    notes = shown.notes if asked.way == "see" and chord is not None else ()
    on_keys = bool(notes) and surface == SURFACES[0]
    lines = _lines(asked, reader)
    before = lines if asked.kind in LISTED else ()
    if notes and chord is not None and not on_keys:
        before = (("", _page_staff(_in_a_bar(notes, chord, asked), reader)),)
    heard = asked.heard
    return QuestionView(
        asked.prompt,
        asked.hint,
        tuple((_pretty(one), one) for one in asked.choices),
        tapped,
        typed,
        _asked_keys(chord, notes) if on_keys and chord is not None else None,
        before,
        _pretty(asked.answer),
        _answer_keys(asked),
        lines if asked.kind == LOOP else (),
        None if heard is None else heard.sounding_for(reader),
        f"listen{' (it sounds at concert pitch)' * reader.transposes}",
        asked.kind == LOOP,
    )


def _pretty(text: str) -> str:
    """Return an answer for the eye."""
    names = {row.name: row.pretty for row in COLOURS}
    return names.get(text) or pretty_words(text)


def _lines(asked: Question, reader: Reader) -> tuple[tuple[str, StaffView], ...]:
    """Return the staves of the lines of a question, lettered where one is to be chosen."""
    lines = asked.shown.lines
    names = "ABCD" if asked.kind == LISTED[0] else [""] * len(lines)
    return tuple(
        (name, _page_staff(line, reader)) for name, line in zip(names, lines, strict=False)
    )


def _page_staff(line: Line, reader: Reader) -> StaffView:
    """Return the staff of a line that is in the key of the page already."""
    return staff_of_line(line, reader=replace(reader, fifths=0))


def _in_a_bar(notes: Iterable[Note], chord: Chord, asked: Question) -> Line:
    """Return notes one above the other as a line in one bar of a chord."""
    found = tuple(notes)
    beats = LONG if len(found) <= MOST_LONG else LONG / 2
    at, placed = FIRST_LINE, []
    for number, note in enumerate(found):
        pitch = Pitch.at_or_above(note, at)
        placed.append(TimedNote(pitch, number * beats, beats))
        at = pitch.midi + 1
    return Line(Progression(asked.key, (Bar.even(chord),)), tuple(placed))


def _asked_keys(chord: Chord, notes: Iterable[Note]) -> KeyboardView:
    """Return a chord and notes over it, whose degrees are the reader's to find."""
    found = tuple(notes)
    names = ", ".join(note.pretty for note in found)
    alt = f"Keyboard: {chord.pretty}, and above it {names}."
    view = stacked_keys(chord, map(KeyNote, found, degrees_over(chord, found)), alt)
    lit = tuple(
        replace(key, degree="", role="colour", ringed=False) if key.ringed else key
        for key in view.lit
    )
    return replace(view, lit=lit)


def _answer_keys(asked: Question) -> KeyboardView | None:
    """Return what the answer looks like on a keyboard, where it is a shape or notes over V."""
    _, v, i = cadence_chords(asked.key)
    if asked.kind in SHORTCUTS:
        best = shortcuts(v, asked.topic, i)[0]
        return keyboard_of(v, best, {note.semitone: note for note in best.function_notes})
    if asked.way != "see" or asked.shown.chord is None or not asked.shown.notes:
        return None
    notes = asked.shown.notes
    degrees = degrees_over(v, notes)
    told = ", ".join(f"{n.pretty} ({d.pretty})" for n, d in zip(notes, degrees, strict=True))
    return stacked_keys(v, map(KeyNote, notes, degrees), f"Keyboard: {v.pretty} with {told}.")
