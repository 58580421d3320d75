"""The phrase book: kept, found, set, shared, and safe."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from theorykit.errors import TheoryError
from theorykit.lines.setting import set_into
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.study.own_file import PATIENCE
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

LONG = Line.parse(
    "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4", two_five_one("C")
)
SHORT = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
MINOR = Line.parse("8th Ab4 C5 D5 F5 B4 Ab4 Eb4 D4 | whole Eb4", two_five_one("C minor", "short"))


@pytest.fixture
def book(tmp_path):
    book = PhraseBook(tmp_path / "thursday.phrases")
    book.keep("long one", LONG, colour="b9", tags=["first", "falling"])
    book.keep("short one", SHORT, colour="b9 13", tags=["first"], notes="Ida plays this")
    book.keep("minor one", MINOR, colour="b9 b13")
    return book


def test_what_is_kept_is_found_again(book):
    again = PhraseBook(book.path)
    phrase = again.phrase("short one")
    assert (phrase.line, phrase.colour, phrase.form) == (SHORT, "b9 13", "short")
    assert (phrase.tags, phrase.notes, str(phrase.key)) == (("first",), "Ida plays this", "C major")
    assert phrase.saved.endswith("+00:00")
    assert again.names == ("long one", "minor one", "short one")


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ({}, ["long one", "minor one", "short one"]),
        ({"colour": "♭9"}, ["long one"]),
        ({"colour": ""}, []),
        ({"form": "short"}, ["minor one", "short one"]),
        ({"form": "short", "colour": "b9 13"}, ["short one"]),
        ({"bars": 3}, ["long one"]),
        ({"tag": "first"}, ["long one", "short one"]),
        ({"tag": "first", "bars": 2}, ["short one"]),
        ({"tag": "none"}, []),
    ],
)
def test_found_by_colour_form_length_and_tag(book, asked, names):
    assert [phrase.name for phrase in book.find(**asked)] == names


def test_a_name_is_used_once_unless_replaced(book):
    with pytest.raises(TheoryError, match="already"):
        book.keep("long one", SHORT)
    assert book.phrase("long one").line == LONG
    book.keep("long one", SHORT, replace=True)
    assert book.phrase("long one").line == SHORT
    assert book.find(tag="falling") == ()


def test_dropped_is_gone(book):
    book.drop("long one")
    assert book.names == ("minor one", "short one")
    for ask in (book.drop, book.phrase):
        with pytest.raises(TheoryError, match="'minor one', 'short one'"):
            ask("long one")


@pytest.mark.parametrize("name", ["", " x", "a\nb", "\t", "x" * 121, None, "\ud800"])
def test_a_name_is_one_line(book, name):
    with pytest.raises(TheoryError, match="name"):
        book.keep(name, SHORT)


@pytest.mark.parametrize("name", ["Größe", "'; DROP TABLE phrases; --", "🎷 late", "قطعة", "%_"])
def test_a_name_is_data(book, name):
    book.keep(name, SHORT, tags=[name], notes=name)
    assert book.phrase(name).notes == name
    assert [phrase.name for phrase in book.find(tag=name)] == [name]


# Short ii-V material fits the second bar of a long ii-V unchanged (common practice).
def test_a_short_phrase_fills_the_bar_before_one():
    for form in ("long", "split"):
        found = set_into(SHORT, form=form)
        assert found.line.text == f"whole rest | {SHORT.text}"
        assert found.line.progression == two_five_one("C", form)


def test_every_phrase_goes_into_every_form_and_key(book):
    for name in book.names:
        phrase = book.phrase(name)
        for key in KEYS:
            if key.mode != phrase.key.mode:
                continue
            for form in FORMS:
                found = phrase.into(key, form)
                assert found.line.progression.key == key
                assert found.line.progression == two_five_one(key, form)
                landing = found.line.progression.chords[-1]
                first = next(n for n in found.line.notes if n.start == landing.start)
                home = phrase.into(key).line
                assert first.pitch == home.notes[-1].pitch
                before = found.line.notes[found.line.notes.index(first) - 1]
                assert before.pitch == home.notes[-2].pitch


def test_a_long_phrase_whose_v_bar_begins_in_the_key_loses_its_first_bar():

    found = set_into(LONG, form="short")
    assert found.line.text == "8th F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4"
    assert "left out" in found.words


def test_a_long_phrase_with_its_colour_early_is_played_in_double_time():

    line = Line.parse(
        "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 Eb5 Db5 B4 Ab4 G4 F4 D4 | whole E4", two_five_one("C")
    )
    found = set_into(line, form="short")
    assert found.line.text == ("16th D5 F5 A5 C6 B5 A5 G5 E5 F5 Eb5 Db5 B4 Ab4 G4 F4 D4 | whole E4")
    assert "double time" in found.words
    assert "two beats early" in set_into(line, form="split").words


def test_a_split_phrase_becomes_short_and_long():

    split = Line.parse(
        "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 D5 A4 C5 B4 Ab4 F4 D4 | whole E4",
        two_five_one("C", "split"),
    )
    assert set_into(split, form="short").line.text.startswith("8th F5 D5 A4 C5 B4 Ab4")
    assert set_into(split, form="long").line.notes == split.notes


def test_another_mode_and_what_is_no_cadence_are_refused(book):
    with pytest.raises(TheoryError, match="major key"):
        book.phrase("long one").into("C minor")
    with pytest.raises(TheoryError, match="no such form"):
        book.phrase("long one").into("C", "endless")
    other = Line(Progression(Key.parse("C"), (Bar.even("Cmaj7"), Bar.even("Fmaj7"))), ())
    phrase = book.keep("vamp", other)
    assert (phrase.form, phrase.bars) == ("", 2)
    with pytest.raises(TheoryError, match="no ii-V-I"):
        phrase.into("C", "long")
    assert phrase.into("F").line.progression.key == Key.parse("F")


def test_json_goes_from_book_to_book(book, tmp_path):
    text = book.export_json()
    other = PhraseBook(tmp_path / "other.phrases")
    assert [phrase.name for phrase in other.import_json(text)] == list(book.names)
    assert other.find() == book.find()
    assert other.import_json(text) == ()
    other.keep("long one", SHORT, replace=True)
    assert [phrase.name for phrase in other.import_json(text)] == ["long one (2)"]
    assert json.loads(book.export_json(["short one"]))["phrases"][0]["line"] == SHORT.text


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: "",
        lambda data: "[" * 100_000,
        lambda data: json.dumps({"phrases": []}),
        lambda data: json.dumps({**data, "version": 2}),
        lambda data: json.dumps({**data, "phrases": [{"name": "x"}]}),
        lambda data: json.dumps({**data, "phrases": [7]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "line": "8th H5"}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "key": "X"}]}),
        lambda data: json.dumps(
            {**data, "phrases": [{**data["phrases"][0], "bars": [[["Dm7", "1e999999999"]]]}]}
        ),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "bars": "Dm7"}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "name": "\ud800"}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "colour": "blue"}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "saved": "\udfff"}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "saved": 7}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "colour": None}]}),
        lambda data: json.dumps({**data, "phrases": [{**data["phrases"][0], "colour": 0}]}),
    ],
)
def test_what_is_no_export_is_refused_and_nothing_is_taken_in(book, spoil):
    data = json.loads(book.export_json())
    data["phrases"] = [{**one, "name": f"new {one['name']}"} for one in data["phrases"]]
    good = data["phrases"][1:]
    spoiled = spoil(data)
    with pytest.raises(TheoryError):
        book.import_json(spoiled)
    assert book.names == ("long one", "minor one", "short one")
    assert len(good) == 2


# Files that are no book, or no longer one.


def other_database(path):
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE birds (name TEXT)")
        other.execute("INSERT INTO birds VALUES ('wren')")


def newer_book(path):
    PhraseBook(path)
    with sqlite3.connect(path) as newer:
        newer.execute("PRAGMA user_version = 2")


def filled(path):
    book = PhraseBook(path)
    for number in range(40):
        book.keep(f"phrase {number}", SHORT, notes="x" * 500)


def truncated_book(path):
    filled(path)
    path.write_bytes(path.read_bytes()[:20_000])


def scratched_book(path):
    filled(path)
    data = bytearray(path.read_bytes())
    data[8192:12_288] = b"\xff" * 4096
    path.write_bytes(data)


def altered_phrase(path):
    """One note of one phrase was changed in the file: the pages are whole, the phrase is not."""
    filled(path)
    data = path.read_bytes()
    path.write_bytes(data.replace(b"8th A4 C5 F5", b"8th A4 C5 G5", 1))


def phrase_of_bytes(path):
    """A phrase that is no text any more: SQLite keeps whatever it is given."""
    filled(path)
    with sqlite3.connect(path) as base:
        base.execute("UPDATE phrases SET data = x'ff'")
    base.close()


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (phrase_of_bytes, "not what was saved"),
        (lambda path: path.write_text("a list of birds\n" * 50), "no phrase book"),
        (lambda path: path.write_bytes(b"SQLite format 3\x00"), "damaged"),
        (lambda path: path.write_bytes(b"\x00" * 5000), "no phrase book"),
        (other_database, "no phrase book"),
        (newer_book, "newer"),
        (truncated_book, "damaged"),
        (scratched_book, "damaged"),
        (altered_phrase, "not what was saved"),
    ],
)
def test_a_file_that_is_no_sound_book_is_refused_and_kept_untouched(tmp_path, make, words):
    path = tmp_path / "book"
    make(path)
    before = path.read_bytes()
    with pytest.raises(TheoryError, match=words) as caught:
        PhraseBook(path)
    assert "left as it is" in str(caught.value)
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["book"]


@pytest.mark.parametrize("path", [None, 7])
def test_a_path_is_wanted(path):
    with pytest.raises(TheoryError, match="path"):
        PhraseBook(path)


def test_a_folder_and_a_missing_folder_are_refused(tmp_path):
    with pytest.raises(TheoryError, match="folder"):
        PhraseBook(tmp_path)
    with pytest.raises(TheoryError, match="no such folder"):
        PhraseBook(tmp_path / "nowhere" / "book")


def test_an_empty_file_becomes_a_book(tmp_path):
    path = tmp_path / "book"
    path.touch()
    assert PhraseBook(path).names == ()


WRITER = """
import sys
from theorykit import Line, two_five_one
from theorykit.study.phrasebook import PhraseBook
line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
book = PhraseBook(sys.argv[1])
for number in range(100_000):
    book.keep(f"{sys.argv[2]} {number}", line, notes="x" * 3000, tags=["a", "b"])
    print(number, flush=True)
