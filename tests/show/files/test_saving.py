"""Files at the path that a reader types."""

import os
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


@pytest.mark.parametrize("path", ["", "  ", "turn\0.mid", "/", ".", "~nobody-of-this-name/turn"])
def test_what_is_no_path_is_refused_with_words(path):
    with pytest.raises(TheoryError, match=r"not a path|a folder"):
        file_at(path, ".mid")
