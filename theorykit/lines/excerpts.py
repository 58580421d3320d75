"""Excerpts: a stretch of a line or a progression, a line over other chords or in another bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.tensions import degree_names
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import above, plain_root
from theorykit.notes.key import Key
from theorykit.notes.note import MOST_ACCIDENTALS, Pitch
from theorykit.tunes.progression import Bar, Progression, two_five_one

__all__ = ["LONGER", "between", "excerpt", "in_second_bar", "over_chords"]


def between(
    progression: Progression, start: Fraction, end: Fraction, *, key: Key | None = None
) -> Progression:
    """Return what a progression holds from one beat to another, in its own or in another key.

    A bar that is cut stays a bar, a shorter one.

    >>> from theorykit.tunes.progression import two_five_one
    >>> str(between(two_five_one("C", "split"), Fraction(6), Fraction(10)))
    'G7 | Cmaj7'
    """
    edges = progression.bar_starts
    bars = [
        replace(Bar.of(*pieces), pulse=bar.pulse)
        for number, bar in enumerate(progression.bars)
        if (pieces := list(_pieces(bar, edges[number], start, end)))
    ]
    return Progression(key or progression.key, tuple(bars))


def _pieces(
    bar: Bar, at: Fraction, start: Fraction, end: Fraction
) -> Iterator[tuple[Chord, Fraction]]:
    """Return the chords of a bar that lie in a stretch, each with the beats that do."""
    for chord, beats in zip(bar.chords, bar.lengths, strict=True):
        held = min(at + beats, end) - max(at, start)
        if held > 0:
            yield chord, held
        at += beats


def excerpt(line: Line, first: int, last: int) -> Line:
    """Return the bars ``first`` to ``last`` of a line, counted from 1, with their progression.

    A note that is held over an edge is cut there; a pickup belongs to the first bar.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D4 F4 A4 C5 half B4 | whole B4 | whole E4", two_five_one("C"))
    >>> excerpt(line, 2, 3).text
    'whole B4 | E4'
    """
    bars = line.progression.bars
    if not (isinstance(first, int) and isinstance(last, int) and 1 <= first <= last <= len(bars)):
        raise TheoryError(
            f"no such bars: {shown(first)} to {shown(last)} (want two of 1 to {len(bars)}, "
            "the first not after the last)"
        )
    edges = line.progression.bar_starts
    start, end = edges[first - 1], edges[last]
    over = replace(line.progression, bars=bars[first - 1 : last])
    return Line(over, tuple(_cut(line, start, end, keeps_pickup=first == 1)))


def _cut(line: Line, start: Fraction, end: Fraction, *, keeps_pickup: bool) -> Iterator[TimedNote]:
    """Return the notes of a stretch, counted from its beginning."""
    for note in line.notes:
        begin = note.start if keeps_pickup else max(note.start, start)
        stop = min(note.end, end)
        if begin < stop:
            yield TimedNote(note.pitch, begin - start, stop - begin)


# === Over other chords ===


def over_chords(line: Line, progression: Progression) -> Line:
    """Return the same sounds over other chords, each note named by what it is there.

    >>> from theorykit.tunes.progression import Bar, two_five_one
    >>> line = Line.parse("whole F5 | 8th C#5 B4 Ab4 F4 half rest | whole E4", two_five_one("C"))
    >>> bars = tuple(Bar.even(chord) for chord in ("Dm7", "Db7", "Cmaj7"))
    >>> over_chords(line, Progression(line.progression.key, bars)).text
    'whole F5 | 8th Db5 Cb5 Ab4 F4 half rest | whole E4'
    """
    if line.progression.beats != progression.beats:
        raise TheoryError(
            f"the line lasts {line.progression.beats} beats and the chords {progression.beats} "
            "(want the same length)"
        )
    return Line(progression, tuple(_renamed(note, progression) for note in line.notes))


def _renamed(note: TimedNote, progression: Progression) -> TimedNote:
    """Return a note with the name that it has over the chord of the moment."""
    chord = progression.chord_at(note.start).chord
    if chord.is_silent:
        return note
    midi = note.pitch.midi
    name = above(chord.root, degree_names(chord)[(midi - chord.root.semitone) % 12])
    readable = name if abs(name.alteration) <= MOST_ACCIDENTALS else plain_root(name)
    return replace(note, pitch=Pitch.numbered(readable, midi))


# === In another bar ===

LONGER = ("long", "split")


def in_second_bar(line: Line, form: str = "long") -> Line:
    """Return a line over a short ii-V-I one bar later, over a longer form: not a note is changed.

    The bar of V is heard as a short ii-V (common practice). ``form`` is ``"long"`` or ``"split"``.

    >>> short = two_five_one("C", "short")
    >>> line = Line.parse("8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4", short)
    >>> moved = in_second_bar(line)
    >>> moved.text, str(moved.progression)
    ('whole rest | 8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4', 'Dm7 | G7 | Cmaj7')
    """
    if form not in LONGER:
        raise TheoryError(f"no second bar in the form {shown(form)} (want {' or '.join(LONGER)})")
    key = line.progression.key
    if line.progression != two_five_one(key, "short"):
        raise TheoryError(
            f"not a line over a short ii-V-I: {str(line.progression)!r} "
            f"(want {str(two_five_one(key, 'short'))!r} under it)"
        )
    over = two_five_one(key, form)
    later = over.bars[0].beats
    notes = tuple(replace(note, start=note.start + later) for note in line.notes)
    return Line(over, notes)
