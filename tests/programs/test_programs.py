"""The recipes of the workbook: each runs by itself as a program, typed as strictly as can be."""

import json
import os
import re
import runpy
import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

import mido
import pytest
import soundfile
from house import ROOT
from schema import complaints

# What each prints among other things, and the files that it leaves. The music is by hand: common
# practice.
PROGRAMS = {
    "One colour in every key": (["G7    E     E G# B", "Db7   Bb    Bb D F"], []),
    "Notes that somebody played, named": (["Over Db7, Ab is the 5.", "not a chord: 'H'"], []),
    "A substitute, explained": (
        ["tritone substitute: Db7", "D♭7 stands in for G7"],
        ["clock.svg"],
    ),
    "A colour of one's own": (["['Ebb', 'Gb', 'Bb'] ('minor',)", "True"], ["hearth.toml"]),
    "A line, written and saved": (["F4 on beat 4"], ["line.musicxml", "line.mid", "line.png"]),
    "A chart, as the alto player reads it": (
        ["['Am7', 'D7', 'Gmaj7', 'G6']"],
        ["alto.pdf", "alto.musicxml"],
    ),
    "A chorus to practise with": (["notes over 8 bars"], ["chorus.ogg", "band.mp3"]),
    "The cadences of a tune, in columns": (
        ["long ii-V-I to F major, bars 1 to 3", "kind,key,length"],
        ["cadences.csv"],
    ),
    "Five questions at the console": (["4 of 5"], []),
    "A handout for Thursday": (
        ["['colour', 'colour']", "Two colours over C7.toml"],
        ["thursday/Two colours over C7.toml"],
    ),
    "To another music library and back": (["F4", "True", "E-- Bbmaj7"], []),
    "Into data frames": (["Gm7", "852"], []),
}
TAKEN = ROOT / "tests" / "programs" / "taken"  # what type checkers have to let pass
FENCED = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def recipes() -> dict[str, str]:
    """Each recipe as one program: its cells of code, and what stands fenced in its text."""
    book = json.loads((ROOT / "workbook" / "recipes.ipynb").read_text(encoding="utf-8"))
    found: dict[str, list[str]] = {}
    for cell in book["cells"]:
        source = "".join(cell["source"])
        if head := re.match(r"## (.+)", source):
            found[head[1]] = []
        if found:
            parts = [source] if cell["cell_type"] == "code" else FENCED.findall(source + "\n")
            list(found.values())[-1].extend(parts)
    return {title: "\n\n".join(parts) + "\n" for title, parts in found.items()}


WRITTEN = recipes()


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """The programs as files."""
    place: Path = tmp_path_factory.mktemp("recipes")
    for number, program in enumerate(WRITTEN.values()):
        (place / f"recipe_{number}.py").write_text(program, encoding="utf-8")
    return place


class Kept:
    """A folder in the place of one that is thrown away."""

    place = Path()

    def __enter__(self) -> str:
        return str(self.place)

    def __exit__(self, *_: object) -> None:
        pass


def test_every_recipe_is_tried_and_the_page_begins_with_all_of_them():
    assert list(WRITTEN) == list(PROGRAMS)
    book = json.loads((ROOT / "workbook" / "recipes.ipynb").read_text(encoding="utf-8"))
    listed = re.findall(r"^\d+\. \[(.+)\]\(#(.+)\)$", "".join(book["cells"][0]["source"]), re.M)
    assert listed == [(title, title.replace(" ", "-")) for title in WRITTEN]


@pytest.mark.parametrize("title", PROGRAMS)
def test_a_recipe_runs_by_itself_and_leaves_what_it_says(
    title, folder, tmp_path, monkeypatch, capsys
):
    monkeypatch.setattr(Kept, "place", tmp_path)
    monkeypatch.setattr(tempfile, "TemporaryDirectory", Kept)
    file = folder / f"recipe_{list(WRITTEN).index(title)}.py"
    runpy.run_path(str(file), run_name="__main__")
    said, left = capsys.readouterr().out, PROGRAMS[title][1]
    for words in PROGRAMS[title][0]:
        assert words in said
    for name in left:
        check(tmp_path / name)


def check(file: Path) -> None:
    """Read a file with what reads such files everywhere."""
    assert file.stat().st_size > 30
    if file.suffix == ".musicxml":
        assert complaints(file.read_text(encoding="utf-8")) == []
    elif file.suffix == ".mid":
        assert mido.MidiFile(file).length > 1
    elif file.suffix in (".ogg", ".mp3"):
        assert soundfile.info(str(file)).duration > 5


def test_lists_are_taken_where_tuples_are(capsys):
    runpy.run_path(str(TAKEN / "lists_taken.py"), run_name="__main__")
    said = capsys.readouterr().out.splitlines()
    assert "False" not in said
    assert said[6:9] == ["('mine',)", "(('la',), ('lo',))", "F F"]


def test_the_recipes_are_typed_as_strictly_as_can_be(folder):
    files = sorted(str(file) for place in (folder, TAKEN) for file in place.glob("*.py"))
    run = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", *files], cwd=ROOT, capture_output=True, text=True
    )
    assert run.returncode == 0, run.stdout


HAS_CHECKER = find_spec("basedpyright") is not None or "CI" in os.environ


@pytest.mark.skipif(not HAS_CHECKER, reason="basedpyright is not installed")
def test_another_checker_finds_nothing_either(folder):
    """basedpyright is pyright with its engine in the wheel: nothing is fetched when it runs."""
    command = [sys.executable, "-m", "basedpyright", "--pythonpath", sys.executable]
    run = subprocess.run(
        [*command, "--level", "error", str(folder), str(TAKEN)],
        cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout + run.stderr
    assert "0 errors" in run.stdout
