"""Small programs of a musician who programs, written from the README and ``help()`` alone."""

import os
import runpy
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import mido
import pytest
import soundfile
from house import ROOT
from schema import complaints

FOLDER = ROOT / "tests" / "programs" / "written"
TAKEN = ROOT / "tests" / "programs" / "taken"  # what type checkers have to let pass

# What each prints among other things, and the files that it leaves. The music is by hand: common
# practice.
PROGRAMS = {
    "cadences_as_columns": (["long ii-V-I to F major, bars 1 to 3"], ["cadences.csv"]),
    "colour_in_all_keys": (["G7    E     E G# B", "Db7   Bb    Bb D F"], []),
    "drill_at_the_console": (["4 of 5"], []),
    "handout_by_program": (
        ["['colour', 'colour']", "Two colours over C7.toml"],
        ["thursday/Two colours over C7.toml"],
    ),
    "line_written_and_saved": (
        ["2 bars in F major, chords Gm7, C7, Fmaj7", "Player: phrase, Fm7 Bb7 | Ebmaj7"],
        ["line.musicxml", "line.mid", "line.png"],
    ),
    "notes_identified": (["Over Db7, Ab is the 5.", "not a chord: 'H'"], []),
    "own_colour": (["['Ebb', 'Gb', 'Bb'] ('minor',)", "True"], ["hearth.toml"]),
    "page_transposed": (["['Am7', 'D7', 'Gmaj7', 'G6']"], ["alto.pdf", "alto.musicxml"]),
    "sound_file": (["notes over 8 bars"], ["chorus.ogg", "band.mp3"]),
    "substitute_explained": (["tritone substitute: Db7", "Players: original"], ["clock.svg"]),
    "with_music21": (["F4", "True", "E-- Bbmaj7"], []),
    "with_pandas": (["Gm7", "852"], []),
}


def test_every_program_is_tried():
    assert sorted(file.stem for file in FOLDER.glob("*.py")) == sorted(PROGRAMS)


@pytest.mark.parametrize("name", PROGRAMS)
def test_a_program_runs_and_leaves_what_it_says(name, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    runpy.run_path(str(FOLDER / f"{name}.py"), run_name="__main__")
    said, left = capsys.readouterr().out, PROGRAMS[name][1]
    for words in PROGRAMS[name][0]:
        assert words in said
    found = {file.relative_to(tmp_path).as_posix() for file in tmp_path.rglob("*.*")}
    assert found >= set(left)
    for file in map(Path, left):
        check(file)


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


def test_the_programs_are_typed_as_strictly_as_can_be():
    files = sorted(str(file) for folder in (FOLDER, TAKEN) for file in folder.glob("*.py"))
    run = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", *files], cwd=ROOT, capture_output=True, text=True
    )
    assert run.returncode == 0, run.stdout


HAS_CHECKER = find_spec("basedpyright") is not None or "CI" in os.environ


@pytest.mark.skipif(not HAS_CHECKER, reason="basedpyright is not installed")
def test_another_checker_finds_nothing_either():
    """basedpyright is pyright with its engine in the wheel: nothing is fetched when it runs."""
    command = [sys.executable, "-m", "basedpyright", "--pythonpath", sys.executable]
    run = subprocess.run(
        [*command, "--level", "error", str(FOLDER), str(TAKEN)],
        cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout + run.stderr
    assert "0 errors" in run.stdout
