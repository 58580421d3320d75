"""The picture of early and late notes: what stands where, and that nothing is told by colour."""

from __future__ import annotations

import pytest

from theorykit.show.pictures import picture_bytes, picture_svg
from theorykit.show.pictures.marks import Area, Label, Marker
from theorykit.show.pictures.picture_colours import TINT
from theorykit.show.pictures.timing_picture import COLUMN, LEFT, timing_picture
from theorykit.views.played import NoteTiming, TimingView


def view(*lates: int) -> TimingView:
    notes = tuple(
        NoteTiming(
            "B♭4",
            f"bar {place // 4 + 1}, beat {place % 4 + 1}",
            place // 4 + 1,
            late,
            "late" if late > 50 else "early" if late < -50 else "in time",
        )
        for place, late in enumerate(lates)
    )
    return TimingView("Early and late notes", notes, 50, 100)


def columns(picture, notes: int) -> list[Marker]:
    """The marks of the notes; those of the legend come after."""
    return [mark for mark in picture.marks if isinstance(mark, Marker)][:notes]


def test_early_notes_stand_above_late_ones_below_each_in_a_shape_of_its_own():
    early, good, late = columns(timing_picture(view(-80, 10, 90)), 3)
    assert early.y < good.y < late.y
    assert len({early.shape, good.shape, late.shape}) == 3
    assert [round((mark.x - LEFT) / COLUMN, 1) for mark in (early, good, late)] == [0.5, 1.5, 2.5]


def test_a_note_in_time_stands_in_the_band_and_one_that_is_not_has_its_milliseconds():
    picture = timing_picture(view(50, -50, 51, -120))
    (band,) = [mark for mark in picture.marks if isinstance(mark, Area) and mark.fill == TINT]
    low, high = (side(y for _, y in band.points) for side in (min, max))
    inside = [low - 1e-9 <= mark.y <= high + 1e-9 for mark in columns(picture, 4)]
    assert inside == [True, True, False, False]
    numbers = [m.text for m in picture.marks if isinstance(m, Label) and m.text.isdecimal()]
    assert numbers == ["51", "120"]


@pytest.mark.parametrize("count", [0, 1, 24, 60])
def test_all_marks_lie_on_the_sheet_and_long_takes_have_rows(count):
    picture = timing_picture(view(*([200, -200, 0] * count)[:count]))
    for mark in picture.marks:
        points = mark.points if hasattr(mark, "points") else ((mark.x, mark.y),)
        assert all(0 <= x <= picture.width and 0 <= y <= picture.height for x, y in points)
    rows = {round(m.y) for m in picture.marks if isinstance(m, Label) and m.text == "B♭4"}
    assert len(rows) == -(-count // 24)


def test_it_is_painted_for_screen_and_file():
    assert picture_svg(view(10, 80)).count("Early and late notes") >= 1
    assert picture_bytes(view(10, 80), ".pdf")[:4] == b"%PDF"
