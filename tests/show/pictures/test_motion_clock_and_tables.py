"""Motion pictures, clocks, grids and bars: the geometry means what it says."""

import io
import math
import re
import warnings
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, strategies as st
from matplotlib.figure import Figure

from theorykit import COLOURS, evidence, resolve, subsets
from theorykit.show.pictures import NOTE_MARKS, PAPER, picture_axes, picture_svg
from theorykit.show.pictures.clock_picture import clock_picture
from theorykit.show.pictures.figure_painter import UNITS_AN_INCH
from theorykit.show.pictures.marks import Area, Label, Marker, Stroke
from theorykit.show.pictures.motion_picture import STYLES, motion_picture
from theorykit.show.pictures.picture_colours import contrast
from theorykit.show.pictures.table_pictures import counts_picture, grid_picture
from theorykit.views.clock import RINGS, clock_of
from theorykit.views.counts import counts_of
from theorykit.views.grid import colour_grid, tension_grid
from theorykit.views.motion import WAYS, motion_of

SVG = "{http://www.w3.org/2000/svg}"
MOTION = motion_of(resolve("Ab7", "altered", "Dbm6"))
CLOCK = clock_of("F#7", "half-whole diminished", "C7")
GRID = tension_grid(subsets("G7")[:12])
COUNTS = counts_of(evidence(degree) for degree in ("b9", "9", "b13"))
PICTURES = {
    "motion": (MOTION, motion_picture),
    "clock": (CLOCK, clock_picture),
    "grid": (GRID, grid_picture),
    "counts": (COUNTS, counts_picture),
}
each_picture = pytest.mark.parametrize(("view", "layout"), PICTURES.values(), ids=PICTURES)


def labels(picture) -> list[Label]:
    """The texts of a picture."""
    return [mark for mark in picture.marks if isinstance(mark, Label)]


@each_picture
def test_a_diagram_says_in_words_what_it_shows_and_holds_no_ids(view, layout):
    text = picture_svg(view)
    root = ElementTree.fromstring(text)
    assert root.get("aria-label") == root.findtext(f"{SVG}title") == view.alt
    assert root.get("role") == "img"
    assert picture_axes(view).get_label() == view.alt
    assert not [one for one in root.iter() if one.get("id")]


@each_picture
def test_everything_lies_on_the_sheet(view, layout):
    picture = layout(view)
    for mark in picture.marks:
        points = mark.points if isinstance(mark, Stroke | Area) else ((mark.x, mark.y),)
        for x, y in points:
            assert -0.1 <= x <= picture.width + 0.1
            assert -0.1 <= y <= picture.height + 0.1


@each_picture
def test_a_diagram_is_drawn_on_given_axes_and_no_glyph_is_missing(view, layout):
    axes = Figure(figsize=(3, 3)).add_axes((0, 0, 1, 1))
    assert picture_axes(view, axes) is axes
    large = picture_axes(view)
    assert axes.texts[0].get_fontsize() < large.texts[0].get_fontsize()
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # matplotlib warns of a missing glyph
        large.figure.savefig(io.BytesIO(), format="pdf")


@each_picture
def test_on_a_white_page_the_paper_leaves_no_trace(view, layout):
    assert PAPER in picture_svg(view)
    assert PAPER not in picture_svg(view, paper="none")


def test_every_text_can_be_read():
    """WCAG 2.1: at least 4.5 to 1 on paper, or in white on its shape."""
    for picture in (motion_picture(MOTION), clock_picture(CLOCK), grid_picture(GRID)):
        for label in labels(picture):
            grounds = [PAPER]
            if label.fill == "#ffffff":
                grounds = [row.fill for row in NOTE_MARKS.values()]
            assert min(contrast(label.fill, ground) for ground in grounds) >= 4.5


def test_kinds_of_ways_are_told_apart_without_colour():
    looks = {(width, dash) for width, dash, _ in STYLES.values()}
    assert tuple(STYLES) == WAYS
    assert len(looks) == len(WAYS)
    ways = [m for m in motion_picture(MOTION).marks if isinstance(m, Stroke)]
    assert len({stroke.colour for stroke in ways}) <= 2  # the uprights are grey


@given(st.sampled_from([None, *COLOURS]), st.sampled_from("C Cm6 Cmaj7 C6/9 Am7 Db".split()))
def test_a_line_falls_as_far_as_the_note(colour, target):
    view = motion_of(resolve("G7", colour, target))
    lines = [m for m in motion_picture(view).marks if isinstance(m, Stroke) and len(m.points) == 2]
    ways = [line for line in lines if line.points[1][0] - line.points[0][0] > 100]
    assert len(ways) == len(view.ways)
    for line, way in zip(ways, view.ways, strict=True):
        (_, start), (_, end) = line.points
        assert start - end == pytest.approx(30 * (way.end - way.start))
        assert (line.width, line.dash) == STYLES[way.kind][:2]


