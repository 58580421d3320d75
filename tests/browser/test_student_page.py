"""The students' page in Chromium with the network off: three screens, light and dark, by keyboard.

What WCAG 2.2 asks at levels A and AA is looked for by axe-core, as far as a program can see it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from sweeps import swept

from theorykit.handout import Handout
from theorykit.handout.blocks import ColourBlock, TuneBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.blocks.substitution_block import SubstitutionBlock
from theorykit.handout.files.jobs import PageJob, SoundJob
from theorykit.handout.page import Article, web_page

SCREENS = (390, 820, 1280)
AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
TUNE = (
    "title: Wet Gloves\nkey: Db\ntempo: 240\n\n[Bridge]\n| Ebm7 | Ab7 | Dbmaj7 | % |\n"
    "| Gbmaj7 | Ebm7 Ab7 | Dbmaj7 | % |\n"
)
TUNE_AT = 2  # its place among the blocks
SHEET = Handout(
    "Over G7 think E",
    note="Play the shape over G7.",
    tempo=240,
    web_address="https://example.org/thursday/",
    blocks=(
        ColourBlock(colour="b9 13", form="split", show=("notes", "staff", "keyboard")),
        SubstitutionBlock(substitute="side step", key="Eb"),
        TuneBlock(chart=TUNE, treatment="proposed"),
        PlanBlock(steps=(Step(minutes=5, what="Sing the roots."),), days=7),
        QuestionBlock(questions=(Question(question="Which note bends G7?", answer="The Ab."),)),
    ),
)
# The chord symbols of staves and grids that are seen, with the height of their letters in pixels.
CHORDS = """() => [...document.querySelectorAll('.picture svg text')]
  .filter(text => text.getClientRects().length)
  .filter(text => text.closest('.harm')
    || /^[A-G][♭♯]?(m7|maj7|13♭9|7)/.test(text.textContent) || / with /.test(text.textContent))
  .map(text => [
    text.textContent, parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a,
  ])
"""
# What is printed at the left of the sheet's edge, where a printer cuts it off.
CUT = """() => [...document.querySelectorAll('main *')]
  .filter(one => one.getClientRects().length && one.getBoundingClientRect().left < 0)
  .map(one => one.outerHTML.slice(0, 80))
"""


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page for three readers, made once; only its tune sounds, which is soon made."""
    articles: dict[str, Article] = {}
    for name in ("concert", "B flat", "bass clef"):
        job = PageJob(SHEET, SHEET.blocks, name, "normal", {}, articles=("student",))
        articles[name] = job.run().articles[name, "student"]
    sound = SoundJob(SHEET.blocks[TUNE_AT], TUNE_AT, ("a", "b"), 240, "flute", "ogg", False, False)
    place = tmp_path_factory.mktemp("week") / SHEET.web_file("student")
    place.write_text(web_page(SHEET, articles, sound.run().heard, "student"), encoding="utf-8")
    return place


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """An empty page of a device of its own, that no network reaches."""
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("scheme", swept(["light", "dark"], "light".__eq__))
def test_nothing_is_cut_and_no_rule_is_broken_on_any_screen(page, file, pictures, scheme):
    said: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.append(request.url))
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{file.as_uri()}#B-flat")
    expect(page.locator(".theorykit-player").first).to_be_visible()
    for width in SCREENS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        found = page.evaluate(CHORDS)
        assert len(found) >= 12
        assert [one for one in found if one[1] < 16] == []
        page.screenshot(path=pictures / f"students page {scheme} {width}.png", full_page=True)
        if width != SCREENS[1]:
            broken = Axe().run(page, options={"runOnly": {"type": "tag", "values": AA}})
            assert broken.violations_count == 0, broken.generate_report()
    assert said == []
    assert {url.partition(":")[0] for url in asked} <= {"file", "data"}
    assert [url for url in asked if url.startswith("file")] == [file.as_uri()]


