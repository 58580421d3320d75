"""What a bass may play on each chord of a progression, as pitch classes from 0 (C) to 11 (B)."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.lines.voicing_tones import Tones, tones_of
from theorykit.lines.voicings import Colours
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.notes.spelling import above
from theorykit.tunes.progression import Progression

__all__ = ["BassTones", "bass_tones"]


@dataclass(frozen=True, slots=True)
class BassTones:
    """``first`` may begin the chord, best first; ``fifth`` is empty where there is none."""

    first: tuple[int, ...]
    fifth: tuple[int, ...]
    chord: frozenset[int]
    passing: frozenset[int]


def bass_tones(progression: Progression, colours: Colours) -> tuple[BassTones | None, ...]:
    """Return the tones of each chord; None for N.C.

    A chord begins on its root, or on the bass of its slash. Where it stands a second time in a row
    it may begin on its fifth.

    >>> from theorykit.tunes.progression import two_five_one
    >>> tones = bass_tones(two_five_one("C", "split"), {})
    >>> [one.first for one in tones if one]
    [(2,), (2, 9), (7,), (0,)]
    """
    chords = [placed.chord for placed in progression.chords]
    return tuple(
        None
        if chord.is_silent
        else _tones(
            chord,
            tuple(colours.get(place, ())),
            place > 0 and chords[place - 1] == chord,
            progression.key,
        )
        for place, chord in enumerate(chords)
    )


def _tones(chord: Chord, colour: tuple[Degree, ...], again: bool, key: Key) -> BassTones:
    """Return the tones of one chord."""
    tones = tones_of(chord, colour=colour, key=key)
    held = [above(chord.root, degree) for degree in _held(tones)]
    low = chord.lowest
    fifths = [d for d in tones.all if d.number == 5 and chord.bass is None]
    fifth = tuple(above(chord.root, degree).semitone for degree in fifths[:1])
    coloured = [above(chord.root, degree) for degree in colour]
    free = _free([low, *held, *coloured], key)
    rubs = {(note.semitone + step) % 12 for note in coloured for step in (1, -1)}
    return BassTones(
        (low.semitone, *(fifth if again else ())),
        fifth,
        frozenset(note.semitone for note in (low, *held)),
        frozenset(
            {note.semitone for note in coloured}
            | {note.semitone for note in free if note.semitone not in rubs}
        ),
    )


def _held(tones: Tones) -> tuple[Degree, ...]:
    """Return third, fifth, sixth and seventh of a chord, and its root."""
    return tuple(degree for degree in tones.all if degree.number <= 7)


def _free(named: list[Note], key: Key) -> tuple[Note, ...]:
    """Return the key's own notes for the letters that the chord leaves free."""
    letters = {note.letter for note in named}
    return tuple(note for note in key.notes if note.letter not in letters)
