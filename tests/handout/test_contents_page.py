"""The table of contents of a week's folder, and what the archives hold."""

import re
import zipfile
from pathlib import Path
from urllib.parse import unquote

import html5lib
import pytest
import soundfile

from theorykit.handout import Handout
from theorykit.handout.blocks import LineBlock, TextBlock
from theorykit.handout.files import FILES

XHTML = "{http://www.w3.org/1999/xhtml}"
WEEK = Handout(
    "Week <3> & more",
    web_address="https://example.org/3/",
    tempo=240,
    blocks=(
        LineBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short", margin="Secret."),
        TextBlock(text="Sing."),
    ),
)
NAME = "Week 3 more"


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    place = tmp_path_factory.mktemp("week")
    WEEK.make(place, ["concert", "F, teacher"], files=FILES, progress=False, processes=1)
    return place


def contents(folder: Path, audience: str):
    text = (folder / f"{NAME} - contents - {audience}.html").read_text(encoding="utf-8")
    return text, html5lib.HTMLParser(strict=True).parse(text)


def links(root) -> list[str]:
    found = [one.get("href", "") for one in root.iter(f"{XHTML}a")]
    return [unquote(one) for one in found if not one.startswith("https:")]


@pytest.mark.parametrize("audience", ["student", "teacher"])
def test_every_link_leads_to_a_file_of_the_folder(folder, audience):
    _, root = contents(folder, audience)
    assert len(links(root)) == len(set(links(root))) > 8
    assert all((folder / one).is_file() for one in links(root))


def test_students_are_led_to_no_answer_and_the_teacher_to_everything(folder):
    _, student = contents(folder, "student")
    _, teacher = contents(folder, "teacher")
    hidden = set(links(teacher)) - set(links(student))
    assert {Path(one).name for one in hidden} == {
        f"{NAME} - F - teacher - A4.pdf",
        f"{NAME} - teacher.html",
        f"{NAME} - contents - student.html",
        f"{NAME}.toml",
    }
    there = {str(file.relative_to(folder)) for file in folder.rglob("*") if file.is_file()}
    own = f"{NAME} - contents - teacher.html"
    assert set(links(teacher)) == {one for one in there if not one.endswith(".zip")} - {own}


def test_lengths_tempo_and_count_in_are_those_of_the_files(folder):
    text, _ = contents(folder, "student")
    found = re.findall(
        r'href="(sound/[^"]+\.mp3)">[^<]*</a> <span class="small">'
        r"(\d+):(\d\d), 240 beats a minute, counted in for 1 bar<",
        text,
    )
    assert len(found) == 3
    for name, minutes, seconds in found:
        made = soundfile.info(folder / unquote(name))
        assert made.duration == pytest.approx(60 * int(minutes) + int(seconds), abs=0.6)


def test_there_is_an_archive_for_students_and_one_for_the_teacher(folder):
    held = {}
    for whose in ("for students", "for the teacher"):
        with zipfile.ZipFile(folder / f"{NAME} - {whose}.zip") as packed:
            held[whose] = set(packed.namelist())
            assert all(packed.read(one) == (folder / one).read_bytes() for one in held[whose])
    _, student = contents(folder, "student")
    assert held["for students"] == {*links(student), f"{NAME} - contents - student.html"}
    there = {str(file.relative_to(folder)) for file in folder.rglob("*") if file.is_file()}
    assert held["for the teacher"] == {one for one in there if not one.endswith(".zip")}
    assert not any("teacher" in one or one.endswith(".toml") for one in held["for students"])


def test_titles_are_text_and_the_codes_of_all_readers_are_there(folder):
    text, root = contents(folder, "teacher")
    assert "<h1>Week &lt;3&gt; &amp; more</h1>" in text
    shown = [one.get("aria-label") for one in root.iter("{http://www.w3.org/2000/svg}svg")]
    assert shown == [f"Code to scan: the page that plays, for {who}" for who in ("concert", "F")]
    assert not list(root.iter(f"{XHTML}script"))
