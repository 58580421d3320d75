"""The harness itself: a small notebook is driven the way chapters are."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from lab import Lab, NotebookPage
from PIL import Image

WIDGETS = """
import ipywidgets as w
chord = w.Dropdown(options=["Dm7", "G7", "Cmaj7"], description="Chord")
tempo = w.IntSlider(value=120, min=40, max=300, description="Tempo")
swing = w.ToggleButtons(options=["straight", "swung"], description="Eighths")
loop = w.Checkbox(description="Again")
part = w.RadioButtons(options=["line", "bass"], description="Part")
typed = w.Text(description="Notes", continuous_update=False)
controls = [chord, tempo, swing, loop, part, typed]
"""
ANSWER = """
said = w.HTML()
def say(_):
    said.value = "<b>" + " ".join(str(c.value) for c in controls) + "</b>"
for c in controls: c.observe(say, "value")
say(None)
w.VBox([*controls, said])
"""
SOUND = """
import io, wave
def tone(seconds):
    out = io.BytesIO()
    with wave.open(out, "wb") as f:
        f.setnchannels(1), f.setsampwidth(2), f.setframerate(8000)
        f.writeframes(bytes(2 * int(8000 * seconds)))
    return out.getvalue()
w.VBox([w.Audio(value=tone(1.5), format="wav", autoplay=False, loop=False)])
"""
PLAYER = """
import base64
from IPython.display import HTML
HTML('<audio controls preload="none" src="data:audio/wav;base64,'
     + base64.b64encode(tone(0.75)).decode() + '"></audio>')
"""


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    lab.write_notebook("harness.ipynb", WIDGETS, ANSWER, SOUND, PLAYER)
    with lab.open_notebook("harness") as opened:
        opened.run_all()
        yield opened


def test_each_kind_of_control_is_found_by_its_label_set_and_read(page: NotebookPage):
    wanted = {
        "Chord": "G7",
        "Tempo": 200,
        "Eighths": "swung",
        "Again": True,
        "Part": "bass",
        "Notes": "E G# B",
    }
    assert set(wanted) <= set(page.labels())
    for label, value in wanted.items():
        page.set_value(label, value)
        assert page.value(label).lower() == str(value).lower()
    page.wait_for_text("G7 200 swung True bass E G# B")


def test_what_a_control_offers_is_read_in_order(page: NotebookPage):
    assert page.options("Chord") == ["Dm7", "G7", "Cmaj7"]
    assert page.options("Eighths") == ["straight", "swung"]
    assert page.options("Part") == ["line", "bass"]


def test_the_time_from_a_choice_to_its_answer_is_measured(page: NotebookPage):
    for chord in ("Dm7", "Cmaj7"):
        assert page.time_choice("Chord", chord) > 0
        page.wait_for_text(chord)
    with pytest.raises(Exception, match="no option"):
        page.time_choice("Chord", "H7")


def test_the_length_of_every_player_is_read(page: NotebookPage):
    assert [round(seconds, 2) for seconds in page.audio_seconds()] == [1.5, 0.75]


@pytest.mark.proof
def test_a_player_without_sound_is_told_from_one_with_sound(lab: Lab):
    lab.write_notebook("mute.ipynb", 'from IPython.display import HTML\nHTML("<audio controls>")')
    with lab.open_notebook("mute") as page:
        page.run_all()
        assert len(page.audio_seconds()) == 1
        assert math.isnan(page.audio_seconds()[0])


@pytest.mark.parametrize(("theme", "darkest", "lightest"), [("light", 200, 255), ("dark", 0, 60)])
def test_the_theme_changes_what_the_page_looks_like(
    page: NotebookPage, pictures: Path, theme: str, darkest: int, lightest: int
):
    page.set_theme(theme)
    whole = page.screenshot(pictures / f"harness_{theme}.png")
    part = page.screenshot(pictures / f"harness_{theme}_widgets.png", page.output(1))
    with Image.open(whole) as picture:
        assert picture.size == (1280, 1000)
    with Image.open(part) as picture:
        shades = picture.convert("L").histogram()
        commonest = shades.index(max(shades))
    assert darkest <= commonest <= lightest


def test_a_cell_that_fails_is_reported_with_its_words(lab: Lab):
    lab.write_notebook("broken.ipynb", "1 + 1", "raise ValueError('the bar is not full')")
    with (
        lab.open_notebook("broken") as page,
        pytest.raises(AssertionError, match="cell 1: ValueError: the bar is not full"),
    ):
        page.run_all()


@pytest.mark.proof
def test_a_cell_that_does_not_end_is_reported(lab: Lab):
    lab.write_notebook("slow.ipynb", "import time; time.sleep(30)")
    with (
        lab.open_notebook("slow") as page,
        pytest.raises(AssertionError, match="still run after 1 s"),
    ):
        page.run_all(timeout=1)


def test_the_workbook_in_the_repository_is_not_the_one_that_is_opened(lab: Lab):
    root = Path(__file__).resolve().parents[2]
    assert root not in lab.server.folder.parents
    assert {file.name for file in (root / "workbook").glob("*.ipynb")} <= {
        file.name for file in lab.server.folder.glob("*.ipynb")
    }
