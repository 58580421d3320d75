"""The page on a telephone: a bar a row, so that notes can be read and hit."""

from __future__ import annotations

import re

import pytest
from faults import widgets_of

from theorykit import Line, take_down, two_five_one
from theorykit.widgets import play_in

OVER = two_five_one("Db")
LINE = Line.parse(
    "8th Gb4 Bb4 Db5 F5 Eb5 C5 Bb4 Gb4 | Eb4 Gb4 Bb4 C5 A4 Gb4 F4 Eb4 | whole F4", OVER
)


@pytest.fixture
def page(tmp_path):
    page = play_in("Db", book=tmp_path / "thursday", path=tmp_path / "drafts")
    rows = [(float(n.start) / 2, float(n.end) / 2 - 0.02, n.pitch.midi) for n in LINE.notes]
    page.put_down(take_down(rows, progression=OVER, tempo=120, start=0))
    return page


def size(html: str) -> tuple[float, float]:
    """How wide and how high the picture of a staff is, in pixels."""
    box = re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', html)
    return float(box[1]), float(box[2])


def test_each_bar_has_a_row_where_the_page_is_narrow_and_none_where_it_is_wide(page):
    wide = page.page.staff.value
    page.notes.pointer.narrow = 340
    width, height = size(page.page.staff.value)
    assert width <= 341
    assert height > 2.5 * size(wide)[1]  # three rows
    page.key.value = "C major"
    assert size(page.page.staff.value)[0] <= 341
    page.key.value = "Db major"
    page.notes.pointer.narrow = 0
    assert size(page.page.staff.value) == size(wide)


def test_no_list_is_wider_than_the_page(page):
    """What is as wide as it likes is cut off at the right edge of a narrow page."""
    fixed = [one for one in widgets_of(page) if (one.layout.width or "").endswith("px")]
    assert fixed
    assert [one.description for one in fixed if "100%" not in (one.layout.max_width or "")] == []
