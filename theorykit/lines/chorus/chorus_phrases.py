"""Phrases of a chorus, each beginning on the note on which the last one landed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest
from random import Random

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour as colour_named
from theorykit.lines.chorus.windows import Window
from theorykit.lines.excerpts import between
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote
from theorykit.lines.writing import AMOUNTS, Wishes, coloured_last, last_dominant, room_over
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Progression

BREATHLESS = Fraction(16)  # beats after which a player wants to breathe
SPARE = Fraction(4)  # beats that a phrase must have before it can begin two beats later
BEAT = Fraction(1)
LONG_AGO = Fraction(8)  # beats after a landing, when guide tones have led elsewhere
NEAR, ATTEMPTS = 9, 5  # half steps from the last note to the next phrase; how often to try for it
SEEDS = 2**31

# What gives a phrase for a window, over what stands there; None where it has none.
PhraseSource = Callable[[Window, Progression], Line | None]


@dataclass(frozen=True, slots=True)
class Phrase:
    """What sounds in a window: notes counted from the top of the first chorus.

    ``problem`` says why it is without its colour, or why there is no phrase, where that is so.
    """

    window: Window
    notes: tuple[TimedNote, ...]
    problem: str = ""

    def line_over(self, progression: Progression) -> Line:
        """Return the phrase alone, over what stands in its window, in the key it points to."""
        window = self.window
        stretch = between(progression, window.start, window.end, key=window.key)
        notes = (replace(n, start=n.start - window.start) for n in self.notes)
        return Line(stretch, tuple(n for n in notes if n.end <= stretch.beats))


def written_phrases(
    over: Progression,
    windows: Sequence[Window],
    *,
    seed: int = 0,
    wishes: Wishes | None = None,
    source: PhraseSource | None = None,
) -> tuple[Phrase, ...]:
    """Return a phrase for each window of a progression.

    Where a window begins as the one before lands, its phrase begins on the note that was landed on.
    The same seed gives the same phrases; another colour in one window leaves those further away as
    they are. ``source`` is asked first, the writer where it has nothing.
    """
    asked = _Asked(wishes if wishes is not None else Wishes(), seed, source)
    found: list[Phrase] = []
    since = Fraction(0)  # when the player last breathed
    for window in windows:
        held = _landed_on(found, window)
        phrase = _phrase(over, window, held, _near(found, window), asked)
        if held is None or not found:
            since = window.start
        elif window.landing - since > BREATHLESS and window.landing - window.start >= SPARE:
            phrase, since = _breathing(phrase, held), window.start + 2 * BEAT
        found.append(phrase)
    return tuple(_without_overlaps(found))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of all phrases."""

    wishes: Wishes
    seed: int
    source: PhraseSource | None


def _landed_on(found: Sequence[Phrase], window: Window) -> TimedNote | None:
    """Return the note on which the phrase before lands, if the window begins there."""
    if not found or found[-1].window.landing != window.start:
        return None
    return next((note for note in found[-1].notes if note.start == window.start), None)


def _near(found: Sequence[Phrase], window: Window) -> int | None:
    """Return the last pitch of the phrase before, if that is not long ago."""
    if not found or not found[-1].notes or window.start - found[-1].window.landing > LONG_AGO:
        return None
    return found[-1].notes[-1].pitch.midi


def _phrase(
    over: Progression, window: Window, held: TimedNote | None, near: int | None, asked: _Asked
) -> Phrase:
    """Return the phrase of one window."""
    stretch = between(over, window.start, window.end, key=window.key)
    line = asked.source(window, stretch) if asked.source else None
    problem = ""
    if line is None:
        start = held.pitch if held else None
        line, problem = _nearest(stretch, window, start, near, asked)
    notes = line.readable.notes if line else ()
    moved = tuple(replace(note, start=note.start + window.start) for note in notes)
    if held and (not moved or moved[0].pitch.midi != held.pitch.midi):
        moved = _after_landing(moved, held)
    return Phrase(window, moved, problem)


