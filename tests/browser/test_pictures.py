"""Pictures in a browser: the SVG and the file look alike, and the menus save what is shown."""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO

import numpy as np
import pytest
from lab import Lab, NotebookPage
from PIL import Image, ImageChops, ImageFilter
from playwright.sync_api import Page
from pypdf import PdfReader

from theorykit import evidence, resolve, subsets
from theorykit.lines.demonstration import demonstration
from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import picture_bytes, picture_svg
from theorykit.show.pictures.figure_painter import FONT_FACTOR
from theorykit.show.pictures.svg_painter import TEXT_FONT
from theorykit.tunes.charts import Chart
from theorykit.views.clock import clock_of
from theorykit.views.counts import counts_of
from theorykit.views.explorer_view import explore
from theorykit.views.grid import tension_grid
from theorykit.views.motion import motion_of
from theorykit.views.staves import phrase_staff
from theorykit.views.tune_page import tune_grid

DENSE = 2  # pixels of the picture to a pixel of the screen
# Letters are smoothed in two ways; so pictures are compared a little out of focus. Of 255 levels,
# how much they may differ on the whole, and in how many places by how much.
BLUR, MEAN, FAR, MOST_FAR = 2 * DENSE, 1.0, 32, 0.004  # browsers draw thicker underlines

DRAWN = {
    "staff": staff_svg(phrase_staff(demonstration("Db", "long", "altered")), scale=50),
    "keyboard": explore("F#", "long", "altered").keyboard,
    "keyboard in B flat minor": explore("Bb minor", "long", "b9 b13").keyboard,
    "motion": motion_of(resolve("Ab7", "altered", "Dbm6")),
    "clock": clock_of("F#7", "half-whole diminished", "C7"),
    "grid": tension_grid(subsets("G7")[:12]),
    "counts": counts_of(evidence(one) for one in ("b9", "9")),
    "tune": tune_grid(
        Chart.parse("title: Wet Gloves\n\n[A]\n|: Dm7 | segno Ab7 | Gb6 :| Db7 | C6 D.S. |")
    ),
}


@pytest.fixture(scope="module")
def blank(lab: Lab) -> Iterator[Page]:
    """An empty page that is twice as dense as a screen."""
    context = lab.browser.new_context(device_scale_factor=DENSE)
    yield context.new_page()
    context.close()


def as_in_files(svg: str) -> str:
    """The picture with the letters that files have."""
    found = re.compile(r'(?<= font-size=")([\d.]+)(?=")')

    def smaller(text: re.Match[str]) -> str:
        return found.sub(lambda size: f"{float(size[1]) * FONT_FACTOR:.4f}", text[0])

    return re.sub("<text [^>]*>", smaller, svg.replace(TEXT_FONT, "DejaVu Sans"))


def difference(one: Image.Image, other: Image.Image) -> np.ndarray:
    """How far each pixel of two pictures lies apart, of 255."""
    pair = [image.filter(ImageFilter.GaussianBlur(BLUR)) for image in (one, other)]
    return np.asarray(ImageChops.difference(*pair)).max(axis=2)


def in_browser(page: Page, svg: str) -> Image.Image:
    """The picture as the browser paints it."""
    page.set_content(f'<body style="margin:0">{svg}</body>')
    return Image.open(BytesIO(page.locator("svg").first.screenshot())).convert("RGB")


@pytest.mark.parametrize("name", DRAWN)
def test_the_file_looks_as_the_page_does(blank, name, pictures):
    drawable = DRAWN[name]
    shown = in_browser(blank, as_in_files(picture_svg(drawable)))
    saved = Image.open(BytesIO(picture_bytes(drawable, ".png", dpi=96 * DENSE))).convert("RGB")
    assert saved.size == pytest.approx(shown.size, abs=2)
    both_have = (0, 0, min(shown.width, saved.width), min(shown.height, saved.height))
    shown, saved = shown.crop(both_have), saved.crop(both_have)
    away = difference(shown, saved)
    pictures.mkdir(exist_ok=True)
    both = Image.new("RGB", (shown.width, 2 * shown.height))
    both.paste(shown, (0, 0))
    both.paste(saved, (0, shown.height))
    both.save(pictures / f"page and file {name}.png")
    assert away.mean() < MEAN
    assert (away > FAR).mean() < MOST_FAR


