"""The rooms of the house, from the ground up, as the tests need them."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "theorykit"

# A file imports from its own room and from the rooms before it.
CORE = ("errors", "notes", "harmony", "tunes", "lines", "study", "views")
EDGE = ("show", "handout", "widgets", "pages", "site", "command", "server")
ROOMS = (*CORE, *EDGE, "__main__")

# What the rooms at the edge may bring in. In show/ it is one of these for each file.
LIBRARIES = {
    "show": {
        *("fsrs", "matplotlib", "mido", "music21", "platformdirs", "pretty_midi"),
        *("segno", "soundfile", "theorykit_browser", "typst", "verovio"),
    },
    "handout": {"joblib", "tqdm"},
    "widgets": {"IPython", "anywidget", "ipywidgets", "traitlets"},
    "pages": {"ipywidgets", "mistune", "pdoc"},
    "site": set(),
    "command": set(),
    "server": {"ipykernel", "ipywidgets", "jupyter_client", "jupyterhub", "traitlets"},
}
ARRAYS = "numpy"  # how sound and pictures travel between libraries; it counts as none

# Each of these libraries is imported by one module, behind which another may take its place.
DOORS = {
    "platformdirs": "theorykit.show.own_reader",
    "fsrs": "theorykit.show.review_dates",
    "segno": "theorykit.show.scan_code",
    "soundfile": "theorykit.show.sound.synthesizer",
    "theorykit_browser": "theorykit.show.in_browser",
    "typst": "theorykit.show.typesetting",
    "verovio": "theorykit.show.engraving.verovio_engine",
}
# What stands behind the door of sound; nobody else asks it for anything.
BEHIND = ("levels", "mixing", "soundfont", "voice")
SYNTHESIZER = frozenset(f"theorykit.show.sound.{name}" for name in BEHIND)
# What reads and writes files, sets pages, or paints for print: imported when it has work, never
# when a module is. It is what a start would wait for.
LATE = frozenset(("matplotlib", "music21", "tqdm", "typst"))
