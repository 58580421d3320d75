"""The address of the web page: where a teacher lays it, and how it opens for one reader."""

from __future__ import annotations

import re
from urllib.parse import quote, urlsplit

from theorykit.errors import TheoryError, shown
from theorykit.notes.reader import Reader

__all__ = ["checked_address", "page_address", "reader_mark"]

LONGEST = 300  # characters; a code of more is too fine to be read from paper
SCHEMES = ("http", "https")

_LETTERS = re.compile(r"[!-~]*")  # what an address is written in (RFC 3986)


def checked_address(text: object) -> str:
    """Return the address of a page or a folder, or refuse what no browser could open.

    >>> checked_address("https://example.org/thursday/"), checked_address("")
    ('https://example.org/thursday/', '')
    >>> checked_address("thursday.html")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no web address: 'thursday.html' (want one such as \
https://example.org/thursday/, without spaces and without #)
    """
    if isinstance(text, str) and (text == "" or _can_be_opened(text)):
        if len(text) > LONGEST:
            raise TheoryError(f"a web address of {len(text)} characters (want at most {LONGEST})")
        return text
    raise TheoryError(
        f"no web address: {shown(text)} (want one such as https://example.org/thursday/, "
        "without spaces and without #)"
    )


def _can_be_opened(text: str) -> bool:
    """Tell whether a text is an address that a browser opens."""
    if not _LETTERS.fullmatch(text) or "#" in text:
        return False
    try:
        found = urlsplit(text)
        return found.scheme in SCHEMES and bool(found.hostname)
    except ValueError:  # such as half of an address in brackets
        return False


def reader_mark(name: str) -> str:
    """Return the name of a reader as it ends the address of a page.

    >>> reader_mark("bass clef")
    'bass-clef'
    """
    return name.replace(" ", "-")


def page_address(address: str, file: str, who: Reader) -> str:
    """Return the address at which a page opens for a reader; empty where there is none.

    One that ends in / is that of the folder in which the file of the page lies.

    >>> from theorykit.notes.reader import reader
    >>> page_address("https://example.org/x/", "Over G7.html", reader("bass clef"))
    'https://example.org/x/Over%20G7.html#bass-clef'
    >>> page_address("https://example.org/g7", "Over G7.html", reader("F"))
    'https://example.org/g7#F'
    """
    if not address:
        return ""
    return f"{address}{quote(file) if address.endswith('/') else ''}#{reader_mark(who.name)}"
