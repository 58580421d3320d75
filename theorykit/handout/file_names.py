"""Names of files: what a text is called where every system can write it, and the day before it."""

from __future__ import annotations

import re
import unicodedata
from contextlib import suppress
from datetime import date

from theorykit.notes.note import ascii_accidentals

LONGEST_NAME = 120  # bytes of a name, so that what is added to it still fits any file system
# Names that Windows keeps for devices, with any ending.
PORTS = (f"{name}{number}" for name in ("com", "lpt") for number in range(10))
DEVICES = {"con", "prn", "aux", "nul", *PORTS}
_UNFIT = re.compile(r"[^\w ().,'#+-]")


def file_name(text: str, *, otherwise: str = "handout") -> str:
    """Return a text as the name of a file, without an ending.

    Letters of any script, figures, spaces and a few signs stay. No name leads to another folder, is
    hidden, ends in a dot or belongs to a device.

    >>> file_name("♭9 13 over G7: why?"), file_name("../../etc/passwd"), file_name("???")
    ('b9 13 over G7 why', 'etc passwd', 'handout')
    >>> file_name("CON"), len(file_name("x" * 10_000))
    ('CON handout', 120)
    """
    plain = unicodedata.normalize("NFC", ascii_accidentals(text))
    words = " ".join(_UNFIT.sub(" ", plain.replace("/", " ")).split())
    name = words.encode("utf-8")[:LONGEST_NAME].decode("utf-8", "ignore").strip(" .-,'")
    if not any(letter.isalnum() for letter in name):
        name = otherwise
    head, dot, rest = name.partition(".")
    return f"{head} {otherwise}{dot}{rest}" if head.strip().casefold() in DEVICES else name


_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = (
    "(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    "sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_WAYS = tuple(
    re.compile(rf"(?<!\w){way}(?!\w)", re.IGNORECASE)
    for way in (
        r"(?P<year>\d{4})-(?P<month>\d\d?)-(?P<day>\d\d?)",
        rf"(?P<day>\d\d?)(?:st|nd|rd|th|\.)? (?:of )?(?P<month>{_MONTH})[.,]* (?P<year>\d{{4}})",
        rf"(?P<month>{_MONTH})[.,]* (?P<day>\d\d?)(?:st|nd|rd|th)?,? (?P<year>\d{{4}})",
    )
)


def day_in(said: date | str) -> date | None:
    """Return the day that words name, with its month in words or as 2026-03-05; else none.

    >>> str(day_in("Thursday, 3 Dec. 2026")), str(day_in("March 5th, 2026")), day_in("week 3")
    ('2026-12-03', '2026-03-05', None)
    >>> day_in("31 Feb 2026"), day_in("3/12/2026")
    (None, None)
    >>> day_in("Juniors 2, 2026"), day_in("Week 3 Marching 2026"), day_in("Maybe 3, 2026")
    (None, None, None)
    """
    if isinstance(said, date):
        return said
    for found in (way.search(" ".join(said.split())) for way in _WAYS):
        with suppress(ValueError):
            if found is not None:
                return date(int(found["year"]), _month(found["month"]), int(found["day"]))
    return None


def _month(said: str) -> int:
    """Return the number of a month that is said as a number or by its name."""
    return int(said) if said.isdigit() else _MONTHS.index(said[:3].casefold()) + 1
