"""Names of sounds: played notes, which are numbers, spelled over the chords they stand on."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.chord_palette import palettes
from theorykit.lines.text import sounds_over, spelled
from theorykit.notes.chord import Chord
from theorykit.notes.degree import above, degrees
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import Progression

# The altered notes of a dominant by half steps above its root, with their other names.
ALTERED = {
    1: degrees("b9 #1"),
    3: degrees("#9 b3"),
    6: degrees("#11 b5"),
    8: degrees("b13 #5"),
}


def spelled_pitches(
    midis: Sequence[int], starts: Sequence[Fraction], over: Progression
) -> tuple[Pitch, ...]:
    """Return the pitches of sounds that have no names yet, spelled over their chords."""
    chords = palettes(over, None)
    in_key = {note.semitone: (note,) for note in over.key.notes}

    def names(midi: int, start: Fraction) -> tuple[Note, ...]:
        under = next((c for c in chords if c.placed.start <= start < c.placed.end), None)
        own = under.names[midi % 12] if under is not None else ()
        altered = _altered(under.placed.chord, midi) if under is not None else ()
        return own or altered or in_key.get(midi % 12, ())

    if not midis:
        return ()
    own = [names(midi, start) for midi, start in zip(midis, starts, strict=True)]
    times = [*pairwise([*starts, over.beats])]
    found = spelled(sounds_over(over, times, midis, own), over.key.notes)
    return tuple(Pitch.numbered(n, midi) for n, midi in zip(found, midis, strict=True))


def _altered(chord: Chord, midi: int) -> tuple[Note, ...]:
    """Return the names of an altered note of a dominant, as tension first."""
    named = ALTERED.get((midi - chord.root.semitone) % 12, ())
    return tuple(above(chord.root, degree) for degree in named) if chord.kind.is_dominant else ()
