"""The edges of a picture: no number of a bar, no box and no chord symbol lies outside.

Widths are measured by the font of printed pages (DejaVu Sans, which comes with matplotlib), which
runs wider than those of a screen.
"""

from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from house import ROOT
from PIL import ImageFont
from sweeps import swept

from theorykit import Chart, Treatment, write_chorus
from theorykit.notes.reader import reader
from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import PADDING
from theorykit.views.staves import StaffView, chorus_staff

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(mpl.get_data_path()) / "fonts" / "ttf"
CUTS = {"normal": "DejaVuSans.ttf", "italic": "DejaVuSans-Oblique.ttf"}
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
ASCENT = 0.76  # of the size of the font: how high its capitals and digits are, with a little more

Box = tuple[float, float, float, float]  # left, top, right, bottom, in pixels of the picture


@cache
def face(slant: str):
    """One cut of the font, large enough to be measured."""
    return ImageFont.truetype(str(FONTS / CUTS[slant]), 1000)


def covered(text: ElementTree.Element) -> Box:
    """What a text covers, in verovio's units."""
    x, y, size = (float(text.get(name, 0)) for name in ("x", "y", "font-size"))
    slant = "italic" if text.get("font-style") == "italic" else "normal"
    wide = face(slant).getlength(text.text or "") * size / 1000
    left = x - wide * ANCHORS[text.get("text-anchor", "start")]
    return left, y - ASCENT * size, left + wide, y


def framed(box: ElementTree.Element) -> Box:
    """What a box covers, in verovio's units."""
    x, y, wide, high = (float(box.attrib[name]) for name in ("x", "y", "width", "height"))
    return x, y, x + wide, y + high


def boxes(picture: str) -> list[tuple[str, Box]]:
    """Return the numbers, boxes and symbols of a picture: what they are, and where."""
    root = ElementTree.fromstring(picture)
    (inner,) = (one for one in root.iter(f"{SVG}svg") if one.get("class") == "definition-scale")
    (page,) = (one for one in root.iter(f"{SVG}g") if one.get("class") == "page-margin")
    moved = [float(word) for word in page.attrib["transform"][len("translate(") : -1].split(",")]
    outer = next(one for one in root.iter(f"{SVG}svg") if one is not root)
    unit = float(outer.attrib["width"].removesuffix("px")) / float(
        inner.attrib["viewBox"].split()[2]
    )
    found = []
    for group in root.iter(f"{SVG}g"):
        kind = group.get("class", "")
        if kind in ("harm", "mNum", "reh"):
            found += [(f"{kind} {t.text}", covered(t)) for t in group.iter(f"{SVG}text") if t.text]
            found += [(kind, framed(rect)) for rect in group.iter(f"{SVG}rect")]
    return [
        (name, tuple(PADDING + unit * (at + moved[n % 2]) for n, at in enumerate(box)))
        for name, box in found
    ]


def all_inside(picture: str) -> list[str]:
    """Tell that all is inside, and return what there is."""
    root = ElementTree.fromstring(picture)
    wide, high = float(root.attrib["width"]), float(root.attrib["height"])
    found = boxes(picture)
    for name, (left, top, right, bottom) in found:
        assert left >= 0, name
        assert top >= 0, name
        assert right <= wide, name
        assert bottom <= high, name
    return [name for name, _ in found]


@cache
def chorus(tune: str, key: str, who: str) -> StaffView:
    """A chorus of a tune with sections, on the page of a reader."""
    text = (ROOT / "workbook" / "tunes" / f"{tune}.txt").read_text(encoding="utf-8")
    chart = Chart.parse(text).transposed(key)
    written = write_chorus(chart, Treatment.proposed(chart, level="first"), seed=802)
    return chorus_staff(written, 1, reader=reader(who))


PAGES = (
    ("four_bus_stops", "E", "concert"),
    ("nine_borrowed_stands", "Db", "guitar"),
    ("umbrella_in_the_hall", "A# minor", "B flat"),
)
SIZES = ((32, 560), (50, 1250), (80, 1250), (120, 2400))


# Each tune at each size has either as many bars in a line as fit or four; the sweep has both.
@pytest.mark.parametrize(
    ("page", "size", "bars"),
    swept(
        product(PAGES, SIZES, (None, 4)),
        lambda case: (PAGES.index(case[0]) + SIZES.index(case[1])) % 2 == (case[2] == 4),
    ),
)
def test_nothing_lies_outside_a_page_of_a_chorus(page, size, bars):
    """With numbers of one, two and three digits: the chorus as the first, and far into a piece."""
    (tune, key, who), (scale, width) = page, size
    view = chorus(tune, key, who)
    for first in (1, 97):
        shown = replace(view, first=first)
        names = all_inside(staff_svg(shown, scale=scale, width=width, bars_per_line=bars))
        numbers = [name for name in names if name.startswith("mNum")]
        assert f"mNum {first + 16}" in numbers


@pytest.mark.parametrize("scale", [20, 50, 200])
def test_nothing_lies_outside_a_staff_on_one_line(scale):
    view = chorus("four_bus_stops", "E", "concert")
    for first in (1, 9, 17, 117):
        names = all_inside(staff_svg(replace(view, first=first), scale=scale))
        assert f"mNum {first + 16}" in names


SPACE = 180  # verovio's units between two lines of a staff


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("page", [*PAGES, ("nine_borrowed_stands", "Db", "E flat")])
def test_the_box_of_a_letter_touches_nothing_beside_it(page, large):
    """Number, box and symbol stand apart by what the eye tells: a third of a space at least."""
    met = 0
    for bars, scale in ((4, 32), (None, 40), (2, 40)):
        view = replace(chorus(*page), first=5)
        picture = staff_svg(view, scale=scale, width=567, bars_per_line=bars, large=large)
        found = [
            (name, tuple(round(side * 1000 / scale) for side in box))
            for name, box in boxes(picture)
        ]
        letters = [box for name, box in found if name == "reh"]
        for left, top, right, bottom in letters:
            for name, (begins, high, ends, low) in found:
                if name.split()[0] in ("mNum", "harm") and high < bottom and top < low:
                    met += 1
                    assert begins > right + SPACE / 3 or ends < left - SPACE / 3, name
    assert met >= 6


def test_a_picture_is_as_wide_as_it_is_asked_to_be():
    """The music makes room for the numbers, not the page."""
    view = replace(chorus("four_bus_stops", "E", "concert"), first=97)
    for width in (700, 1250):
        root = ElementTree.fromstring(staff_svg(view, scale=50, width=width, bars_per_line=4))
        assert float(root.attrib["width"]) == pytest.approx(width, abs=1)
