"""Altered names: the b9 and the b13 of a dominant, bound to the letters that its symbol gives them.

A player checks a note by the symbol above it: the b9 of Bb7 is C flat, not B (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from theorykit.lines.text.legibility import BREATH, MISNAMED, WRITTEN_MISNAMED, Sound
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, single

ALTERED = (1, 8)  # half steps above the root: the b9 and the b13


def bound_names(sounds: Sequence[Sound], chords: Sequence[Chord]) -> list[Sound]:
    """Return the sounds of a line, the b9 and the b13 of each dominant bound to their letters.

    One that rises by a half step may be a sharp (common practice).

    >>> from theorykit.notes.note import Note
    >>> names = tuple(Note.parse(name) for name in ("Ab", "G#"))
    >>> for end in (67, 69):
    ...     found = bound_names([Sound(68, names), Sound(end, ())], [Chord.parse("G7")] * 2)
    ...     print(*found[0].names)
    Ab
    Ab G#
    """
    return [
        _bound(sound) if _is_altered(sound, chord) and not _rises(sound, after) else sound
        for sound, after, chord in zip(sounds, [*sounds[1:], None], chords, strict=True)
    ]


def parted(sounds: Sequence[Sound], chords: Sequence[Chord]) -> list[Sound]:
    """Return sounds as if each chord had its own bars: another chord may have another name.

    So one bar has G# over Dm7 and Ab over G7.
    """
    bars: dict[tuple[int, Chord], int] = {}
    return [
        replace(sound, bar=bars.setdefault((sound.bar, chord), len(bars)))
        for sound, chord in zip(sounds, chords, strict=True)
    ]


def _bound(sound: Sound) -> Sound:
    """Return a sound bound to its first name, less so where that is E#, B#, Cb or Fb."""
    names = (single(sound.names[0]),)
    other = WRITTEN_MISNAMED if names[0] in AWKWARD else MISNAMED
    return replace(sound, names=names, is_written=True, other=other)


def _is_altered(sound: Sound, chord: Chord) -> bool:
    """Tell whether a sound has the name of the b9 or the b13 of a dominant."""
    if not chord.kind.is_dominant or not sound.names:
        return False
    return (sound.midi - chord.root.semitone) % 12 in ALTERED


def _rises(sound: Sound, after: Sound | None) -> bool:
    """Tell whether a sound goes on by a half step up."""
    joined = after is not None and after.start - sound.end < BREATH
    return joined and after is not None and after.midi - sound.midi == 1
