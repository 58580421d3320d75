"""The folder of works on a disk: plain files, two machines, files that cannot be read."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.demonstration import demonstration
from theorykit.show.own_place import keep_work_folder, work_folder
from theorykit.show.own_reader import own_files_in
from theorykit.show.work_folder import KINDS, BookWorks, DraftWorks, WorkFolder
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets.lines import line_title
from theorykit.widgets.tunes import tune_title

TITLES = {"tune": tune_title, "line": line_title}
CHART = "title: Wet Gloves\nkey: Db\n\n| Ebm7 | Ab7 | Dbmaj7 | % |\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


def machine(folder: Path, kind: str = "tune") -> WorkFolder:
    """A machine with works of its own beside the folder."""
    drafts = Drafts()
    works = DraftWorks(KINDS[kind], drafts, TITLES[kind])
    return WorkFolder(folder, KINDS[kind], works, drafts)


def texts(one: WorkFolder) -> list[str]:
    return sorted(one.works.side().texts.values())


def test_a_work_is_a_text_file_that_says_what_was_typed(folder):
    one = machine(folder)
    one.drafts.begin("tune", "Wet Gloves", {"text": CHART, "own": ""})
    assert one.agree() == ()
    file = folder / "tunes" / "Wet Gloves.txt"
    assert file.read_text(encoding="utf-8").startswith(CHART)
    assert one.agree() == ()
    assert [name.name for name in folder.rglob("*") if name.is_file()] == ["Wet Gloves.txt"]


def test_what_is_changed_in_an_editor_comes_in_and_what_was_there_can_be_brought_back(folder):
    one = machine(folder)
    work = one.drafts.begin("tune", "Wet Gloves", {"text": CHART}).work
    one.agree()
    file = folder / "tunes" / "Wet Gloves.txt"
    file.write_bytes(file.read_bytes().replace(b"Ebm7", b"Ebm9").replace(b"\n", b"\r\n"))
    (told,) = one.agree()
    assert "changed elsewhere" in told
    states = [state.data["text"] for state in one.drafts.states(work)]
    assert states == [CHART.replace("Ebm7", "Ebm9"), CHART]


def test_two_machines_share_new_changed_and_removed_works(folder):
    here, there = machine(folder), machine(folder)
    first = here.drafts.begin("tune", "Wet Gloves", {"text": CHART}).work
    here.agree()
    there.agree()
    assert texts(there) == texts(here)
    here.drafts.put_aside(first)
    here.agree()
    assert not (folder / "tunes" / "Wet Gloves.txt").exists()
    assert (folder / "taken out" / "tunes" / "Wet Gloves.txt").exists()
    (told,) = there.agree()
    assert "undo brings it back" in told
    assert texts(there) == []
    here.drafts.bring_back(first)
    here.agree()
    there.agree()
    assert len(texts(there)) == len(texts(here)) == 1
    assert there.drafts.aside("tune") == ()
    assert list((folder / "taken out").rglob("*.txt")) == []


def test_where_both_have_changed_both_are_kept_everywhere(folder):
    here, there = machine(folder), machine(folder)
    here.drafts.begin("tune", "Wet Gloves", {"text": CHART})
    here.agree()
    there.agree()
    for one, chord in ((here, "Eb7"), (there, "Ebm9")):
        (work,) = one.drafts.works("tune")
        opened = one.drafts.opened(work.number)
        one.drafts.save(opened, "Wet Gloves", {"text": CHART.replace("Ebm7", chord)}, fresh=True)
    here.agree()
    (told,) = there.agree()
    assert "Both are kept" in told
    here.agree()
    assert texts(here) == texts(there)
    assert len(texts(here)) == 2
    assert {file.name for file in (folder / "tunes").iterdir()} == {
        "Wet Gloves.txt",
        "Wet Gloves (2).txt",
    }


def test_a_file_follows_a_new_title_when_one_looks_and_not_while_one_types(folder):
    here, there = machine(folder), machine(folder)
    work = here.drafts.begin("tune", "A new tune", {"text": "title: A new tune\n| C6 |\n"})
    here.agree()
    there.agree(renames=True)
    here.drafts.save(work, "Wet Gloves", {"text": CHART})
    here.agree()
    assert [file.name for file in (folder / "tunes").iterdir()] == ["A new tune.txt"]
    here.agree(renames=True)
    assert [file.name for file in (folder / "tunes").iterdir()] == ["Wet Gloves.txt"]
    there.agree(renames=True)
    assert texts(there) == texts(here)


def test_a_file_that_is_gone_takes_no_work_along(folder):
    one = machine(folder)
    one.drafts.begin("tune", "Wet Gloves", {"text": CHART})
    one.agree()
    (folder / "tunes" / "Wet Gloves.txt").unlink()
    assert one.agree() == ()
    assert len(texts(one)) == 1


def test_a_folder_that_is_gone_is_told_and_nothing_is_lost(folder):
    one = machine(folder)
    one.drafts.begin("tune", "Wet Gloves", {"text": CHART})
    one.agree()
    for file in folder.rglob("*.txt"):
        file.unlink()
    (folder / "tunes").rmdir()
    folder.rmdir()
    with pytest.raises(TheoryError, match="is not there"):
        one.agree()
    assert len(texts(one)) == 1


def test_what_is_no_text_or_far_too_long_is_left_as_it_is(folder):
    (folder / "tunes").mkdir()
    for name, content in (("a.txt", b"\xff\xfe\x00"), ("b.txt", b"x" * 1_000_001), (".c.txt", b"")):
        (folder / "tunes" / name).write_bytes(content)
    one = machine(folder)
    assert one.agree() == ()
    assert texts(one) == []
    assert len(list((folder / "tunes").iterdir())) == 3


def test_a_line_that_cannot_be_read_is_told_once_and_left_as_it_is(folder):
    one = machine(folder, "line")
    (folder / "lines").mkdir()
    file = folder / "lines" / "turn.txt"
    mark = KINDS["line"].written({"text": "8th F4", "over": KINDS["line"].plain["over"]})
    file.write_text(mark.replace("C major", "H major"), encoding="utf-8")
    (told,) = one.agree()
    assert "turn.txt was left as it is: not a key" in told
    before = file.read_bytes()
    assert one.agree() == ()
    assert file.read_bytes() == before
    file.write_text(mark, encoding="utf-8")
    one.agree()
    assert len(texts(one)) == 1


@pytest.mark.parametrize("key", ["C", "Db", "F#", "Bb minor"])
def test_phrases_come_out_of_the_folder_as_they_went_in(tmp_path, folder, key):
    books = [PhraseBook(tmp_path / f"{name}.sqlite") for name in ("here", "there")]
    line = demonstration(key, "short")
    books[0].keep("Ida's turn", line, colour="altered", tags=["easy", "falling"], notes="♭9, then")
    sides = []
    for book in books:
        drafts = Drafts()
        works = BookWorks(KINDS["phrase"], book, drafts)
        sides.append(WorkFolder(folder, KINDS["phrase"], works, drafts))
        sides[-1].agree()
    found = books[1].phrase("Ida's turn")
    assert (found.line, found.colour, found.tags, found.notes) == (
        line, "altered", ("easy", "falling"), "♭9, then",
    )  # fmt: skip
    sides[0].works.put_aside("Ida's turn")
    assert books[0].names == ()
    sides[0].works.bring_back(str(sides[0].drafts.aside("phrase")[0].number))
    assert books[0].phrase("Ida's turn").line == line


BESIDE = """
import sys
from pathlib import Path
from theorykit.show.own_reader import own_files_in
from theorykit.show.work_folder import KINDS, DraftWorks, WorkFolder
from theorykit.study.drafts import Drafts
from theorykit.widgets.tunes import tune_title

