"""Handouts as sheets of a term: what each gives, and the one for the week after."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from datetime import date

from theorykit.errors import TheoryError
from theorykit.handout.blocks import keyed
from theorykit.handout.file_names import day_in
from theorykit.handout.handout import Handout
from theorykit.harmony.colours import COLOURS
from theorykit.study.term import Sheet, Term, next_day
from theorykit.tunes.cadences import cadences

__all__ = ["day_of", "next_handout", "sheet_of", "term_of"]

_KNOWN = {row.name for row in COLOURS}


def sheet_of(handout: Handout, day: date) -> Sheet:
    """Return what a handout gives; ``day`` is its day where it does not say one itself.

    A tune gives its own key and that of every cadence in it, whether it lands or not.

    >>> text = 'title = "Bridges"\\ndate = 2026-11-26\\n[[block]]\\nkind = "colour"\\n'
    >>> sheet = sheet_of(Handout.parse(text + 'colour = "b9 13"\\nkey = "Db"\\n'), date.today())
    >>> sheet.row
    ('26 Nov 2026', 'Bridges', '♭9 13', 'D♭', '')
    """
    pairs = [pair for block in keyed(handout.blocks) for pair in block.asks_about()]
    tunes = [tune for block in handout.blocks for tune in block.tunes]
    of_tunes = [key for tune in tunes for key in (tune.key, *(c.key for c in cadences(tune)))]
    keys = [str(key) for key in (*(key for _, key in pairs), *of_tunes)]
    return Sheet(
        day_of(handout) or day,
        handout.title,
        tuple(dict.fromkeys(name for name, _ in pairs if name in _KNOWN)),
        tuple(dict.fromkeys(keys)),
        tuple(dict.fromkeys(tune.title for tune in tunes if tune.title)),
    )


def day_of(handout: Handout) -> date | None:
    """Return the day that a handout says, None where it says none, or other words.

    >>> str(day_of(Handout("A", date="3 Dec 2026"))), day_of(Handout("A", date="week 3"))
    ('2026-12-03', None)
    """
    return day_in(handout.date)


def term_of(texts: Iterable[tuple[str, date]]) -> Term:
    """Return the term of handouts, given as text with the day of each; half typed ones are left.

    >>> term = term_of([('title = "A"', date(2026, 1, 8)), ("title = ", date(2026, 1, 15))])
    >>> [one.title for one in term.sheets]
    ['A']
    """
    found = []
    for text, day in texts:
        with suppress(TheoryError):
            found.append(sheet_of(Handout.parse(text), day))
    return Term.of(found)


def next_handout(text: str, today: date) -> str:
    """Return the text of a handout for the week after: the same, with the day of then.

    >>> print(next_handout('title = "A"\\ndate = 2026-11-19\\n', date(2026, 11, 25)), end="")
    title = "A"
    date = 2026-11-26
    """
    handout = Handout.parse(text)
    return str(replace(handout, date=next_day(day_of(handout), today)))