@given(st.sampled_from([None, *COLOURS]), st.sampled_from("C Cm6 Cmaj7 C6/9 Am7 Db".split()))
def test_notes_of_a_ladder_do_not_touch(colour, target):
    picture = motion_picture(motion_of(resolve("G7", colour, target)))
    by_ladder = {}
    for mark in picture.marks:
        if isinstance(mark, Marker) and mark.radius > 10:
            by_ladder.setdefault(mark.x, []).append(mark.y)
    for heights in by_ladder.values():
        ordered = sorted(heights)
        assert all(two - one >= 29.9 for one, two in pairwise(ordered))


def test_the_legend_says_what_occurs_and_no_more():
    def words(*args):
        return {label.text for label in labels(motion_picture(motion_of(resolve(*args))))}

    assert {"held", "half step", "whole step", "colour note"} <= words("G7", "b9", "C")
    assert not {"colour note", "wider"} & words("G7", None, "C")
    tritone = words("Db7", None, "C")
    assert "half step" in tritone
    assert not {"held", "whole step"} & tritone


def test_pitch_classes_stand_like_the_hours_with_c_at_the_top():
    picture = clock_picture(clock_of("G7", "b9", "Db7"))
    names = labels(picture)[:12]
    middle = (sum(n.x for n in names) / 12, sum(n.y for n in names) / 12)
    for place, name in enumerate(names):
        angle = math.degrees(math.atan2(name.x - middle[0], middle[1] - name.y)) % 360
        assert (angle - 30 * place + 180) % 360 - 180 == pytest.approx(0, abs=2)


def test_the_axis_runs_through_the_middle():
    for root in "C F# Ab B".split():
        view = clock_of(f"{root}7")
        strokes = [m for m in clock_picture(view).marks if isinstance(m, Stroke)]
        axis = next(s for s in strokes if s.width == 4 and len(s.points) == 2)
        (x, y), (u, v) = axis.points
        assert ((x + u) / 2, (y + v) / 2) == pytest.approx((230, 222))


@pytest.mark.parametrize(("name", "corners"), [("b9", 4), ("whole tone", 6)])
def test_symmetric_sets_are_regular_polygons(name: str, corners: int):
    picture = clock_picture(clock_of("Eb7", name))
    closed = [m for m in picture.marks if isinstance(m, Stroke) and m.closed and len(m.points) < 13]
    polygon = closed[1].points
    sides = [math.dist(a, b) for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True)]
    assert len(sides) == corners
    assert max(sides) - min(sides) < 0.01


def test_rings_differ_in_line_and_their_notes_by_what_they_are():
    picture = clock_picture(CLOCK)
    closed = [m for m in picture.marks if isinstance(m, Stroke) and m.closed and len(m.points) < 13]
    assert len({stroke.dash for stroke in closed}) == len(RINGS)
    shapes = {m.shape for m in picture.marks if isinstance(m, Marker)}
    assert shapes == {NOTE_MARKS[role].shape for role in ("chord", "colour")}  # over F#7


def test_a_grid_shows_every_filled_cell_under_its_head():
    view = colour_grid("C Db F# A".split())
    picture = grid_picture(view)
    cells = [m for m in picture.marks if isinstance(m, Area)][2:]
    assert len(cells) == view.filled
    heads = {label.text: label.x for label in labels(picture)[1 : len(view.columns) + 1]}
    rows = {label.text: label.y for label in labels(picture) if label.text in view.rows}
    for name, row in zip(view.rows, view.cells, strict=True):
        for head, cell in zip(view.columns, row, strict=True):
            found = [m for m in labels(picture) if m.x == heads[head] and m.y == rows[name]]
            assert [label.text for label in found] == ([cell] if cell else [])


def test_words_fit_their_cells():
    """By matplotlib's measure of its own font, which runs wide."""
    view = colour_grid(["C", "F#"])
    axes = picture_axes(grid_picture(view))
    lines = [m.points for m in grid_picture(view).marks if isinstance(m, Stroke)]
    edges = sorted({start[0] for start, end in lines if start[0] == end[0]})
    assert len(edges) == 4
    for text in axes.texts:
        box = text.get_window_extent()
        width = box.width * UNITS_AN_INCH / axes.figure.dpi
        middle = text.get_position()[0]
        left, right = next((a, b) for a, b in pairwise(edges) if a < middle < b)
        assert left < middle - width / 2
        assert middle + width / 2 < right


def test_a_picture_is_plain_text_of_moderate_size():
    for view, layout in PICTURES.values():
        text = picture_svg(layout(view), scale=0.8)
        assert len(text) < 60_000
        assert re.fullmatch(r"[^\ue000-\uf8ff]*", text)  # no private-use glyph
