"""A wide table for a page: it scrolls in a frame of its own, its heads stay in sight."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

__all__ = ["wide_table_html"]

# JupyterLab's own variables, with a fallback where a page has none.
_PAPER = "background:var(--jp-layout-color1,#ffffff)"
_FILLED = "background:var(--jp-layout-color2,#eeeeee)"
_LINE = "1px solid var(--jp-border-color1,#8a8a8a)"
_FACE = (
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif);"
    "font-size:13px;line-height:1.4"
)
_CELL = f"padding:3px 8px;text-align:left;vertical-align:top;border-bottom:{_LINE}"


def wide_table_html(
    caption: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    height: int = 460,
    empty: str = "No row is left.",
) -> str:
    """Return a table whose first column heads its rows and whose last column holds sentences.

    The frame is ``height`` pixels high and takes the focus, so that it scrolls by arrow keys.
    ``empty`` is said where there are no rows. Every text is escaped.

    >>> page = wide_table_html("Tensions", ["tensions", "m", "in words"], [["♭9", "A", "..."]])
    >>> '<th scope="row"' in page, 'tabindex="0"' in page
    (True, True)
    """
    top = f"{_CELL};position:sticky;top:0;{_PAPER};white-space:nowrap"
    head = "".join(f'<th scope="col" style="{top}">{escape(text)}</th>' for text in heads)
    body = "".join(map(_row, rows)) or _nothing(empty, len(heads))
    said = escape(caption)
    return (
        f'<div style="{_FACE};padding-bottom:4px">{said}</div>'
        f'<div role="region" tabindex="0" aria-label="{said}" '
        f'style="height:{height}px;overflow:auto;border:{_LINE}">'
        f'<table style="{_FACE};border-collapse:separate;border-spacing:0;margin:0;width:100%">'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _row(cells: Sequence[str]) -> str:
    """Return one row."""
    first, *middle, last = cells
    filled = "".join(
        f'<td style="{_CELL}{f";{_FILLED};font-weight:bold" if text else ""}">{escape(text)}</td>'
        for text in middle
    )
    return (
        f'<tr><th scope="row" style="{_CELL};white-space:nowrap">{escape(first)}</th>{filled}'
        f'<td style="{_CELL};min-width:20em">{escape(last)}</td></tr>'
    )


def _nothing(said: str, columns: int) -> str:
    """Return the row that says that there is none."""
    return f'<tr><td colspan="{columns}" style="{_CELL}">{escape(said)}</td></tr>'
