"""All work in one file, on the page and at the command line: out here, in there."""

from __future__ import annotations

import base64
import re
from pathlib import Path

import pytest

from theorykit import PhraseBook, demonstration
from theorykit.__main__ import main
from theorykit.show.own_reader import keep_reader, own_files_in, own_player
from theorykit.study.drafts import Drafts
from theorykit.widgets import shelf, tune_desk, work_file


def fill(folder: Path) -> None:
    """Keep a phrase, a tune and an instrument in a folder."""
    folder.mkdir()
    with own_files_in(folder):
        keep_reader("double bass")
        PhraseBook(folder / "phrases.sqlite").keep("low", demonstration("Gb", "short"))
        Drafts(folder / "drafts.sqlite").begin("tune", "Wet Gloves", {"text": "| Dm7 | G7 |"})


def test_the_link_holds_what_another_place_takes_in(tmp_path: Path):
    fill(tmp_path / "school")
    page = work_file()
    with own_files_in(tmp_path / "school"):
        page.make.click()
    found = re.search(r'download="(theorykit work [\d-]+\.zip)".*?base64,([^"]+)"', page.told.value)
    assert found is not None
    file = tmp_path / found[1]
    file.write_bytes(base64.b64decode(found[2]))
    with own_files_in(tmp_path / "home"):
        page.opening.path.value = str(file)
        assert "New here: one phrase and one work." in page.opening.told.value
        assert PhraseBook(tmp_path / "home" / "phrases.sqlite").names == ("low",)
        assert own_player().names[0] == "double bass"
        (title,) = [label for label, _ in shelf(path=tmp_path / "home/drafts.sqlite").list.options]
        assert title.startswith("Wet Gloves")


def test_a_shelf_that_is_open_lists_what_came(tmp_path: Path):
    fill(tmp_path / "school")
    with own_files_in(tmp_path / "school"):
        assert main(["work", "save", str(tmp_path / "work.zip")]) == 0
    with own_files_in(tmp_path / "home"):
        desk = tune_desk("| C6 |", path=tmp_path / "home" / "drafts.sqlite")
        box, page = shelf(desk), work_file()
        assert box.list.options == ()
        page.opening.path.value = str(tmp_path / "work.zip")
        assert "New here" in page.opening.told.value
        assert [label.partition(",")[0] for label, _ in box.list.options] == ["Wet Gloves"]


def test_a_file_that_is_none_is_told_on_the_page_and_takes_nothing_away(tmp_path: Path):
    fill(tmp_path / "school")
    (tmp_path / "letter.zip").write_bytes(b"Dear Ida")
    page = work_file()
    with own_files_in(tmp_path / "school"):
        page.opening.path.value = str(tmp_path / "letter.zip")
        assert "no work that can be brought in" in page.opening.problem.value
        assert PhraseBook(tmp_path / "school" / "phrases.sqlite").names == ("low",)


def test_the_command_saves_once_and_brings_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    fill(tmp_path / "school")
    file = tmp_path / "all my work"
    with own_files_in(tmp_path / "school"):
        assert main(["work", "save", str(file)]) == 0
        assert main(["work", "save", str(file)]) == 1
        assert "already" in capsys.readouterr().err
    with own_files_in(tmp_path / "home"):
        assert main(["work", "bring", str(file)]) == 0
        assert "New here: one phrase and one work." in capsys.readouterr().out
        (tmp_path / "letter.zip").write_bytes(b"Dear Ida")
        assert main(["work", "bring", str(tmp_path / "letter.zip")]) == 1
        assert "no work that can be brought in" in capsys.readouterr().err
    assert sorted(one.name for one in tmp_path.glob("*.zip")) == ["all my work.zip", "letter.zip"]
