"""Short ways to write down what a staff shows."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.views.notation import Written, WrittenBar
from theorykit.views.staves import StaffNote, StaffView

FLAGS = {"whole": "w", "half": "h", "quarter": "q", "eighth": "e", "16th": "s", "32nd": "t"}
TIES = {"": "", "start": "~", "continue": "~~", "stop": "^"}
SIGNS = {"": "", "shown": "!", "courtesy": "?"}


def staff(
    text: str,
    *,
    bars: int = 3,
    key: str = "C",
    time: tuple[int, int] = (4, 4),
    start: Fraction = Fraction(0),
    chords: Iterable[tuple[int, str]] = (),
    label: str = "",
) -> StaffView:
    """Return a staff of notes and rests such as ``"C4:1 r:1/2 D4:3/2"``, lengths in beats."""
    here = start
    notes = []
    for word in text.split():
        name, length = word.split(":")
        if name != "r":
            labels = (label,) if label else ()
            notes.append(StaffNote(Pitch.parse(name), here, Fraction(length), labels))
        here += Fraction(length)
    lengths = (Fraction(4 * time[0], time[1]),) * bars
    placed = tuple((Fraction(beat), Chord.parse(symbol)) for beat, symbol in chords)
    return StaffView(Key.parse(key), "treble", lengths, placed, tuple(notes), "A staff.", 0, time)


def shorthand(bar: WrittenBar) -> str:
    """Write a bar down: value, dots, tie, ``3`` for a triplet; a rest is ``r`` and its value."""
    return " ".join(map(_word, bar.notes))


def _word(note: Written) -> str:
    rest = "" if note.pitch else "r"
    value = FLAGS[note.value.name] + "." * note.value.dots + ("3" if note.triplet else "")
    return rest + value + TIES[note.tie]


def signs(bar: WrittenBar) -> str:
    """Write down which accidentals a bar prints: ``!`` for needed, ``?`` for a courtesy."""
    return " ".join(f"{note.pitch}{SIGNS[note.accidental]}" for note in bar.notes if note.pitch)


def beam_groups(bar: WrittenBar) -> list[int]:
    """Return how many notes each beam of a bar joins."""
    groups = []
    for note in bar.notes:
        if note.beams and note.beams[0] == "start":
            groups.append(0)
        if note.beams:
            groups[-1] += 1
    return groups
