"""The first chapter in JupyterLab: the explorer answers, and its players hold sound."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage
from playwright.sync_api import Locator
from sweeps import swept

CASES = (
    ("C major", "♭9 13", "Over G7 think E major triad"),
    ("D♭ major", "altered", "Over A♭7 think A melodic minor scale"),
    ("F♯ major", "half-whole diminished", "Over C♯7 think D whole-half diminished scale"),
    ("B♭ minor", "♭9 ♭13", "Over F7 think F♯ minor triad"),
)


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook("01_motion_over_the_five") as opened:
        opened.run_all()
        yield opened


def explorer_of(page: NotebookPage) -> Locator:
    """The output that holds the explorer; the questions at the end of the chapter are another."""
    return page.page.locator(".jp-OutputArea-output:has(.widget-dropdown)").filter(
        has_text="colour over V"
    )


def said(page: NotebookPage) -> tuple[str, str]:
    """What the two pictures of the explorer say to a screen reader."""
    found = explorer_of(page).locator("svg[role=img]")
    return tuple(found.nth(i).get_attribute("aria-label") or "" for i in range(2))  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("key", "colour", "sentence"), swept(CASES, lambda case: case[0] in ("D♭ major", "B♭ minor"))
)
def test_key_and_colour_change_sentence_staff_and_keyboard(page, pictures, key, colour, sentence):
    page.set_value("key", key)
    page.set_value("colour over V", colour)
    page.wait_for_text(sentence)
    staff, keyboard = said(page)
    assert f"in {key}" in staff
    assert sentence.split()[1] in staff
    assert sentence.split()[1] in keyboard
    assert page.page.locator("[role=alert]").count() == 0
    box = explorer_of(page)
    for theme in ("light", "dark"):
        page.set_theme(theme)
        box.scroll_into_view_if_needed()
        shot = page.screenshot(pictures / f"explorer {key} {theme}.png", box)
        assert shot.stat().st_size > 20_000
    page.set_theme("light")


def test_the_player_has_both_takes_and_as_many_bars_as_the_form(page):
    page.set_value("key", "C major")
    page.set_value("colour over V", "♭9 13")
    page.set_value("form", "long: a bar each")
    player = explorer_of(page).locator(".theorykit-player")
    assert player.locator("select").first.locator("option").all_text_contents() == [
        "plain G7",
        "coloured G7: ♭9 13",
    ]
    assert player.locator(".theorykit-where").text_content() == "bar 1 of 3"
    page.set_value("form", "short: two beats each")
    player.get_by_text("bar 1 of 2").wait_for()


def test_nothing_plays_by_itself(page):
    playing = "() => [...document.querySelectorAll('audio')].filter(a => !a.paused).length"
    assert page.page.evaluate(playing) == 0


def test_every_control_is_reached_with_the_tab_key(page):
    page.control("key").locator("select").focus()
    reached = set()
    for _ in range(14):
        reached.add(
            page.page.evaluate(
                "() => document.activeElement.closest('.jupyter-widgets.widget-inline-hbox')"
                "?.querySelector('.widget-label')?.textContent.trim() ?? ''"
            )
        )
        page.page.keyboard.press("Tab")
    wanted = {"key", "colour over V", "form", "think of it as", "spelling", "written for"}
    assert wanted | {"tempo", "swing", "melody sound"} <= reached


def cells(page: NotebookPage) -> list[str]:
    """The kinds of the cells of the notebook, in order."""
    js = "() => window.jupyterapp.shell.currentWidget.content.widgets.map(cell => cell.model.type)"
    return page.page.evaluate(js)


def test_keys_pressed_in_a_list_change_the_list_and_not_the_notebook(page):
    page.set_value("key", "C major")
    before = cells(page)
    control = page.control("key").locator("select")
    control.focus()
    for key, chosen in (("ArrowDown", "G major"), ("ArrowUp", "C major"), ("b", "B major")):
        page.page.keyboard.press(key)
        page.settle()
        assert page.value("key").replace("\u00a0", " ") == chosen
    for key in ("m", "x", "y", "ArrowLeft"):  # to the notebook: as text, cut, as code, fold
        page.page.keyboard.press(key)
    page.settle()
    assert control.evaluate("list => list === document.activeElement")
    assert cells(page) == before
