"""Whether the fonts of the page have every letter that a teacher typed, asked before any work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

from theorykit.handout.editions import Edition
from theorykit.handout.pages import page_pdf
from theorykit.handout.pieces import Lead, Para, Section

if TYPE_CHECKING:
    from theorykit.handout.handout import Handout

__all__ = ["check_letters"]


def check_letters(handout: Handout) -> None:
    """Refuse a handout with a letter that no page could show.

    >>> from theorykit.handout.handout import Handout
    >>> check_letters(Handout("Ein Stück für dich"))
    >>> check_letters(Handout("日曜"))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: the fonts of the page cannot print '日' (cjk unified \
ideograph-65e5) (want Latin, Greek, Cyrillic, Hebrew or Arabic letters, and common signs)
    """
    letters = sorted({letter for text in _texts(handout) for letter in text if letter > "~"})
    if letters:
        page = Section("", tuple(kind(letter) for letter in letters for kind in (Para, Lead)))
        page_pdf(type(handout)("Letters"), (page,), Edition())


def _texts(value: Any) -> Iterator[str]:
    """Yield every text inside a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _texts(one)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))