"""


@pytest.mark.parametrize("turns", [2, pytest.param(6, marks=pytest.mark.proof)])
def test_a_write_that_is_killed_loses_nothing_that_was_saved(tmp_path, turns):
    """Killed in the middle of a stream of writes, again and again, at moments of chance."""
    path = tmp_path / "book"
    saved = set()
    for turn in range(turns):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), f"turn {turn}"],
            stdout=subprocess.PIPE,
            text=True,
        )
        for line in writer.stdout:
            saved.add(f"turn {turn} {line.strip()}")
            if int(line) >= 3 + 2 * turn:
                os.kill(writer.pid, signal.SIGKILL)
                break
        told = writer.stdout.read().split()
        saved |= {f"turn {turn} {number}" for number in told}
        writer.wait()
        writer.stdout.close()
        assert writer.returncode == -signal.SIGKILL
        names = set(PhraseBook(path).names)
        assert saved <= names
        assert len(names - saved) <= turn + 1  # saved, but killed before it could say so
        saved = names


def test_two_notebooks_write_at_once(tmp_path):
    path = tmp_path / "book"
    failures = []

    def write(who):
        try:
            book = PhraseBook(path)
            for number in range(15):
                book.keep(f"{who} {number}", SHORT)
        except Exception as wrong:  # what goes wrong in a thread is told below
            failures.append(wrong)

    notebooks = [threading.Thread(target=write, args=(who,)) for who in ("one", "other")]
    for notebook in notebooks:
        notebook.start()
    for notebook in notebooks:
        notebook.join()
    assert failures == []
    assert len(PhraseBook(path).names) == 30


def test_a_book_that_cannot_be_written_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr("theorykit.study.own_file.PATIENCE", 0.05)
    book = PhraseBook(tmp_path / "book")
    with sqlite3.connect(book.path, isolation_level=None) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(TheoryError, match="another notebook"):
            book.keep("x", SHORT)
        other.execute("ROLLBACK")
    assert book.keep("x", SHORT).name == "x"


def test_a_full_disk_is_told_as_such_and_nothing_is_lost(tmp_path, monkeypatch):
    """SQLite ends the write by itself there; that this failed once hid why."""
    book = PhraseBook(tmp_path / "book")
    book.keep("x", SHORT)
    pages = book.path.stat().st_size // 4096
    connect = sqlite3.connect

    def full(*args, **wishes):
        made = connect(*args, **wishes)
        made.execute(f"PRAGMA max_page_count = {pages}")
        return made

    with monkeypatch.context() as disk:
        disk.setattr("theorykit.study.own_file.sqlite3.connect", full)
        with pytest.raises(TheoryError, match="the disk is full"):
            book.keep("y", SHORT, notes="x" * 9000)
    assert book.phrase("x").line == SHORT
    assert book.keep("z", SHORT).name == "z"


def test_a_locked_book_is_told_within_two_seconds():
    assert PATIENCE < 2  # seconds that SQLite waits; nothing else is done


def test_a_new_book_is_for_its_owner_alone_and_a_mode_that_was_set_stays(tmp_path):
    path = tmp_path / "book"
    PhraseBook(path)
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o640)
    PhraseBook(path).keep("x", SHORT)
    assert path.stat().st_mode & 0o777 == 0o640


def export_of(count, book):
    """The text of an export of many phrases, copies of one under names of their own."""
    data = json.loads(book.export_json(["short one"]))
    data["phrases"] = [{**data["phrases"][0], "name": f"turn {n}"} for n in range(count)]
    return json.dumps(data)


def statements(book, act):
    """What SQLite is asked to do meanwhile, many rows of one kind as one."""
    seen = []
    connect = sqlite3.connect

    def traced(*args, **wishes):
        made = connect(*args, **wishes)
        made.set_trace_callback(lambda text: seen.append(text.split()[0]))
        return made

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("theorykit.study.own_file.sqlite3.connect", traced)
        act()
    return seen


@pytest.mark.parametrize("count", [300, pytest.param(20_000, marks=pytest.mark.proof)])
def test_many_phrases_are_taken_in_by_one_write_and_named_by_one_query(book, tmp_path, count):
    text = export_of(count, book)
    other = PhraseBook(tmp_path / "other")
    asked = statements(other, lambda: other.import_json(text))
    assert asked.count("SELECT") == 1
    assert asked.count("BEGIN") == asked.count("COMMIT") == 1
    rows = count * (1 + len(book.phrase("short one").tags))
    assert asked.count("INSERT") == rows
    assert statements(other, lambda: other.names).count("SELECT") == 1
    assert len(other.names) == count
    assert statements(other, lambda: other.import_json(text)).count("INSERT") == 0
    with pytest.raises(TheoryError, match=r"'turn 0', 'turn 1', 'turn 10'.* \.\.\.\)"):
        other.phrase("nobody's")


def test_many_phrases_of_one_name_get_numbers(book, tmp_path):
    data = json.loads(book.export_json(["short one"]))
    one = data["phrases"][0]
    data["phrases"] = [{**one, "notes": str(number)} for number in range(40)]
    other = PhraseBook(tmp_path / "other")
    names = [phrase.name for phrase in other.import_json(json.dumps(data))]
    assert names == ["short one", *(f"short one ({number})" for number in range(2, 41))]


def test_a_list_of_phrases_says_what_they_are_without_reading_a_line(book, monkeypatch):
    wanted = [(p.name, p.key, p.form, p.bars, p.colour, p.tags) for p in book.find()]
    monkeypatch.setattr("theorykit.study.phrase.Line.parse", None)
    found = [(p.name, p.key, p.form, p.bars, p.colour, p.tags) for p in book.listed()]
    assert found == wanted
    assert [p.name for p in book.listed(form="short", colour="b9 13")] == ["short one"]
    with pytest.raises(TheoryError, match="no such form"):
        book.listed(form="endless")


@given(st.text(max_size=60), st.lists(st.text(max_size=20), max_size=4), st.text(max_size=200))
@settings(max_examples=40)
def test_any_text_is_kept_as_it_is_or_refused(tmp_path_factory, name, tags, notes):
    path: Path = tmp_path_factory.mktemp("books") / "book"
    book = PhraseBook(path)
    try:
        kept = book.keep(name, SHORT, tags=tags, notes=notes)
    except TheoryError:
        assert book.names == ()
        return
    assert book.phrase(name) == kept
    assert PhraseBook(path).find() == (kept,)
