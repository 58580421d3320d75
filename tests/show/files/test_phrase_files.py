"""Phrases of a book as files, and back."""

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.text import Line
from theorykit.show.files.line_files import export_phrases, import_phrases
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import two_five_one

LINE = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
NAMES = ["Ida's turn", "ida's turn", "a/b\\c: *?", "...", "Größe 🎷", "../../up"]


@pytest.fixture
def book(tmp_path):
    book = PhraseBook(tmp_path / "thursday.phrases")
    for number, name in enumerate(NAMES):
        book.keep(name, LINE.transposed("CFBEAD"[number]))
    return book


@pytest.mark.parametrize("kind", [".musicxml", ".mxl", ".mid"])
def test_every_phrase_becomes_a_file_and_comes_back(book, tmp_path, kind):
    folder = tmp_path / "out"
    folder.mkdir()
    paths = export_phrases(book, folder, kind=kind)
    assert {path.parent for path in paths} == {folder}
    assert len({path.name.lower() for path in paths}) == len(NAMES)
    other = PhraseBook(tmp_path / "other.phrases")
    kept, told = import_phrases(other, paths, tags=["from Ida"])
    assert told == ()
    assert sorted(str(p.key) for p in kept) == sorted(str(p.key) for p in book.find())
    assert all(phrase.tags == ("from Ida",) for phrase in other.find())
    lines = {str(phrase.key): phrase.line for phrase in book.find()}
    for phrase in kept:
        home = lines[str(phrase.key)]
        assert [(n.pitch.midi, n.start) for n in phrase.line.notes] == [
            (n.pitch.midi, n.start) for n in home.notes
        ]


def test_a_taken_name_gets_a_number_and_a_bad_file_is_told(book, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    paths = export_phrases(book, folder, names=["Ida's turn"])
    bad = folder / "bad.mid"
    bad.write_text("no music")
    kept, told = import_phrases(book, [*paths, bad])
    assert [phrase.name for phrase in kept] == ["Ida's turn (2)"]
    assert told[0].startswith("bad.mid is refused")


def test_nothing_is_overwritten_unasked(book, tmp_path):
    export_phrases(book, tmp_path, names=["..."])
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(TheoryError, match="already"):
        export_phrases(book, tmp_path)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert len(export_phrases(book, tmp_path, replace=True)) == len(NAMES)


def test_a_folder_is_wanted(book, tmp_path):
    with pytest.raises(TheoryError, match="no such folder"):
        export_phrases(book, tmp_path / "nowhere")
