"""A kept phrase: a line with its name, its colour, tags and notes, and as plain data."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import colour
from theorykit.lines.setting import Setting, form_of, set_into
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import DOTTED_PULSE, PLAIN_PULSE, Bar, Progression

__all__ = ["Listed", "Phrase"]

_BEATS = re.compile(r"[1-9][0-9]{0,3}(/[1-9][0-9]{0,3})?")
_Bar = tuple[tuple[str, ...], ...]  # symbols with their quarters, and a beat that is none of them
_PULSE = str(DOTTED_PULSE)
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
        _check_text("time of saving", self.saved, LONGEST_NAME)
        if len(self.tags) > MOST_TAGS:
            raise TheoryError(f"{len(self.tags)} tags (want at most {MOST_TAGS})")
        for tag in self.tags:
            _check_text("tag", tag, LONGEST_NAME)
        if self.colour != "":
            object.__setattr__(self, "colour", str(colour(self.colour)))

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
    bars, text = _printed(phrase.line)
    return {
        "name": phrase.name,
        "key": str(phrase.key),
        "bars": [[[*timed] for timed in bar] for bar in bars],
        "line": text,
        "form": phrase.form,
        "colour": phrase.colour,
        "tags": list(phrase.tags),
        "notes": phrase.notes,
        "saved": phrase.saved,
    }


def timed_chords(bar: Bar) -> Iterator[tuple[str, ...]]:
    """Yield the chords of a bar as text, each with its quarters; in 6/8 with the beat as well.

    >>> list(timed_chords(Bar.even("Dm7", "G7")))
    [('Dm7', '2'), ('G7', '2')]
    >>> list(timed_chords(replace(Bar.even("Gb6", beats=3), pulse=DOTTED_PULSE)))
    [('Gb6', '3', '3/2')]
    """
    pulse = () if bar.pulse == PLAIN_PULSE else (str(bar.pulse),)
    for chord, beats in zip(bar.chords, bar.lengths, strict=True):
        yield str(chord), str(beats), *pulse


def bar_of_timed(timed: Sequence[Sequence[str]]) -> Bar:
    """Return the bar that texts tell of. The reverse of ``timed_chords``.

    >>> str(bar_of_timed([("Ebm7", "3/2", "3/2"), ("Ab7", "3/2", "3/2")]))
    'Ebm7 Ab7'
    """
    bar = Bar.of(*((chord, Fraction(beats)) for chord, beats, *_ in timed))
    return replace(bar, pulse=Fraction(timed[0][2])) if timed and timed[0][2:] else bar


@lru_cache(maxsize=4096)  # many phrases of an import are copies under other names
def _printed(line: Line) -> tuple[tuple[_Bar, ...], str]:
    """Return the bars under a line and the line itself as text."""
    bars = tuple(tuple(timed_chords(bar)) for bar in line.progression.bars)
    return bars, line.text


def phrase_from(data: object) -> Phrase:
    """Return the phrase that plain data tell of. The reverse of ``phrase_of``."""
    if not isinstance(data, Mapping):
        raise TheoryError(
            f"not a phrase: {shown(data)} (want an object with name, key, bars, line)"
        )
    missing = [name for name in ("name", "key", "bars", "line") if name not in data]
    if missing:
        raise TheoryError(f"a phrase without {missing[0]} (want name, key, bars and line)")
    bars = tuple(_bar(bar) for bar in _list(data["bars"]))
    return Phrase(
        data["name"],
        _line(_text(data["key"], "key"), bars, _text(data["line"], "line")),
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


def _text(value: object, what: str) -> str:
    """Return text, or refuse."""
    if not isinstance(value, str):
        raise TheoryError(f"not a {what}: {shown(value)} (want text)")
    return value


@lru_cache(maxsize=4096)  # a book is read often, and has many phrases over the same changes
def _line(key: str, bars: tuple[_Bar, ...], text: str) -> Line:
    """Return a line over its bars."""
    return Line.parse(text, _over(key, bars))


@lru_cache(maxsize=512)
def _over(key: str, bars: tuple[_Bar, ...]) -> Progression:
    """Return the bars under a line."""
    return Progression(Key.parse(key), tuple(map(bar_of_timed, bars)))


def _bar(data: object) -> _Bar:
    """Return the symbols of a bar with their beats, as text."""
    return tuple(_timed(item) for item in _list(data))


def _timed(item: object) -> tuple[str, ...]:
    """Return a symbol with its beats."""
    match [str(one) for one in _list(item)]:
        case [_, beats, *pulse] as timed if _BEATS.fullmatch(beats) and pulse in ([], [_PULSE]):
            return tuple(timed)
    raise TheoryError(f"not a chord with its beats: {shown(item)} (want ['Dm7', '4'])")


@dataclass(frozen=True, slots=True)
class Listed:
    """What a list shows of a kept phrase, whose line is read when it is chosen."""

    name: str
    key: Key
    form: str
    bars: int
    colour: str
    tags: tuple[str, ...]
    saved: str = ""


def listed_from(data: Mapping[str, object]) -> Listed:
    """Return what a list shows of a phrase that is kept as plain data."""
    return Listed(
        str(data["name"]),
        _key(_text(data["key"], "key")),
        str(data["form"]),
        len(_list(data["bars"])),
        str(data["colour"]),
        tuple(map(str, _list(data["tags"]))),
        str(data.get("saved", "")),
    )


@lru_cache(maxsize=64)
def _key(text: str) -> Key:
    """Return a key; a book has few, and many times."""
    return Key.parse(text)
