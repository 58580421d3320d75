"""Pictures as files: each kind is opened by a library that did not write it."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure
from PIL import Image
from pypdf import PdfReader
from sweeps import swept

from theorykit import evidence, resolve, subsets
from theorykit.errors import TheoryError
from theorykit.lines.demonstration import demonstration
from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import PAPER, keys_and_legend, picture_axes, picture_bytes, picture_svg
from theorykit.tunes.charts import Chart
from theorykit.views.clock import clock_of
from theorykit.views.counts import counts_of
from theorykit.views.explorer_view import explore
from theorykit.views.grid import tension_grid
from theorykit.views.motion import motion_of
from theorykit.views.staves import phrase_staff
from theorykit.views.tune_page import TuneGridView, tune_grid

SVG = "{http://www.w3.org/2000/svg}"
STAFF = staff_svg(phrase_staff(demonstration("Db", "long", "altered")), scale=50)
TUNE = Chart.parse("title: Wet Gloves\n\n| Dm7 | G7 to coda | C6 | % D.C. | coda C6 |")
DRAWN = {
    "staff": STAFF,
    "keyboard": explore("F#", "long", "altered").keyboard,
    "keys alone": keys_and_legend(explore("C").keyboard)[0],
    "motion": motion_of(resolve("Ab7", "altered", "Dbm6")),
    "clock": clock_of("F#7", "half-whole diminished", "C7"),
    "grid": tension_grid(subsets("G7")[:12]),
    "counts": counts_of(evidence(one) for one in ("b9", "9")),
    "tune": tune_grid(TUNE),
}
each = pytest.mark.parametrize("drawable", DRAWN.values(), ids=DRAWN)


def card(drawable):
    """The SVG as it is on the screen, read."""
    return ElementTree.fromstring(picture_svg(drawable))


def size(drawable) -> tuple[float, float]:
    """Width and height of the card in pixels of a screen."""
    root = card(drawable)
    return float(root.get("width")), float(root.get("height"))


def texts(drawable) -> list[str]:
    """What the card says, without spaces."""
    found = ("".join(text.itertext()) for text in card(drawable).iter(f"{SVG}text"))
    return ["".join(text.split()) for text in found]


@each
def test_a_png_is_as_large_as_asked_and_holds_the_picture(drawable):
    for dpi in (96, 300):
        image = Image.open(BytesIO(picture_bytes(drawable, ".png", dpi=dpi)))
        assert image.format == "PNG"
        wanted = tuple(side * dpi / 96 for side in size(drawable))
        assert image.size == pytest.approx(wanted, abs=1.5)
        pixels = image.convert("RGB")
        ground = "#ffffff" if isinstance(drawable, TuneGridView) else PAPER
        assert pixels.getpixel((1, 1)) == tuple(bytes.fromhex(ground[1:]))
        dark = sum(pixels.convert("L").histogram()[:100]) / (image.width * image.height)
        assert 0.005 < dark < 0.5


@each
def test_the_paper_of_a_png_can_be_white_or_left_out(drawable):
    white, clear = (
        Image.open(BytesIO(picture_bytes(drawable, ".png", dpi=60, paper=paper))).convert("RGBA")
        for paper in ("#ffffff", "none")
    )
    assert white.getpixel((1, 1)) == (255, 255, 255, 255)
    assert clear.getpixel((1, 1))[3] == 0
    assert white.size == clear.size
    under = Image.new("RGBA", clear.size, "white")
    under.alpha_composite(clear)
    one, other = (list(image.convert("L").resize((40, 20)).tobytes()) for image in (under, white))
    assert one == pytest.approx(other, abs=3)


@each
def test_a_pdf_has_one_page_of_the_size_its_words_as_text_and_its_fonts_inside(drawable):
    reader = PdfReader(BytesIO(picture_bytes(drawable, ".pdf")))
    (page,) = reader.pages
    points = tuple(side * 72 / 96 for side in size(drawable))
    assert (page.mediabox.width, page.mediabox.height) == pytest.approx(points, abs=0.5)
    said = "".join(page.extract_text().split())
    missing = [text for text in texts(drawable) if text not in said]
    assert missing == []
    assert reader.metadata.title == card(drawable).get("aria-label")
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert "/FontFile2" in inner["/FontDescriptor"].get_object()
        assert "DejaVuSans" in font["/BaseFont"]


@each
def test_a_pdf_is_vectors_and_no_image(drawable):
    page = PdfReader(BytesIO(picture_bytes(drawable, ".pdf"))).pages[0]
    assert list(page.images) == []
    assert len(page.get_contents().get_data()) > 500


@each
def test_an_svg_is_what_the_page_shows(drawable):
    data = picture_bytes(drawable, ".svg")
    assert data.decode() == picture_svg(drawable)
    assert ElementTree.fromstring(data).tag == f"{SVG}svg"
    assert PAPER not in picture_bytes(drawable, ".svg", paper="none").decode()
    assert 'fill="#ffffff"' in picture_bytes(drawable, ".svg", paper="#ffffff").decode()


@pytest.mark.parametrize("name", swept(DRAWN, ("staff", "counts", "tune").__contains__))
def test_a_file_is_the_same_every_time(name):
    drawable = DRAWN[name]
    for ending in (".png", ".pdf"):
        assert picture_bytes(drawable, ending, dpi=60) == picture_bytes(drawable, ending, dpi=60)


def test_endings_are_read_in_capitals_too():
    assert picture_bytes(STAFF, ".SVG") == picture_bytes(STAFF, ".svg")
    assert picture_bytes(DRAWN["clock"], ".PNG")[1:4] == b"PNG"


@pytest.mark.parametrize("ending", ["", "png", ".jpg", ".svgz"])
def test_other_kinds_are_refused_and_the_three_are_named(ending):
    with pytest.raises(TheoryError, match=r"not a kind of picture: .*\.png, \.svg, \.pdf"):
        picture_bytes(STAFF, ending)


@pytest.mark.parametrize("paper", ["cream", "#fff", 'none"); #panic("'])
def test_other_papers_are_refused(paper):
    with pytest.raises(TheoryError, match="not a colour of paper"):
        picture_bytes(STAFF, ".pdf", paper=paper)


@pytest.mark.parametrize("dpi", [0, 29, 1201, float("nan")])
def test_sizes_that_help_nobody_are_refused(dpi):
    with pytest.raises(TheoryError, match="dpi out of range"):
        picture_bytes(DRAWN["clock"], ".png", dpi=dpi)


@pytest.mark.parametrize("ending", [".png", ".pdf"])
def test_letters_that_would_be_boxes_are_named(ending):
    chart = Chart.parse("title: \u66f2 one\n\n[\u66f2]\n| Dm7 | G7 | C6 |")
    with pytest.raises(TheoryError, match="cannot print '\u66f2'"):
        picture_bytes(tune_grid(chart), ending)
    with pytest.raises(TheoryError, match="cannot print '\u66f2'"):
        picture_bytes(STAFF.replace(">♭3<", ">\u66f2<"), ending)
    assert "\u66f2" in picture_bytes(tune_grid(chart), ".svg").decode()


def test_what_has_no_picture_is_refused():
    with pytest.raises(TheoryError, match="no picture of this"):
        picture_bytes(42, ".png")  # type: ignore[arg-type]


@each
def test_a_picture_is_put_into_a_figure_of_ones_own(drawable):
    figure = Figure(figsize=(8, 4))
    left, right = figure.subplots(1, 2)
    assert picture_axes(drawable, right) is right
    assert right.get_label() == card(drawable).get("aria-label")
    before, after = BytesIO(), BytesIO()
    figure.savefig(after, format="png", dpi=50)
    right.clear()
    right.set_axis_off()
    figure.savefig(before, format="png", dpi=50)
    was, now = (Image.open(one).convert("L") for one in (before, after))
    changed = [x for x in range(was.width) if column(was, x) != column(now, x)]
    assert len(changed) > 60
    assert min(changed) > was.width / 2  # what stands left of it is left alone
    assert left.get_label() == ""


def column(image, x: int) -> bytes:
    """One column of a picture."""
    return image.crop((x, 0, x + 1, image.height)).tobytes()


def test_nothing_but_saving_needs_matplotlib_or_typst():
    code = (
        "import sys; from theorykit.show.pictures import picture_svg, picture_bytes; "
        "from theorykit.views.clock import clock_of; clock = clock_of('G7'); picture_svg(clock); "
        "assert not {'matplotlib', 'typst'} & set(sys.modules); "
        "picture_bytes(clock, '.svg'); "
        "assert not {'matplotlib', 'typst'} & set(sys.modules); "
        "picture_bytes(clock, '.png'); "
        "assert 'matplotlib' in sys.modules and 'matplotlib.pyplot' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
