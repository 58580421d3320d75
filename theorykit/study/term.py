"""The term: dated sheets, and which colours, keys and tunes were given when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from theorykit.harmony.colours import colour
from theorykit.notes.key import Key

__all__ = ["KEY_RULE", "TERM_HEADS", "Sheet", "Term", "next_day"]

TERM_HEADS = ("day", "sheet", "colours", "keys", "tunes")
KEY_RULE = (
    "A key is given where a block is in it, or where a cadence in it stands in a tune on the "
    "sheet, whether it lands or not."
)
WEEK = timedelta(days=7)
MOST_NAMED = 30  # in a sentence


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one sheet gives: its day, its title, its colours, keys and tunes by name."""

    day: date
    title: str
    colours: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    tunes: tuple[str, ...] = ()

    @property
    def row(self) -> tuple[str, ...]:
        """The sheet as a row under ``TERM_HEADS``.

        >>> Sheet(date(2026, 11, 26), "Bridges", ("b9 13",), ("Db major",), ("Wet Gloves",)).row
        ('26 Nov 2026', 'Bridges', '♭9 13', 'D♭', 'Wet Gloves')
        """
        return day_words(self.day), self.title, *(", ".join(names) for _, names in self._named())

    def _named(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield what is given, as it is said."""
        yield "colours", tuple(colour(name).pretty for name in self.colours)
        yield "keys", tuple(key_words(name) for name in self.keys)
        yield "tunes", self.tunes

    def news(self, before: Sheet | None) -> str:
        """Return what is new beside the sheet before, in one sentence.

        >>> old = Sheet(date(2026, 11, 19), "One colour", ("b9",), ("F major",))
        >>> Sheet(date(2026, 11, 26), "Two", ("b9", "altered"), ("F major", "Bb minor")).news(old)
        'New since One colour of 19 Nov 2026: colours altered; keys B♭ minor.'
        >>> old.news(old), old.news(None)
        ('No colour, key or tune is new since One colour of 19 Nov 2026.', '')
        """
        if before is None:
            return ""
        pairs = zip(self._named(), before._named(), strict=True)
        new = [
            f"{what} {', '.join(fresh)}"
            for (what, names), (_, old) in pairs
            if (fresh := [name for name in names if name not in old])
        ]
        since = f"since {before.title} of {day_words(before.day)}"
        return (
            f"New {since}: {'; '.join(new)}." if new else f"No colour, key or tune is new {since}."
        )


@dataclass(frozen=True, slots=True)
class Term:
    """Sheets in the order of their days, the last one first."""

    sheets: tuple[Sheet, ...]

    @classmethod
    def of(cls, sheets: Iterable[Sheet]) -> Term:
        """Return the term of some sheets."""
        return cls(tuple(sorted(sheets, key=lambda one: one.day, reverse=True)))

    def before(self, sheet: Sheet) -> Sheet | None:
        """Return the last sheet of an earlier day.

        >>> one, two = Sheet(date(2026, 11, 19), "One"), Sheet(date(2026, 11, 26), "Two")
        >>> Term.of([one, two]).before(two).title, Term.of([one, two]).before(one)
        ('One', None)
        """
        return next((one for one in self.sheets if one.day < sheet.day), None)

    def not_yet(
        self, colours: Sequence[str], keys: Sequence[Key], tunes: Sequence[str]
    ) -> tuple[str, ...]:
        """Return what of all that there is was not given yet, in three sentences.

        >>> term = Term.of([Sheet(date(2026, 11, 26), "Two", ("b9",), ("F major",))])
        >>> keys = [Key.parse(name) for name in ("F", "Gb", "F#", "Cb", "B")]
        >>> term.not_yet(["b9", "altered"], keys, ["Wet Gloves"])
        ('Colours not given yet: altered.', 'Keys not given yet: G♭, B.', 'Tunes not given yet: \
Wet Gloves.')
        """
        given = {name for one in self.sheets for name in (*one.colours, *one.tunes)}
        heard = {_sound(Key.parse(name)) for one in self.sheets for name in one.keys}
        left = (
            ("Colours", [colour(name).pretty for name in colours if name not in given]),
            ("Keys", [key_words(str(key)) for key in _plain(keys) if _sound(key) not in heard]),
            ("Tunes", [name for name in dict.fromkeys(tunes) if name not in given]),
        )
        return tuple(f"{what} not given yet: {_listed(names)}." for what, names in left)


def _sound(key: Key) -> tuple[int, str]:
    """Return what sounds alike in keys of two names."""
    return key.tonic.semitone, key.mode


def _plain(keys: Sequence[Key]) -> Iterator[Key]:
    """Yield keys, those that sound alike once, by the name with fewer signs."""
    for sound in dict.fromkeys(map(_sound, keys)):
        yield min((key for key in keys if _sound(key) == sound), key=lambda key: abs(key.fifths))


def _listed(names: Sequence[str]) -> str:
    """Return names in a row, or none."""
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return f"{', '.join(names[:MOST_NAMED])}{more}" if names else "none"


def day_words(day: date) -> str:
    """Return a day as it is read: 26 Nov 2026."""
    return day.strftime("%d %b %Y").lstrip("0")


def key_words(name: str) -> str:
    """Return a key as it is said: a major one by its tonic."""
    return Key.parse(name).pretty.removesuffix(" major")


def next_day(last: date | None, today: date) -> date:
    """Return the day of the next sheet: the same day of the week as the last one, not yet past.

    >>> next_day(date(2026, 11, 19), date(2026, 11, 25)).isoformat()
    '2026-11-26'
    >>> next_day(None, date(2026, 11, 25)).isoformat()
    '2026-11-25'
    """
    if last is None:
        return today
    weeks = max(1, -((last - today) // WEEK))
    return last + weeks * WEEK
