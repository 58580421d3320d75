"""The view of a phrase book: its lists, one phrase as it is set, and words on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.wording import counted, sentence
from theorykit.lines.setting import Setting
from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS, Reader
from theorykit.study.phrase import Listed, Phrase
from theorykit.tunes.progression import FORMS
from theorykit.views.line import LineView, line_view

__all__ = ["ANY", "AS_KEPT", "PhraseView", "Shelf", "form_options", "key_options", "phrase_view"]

ANY = ()  # what a list of the shelf says where nothing is asked for
AS_KEPT = ""  # the key or form in which a phrase was kept
NO_BOOK = "There is no book here yet. It is made when the first phrase is kept."
NO_COLOUR, NO_FORM = "no colour", "no ii-V-I"

Options = tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """All phrases of a book, and those of them that were asked for.

    >>> Shelf((), ()).words
    'No phrase in the book yet.'
    """

    every: tuple[Listed | Phrase, ...]
    found: tuple[Listed | Phrase, ...]

    @property
    def colours(self) -> Options:
        """The colours that the book has, in the order of their names."""
        names = sorted({phrase.colour for phrase in self.every})
        return _options((_colour_words(name), name) for name in names)

    @property
    def forms(self) -> Options:
        """The forms that the book has, in the usual order."""
        there = {phrase.form for phrase in self.every}
        return _options((form or NO_FORM, form) for form in (*FORMS, "") if form in there)

    @property
    def lengths(self) -> Options:
        """The lengths that the book has, in bars."""
        bars = sorted({phrase.bars for phrase in self.every})
        return _options((counted(number, "bar"), number) for number in bars)

    @property
    def tags(self) -> Options:
        """The tags that the book has."""
        tags = {tag for phrase in self.every for tag in phrase.tags}
        return _options((tag, tag) for tag in sorted(tags, key=str.casefold))

    @property
    def listed(self) -> tuple[tuple[str, str], ...]:
        """The phrases that were asked for, each with a few words, and their names."""
        return tuple((f"{phrase.name}  ·  {facts(phrase)}", phrase.name) for phrase in self.found)

    @property
    def words(self) -> str:
        """How many phrases there are, and how many of them were asked for."""
        if not self.every:
            return "No phrase in the book yet."
        return f"{len(self.found)} of {len(self.every)} phrase{'s' * (len(self.every) != 1)}."


def _options(pairs: Iterable[tuple[str, object]]) -> Options:
    """Return what a list offers, any of them first."""
    return (("any", ANY), *pairs)


def _colour_words(name: str) -> str:
    """Return the name of a kept colour for the eye."""
    return colour(name).pretty if name else NO_COLOUR


def facts(phrase: Listed | Phrase) -> str:
    """Return what a phrase is in a few words: form, colour, key of origin.

    >>> from theorykit.lines.demonstration import demonstration
    >>> facts(Phrase("turn", demonstration("Eb", "short", "b9 13"), "b9 13"))
    'short, ♭9 13, E♭ major'
    """
    form = phrase.form or counted(phrase.bars, "bar")
    return f"{form}, {_colour_words(phrase.colour)}, {phrase.key.pretty}"


@dataclass(frozen=True, slots=True)
class PhraseView:
    """A phrase as it is set: its line with what it does, and what is told of it."""

    phrase: Phrase
    setting: Setting
    page: LineView

    @property
    def colour(self) -> Colour | None:
        """The colour that it is filed under."""
        return colour(self.phrase.colour) if self.phrase.colour else None

    @property
    def title(self) -> str:
        """Its name and what it is."""
        return f"{self.phrase.name}: {facts(self.phrase)}"

    @property
    def told(self) -> tuple[str, ...]:
        """How it is set, its tags and its notes."""
        tags = f"Tags: {', '.join(self.phrase.tags)}." if self.phrase.tags else ""
        words = (sentence(self.setting.words), tags, self.phrase.notes)
        return tuple(text for text in words if text)


def phrase_view(
    phrase: Phrase, key: str = AS_KEPT, form: str = AS_KEPT, *, reader: Reader = READERS[0]
) -> PhraseView:
    """Return a phrase set into a key and a form.

    >>> from theorykit.lines.demonstration import demonstration
    >>> view = phrase_view(Phrase("turn", demonstration("Eb", "short", "b9 13"), "b9 13"), "C")
    >>> view.title, view.told
    ('turn: short, ♭9 13, E♭ major', ('Moved to C major.',))
    """
    setting = phrase.into(key or None, form)
    row = colour(phrase.colour) if phrase.colour else None
    return PhraseView(phrase, setting, line_view(setting.line, row, reader=reader))


def key_options(phrase: Phrase) -> tuple[tuple[str, str], ...]:
    """Return the keys that a phrase can be set into: its own, then all of its mode."""
    keys = [(key.pretty, str(key)) for key in KEYS if key.mode == phrase.key.mode]
    return (("as it was kept", AS_KEPT), *keys)


def form_options(phrase: Phrase, words: Sequence[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Return the forms that a phrase can be set into; ``words`` are all, with their names."""
    return (("as it was kept", AS_KEPT), *(words if phrase.form else ()))
