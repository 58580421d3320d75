"""A cell that is heard: the control of the page, sent once, and the plain player for other days."""

from __future__ import annotations

import json
from collections.abc import Iterator

import nbformat
import pytest
from lab import PAGE, Lab, NotebookPage
from nbconvert import HTMLExporter
from playwright.sync_api import Locator, expect

expect.set_options(timeout=PAGE)

CELLS = (
    "from theorykit import *\nhear('Abm7 | Db7 | Gbmaj7', label='the first')",
    "hear(demonstration('Db', 'long', 'b9 13'), over_v='b9 13', label='the second')",
    "from theorykit.show.cells import hear_substitute as three\n"
    "three('Bb minor', 'tritone substitute')",
)
MOST_SENT = 100_000  # bytes for one more cell, the plain player included
KINDS = "() => window.jupyterapp.shell.currentWidget.content.widgets.length"


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook(lab.write_notebook("heard.ipynb", *CELLS), anew=True) as opened:
        opened.run_all()
        expect(opened.page.locator(".theorykit-player")).to_have_count(len(CELLS))
        yield opened


def player(page: NotebookPage, cell: int) -> Locator:
    return page.output(cell).locator(".theorykit-player")


def test_each_cell_has_the_control_and_its_plain_player_is_not_seen(page, pictures):
    assert page.page.locator("audio").count() == 5
    assert page.page.locator("audio:visible").count() == 0
    assert player(page, 1).locator(".theorykit-name").text_content() == "the second"
    offered = player(page, 2).locator("select").first.locator("option")
    assert offered.count() == 3
    assert page.page.evaluate("() => window[Symbol.for('theorykit hall')]?.sounds.size ?? 0") == 0
    for theme in ("dark", "light"):
        page.set_theme(theme)
        page.screenshot(pictures / f"heard cells {theme}.png")


def test_it_plays_when_it_is_pressed_and_keys_stay_in_it(page):
    first = player(page, 0)
    first.locator(".theorykit-play").click()
    expect(first).to_have_attribute("data-plays", "yes")
    expect(first.locator(".theorykit-where")).to_have_text("bar 2 of 3")
    before = page.page.evaluate(KINDS)
    first.locator("summary").click()
    sound = first.locator(".theorykit-level").nth(1)
    sound.focus()
    for key in ("b", "a", "x"):  # to the notebook: cells above and below, cut
        page.page.keyboard.press(key)
    assert page.page.evaluate(KINDS) == before
    sound.select_option("off")
    first.get_by_role("button", name="slow", exact=True).click()
    expect(first.locator(".theorykit-said")).to_have_text("tempo 60")
    assert first.get_attribute("data-plays") == "yes"
    player(page, 1).locator(".theorykit-play").click()
    expect(player(page, 1)).to_have_attribute("data-plays", "yes")
    expect(first).to_have_attribute("data-plays", "no")
    player(page, 1).locator(".theorykit-play").click()


def test_one_more_cell_sends_little(page):
    page.page.mouse.move(2, 2)  # sounds are asked for when somebody comes to a cell
    for cell in (0, 1):
        expect(player(page, cell)).to_have_attribute("data-lacks", "0")
    found = page.received()
    before = page.output(1).locator(".theorykit-player").element_handle()
    page.page.evaluate(
        """async () => {
            window.jupyterapp.shell.currentWidget.content.activeCellIndex = 1;
            await window.jupyterapp.commands.execute('notebook:run-cell');
        }"""
    )
    page.settle()
    expect(player(page, 1)).to_be_visible()
    assert before.is_hidden()
    assert 30_000 < sum(found) < MOST_SENT


def test_on_a_narrow_page_all_of_it_is_seen(lab, page, pictures):
    page.page.set_viewport_size({"width": 820, "height": 1000})
    for cell in range(len(CELLS)):
        box, whole = player(page, cell), page.output(cell)
        assert box.evaluate("one => one.scrollWidth <= one.clientWidth + 1")
        assert box.bounding_box()["width"] <= whole.bounding_box()["width"]
    page.screenshot(pictures / "heard cells 820.png")
    page.page.set_viewport_size({"width": 1280, "height": 1000})


KEPT = (
    "from theorykit import *\nfrom theorykit.widgets import explorer\nexplorer('Gb')",
    "hear('Abm7 | Db7 | Gbmaj7', label='kept')",
)


def test_after_a_restart_a_player_is_set_as_it_was_left(lab):
    """What a part does, the tempo and the bar, in a widget and in a cell."""
    with lab.open_notebook(lab.write_notebook("kept.ipynb", *KEPT)) as page:
        page.run_all()
        for cell in (0, 1):
            box = player(page, cell)
            box.locator(".theorykit-line").evaluate(
                "one => { one.value = 2; one.dispatchEvent(new Event('input')); }"
            )
            if cell:
                box.locator("summary").click()
                box.get_by_role("button", name="slow", exact=True).click()
            else:
                page.set_value("tempo", 70)
            box.locator(".theorykit-level").nth(0).select_option("every other round")
            box.locator(".theorykit-level").nth(2).select_option("off")
        page.settle()
        page.restart()
        page.run_all()
        for cell in (0, 1):
            box = player(page, cell)
            expect(box.locator(".theorykit-where")).to_have_text("bar 3 of 3")
            expect(box.locator(".theorykit-level").nth(0)).to_have_value("every other round")
            expect(box.locator(".theorykit-level").nth(1)).to_have_value("full")
            expect(box.locator(".theorykit-level").nth(2)).to_have_value("off")
        expect(player(page, 1).locator(".theorykit-beats")).to_have_text("60 beats a minute")
        assert page.value("tempo") == "70"


def test_on_another_day_the_plain_players_are_there(lab, page, pictures):
    """In JupyterLab, and in a page that was made of the notebook: neither has its widgets."""
    page.save()
    page.close()
    file = lab.server.folder / "heard.ipynb"
    with lab.open_notebook("heard", keeps=True) as day_two:
        expect(day_two.page.locator("audio:visible")).to_have_count(5)
        expect(day_two.page.get_by_text("Error displaying widget").first).to_be_hidden()
        assert all(seconds > 8 for seconds in day_two.audio_seconds())
        day_two.screenshot(pictures / "heard cells on another day.png")
    html, _ = HTMLExporter().from_notebook_node(nbformat.read(file, as_version=4))
    assert html.count("<audio ") == 5
    assert "widget-view" not in html
    assert json.loads(file.read_text(encoding="utf-8"))["metadata"].get("widgets") is None
    context = lab.browser.new_context(java_script_enabled=False)
    made = context.new_page()
    made.set_content(html)
    assert made.locator("audio:visible").count() == 5
    context.close()
