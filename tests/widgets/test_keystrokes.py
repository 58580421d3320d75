"""Pages whose keys are their own; what a press then does is tried in a browser."""

from __future__ import annotations

import ipywidgets as ipw
import pytest

from theorykit.widgets import (
    explorer,
    identify_notes,
    line_desk,
    phrase_book,
    substitutions,
)
from theorykit.widgets.keystrokes import KEYS_STAY, keep_keys


def carriers(page: ipw.Box) -> list[ipw.Output]:
    """The outputs in a page."""
    return [child for child in page.children if isinstance(child, ipw.Output)]


@pytest.mark.parametrize("page", [explorer, identify_notes, substitutions, line_desk, phrase_book])
def test_a_page_carries_its_script_once_and_unseen(page):
    box = page()
    (carrier,) = carriers(box)
    assert carrier.layout.display == "none"
    (output,) = carrier.outputs
    assert KEYS_STAY in output["data"]["application/javascript"]
    assert KEYS_STAY in box._dom_classes


def test_what_was_in_a_page_stays_in_its_place():
    first, second = ipw.Button(), ipw.Button()
    box = ipw.VBox([first, second])
    keep_keys(box)
    assert box.children[:2] == (first, second)
