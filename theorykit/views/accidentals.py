"""Which accidentals are printed: by the key signature, the bar so far, and courtesy."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from theorykit.notes.key import Key
from theorykit.notes.pitch import Pitch
from theorykit.views.written import Written

__all__ = ["with_accidentals"]


def with_accidentals(bars: Iterable[Sequence[Written]], key: Key) -> list[list[Written]]:
    """Return the notes of each bar with their accidentals decided.

    An accidental is printed where the sign in force for that line or space says otherwise. It
    stands in brackets, as a courtesy, where the same letter was altered in another octave of this
    bar or anywhere in the bar before (common practice). A tied note repeats nothing.
    """
    signature = {note.letter: note.alteration for note in key.notes}
    before: dict[str, int] = {}
    done = []
    for bar in bars:
        page = _Bar(signature, before)
        done.append([page.placed(note) for note in bar])
        before = page.letters
    return done


class _Bar:
    """The signs in force in one bar."""

    def __init__(self, signature: dict[str, int], before: dict[str, int]) -> None:
        self.signature = signature
        self.doubtful = before  # what the eye may still remember from the bar before
        self.places: dict[tuple[str, int], int] = {}
        self.letters: dict[str, int] = {}

    def placed(self, note: Written) -> Written:
        """Return a note with its accidental, and remember it."""
        if note.pitch is None or note.tie in ("continue", "stop"):
            return note
        kind = self.kind(note.pitch)
        name = note.pitch.note
        self.places[name.letter, note.pitch.octave] = name.alteration
        self.letters[name.letter] = name.alteration
        self.doubtful = {k: v for k, v in self.doubtful.items() if k != name.letter}
        return replace(note, accidental=kind) if kind != note.accidental else note

    def kind(self, pitch: Pitch) -> str:
        """Return whether the accidental is needed, a courtesy, or neither."""
        letter, alteration = pitch.note.letter, pitch.note.alteration
        usual = self.signature[letter]
        if self.places.get((letter, pitch.octave), usual) != alteration:
            return "shown"
        if (letter, pitch.octave) in self.places:
            return ""
        recent = self.letters.get(letter, self.doubtful.get(letter, usual))
        return "courtesy" if recent != alteration else ""
