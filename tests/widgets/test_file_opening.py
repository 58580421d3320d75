"""Opening files of the reader's, by the button and by a path, on every page that does."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from theorykit import Chart, Line, two_five_one
from theorykit.errors import TheoryError
from theorykit.show.files import line_bytes
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import handout_desk, line_desk, phrase_book, tune_desk
from theorykit.widgets.reader_files import LARGEST, FileOpening, book_at, own_book, own_drafts

LINE = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | whole E4", two_five_one("C", "short"))


def uploaded(name: str, content: bytes) -> tuple[dict[str, object], ...]:
    """Return a file as the page sends it."""
    kind = {"type": "", "size": len(content), "last_modified": datetime.now(tz=UTC)}
    return ({"name": name, "content": memoryview(content), **kind},)


def use(name: str, content: bytes) -> tuple[str, ...]:
    """Say how long a file is; refuse an empty one."""
    if not content:
        raise TheoryError(f"{name} is empty (want a file with something in it)")
    return f"{name}:", f"{len(content)} bytes"


@pytest.fixture
def opening():
    return FileOpening("open", (".toml", ".txt"), use)


def test_a_file_that_is_sent_is_used_and_can_be_sent_again(opening):
    for _ in range(2):
        opening.told.value = ""
        opening.file.value = uploaded("a.txt", b"abc")
        assert opening.file.value == ()
        assert "3 bytes" in opening.told.value


def test_a_path_is_read_with_the_ending_that_it_lacks(opening, tmp_path):
    (tmp_path / "a.toml").write_bytes(b"12345")
    opening.path.value = str(tmp_path / "a")
    assert "5 bytes" in opening.told.value
    opening.path.value = "  "
    assert "5 bytes" in opening.told.value


def test_what_cannot_be_read_is_told_and_what_was_told_before_goes(opening, tmp_path):
    opening.file.value = uploaded("a.txt", b"abc")
    folder = tmp_path / "folder.txt"
    folder.mkdir()
    for path, words in (("none.txt", "no such file"), (str(folder), "cannot read")):
        opening.path.value = path
        assert words in opening.problem.value
        assert opening.told.value == ""
    opening.file.value = uploaded("a.txt", b"")
    assert "is empty" in opening.problem.value
    opening.file.value = uploaded("a.txt", b"abc")
    assert opening.problem.value == ""


def test_a_file_without_end_is_not_read(opening, tmp_path):
    file = tmp_path / "long.txt"
    with file.open("wb") as opened:
        opened.truncate(LARGEST + 1)
    opening.path.value = str(file)
    assert "too large" in opening.problem.value


def test_every_page_that_opens_files_takes_a_path(tmp_path):
    chart = Chart.of("F", "Gm7", "C7", "F6", "%")
    (tmp_path / "tune.txt").write_text(str(chart), encoding="utf-8")
    (tmp_path / "page.toml").write_text('title = "Mine"', encoding="utf-8")
    (tmp_path / "turn.mid").write_bytes(line_bytes(LINE, ".mid"))
    tunes = tune_desk()
    tunes.opening.path.value = str(tmp_path / "tune.txt")
    assert tunes.state.chart == chart
    pages = handout_desk(path=tmp_path / "draft.json")
    pages.opening.path.value = str(tmp_path / "page")
    assert pages.handout.title == "Mine"
    lines = line_desk(book=tmp_path / "none")
    lines.opening.path.value = str(tmp_path / "turn.mid")
    midis = [note.pitch.midi for note in LINE.notes]
    assert [note.pitch.midi for note in lines.view.line.notes] == midis
    box = phrase_book(tmp_path / "book.sqlite")
    box.bringing.path.value = str(tmp_path / "turn.mid")
    assert PhraseBook(tmp_path / "book.sqlite").names == ("turn",)


def test_drafts_and_the_own_book_are_for_their_owner_alone(tmp_path, monkeypatch):
    data = tmp_path / "data"
    monkeypatch.setattr("platformdirs.user_data_dir", lambda *_, **__: str(data))
    drafts = own_drafts()
    assert not data.exists()
    drafts.begin("tune", "x", {"text": "x"})
    book = book_at("")
    assert book.path == own_book()
    modes = [path.stat().st_mode & 0o777 for path in (data, book.path, drafts.path)]
    assert modes == [0o700, 0o600, 0o600]
    drafts.path.chmod(0o644)
    assert own_drafts().path.stat().st_mode & 0o777 == 0o600  # what was typed is nobody else's