def test_the_comparison_sees_a_mark_that_is_missing(blank):
    """One shape less on a keyboard is more than two ways to smooth letters differ by."""
    svg = picture_svg(DRAWN["keyboard"])
    whole = in_browser(blank, svg)
    less = in_browser(blank, re.sub("<polygon[^>]*>", "", svg, count=4))
    assert (difference(whole, less) > FAR).mean() > MOST_FAR


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    sources = ("from theorykit.widgets import explorer\nexplorer('Db', 'altered')",)
    name = lab.write_notebook("saving.ipynb", *sources)
    with lab.open_notebook(name, height=1500) as opened:
        opened.run_all()
        yield opened


def opener(page: NotebookPage, noun: str):
    """The button that opens a menu."""
    return page.page.get_by_role("button", name=f"save {noun}", exact=True)


def players_stand(page: NotebookPage) -> tuple[float, float]:
    """Where the first player stands beside the pictures."""
    box = page.page.locator(".theorykit-player").first.bounding_box()
    return box["x"], box["y"]


def test_a_menu_that_is_shut_is_one_small_button(page, pictures):
    for noun in ("staff", "keyboard", "counts"):
        box = opener(page, noun).bounding_box()
        assert box["height"] <= 26
        assert box["width"] <= 130
    for theme in ("light", "dark"):
        page.set_theme(theme)
        page.screenshot(pictures / f"explorer shut {theme}.png", page.output(0))
    page.set_theme("light")


def test_the_menu_is_opened_and_used_with_the_keyboard(page, pictures):
    before = players_stand(page)
    opener(page, "keyboard").focus()
    page.page.keyboard.press("Enter")
    page.settle()
    page.control("kind of file").locator("select").wait_for()
    page.page.keyboard.press("Tab")
    focused = "() => document.activeElement.tagName"
    assert page.page.evaluate(focused) == "SELECT"
    page.set_value("kind of file", "PDF, for print")
    page.set_value("paper", "white")
    for theme in ("light", "dark"):
        page.set_theme(theme)
        page.screenshot(pictures / f"explorer open {theme}.png", page.output(0))
    page.set_theme("light")
    assert players_stand(page) == before
    page.page.get_by_role("button", name="make a link").focus()
    page.page.keyboard.press("Enter")
    page.settle()
    link = page.page.locator("a[download]")
    link.wait_for()
    with page.page.expect_download() as waiting:
        link.focus()
        page.page.keyboard.press("Enter")
    assert waiting.value.suggested_filename == "keyboard_Ab7_altered.pdf"
    pdf = PdfReader(waiting.value.path())
    said = pdf.pages[0].extract_text()
    assert all(text in said for text in ("chord tone", "colour note", "♭13"))


def test_what_goes_wrong_is_said_in_the_menu_and_another_choice_clears_the_link(page):
    page.set_value("path", "nowhere/keys.png")
    page.page.get_by_role("button", name="write the file").click()
    page.wait_for_text("cannot write")
    page.set_value("key", "F major")
    assert page.page.locator("[role=alert]").count() == 0
    assert page.page.locator("a[download]").count() == 0


def test_a_file_is_written_beside_the_notebook(page, lab):
    page.set_value("path", "keys of F.svg")
    page.page.get_by_role("button", name="write the file").click()
    page.wait_for_text("Written to keys of F.svg.")
    assert "C7" in (lab.server.folder / "keys of F.svg").read_text(encoding="utf-8")


def test_the_menu_is_put_away_again(page):
    opener(page, "keyboard").click()
    page.settle()
    assert "kind of file" not in page.labels()