home, folder = map(Path, sys.argv[1:])
drafts = Drafts(home / "drafts.sqlite")
works = DraftWorks(KINDS["tune"], drafts, tune_title)
print("here", flush=True)
sys.stdin.readline()
with own_files_in(home):
    WorkFolder(folder, KINDS["tune"], works, drafts).agree()
"""


@pytest.mark.proof
def test_two_notebooks_of_one_machine_take_each_file_once(tmp_path, folder):
    (folder / "tunes").mkdir()
    for number in range(40):
        text = CHART.replace("Gloves", f"Gloves {number}")
        (folder / "tunes" / f"{number}.txt").write_text(text, encoding="utf-8")
    (tmp_path / "own").mkdir()
    command = [sys.executable, "-c", BESIDE, str(tmp_path / "own"), str(folder)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    both = [subprocess.Popen(command, **pipes) for _ in range(2)]
    for one in both:
        assert one.stdout.readline() == "here\n"
    for one in both:
        one.stdin.write("go\n")
        one.stdin.flush()
    assert [one.communicate()[0] or one.returncode for one in both] == [0, 0]
    titles = [work.title for work in Drafts(tmp_path / "own" / "drafts.sqlite").works("tune")]
    assert sorted(titles) == sorted(f"Wet Gloves {number}" for number in range(40))
    assert len(list((folder / "tunes").iterdir())) == 40


def test_the_setting_is_kept_and_taken_back(tmp_path):
    with own_files_in(tmp_path / "own"):
        assert work_folder() is None
        keep_work_folder(str(tmp_path / "works"))
        assert work_folder() == tmp_path / "works"
        assert (tmp_path / "works").is_dir()
        keep_work_folder("")
        assert work_folder() is None
        (tmp_path / "file").write_text("", encoding="utf-8")
        with pytest.raises(TheoryError, match="as a folder"):
            keep_work_folder(str(tmp_path / "file"))
