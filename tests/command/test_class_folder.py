"""The folder of a class: sheets for all, and what each student hands in."""

from __future__ import annotations

import json
import os
import sys
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from house import ROOT

from theorykit import Line, PhraseBook, TheoryError, two_five_one
from theorykit.command import ClassFolder, hand_in, main
from theorykit.show.own_reader import own_files_in
from theorykit.study.handed_in import HandedIn, WeekDone

SHEET = ROOT / "workbook" / "handouts" / "one_colour.toml"
DAY = date(2026, 12, 3)
DONE = HandedIn(
    "Ida", datetime(2026, 11, 26, 19, 30, tzinfo=UTC), (WeekDone(date(2026, 11, 23), 3),)
)
LINKS = hasattr(os, "symlink") and sys.platform != "win32"


def test_a_sheet_is_given_with_its_questions(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    given = ["class", "give", str(SHEET), "--class", str(tmp_path), "--day", "2026-12-03"]
    assert main(given) == 0
    (place,) = ClassFolder(tmp_path).given()
    assert place.name == "2026-12-03_one_colour"
    endings = sorted(one.suffix for one in place.iterdir())
    assert endings == [".ipynb", ".toml", ".toml"]
    assert "hand_in()" in next(place.glob("*.ipynb")).read_text(encoding="utf-8")
    assert capsys.readouterr().out.splitlines() == [str(one) for one in sorted(place.iterdir())]


def test_a_day_and_a_file_that_are_none_are_told(capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit):
        main(["class", "give", str(SHEET), "--day", "Thursday"])
    assert "no day: 'Thursday' (want one such as 2026-12-03)" in capsys.readouterr().err
    with pytest.raises(TheoryError, match=r"nothing to give: '.*gone.txt' \(want files"):
        ClassFolder(".").give(["gone.txt"], day=DAY)


def test_a_student_takes_what_is_new_and_keeps_what_was_changed(tmp_path: Path):
    room, mine = ClassFolder(tmp_path / "class"), tmp_path / "mine"
    room.give([SHEET], day=DAY)
    (taken,) = room.take_given(mine)
    taken.write_text("my own words")
    (tmp_path / "page.html").write_text("<p>")
    room.give([tmp_path / "page.html", SHEET], day=DAY, title="one_colour")
    assert [one.name for one in room.take_given(mine)] == ["page.html"]
    assert taken.read_text() == "my own words"


@pytest.mark.skipif(not LINKS, reason="this system has no links or modes")
def test_what_is_given_can_be_read_by_all_and_holds_no_link(tmp_path: Path):
    source = tmp_path / "week"
    source.mkdir()
    (source / "sheet.txt").write_text("x")
    (source / "sheet.txt").chmod(0o600)
    (source / ".hidden").write_text("x")
    (source / "out").symlink_to("/etc/hostname")
    deep = source / "sounds" / "slow"
    deep.mkdir(parents=True)
    (deep / "line.mid").write_text("x")
    before = os.umask(0o077)
    try:
        place = ClassFolder(tmp_path / "class").give([source], day=DAY)
    finally:
        os.umask(before)
    names = [one.name for one in sorted(place.rglob("*"))]
    assert names == ["sheet.txt", "sounds", "slow", "line.mid"]
    assert all(one.stat().st_mode & 0o044 == 0o044 for one in place.rglob("*"))
    assert (place / "sounds" / "slow").stat().st_mode & 0o055 == 0o055
    assert (place / "sheet.txt").stat().st_mode & 0o777 == 0o644
    assert place.stat().st_mode & 0o055 == 0o055


@pytest.mark.skipif(not LINKS, reason="this system has no links or modes")
def test_what_is_handed_in_is_for_the_student_and_the_teachers(tmp_path: Path):
    file = ClassFolder(tmp_path).hand_in(DONE, "Ida")
    assert file.stat().st_mode & 0o777 == 0o640
    assert ClassFolder(tmp_path).term().rows[0][:3] == ("Ida", "23 Nov 2026", "3")


@pytest.mark.skipif(not LINKS, reason="this system has no links or pipes")
def test_no_link_is_followed_and_no_pipe_is_waited_for(tmp_path: Path):
    room = ClassFolder(tmp_path)
    room.hand_in(DONE, "Ida")
    for name in ("bo", "cleo", "dan"):
        room.place_of(name).mkdir(parents=True)
    secret = tmp_path / "secret.json"
    secret.write_text(DONE.text)
    (room.place_of("bo") / "summary.json").symlink_to(secret)
    os.mkfifo(room.place_of("cleo") / "summary.json")
    term = room.term()
    assert {row[0] for row in term.rows} == {"Ida"}
    assert sorted(name for name, _ in term.faults) == ["bo", "cleo"]


def test_a_student_hands_in_a_phrase_by_its_name(tmp_path: Path):
    with own_files_in(tmp_path / "own"):
        (tmp_path / "own").mkdir()
        over = two_five_one("C", "short")
        line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", over)
        PhraseBook(tmp_path / "own" / "phrases.sqlite").keep("Ida's turn", line)
        (tmp_path / "class").mkdir()
        said = hand_in("Ida's turn", who="Ida", folder=tmp_path / "class")
        assert said == "Handed in for Ida: 0 questions this week, 0 right, 1 line."
        with pytest.raises(TheoryError, match="no phrase called"):
            hand_in("nobody's", who="Ida", folder=tmp_path / "class")
    ((who, handed),) = ClassFolder(tmp_path / "class").term().lines
    assert (who, handed.name, handed.text) == ("Ida", "Ida's turn", line.text)


def test_two_machines_with_one_login_name_hand_in_two_summaries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """Each kept writing over the other. On one machine it is one folder, week after week."""
    monkeypatch.setattr("getpass.getuser", lambda: "student")
    monkeypatch.delenv("JUPYTERHUB_USER", raising=False)
    (tmp_path / "class").mkdir()
    for machine in ("here", "there", "here"):
        with own_files_in(tmp_path / machine):
            said = hand_in(folder=tmp_path / "class")
        assert said.startswith("Handed in for student: ")
    folders = sorted(one.name for one in (tmp_path / "class" / "handed").iterdir())
    assert len(folders) == 2
    term = ClassFolder(tmp_path / "class").term()
    assert sorted(row[0] for row in term.rows) == [f"student ({name})" for name in folders]
    with own_files_in(tmp_path / "here"):
        hand_in(who="Ida", folder=tmp_path / "class")
    rows = ClassFolder(tmp_path / "class").term().rows
    assert [row[0] for row in rows][:1] == ["Ida"]


def test_the_teacher_sees_the_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    ClassFolder(tmp_path).hand_in(DONE, "Ida")
    table = tmp_path / "table.csv"
    assert main(["class", "table", "--class", str(tmp_path), "--csv", str(table), "--lines"]) == 0
    assert capsys.readouterr().out.split("\n")[1].split()[:2] == ["Ida", "23"]
    assert table.read_text().startswith("student,week,")


def test_without_a_class_it_says_what_it_wants(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.delenv("THEORYKIT_CLASS", raising=False)
    assert main(["class", "table"]) == 1
    assert "THEORYKIT_CLASS" in capsys.readouterr().err
    monkeypatch.setenv("THEORYKIT_CLASS", str(tmp_path))
    assert main(["class", "table"]) == 0
    assert json.loads(DONE.text)["who"] == "Ida"


@pytest.mark.parametrize("name", ["../bo", "/etc/passwd", "..", ".ssh", "bo/../../x", ""])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, name: str):
    place = ClassFolder(tmp_path).place_of(name)
    assert place.parent == tmp_path / "handed"
    assert not place.name.startswith(".")


def test_a_folder_in_the_place_of_a_summary_is_that_students_fault_alone(tmp_path: Path):
    room = ClassFolder(tmp_path)
    room.hand_in(DONE, "Ida")
    (room.place_of("bo") / "summary.json").mkdir(parents=True)
    (tmp_path / "handed" / ".DS_Store").write_text("of another program")
    term = room.term()
    assert [row[0] for row in term.rows] == ["Ida"]
    assert [name for name, _ in term.faults] == ["bo"]


def test_nobody_writes_over_what_another_name_has_handed_in(tmp_path: Path):
    room = ClassFolder(tmp_path)
    room.hand_in(DONE, "!!!")
    room.hand_in(DONE, "!!!")  # the same one may, each week
    other = HandedIn("Bo", DONE.at, DONE.weeks)
    with pytest.raises(TheoryError, match=r"is the folder of 'Ida' \(want another name\)"):
        room.hand_in(other, "???")


def test_what_was_handed_in_is_never_given_to_all(tmp_path: Path):
    room = ClassFolder(tmp_path / "class")
    room.hand_in(DONE, "Ida")
    for source in (tmp_path, tmp_path / "class", tmp_path / "class" / "handed" / "Ida"):
        with pytest.raises(TheoryError, match="holds what was handed in"):
            room.give([source], day=DAY)
    with pytest.raises(TheoryError, match="nothing to give"):
        room.give([""], day=DAY)
    assert room.given() == []


def test_two_files_of_one_name_are_told(tmp_path: Path):
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "s.txt").write_text(name)
    with pytest.raises(TheoryError, match=r"two files are called 's.txt'"):
        ClassFolder(tmp_path / "class").give(
            [tmp_path / "a" / "s.txt", tmp_path / "b" / "s.txt"], day=DAY
        )


def test_a_mistake_in_a_sheet_is_told_and_nothing_is_given(tmp_path: Path, capsys):
    sheet = tmp_path / "typo.toml"
    sheet.write_text(SHEET.read_text(encoding="utf-8").replace("title =", "titlex =", 1), "utf-8")
    assert main(["class", "give", str(sheet), "--class", str(tmp_path)]) != 0
    assert "titlex" in capsys.readouterr().err
    assert ClassFolder(tmp_path).given() == []
