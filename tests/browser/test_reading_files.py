"""Files read beside the page, in a browser: it answers meanwhile, and *stop reading* ends it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage

ENDLESS = """from time import sleep
import ipywidgets as ipw
from theorykit.widgets.controls import slider, watch, picture, put, guarded
from theorykit.widgets.reader_files import FileOpening

def read(name, content):
    while True:
        sleep(0.01)

opening = FileOpening("open", (".txt",), read)
tempo, said = slider("tempo", 120, 60, 240, 10), picture()
watch((tempo,), lambda _: guarded(said, lambda: put(opening.problem, f"tempo {tempo.value:g}")))
open("endless.txt", "w").close()
ipw.VBox([opening, tempo])"""
TUNE = """from pathlib import Path
from theorykit.widgets import tune_desk

Path("two.txt").write_text("title: Two Chairs\\nkey: F\\n\\n| Gm7 | C7 | F6 | % |")
tune_desk()"""


@pytest.fixture
def page(lab: Lab, request: pytest.FixtureRequest) -> Iterator[NotebookPage]:
    name = lab.write_notebook(f"reading_{request.param[0]}.ipynb", request.param[1])
    with lab.open_notebook(name, width=1400, height=2400) as opened:
        opened.run_all()
        yield opened


@pytest.mark.parametrize("page", [("endless", ENDLESS)], indirect=True, ids=["endless"])
def test_the_page_answers_while_a_file_is_read_and_stop_ends_it(page: NotebookPage):
    page.set_value("or its path", "endless.txt")
    page.wait_for_text("Reading 'endless.txt'.")
    page.set_value("tempo", 180)
    page.wait_for_text("tempo 180")
    page.page.get_by_role("button", name="stop reading", exact=True).click()
    page.wait_for_text("Stopped; nothing was changed.")


@pytest.mark.parametrize("page", [("tune", TUNE)], indirect=True, ids=["tune"])
def test_a_chart_that_was_read_beside_the_page_comes_onto_it(page: NotebookPage):
    page.set_value("or its path", "two.txt")
    page.wait_for_text("two.txt:")
    assert "| Gm7" in page.control("chart").locator("textarea").input_value()
    assert not page.page.get_by_role("button", name="stop reading", exact=True).is_visible()
