"""The published edition in a browser, opened from the disk with the network off."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

_SECONDS = """async () => Promise.all([...document.querySelectorAll('audio')].map(
    player => new Promise(resolve => {
        const answer = () => resolve(player.duration);
        if (Number.isFinite(player.duration)) return answer();
        player.addEventListener('loadedmetadata', answer, {once: true});
        player.addEventListener('error', () => resolve(-1), {once: true});
        player.load();
    })))"""


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that cannot reach the network."""
    context = browser.new_context(viewport={"width": 820, "height": 1000}, offline=True)
    yield context.new_page()
    context.close()


def test_a_chapter_is_read_heard_and_left_with_the_network_off(
    page: Page, small_edition: Path, pictures: Path
) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto((small_edition / "03_flat_nine.html").as_uri())
    assert page.title().startswith("3. What does one lowered note")
    seconds = page.evaluate(_SECONDS)
    assert len(seconds) >= 8
    assert all(one > 1 for one in seconds)
    assert page.evaluate("document.documentElement.scrollWidth") <= 820
    assert not [url for url in asked if not url.startswith(("file:", "data:"))]
    page.screenshot(path=pictures / "published_chapter.png", full_page=True)
    page.get_by_role("link", name="Next: Which of the triads").first.click()
    page.wait_for_url("**/04_triads_above.html")
    page.get_by_role("link", name="Contents").first.click()
    page.wait_for_url("**/index.html")


def test_a_question_hides_its_answer_and_the_keyboard_opens_it(
    page: Page, small_edition: Path
) -> None:
    page.goto((small_edition / "03_flat_nine.html").as_uri())
    fold = page.locator("details", has=page.get_by_text("The answer", exact=True)).first
    words = fold.locator("p").first
    assert not words.is_visible()
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    words.wait_for(state="visible")
    assert words.inner_text().strip().endswith(".")


def test_the_first_tab_leads_to_the_text(page: Page, small_edition: Path) -> None:
    page.goto((small_edition / "03_flat_nine.html").as_uri())
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.wait_for_function("document.activeElement.id === 'main'")
