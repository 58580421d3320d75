"""A line that is being typed: its text, the chords under it, and its other keys and forms."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any

from theorykit.errors import TheoryError
from theorykit.harmony.chord_families import CHORD_TONE, OUTSIDE
from theorykit.lines.reading import read_line
from theorykit.lines.setting import form_of, set_into
from theorykit.lines.text import Line, SoFar, read_so_far
from theorykit.notes.key import Key
from theorykit.study.phrase import Phrase, phrase_from, phrase_of
from theorykit.tunes.progression import Progression, two_five_one

_OPEN = re.compile(r"[^\s|]*")  # the word that is being typed, or nothing
_LAST = re.compile(r"\|*[^\s|]*\s*")  # the last word or bar line, finished or not


@dataclass(frozen=True, slots=True)
class TypedLine:
    """What a text says over a progression.

    ``line`` is what can be shown, or None where a mistake stands before other words: then the last
    good picture stays. ``problem`` is what is amiss, in words; ``is_open`` tells that nothing is
    wrong yet, because the text ends in the middle of a word or of a bar. ``octaves`` is the line
    with every octave, where some were left to be found.
    """

    line: Line | None
    problem: str = ""
    is_open: bool = False
    octaves: str = ""

    @property
    def is_whole(self) -> bool:
        """True where the whole text could be read."""
        return not self.problem


@lru_cache(maxsize=4)  # the desk asks several times about the text of the moment
@lru_cache(maxsize=8)  # asked for several times at each keystroke
def typed_line(text: str, progression: Progression) -> TypedLine:
    """Return what can be shown of a text that is being typed.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("quarter D5 F5 half E5", "quarter D5 F5 e", "quarter D5 H5 half E5"):
    ...     found = typed_line(text, over)
    ...     print(found.line.text if found.line else None, found.is_whole, found.is_open)
    quarter D5 F5 half E5 True False
    quarter D5 F5 half rest False True
    None False False
    >>> typed_line("quarter F Ab C Eb", over).octaves
    'quarter F4 Ab4 C5 Eb5'
    """
    try:
        found = read_so_far(text, [bar.beats for bar in progression.bars])
    except TheoryError as problem:  # far too much of it
        return TypedLine(None, str(problem))
    ends = not found.problem or _LAST.fullmatch(found.rest)
    line = Line(progression, found.notes) if ends else None
    is_open = bool(found.problem) and _OPEN.fullmatch(found.rest) is not None
    octaves = _told_octaves(progression, found) if found.found_octaves else ""
    return TypedLine(line, found.problem, is_open, octaves)


def _told_octaves(progression: Progression, found: SoFar) -> str:
    """Return a line as text with every octave; one that is not whole, as its notes."""
    if found.problem:
        return " ".join(str(note.pitch) for note in found.notes)
    return Line(progression, found.notes).text


# === Drafts ===

KEPT = "draft"  # what bars and lines of a draft are called where they are kept as phrases
AS_IT_CAME = ""  # the form of a progression that is no ii-V-I, out of a file or a book


@lru_cache(maxsize=16)  # asked for at each keystroke
def _bars(progression: Progression) -> dict[str, Any]:
    """Return the bars under a line as plain data."""
    return phrase_of(Phrase(KEPT, Line(progression, ())))


@dataclass(frozen=True, slots=True)
class LineDraft:
    """A text over a progression.

    ``origin`` is the line as it was last written or taken over; every other key and form is made
    from it, so that going round the keys changes nothing and a shorter form loses nothing for good.
    ``told`` says what was done to the line, if anything was.

    >>> state = LineDraft(two_five_one("C", "short")).typed("half F4 F4 | whole E4")
    >>> state.moved("Eb major", "short").text
    'half Ab4 Ab4 | whole G4'
    >>> state.moved("Eb major", "short").moved("C major", "short").text
    'half F4 F4 | whole E4'
    """

    progression: Progression
    text: str = ""
    origin: Line | None = None
    told: str = ""

    @property
    def data(self) -> dict[str, Any]:
        """The draft as plain data: the text, the bars under it, and beside them the origin."""
        origin = None if self.origin is None else phrase_of(Phrase(KEPT, self.origin))
        return {"text": self.text, "over": _bars(self.progression), "beside": {"origin": origin}}

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> LineDraft:
        """Return the draft that plain data tell of. The reverse of ``data``.

        >>> state = LineDraft(two_five_one("Db", "short")).typed("half Gb4 Gb4 | whole F4")
        >>> LineDraft.of(state.data) == state
        True
        """
        over = phrase_from(data.get("over")).line.progression
        beside = data.get("beside")
        kept = beside.get("origin") if isinstance(beside, Mapping) else None
        origin = None if kept is None else phrase_from(kept).line
        return cls(over, str(data.get("text", "")), origin)

    @property
    def read(self) -> TypedLine:
        """What the text says."""
        return typed_line(self.text, self.progression)

    @property
    def form(self) -> str:
        """Long, short or split, or ``AS_IT_CAME``."""
        return form_of(self.progression)

    def typed(self, text: str) -> LineDraft:
        """Return the state after the reader has changed the text."""
        state = replace(self, text=text, told="")
        found = state.read
        return replace(state, origin=found.line if found.is_whole else None)

    def taken(self, line: Line, told: str = "") -> LineDraft:
        """Return the state with another line and its progression on the desk."""
        return LineDraft(line.progression, line.text, line, told)

    def moved(self, key: Key | str, form: str) -> LineDraft:
        """Return the line in another key and form; what cannot move with its chords stays as text.

        A line moves within its mode, from form to form of a ii-V-I; a text that is not whole, or a
        line that is asked into another mode, stands as it is over the new chords.
        """
        home = Key.parse(key) if isinstance(key, str) else key
        line = self.origin
        if line is not None and line.progression.key.mode == home.mode:
            if form in (AS_IT_CAME, form_of(line.progression)):
                return self._from(line, line.transposed(home), home)
            if form_of(line.progression):
                found = set_into(line, home, form)
                return replace(self._from(line, found.line, home), told=found.words)
        return self._beneath(home, form)

    def rekeyed(self, key: Key | str, form: str, *, is_new: bool) -> LineDraft:
        """Return the line after another key was told: moved there, unless it is there already.

        A line stays where fewer of its notes are out over the new chords: its key was wrong. One
        that ``is_new``, typed since a key was told, stays where it has more of the new chords too.
        What cannot go into a key of another mode stays as well, and moves on from where it was.

        >>> state = LineDraft(two_five_one("Eb", "short"))
        >>> state.typed("half Ab4 D4 | whole G4").rekeyed("F", "short", is_new=True).text
        'half Bb4 E4 | whole A4'
        >>> state.typed("half Bb4 E4 | whole A4").rekeyed("F", "short", is_new=True).text
        'half Bb4 E4 | whole A4'
        """
        home = Key.parse(key) if isinstance(key, str) else key
        there, origin = self._beneath(home, form), self.origin
        if origin is None or there.origin is None:
            return there
        if _foreign(there.origin, both=is_new) < _foreign(origin, both=is_new):
            told = f"the notes stay as they are: they are in {home.pretty} already"
            return replace(there, told=told)
        if origin.progression.key.mode != home.mode:
            return replace(there, origin=origin)
        return self.moved(home, form)

    def _from(self, origin: Line, line: Line, home: Key) -> LineDraft:
        """Return the state with a line that was made from its origin."""
        told = f"moved to {home.pretty}" if home != self.progression.key else ""
        return LineDraft(line.progression, line.text, origin, told)

    def _beneath(self, home: Key, form: str) -> LineDraft:
        """Return the same text over other chords."""
        if form == AS_IT_CAME and home.mode == self.progression.key.mode:
            over = self.progression.transposed(home)
        else:
            over = two_five_one(home, form or "long")
        state = LineDraft(over, self.text)
        told = "the notes stayed as they are, over other chords" if self.text.strip() else ""
        found = state.read
        return replace(state, origin=found.line if found.is_whole else None, told=told)


def _foreign(line: Line, *, both: bool) -> tuple[int, Fraction]:
    """Return how foreign a line is to its chords: notes out, and for ``both`` beats beside them."""
    notes = read_line(line).notes
    beside = (note.note.beats for note in notes if both and note.role != CHORD_TONE)
    return sum(note.role == OUTSIDE for note in notes), sum(beside, Fraction(0))
