"""Setting a phrase into another key and another form of ii-V-I."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import TheoryError, shown
from theorykit.harmony.chord_families import family
from theorykit.lines.chord_palette import CHROMATIC, palettes
from theorykit.lines.placed import merged_chords
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import Key
from theorykit.tunes.progression import FORMS, Progression, two_five_one

__all__ = ["Setting", "form_of", "set_into"]

BAR = Fraction(4)
FOURTH_UP = 5  # half steps from ii to V and from V to I
SECONDS = ("minor seventh", "half-diminished")
TONICS = ("major", "augmented", "open", "minor tonic", "minor seventh")
# Which form it is by the beats of ii and of V; I may last as long as it likes.
_FORM_OF = {
    (Fraction(4), Fraction(4)): "long",
    (Fraction(2), Fraction(2)): "short",
    (Fraction(6), Fraction(2)): "split",
}


@dataclass(frozen=True, slots=True)
class Setting:
    """A phrase as it is set, and what was done to set it, in a clause.

    >>> line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> found = set_into(line, "Eb", "long")
    >>> str(found.line)
    'whole rest | 8th C5 Eb5 Ab5 F5 D5 Cb5 G4 F4 | whole Eb4'
    >>> found.words
    'moved to E♭ major; the short phrase stands in the bar before I'
    """

    line: Line
    words: str


def form_of(progression: Progression) -> str:
    """Return which form of ii-V-I a progression is, or the empty text.

    >>> form_of(two_five_one("F minor", "split"))
    'split'
    """
    chords = merged_chords(progression)
    if len(chords) != 3:
        return ""
    kinds = [family(one.chord.kind).name for one in chords]
    roots = [one.chord.root.semitone for one in chords]
    falls = all((b - a) % 12 == FOURTH_UP for a, b in pairwise(roots))
    if not (falls and kinds[0] in SECONDS and chords[1].chord.kind.is_dominant):
        return ""
    found = _FORM_OF.get((chords[0].beats, chords[1].beats), "")
    return found if kinds[2] in TONICS else ""


def set_into(line: Line, key: Key | str | None = None, form: str = "") -> Setting:
    """Return a phrase in another key of its mode and in another form of ii-V-I.

    Between the long and the split form the notes stay where they are. A short phrase stands in the
    bar before I; a split one loses its first bar where it becomes short, and so does a long one,
    unless its V bar begins with notes that the ii has not: then it is played in double time.
    Without ``key`` or ``form`` that of the phrase is kept.
    """
    home = line.progression.key
    new = home if key is None else Key.parse(key) if isinstance(key, str) else key
    moved = line.transposed(new)
    told = [f"moved to {new.pretty}"] if new != home else []
    own = form_of(line.progression)
    if form and form not in FORMS:
        raise TheoryError(f"no such form: {shown(form)} (want {', '.join(FORMS)})")
    if form and not own:
        raise TheoryError(f"{line.progression} is no ii-V-I (want one to set it into a form)")
    if form in ("", own):
        return Setting(moved, "; ".join(told) or "as it was written")
    set_line, words = _reformed(moved, own, two_five_one(new, form), form)
    return Setting(set_line, "; ".join([*told, words]))


def _reformed(line: Line, own: str, over: Progression, form: str) -> tuple[Line, str]:
    """Return a phrase over another form of its cadence, and how it came there."""
    if own == "short":
        return _shifted(line, over, BAR), "the short phrase stands in the bar before I"
    if form != "short":
        early = "; its V begins two beats early" if _foreign(line, own) else ""
        return _shifted(line, over, Fraction(0)), f"every note stays in its place{early}"
    if _foreign(line, own):
        return _doubled(line, over), "the two bars before I are played in double time"
    return _shifted(
        line, over, -BAR
    ), "the bar before I and what follows; the first bar is left out"


def _foreign(line: Line, own: str) -> bool:
    """Tell whether a long phrase has, in the first half of its V bar, notes that ii has not."""
    if own != "long":
        return False
    second = palettes(two_five_one(line.progression.key, "long"), None)[0]
    half = (note for note in line.notes if BAR <= note.start < BAR + 2)
    return any(second.kinds[note.pitch.midi % 12] == CHROMATIC for note in half)


def _shifted(line: Line, over: Progression, beats: Fraction) -> Line:
    """Return the notes moved in time; what would stand before the first beat is left out."""
    kept = line.notes if beats >= 0 else [n for n in line.notes if n.start + beats >= 0]
    notes = [replace(note, start=note.start + beats) for note in kept]
    return Line(over, tuple(_ending(note, over) for note in notes if note.start < over.beats))


def _doubled(line: Line, over: Progression) -> Line:
    """Return the notes before I in half the time, those over I as they were."""
    landing = 2 * BAR
    notes = []
    for note in line.notes:
        start, end = _halved(note.start, landing), _halved(note.end, landing)
        notes.append(_ending(TimedNote(note.pitch, start, end - start), over))
    return Line(over, tuple(notes))


def _halved(beat: Fraction, landing: Fraction) -> Fraction:
    """Return when a beat comes if everything before the landing takes half the time."""
    return beat / 2 if beat <= landing else beat - landing / 2


def _ending(note: TimedNote, over: Progression) -> TimedNote:
    """Return a note that does not outlast the progression."""
    return replace(note, beats=min(note.beats, over.beats - note.start))
