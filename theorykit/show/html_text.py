"""Words as HTML in the reader's own light or dark colours: sentences, tables, problems, plans."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from theorykit.tunes.charts import Problem

__all__ = [
    "TO_HEAR",
    "explanation_html",
    "later_html",
    "plan_html",
    "problem_html",
    "problems_html",
    "said_html",
    "sentences_html",
    "table_html",
    "wide_table_html",
]

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


def said_html(first: str, *others: str) -> str:
    """Return sentences as ``sentences_html`` does, which a screen reader speaks when they change.

    >>> said_html("Right.")[:37]
    '<div role="status" aria-live="polite"'
    """
    return f'<div role="status" aria-live="polite">{sentences_html(first, *others)}</div>'


def later_html(text: str) -> str:
    """Return what stands where something comes when Python has started, as a sentence in small.

    >>> later_html("A drill.")[-12:]
    'A drill.</p>'
    """
    look = "font-size:90%;color:var(--jp-ui-font-color2,inherit)"
    return f'<p style="{look}">{escape(text)}</p>'


TO_HEAR = later_html("Here is a sound, once this page has been run.")


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


def problem_html(problem: str, *, details: str = "") -> str:
    """Return what is wrong, as a line that a screen reader speaks; empty text for no problem.

    ``details`` for whoever mends it lie in a fold below.

    >>> problem_html("")
    ''
    """
    if not problem:
        return ""
    fold = (
        "<details><summary>details</summary>"
        f'<pre style="font-size:12px;white-space:pre-wrap">{escape(details)}</pre></details>'
    )
    return (
        f'<div role="alert" style="{_FACE};border-left:4px solid #b34700;padding-left:8px">'
        f"{escape(problem)}{fold if details else ''}</div>"
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


# === Wide tables ===

# JupyterLab's own variables, with a fallback where a page has none.
_PAPER = "background:var(--jp-layout-color1,#ffffff)"
_FILLED = "background:var(--jp-layout-color2,#eeeeee)"
_LINE = "1px solid var(--jp-border-color1,#8a8a8a)"
_WIDE_FACE = (
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif);"
    "font-size:13px;line-height:1.4"
)
_WIDE_CELL = f"padding:3px 8px;text-align:left;vertical-align:top;border-bottom:{_LINE}"


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
    top = f"{_WIDE_CELL};position:sticky;top:0;{_PAPER};white-space:nowrap"
    head = "".join(f'<th scope="col" style="{top}">{escape(text)}</th>' for text in heads)
    body = "".join(map(_row, rows)) or _nothing(empty, len(heads))
    said = escape(caption)
    return (
        f'<div style="{_WIDE_FACE};padding-bottom:4px">{said}</div>'
        f'<div role="region" tabindex="0" aria-label="{said}" '
        f'style="height:{height}px;overflow:auto;border:{_LINE}">'
        f'<table style="{_WIDE_FACE};border-collapse:separate;border-spacing:0;margin:0;'
        'width:100%">'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _row(cells: Sequence[str]) -> str:
    """Return one row."""
    first, *middle, last = cells
    filled = "".join(
        f'<td style="{_WIDE_CELL}{f";{_FILLED};font-weight:bold" if text else ""}">'
        f"{escape(text)}</td>"
        for text in middle
    )
    return (
        f'<tr><th scope="row" style="{_WIDE_CELL};white-space:nowrap">{escape(first)}</th>{filled}'
        f'<td style="{_WIDE_CELL};min-width:20em">{escape(last)}</td></tr>'
    )


def _nothing(said: str, columns: int) -> str:
    """Return the row that says that there is none."""
    return f'<tr><td colspan="{columns}" style="{_WIDE_CELL}">{escape(said)}</td></tr>'


# === Problems and plans ===

_LIST_FACE = (
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif);"
    "font-size:14px;line-height:1.5"
)
_CODE = (
    "font-family:var(--jp-code-font-family,monospace);font-size:13px;line-height:1.3;"
    "margin:2px 0 6px;white-space:pre;overflow-x:auto"
)
MOST = 8  # problems told at once
AROUND = 40  # characters of the line that are shown before and after the place


def problems_html(text: str, problems: Sequence[Problem]) -> str:
    """Return a list of problems, each with its line of the text and a mark under the place.

    >>> from theorykit.tunes.charts import chart_problems
    >>> text = "| Dm7 | G8 |"
    >>> "line 1, column 9" in problems_html(text, chart_problems(text))
    True
    """
    if not problems:
        return ""
    lines = text.splitlines() or [""]
    told = "".join(_problem(lines, one) for one in problems[:MOST])
    more = len(problems) - MOST
    rest = f"<div>and {more} more further down</div>" if more > 0 else ""
    return (
        f'<div role="alert" style="{_LIST_FACE};border-left:4px solid #b34700;padding-left:8px">'
        f"{told}{rest}</div>"
    )


def _problem(lines: Sequence[str], problem: Problem) -> str:
    """Return one problem with its place."""
    line = lines[min(problem.line, len(lines)) - 1]
    at = min(problem.column - 1, len(line))
    begin = max(0, at - AROUND)
    shown = line[begin : at + AROUND].replace("\t", " ")
    mark = " " * (at - begin) + "^"
    where = f"line {problem.line}, column {problem.column}"
    return (
        f"<div><strong>{where}</strong>: {escape(problem.message)}</div>"
        f'<pre style="{_CODE}">{escape(shown)}\n{mark}</pre>'
    )


def plan_html(plan: Sequence[str], remarks: Sequence[str] = ()) -> str:
    """Return the plan for a chorus as a numbered list, and remarks under it.

    >>> "<li>bars 1-3" in plan_html(["bars 1-3: the long ii-V to C"])
    True
    """
    if not plan and not remarks:
        return ""
    items = "".join(f"<li>{escape(sentence)}</li>" for sentence in plan)
    under = "".join(f"<div>{escape(sentence)}</div>" for sentence in remarks)
    listed = f'<ol style="margin:0">{items}</ol>'
    return f'<div style="{_LIST_FACE};max-width:60em">{listed}{under}</div>'
