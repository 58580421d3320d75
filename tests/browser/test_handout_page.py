"""A handout's web page in Chromium with the network off: nothing is asked for, all is there."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from sheets import ready

READERS = ("concert", "B♭", "E♭", "F", "bass clef", "guitar")


def wait(page: Page, condition: str) -> None:
    """Wait until a condition holds; the page's policy forbids the browser's own way to."""
    until = time.monotonic() + 20
    while not page.evaluate(condition):
        assert time.monotonic() < until, condition
        page.wait_for_timeout(50)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of one colour for all readers, made once."""
    folder = tmp_path_factory.mktemp("handout")
    editions = ["concert", "B flat", "E flat", "F", "bass clef", "guitar"]
    made = ready("one_colour").make(folder, editions, files="web page", progress=False)
    return made[0]


@pytest.fixture(scope="module")
def page(browser: Browser, file: Path) -> Iterator[tuple[Page, list[str], list[str]]]:
    """The page, what it asked for, and what the browser complained of."""
    asked: list[str] = []
    complaints: list[str] = []
    size = {"width": 1000, "height": 1400}
    with browser.new_context(offline=True, viewport=size) as context:
        opened = context.new_page()
        opened.on("request", lambda request: asked.append(request.url))
        opened.on("console", lambda message: complaints.append(message.text))
        opened.on("pageerror", lambda error: complaints.append(str(error)))
        opened.goto(file.as_uri())
        wait(opened, "[...document.querySelectorAll('audio')].every(one => one.readyState >= 1)")
        yield opened, asked, complaints


def test_no_request_leaves_the_page(page, file: Path):
    _, asked, complaints = page
    assert [url for url in asked if not url.startswith("data:")] == [file.as_uri()]
    assert complaints == []


def test_every_player_holds_sound(page):
    opened, _, _ = page
    seconds = opened.evaluate("[...document.querySelectorAll('audio')].map(one => one.duration)")
    assert len(seconds) == 5
    assert all(5 < one < 60 for one in seconds)
    assert opened.evaluate("[...document.querySelectorAll('audio')].every(one => one.paused)")


def test_a_player_plays_when_it_is_asked_to(page):
    opened, _, _ = page
    opened.evaluate("document.querySelector('audio').muted = true")
    opened.evaluate("document.querySelector('audio').play()")
    wait(opened, "document.querySelector('audio').currentTime > 0.2")
    opened.evaluate("document.querySelector('audio').pause()")


def test_each_reader_can_choose_their_pages(page, pictures: Path):
    opened, _, _ = page
    titles = {"concert": "Over G7 think E", "B♭": "Over A7 think F♯", "F": "Over D7 think B"}
    for name in READERS:
        opened.get_by_label(name, exact=True).check()
        shown = opened.locator("h1:visible")
        assert shown.count() == 1
        if name in titles:
            assert shown.inner_text() == titles[name]
        # a staff and a keyboard for the colour, and three empty staves
        assert opened.locator("svg[role=img]:visible").count() == 5
        slug = name.replace("♭", "-flat").replace(" ", "-")
        opened.screenshot(path=pictures / f"handout-{slug}.png")


def test_pictures_are_as_wide_as_the_page_allows_and_no_wider(page):
    opened, _, _ = page
    opened.get_by_label("concert", exact=True).check()
    for width in (1000, 400):
        opened.set_viewport_size({"width": width, "height": 900})
        assert opened.evaluate("document.documentElement.scrollWidth") <= width
        boxes = [one.bounding_box() for one in opened.locator("svg[role=img]:visible").all()]
        assert all(box is not None and box["width"] > 200 for box in boxes)
