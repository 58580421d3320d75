"""Chords in another key: home keeps the names of the key, what is foreign to it goes as one."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import ENHARMONIC, Note

_FAR = 7  # places from the tonic on which no degree of its key stands
_SHARPEST = 11  # E#, on the line of fifths: the third of C#maj7; that of a dominant may be B#
_THIRDS = (Degree(3), Degree(3, -1))


def moved_chords(chords: Sequence[Chord], old: Key, new: Key) -> list[Chord]:
    """Return chords in another key of the same mode, spelled for that key.

    A root that had to give up its own name, as Cb7 does that is written B7 in B flat, moves by its
    own; the chords that fall to it by fifths go with it, here and there. What stands on a root of
    the key keeps the name of the key, unless it is the ii or the V of a chord that is foreign.

    >>> chords = [Chord.parse(name) for name in "Bbmaj7 Ebm7 Ab7 Bbmaj7".split()]
    >>> [str(chord) for chord in moved_chords(chords, Key.parse("Bb"), Key.parse("Db"))]
    ['Dbmaj7', 'F#m7', 'B7', 'Dbmaj7']
    """
    known: dict[tuple[int, int], Chord] = {}  # tunes say the same chords often
    for chord, turn in zip(chords, turns := _turns(chords, old), strict=True):
        if (id(chord), turn) not in known:
            known[id(chord), turn] = _moved(chord, turn, old, new)
    there = [known[id(chord), turn] for chord, turn in zip(chords, turns, strict=True)]
    home = [_own(chord.root, turn) in old.notes for chord, turn in zip(chords, turns, strict=True)]
    return _together(chords, there, home, new)


def _own(root: Note, turn: int) -> Note:
    """Return the name that a root gave up, or its name where it gave none up."""
    return root.along(-ENHARMONIC * turn)


def _moved(chord: Chord, turn: int, old: Key, new: Key) -> Chord:
    """Return one chord in another key, by the name that it gave up.

    Where that would bring a third too sharp to read, as in A#maj7, it keeps the name it has.
    """
    held = new.chord_notes
    moved = chord.transposed(old.tonic.along(ENHARMONIC * turn), new.tonic, held)
    most = _SHARPEST + chord.kind.is_dominant
    thirds = (above(moved.root, one) for one in _thirds(moved))
    too_sharp = any(note.fifths > most and note not in new.notes for note in thirds)
    return chord.transposed(old.tonic, new.tonic, held) if turn and too_sharp else moved


def _is_strange(note: Note) -> bool:
    """Tell whether a note is doubly altered, or called E#, B#, Cb or Fb."""
    return abs(note.alteration) > 1 or note in AWKWARD


def _thirds(chord: Chord) -> list[Degree]:
    """Return the third of a chord, major or minor."""
    return [one for one in _THIRDS if one in chord.degrees]


def _together(
    chords: Sequence[Chord], moved: list[Chord], home: Sequence[bool], new: Key
) -> list[Chord]:
    """Let a ii and its V stand a fourth apart by letters again: F#m7 B7 and not Gbm7 B7.

    ``home`` tells which chords stand on a root of the key; the ii of a foreign V is foreign.
    """
    notes = new.notes
    foreign = [one.root not in notes or not at for one, at in zip(moved, home, strict=True)]
    for n in range(len(chords) - 2, -1, -1):
        chord, after = chords[n], chords[n + 1]
        if not _leads(chord, after):
            continue
        keeps = home[n] and moved[n].root in notes
        if keeps and not (foreign[n + 1] and _belongs(chord, after, foreign=not home[n + 1])):
            continue
        foreign[n] = True
        step = chord.root.fifths - after.root.fifths
        moved[n : n + 2] = _agreed(moved[n], moved[n + 1], step, new, home=home[n + 1])
    return moved


def _agreed(chord: Chord, after: Chord, step: int, new: Key, *, home: bool) -> tuple[Chord, Chord]:
    """Return two chords so many fifths apart by letters, where the first can be read so.

    Where it cannot, a V of the key keeps its name all the same (E#m7b5 A#7 in B), another goes to
    its ii: Fm7 Bb7 in D.
    """
    held, root = new.chord_notes, after.root.along(step)
    is_two = step == 1 and _is_minor(chord) and after.kind.is_dominant
    if chord.root == root:
        return chord, after
    if chord.readable_root(root, held) == root:
        return chord.transposed(chord.root, root, held), after
    if is_two and home and after.root in held and abs(root.alteration) <= 1:
        return chord.on(root) if chord.bass is None else chord, after
    five = chord.root.along(-step)
    if is_two and not home and after.readable_root(five, held) == five:
        return chord, after.transposed(after.root, five, held)
    return chord, after


def _belongs(chord: Chord, after: Chord, *, foreign: bool) -> bool:
    """Tell whether a chord on a root of the key is but the ii or the V of the one after it.

    A ii goes with its V; a V only with a ``foreign`` chord that is at rest.
    """
    if chord.root == after.root:
        return _is_minor(chord) and _is_minor(after)
    if after.kind.is_dominant:
        return _is_minor(chord)
    return foreign and chord.kind.is_dominant


def _is_minor(chord: Chord) -> bool:
    """Tell whether a chord has a minor third."""
    return chord.kind.has("b3")


def _turns(chords: Sequence[Chord], key: Key) -> list[int]:
    """Return for each chord 1 or -1 where a flat or a sharp name was given up, 0 for none."""
    turns: list[int] = []
    after: Chord | None = None
    home = key.notes
    for chord in reversed(chords):
        follows = after is not None and chord.root not in home and _leads(chord, after)
        turns.append(turns[-1] if follows else _turn(chord, key, after))
        after = chord
    return turns[::-1]


def _leads(chord: Chord, after: Chord) -> bool:
    """Tell whether a chord stays on its root or falls from it by a fifth, letters counted.

    A chord at rest, major and no dominant, leads nowhere.
    """
    if chord.is_silent or after.is_silent:
        return False
    if not (_is_minor(chord) or chord.kind.is_dominant):
        return chord.root == after.root and not _is_minor(after)
    return chord.root.fifths - after.root.fifths in (0, 1)


def _turn(chord: Chord, key: Key, after: Chord | None) -> int:
    """Return 1 or -1 for a chord whose own name is flatter or sharper than the one it stands on.

    A flat V with a diminished fifth is the raised IV: Fm7b5 in B is there for E#m7b5.
    """
    far = chord.root.fifths - key.tonic.fifths
    is_raised = far == 1 - _FAR and chord.kind.has("b5")
    if chord.is_silent or (abs(far) < _FAR and not is_raised):
        return 0
    turn = 1 if far > 0 else -1
    own = _own(chord.root, turn)
    is_hard = any(map(_is_strange, (own, *(above(own, one) for one in _thirds(chord)))))
    is_sure = is_raised or own in key.notes
    return turn if is_hard and (is_sure or _goes(chord, after, -turn)) else 0


def _goes(chord: Chord, after: Chord | None, step: int) -> bool:
    """Tell whether a diminished chord moves by a half step down or up; the others go anywhere."""
    if not chord.kind.has("b5") or chord.kind.has("b7"):
        return True
    if after is None or after.is_silent:
        return False
    return after.root.semitone == (chord.root.semitone + step) % 12
