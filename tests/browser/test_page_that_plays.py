"""A page without a kernel that plays by itself, with the network off."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
from playwright.sync_api import Browser, Locator, Page

from theorykit.show.engraving import staff_svg
from theorykit.show.player import PageBand, player_policy
from theorykit.show.sound import render
from theorykit.views.explorer_view import explore
from theorykit.views.sounding import heard_take

TEMPO = 200
PLAIN = '<audio controls aria-label="plain"></audio>'
POLICY = "default-src 'none'; img-src data:; media-src data:; style-src 'unsafe-inline'"


def takes():
    return explore("Db").takes(TEMPO, 2.0)[::-1]  # the coloured one is on the staff


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with two players, the first one under its staff."""
    band, staff = PageBand(), staff_svg(explore("Db").staff)
    first, second = band.html(takes(), PLAIN), band.html(takes()[1:], PLAIN)
    page = (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>x</title>'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}; {player_policy()}">'
        f"<style>{band.style}</style></head><body><section>{staff}{first}</section>"
        f"<section>{second}</section>{band.tail()}</body></html>"
    )
    found = tmp_path_factory.mktemp("plays") / "page.html"
    found.write_text(page, encoding="utf-8")
    return found


@pytest.fixture
def page(browser: Browser, file: Path) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 390, "height": 800}, offline=True)
    opened = context.new_page()
    faults: list[str] = []
    asked: list[str] = []
    opened.on("pageerror", lambda wrong: faults.append(str(wrong)))
    opened.on("request", lambda request: asked.append(request.url))
    opened.goto(file.as_uri())
    opened.locator(".theorykit-player").nth(1).wait_for()
    yield opened
    context.close()
    assert faults == []
    assert [one for one in asked if not one.startswith(("file:", "data:", "blob:"))] == []


def said(page: Page, words: str, player: int = 0) -> None:
    """Wait until a player has said something."""
    place = page.locator(".theorykit-player").nth(player).get_by_role("status")
    place.filter(has_text=words).wait_for(state="attached")


def bars(page: Page) -> Locator:
    return page.locator(".theorykit-bar")


def marked(page: Page) -> list[bool]:
    return [one.get_attribute("aria-pressed") == "true" for one in bars(page).all()]


def test_it_plays_lights_the_staff_and_only_one_sounds(page, pictures):
    assert not page.locator("audio").first.is_visible()
    play = page.locator(".theorykit-play")
    play.first.click()
    page.locator("section:first-of-type .theorykit-sounds").first.wait_for(state="attached")
    page.get_by_role("button", name="slow").first.click()
    said(page, f"tempo {TEMPO * 0.6:.0f}")
    page.screenshot(path=pictures / "page that plays.png", full_page=True)
    play.nth(1).click()
    page.locator("section:nth-of-type(2) .theorykit-player[data-plays=yes]").wait_for()
    page.locator("section:first-of-type .theorykit-player[data-plays=no]").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_bars_of_the_staff_are_marked_with_the_pointer(page):
    assert bars(page).count() == 3
    bars(page).nth(1).click()
    said(page, "bar 2 goes round")
    assert marked(page) == [False, True, False]
    bars(page).nth(2).click(modifiers=["Shift"])
    said(page, "bars 2 to 3 go round")
    assert marked(page) == [False, True, True]
    first, second = (bars(page).nth(n).bounding_box() for n in (0, 1))
    page.mouse.move(first["x"] + first["width"] / 2, first["y"] + 5)
    page.mouse.down()
    page.mouse.move(second["x"] + second["width"] / 2, second["y"] + 5, steps=4)
    page.mouse.up()
    said(page, "bars 1 to 2 go round")
    assert page.get_by_role("checkbox", name="round and round").first.is_checked()


def test_bars_of_the_staff_are_marked_with_the_keyboard_and_go_round(page):
    bars(page).first.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    said(page, "bar 2 goes round")
    page.keyboard.press("Shift+ArrowRight")
    said(page, "bars 2 to 3 go round")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "bar 3"
    page.locator(".theorykit-play").first.click()
    where = page.locator(".theorykit-where").first
    for bar in (2, 3, 2):  # the first bar is not among them
        where.filter(has_text=f"bar {bar} of 3").wait_for()
    bars(page).nth(2).focus()
    page.keyboard.press("Escape")
    said(page, "no bar is marked")
    where.filter(has_text="bar 1 of 3").wait_for()
    assert marked(page) == [False] * 3


def test_the_list_of_bars_and_the_staff_say_the_same(page):
    page.locator("summary").first.click()
    page.get_by_label("from bar").first.select_option("3")
    assert marked(page) == [False, False, True]
    bars(page).nth(0).click()
    assert page.get_by_label("from bar").first.input_value() == "1"
    assert page.get_by_label("to bar").first.input_value() == "1"


def test_the_file_is_what_the_engine_plays_within_a_decibel(page):
    page.locator("summary").first.click()
    with page.expect_download() as download:
        page.get_by_role("button", name="save this sound").first.click()
    assert download.value.suggested_filename.endswith(f"tempo {TEMPO}.wav")
    wave, rate = soundfile.read(io.BytesIO(download.value.path().read_bytes()))
    played = heard_take(takes()[0], TEMPO, {})
    theirs = render(played).wave
    first = [int(np.flatnonzero(np.abs(one).max(axis=1) > 0.02)[0]) for one in (wave, theirs)]
    size = min(len(wave) - first[0], len(theirs) - first[1], round(played.seconds * rate))
    ours, theirs = wave[first[0] :][:size], theirs[first[1] :][:size]
    levels = [20 * np.log10(np.sqrt((one**2).mean())) for one in (ours, theirs)]
    assert abs(levels[0] - levels[1]) < 1
    assert np.abs(wave).max() <= 10 ** (-1 / 20) + 1e-4


def test_without_a_script_the_plain_player_is_there(browser, file):
    context = browser.new_context(java_script_enabled=False)
    opened = context.new_page()
    opened.goto(file.as_uri())
    assert opened.locator("audio").first.is_visible()
    context.close()
