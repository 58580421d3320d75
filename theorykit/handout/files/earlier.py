"""Files that a handout made before: its zips and contents gather them as well."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import replace
from pathlib import Path

from theorykit.handout.files.contents_page import said_in
from theorykit.handout.files.order import Earlier, Order
from theorykit.handout.front import AUDIENCES
from theorykit.handout.page import Article


def with_earlier(order: Order, folder: Path, there: Iterable[Path], own: Container[str]) -> Order:
    """Return an order that gathers the files of the same handout that were made before.

    ``there`` are files of the folder that were made for it, and ``own`` the names of those that are
    as they were made. Zips and tables of contents of these are made anew, ticked or not; where
    somebody has changed one, they are left as they are.

    >>> from theorykit.handout.handout import Handout
    >>> what = Handout("Warm-up")
    >>> order = Order.of(what, (), str(what), ["guitar"], ["pages"], "mp3")
    >>> there = [Path("Warm-up - for the teacher.zip"), Path("F/Warm-up - F - student - A4.pdf")]
    >>> wide = with_earlier(order, Path(), there, ["Warm-up - for the teacher.zip"])
    >>> wide.files, wide.earlier.readers
    (('pages', 'zip'), ('F',))
    """
    every = order.every
    held = {file.relative_to(folder).as_posix() for file in there}
    packs = held.intersection(every.zips)
    lists = held.intersection(map(every.contents, AUDIENCES))
    changed = {one for found in (packs, lists) if not all(n in own for n in found) for one in found}
    packs, lists = packs - changed, lists - changed
    names = held.intersection(every.names) - changed
    kinds = [kind for kind, found in (("contents", lists), ("zip", packs)) if found]
    files = tuple(dict.fromkeys((*order.files, *kinds)))
    pages = [_text(folder / name) for name in map(order.web, AUDIENCES) if name in names]
    said = {name: words for one in lists for name, words in said_in(_text(folder / one)).items()}
    shown = {reader for page in pages for reader in Article.readers(page)}
    readers = tuple(
        who for who in every.readers if who in shown or names & set(every.made_for(who))
    )
    return replace(order, files=files, earlier=Earlier(frozenset(names), readers, said))


def _text(file: Path) -> str:
    """Return the text of a page; empty for one that cannot be read."""
    try:
        return file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""
