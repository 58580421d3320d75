"""Problems with their places, and plans, as a page shows them."""

from __future__ import annotations

import re
from html import unescape

from theorykit.show.html_text import plan_html, problems_html
from theorykit.tunes.charts import Problem, chart_problems


def pointed(text: str) -> list[str]:
    """The sign of the shown line that each mark points to."""
    found = []
    for pre in re.findall(
        r"<pre[^>]*>(.*?)</pre>", problems_html(text, chart_problems(text)), re.S
    ):
        line, mark = unescape(pre).split("\n")
        found.append(line[mark.index("^") :][:1])
    return found


def test_the_mark_stands_under_the_place():
    assert pointed("| Dm7 | Xm8 |") == ["X"]
    assert pointed("key: C\n| Dm7 | Y | Q7 |") == ["Y", "Q"]
    long = "| Dm7 " * 30 + "| Z |"
    assert pointed(long) == ["Z"]


def test_every_problem_has_line_and_column_and_the_rest_is_counted():
    text = "| X | Y | Z |\n" * 5
    html = problems_html(text, chart_problems(text))
    assert html.count("<strong>line ") == 8
    assert "and 7 more further down" in html
    assert 'role="alert"' in html
    assert problems_html("| C |", ()) == ""


def test_nothing_that_was_typed_becomes_markup():
    text = "| <img src=x> | &amp; |"
    html = problems_html(text, chart_problems(text))
    assert "<img" not in html
    assert "&lt;img" in html
    strange = problems_html("\t<b>", [Problem(1, 99, "<i>"), Problem(9, 9, "later")])
    assert "<b>" not in strange
    assert "<i>" not in strange
    assert "<li>" in plan_html(["<u>"])
    assert "<u>" not in plan_html(["<u>"])


def test_a_plan_lists_sentences_and_remarks_and_nothing_is_nothing():
    html = plan_html(["first", "second"], ["a remark"])
    assert html.index("<li>first</li><li>second</li>") < html.index("<div>a remark</div>")
    assert plan_html(()) == ""