def _nearest(
    stretch: Progression, window: Window, start: Pitch | None, near: int | None, asked: _Asked
) -> tuple[Line | None, str]:
    """Return a line that begins on a note, or not far from where the last phrase ended."""
    wishes = asked.wishes
    begin = wishes if start is None else replace(wishes, start=start)
    row, problem, best, closest = window.colour, "", None, HIGHEST_MIDI
    for attempt in range(1 if start is not None or near is None else ATTEMPTS):
        name = f"{asked.seed} {window.v} {window.chorus} {attempt}"
        line, why = _line(stretch, row, Random(name).randrange(SEEDS), begin, wishes)
        row, problem = ("" if why else row), problem or why
        far = abs(line.notes[0].pitch.midi - near) if line and near is not None else 0
        if line is not None and far < closest:
            best, closest = line, far
        if line is None or far <= NEAR:
            break
    return best, problem


def _after_landing(notes: tuple[TimedNote, ...], held: TimedNote) -> tuple[TimedNote, ...]:
    """Return notes that begin on another one a beat later, so that the landing is heard."""
    again = held.start + BEAT
    return (replace(held, beats=BEAT), *(note for note in notes if note.start >= again))


def _line(stretch: Progression, row: str, seed: int, *wishes: Wishes) -> tuple[Line | None, str]:
    """Return the first line that can be written, with each set of wishes, and what went wrong.

    Triplets make room where eighths do not, as for three notes over one beat. Where no line with
    the colour is found there is one without.
    """
    problem = _no_room(stretch, row, replace(wishes[0], triplets=AMOUNTS[-1]))
    if row and not problem:
        quick = [replace(wishes[0], triplets=amount) for amount in AMOUNTS[1:]]
        plain = () if _no_room(stretch, row, wishes[0]) else wishes
        line = _first(stretch, row, seed, [*plain, *quick])
        if line is not None:
            return line, ""
        problem = f"no line in {colour_named(row).pretty} keeps the rules over {stretch.pretty}"
    line = _first(stretch, None, seed, wishes)
    return line, problem or ("" if line else f"no line keeps the rules over {stretch.pretty}")


def _first(
    stretch: Progression, row: str | None, seed: int, wishes: Sequence[Wishes]
) -> Line | None:
    """Return the first line that is found; none over chords that begin between two eighths."""
    try:
        return coloured_last(stretch, row, seed, wishes)
    except TheoryError:
        return None


def _no_room(stretch: Progression, row: str, wishes: Wishes) -> str:
    """Say so where a colour has more notes than fit over its chord."""
    last = last_dominant(stretch, row) if row else None
    if last is None or len(last.hallmarks) <= room_over(last, wishes):
        return ""
    name, beats = colour_named(row).pretty, last.placed.beats
    length = f"{beats} beat" + "s" * (beats != 1)
    over = last.placed.chord.pretty
    return f"the {len(last.hallmarks)} notes of {name} do not fit over {over} in {length}"


def _breathing(phrase: Phrase, held: TimedNote) -> Phrase:
    """Return a phrase that begins two beats later, after the note landed on and a rest."""
    again = held.start + 2 * BEAT
    later = tuple(note for note in phrase.notes if note.start >= again)
    return replace(phrase, notes=(replace(held, beats=BEAT), *later))


def _without_overlaps(phrases: Sequence[Phrase]) -> list[Phrase]:
    """Cut what a phrase has after the next one begins."""
    kept = []
    for phrase, after in zip_longest(phrases, phrases[1:]):
        edge = after.notes[0].start if after is not None and after.notes else None
        kept.append(phrase if edge is None else replace(phrase, notes=_before(phrase, edge)))
    return kept


def _before(phrase: Phrase, edge: Fraction) -> tuple[TimedNote, ...]:
    """Return the notes of a phrase up to a beat."""
    return tuple(
        replace(note, beats=min(note.beats, edge - note.start))
        for note in phrase.notes
        if note.start < edge
    )
