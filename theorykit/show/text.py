"""Sentences and tables as HTML that takes the reader's own light or dark colours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

__all__ = ["explanation_html", "problem_html", "sentences_html", "table_html"]

# JupyterLab's own variables, with a fallback where a page has none.
_INK = "color:var(--jp-ui-font-color1,inherit)"
_FACE = f"{_INK};font-family:var(--jp-ui-font-family,sans-serif);font-size:14px;line-height:1.5"
_CELL = "padding:2px 14px 2px 0;text-align:left;vertical-align:top;white-space:normal"
_RULE = "border-bottom:1px solid var(--jp-border-color1,#8a8a8a)"


def sentences_html(first: str, *others: str) -> str:
    """Return a first sentence in bold and others after it, as text: nothing in it is markup.

    >>> sentences_html("E major triad.", "<b>").partition(">")[2]
    '<strong>E major triad.</strong><br><span>&lt;b&gt;</span></div>'
    """
    lines = [f"<strong>{escape(first)}</strong>"] if first else []
    lines += [f"<span>{escape(text)}</span>" for text in others if text]
    return f'<div style="{_FACE}">{"<br>".join(lines)}</div>'


def explanation_html(sections: Iterable[tuple[str, Sequence[str]]]) -> str:
    """Return headings, each in bold with its sentences under it, as text: nothing is markup.

    >>> explanation_html([("the bass", ["D♭ falls.", "C stays."])]).partition(">")[2]
    '<p style="margin:0 0 6px"><strong>The bass</strong><br>D♭ falls.<br>C stays.</p></div>'
    """
    parts = (
        f'<p style="margin:0 0 6px"><strong>{escape(heading[:1].upper() + heading[1:])}</strong>'
        f"<br>{'<br>'.join(map(escape, sentences))}</p>"
        for heading, sentences in sections
    )
    return f'<div style="{_FACE};max-width:52em">{"".join(parts)}</div>'


def problem_html(problem: str) -> str:
    """Return what is wrong, as a line that a screen reader speaks; empty text for no problem.

    >>> problem_html("")
    ''
    """
    if not problem:
        return ""
    return (
        f'<div role="alert" style="{_FACE};border-left:4px solid #b34700;padding-left:8px">'
        f"{escape(problem)}</div>"
    )


def table_html(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table with a caption and head cells, every text escaped.

    >>> "<th" in table_html("Notes", ["note"], [["A♭"]])
    True
    """
    head = "".join(f'<th scope="col" style="{_CELL};{_RULE}">{escape(text)}</th>' for text in heads)
    body = "".join(
        "<tr>" + "".join(f'<td style="{_CELL}">{escape(text)}</td>' for text in row) + "</tr>"
        for row in rows
    )
    return (
        f'<table style="{_FACE};border-collapse:collapse;margin:0">'
        f'<caption style="text-align:left;padding-bottom:2px">{escape(caption)}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    )
