"""Keyboards: what is lit on them, a chord alone, or a chord with other notes above it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note, Pitch

__all__ = [
    "KeyNote",
    "KeyboardView",
    "LitKey",
    "is_white",
    "keyboard_range",
    "plain_keyboard",
    "stacked_keys",
]

WHITE = frozenset((0, 2, 4, 5, 7, 9, 11))  # pitch classes of the white keys
FIRST_KEYS = (0, 5)  # a stretch goes from C to B or from F to E
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class LitKey:
    """One lit key: MIDI number, the note's name, its degree, its role (as in ``note_roles``).

    ``ringed`` marks the notes of the shape that one thinks of.
    """

    midi: int
    name: str
    degree: str
    role: str
    ringed: bool = False


@dataclass(frozen=True, slots=True)
class KeyboardView:
    """A stretch of keyboard from ``low`` to ``high`` (MIDI numbers of white keys, both shown)."""

    low: int
    high: int
    lit: tuple[LitKey, ...]
    alt: str


def is_white(midi: int) -> bool:
    """Tell whether a MIDI number is a white key.

    >>> is_white(60), is_white(61)
    (True, False)
    """
    return midi % OCTAVE in WHITE


def keyboard_range(midis: Iterable[int], *, octaves: int = 2) -> tuple[int, int]:
    """Return the lowest and highest white key of a stretch that shows all of ``midis``.

    It begins on C or F and lasts ``octaves``, or more where they do not reach; what is lit stands
    as near the middle as that allows. Without anything lit, middle C stands there.

    >>> keyboard_range([62, 65, 69, 72]), keyboard_range([55, 59, 64, 68, 83])
    ((53, 76), (53, 88))
    """
    lit = sorted(midis) or [60]
    low, high = lit[0], lit[-1]
    length = octaves * OCTAVE
    while True:
        starts = [start for start in range(high - length + 1, low + 1) if _may_begin(start)]
        if starts:
            start = min(starts, key=lambda one: abs(2 * one + length - 1 - low - high))
            return start, start + length - 1
        length += OCTAVE


def _may_begin(midi: int) -> bool:
    """Tell whether a drawn keyboard may begin on this key."""
    return midi % OCTAVE in FIRST_KEYS


# === Chords on keys ===

LOWEST_ROOT = 43  # MIDI: the root lies in the octave that begins at G2
LOW_KEYS, HIGH_KEYS = (0, 5), (4, 11)  # where a drawn keyboard may begin and end: C, F; E, B


def plain_keyboard(chord: Chord) -> KeyboardView:
    """Return the keyboard of a chord from its root up; N.C. lights nothing.

    >>> view = plain_keyboard(Chord.parse("Db7"))
    >>> [(key.name, key.degree) for key in view.lit], view.alt
    ([('D♭', '1'), ('F', '3'), ('A♭', '5'), ('C♭', '♭7')], 'Keyboard: D♭7 is D♭, F, A♭, C♭.')
    """
    root = Pitch.at_or_above(chord.root, LOWEST_ROOT).midi
    lit = tuple(
        LitKey(root + degree.semitone, note.pretty, degree.pretty, "chord")
        for degree, note in zip(chord.degrees, chord.notes, strict=True)
    )
    keys = tuple(sorted(lit, key=lambda key: key.midi))
    low = keys[0].midi if keys else root
    high = max(keys[-1].midi if keys else root, low + 11)
    return KeyboardView(
        next(midi for midi in range(low, low - 12, -1) if midi % 12 in LOW_KEYS),
        next(midi for midi in range(high, high + 12) if midi % 12 in HIGH_KEYS),
        keys,
        f"Keyboard: {chord.pretty} is {', '.join(key.name for key in keys) or 'silent'}.",
    )


@dataclass(frozen=True, slots=True)
class KeyNote:
    """A note above the chord: its name, its degree over the chord, whether it rubs there."""

    note: Note
    degree: Degree
    rubs: bool = False

    def role(self, chord: Chord) -> str:
        """Return what its key is, as in ``note_roles``."""
        if self.rubs:
            return "outside"
        return "chord" if self.degree in chord.degrees else "colour"


def stacked_keys(
    chord: Chord, notes: Iterable[KeyNote], alt: str, names: Mapping[int, Note] | None = None
) -> KeyboardView:
    """Return the keyboard: the chord from its root, above it the notes, each above the last.

    ``names`` are the names of the chord's own notes by pitch class, where it is not to name them.

    >>> from theorykit.harmony.tensions import degrees_over
    >>> g7, db7 = Chord.parse("G7"), Chord.parse("Db7")
    >>> notes = map(KeyNote, db7.notes, degrees_over(g7, db7.notes))
    >>> view = stacked_keys(g7, notes, "D♭7 over G7")
    >>> [(key.midi, key.name, key.degree) for key in view.lit if key.ringed]
    [(61, 'D♭', '♯11'), (65, 'F', '♭7'), (68, 'A♭', '♭9'), (71, 'C♭', '3')]
    """
    root = Pitch.at_or_above(chord.root, LOWEST_ROOT).midi
    own = [(names or {}).get(note.semitone, note) for note in chord.notes]
    tones = zip(chord.degrees, own, strict=True)
    lit = {
        root + degree.semitone: LitKey(root + degree.semitone, note.pretty, degree.pretty, "chord")
        for degree, note in tones
    }
    at = max(lit)
    for one in notes:
        at += 1 + (one.note.semitone - at - 1) % OCTAVE
        lit[at] = LitKey(at, one.note.pretty, one.degree.pretty, one.role(chord), True)
    keys = tuple(sorted(lit.values(), key=lambda key: key.midi))
    return KeyboardView(_white_below(keys[0].midi), _white_above(keys[-1].midi), keys, alt)


def _white_below(midi: int) -> int:
    """Return the C or F at or below a key, where a drawn keyboard begins."""
    return next(m for m in range(midi, midi - OCTAVE, -1) if m % OCTAVE in (0, 5))


def _white_above(midi: int) -> int:
    """Return the E or B at or above a key, where a drawn keyboard ends."""
    return next(m for m in range(midi, midi + OCTAVE) if m % OCTAVE in (4, 11))
