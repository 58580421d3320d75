"""A phrase is played into the microphone of the page: recorded, taken down, mended, kept.

Chromium plays a file into a microphone that is none. What is heard is decided by the file; how
early the microphone is opened is not, so that the take is recorded alone, its beat being found.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
import soundfile
from lab import Lab, NotebookPage, Server, chromium

from theorykit import Line, two_five_one
from theorykit.study.phrasebook import PhraseBook

RATE, TEMPO, LEAD = 48000, 120, 2.5  # seconds before the first note: the microphone opens meanwhile
OVER = two_five_one("F", "short")
LINE = Line.parse("8th G4 Bb4 D5 F5 E5 C5 Bb4 G4 | half A4 rest", OVER)
SECONDS = 6  # that are recorded: the phrase and the silence around it
ALONE = "alone, at this tempo"
PAGE = """from theorykit.widgets import play_in
play_in("F", form="short", book="played")"""


def tones(line: Line) -> np.ndarray:
    """A line as plain tones of six partials, with silence before and after."""
    wave = np.zeros(int(20 * RATE))
    for note in line.notes:
        first = LEAD + float(note.start) * 60 / TEMPO
        seconds = float(note.beats) * 60 / TEMPO - 0.02
        time = np.arange(int(seconds * RATE)) / RATE
        phase = 2 * np.pi * 440 * 2 ** ((note.pitch.midi - 69) / 12) * time
        tone = sum(np.sin(k * phase) / k**1.3 for k in range(1, 7))
        edge = np.minimum(1, np.minimum(time / 0.012, (seconds - time) / 0.02))
        wave[int(first * RATE) :][: len(time)] += 0.2 * edge * tone
    return wave


@pytest.fixture(scope="module")
def lab(chromium_path: str, lab_server: Server, tmp_path_factory) -> Iterator[Lab]:
    """JupyterLab, and a browser into whose microphone a file is played."""
    file = tmp_path_factory.mktemp("played") / "phrase.wav"
    soundfile.write(file, tones(LINE), RATE, subtype="PCM_16")
    flags = (
        *("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"),
        f"--use-file-for-fake-audio-capture={file}%noloop",
    )
    with chromium(chromium_path, *flags) as browser:
        opened = Lab(lab_server, browser)
        try:
            yield opened
        finally:
            opened.close()


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook(lab.write_notebook("played.ipynb", PAGE), height=1500) as opened:
        opened.run_all()
        opened.page.locator(".theorykit-player[data-ready]").first.wait_for()
        yield opened


def record(page: NotebookPage) -> None:
    """Record for some seconds, told by the sign, and wait until the take was listened to."""
    page.page.get_by_role("button", name="record", exact=True).click()
    page.page.wait_for_function(
        "least => (document.querySelector('.theorykit-sign.theorykit-on')?.textContent ?? '')"
        ".split(':')[1] >= least",
        arg=f"{SECONDS:02}",
    )
    page.page.get_by_role("button", name="stop recording").click()
    page.page.get_by_role("button", name="hear the recording").wait_for()
    page.page.locator(".theorykit-sign").filter(has_text="listening").wait_for(state="hidden")
    page.settle()


def press(page: NotebookPage, name: str) -> None:
    page.page.get_by_role("button", name=name, exact=True).first.click()
    page.settle()


def names(page: NotebookPage) -> list[str]:
    return [text.split(",")[0] for text in page.options("note")]


# How often the page has asked for the microphone.
COUNTED = """() => {
    const devices = navigator.mediaDevices, ask = devices.getUserMedia.bind(devices);
    window.asked = 0;
    devices.getUserMedia = wishes => { window.asked++; return ask(wishes); };
}"""
PHASE = "() => document.querySelector('.theorykit-recorder').dataset.phase"


def test_the_microphone_is_asked_for_on_the_button_and_a_sign_stays_while_it_records(page):
    page.set_value("tempo", 240)
    page.page.evaluate(COUNTED)
    assert page.page.evaluate(PHASE) == "rest"
    assert page.page.locator(".theorykit-sign.theorykit-on").count() == 0
    page.page.get_by_role("button", name="record", exact=True).click()
    page.page.locator(".theorykit-sign.theorykit-on").filter(has_text="recording, 0:01").wait_for()
    assert page.page.evaluate("() => window.asked") == 1
    page.page.wait_for_function(f"() => ({PHASE})() === 'rest'")  # it ends with the band
    page.page.get_by_role("button", name="hear the recording").wait_for()
    page.page.locator(".theorykit-sign").filter(has_text="listening").wait_for(state="hidden")
    assert page.page.locator(".theorykit-sign.theorykit-on").count() == 0
    assert "No start was given" not in page.output(0).text_content()


def test_a_phrase_that_is_played_ends_in_the_book(page, lab_server, pictures):
    page.set_value("play", ALONE)
    page.set_value("tempo", TEMPO)
    wanted = "G4 B♭4 D5 F5 E5 C5 B♭4 G4 A4".split()
    for _ in range(3):  # where the machine stutters, so does the microphone: one plays again
        record(page)
        if names(page) == wanted:
            break
    assert names(page) == wanted
    page.screenshot(pictures / "played_in_light.png")
    press(page, "keep it in the book")
    page.wait_for_text("Kept")
    book = PhraseBook(lab_server.folder / "played.sqlite")
    kept = book.phrase(book.names[0]).line
    assert kept.text == LINE.text


def test_a_note_is_chosen_and_mended_on_the_staff_by_key(page):
    before = names(page)
    page.page.locator(".theorykit-note").nth(1).click()
    page.settle()
    assert page.value("note").startswith("B♭4")
    page.page.keyboard.press("ArrowRight")
    page.page.keyboard.press("ArrowUp")
    page.page.locator(".theorykit-note[aria-pressed=true][aria-label^='E♭5']").wait_for()
    page.settle()
    assert names(page) == [*before[:2], "E♭5", *before[3:]]
    page.page.keyboard.press("u")  # the focus has come back with the staff
    page.page.locator(".theorykit-note[aria-label^='D5']").first.wait_for()
    page.settle()
    assert names(page) == before


def test_the_recording_is_heard_beside_the_line_and_thrown_away(page, pictures):
    page.page.get_by_role("button", name="recording and line together").click()
    playing = page.page.locator(".theorykit-player[data-plays=yes]")
    playing.wait_for()
    page.page.get_by_role("button", name="stop", exact=True).last.wait_for()
    playing.wait_for(state="detached")  # it ends with the band
    page.page.get_by_role("button", name="hear the recording").wait_for()
    page.set_theme("dark")
    page.screenshot(pictures / "played_in_dark.png")
    page.page.set_viewport_size({"width": 820, "height": 1900})
    page.settle()
    page.screenshot(pictures / "played_in_820.png")
    page.set_theme("light")
    press(page, "throw it away")
    page.page.get_by_role("button", name="hear the recording").wait_for(state="hidden")
    assert names(page)  # the line stays


# A keyboard that is none: what the test strikes is sent as the browser would.
KEYBOARD = """() => {
    const input = {onmidimessage: null, close: async () => { window.closed_keys = true; }};
    navigator.requestMIDIAccess = async () => ({inputs: new Map([["one", input]])});
    window.strike = (...data) =>
        input.onmidimessage?.({data: Uint8Array.from(data), timeStamp: performance.now()});
}"""


@pytest.mark.sweep
def test_the_keys_of_a_midi_keyboard_are_taken_down_beside_the_band(page):
    page.set_value("play", "over the band")
    page.set_value("tempo", 80)
    page.page.evaluate(KEYBOARD)
    page.page.get_by_role("button", name="play a MIDI keyboard").click()
    page.page.locator(".theorykit-where").filter(has_text="bar 1").wait_for()
    for midi in (67, 70, 74):
        page.page.evaluate("midi => window.strike(0x90, midi, 80)", midi)
        page.page.wait_for_timeout(240)  # how long the key is down
        page.page.evaluate("midi => window.strike(0x80, midi, 0)", midi)
    page.page.wait_for_function(f"() => ({PHASE})() === 'rest'")
    page.page.locator(".theorykit-sign").filter(has_text="listening").wait_for(state="hidden")
    page.settle()
    assert names(page) == ["G4", "B♭4", "D5"]
    assert page.page.evaluate("window.closed_keys")  # another program can have it


@pytest.mark.sweep
def test_the_delay_is_asked_for_by_clicks_and_what_is_no_claps_is_told(page):
    """What the microphone hears here is half a phrase and silence."""
    page.page.get_by_role("button", name="measure the delay").click()
    page.page.locator(".theorykit-sign.theorykit-on").filter(has_text="your claps").wait_for()
    page.page.locator(".theorykit-words").filter(has_text="claps agree").wait_for()
    assert page.page.evaluate(PHASE) == "rest"


def test_where_there_is_no_microphone_the_page_says_what_to_do_instead(page):
    page.page.evaluate("() => Object.defineProperty(navigator, 'mediaDevices', {value: undefined})")
    page.page.get_by_role("button", name="record", exact=True).click()
    page.page.locator(".theorykit-words").filter(has_text="can be opened instead").wait_for()
    assert page.page.evaluate(PHASE) == "rest"


def test_where_python_was_restarted_the_page_says_so_and_a_take_is_kept_as_a_file(lab, pictures):
    with lab.open_notebook(lab.write_notebook("restarted.ipynb", PAGE), height=1500) as again:
        again.run_all()
        again.page.locator(".theorykit-player[data-ready]").first.wait_for()
        again.set_value("play", ALONE)
        again.page.evaluate(COUNTED)
        record = again.page.get_by_role("button", name="record", exact=True)
        record.click()
        again.page.locator(".theorykit-sign.theorykit-on").filter(has_text="0:02").wait_for()
        again.restart()
        again.page.get_by_role("button", name="stop recording").click()
        words = again.page.locator(".theorykit-words")
        words.filter(has_text="Your take is still in this page").wait_for()
        again.screenshot(pictures / "restarted.png")
        with again.page.expect_download() as kept:
            again.page.get_by_role("button", name="keep the take as a file").click()
        assert kept.value.suggested_filename == "take.wav"
        assert soundfile.info(kept.value.path()).duration > 2
        record.click()
        words.filter(has_text="then record").wait_for()
        assert again.page.evaluate(PHASE) == "rest"
        assert again.page.evaluate("() => window.asked") == 1  # not for a take that would be lost
        again.run_all()
        again.page.locator(".theorykit-player[data-ready]").first.wait_for()
        record.click()
        again.page.locator(".theorykit-sign.theorykit-on").filter(has_text="0:01").wait_for()