def test_on_a_narrow_phone_only_pictures_are_moved_sideways(page, file):
    """Text goes round at 320 pixels: WCAG 2.2, 1.4.10; 360 is a common width of phones."""
    page.goto(f"{file.as_uri()}#B-flat")
    player = page.locator(".theorykit-player").first
    player.get_by_text("bars, parts, save").click()
    for width in (320, 360):
        page.set_viewport_size({"width": width, "height": 640})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        play = player.get_by_role("button", name="play").bounding_box()
        assert play is not None
        assert play["height"] >= 44  # as the buttons beside it


def test_it_opens_for_the_reader_of_its_address_and_remembers(page, file):
    page.goto(file.as_uri())
    expect(page.locator("h1:visible")).to_have_text("Over G7 think E")
    page.goto(f"{file.as_uri()}#B-flat")
    expect(page.locator("h1:visible")).to_have_text("Over A7 think F♯")
    page.goto("about:blank")
    page.goto(file.as_uri())  # a bookmark without the end of the address
    expect(page.get_by_label("B♭", exact=True)).to_be_checked()
    page.get_by_label("bass clef").check()
    assert page.url.endswith("#bass-clef")
    page.reload()
    expect(page.get_by_label("bass clef")).to_be_checked()
    page.goto("about:blank")
    page.goto(f"{file.as_uri()}#kazoo")  # nobody here reads that
    expect(page.get_by_label("bass clef")).to_be_checked()
    page.goto("about:blank")
    page.goto(f"{file.as_uri()}#100%")  # no code that can be read: the script goes on
    expect(page.get_by_label("bass clef")).to_be_checked()
    expect(page.locator(".kept:visible")).to_have_count(1)


def test_ticks_stay_on_the_device_and_answers_open_by_keyboard(page, file):
    page.goto(f"{file.as_uri()}#concert")
    box = page.get_by_label("day 3: Sing the roots.").and_(page.locator(":visible"))
    box.focus()
    page.keyboard.press("Space")
    expect(box).to_be_checked()
    size = box.bounding_box()
    assert size is not None
    assert min(size["width"], size["height"]) >= 24  # WCAG 2.2, 2.5.8
    page.reload()
    expect(box).to_be_checked()
    page.get_by_label("B♭", exact=True).check()
    expect(box).to_be_checked()  # one plan, whichever page is read
    expect(page.get_by_text("The B♭.", exact=True)).to_be_hidden()
    fold = page.locator("summary:visible").filter(has_text="Answer to question 1").first
    fold.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("The B♭.", exact=True)).to_be_visible()


def test_it_plays_slowly_round_and_round_without_the_line(page, file):
    page.goto(f"{file.as_uri()}#concert")
    player = page.locator(".theorykit-player").first
    player.get_by_role("button", name="slow").click()
    player.get_by_label("round and round").check()
    player.get_by_text("bars, parts, save").click()
    part = player.locator(".theorykit-list").filter(has_text=re.compile("^line"))
    part.locator("select").select_option("off")
    player.get_by_role("button", name="play").click()
    expect(player).to_have_attribute("data-plays", "yes", timeout=30_000)
    expect(player.locator(".theorykit-where")).to_have_text("count-in")
    player.get_by_role("button", name="stop").click()
    expect(player).to_have_attribute("data-plays", "no")
    assert page.locator("audio:visible").count() == 0


def test_the_bars_of_a_chorus_are_marked_and_lit_on_whichever_lines_are_seen(page, file):
    """The staff of eight bars is cut into lines; another reader or width shows another one."""
    page.goto(f"{file.as_uri()}#concert")
    bars = page.locator(".theorykit-bar:visible")
    expect(bars).to_have_count(8)
    assert bars.evaluate_all("all => new Set(all.map(one => one.parentElement)).size") > 1
    page.get_by_label("B♭", exact=True).check()
    expect(bars).to_have_count(8)
    page.set_viewport_size({"width": 1280, "height": 900})
    expect(bars).to_have_count(8)
    page.set_viewport_size({"width": 390, "height": 844})
    expect(bars).to_have_count(8)
    bars.first.focus()
    for _ in range(2):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(bars.nth(2)).to_have_attribute("aria-pressed", "true")
    staff, button = (
        page.locator("section:has(.theorykit-player) .narrow:visible g.measure")
        .nth(2)
        .bounding_box(),
        bars.nth(2).bounding_box(),
    )
    assert staff is not None
    assert button is not None
    assert staff["y"] - 40 < button["y"] < staff["y"] + staff["height"]  # it lies on its bar
    page.locator(".theorykit-play").click()
    page.locator(".for-B-flat .theorykit-sounds:visible").first.wait_for(timeout=30_000)


