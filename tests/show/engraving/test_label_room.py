"""Labels under a staff never touch: measured on the staves that the widgets show.

Widths are measured by the fonts of a printed page and of files (DejaVu Sans, which comes with
matplotlib), which run wider than those of a screen.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise, product
from xml.etree import ElementTree

import pytest
from house import ROOT
from matplotlib.ft2font import FT2Font
from sweeps import keys, swept

from theorykit import COLOURS, Chart, Treatment, read_line, write_chorus, write_lines
from theorykit.harmony.substitution import NAMES
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.notes.reader import READERS, reader
from theorykit.show.engraving import staff_svg
from theorykit.show.engraving.verovio_engine import label_width
from theorykit.show.pictures.figure_painter import FONT_FACTOR, font_folder
from theorykit.tunes.progression import FORMS, two_five_one
from theorykit.views.explorer_view import explore
from theorykit.views.identification_view import identification
from theorykit.views.staves import StaffView, cadence_staff, chorus_staff, read_staff
from theorykit.views.substitutes_view import substitution

SVG = "{http://www.w3.org/2000/svg}"
EM = 100
LEAST = 40  # of verovio's units, of which a digit is about 200 wide: far enough apart to be read
TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
CUTS = {
    (False, False): "DejaVuSans.ttf",
    (True, False): "DejaVuSans-Bold.ttf",
    (False, True): "DejaVuSans-Oblique.ttf",
    (True, True): "DejaVuSans-BoldOblique.ttf",
}


@cache
def font(bold: bool, slanted: bool) -> FT2Font:
    """One cut of the font, at a size of which a letter's width is easily read."""
    found = FT2Font(str(font_folder() / CUTS[bold, slanted]))
    found.set_size(EM, 72)
    return found


@cache
def width(text: str, bold: bool, slanted: bool) -> float:
    """The width of a text by the size of its letters."""
    face = font(bold, slanted)
    face.set_text(text, 0.0)
    return face.get_width_height()[0] / 64 / EM * FONT_FACTOR


def rows(picture: str) -> Iterator[list[tuple[float, float, str]]]:
    """The labels of each line of words under each line of music: left, right, text."""
    for system in ElementTree.fromstring(picture).iter(f"{SVG}g"):
        if system.get("class") != "system":
            continue
        found: dict[str, list[tuple[float, float, str]]] = {}
        for note in system.iter(f"{SVG}g"):
            if note.get("class") == "note":
                for text in note.iter(f"{SVG}text"):
                    found.setdefault(text.attrib["y"], []).append(span(text))
        yield from (sorted(row) for row in found.values())


def span(text: ElementTree.Element) -> tuple[float, float, str]:
    """Where one label stands."""
    look = text.get("font-weight") == "bold", text.get("font-style") == "italic"
    wide = width(text.text or "", *look) * float(text.attrib["font-size"])
    left = float(text.attrib["x"]) - wide / 2 * (text.get("text-anchor") == "middle")
    return left, left + wide, text.text or ""


def nothing_touches(view: StaffView, **size: object) -> None:
    """Tell that the labels of a staff keep apart."""
    for row in rows(staff_svg(view, **size)):  # type: ignore[arg-type]
        for one, other in pairwise(row):
            assert other[0] - one[1] >= LEAST, (one[2], other[2], view.alt)


@pytest.mark.parametrize("text", "13 b9 #11 b13 bb7 CT alt appr enc".split())
def test_the_table_of_widths_is_no_narrower_than_the_font(text):
    signs = text.replace("b", "♭").replace("#", "♯")
    for look in CUTS:
        assert label_width(signs, 1) >= 0.98 * width(signs, *look), look


@pytest.mark.parametrize(
    ("key", "who"),
    swept(
        product(KEYS, [one.name for one in READERS]),
        lambda case: case[1] == "concert" and str(case[0]) in ("Db major", "Eb minor"),
    ),
    ids=str,
)
def test_on_the_staves_of_the_explorer_in_every_form_and_colour(key, who):
    for row, form in product(COLOURS, FORMS):
        nothing_touches(explore(key, form, row, reader=reader(who)).staff, scale=50)


def test_thirteen_and_sharp_eleven_side_by_side():
    """The two cases that a reader has found, in keys where the accidentals leave least room."""
    for key, row in (("Db", "9 #11 13"), ("F#", "half-whole diminished"), ("Eb minor", "altered")):
        nothing_touches(explore(key, "long", row).staff)


@pytest.mark.parametrize("key", keys(), ids=str)
def test_on_the_staves_of_substitutes_where_two_rows_stand(key):
    for name in NAMES:
        nothing_touches(substitution(key, name).staff, scale=50)


@pytest.mark.parametrize("over", swept("G7 C#7 Cm7 Bbmaj7 F#m7b5".split(), lambda v: v == "C#7"))
def test_on_the_staff_of_any_notes(over):
    chromatic = "C C# D Eb E F F# G Ab A Bb B"
    nothing_touches(identification(chromatic, over).staff, scale=50)


@pytest.mark.parametrize("key", keys(), ids=str)
def test_on_lines_that_are_asked_for_read_and_close_up(key):
    suited = [row for row in COLOURS if row.suits(key.mode)]
    for number, row in enumerate(suited):
        form = tuple(FORMS)[number % len(FORMS)]
        for line in write_lines(two_five_one(key, form), row, count=2, seed=number):
            nothing_touches(read_staff(read_line(line), row), scale=50)
            nothing_touches(cadence_staff(line, row), scale=45)


@pytest.mark.parametrize(
    ("file", "level", "who"),
    swept(
        product(TUNES, ("first", "second", "third"), ("concert", "B flat", "E flat")),
        lambda case: case[0].stem == "four_bus_stops" and case[1:] == ("third", "B flat"),
    ),
    ids=str,
)
def test_on_choruses_at_the_widths_of_chapter_and_desk(file, level, who):
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    chorus = write_chorus(chart, Treatment.proposed(chart, level=level), seed=3)
    view = chorus_staff(chorus, 1, reader=reader(who))
    for scale, wide in ((32, 900), (34, 1000)):
        nothing_touches(view, scale=scale, width=wide, bars_per_line=4)
    nothing_touches(read_staff(read_line(chorus.line)), scale=50, width=1000)


@pytest.mark.parametrize("mode", MODES)
def test_a_staff_with_room_is_as_narrow_as_before(mode):
    """Only where labels are too close is anything spaced out."""
    view = explore(Key.parse(f"C {mode}"), "long", "b9").staff
    picture = staff_svg(view)
    wide = float(ElementTree.fromstring(picture).attrib["width"])
    assert wide < 460
