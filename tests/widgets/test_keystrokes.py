"""Pages whose keys are their own; what a press then does is tried in a browser."""

from __future__ import annotations

import ipywidgets as ipw
import pytest

from theorykit import widgets
from theorykit.widgets.controls import KEYS_STAY, keep_keys

OWN_FILES = ("handout_desk", "phrase_book")  # pages that keep a file of the reader's


def carriers(page: ipw.Box) -> list[ipw.Output]:
    """The outputs in a page."""
    return [child for child in page.children if isinstance(child, ipw.Output)]


@pytest.mark.parametrize("name", [name for name in widgets.__all__ if name.islower()])
def test_every_page_carries_its_script_once_and_unseen(name, tmp_path):
    wishes = {"path": tmp_path / "own"} if name in OWN_FILES else {}
    box = getattr(widgets, name)(**wishes)
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
