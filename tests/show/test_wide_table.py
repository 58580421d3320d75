"""The wide table as a page reads it."""

from __future__ import annotations

from xml.etree import ElementTree

from theorykit.show.html_text import wide_table_html
from theorykit.views.tension_table import tension_table


def parsed(html: str) -> ElementTree.Element:
    """The page as a tree: what is not well formed fails here."""
    return ElementTree.fromstring(f"<div>{html}</div>")


def test_every_row_and_column_has_its_head_and_every_text_is_there():
    table = tension_table("Db")
    tree = parsed(wide_table_html(table.caption, table.heads, table.cells))
    columns = [head.text for head in tree.iter("th") if head.get("scope") == "col"]
    rows = [head.text for head in tree.iter("th") if head.get("scope") == "row"]
    assert columns == list(table.heads)
    assert rows == [cells[0] for cells in table.cells]
    texts = [[cell.text or "" for cell in row.iter("td")] for row in tree.iter("tr")][1:]
    assert texts == [list(cells[1:]) for cells in table.cells]


def test_the_frame_takes_the_focus_keeps_its_height_and_is_named():
    tree = parsed(wide_table_html("Over <G7>", ["a", "b"], [["1", "2"]], height=300))
    frame = next(one for one in tree.iter("div") if one.get("role") == "region")
    assert frame.get("tabindex") == "0"
    assert frame.get("aria-label") == "Over <G7>"
    assert "height:300px" in str(frame.get("style"))


def test_what_is_text_stays_text():
    html = wide_table_html("<b>", ["<i>", "x"], [["<script>", '"']])
    assert "<script>" not in html
    assert "<b>" not in html
    assert "<i>" not in html


def test_a_filled_cell_is_told_by_its_letters_and_not_by_its_shade_alone():
    tree = parsed(wide_table_html("t", ["a", "b", "c", "d"], [["♭9", "E", "", "words"]]))
    filled, empty, _ = (str(cell.get("style")) for cell in tree.iter("td"))
    assert "font-weight:bold" in filled
    assert "background" not in empty


def test_an_empty_table_says_so():
    tree = parsed(wide_table_html("t", ["a", "b"], [], empty="Nothing is left."))
    (cell,) = tree.iter("td")
    assert (cell.text, cell.get("colspan")) == ("Nothing is left.", "2")
