"""The engraver: lines that fill the page and hold what stands on them, in every key and size."""

import re
from dataclasses import replace
from itertools import product

import pytest
from staves import staff

from theorykit.handout.front import SIZES
from theorykit.handout.page import Engraver
from theorykit.handout.page.engraver import HANG
from theorykit.handout.page.line_lengths import bars_per_line, staff_lines_of
from theorykit.handout.page.page_setting import WIDE
from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS
from theorykit.views.explorer_view import explore
from theorykit.views.staves import PLAIN_BAR, BarMark

MAJOR = [key for key in KEYS if key.mode == "major"]


def right_edges(svg: str) -> list[float]:
    """Return where the lines of each staff of a picture end, in pixels."""
    width = float(re.search(r'class="definition-scale"[^>]*viewBox="0 [\d.]+ (\d+)', svg)[1])
    outer = float(re.search(r'<svg[^>]* width="([\d.]+)px"', svg)[1])
    ends = re.findall(r'd="M[\d.]+ [\d.]+ L([\d.]+) [\d.]+" stroke-width="13"', svg)
    return [float(end) * outer / width for end in ends]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", MAJOR, ids=str)
def test_every_line_is_as_wide_as_the_text(size: str, key, capfd):
    """And none is squeezed: verovio complains on its error channel where it has to."""
    engraver = Engraver(READERS[1], size)
    for form, colour in product(("long", "split"), ("b9 13", "altered")):
        (picture,) = engraver.staff(explore(key, form, colour, reader=engraver.reader).staff)
        ends = right_edges(picture.svg)
        last_of_systems = [end for end in ends if end > engraver.width * 0.98]
        assert len(last_of_systems) == 5 * picture.svg.count('class="system"')
        assert max(ends) < engraver.width + 1.5
        assert picture.width == pytest.approx((engraver.width + HANG) / engraver.width, rel=0.003)
    assert capfd.readouterr().err == ""


def test_bars_are_spread_evenly_and_never_broken():
    full = staff("F4:1/2 " * 8 * 8, bars=8, label="♭13")
    assert bars_per_line(full, 567) == (2, 2, 2, 2)
    assert bars_per_line(full, 1200) == (4, 4)
    assert bars_per_line(full, 200) == (1,) * 8
    assert bars_per_line(staff("F4:4 " * 5, bars=5), 400) == (3, 2)


def test_eight_bars_stand_in_pairs_rather_than_in_threes():
    """Phrases are of two and four bars (common practice), and every reader has the same lines."""
    assert bars_per_line(staff("F4:1/2 " * 8 * 8, bars=8), 620) == (2, 2, 2, 2)
    assert bars_per_line(staff("F4:1/2 " * 8 * 6, bars=6), 620) == (3, 3)


def test_only_the_four_bars_that_are_too_wide_stand_in_pairs():
    calm, full = "F4:1 " * 4 * 4, "F4:1/2 " * 8 * 4
    rows = {calm * 2 + full: (4, 4, 2, 2), full + calm * 2: (2, 2, 4, 4), calm * 2: (4, 4)}
    rows[calm + full] = (2,) * 4  # one line of four among pairs is pressed together
    for text, lines in rows.items():
        bars = sum(lines)
        assert bars_per_line(staff(text, bars=bars), 620) == lines


def test_the_smallest_staves_stand_closer_for_four_bars_and_none_is_squeezed(capfd):
    """A player sees the page turn at the same bar as the others (common practice)."""
    bar, full = "F4:1/2 " * 6 + "F4:1 ", "F4:1/2 " * 8
    for text, lines in ((bar * 3 + full, (4,)), (full * 4, (2, 2))):
        view = staff(text, bars=4)
        size, (found,) = staff_lines_of([view], 567)
        assert (found, size) == (lines, 32.0 if lines == (4,) else 36.0)
        Engraver().staff(view)
    assert capfd.readouterr().err == ""


def test_the_bar_on_which_a_chorus_lands_stands_on_the_last_of_its_fours():
    """Lines begin where the rows of the grid do: phrases are of four bars (common practice)."""
    assert bars_per_line(staff("F4:4 " * 9, bars=9), 480) == (4, 5)
    assert bars_per_line(staff("F4:4 " * 17, bars=17), 480) == (4, 4, 4, 5)
    full = "F4:1 " * 4 * 8 + "F4:1/4 " * 16  # no room for five bars: as full as each other
    assert bars_per_line(staff(full, bars=9), 640) != (4, 5)
    assert bars_per_line(staff("F4:4 " * 5, bars=5), 2000) == (5,)


def test_where_pairs_do_not_fit_no_line_is_left_nearly_empty():
    busy, calm = "F#4:1/2 " * 8, "F4:4 "
    assert bars_per_line(staff(busy * 2 + calm * 2, bars=4), 454) == (1, 1, 2)


def test_a_section_begins_a_line():
    marks = (BarMark("A"), PLAIN_BAR, PLAIN_BAR, BarMark("B"), PLAIN_BAR)
    view = replace(staff("F4:4 " * 5, bars=5), marks=marks)
    assert bars_per_line(view, 2000) == (3, 2)


def test_a_long_staff_is_cut_into_lines_and_a_short_one_is_not():
    engraver = Engraver()
    assert len(engraver.staff(staff("F4:1/2 " * 8 * 8, bars=8))) == 4
    assert len(engraver.staff(staff("F4:1/2 " * 8 * 4, bars=4))) == 1


def test_large_print_leaves_no_room_beside_and_a_wider_measure():
    assert Engraver(size="normal").has_room
    assert not Engraver(size="large print").has_room
    assert Engraver(size="large print").width * 1.5 == pytest.approx(WIDE * 96 / 25.4, abs=1)
