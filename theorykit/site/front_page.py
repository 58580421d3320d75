"""Front page of the site, with a link for each chapter; and the page of licences."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from html import escape
from pathlib import Path
from urllib.parse import quote

from theorykit.site.offline import front_script
from theorykit.site.packages import Package

_STYLE = """
body { font: 16px/1.5 sans-serif; max-width: 44rem; margin: 2rem auto; padding: 0 1rem; }
td, th { text-align: left; vertical-align: top; padding: 0.15rem 1rem 0.15rem 0; }
a.code { font-size: 85%; margin-left: 0.5rem; }
@media (prefers-color-scheme: dark) { body { background: #111; color: #eee; } a { color: #9cf; } }
"""
# By this the application knows the root of the site, and where its settings lie.
_ROOT = (
    '<script id="jupyter-config-data" type="application/json" '
    'data-jupyter-lite-root=".">{}</script>'
)
_USES = {
    "build": "puts the site together",
    "page": "the page",
    "kernel": "starts with Python",
    "late": "comes when it is asked for",
}
# What no package of the list is: it was made with the installed workbook.
_SOUNDS = (
    "sounds of the band",
    "recorded from TimGM6mb by Tim Brechbill",
    "GPL-2.0-only",
    "the band; the recordings are its sounds, one by one",
)
_FONTS = ("DejaVu fonts", "", "Bitstream Vera and Arev", "letters and signs of printed pages")


def front_html(books: Iterable[Path]) -> str:
    """Return the page on which a reader arrives: chapters and desks, and what becomes of work.

    >>> "All licences" in front_html([])
    True
    """
    rows = "\n".join(
        f'<li><a href="notebooks/index.html?path={quote(book.name)}">{escape(_title(book))}</a>'
        f' <a class="code" href="lab/index.html?path={quote(book.name)}">with its code</a></li>'
        for book in books
    )
    return _page(
        "theorykit",
        f"""<h1>Tensions over the V chord</h1>
<p>Each page below opens with its own Python. Nothing is installed, and nothing is sent anywhere.
The pictures are there at once; sounds, choices and questions take a while, most of it the first
time. With its code a page begins when you choose <em>Run</em>, <em>Run All Cells</em>.</p>
<ul>
{rows}
</ul>
<p>What you keep, such as phrases and answers, stays in this browser, on this device.
A file of all of it, to keep or to carry elsewhere, is made at the end of the page for Thursday.
<a href="licences.html">All licences</a>.</p>
<p id="offline" role="status">Leave this page open for a while, and all of it comes into this
browser, to be used without a network.</p>
<script>{front_script()}</script>""",
        _ROOT,
    )


def licences_html(files: Mapping[Package, Path]) -> str:
    """Return the page that names every package that is handed on, with its version and licence."""
    handed = [one for one in files if one.use != "build" or one.name == "jupyterlite-core"]
    rows = [(one.name, one.version, one.licence, _USES[one.use]) for one in handed]
    table = "\n".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>"
        for row in [("theorykit", "", "MIT", "the workbook"), *rows, _SOUNDS, _FONTS]
    )
    return _page(
        "Licences",
        f"""<h1>Licences</h1>
<p>This site hands on the work of others, each under its own licence: unchanged, but for what no
page needs, and modules of Python that were compiled. Python itself, in pyodide, is under the
licence PSF-2.0.</p>
<table><tr><th>package</th><th>version</th><th>licence</th><th>what for</th></tr>
{table}
</table>
<p><a href="index.html">Back</a></p>""",
    )


def _title(book: Path) -> str:
    """Return the heading of a notebook, or its name if it has none."""
    cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
    first = "".join(cells[0]["source"]) if cells else ""
    heading = first.splitlines()[0].lstrip("# ") if first.startswith("#") else book.stem
    number = book.stem.partition("_")[0]
    return f"{int(number)} {heading}" if number.isdigit() else heading


def _page(title: str, body: str, head: str = "") -> str:
    """Return a page; ``head`` stands in its head."""
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(title)}'
        '</title><meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="icon" href="data:,">'
        f"<style>{_STYLE}</style>{head}</head>\n<body>\n{body}\n</body></html>\n"
    )
