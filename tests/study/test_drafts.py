"""The file of drafts: nothing that another text replaces is lost, whoever writes it."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from theorykit.errors import TheoryError
from theorykit.study import drafts as module
from theorykit.study.drafts import Drafts, Opened
from theorykit.study.works.kept_state import LARGEST


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "own" / "drafts.sqlite"


def texts(drafts: Drafts, opened: Opened) -> list[str]:
    """Return the texts of all states of a work, the newest first."""
    return [state.data["text"] for state in drafts.states(opened.work)]


def test_looking_makes_no_file_and_the_first_work_makes_one_for_its_owner_alone(path):
    drafts = Drafts(path)
    assert (drafts.works("tune"), drafts.left("here")) == ((), (None, {}))
    assert not path.parent.exists()
    drafts.begin("tune", "Thursday", {"text": "| Dm7 |"})
    modes = [one.stat().st_mode & 0o777 for one in (path.parent, path)]
    assert modes == [0o700, 0o600]
    assert [work.title for work in Drafts(path).works("tune")] == ["Thursday"]
    assert Drafts(path).works("line") == ()


def test_a_file_that_goes_while_a_desk_is_open_is_made_anew(path):
    drafts = Drafts(path)
    opened = drafts.begin("tune", "Thursday", {"text": "| Dm7 |"})
    path.unlink()
    saved = drafts.save(opened, "Thursday", {"text": "| Dm7 | G7 |"})
    assert texts(Drafts(path), saved) == ["| Dm7 | G7 |"]


def test_a_file_of_another_kind_is_refused_and_left(tmp_path):
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear band", encoding="utf-8")
    with pytest.raises(TheoryError, match="no file of drafts"):
        Drafts(letter)
    assert letter.read_text(encoding="utf-8") == "Dear band"


_STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("replace"), st.sampled_from("abcdefgh")),
        st.tuples(st.just("type"), st.sampled_from("xyz")),
        st.tuples(st.just("undo"), st.just("")),
        st.tuples(st.just("redo"), st.just("")),
    ),
    max_size=40,
)


@given(_STEPS)
def test_whatever_is_replaced_or_stepped_over_can_be_fetched(steps):
    """Beside it a plain list: every text that stood when another one took its place."""
    drafts = Drafts()
    now = drafts.begin("tune", "t", {"text": "first"})
    put_aside: set[str] = set()
    for step, text in steps:
        before = now.state.data["text"]
        match step:
            case "replace":
                put_aside.add(before)
                now = drafts.save(now, "t", {"text": text}, fresh=True)
                assert drafts.step(now, -1).state.data["text"] == before
                now = drafts.step(now, 1)
            case "type":
                # A state that was stepped back to has others after it, and is not typed over.
                put_aside |= {before} if now.after else set()
                now = drafts.save(now, "t", {"text": before + text})
            case "undo":
                back = drafts.step(now, -1)
                assert (back.state.number == now.state.number) == (now.before == 0)
                now = back
            case "redo":
                now = drafts.step(now, 1)
        kept = set(texts(drafts, now))
        assert put_aside <= kept
        assert now.state.data["text"] in kept


def test_the_oldest_states_go_and_no_others(monkeypatch):
    drafts = Drafts()
    now = drafts.begin("tune", "t", {"text": "0"})
    for number in range(1, 150):
        now = drafts.save(now, "t", {"text": str(number)}, fresh=True)
    assert texts(drafts, now) == [str(number) for number in range(149, 49, -1)]
    monkeypatch.setattr(module, "MOST_HISTORY", 3 * len('{"text": "149"}'))
    now = drafts.save(now, "t", {"text": "150"}, fresh=True)
    assert texts(drafts, now) == ["150", "149", "148"]


def test_two_desks_on_one_work_keep_both_and_the_later_one_gets_a_work_of_its_own(path):
    first = Drafts(path).begin("tune", "Thursday", {"text": "0"})
    one, other = Drafts(path), Drafts(path)
    mine, yours = one.opened(first.work), other.opened(first.work)
    mine = one.save(mine, "Thursday", {"text": "mine"}, fresh=True)
    yours = other.save(yours, "Thursday", {"text": "yours"}, fresh=True)
    assert yours.work != mine.work
    mine = one.save(mine, "Thursday", {"text": "mine, later"})
    assert texts(one, mine) == ["mine, later", "0"]
    assert texts(other, yours) == ["yours"]
    assert len(one.works("tune")) == 2


def test_where_a_work_never_forks_the_other_desks_state_is_one_step_back(path):
    first = Drafts(path).begin("explorer #1", "", {"key": "C"})
    Drafts(path).save(first, "", {"key": "D"}, fresh=True)
    later = Drafts(path).save(first, "", {"key": "E"}, forks=False)
    assert later.revision == first.revision + 2
    assert [state.data["key"] for state in Drafts(path).states(first.work)] == ["E", "D", "C"]
    assert Drafts(path).step(later, -1).state.data == {"key": "D"}


def test_a_work_that_another_desk_has_taken_out_begins_anew(path):
    drafts = Drafts(path)
    opened = drafts.begin("tune", "Thursday", {"text": "0"})
    drafts.leave("here", opened.work, {"tempo": 90})
    Drafts(path).take_out(opened.work)
    assert drafts.left("here") == (None, {"tempo": 90})
    with pytest.raises(TheoryError, match="any more"):
        drafts.opened(opened.work)
    saved = drafts.save(opened, "Thursday", {"text": "typed on"})
    assert texts(drafts, saved) == ["typed on"]
    assert [work.title for work in drafts.works("tune")] == ["Thursday"]


def test_what_is_too_much_is_refused_and_what_was_there_stays(path):
    drafts = Drafts(path)
    opened = drafts.begin("tune", "t", {"text": "0"})
    with pytest.raises(TheoryError, match="too much to be kept"):
        drafts.save(opened, "t", {"text": "x" * LARGEST})
    assert texts(drafts, opened) == ["0"]


def test_only_the_places_of_long_ago_are_forgotten(monkeypatch):
    monkeypatch.setattr(module, "MOST_PLACES", 3)
    drafts = Drafts()
    for number in range(5):
        drafts.leave(f"place {number}", None, {"number": number})
    assert [drafts.left(f"place {number}")[1] for number in range(5)] == [
        {},
        {},
        {"number": 2},
        {"number": 3},
        {"number": 4},
    ]


def test_threads_of_one_kernel_and_two_files_on_one_path_write_at_once(path):
    drafts = [Drafts(path), Drafts(path)]
    for one in drafts:
        one.begin("start", "", {})

    def work(number: int) -> None:
        mine = drafts[number % 2].begin("tune", f"tune {number}", {"text": "0"})
        for step in range(5):
            mine = drafts[number % 2].save(mine, f"tune {number}", {"text": str(step)}, fresh=True)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    works = drafts[0].works("tune")
    assert sorted(work.title for work in works) == [f"tune {number}" for number in range(4)]
    for one in works:
        assert texts(drafts[0], drafts[0].opened(one.number)) == ["4", "3", "2", "1", "0", "0"]


WRITER = """
import sys
from pathlib import Path
from theorykit.study.drafts import Drafts

