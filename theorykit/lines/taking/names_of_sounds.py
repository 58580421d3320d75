"""Names of sounds: played notes, which are numbers, spelled over the chords they stand on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.chord_palette import palettes
from theorykit.lines.text import sounds_over, spelled_by_chords
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, single
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import Progression

RAISED_FOURTH = Degree(4, 1)
NOT_RAISED = 1.0  # what another name for it costs: less than a sharp that falls by a half step
THREE = 3  # half steps: of a raised ninth, and of a blue third
# The altered notes of a dominant by half steps above its root, with their other names.
ALTERED = {
    1: degrees("b9 #1"),
    THREE: degrees("#9 b3"),
    6: degrees("#11 b5"),
    8: degrees("b13 #5"),
}


def spelled_pitches(
    midis: Sequence[int], starts: Sequence[Fraction], over: Progression
) -> tuple[Pitch, ...]:
    """Return the pitches of sounds that have no names yet, spelled over their chords.

    The leading note of minor is E# in F# minor and B# in C# minor, and in C the step over F is F#
    where it does not fall (common practice).
    """
    chords, held = palettes(over, None), _held(over.key)
    in_key = {note.semitone: (note,) for note in held}
    raised = single(above(over.key.tonic, RAISED_FOURTH))

    def names(midi: int, start: Fraction) -> tuple[Note, ...]:
        under = next((c for c in chords if c.placed.start <= start < c.placed.end), None)
        own = under.names[midi % 12] if under is not None else ()
        altered = _altered(under.placed.chord, midi) if under is not None else ()
        return own or altered or in_key.get(midi % 12, ())

    if not midis:
        return ()
    own = [names(midi, start) for midi, start in zip(midis, starts, strict=True)]
    times = [*pairwise([*starts, over.beats])]
    sounds = [
        sound
        if sound.names or sound.midi % 12 != raised.semitone
        else replace(sound, names=(raised,), other=NOT_RAISED)
        for sound in sounds_over(over, times, midis, own)
    ]
    under = [over.chord_at(start).chord for start in starts]
    found = spelled_by_chords(sounds, under, held)
    return tuple(Pitch.numbered(n, midi) for n, midi in zip(found, midis, strict=True))


def _held(key: Key) -> tuple[Note, ...]:
    """Return the notes of a key, and the leading note of minor where that is E# or B#.

    >>> [str(_held(Key.parse(key))[-1]) for key in ("F# minor", "C# minor", "G# minor", "A minor")]
    ['E#', 'B#', 'F#', 'G']
    """
    return tuple(note for note in key.chord_notes if note in key.notes or note in AWKWARD)


def _altered(chord: Chord, midi: int) -> tuple[Note, ...]:
    """Return the names of an altered note of a dominant, as tension first.

    A blue third is no E# or B#, as on every page.
    """
    step = (midi - chord.root.semitone) % 12
    if not chord.kind.is_dominant:
        return ()
    named = [above(chord.root, degree) for degree in ALTERED.get(step, ())]
    return tuple(named[1:] if step == THREE and named[0] in AWKWARD else named)
