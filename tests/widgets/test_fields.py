"""Fields and buttons by themselves."""

from __future__ import annotations

from threading import Timer
from types import SimpleNamespace

import ipywidgets as ipw
import pytest

import theorykit.widgets.controls as fields
from tests.proof import pages


@pytest.fixture
def in_a_kernel(monkeypatch):
    """Let the buttons take this for a notebook."""
    monkeypatch.setattr(fields, "get_ipython", lambda: SimpleNamespace(kernel=object()))


def test_a_press_waits_for_the_word_that_was_typed_before_it(in_a_kernel):
    text, seen = fields.area("words", "sing", 2), []
    press = fields.button("add", lambda _: seen.append(text.value))
    late = Timer(fields.ON_ITS_WAY / 3, lambda: setattr(text, "value", "sing first"))
    late.start()  # the field comes in through another thread, after the press
    press.click()
    late.join()
    assert seen == ["sing first"]


def test_outside_a_notebook_nothing_waits(monkeypatch):
    monkeypatch.setattr(fields, "sleep", lambda _: pytest.fail("a press that waits for nobody"))
    seen = []
    fields.button("add", seen.append).click()
    assert len(seen) == 1


@pytest.mark.parametrize("name", pages.MAKERS)
def test_every_field_of_a_page_shows_an_example(name):
    parts = [part for part, _ in pages.everything_in(pages.opened(name))]
    fields_of = [part for part in parts if isinstance(part, (ipw.Text, ipw.Textarea))]
    empty = [part.description for part in fields_of if not part.placeholder.strip("\u200b ")]
    assert empty == []
