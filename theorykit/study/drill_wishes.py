"""Wishes for a drill: kinds of question, topics and keys by their names, and keys on a page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import colour
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.notes.note import ascii_accidentals
from theorykit.notes.reader import READERS, Reader
from theorykit.study.questions import KINDS_OF_QUESTION, WAYS, QuestionKind

__all__ = ["KEY_SETS", "keys_on_page", "kinds_wanted"]

ALL_KEYS = "all keys"
_SHARPEST, _FLATTEST = 6, -5  # signs of the usual names: F sharp and D flat, D sharp is E flat
_USUAL = sorted(
    (key for key in KEYS if _FLATTEST - key.is_minor <= key.fifths <= _SHARPEST - key.is_minor),
    key=lambda key: (abs(key.fifths), MODES.index(key.mode), key.fifths),
)
# Twelve keys of each mode under their usual names, those with few signs first.
KEY_SETS: dict[str, tuple[Key, ...]] = {
    ALL_KEYS: tuple(_USUAL),
    "major keys": tuple(key for key in _USUAL if not key.is_minor),
    "minor keys": tuple(key for key in _USUAL if key.is_minor),
}


def keys_on_page(
    wanted: str | Key | Iterable[str | Key] | None, reader: Reader = READERS[0]
) -> tuple[Key, ...]:
    """Return keys as they stand on a reader's page: a set by its name, one key, or some.

    What is named is what the reader reads; the sets are the twelve keys that sound, those that the
    reader writes with few signs first.

    >>> from theorykit.notes.reader import reader
    >>> [str(key) for key in keys_on_page("major keys", reader("trumpet"))][:4]
    ['C major', 'G major', 'F major', 'D major']
    >>> [str(key) for key in keys_on_page(["Db", "F minor"])]
    ['Db major', 'F minor']
    """
    name = ALL_KEYS if wanted is None else wanted
    if isinstance(name, str) and name in KEY_SETS:
        written = dict.fromkeys(map(reader.written_key, KEY_SETS[name]))
        return tuple(sorted(written, key=lambda key: abs(key.fifths)))
    some = [name] if isinstance(name, (str, Key)) else name
    if not isinstance(some, Iterable) or isinstance(some, (bytes, dict)):
        raise TheoryError(f"not keys: {shown(some)} (want some such as ['Db', 'F minor'])")
    found = tuple(key if isinstance(key, Key) else Key.parse(key) for key in some)
    if not found:
        raise TheoryError("no key to ask in (want at least one, such as 'Db')")
    return tuple(dict.fromkeys(found))


def kinds_wanted(what: str | Iterable[str] | None = None) -> tuple[QuestionKind, ...]:
    """Return the kinds of question that names ask for, each with the topics that are meant.

    A name is a kind, a way to ask (recall, see, hear, do), a colour, or another topic. Kinds and
    topics together mean these topics of these kinds.

    >>> [kind.name for kind in kinds_wanted("see")]
    ['colour in a picture', 'target note', 'wrong note']
    >>> [(kind.name, kind.topics) for kind in kinds_wanted(["shortcut over V", "♭9 13"])]
    [('shortcut over V', ('b9 13',))]
    >>> kinds_wanted("riddles")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: nothing to ask by the name 'riddles' (want recall, see, hear, \
do, a kind of question such as 'guide tones', or a colour such as 'b9 13')
    """
    if what is None or what == () or what == []:
        return KINDS_OF_QUESTION
    names = [what] if isinstance(what, str) else list(_names(what))
    named = [_kinds(name) for name in names]
    kinds = {kind.name: kind for found in named for kind in found}
    topics = {_topic(name) for name, found in zip(names, named, strict=True) if not found}
    if not topics:
        return tuple(kind for kind in KINDS_OF_QUESTION if kind.name in kinds)
    among = [kind for kind in KINDS_OF_QUESTION if not kinds or kind.name in kinds]
    narrowed = (
        replace(kind, topics=tuple(topic for topic in kind.topics if topic in topics))
        for kind in among
    )
    asked = tuple(kind for kind in narrowed if kind.topics)
    if not asked:
        raise TheoryError(
            f"{', '.join(sorted(kinds))} never ask for {', '.join(sorted(topics))} "
            "(want a topic of theirs)"
        )
    return asked


def _names(what: object) -> Iterable[str]:
    """Return names, or refuse what is none."""
    if not isinstance(what, Iterable) or isinstance(what, (bytes, dict)):
        raise TheoryError(f"not names: {shown(what)} (want 'guide tones', or some names)")
    return what


def _kinds(name: object) -> tuple[QuestionKind, ...]:
    """Return the kinds that a name means: one, or all of a way; none where it is a topic."""
    if name in WAYS:
        return tuple(kind for kind in KINDS_OF_QUESTION if kind.way == name)
    return tuple(kind for kind in KINDS_OF_QUESTION if kind.name == name)


def _topic(name: object) -> str:
    """Return the topic that a name means."""
    topics = {topic for kind in KINDS_OF_QUESTION for topic in kind.topics}
    plain = ascii_accidentals(name.strip()) if isinstance(name, str) and len(name) < 60 else ""
    if plain in topics:
        return plain
    try:
        return colour(plain).name
    except TheoryError:
        raise TheoryError(
            f"nothing to ask by the name {shown(name)} (want {', '.join(WAYS)}, a kind of question "
            "such as 'guide tones', or a colour such as 'b9 13')"
        ) from None
