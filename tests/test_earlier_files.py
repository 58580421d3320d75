"""Files of earlier versions: what they hold is what the version that wrote them said of it.

``tests/earlier`` has a folder for each version. Its ``said.json`` names the commit that wrote the
files, and tells what that commit read in them. Nothing there is written anew: a form that changes
brings one more folder.
"""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from house import ROOT
from together import together

from theorykit import Chart, Journal, PhraseBook, from_dict, to_dict
from theorykit.handout import Handout
from theorykit.show.work_folder import KINDS, DraftWorks, WorkFolder
from theorykit.study.class_file import ClassQuestions, ClassTable
from theorykit.study.drafts import Drafts

EARLIER = ROOT / "tests" / "earlier"
SAID: dict[str, dict[str, Any]] = {
    folder.name: json.loads((folder / "said.json").read_text(encoding="utf-8"))
    for folder in sorted(EARLIER.iterdir())
}


def versions_with(part: str) -> pytest.MarkDecorator:
    """The versions that wrote files of a kind."""
    return pytest.mark.parametrize("version", [name for name, said in SAID.items() if part in said])


@pytest.fixture
def files(version: str, tmp_path: Path) -> Path:
    """A copy of a version's files, which may be opened and written to."""
    return Path(shutil.copytree(EARLIER / version, tmp_path / "files"))


def test_every_version_says_what_wrote_it():
    assert len(SAID) >= 3
    assert all(said["written by"].startswith("theorykit 0.") for said in SAID.values())


@versions_with("tunes")
def test_tunes(files, version):
    for name, told in SAID[version]["tunes"].items():
        text = (files / name).read_text(encoding="utf-8")
        chart = Chart.parse(text)
        bars = [" ".join(map(str, bar.chords)) for bar in chart.progression.bars]
        assert {"title": chart.title, "key": str(chart.key), "bars": bars} == told
        assert str(chart) == text  # and it is still written as it was


@versions_with("handouts")
def test_handouts(files, version):
    for name, told in SAID[version]["handouts"].items():
        found = Handout.read(files / name)
        kinds = [block.kind for block in found.blocks]
        assert {"title": found.title, "teacher": found.teacher, "blocks": kinds} == told
        assert Handout.parse(str(found)) == found


def phrases_of(book: PhraseBook) -> dict[str, Any]:
    """What a book holds, in the words in which a version said it."""
    found = {phrase.name: phrase for phrase in map(book.phrase, book.names)}
    return {
        name: {"line": str(one.line), "colour": one.colour, "tags": [*one.tags], "notes": one.notes}
        for name, one in found.items()
    }


@versions_with("phrases")
def test_phrase_books(files, version):
    book = PhraseBook(files / "phrases.sqlite")
    assert phrases_of(book) == SAID[version]["phrases"]
    one = book.phrase("Ida's turn")
    book.keep("one more", one.line)  # a book of an earlier version is written to as well
    assert set(PhraseBook(files / "phrases.sqlite").names) == {
        *SAID[version]["phrases"],
        "one more",
    }


def test_phrases_sent_as_text(tmp_path):
    book = PhraseBook(tmp_path / "new.sqlite")
    book.import_json((EARLIER / "2026-11-25" / "phrases.json").read_text(encoding="utf-8"))
    assert phrases_of(book) == SAID["2026-11-25"]["phrases"]


@versions_with("journal")
def test_journals(files, version):
    journal, told = Journal(files / "journal.sqlite"), SAID[version]["journal"]
    answers = [[one.kind, one.topic, one.key, one.given, one.is_right] for one in journal.answers]
    assert answers == told["answers"]
    stints = [[one.what, one.minutes, one.tempo, [*one.keys]] for one in journal.practice]
    assert stints == told.get("practice", [])
    assert [[one.about, one.words] for one in journal.notes] == told.get("notes", [])
    due = [one.due.isoformat() for one in journal.cards if one.due is not None]
    assert due == told.get("due", [row[2] for row in told.get("cards", [])])
    sitting = journal.sitting("drill")
    assert (sitting and sitting[1]) == told.get("sitting")
    journal.noted("today", about="")
    assert Journal(files / "journal.sqlite").notes[-1].words == "today"


def test_the_first_drafts_with_their_earlier_states(tmp_path):
    shutil.copy(EARLIER / "2026-11-29_desks" / "drafts.sqlite", tmp_path)
    drafts, told = Drafts(tmp_path / "drafts.sqlite"), SAID["2026-11-29_desks"]["drafts"]
    (tune,), (handout,) = drafts.works("tune"), drafts.works("handout")
    assert drafts.opened(handout.number).state.data["text"] == told["handout"][0]
    now = drafts.opened(tune.number)
    before = drafts.step(now, -1)
    assert [now.state.data["text"], before.state.data["text"]] == told["tune"]
    assert drafts.left("10_through_a_tune") == (tune.number, {"key": "Db major"})
    drafts.put_aside(tune.number)  # which that version could not do
    assert [work.title for work in drafts.aside("tune")] == ["Thursday"]


@versions_with("aside")
def test_drafts_of_every_kind_and_what_was_put_aside(files, version):
    drafts, told = Drafts(files / "drafts.sqlite"), SAID[version]
    for kind, works in told["drafts"].items():
        data = {one.title: drafts.opened(one.number).state.data for one in drafts.works(kind)}
        assert data == works
    assert [one.title for one in drafts.aside("tune")] == told["aside"]


@versions_with("works")
def test_the_folder_of_works(files, version):
    """A folder that an earlier version wrote comes into drafts that are empty."""
    told = SAID[version]["works"]
    assert set(told) == set(KINDS)
    for name, kind in KINDS.items():
        texts = {
            file.name: kind.read(file.read_text(encoding="utf-8"))
            for file in (files / "works" / kind.folder).iterdir()
        }
        assert texts == told[name]
    drafts = Drafts(files / "new.sqlite")
    works = DraftWorks(KINDS["tune"], drafts, lambda data: "Thursday")
    WorkFolder(files / "works", KINDS["tune"], works, drafts).agree()
    assert [drafts.opened(one.number).state.data for one in drafts.works("tune")] == [
        told["tune"]["Thursday.txt"]
    ]


@versions_with("class")
def test_questions_of_a_class_and_what_was_handed_back(files, version):
    week, told = ClassQuestions.read(files / "week.toml"), SAID[version]["class"]
    tasks = [[one.kind, one.topic, one.level, one.key] for one in week.tasks]
    assert (week.title, week.check, tasks) == (told["title"], told["check"], told["tasks"])
    rows = ClassTable.read(files / "week.toml", [files / "ida.json"]).rows
    assert [[row[0], row[1], row[3], row[4]] for row in rows] == [
        [name, number, given, right] for name, number, _, given, right, _ in told["marks"]
    ]


RECORDS = json.loads((EARLIER / "2026-11-29_works" / "records.json").read_text(encoding="utf-8"))


@together("row", RECORDS, ids=lambda row: row["record"]["kind"])
def test_records(row):
    """What a record said stays in the record that is written today, which may say more."""
    value = from_dict(row["record"])
    assert to_dict(value).items() >= row["record"].items()
    assert str(value) == row.get("text", str(value))
