"""The two painters compared, mark by mark, on every kind of picture; and marks kept apart."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from house import PACKAGE, ROOT
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyBboxPatch, PathPatch, Polygon
from matplotlib.text import Text

from theorykit import evidence, resolve, subsets
from theorykit.show.pictures import (
    NOTE_MARKS,
    PAPER,
    clock_picture,
    figure_painter,
    keyboard_picture,
)
from theorykit.show.pictures.clock_picture import clock_picture as clock_marks
from theorykit.show.pictures.figure_painter import FONT_FACTOR, UNITS_AN_INCH, paint_axes
from theorykit.show.pictures.fingerboard_picture import fingerboard_picture
from theorykit.show.pictures.keyboard_picture import keyboard_picture as keyboard_marks
from theorykit.show.pictures.marks import Area, Box, Label, Marker, Picture, Stroke, outline
from theorykit.show.pictures.motion_picture import motion_picture
from theorykit.show.pictures.svg_painter import paint_svg
from theorykit.show.pictures.table_pictures import counts_picture, grid_picture
from theorykit.show.pictures.tune_picture import tune_grid_picture
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.clock import clock_of
from theorykit.views.counts import counts_of
from theorykit.views.explorer_view import explore
from theorykit.views.fingerboard import BASS, GUITAR, fingerboard_of
from theorykit.views.grid import tension_grid
from theorykit.views.motion import motion_of
from theorykit.views.tune_page import tune_grid

SVG = "{http://www.w3.org/2000/svg}"
POINTS = 72 / UNITS_AN_INCH  # of a pixel on a figure of its own
KEYS = ("C", "Db", "F#", "Bb minor")
TUNE = Chart.parse(next((ROOT / "workbook" / "tunes").glob("*.txt")).read_text(encoding="utf-8"))


def pictures():
    """One of each kind, keyboards in four keys."""
    for key in KEYS:
        yield f"keyboard {key}", keyboard_marks(explore(key, "long", "altered").keyboard)
    for tuning in (GUITAR, BASS):
        board = fingerboard_of(explore("Db", "long", "altered").keyboard, tuning)
        yield f"fingerboard {tuning.instrument}", fingerboard_picture(board)
    yield "motion", motion_picture(motion_of(resolve("Ab7", "altered", "Dbm6")))
    yield "clock", clock_marks(clock_of("F#7", "half-whole diminished", "Fmaj7"))
    yield "grid", grid_picture(tension_grid(subsets("G7")[:12]))
    yield "counts", counts_picture(counts_of(evidence(one) for one in ("b9", "9")))
    yield "tune", tune_grid_picture(tune_grid(TUNE, Treatment.proposed(TUNE), chosen=1))


PICTURES = dict(pictures())
each_picture = pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)


def elements(picture: Picture):
    """The elements of the SVG in the order in which they are painted."""
    group = ElementTree.fromstring(paint_svg(picture)).find(f"{SVG}g/{SVG}g")
    assert group is not None
    return list(group)


def artists(axes):
    """The artists in the order in which they are painted."""
    return sorted([*axes.patches, *axes.texts], key=lambda artist: artist.get_zorder())


def corners(text: str):
    """The points of an SVG shape."""
    return [tuple(map(float, pair.split(","))) for pair in text.split()]


def near(points, others):
    """Tell whether points are the same as far as SVG writes them."""
    return [tuple(p) for p in points] == [pytest.approx(tuple(o), abs=0.051) for o in others]


def text_and_artist(element, artist, unit):
    assert type(artist) is Text
    assert artist.get_text() == element.text
    assert near([artist.get_position()], [(float(element.get("x")), float(element.get("y")))])
    assert artist.get_fontsize() == pytest.approx(
        float(element.get("font-size")) * unit * POINTS * FONT_FACTOR, abs=0.01
    )
    assert artist.get_fontweight() == element.get("font-weight", "normal")
    sides = {"start": "left", "middle": "center", "end": "right"}
    assert artist.get_ha() == sides[element.get("text-anchor")]
    assert to_hex(artist.get_color()) == element.get("fill")


def filled_and_artist(element, artist):
    assert to_hex(artist.get_facecolor()) == element.get("fill")
    assert artist.get_linewidth() == 0
    if element.tag == f"{SVG}circle":
        assert type(artist) is Circle
        assert near([artist.center], [(float(element.get("cx")), float(element.get("cy")))])
        assert artist.radius == pytest.approx(float(element.get("r")))
    else:
        assert type(artist) is Polygon
        assert near(artist.get_xy()[:-1], corners(element.get("points")))


def line_and_artist(element, artist, unit):
    assert type(artist) is PathPatch
    assert not artist.get_fill()
    found = [tuple(point) for point in artist.get_path().vertices]
    closed = element.tag == f"{SVG}polygon"
    assert near(found[:-1] if closed else found, corners(element.get("points")))
    assert to_hex(artist.get_edgecolor()) == element.get("stroke")
    width = float(element.get("stroke-width"))
    assert artist.get_linewidth() == pytest.approx(width * unit * POINTS, rel=0.01)
    dashes = [float(n) for n in (element.get("stroke-dasharray") or "").split()]
    _, pattern = artist._dash_pattern  # matplotlib has no way to ask for it in points
    assert list(pattern or ()) == pytest.approx([n * unit * POINTS for n in dashes], rel=0.01)


def box_and_artist(element, artist, unit):
    assert type(artist) is FancyBboxPatch
    for side in ("x", "y", "width", "height"):
        found = getattr(artist, f"get_{side}")()
        assert found == pytest.approx(float(element.get(side)), abs=0.006)
    assert artist.get_boxstyle().rounding_size == float(element.get("rx"))
    assert to_hex(artist.get_facecolor()) == element.get("fill")
    assert to_hex(artist.get_edgecolor()) == element.get("stroke")
    width = float(element.get("stroke-width")) * unit * POINTS
    assert artist.get_linewidth() == pytest.approx(width, rel=0.01)


@each_picture
def test_both_painters_paint_the_same_marks_in_the_same_order_and_places(picture):
    found = elements(picture)
    drawn = artists(paint_axes(picture))
    assert len(found) == len(drawn) == len(picture.marks)
    for element, artist in zip(found, drawn, strict=True):
        kind = element.tag.removeprefix(SVG)
        if kind == "text":
            text_and_artist(element, artist, picture.unit)
        elif kind == "rect":
            box_and_artist(element, artist, picture.unit)
        elif element.get("fill") == "none":
            line_and_artist(element, artist, picture.unit)
        else:
            filled_and_artist(element, artist)


def test_every_kind_of_mark_is_among_the_pictures_compared():
    kinds = {type(mark) for picture in PICTURES.values() for mark in picture.marks}
    assert kinds == {Area, Box, Label, Marker, Stroke}
    shapes = {m.shape for p in PICTURES.values() for m in p.marks if isinstance(m, Marker)}
    assert shapes == {row.shape for row in NOTE_MARKS.values()}
    strokes = [m for p in PICTURES.values() for m in p.marks if isinstance(m, Stroke)]
    assert {bool(s.dash) for s in strokes} == {s.closed for s in strokes} == {True, False}


@each_picture
def test_a_figure_of_its_own_is_as_large_as_the_card(picture):
    root = ElementTree.fromstring(paint_svg(picture))
    inches = paint_axes(picture).figure.get_size_inches()
    card = (float(root.get("width")), float(root.get("height")))
    assert tuple(inches * UNITS_AN_INCH) == pytest.approx(card, abs=0.1)


def test_plates_take_the_colour_of_what_they_lie_on():
    picture = PICTURES["motion"]
    plates = sum(isinstance(m, Area) and m.fill == PAPER for m in picture.marks)
    assert plates

    def grounds(axes):
        return [to_hex(p.get_facecolor()) for p in axes.patches if type(p) is Polygon]

    assert grounds(paint_axes(picture)).count(PAPER) == plates
    grey = Figure(facecolor="#eeeeee").add_axes((0, 0, 1, 1))
    assert grounds(paint_axes(picture, grey)).count("#eeeeee") == plates
    assert grounds(paint_axes(picture, paper="none")).count("#ffffff") == plates
    assert paint_svg(picture, paper="#eeeeee").count("#eeeeee") == plates + 1
    assert paint_svg(picture, paper="none").count('fill="#ffffff"') == grounds(
        paint_axes(picture, paper="none")
    ).count("#ffffff") + sum(getattr(m, "fill", "") == "#ffffff" for m in labels(picture))


def labels(picture):
    """The texts of a picture."""
    return [mark for mark in picture.marks if isinstance(mark, Label)]


def test_what_the_reader_has_set_for_figures_changes_no_picture():
    picture = PICTURES["motion"]
    before = figure_painter.paint_file(picture, "png", dpi=60)
    odd = {"lines.scale_dashes": False, "path.sketch": (2, 30, 5), "text.usetex": True}
    with mpl.rc_context(odd | {"savefig.facecolor": "black", "font.family": "serif"}):
        assert figure_painter.paint_file(picture, "png", dpi=60) == before


def test_a_dollar_sign_is_no_formula():
    picture = Picture(200, 30, (Label(9, 20, "$x^2$", 14, "#000000", anchor="start"),), "")
    text = paint_axes(picture).texts[0]
    text.figure.canvas.draw()
    assert text._preprocess_math(text.get_text()) == ("$x^2$", False)


# The keyboard apart from the marks.

NUMBERS = [
    name
    for name, value in vars(keyboard_picture).items()
    if name.isupper()
    and isinstance(value, float | tuple | dict)
    and name[0] != "_"
    and name not in ("NOTE_MARKS", "WHITE_PLACES")
]


def smaller(value):
    """Half of every length in a value."""
    if isinstance(value, tuple):
        return tuple(map(smaller, value))
    if isinstance(value, dict):
        return {key: smaller(one) for key, one in value.items()}
    return value / 2


def others():
    """The pictures that are no keyboards."""
    return [paint_svg(p) for name, p in pictures() if not name.startswith("keyboard")]


def test_shrinking_the_diamond_of_the_keyboard_changes_no_other_picture(monkeypatch):
    before = others()
    keys = paint_svg(PICTURES["keyboard C"])
    diamonds = re.findall("<polygon[^>]*>", keys)
    monkeypatch.setitem(keyboard_picture.RADIUS, "diamond", 4.1)
    shrunk = paint_svg(dict(pictures())["keyboard C"])
    assert re.findall("<polygon[^>]*>", shrunk) != diamonds
    assert re.findall("<circle[^>]*>", shrunk) == re.findall("<circle[^>]*>", keys)
    assert others() == before


@pytest.mark.parametrize("name", NUMBERS)
def test_no_length_of_the_keyboard_changes_another_picture(name, monkeypatch):
    before = others()
    monkeypatch.setattr(keyboard_picture, name, smaller(getattr(keyboard_picture, name)))
    assert others() == before
    monkeypatch.undo()


def test_no_other_picture_is_laid_out_with_anything_of_the_keyboard():
    folder = PACKAGE / "show" / "pictures"
    users = {
        file.stem
        for file in folder.glob("*.py")
        if "pictures.keyboard_picture import" in file.read_text(encoding="utf-8")
    }
    assert users == {"__init__", "picture_files"}


def test_the_clock_has_a_size_of_its_own(monkeypatch):
    keys = paint_svg(PICTURES["keyboard C"])
    clock = paint_svg(PICTURES["clock"])
    monkeypatch.setattr(clock_picture, "RADIUS", 5.0)
    again = dict(pictures())
    assert paint_svg(again["clock"]) != clock
    assert paint_svg(again["keyboard C"]) == keys


def test_a_shape_reaches_as_far_as_its_radius_says():
    for shape in (row.shape for row in NOTE_MARKS.values()):
        small, large = (outline(Marker(0, 0, r, shape, "")) for r in (4, 8))
        assert near([(2 * x, 2 * y) for x, y in small], large)
