"""The phrase book: lines kept by name in one file, found again, set into any key and form."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace as replaced
from datetime import UTC, datetime
from os import PathLike, fspath
from pathlib import Path
from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.lines.chorus import PhraseSource, Window
from theorykit.lines.excerpts import LONGER
from theorykit.lines.setting import form_of
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import lead_ins, placed_over
from theorykit.study.phrase import Listed, Phrase, listed_from, phrase_from, phrase_of
from theorykit.study.phrase_store import PhraseStore
from theorykit.tunes.progression import FORMS, Progression

__all__ = ["PhraseBook", "new_rows", "phrases_from"]

FORMAT = "theorykit phrases"
VERSION = 1
LONGEST_JSON = 20_000_000  # characters
MOST_LISTED = 5  # names in a message
MOST_GROWN, TEMPO = 1000, 120


class PhraseBook:
    """Lines kept by name in one SQLite file.

    The file is made where there is none. It is opened anew for everything that is read or written,
    so that two notebooks may use it at once. A damaged file, a newer one or another program's is
    refused and left as it is.

    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> with TemporaryDirectory() as folder:
    ...     book = PhraseBook(f"{folder}/thursday.phrases")
    ...     _ = book.keep("Ida's turn", line, colour="b9 13", tags=["falling", "easy"])
    ...     [phrase.name for phrase in book.find(colour="b9 13", form="short")]
    ...     print(book.phrase("Ida's turn").into("Bb", "split").line)
    ["Ida's turn"]
    whole rest | 8th G4 Bb4 Eb5 C5 A4 Gb4 D4 C4 | whole Bb3
    >>> folder = TemporaryDirectory()
    >>> book = PhraseBook(f"{folder.name}/thursday.phrases")
    >>> over = two_five_one("Db", "short")
    >>> low = Line.parse("8th Gb4 Bb4 Db5 Bb4 C5 A4 F4 Eb4 | whole Ab4", over)
    >>> kept = book.keep("down the stairs", low, colour="b9 13", tags="easy", notes="slowly")
    >>> kept.form, str(kept.key), book.names
    ('short', 'Db major', ('down the stairs',))
    >>> book.find(colour="b9 13", form="long"), [one.name for one in book.listed(tag="easy")]
    ((), ['down the stairs'])
    >>> text = book.export_json(["down the stairs"])
    >>> book.drop("down the stairs")
    >>> [phrase.name for phrase in book.import_json(text)], book.import_json(text)
    (['down the stairs'], ())
    >>> str(book.phrase("down the stairs").line) == str(low)
    True
    >>> folder.cleanup()
    """

    def __init__(self, path: str | PathLike[str]) -> None:
        try:
            self.path = Path(fspath(path))
        except TypeError:
            raise TheoryError(f"not a path: {shown(path)} (want the path of a file)") from None
        self._store = PhraseStore(self.path)

    def keep(
        self,
        name: str,
        line: Line,
        *,
        colour: Colour | str = "",
        tags: Iterable[str] = (),
        notes: str = "",
        replace: bool = False,
    ) -> Phrase:
        """Keep a line under a name, with its colour over V, tags and notes; return the phrase.

        A name that is taken is refused unless ``replace`` is true.
        """
        saved = datetime.now(UTC).isoformat(timespec="seconds")
        phrase = Phrase(name, line, str(colour), _tags(tags), notes, saved)
        self._store.add([phrase_of(phrase)], replace=replace)
        return phrase

    def phrase(self, name: str) -> Phrase:
        """Return the phrase with a name."""
        found = self._store.get(name) if isinstance(name, str) else None
        if found is None:
            raise TheoryError(f"no phrase called {shown(name)} (there are {self._listed()})")
        return phrase_from(found)

    def _listed(self) -> str:
        """List some names for a message."""
        names = self._store.names(MOST_LISTED + 1)
        more = " ..." * (len(names) > MOST_LISTED)
        return f"{', '.join(map(shown, names[:MOST_LISTED]))}{more}" if names else "none"

    @property
    def names(self) -> tuple[str, ...]:
        """The names, in alphabetical order."""
        return self._store.names()

    def find(
        self,
        *,
        colour: Colour | str | None = None,
        form: str | None = None,
        bars: int | None = None,
        tag: str | None = None,
    ) -> tuple[Phrase, ...]:
        """Return the phrases that fit everything that is given, by name.

        ``colour`` is a colour or empty for phrases without one, ``form`` long, short or split (or
        empty for other progressions), ``bars`` the length.
        """
        return tuple(map(phrase_from, self._store.find(*_asked(colour, form), bars, tag)))

    def listed(
        self,
        *,
        colour: Colour | str | None = None,
        form: str | None = None,
        bars: int | None = None,
        tag: str | None = None,
    ) -> tuple[Listed, ...]:
        """Return what a list shows of the phrases that fit, as ``find`` does, by name.

        Their lines are not read, so that a book of many thousand phrases is listed at once.
        """
        found = self._store.find(*_asked(colour, form), bars, tag)
        return tuple(map(listed_from, found))

    def drop(self, name: str) -> None:
        """Take a phrase out of the book."""
        if not isinstance(name, str) or not self._store.remove(name):
            raise TheoryError(f"no phrase called {shown(name)} (there are {self._listed()})")

    def export_json(self, names: Iterable[str] | None = None) -> str:
        """Return phrases as JSON text, all of them unless ``names`` are given."""
        found = self.find() if names is None else [self.phrase(name) for name in names]
        data = {"format": FORMAT, "version": VERSION, "phrases": [phrase_of(p) for p in found]}
        return json.dumps(data, ensure_ascii=False, indent=1)

    def import_json(self, text: str) -> tuple[Phrase, ...]:
        """Take in the phrases of JSON text, all or none; return those that are new.

        A phrase that is there already is passed over; another one under a name that is taken gets a
        number behind its name.
        """
        rows = new_rows(self._store, text)
        self._store.add(rows)
        return tuple(map(phrase_from, rows))


def new_rows(store: PhraseStore, text: str) -> list[dict[str, object]]:
    """Return the phrases of JSON text that a file lacks, under free names, as plain data."""
    kept = {one["name"]: one for one in store.find(None, None, None, None)}
    free = _FreeNames(map(str, kept))
    rows: list[dict[str, object]] = []
    for one in _listed_in(text):
        name = one.get("name") if isinstance(one, dict) else None
        if isinstance(name, str) and one == kept.get(name):
            continue  # letter for letter what is there
        phrase = phrase_from(one)
        row = phrase_of(phrase)
        if row != kept.get(phrase.name):
            called = free.take(phrase.name)
            renamed = phrase if called == phrase.name else replaced(phrase, name=called)
            rows.append(phrase_of(renamed))
    return rows


def _asked(colour: Colour | str | None, form: str | None) -> tuple[str | None, str | None]:
    """Return the colour and the form that are asked for, as the book files them."""
    if form is not None and form not in ("", *FORMS):
        raise TheoryError(f"no such form: {shown(form)} (want {', '.join(FORMS)})")
    return colour if colour is None else str(colour_named(colour)) if colour else "", form


def _tags(tags: Iterable[str]) -> tuple[str, ...]:
    """Return tags, each once and without space around it; one text is one tag."""
    given = [tags] if isinstance(tags, str) else list(tags)
    return tuple(dict.fromkeys(tag.strip() for tag in given if tag.strip()))


class _FreeNames:
    """Names that are taken, and the number behind the last one that was given to another."""

    def __init__(self, taken: Iterable[str]) -> None:
        self.taken = set(taken)
        self.numbers: dict[str, int] = {}

    def take(self, name: str) -> str:
        """Return a name, with a number behind it if it is taken; it is taken from now on."""
        free = name
        while free in self.taken:
            self.numbers[name] = self.numbers.get(name, 1) + 1
            free = f"{name} ({self.numbers[name]})"
        self.taken.add(free)
        return free


def _listed_in(text: str) -> list[object]:
    """Return what the list of phrases in JSON text holds, none of it read yet."""
    if not isinstance(text, str) or len(text) > LONGEST_JSON:
        raise TheoryError(f"not phrases: {shown(text)} (want JSON text as export_json writes it)")
    try:
        data = json.loads(text.removeprefix("\ufeff"))  # which an editor may have put there
    except (ValueError, RecursionError) as wrong:
        raise TheoryError(f"not JSON: {wrong} (want text as export_json writes it)") from None
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise TheoryError(f"no phrases: {shown(data)} (want text as export_json writes it)")
    if data.get("version") != VERSION or not isinstance(data.get("phrases"), list):
        raise TheoryError(f"phrases of version {shown(data.get('version'))} (want {VERSION})")
    found: list[object] = data["phrases"]
    return found


# === Phrases for a chorus ===


def phrases_from(book: PhraseBook, *, seed: int = 0, tempo: float | None = None) -> PhraseSource:
    """Return what gives a chorus the phrases of a book.

    For each cadence it is a phrase of the same mode in the colour of the V, placed where it fits in
    length, harmony and ``tempo`` (``lines.vocabulary.placed_over``); a short phrase in a longer
    cadence has a lead-in before it. Those of the cadence's own form come first; of several one is
    drawn. Where there is none, the chorus asks the writer.

    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 B4 D5 | whole C5", two_five_one("C", "short"))
    >>> with TemporaryDirectory() as folder:
    ...     book = PhraseBook(f"{folder}/thursday.sqlite")
    ...     _ = book.keep("Ida's turn", line)
    ...     chorus = write_chorus(Chart.of("F", "Gm7 C7", "F6"), source=phrases_from(book))
    >>> chorus.line.text
    '8th D5 F5 Bb5 G5 E5 G5 E5 G5 | whole F5'
    """
    kept: dict[str, tuple[Phrase, ...]] = {}

    def phrase(window: Window, stretch: Progression) -> Line | None:
        if window.colour not in kept:
            kept[window.colour] = book.find(colour=window.colour)
        found = [one for one in kept[window.colour] if one.key.mode == stretch.key.mode]
        rng = Random(f"{seed} {window.v} {window.chorus}")
        rng.shuffle(found)
        form = form_of(stretch)
        found.sort(key=lambda one: one.form != form)  # its own form first; the order drawn stays
        row = colour_named(window.colour) if window.colour else None
        grown = (_grown(one, form, rng.randrange(MOST_GROWN)) for one in found)
        fitting = (placed_over(line, stretch, row, tempo=tempo or TEMPO) for line in grown)
        return next((line for line in fitting if line is not None), None)

    return phrase


def _grown(phrase: Phrase, form: str, seed: int) -> Line:
    """Return the line of a phrase, with a lead-in where a short one is to fill a longer form."""
    if phrase.form != "short" or form not in LONGER or not phrase.line.notes:
        return phrase.line
    ways = lead_ins(phrase.line, form)
    return ways[seed % len(ways)].line if ways else phrase.line
