"""What a chapter has to load before its controls are on the screen."""

import subprocess
import sys

import pytest
from house import LATE, ROOT

SHOWN = """
from theorykit.widgets import explorer
box = explorer()
names = {name for take in box.player.takes for name in take["names"]}
sent = []
box.player.send = lambda message, buffers: sent.extend(buffers)
box.player._asked(box, {"ask": [*names], "form": "ogg"}, [])
assert sum(map(len, sent)) > 100_000  # all that a page asks for at once
assert "<svg" in box.staff.value and "<svg" in box.keyboard.value
"""
EVERY_DESK = """
import theorykit.widgets
for name in theorykit.widgets.__all__:
    getattr(theorykit.widgets, name)
"""
SAVED = """
from theorykit.lines.demonstration import demonstration
from theorykit.show.files import line_bytes
assert line_bytes(demonstration("C"), ".musicxml")
"""
MADE = {
    "music21": """
from pathlib import Path
from tempfile import mkdtemp
from theorykit.lines.demonstration import demonstration
from theorykit.show.files import line_bytes, open_line
line = demonstration("C")
file = Path(mkdtemp(), "line.mid")
file.write_bytes(line_bytes(line, ".mid"))
assert open_line(file, over=line.progression).line.notes
""",
    "typst": """
from theorykit.handout import Edition, Handout
from theorykit.handout.page import page_pdf
assert page_pdf(Handout("Warm-up"), (), Edition())
""",
}
LOADED = """
import sys
print(*{name.split(".")[0] for name in sys.modules})
"""
RESIDENT = """
from pathlib import Path
import resource
pages = int(Path("/proc/self/statm").read_text().split()[1])
print(pages * resource.getpagesize())
"""
MOST_MEMORY = 100_000_000  # bytes


def said_by(script: str) -> list[str]:
    """Run a script in a Python of its own; return the words that it prints."""
    run = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    return run.stdout.split()


@pytest.mark.parametrize("script", [SHOWN, EVERY_DESK, SAVED], ids=["shown", "every desk", "saved"])
def test_what_reads_files_sets_pages_or_paints_is_not_loaded(script: str):
    assert LATE.intersection(said_by(script + LOADED)) == set()


@pytest.mark.parametrize("library", MADE)
def test_it_is_loaded_when_it_has_work(library: str):
    assert library in said_by(MADE[library] + LOADED)


def test_no_desk_is_loaded_before_it_is_asked_for():
    assert set(said_by("import theorykit.widgets" + LOADED)).isdisjoint(("ipywidgets", "numpy"))


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory is read from /proc")
def test_the_explorer_with_its_players_needs_little_memory():
    (taken,) = said_by(SHOWN + RESIDENT)
    assert int(taken) <= MOST_MEMORY
