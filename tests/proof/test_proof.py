"""The proof in its short form. In full it is ``python -m tests.proof``."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from lab import find_chromium

from tests.proof.accounts import Account, report_text

ROOT = Path(__file__).resolve().parents[2]
SEED = 1

pytestmark = pytest.mark.proof


def good(found: Account) -> bool:
    """Print what came of a part; tell whether nothing failed and nothing was lost."""
    print(report_text([found]))
    return found.is_good and found.tried > 0


def test_hostile_input_is_read_or_refused_in_words():
    from tests.proof.inputs import READINGS, all_tried

    found = all_tried(4000, SEED)
    assert good(found)
    assert set(found.by) == set(READINGS)
    assert 0.2 < found.refused / found.tried < 0.95  # neither all good nor all bad


def test_killed_writers_lose_nothing():
    from tests.proof.kills import killed

    found = killed(60, SEED)
    assert good(found)
    assert found.figures["writes that were kept"] > 0


def test_two_and_four_writers_at_once_lose_nothing():
    from tests.proof.several_writers import written_at_once

    assert good(written_at_once(6, SEED))


def test_a_full_disk_is_told_and_nothing_is_lost():
    from tests.proof.full_disk import filled

    found = filled(3, SEED)
    assert good(found)
    assert found.refused > found.tried / 3


def test_every_page_is_walked_through_without_a_fault():
    from tests.proof.walks import walked

    assert good(walked(15, SEED))


def test_every_page_is_walked_through_in_a_browser():
    from tests.proof.browser_walks import browsed

    if find_chromium() is None and not os.environ.get("CI"):
        pytest.skip("no Chromium or Chrome here (install one, or name it in CHROMIUM)")
    found = browsed(5, SEED)
    assert good(found)
    assert found.figures.get("missed", 0) < found.tried / 3


def test_memory_stays_flat_in_a_process_of_its_own(tmp_path):
    """What other tests have left in this process would be weighed as well."""
    command = [sys.executable, "-m", "tests.proof", "memory", "--short", "--seed", str(SEED)]
    done = subprocess.run(
        [*command, "--report", str(tmp_path)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    assert "bytes a change" in (tmp_path / "report.txt").read_text(encoding="utf-8")


BROKEN = """
import ipywidgets
pressed = ipywidgets.Button(description="break")
pressed.on_click(lambda _: 1 / 0)
ipywidgets.VBox([pressed])
"""


def test_a_walk_in_a_browser_hears_what_breaks_in_the_kernel(tmp_path):
    from lab import Lab, chromium, server

    from tests.proof.browser_walks import browsed_in

    path = find_chromium()
    if path is None:
        pytest.skip("no Chromium or Chrome here")
    with server(tmp_path) as running, chromium(path) as browser:
        lab = Lab(running, browser)
        found = browsed_in(lab, 4, SEED, others={"broken": BROKEN})
        lab.close()
    assert any("ZeroDivisionError" in words for words in found.failures)
    assert found.tried == 4