drafts = Drafts(Path(sys.argv[1]))
now = drafts.begin("tune", "t", {"text": "0"})
number = 0
while True:
    number += 1
    now = drafts.save(now, "t", {"text": str(number) * 2000}, fresh=number % 3 == 0)
    print(number, flush=True)
"""


@pytest.mark.proof
@pytest.mark.parametrize("after", range(1, 60, 3))
def test_a_killed_writer_leaves_the_last_word_that_it_told_or_the_next(path, after):
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        told = 0
        while told < after:
            told = int(process.stdout.readline())
        process.kill()
        told = max([told, *map(int, process.stdout.read().split())])
    drafts = Drafts(path)
    (work,) = drafts.works("tune")
    text = drafts.opened(work.number).state.data["text"]
    assert text in {str(told) * 2000, str(told + 1) * 2000}


ODD_ROWS = (
    "UPDATE works SET title = x'ff'",
    "UPDATE works SET revision = 'first'",
    "UPDATE states SET data = x'7b7d'",
    "UPDATE states SET changed = 'late'",
    "UPDATE places SET data = x'7b7d'",
    "UPDATE places SET work = 'that one'",
)


@pytest.mark.parametrize("odd", ODD_ROWS)
def test_rows_that_no_desk_has_written_are_refused_and_left(tmp_path, odd):
    file = tmp_path / "drafts.sqlite"
    drafts = Drafts(file)
    drafts.leave("a place", drafts.begin("tune", "Thursday", {"text": "| C |"}).work, {})
    Drafts(file)  # as it was written it is sound
    with closing(sqlite3.connect(file)) as base:
        base.execute("PRAGMA foreign_keys = OFF")
        base.execute(odd)
        base.commit()
    before = file.read_bytes()
    with pytest.raises(TheoryError, match="damaged"):
        Drafts(file)
    assert file.read_bytes() == before


@pytest.mark.parametrize("data", ["{", "[1]", "", "{'text': 1}", "[" * 100_000])
def test_a_state_that_cannot_be_read_is_told(tmp_path, data):
    file = tmp_path / "drafts.sqlite"
    work = Drafts(file).begin("tune", "Thursday", {"text": "| C |"}).work
    with closing(sqlite3.connect(file)) as base:
        base.execute("UPDATE states SET data = ?", (data,))
        base.commit()
    with pytest.raises(TheoryError, match="no kept state"):
        Drafts(file).opened(work)


@pytest.mark.parametrize("version", [0, -1])
def test_a_version_that_no_file_has_is_refused(tmp_path, version):
    file = tmp_path / "drafts.sqlite"
    Drafts(file).begin("tune", "Thursday", {"text": "| C |"})
    with closing(sqlite3.connect(file)) as base:
        base.execute(f"PRAGMA user_version = {version}")
    with pytest.raises(TheoryError, match=r"damaged|newer"):
        Drafts(file)


def test_what_is_put_aside_is_in_no_list_and_comes_back_as_it_was(path):
    drafts = Drafts(path)
    opened = drafts.begin("tune", "Thursday", {"text": "| C |"})
    drafts.leave("here", opened.work, {"tempo": 90})
    drafts.put_aside(opened.work)
    assert (drafts.works("tune"), drafts.left("here")) == ((), (None, {"tempo": 90}))
    assert [work.title for work in drafts.aside("tune")] == ["Thursday"]
    back = Drafts(path).bring_back(opened.work)
    assert (back.state.data, drafts.aside("tune")) == ({"text": "| C |"}, ())
    assert [work.title for work in drafts.works("tune")] == ["Thursday"]


def test_a_desk_that_still_types_brings_back_what_was_put_aside(path):
    drafts = Drafts(path)
    opened = drafts.begin("tune", "Thursday", {"text": "| C |"})
    drafts.put_aside(opened.work)
    saved = drafts.save(opened, "Thursday", {"text": "| C | F |"})
    assert saved.work == opened.work
    assert [work.title for work in drafts.works("tune")] == ["Thursday"]


def test_of_very_many_that_were_put_aside_the_oldest_goes(monkeypatch):
    monkeypatch.setattr(module, "MOST_ASIDE", 3)
    drafts = Drafts()
    for number in range(5):
        drafts.put_aside(drafts.begin("tune", str(number), {"text": ""}).work)
    assert [work.title for work in drafts.aside("tune")] == ["4", "3", "2"]


FIRST_VERSION = f"""
CREATE TABLE works (work INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL,
    title TEXT NOT NULL, now INTEGER NOT NULL, revision INTEGER NOT NULL, changed REAL NOT NULL);
