"""A newcomer in JupyterLab: a chart is pasted, mended, coloured, heard and taken away."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest
from lab import Lab, NotebookPage
from playwright.sync_api import Locator

from theorykit.tunes.charts import Chart

BROKEN = "title: Wet Gloves\nkey: Eb\ntempo: 120\nfeel: swing\n\n| Fm7 | Bb8 | Ebmaj7 | % |\n"
MENDED = BROKEN.replace("Bb8", "Bb7")
BARS, COUNT_IN, TAIL = 4, 1, 1.0  # bars, bars, seconds


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    source = "from theorykit.widgets import tune_desk\n\ntune_desk()"
    name = lab.write_notebook("through_a_tune.ipynb", source)
    with lab.open_notebook(name, width=1400, height=3200) as opened:
        opened.run_all()
        yield opened


def paste(page: NotebookPage, text: str) -> None:
    """Paste a text over what stands in the field."""
    field = page.control("chart").locator("textarea")
    field.fill(text)
    page.settle()


def picture(page: NotebookPage, words: str) -> Locator:
    """A picture whose words for the ear begin so."""
    return page.page.locator(f'svg[role=img][aria-label^="{words}"]').first


def press(page: NotebookPage, name: str) -> None:
    """Press a button and wait for the answer."""
    page.page.get_by_role("button", name=name, exact=True).click()
    page.settle(quiet=0.4)


def test_the_mistake_is_told_with_its_place_and_the_last_picture_stays(page):
    assert picture(page, "Chart of Wet Gloves by the Door").is_visible()
    paste(page, BROKEN)
    told = page.page.locator("[role=alert]").first
    told.wait_for()
    assert "line 6, column 9" in told.inner_text()
    line, mark = told.locator("pre").inner_text().splitlines()[:2]
    assert line[mark.index("^") :].startswith("Bb8")
    assert page.control("chart").locator("textarea").input_value() == BROKEN
    assert picture(page, "Chart of Wet Gloves by the Door").is_visible()


def test_mended_it_shows_the_cadence_in_the_grid_and_in_the_list(page):
    paste(page, MENDED)
    picture(page, "Chart of Wet Gloves: ").wait_for()
    assert page.page.locator("[role=alert]").count() == 0
    said = picture(page, "Chart of Wet Gloves: ").get_attribute("aria-label")
    assert "1, bars 1-3: long ii-V-I to E♭." in said
    options = page.control("cadences").locator("option").all_text_contents()
    assert len(options) == 1
    assert "long ii-V-I to E♭" in options[0].replace("\u00a0", " ")


def test_a_click_on_the_cadence_shows_staff_and_keyboard_and_a_colour_is_set(page):
    page.control("cadences").locator("select").select_option(index=0)
    page.settle(quiet=0.4)
    page.wait_for_text("think of the V bar as Fm7 B♭7")
    page.set_value("colour over V", "altered")
    page.wait_for_text("over B♭7 play altered")
    assert "B♭7alt" in picture(page, "Chart of Wet Gloves: ").get_attribute("aria-label")
    # the plan says the colour too, and earlier
    picture(page, "3 bars in E♭ major, chords Fm7, Fm7, B♭7alt").wait_for()
    assert picture(page, "Keyboard: B♭7").is_visible()
    player = page.page.locator(".theorykit-player[data-ready]").first
    player.wait_for()
    assert player.locator("select").first.locator("option").count() == 2
    assert player.locator(".theorykit-where").text_content() == "bar 1 of 3"


def test_the_chorus_is_heard_with_and_without_the_line(page):
    press(page, "write and hear")
    player = page.page.get_by_label("player: Wet Gloves, 1 chorus, with the line")
    player.wait_for()
    player.get_by_text(f"bar 1 of {BARS}", exact=True).wait_for()
    offered = player.locator("select").first.locator("option").all_text_contents()
    assert "Wet Gloves, 1 chorus, without the line" in offered
    assert picture(page, "4 bars in E♭ major").is_visible()
    assert player.get_attribute("data-plays") == "no"


def test_the_page_is_photographed_in_light_and_dark(page, pictures):
    for theme in ("light", "dark"):
        page.set_theme(theme)
        shot = page.screenshot(pictures / f"tune desk {theme}.png", page.output(0))
        assert shot.stat().st_size > 60_000
    page.set_theme("light")


def test_score_and_chart_are_exported_as_links(page):
    def exported(kind: str) -> tuple[str, bytes]:
        page.set_value("kind of file", kind)
        press(page, "make a link")
        link = page.page.locator("a[download]").last
        link.wait_for()
        data = link.get_attribute("href").partition("base64,")[2]
        return link.get_attribute("download"), base64.b64decode(data)

    name, score = exported("MusicXML")
    assert name == "Wet_Gloves_chorus_lines_1_concert.musicxml"
    body = re.sub(rb"<\?xml[^>]*\?>|<!DOCTYPE[^>]*>", b"", score)
    assert len(ElementTree.fromstring(body).findall("part/measure")) == BARS
    name, text = exported("chart with its colours, as text")
    assert name == "Wet_Gloves_chart_with_colours.txt"
    assert "Bb7alt" in {str(p.chord) for p in Chart.parse(text.decode()).played}


def test_every_control_is_reached_with_the_tab_key(page):
    page.control("chart").locator("textarea").focus()
    reached = set()
    for _ in range(90):  # the parts of each player are stops of their own
        reached.add(
            page.page.evaluate(
                "() => { const a = document.activeElement;"
                " return a.closest('.jupyter-widgets')?.querySelector('.widget-label,"
                " .widget-label-basic')?.textContent.trim() || a.textContent.trim(); }"
            )
        )
        page.page.keyboard.press("Tab")
    wanted = {"chart", "colours", "written for", "cadences", "colour over V", "choruses", "tempo"}
    assert wanted | {"write and hear", "kind of file", "make a link"} <= reached


def test_a_keystroke_is_answered_while_one_types(page):
    field = page.control("chart").locator("textarea")
    field.focus()
    page.page.keyboard.press("Control+End")
    page.page.keyboard.type("| Abm7 | Db7 | Gb6 | % |", delay=20)
    page.settle()
    said = picture(page, "Chart of Wet Gloves: ").get_attribute("aria-label")
    assert "2, bars 5-7: long ii-V-I to G♭." in said
    assert "altered" in page.control("cadences").locator("option").first.text_content()
