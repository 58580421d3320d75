"""What a desk for tunes says in words: problems of a typed chart with their places, the plan."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from theorykit.tunes.charts import Problem

__all__ = ["plan_html", "problems_html"]

_FACE = (
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
        f'<div role="alert" style="{_FACE};border-left:4px solid #b34700;padding-left:8px">'
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
    return f'<div style="{_FACE};max-width:60em"><ol style="margin:0">{items}</ol>{under}</div>'
