"""A kept phrase: a line with its name, its colour, tags and notes, and as plain data."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import colour
from theorykit.lines.setting import Setting, form_of, set_into
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression

__all__ = ["Phrase"]

_BEATS = re.compile(r"[1-9][0-9]{0,3}(/[1-9][0-9]{0,3})?")
LONGEST_NAME, LONGEST_NOTES, MOST_TAGS = 120, 10_000, 50


@dataclass(frozen=True, slots=True)
class Phrase:
    """A line kept by name.

    ``colour`` is the name of the colour over V or empty; ``form`` is long, short or split, or empty
    for other progressions; ``saved`` is when it was kept, as ISO 8601 text in UTC.
    """

    name: str
    line: Line
    colour: str = ""
    tags: tuple[str, ...] = ()
    notes: str = ""
    saved: str = ""

    def __post_init__(self) -> None:
        """Refuse what no book can keep."""
        if not isinstance(self.line, Line):
            raise TheoryError(f"not a line: {shown(self.line)} (want a Line)")
        _check_text("name", self.name, LONGEST_NAME)
        if not self.name or self.name != self.name.strip() or _is_controlled(self.name):
            raise TheoryError(
                f"not a name: {shown(self.name)} (want one line of text without space around it)"
            )
        _check_text("notes", self.notes, LONGEST_NOTES)
        if len(self.tags) > MOST_TAGS:
            raise TheoryError(f"{len(self.tags)} tags (want at most {MOST_TAGS})")
        for tag in self.tags:
            _check_text("tag", tag, LONGEST_NAME)
        if self.colour:
            object.__setattr__(self, "colour", colour(self.colour).name)

    @property
    def form(self) -> str:
        """Long, short or split, or the empty text."""
        return form_of(self.line.progression)

    @property
    def key(self) -> Key:
        """The key of origin."""
        return self.line.progression.key

    @property
    def bars(self) -> int:
        """The length in bars."""
        return len(self.line.progression.bars)

    def into(self, key: Key | str | None = None, form: str = "") -> Setting:
        """Return the phrase in another key and another form of ii-V-I."""
        return set_into(self.line, key, form)


def _check_text(what: str, value: object, longest: int) -> None:
    """Refuse what is no text, or too much of it."""
    if not isinstance(value, str):
        raise TheoryError(f"not a {what}: {shown(value)} (want text)")
    if len(value) > longest:
        raise TheoryError(f"a {what} of {len(value)} characters (want at most {longest})")
    if any("\ud800" <= sign <= "\udfff" for sign in value):  # halves of signs, from broken JSON
        raise TheoryError(f"not a {what}: {shown(value)} (want text that can be written)")


def _is_controlled(text: str) -> bool:
    """Tell whether a text has signs that are no writing: line ends, tabs, bells."""
    return any(ord(sign) < ord(" ") for sign in text)


def phrase_of(phrase: Phrase) -> dict[str, object]:
    """Return a phrase as plain data: what is stored, and what JSON holds."""
    bars = [
        [[str(c), str(beats)] for c, beats in zip(bar.chords, bar.lengths, strict=True)]
        for bar in phrase.line.progression.bars
    ]
    return {
        "name": phrase.name,
        "key": str(phrase.key),
        "bars": bars,
        "line": phrase.line.text,
        "form": phrase.form,
        "colour": phrase.colour,
        "tags": list(phrase.tags),
        "notes": phrase.notes,
        "saved": phrase.saved,
    }


def phrase_from(data: object) -> Phrase:
    """Return the phrase that plain data tell of. The reverse of ``phrase_of``."""
    if not isinstance(data, Mapping):
        raise TheoryError(
            f"not a phrase: {shown(data)} (want an object with name, key, bars, line)"
        )
    missing = [name for name in ("name", "key", "bars", "line") if name not in data]
    if missing:
        raise TheoryError(f"a phrase without {missing[0]} (want name, key, bars and line)")
    over = Progression(Key.parse(data["key"]), tuple(_bar(bar) for bar in _list(data["bars"])))
    return Phrase(
        data["name"],
        Line.parse(data["line"], over),
        data.get("colour", ""),
        tuple(str(tag) for tag in _list(data.get("tags", []))),
        data.get("notes", ""),
        data.get("saved", ""),
    )


def _list(value: object) -> list[object]:
    """Return a list, or refuse."""
    if not isinstance(value, list):
        raise TheoryError(f"not a list: {shown(value)} (want a list)")
    return value


def _bar(data: object) -> Bar:
    """Return a bar of chords with their beats."""
    return Bar.of(*(_timed(item) for item in _list(data)))


def _timed(item: object) -> tuple[Chord, Fraction]:
    """Return a chord with its beats."""
    match [str(one) for one in _list(item)]:
        case [chord, beats] if _BEATS.fullmatch(beats):
            return Chord.parse(chord), Fraction(beats)
    raise TheoryError(f"not a chord with its beats: {shown(item)} (want ['Dm7', '4'])")