# How far what is lit stands within what is seen, at the top and at its foot, and above the player.
IN_SIGHT = """() => {
  const lit = [...document.querySelectorAll('svg .theorykit-sounds[data-note]')]
    .find(one => one.getClientRects().length);
  if (!lit) return null;
  const box = lit.getBoundingClientRect();
  const player = document.querySelector('.theorykit-player').getBoundingClientRect();
  return box.top >= 0 && box.bottom <= player.top + 1 && player.bottom <= innerHeight + 1;
}"""


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_the_page_goes_along_with_what_plays_until_the_reader_moves_it(
    page, file, pictures, motion
):
    """Under the lines of a chorus stands the player; nothing that was lit could be seen there."""
    page.emulate_media(reduced_motion=motion)
    page.set_viewport_size({"width": 390, "height": 640})
    page.goto(f"{file.as_uri()}#concert")
    play = page.locator(".theorykit-play").first
    play.scroll_into_view_if_needed()
    page.evaluate("scrollBy(0, 150)")
    before = page.evaluate("scrollY")
    play.click()
    page.wait_for_function(f"() => ({IN_SIGHT})() === true", timeout=60_000)
    assert page.evaluate("scrollY") < before
    page.screenshot(path=pictures / f"students page goes along {motion}.png")
    page.mouse.move(195, 100)
    above = page.evaluate("scrollY")
    for _ in range(8):  # the first turn may only end a glide
        page.mouse.wheel(0, 400)
        page.wait_for_timeout(100)
    page.wait_for_function(f"() => scrollY > {above} + 1000")
    page.wait_for_timeout(500)  # the wheel has come to rest
    there = page.evaluate("scrollY")
    page.wait_for_function(
        "() => /bar [4-8]/.test(document.querySelector('.theorykit-where').textContent)"
    )
    assert abs(page.evaluate("scrollY") - there) < 8


def test_the_tempo_is_as_it_was_left(page, file):
    page.goto(f"{file.as_uri()}#concert")
    player = page.locator(".theorykit-player").first
    player.get_by_role("button", name="slow").click()
    expect(player.locator(".theorykit-beats")).to_have_text("144 beats a minute")
    page.reload()
    expect(player.locator(".theorykit-beats")).to_have_text("144 beats a minute")
    expect(player.get_by_role("button", name="slow")).to_have_attribute("aria-pressed", "true")
    player.get_by_role("button", name="full").click()
    page.reload()
    expect(player.locator(".theorykit-beats")).to_have_text("240 beats a minute")


def test_without_a_script_there_are_plain_players_and_buttons(browser: Browser, file):
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto(file.as_uri())
    page.get_by_label("B♭", exact=True).check()
    expect(page.locator("h1:visible")).to_have_text("Over A7 think F♯")
    expect(page.locator("audio").first).to_be_visible()
    context.close()


def test_on_paper_there_is_what_is_read_and_nothing_to_press(page, file, pictures):
    page.goto(f"{file.as_uri()}#B-flat")
    expect(page.locator(".theorykit-player").first).to_be_visible()
    page.set_viewport_size({"width": 720, "height": 1000})
    page.emulate_media(media="print")
    nowhere = ("fieldset", ".theorykit-player", ".told", ".sounding", ".kept", ".narrow", "audio")
    for name in nowhere:
        assert page.locator(f"{name}:visible").count() == 0, name
    assert page.evaluate(CUT) == []
    assert page.locator(".picture:visible").count() >= 4
    page.screenshot(path=pictures / "students page on paper.png", full_page=True)
