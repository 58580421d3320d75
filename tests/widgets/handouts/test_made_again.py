"""Making a part of a week a second time: what was made before stays in zips, contents and page."""

import re
import zipfile
from pathlib import Path
from urllib.parse import unquote

import pytest

from theorykit.widgets import handout_desk

TEXT = 'title = "Wet Gloves"\n\n[[block]]\nkind = "text"\ntext = "Sing the 3 of G7."\n'
LINE = (
    'title = "Wet Gloves"\ntempo = 240\n\n[[block]]\nkind = "line"\nform = "short"\n'
    'line = "8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5"\n'
)
FIRST = {"readers": ["concert", "B flat"], "for": ["student", "teacher"]}
GUITAR = "guitar/Wet Gloves - guitar - student - A4 - large print.pdf"


def opened(tmp_path: Path, text: str):
    return handout_desk(text, path=tmp_path / "drafts.sqlite", folder=tmp_path / "out")


def make(desk, **ticked: list[str]) -> Path:
    """Tick these parts alone, make, and return the folder."""
    for part, names in ticked.items():
        for name, box in desk.making.parts[part].items():
            box.value = name in names
    desk.making.make.click()
    desk.making.wait()
    assert desk.making.problem.value == ""
    desk.mine.write()
    return desk.making._place(desk.handout)


def whole(folder: Path) -> set[str]:
    """Return the names of all files of a folder but its zips."""
    found = {file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file()}
    return {name for name in found if not name.endswith(".zip")}


def zipped(folder: Path, whose: str) -> dict[str, bytes]:
    with zipfile.ZipFile(folder / f"Wet Gloves - for {whose}.zip") as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def listed(folder: Path, audience: str) -> str:
    return (folder / f"Wet Gloves - contents - {audience}.html").read_text("utf-8")


@pytest.mark.parametrize("files", [["pages"], ["pages", "text", "contents", "zip"]])
def test_a_page_joins_the_zips_and_the_contents_of_its_week(tmp_path, files):
    """They held the last page alone, and the teacher's zip had no teacher's page."""
    kinds = ["pages", "MusicXML", "sound", "text", "contents", "zip"]
    folder = make(opened(tmp_path, LINE), files=kinds, **FIRST)
    before, sounds = (
        whole(folder),
        re.findall(r"[^>]*beats a minute[^<]*", listed(folder, "teacher")),
    )
    again = opened(tmp_path, LINE)  # after a restart
    make(again, files=files, print=["large print"], **{"readers": ["guitar"], "for": ["student"]})
    assert "made before as well" in again.making.told.value
    assert whole(folder) == before | {GUITAR}
    teacher, students = zipped(folder, "the teacher"), zipped(folder, "students")
    assert set(teacher) == before | {GUITAR}
    assert all(data == (folder / name).read_bytes() for name, data in (teacher | students).items())
    hidden = {name for name in teacher if " - teacher" in name or name.endswith(".toml")}
    assert len(hidden) == 4  # two pages, the contents, the text with the answers
    assert set(students) == set(teacher) - hidden
    for audience, held in (("student", students), ("teacher", teacher)):
        page = listed(folder, audience)
        own = f"Wet Gloves - contents - {audience}.html"
        assert {unquote(one) for one in re.findall(r'href="([^"]+\.\w+)"', page)} == {*held} - {own}
        assert re.findall(r"[^>]*beats a minute[^<]*", page) == sounds != []


def test_the_students_page_offers_everyone_of_before(tmp_path):
    folder = make(opened(tmp_path, TEXT), files=["web page"], readers=["concert", "B flat"])
    make(opened(tmp_path, TEXT), readers=["guitar"])
    page = (folder / "Wet Gloves - student.html").read_text("utf-8")
    offered = re.findall(r'name="reader" id="[^"]+" value="([^"]+)"', page)
    assert sorted(offered) == ["B-flat", "concert", "guitar"]
    assert "Sing the B of G7" in page or page.count("Sing the 3 of") == 3


def test_what_is_of_others_or_of_another_sheet_joins_nothing(tmp_path):
    """Another title in the same folder; a page by another hand; contents that somebody changed."""
    desk = opened(tmp_path, TEXT)
    desk.making.weekly.value = False
    folder = make(desk, files=["pages", "contents", "zip"])
    foreign = folder / "F" / "Wet Gloves - F - student - A4.pdf"
    foreign.parent.mkdir()
    foreign.write_bytes(b"by another hand")
    changed = folder / "Wet Gloves - contents - student.html"
    changed.write_bytes(b"my own")
    make(desk, readers=["B flat"], files=["pages"])
    assert changed.read_bytes() == b"my own"
    names = set(zipped(folder, "students"))
    assert names == {
        f"{who}/Wet Gloves - {who} - student - A4.pdf" for who in ("concert", "B flat")
    }
    desk.text.value = TEXT.replace("Wet Gloves", "Two Stops")
    make(desk, files=["pages", "zip"])
    with zipfile.ZipFile(folder / "Two Stops - for students.zip") as packed:
        assert packed.namelist() == ["B flat/Two Stops - B flat - student - A4.pdf"]
