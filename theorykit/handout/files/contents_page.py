"""The table of contents of a handout's folder: a page with links, and the codes for the wall."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape, unescape
from importlib.resources import files
from pathlib import PurePosixPath
from urllib.parse import quote, unquote

from theorykit.handout.files.order import Order
from theorykit.handout.front import AUDIENCES
from theorykit.handout.pieces import day_in_words
from theorykit.notes.reader import reader
from theorykit.show.scan_code import scan_code

POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'"
# What files are, by their endings, in the order of the page.
KINDS = {
    ".html": "In the browser",
    ".pdf": "To print",
    ".mp3": "To hear",
    ".ogg": "To hear",
    ".mid": "As MIDI",
    ".musicxml": "As notes for other programs",
    ".toml": "The handout as text",
}


_SAID = re.compile(r'<li><a href="([^"]*)">[^<]*</a> <span class="small">([^<]*)</span></li>')


def contents_page(order: Order, audience: str, told: Mapping[tuple[int, str], str]) -> str:
    """Return the page that leads to all files for an audience.

    ``told`` says of each recording, by the place of its block and its label, how long it is, how
    fast and how it is counted in.
    """
    front = order.front
    title = escape(front.title, quote=False)
    whose = " (for the teacher)" if audience == AUDIENCES[1] else ""
    day = escape(" · ".join(filter(None, (front.teacher, day_in_words(front.date)))))
    style = files("theorykit.handout").joinpath("web.css").read_text(encoding="utf-8")
    body = "".join(_lists(order, audience, _said(order, told)))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{title}: contents{whose}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        f'<main>\n<p class="who">Contents{whose}. {day}</p>\n<h1>{title}</h1>\n'
        f"{body}{''.join(_codes(order))}</main>\n</body>\n</html>\n"
    )


def _said(order: Order, told: Mapping[tuple[int, str], str]) -> dict[str, str]:
    """Return what is said of a recording, by the name of its file."""
    now = {
        f"{one.file}.{order.sound}": told[one.place, one.label]
        for found in order.heard.values()
        for one in found
        if (one.place, one.label) in told
    }
    return {**order.earlier.said, **now}


def said_in(page: str) -> dict[str, str]:
    """Return what a table of contents says of recordings, by the names of their files.

    >>> said_in(_row("sound/01 A & B.mp3", "0:12, 120 beats a minute"))
    {'sound/01 A & B.mp3': '0:12, 120 beats a minute'}
    """
    return {unquote(unescape(name)): unescape(said) for name, said in _SAID.findall(page)}


def _lists(order: Order, audience: str, said: Mapping[str, str]) -> Iterator[str]:
    """Yield a section for each kind of file."""
    own = (order.contents(audience), *order.zips)
    mine = [one for one in order.gathered if order.holds((audience,), one) and one not in own]
    for heading in dict.fromkeys(KINDS.values()):
        found = [one for one in mine if KINDS[PurePosixPath(one).suffix] == heading]
        if found:
            rows = "".join(_row(one, said.get(one, "")) for one in found)
            yield f'<section>\n<h2>{heading}</h2>\n<ul class="files">{rows}</ul>\n</section>\n'


def _row(name: str, said: str) -> str:
    """Return a link to a file, and what is said of it."""
    shown = escape(PurePosixPath(name).stem, quote=False)
    more = f' <span class="small">{escape(said)}</span>' if said else ""
    return f'<li><a href="{quote(name)}">{shown}</a>{more}</li>'


def _codes(order: Order) -> Iterator[str]:
    """Yield the codes of all readers, to be held up or hung on the wall."""
    if not order.front.web_address:
        return
    yield '<section>\n<h2>The page that plays</h2>\n<div class="codes">\n'
    for name in order.readers_gathered:
        link, shown = order.front.link(reader(name)), name.replace(" flat", "♭")
        code = scan_code(link, f"Code to scan: the page that plays, for {shown}")
        caption = f'<a href="{escape(link)}">{escape(shown)}</a>'
        yield f"<figure>{code.svg}<figcaption>{caption}</figcaption></figure>\n"
    yield "</div>\n</section>\n"
