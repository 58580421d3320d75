"""Files at the path that a reader types."""

import os
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from theorykit.errors import TheoryError
from theorykit.show.files import file_at, write_file


def test_a_file_is_written_and_nothing_is_left_beside_it(tmp_path):
    write_file(tmp_path / "turn.txt", b"8th")
    assert (tmp_path / "turn.txt").read_bytes() == b"8th"
    assert os.listdir(tmp_path) == ["turn.txt"]


def test_a_file_that_is_there_is_left_as_it_is_unless_it_is_to_be_replaced(tmp_path):
    file = tmp_path / "turn.txt"
    write_file(file, b"first")
    with pytest.raises(TheoryError, match="left as it is"):
        write_file(file, b"second")
    assert file.read_bytes() == b"first"
    write_file(file, b"third", replace=True)
    assert file.read_bytes() == b"third"
    assert os.listdir(tmp_path) == ["turn.txt"]


def test_a_place_that_cannot_be_written_to_is_told(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    for path in (tmp_path / "none" / "turn.txt", tmp_path / "file" / "turn.txt"):
        with pytest.raises(TheoryError, match="cannot write"):
            write_file(path, b"")
    (tmp_path / "folder.txt").mkdir()
    for replace in (True, False):
        with pytest.raises(TheoryError, match=r"cannot write|left as it is"):
            write_file(tmp_path / "folder.txt", b"", replace=replace)
    assert sorted(os.listdir(tmp_path)) == ["file", "folder.txt"]


def test_an_ending_is_added_where_none_was_typed():
    assert file_at("lines/turn", ".mid") == Path("lines/turn.mid")
    assert file_at("  lines/turn.midi\n", ".mid") == Path("lines/turn.midi")
    assert file_at("~/turn", ".mid") == Path.home() / "turn.mid"


@pytest.mark.parametrize(
    "path", ["", "  ", "turn\0.mid", "/", ".", "~nobody-of-this-name/turn", "~\udfff"]
)
def test_what_is_no_path_is_refused_with_words(path):
    with pytest.raises(TheoryError, match=r"not a path|a folder"):
        file_at(path, ".mid")


def mode(path):
    """The mode of a file, as three digits."""
    return f"{path.stat().st_mode & 0o777:o}"


@pytest.mark.parametrize("replace", [True, False])
def test_a_name_never_has_less_than_the_whole_file(tmp_path, monkeypatch, replace):
    """Killed at any moment that can be told apart: each step is the last one once."""
    file = tmp_path / "turn.txt"
    for step in ("fsync", "link", "replace"):
        file.unlink(missing_ok=True)
        if replace:
            file.write_bytes(b"old")
        with monkeypatch.context() as killed:
            killed.setattr(f"theorykit.show.files.saving.os.{step}", killed_here, raising=True)
            killed.setattr("theorykit.show.files.saving.Path.unlink", lambda *_, **__: None)
            with suppress(SystemExit):
                write_file(file, b"new", replace=replace)
        found = file.read_bytes() if file.exists() else None
        assert found in ((b"old", b"new") if replace else (None, b"new")), step


def test_a_python_without_second_names_writes_whole_files_too(tmp_path, monkeypatch):
    """Such is the one of a page, where ``os`` has no ``link``."""
    monkeypatch.delattr("theorykit.show.files.saving.os.link", raising=False)
    file = tmp_path / "turn.txt"
    write_file(file, b"new")
    with pytest.raises(TheoryError, match="there is a file"):
        write_file(file, b"other")
    assert [(one.name, one.read_bytes()) for one in tmp_path.iterdir()] == [("turn.txt", b"new")]


def killed_here(*_, **__):
    """End, without any of the tidying up that a live process does."""
    raise SystemExit


KILLED = """
import os, signal, sys
from pathlib import Path
from theorykit.show.files import saving
def kill(*_): os.kill(os.getpid(), signal.SIGKILL)
setattr(saving.os, sys.argv[2], kill)
saving.write_file(Path(sys.argv[1]), b"new" * 1000, replace=sys.argv[3] == "replace")
"""


@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
def test_a_killed_process_leaves_the_old_file_or_none(tmp_path, step):
    file = tmp_path / "turn.txt"
    wish = "keep" if step == "link" else "replace"
    if wish == "replace":
        file.write_bytes(b"old")
    found = subprocess.run([sys.executable, "-c", KILLED, file, step, wish], check=False)
    assert found.returncode < 0
    assert (file.read_bytes() == b"old") if wish == "replace" else not file.exists()
    assert len(list(tmp_path.glob(".*.part"))) == 1


def test_parts_that_a_kill_left_are_swept_when_the_next_file_is_written(tmp_path):
    old, young, other = (tmp_path / f for f in (".1.22.part", ".3.44.part", ".mine.part"))
    for part in (old, young, other):
        part.write_bytes(b"half")
    long_ago = time.time() - 2 * 3600
    for part in (old, other):
        os.utime(part, (long_ago, long_ago))
    write_file(tmp_path / "turn.txt", b"8th")
    assert sorted(os.listdir(tmp_path)) == [".3.44.part", ".mine.part", "turn.txt"]


def test_a_mode_that_the_reader_set_stays(tmp_path):
    file = tmp_path / "turn.txt"
    for wanted in ("640", "600", "664"):
        file.write_bytes(b"old")
        file.chmod(int(wanted, 8))
        write_file(file, b"new", replace=True)
        assert (file.read_bytes(), mode(file)) == (b"new", wanted)


def test_a_new_file_has_the_usual_mode(tmp_path):
    (tmp_path / "usual").write_bytes(b"")
    write_file(tmp_path / "turn.txt", b"8th")
    assert mode(tmp_path / "turn.txt") == mode(tmp_path / "usual")


def test_where_no_second_name_can_be_given_the_file_is_moved(tmp_path, monkeypatch):
    def refused(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("theorykit.show.files.saving.os.link", refused)
    write_file(tmp_path / "turn.txt", b"8th")
    with pytest.raises(TheoryError, match="left as it is"):
        write_file(tmp_path / "turn.txt", b"other")
    assert (tmp_path / "turn.txt").read_bytes() == b"8th"


def test_a_long_name_is_written(tmp_path):
    write_file(tmp_path / ("x" * 250 + ".txt"), b"8th")
    with pytest.raises(TheoryError, match="too long"):
        write_file(tmp_path / ("x" * 300), b"8th")
