"""The page of a chapter: text, pictures, players and questions as HTML that asks for nothing.

The recipes have such a page as well, and the contents lead to all of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from importlib.resources import files
from typing import Any

import ipywidgets as ipw
import mistune

from theorykit.notes.values import Value
from theorykit.pages.running import Cell
from theorykit.show.door import bundle
from theorykit.show.player import PageBand, player_policy
from theorykit.study.course import CHAPTERS, Chapter
from theorykit.widgets.player import Player

__all__ = [
    "RECIPES",
    "REFERENCE",
    "chapter_html",
    "contents_html",
    "recipes_html",
    "shown_html",
]

RECIPES, REFERENCE = "recipes.html", "reference/theorykit.html"

# Nothing is fetched but the sounds that lie beside the page, opened from a disk or a web space.
POLICY = (
    "default-src 'none'; img-src 'self' data: file:; media-src 'self' data: file:; "
    "style-src 'unsafe-inline'"
)
TITLE = "Over the V chord: a workbook"
EDITION = (
    "This is the edition for reading. The workbook itself lets you choose the key, the colour and "
    "the tempo, judges what you answer, and keeps a journal."
)
AS_OPENED = "In the workbook you choose here yourself. This is how it opens."
NOTHING = "In the workbook there is a desk here that a page cannot have."
LICENCE = (
    "Copyright (c) 2026 the theorykit contributors. Text, pictures and lines: MIT licence. Counts "
    "of played notes: Weimar Jazz Database, Open Database License (ODbL) 1.0. Recordings: the "
    "licence of their sounds."
)
_TEXT = mistune.create_markdown(plugins=["table"])
_HEADING = re.compile(r"<h2>(?=([^<]+)</h2>)")
_ENDS = re.compile(r"\n?(Previous|Next): \[|^\[Contents\]", re.MULTILINE)


def chapter_html(
    row: Chapter, cells: Iterable[Cell], pages: Sequence[str], band: PageBand | None = None
) -> str:
    """Return the page of a chapter; ``pages`` are the file names of all chapters, in order.

    ``band`` is that of the players which stand in the cells, by the time these are taken.

    >>> page = chapter_html(CHAPTERS[0], [Cell(words="# Can you *see*?")], ["00_start_here.html"])
    >>> "<h1>Can you <em>see</em>?</h1>" in page, '<html lang="en">' in page
    (True, True)
    """
    body = "\n".join(part for cell in cells for part in _cell(cell))
    return _page(f"{row.number}. {row.title}", body, _ways(row, pages), band or PageBand())


def recipes_html(cells: Iterable[Cell], band: PageBand | None = None) -> str:
    """Return the page of the recipes, whose headings can be linked to.

    >>> '<h2 id="In-E-flat">In E flat</h2>' in recipes_html([Cell(words="## In E flat")])
    True
    """
    body = "\n".join(part for cell in cells for part in _cell(cell))
    body = _HEADING.sub(lambda found: f'<h2 id="{found[1].replace(" ", "-")}">', body)
    ways = f'<li><a href="index.html">Contents</a></li><li><a href="{REFERENCE}">Reference</a></li>'
    return _page("Recipes", body, f"<ul>{ways}</ul>", band or PageBand())


def contents_html(pages: Sequence[str]) -> str:
    """Return the page of contents: every chapter, its question, and what it is good for."""
    rows = "".join(
        f'<li value="{row.number}"><a href="{page}">{escape(row.title)}</a>'
        f'<p class="small">{escape(row.can_do)}</p></li>'
        for row, page in zip(CHAPTERS, pages, strict=True)
    )
    lead = "<p>What you can do after each chapter stands under its question.</p>"
    more = (
        f'<p>For those who program: <a href="{RECIPES}">twelve recipes</a> and the '
        f'<a href="{REFERENCE}">reference</a>.</p>'
    )
    return _page(TITLE, f"<h1>{TITLE}</h1>{lead}<ol>{rows}</ol>{more}", "", PageBand())


def _page(title: str, body: str, ways: str, band: PageBand) -> str:
    """Return a whole page."""
    tail = band.tail()
    policy = f"{POLICY}; {player_policy()}" if tail else POLICY
    sheet = files("theorykit.pages").joinpath("pages.css").read_text(encoding="utf-8")
    style = f"{sheet}{band.style}"
    navigation = f'<nav aria-label="Chapters">{ways}</nav>' if ways else ""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{escape(title, quote=False)}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        '<a class="skip" href="#main">Go to the text</a>\n'
        f'<header><p class="small">{EDITION}</p>{navigation}</header>\n'
        f'<main id="main" tabindex="-1">\n{body}\n</main>\n'
        f"<footer>{navigation.replace('Chapters', 'Chapters, below')}"
        f'<p class="small">{LICENCE}</p></footer>\n{tail}</body>\n</html>\n'
    )


def _ways(row: Chapter, pages: Sequence[str]) -> str:
    """Return the links to the chapter before, the contents and the chapter after."""
    place = CHAPTERS.index(row)
    found = ['<li><a href="index.html">Contents</a></li>']
    if place > 0:
        before = f"Previous: {CHAPTERS[place - 1].title}"
        found.insert(0, f'<li><a rel="prev" href="{pages[place - 1]}">{escape(before)}</a></li>')
    if place + 1 < len(pages):
        after = f"Next: {CHAPTERS[place + 1].title}"
        found.append(f'<li><a rel="next" href="{pages[place + 1]}">{escape(after)}</a></li>')
    return f"<ul>{''.join(found)}</ul>"


def _cell(cell: Cell) -> Iterator[str]:
    """Yield what one cell puts on the page."""
    if cell.words:
        yield _words(cell.words)
        return
    shown = cell.instead or shown_html(cell.value)
    code = f'<pre tabindex="0"><code>{escape(cell.code)}</code></pre>'
    if cell.instead:
        yield f'<div class="shown">{shown}</div>'
    elif cell.folded and shown:
        yield f'<div class="shown">{shown}</div>'
        yield f'<details class="code"><summary>The code of this</summary>{code}</details>'
    elif not cell.folded:
        yield code
        if cell.printed:
            yield f'<pre class="said" tabindex="0">{escape(cell.printed)}</pre>'
        if shown:
            yield f'<div class="shown">{shown}</div>'


def _words(text: str) -> str:
    """Return a text cell as HTML; links lead to pages, and those at the foot are the page's own."""
    if _ENDS.match(text):
        return ""
    html = str(_TEXT(text))
    html = re.sub(r'href="(\d\d_\w+|recipes)\.ipynb(#[^"]*)?"', r'href="\1.html"', html)
    html = re.sub(r'<a href="\w+\.ipynb">(.*?)</a>', r"\1", html)  # a page of the workbook alone
    return html.replace("<table>", '<div class="wide"><table>').replace(
        "</table>", "</table></div>"
    )


def shown_html(value: object) -> str:
    """Return what a cell ends in as HTML: a picture, a player, what a widget shows, a value."""
    if value is None or hasattr(value, "_repr_javascript_"):
        return ""
    if isinstance(value, ipw.Widget):
        parts = [part for part in _parts(value) if part]
        note = AS_OPENED if parts else NOTHING
        return f'<p class="small">{note}</p>{"".join(parts)}'
    if isinstance(value, Value):  # as a notebook has it: its picture, or its words
        found = bundle(value)
        return found.get("text/html") or _said(found["text/plain"])
    maker = getattr(value, "_repr_html_", None)
    return str(maker()) if maker else _said(repr(value))


def _said(words: str) -> str:
    """Return words as a program says them."""
    return f'<pre class="said" tabindex="0">{escape(words)}</pre>'


def _parts(widget: Any) -> Iterator[str]:
    """Yield the pictures, words and players of a widget that are seen when it opens."""
    if getattr(widget.layout, "display", None) == "none":
        return
    if isinstance(widget, ipw.HTML):
        yield widget.value
    if isinstance(widget, Player):
        yield widget.page_html
    if isinstance(widget, ipw.Accordion):
        return
    for child in getattr(widget, "children", ()):
        yield from _parts(child)