CREATE TABLE states (work INTEGER NOT NULL REFERENCES works (work) ON DELETE CASCADE,
    number INTEGER NOT NULL, changed REAL NOT NULL, data TEXT NOT NULL,
    PRIMARY KEY (work, number));
CREATE TABLE places (place TEXT PRIMARY KEY,
    work INTEGER REFERENCES works (work) ON DELETE SET NULL, data TEXT NOT NULL,
    changed REAL NOT NULL);
INSERT INTO works VALUES (1, 'tune', 'Old', 1, 1, 1.0);
INSERT INTO states VALUES (1, 1, 1.0, '{{"text": "| C |"}}');
INSERT INTO places VALUES ('here', 1, '{{}}', 1.0);
PRAGMA application_id = {Drafts.application};
PRAGMA user_version = 1;
"""


def test_a_file_of_the_first_version_is_taken_over_as_it_is(tmp_path):
    file = tmp_path / "drafts.sqlite"
    with closing(sqlite3.connect(file)) as base:
        base.executescript(FIRST_VERSION)
    drafts = Drafts(file)
    assert drafts.left("here") == (1, {})
    assert drafts.opened(1).state.data == {"text": "| C |"}
    drafts.put_aside(1)
    drafts.agree("a folder", {"1": ("Old.txt", "abc")})
    assert Drafts(file).agreed("a folder") == {"1": ("Old.txt", "abc")}
    assert [work.title for work in Drafts(file).aside("tune")] == ["Old"]


def test_what_was_agreed_on_is_kept_for_each_folder():
    drafts = Drafts()
    drafts.agree("one", {"1": ("a.txt", "x")})
    drafts.agree("other", {"1": ("b.txt", "y")})
    drafts.agree("one", {"2": ("c.txt", "z")})
    assert drafts.agreed("one") == {"2": ("c.txt", "z")}
    assert drafts.agreed("other") == {"1": ("b.txt", "y")}


def test_what_is_written_together_is_there_as_a_whole_or_not_at_all(path):
    drafts = Drafts(path)
    first = drafts.begin("tune", "Thursday", {"text": "one"})
    for fails in (True, False):
        try:
            with drafts.together():
                with drafts.together():
                    drafts.save(first, "Thursday", {"text": "two"}, fresh=True)
                drafts.leave("here", first.work, {"tempo": 80})
                assert 1 / (not fails)
        except ZeroDivisionError:
            assert texts(Drafts(path), first) == ["one"]
            assert Drafts(path).left("here") == (None, {})
    assert texts(Drafts(path), first) == ["two", "one"]
    assert Drafts(path).left("here") == (first.work, {"tempo": 80})
