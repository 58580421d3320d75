"""The desk for handouts without a browser: every control, what is kept, what is refused."""

from __future__ import annotations

import io
import json
import threading
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import ipywidgets as ipw
import pytest
import zxingcpp
from house import ROOT
from PIL import Image
from sweeps import swept

from theorykit import Chart, Chord, Line, Note, demonstration, two_five_one, write_chorus
from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Handout
from theorykit.handout.blocks import KINDS, TuneBlock, sections_of
from theorykit.handout.front import AUDIENCES
from theorykit.handout.page import Engraver
from theorykit.notes.reader import READERS, reader
from theorykit.study.class_file import ClassQuestions
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import explorer, handout_desk, line_desk, tune_desk
from theorykit.widgets.handouts.block_form import FRONT, Form
from theorykit.widgets.handouts.file_making import PLAYERS
from theorykit.widgets.handouts.sources import cadence_block, renewed

READY = sorted((ROOT / "workbook" / "handouts").glob("*.toml"))
TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
LINE = "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4"
CHART = "key: C major\n| Dm7 | G7 | Cmaj7 | % |\n"
NEEDED = {
    "line": {"line": LINE, "form": "short"},
    "line in all keys": {"line": LINE, "form": "short", "keys": "2"},
    "tune": {"chart": CHART, "lines": "none"},
    "listen": {"things": "Bar 3, then bar 5\nthe way home"},
    "plan": {"steps": "5 | Sing the roots."},
    "text": {"text": "Sing first."},
    "questions": {"questions": "What is the 3 of G7? | B"},
}


@pytest.fixture
def desk(tmp_path: Path):
    return handout_desk(path=tmp_path / "drafts.sqlite", folder=tmp_path / "out")


def add(desk, kind: str, **typed: str) -> None:
    """Fill in a form for a new block and add it."""
    desk.filling.begin(kind)
    desk.filling.form.fill({**NEEDED.get(kind, {}), **typed})
    desk.filling.add.click()


@pytest.mark.parametrize("kind", KINDS)
def test_a_block_of_every_kind_is_added_by_its_form_and_seen(desk, kind):
    before = desk.looking.pages.shown.value
    add(desk, kind)
    assert (desk.filling.problem.value, desk.problem.value) == ("", "")
    assert [block.kind for block in desk.handout.blocks] == [kind]
    assert Handout.parse(desk.text.value) == desk.handout
    assert (desk.looking.pages.shown.value == before) == (
        kind == "new page" and len(desk.looking.pages.pages) == 1
    )


@pytest.mark.parametrize("file", READY, ids=lambda file: file.stem)
def test_every_block_of_a_ready_handout_goes_through_its_form_unchanged(file):
    handout = Handout.read(file)
    for block in handout.blocks:
        assert Form(block.kind, block).read() == block
    assert Form(FRONT, handout).read().with_blocks(handout.blocks) == handout


def said(desk) -> list[str]:
    """Return the texts of a handout of texts."""
    return [block.text for block in desk.handout.blocks]


def test_blocks_are_moved_changed_and_removed(desk):
    for text in ("one", "two", "three"):
        add(desk, "text", text=text)
    assert (said(desk), desk.blocks.value) == (["one", "two", "three"], None)
    desk.blocks.value = 2
    desk.up.click()
    assert (said(desk), desk.blocks.value) == (["one", "three", "two"], 1)
    desk.down.click()
    desk.down.click()
    assert (said(desk), desk.blocks.value) == (["one", "two", "three"], 2)
    desk.blocks.value = 0
    desk.filling.form.fields["text"].value = "first"
    assert said(desk) == ["first", "two", "three"]
    desk.remove.click()
    assert said(desk) == ["two", "three"]
    assert desk.filling.form.values["text"] == "two"
    desk.blocks.value = -1
    desk.remove.click()
    assert "no block is chosen" in desk.filling.problem.value
    desk.filling.form.fields["title"].value = "This Thursday"
    assert (desk.handout.title, said(desk)) == ("This Thursday", ["two", "three"])


def test_the_form_is_always_that_of_the_marked_row(desk):
    assert (desk.blocks.value, desk.filling.form.kind) == (-1, FRONT)
    add(desk, "text", text="one")
    add(desk, "plan")
    for place, kind in ((0, "text"), (1, "plan"), (-1, FRONT), (0, "text")):
        desk.blocks.value = place
        assert desk.filling.form.kind == kind
    desk.text.value = desk.text.value.replace('"one"', '"another"')
    assert (desk.blocks.value, desk.filling.form.values["text"]) == (0, "another")
    form = desk.filling.form
    form.fields["text"].value = "mine"
    assert desk.filling.form is form  # it is not taken from under the hands of who types
    assert said_kinds(desk) == ["text", "plan"]
    desk.filling.begin("text")
    assert desk.blocks.value is None
    assert desk.filling.form.values["text"] == ""
    assert desk.handout.blocks[0].text == "mine"


def said_kinds(desk) -> list[str]:
    """Return the kinds of the blocks."""
    return [block.kind for block in desk.handout.blocks]


def test_a_new_block_goes_after_the_one_chosen_last(desk):
    for text in ("one", "two"):
        add(desk, "text", text=text)
    desk.blocks.value = 0
    add(desk, "text", text="between")
    add(desk, "text", text="and after it")
    assert said(desk) == ["one", "between", "and after it", "two"]
    desk.blocks.value = -1
    add(desk, "text", text="last")
    assert said(desk)[-1] == "last"


def test_what_is_half_typed_is_there_again(desk):
    add(desk, "text", text="one")
    desk.filling.kind.value = "plan"
    desk.filling.form.fields["steps"].value = "5 | Sing the ro"
    desk.filling.kind.value = "questions"
    desk.filling.form.fields["questions"].value = "half a question"
    desk.blocks.value = 0
    desk.filling.kind.value = "plan"
    assert desk.filling.form.values["steps"] == "5 | Sing the ro"
    desk.filling.kind.value = "questions"
    assert desk.filling.form.values["questions"] == "half a question"
    desk.filling.add.click()
    assert "has no | in it" in desk.filling.problem.value
    assert desk.filling.form.values["questions"] == "half a question"


def test_a_chosen_block_that_cannot_be_read_stays_and_so_do_its_fields(desk):
    add(desk, "plan")
    desk.blocks.value = 0
    desk.filling.form.fields["steps"].value = "five | Sing the roots."
    assert "no such minutes" in desk.filling.problem.value
    assert [step.minutes for step in desk.handout.blocks[0].steps] == [5]
    desk.blocks.value = -1
    assert desk.filling.problem.value == ""
    desk.blocks.value = 0
    assert desk.filling.form.values["steps"] == "five | Sing the roots."
    assert "no such minutes" in desk.filling.problem.value
    desk.filling.form.fields["steps"].value = "6 | Sing the roots."
    assert desk.filling.problem.value == ""
    assert [step.minutes for step in desk.handout.blocks[0].steps] == [6]


def test_everything_half_typed_is_there_after_a_restart(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk(path=path)
    add(first, "plan")
    first.filling.begin("questions")
    first.filling.form.fields["questions"].value = "half a question"
    first.blocks.value = 0
    first.filling.form.fields["steps"].value = "no bar here"
    first.filling.begin("text")
    first.filling.form.fields["text"].value = "half a text"
    again = handout_desk(path=path)
    assert again.filling.form.values["text"] == "half a text"
    again.filling.kind.value = "questions"
    assert again.filling.form.values["questions"] == "half a question"
    again.blocks.value = 0
    assert again.filling.form.values["steps"] == "no bar here"
    assert "has no | in it" in again.filling.problem.value


def test_an_edit_that_a_broken_text_kept_out_comes_in_when_it_is_mended(desk):
    add(desk, "text", text="one")
    desk.blocks.value = 0
    good = desk.text.value
    desk.text.value = "x" + good
    desk.filling.form.fields["heading"].value = "Found again"
    assert "xtitle" in desk.filling.problem.value
    assert "block 1 is not in the handout" in desk.filling.left_out
    desk.text.value = good
    assert desk.filling.problem.value == ""
    assert desk.handout.blocks[0].heading == "Found again"
    assert 'heading = "Found again"' in desk.text.value
    assert desk.filling.left_out == ""


def test_a_half_typed_edit_stays_with_its_block_among_equal_ones_and_moves_with_it(desk):
    for _ in range(2):
        add(desk, "staves")
    desk.blocks.value = 0
    desk.filling.form.fields["rows"].value = "many"
    desk.blocks.value = 1
    assert desk.filling.form.values["rows"] == "1"
    desk.up.click()
    assert desk.blocks.value == 0
    desk.blocks.value = 1
    assert desk.filling.form.values["rows"] == "many"
    add(desk, "text", text="last")
    desk.blocks.value = 0
    desk.remove.click()
    assert desk.filling.form.values["rows"] == "many"
    assert said_kinds(desk) == ["staves", "text"]


def test_a_form_of_a_removed_block_is_gone_with_it(desk):
    add(desk, "plan")
    desk.blocks.value = 0
    desk.filling.form.fields["steps"].value = "no bar here"
    desk.remove.click()
    assert (desk.blocks.value, desk.filling.form.kind) == (-1, FRONT)
    desk.filling.begin("plan")
    assert desk.filling.form.values["steps"] == ""


def test_what_is_taken_over_leaves_a_half_typed_block_of_its_kind(tmp_path):
    lines = line_desk("C", "b9", "long", demonstration("C", "long", "b9"))
    desk = handout_desk(path=tmp_path / "d", lines=lines)
    desk.filling.begin("line")
    desk.filling.form.fields["heading"].value = "My own half line"
    desk.filling.sources.line.click()
    assert desk.filling.form.values["heading"] == ""
    desk.filling.add.click()
    assert said_kinds(desk) == ["line"]
    assert "Added as block 1" in desk.filling.told.value
    assert desk.filling.form.values["heading"] == "My own half line"


def test_what_is_taken_goes_in_the_place_of_a_chosen_block_of_its_kind(tmp_path):
    """A new block stood in the form, to be added; the sheet kept the old tune."""
    lines = line_desk("C", "b9", "long", demonstration("C", "long", "b9"))
    tunes = tune_desk("title: Two Stops\n| Gm7 | C7 | F6 |")
    desk = handout_desk(path=tmp_path / "d", lines=lines, tunes=tunes)
    add(desk, "text")
    add(desk, "tune", heading="Again", lines="guide tones", chart="title: Two Stops\n| C7 | F6 |")
    add(desk, "line")
    for place, source in ((1, desk.filling.sources.tune), (2, desk.filling.sources.line)):
        desk.blocks.value = place
        source.click()
        assert f"in the place of block {place + 1}" in desk.filling.told.value
        assert (desk.blocks.value, desk.filling.add.disabled) == (place, True)
        assert desk.filling.form.read() == desk.handout.blocks[place]
    assert said_kinds(desk) == ["text", "tune", "line"]
    _, tune, line = desk.handout.blocks
    assert tune.music()[0] == tunes.state.chart
    assert (tune.heading, tune.lines) == ("Again", "guide tones")  # the page's own, of this tune
    assert line.music() == lines.whole.line
    tunes.text.value = "title: Late Bus\n| Dm7 | G7 | C6 |"
    desk.blocks.value = 1
    desk.filling.sources.tune.click()
    assert desk.handout.blocks[1].tunes[0].title == "Late Bus"
    desk.mine.write()
    desk.mine.undo.click()
    assert desk.handout.blocks[1] == tune


def test_what_is_taken_and_left_for_another_block_is_said_and_there_again(tmp_path):
    """It was gone from the page without a word."""
    tunes = tune_desk("title: Two Stops\n| Gm7 | C7 | F6 |")
    desk = handout_desk(path=tmp_path / "d", tunes=tunes)
    add(desk, "text")
    add(desk, "tune", chart="title: Late Bus\n| C7 | F6 |")
    desk.blocks.value = 0
    desk.filling.sources.tune.click()
    taken = desk.filling.form.values
    desk.blocks.value = 1
    assert "Not added: a new block (tune)" in desk.filling.told.value
    desk.filling.fresh.click()
    assert desk.filling.form.values == taken
    desk.filling.add.click()
    desk.blocks.value = 0
    assert "Not added" not in desk.filling.told.value
    assert [tune.title for block in desk.handout.blocks for tune in block.tunes] == [
        *("Late Bus", "Two Stops")
    ]


def test_a_half_typed_edit_is_not_lost_to_what_is_taken(tmp_path):
    tunes = tune_desk("title: Two Stops\n| Gm7 | C7 | F6 |")
    desk = handout_desk(path=tmp_path / "d", tunes=tunes)
    add(desk, "tune", chart="title: Late Bus\n| C7 | F6 |")
    desk.blocks.value = 0
    desk.filling.form.fields["chart"].value = "| H7 |"
    desk.filling.sources.tune.click()
    assert desk.handout.blocks[0].tunes[0].title == "Late Bus"
    assert not desk.filling.add.disabled
    desk.blocks.value = 0
    assert desk.filling.form.values["chart"] == "| H7 |"


def test_the_choice_follows_its_block_when_the_text_is_changed(desk):
    for text in ("one", "two"):
        add(desk, "text", text=text)
    desk.blocks.value = 1
    front, first, rest = desk.text.value.partition("[[block]]")
    new = '[[block]]\nkind = "text"\ntext = "zero"\n\n'
    desk.text.value = front + new + first + rest
    assert said(desk) == ["zero", "one", "two"]
    assert (desk.blocks.value, desk.filling.form.values["text"]) == (2, "two")
    desk.filling.form.fields["heading"].value = "Still mine"
    assert [block.heading for block in desk.handout.blocks] == ["", "", "Still mine"]
    desk.text.value = desk.text.value.replace('"two"', '"three"')
    assert (desk.blocks.value, desk.filling.form.values["text"]) == (2, "three")


def test_with_a_broken_text_the_last_good_blocks_are_listed_after_a_restart(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk('title = "Ready"', path=path)
    add(first, "text", text="Mine.")
    add(first, "plan")
    first.blocks.value = 1
    first.text.value = f"%%{first.text.value}"
    again = handout_desk('title = "Ready"', path=path)
    assert again.text.value.startswith("%%")
    assert "is no entry" in again.problem.value
    assert [value for _, value in again.blocks.options] == [-1, 0, 1]
    assert (again.blocks.value, again.filling.form.kind) == (1, "plan")
    assert again.looking.pages.pages
    again.text.value = again.text.value[2:]
    assert (again.blocks.value, said_kinds(again)) == (1, ["text", "plan"])


def test_what_was_said_of_another_handout_goes_when_the_handout_changes(desk):
    desk.making.files["pages"].value = False
    for kind in ("text", "contents"):
        desk.making.files[kind].value = False
    desk.making.make.click()
    assert "nothing ticked under" in desk.making.problem.value
    desk.filling.form.fields["title"].value = "This Thursday"
    assert desk.making.problem.value == ""


def test_a_fault_of_the_files_stays_said_where_work_is_done_at_once(desk, tmp_path, monkeypatch):
    """So it is in a page that has Python in itself, where there are no threads."""

    def full(*_: object, **__: object) -> None:
        raise TheoryError("no room there")

    monkeypatch.setattr(threading.Thread, "start", threading.Thread.run)
    monkeypatch.setattr("theorykit.handout.files.making.write_whole", full)
    desk.making.folder.value = str(tmp_path)
    desk.making.make.click()
    assert "no room there" in desk.making.problem.value
    assert "0 of" in desk.making.told.value


def test_a_line_becomes_one_for_all_keys_and_other_kinds_begin_empty(desk):
    add(desk, "line", key="F", line="8th D5 F5 Bb4 G4 E4 Db4 A4 G4 | whole F4")
    desk.blocks.value = 0
    desk.filling.kind.value = "line in all keys"
    assert desk.filling.form.values["key"] == "F"
    assert desk.filling.form.values["line"].startswith("8th D5")
    desk.filling.kind.value = "staves"
    assert desk.filling.form.values["key"] == ""  # none is told: that of its changes, or C


def test_what_cannot_be_read_is_said_and_text_and_page_stay(desk):
    add(desk, "colour", colour="altered")
    page = desk.looking.pages.shown.value
    broken = desk.text.value.replace("altered", "blue")
    desk.text.value = broken
    assert "no such colour" in desk.problem.value
    assert 'role="alert"' in desk.problem.value
    assert (desk.text.value, desk.looking.pages.shown.value) == (broken, page)
    desk.filling.add.click()
    assert "no such colour" in desk.filling.problem.value
    assert desk.text.value == broken
    desk.making.make.click()
    assert "no such colour" in desk.making.problem.value
    desk.text.value = broken.replace("blue", "b9")
    assert desk.problem.value == ""
    assert desk.looking.pages.shown.value != page


def test_a_form_that_cannot_be_read_keeps_what_was_typed(desk):
    add(desk, "plan", steps="five | Sing.")
    assert "no such minutes" in desk.filling.problem.value
    assert desk.filling.form.fields["steps"].value == "five | Sing."
    add(desk, "plan", steps="Sing.")
    assert "has no | in it" in desk.filling.problem.value
    assert desk.handout.blocks == ()


def test_what_was_typed_survives_good_or_broken(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk(path=path)
    first.text.value = 'title = "half a'
    first.making.folder.value = "Thursday"
    first.filling.kind.value = "line"
    first.filling.form.fields["line"].value = "8th A4"
    again = handout_desk(path=path)
    assert again.text.value == 'title = "half a'
    assert again.problem.value
    assert again.making.folder.value == "Thursday"
    assert again.filling.form.fields["line"].value == "8th A4"
    assert [file.name for file in tmp_path.iterdir()] == ["drafts.sqlite"]


def test_a_chosen_block_and_what_is_wrong_in_its_form_are_kept(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk(path=path)
    add(first, "text", text="one")
    add(first, "plan")
    first.blocks.value = 1
    first.filling.form.fields["steps"].value = "five | Sing."
    again = handout_desk(path=path)
    assert again.blocks.value == 1
    assert again.filling.form.values["steps"] == "five | Sing."
    assert "no such minutes" in again.filling.problem.value
    assert [step.minutes for step in again.handout.blocks[1].steps] == [5]


def test_opening_a_desk_writes_nothing(tmp_path):
    handout_desk('title = "Ready"', path=tmp_path / "drafts.sqlite")
    assert list(tmp_path.iterdir()) == []


def test_what_was_typed_last_stays_however_often_the_cell_is_run(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk('title = "Ready"', path=path)
    assert first.handout.title == "Ready"
    assert "the example." in first.mine.told.value
    first.text.value = 'title = "Mine"'
    for _ in range(3):
        again = handout_desk('title = "Ready"', path=path)
        assert again.handout.title == "Mine"
        assert "your own handout, as you left it" in again.mine.told.value
    again.mine.list.value = 0  # what the cell gives
    assert again.handout.title == "Ready"
    assert rows(again)[1] == "Mine"
    again.mine.list.value = again.mine.list.options[1][1]
    assert again.handout.title == "Mine"


def rows(desk) -> list[str]:
    """Return the titles in the list of own handouts, without their days."""
    return [label.rsplit(", ", 1)[0] for label, _ in desk.mine.list.options]


def test_no_handout_is_lost_however_many_are_opened(desk):
    add(desk, "text", text="Mine.")
    mine = desk.text.value
    for ready in READY:
        desk.opening.path.value = str(ready)
        assert desk.handout == Handout.read(ready)
    titles = [*reversed([Handout.read(one).title for one in READY]), "For Thursday"]
    assert rows(desk) == ["an empty desk", *titles]
    desk.mine.list.value = desk.mine.list.options[-1][1]
    assert desk.text.value == mine
    desk.text.value = 'title = "half'
    desk.opening.path.value = ""
    desk.opening.path.value = str(READY[0])
    assert rows(desk)[2].startswith("unfinished: title")
    desk.mine.list.value = desk.mine.list.options[2][1]
    assert desk.text.value == 'title = "half'
    desk.mine.undo.click()
    assert desk.text.value == mine


def test_what_is_half_typed_into_a_form_stays_with_its_handout(desk):
    add(desk, "text", text="one")
    desk.filling.begin("plan")
    desk.filling.form.fields["steps"].value = "5 | Sing the ro"
    desk.opening.path.value = str(READY[0])
    assert desk.handout == Handout.read(READY[0])
    desk.filling.begin("plan")
    assert desk.filling.form.values["steps"] == ""
    desk.mine.list.value = desk.mine.list.options[-1][1]
    assert (said(desk), desk.filling.form.kind) == (["one"], "plan")
    assert desk.filling.form.values["steps"] == "5 | Sing the ro"


def test_a_file_of_drafts_that_is_none_is_told_and_left_as_it_is(tmp_path):
    path = tmp_path / "letter.txt"
    path.write_text("Dear band", encoding="utf-8")
    desk = handout_desk(path=path)
    assert "no file of drafts" in desk.mine.saved.value
    desk.text.value = 'title = "Mine"'
    assert desk.handout.title == "Mine"
    assert path.read_text(encoding="utf-8") == "Dear band"


def test_pages_are_turned_and_stop_at_both_ends(tmp_path):
    desk = handout_desk(
        Handout.read(ROOT / "workbook/handouts/six_colours.toml"), path=tmp_path / "d"
    )
    seen = [desk.looking.pages.told.value]
    for _ in range(len(desk.looking.pages.pages)):
        desk.looking.pages.on.click()
        seen.append(desk.looking.pages.told.value)
    assert seen == ["page 1 of 2", "page 2 of 2", "page 2 of 2"]
    assert (desk.looking.pages.back.disabled, desk.looking.pages.on.disabled) == (False, True)
    assert 'alt="page 2 of 2' in desk.looking.pages.shown.value


def test_every_edition_ticked_can_be_looked_at(desk):
    add(desk, "text")
    seen = {desk.looking.pages.shown.value}
    for part in desk.making.parts.values():
        for box in part.values():
            box.value = True
    assert {value for _, value in desk.looking.edition.options} == set(EVERYONE)
    for wanted in ("B flat, teacher, A4", "concert, student, Letter, large print"):
        desk.looking.edition.value = dict(desk.looking.edition.options)[wanted]
        seen.add(desk.looking.pages.shown.value)
    assert len(seen) == 3
    for box in desk.making.parts["paper"].values():
        box.value = False
    assert "nothing ticked under" in desk.making.problem.value
    desk.making.everyone.value = True
    assert "nothing ticked under &#x27;paper&#x27;" in desk.making.problem.value
    desk.making.parts["paper"]["A4"].value = True
    assert desk.making.problem.value == ""
    assert set(desk.making.editions) == {one for one in EVERYONE if one.paper == "A4"}
    desk.making.parts["paper"]["Letter"].value = True
    assert set(desk.making.editions) == set(EVERYONE)


def test_what_everyone_gets_is_said_and_not_gainsaid_by_ticks(desk):
    """Boxes that were grey and ticked for concert alone stood under everyone in the room."""
    making = desk.making
    making.parts["readers"]["guitar"].value = True
    making.everyone.value = True
    hidden = {part for part, row in making.rows.items() if row.layout.display == "none"}
    assert hidden == {"readers", "for", "print"}
    assert "every reader" in making.players.value
    assert "Guitar:" in making.players.value
    making.everyone.value = False
    assert not any(row.layout.display for row in making.rows.values())
    assert "every reader" not in making.players.value
    assert {one.reader for one in making.editions} == {"concert", "guitar"}


def make(desk) -> str:
    """Press make, wait, and return what is said of what was made."""
    desk.making.make.click()
    desk.making.wait()
    assert (desk.making.make.disabled, desk.making.stop.disabled) == (False, True)
    return desk.making.told.value


def test_files_are_made_summed_up_and_not_overwritten_unless_told(desk, tmp_path):
    add(desk, "text")
    told = "3 files (1 file to print with 1 page, 1 text of the handout, 1 table of contents)"
    assert told in make(desk)
    files = {file.suffix for file in (tmp_path / "out").rglob("*") if file.is_file()}
    assert files == {".pdf", ".toml", ".html"}
    assert {file.name for file in (tmp_path / "out").iterdir()} == {"For Thursday"}
    assert "3 files" in make(desk)  # what was made here may be made again
    pdf = next((tmp_path / "out").rglob("*.pdf"))
    pdf.write_bytes(b"notes of somebody")
    assert make(desk) == ""
    assert "files are there already" in desk.making.problem.value
    assert "replace ticked" in desk.making.problem.value
    assert pdf.read_bytes() == b"notes of somebody"
    desk.making.overwrite.value = True
    assert "3 files" in make(desk)
    assert desk.making.problem.value == ""
    assert not desk.making.overwrite.value


def test_a_folder_that_is_left_empty_is_the_one_that_the_field_names(desk, tmp_path, monkeypatch):
    """A grey name stood in the field, and make asked for a name."""
    monkeypatch.chdir(tmp_path)
    add(desk, "text")
    desk.making.folder.value = " "
    assert "thursday" in desk.making.folder.placeholder
    assert str(tmp_path / "thursday") in make(desk)
    assert list((tmp_path / "thursday" / "For Thursday").rglob("*.pdf"))


def test_links_to_what_was_made_are_there_again_for_each_handout(tmp_path):
    """They were gone after a restart."""
    path = tmp_path / "drafts.sqlite"
    desk = handout_desk('title = "One"', path=path, folder=tmp_path / "out", draft="Ida")
    desk.text.value = 'title = "One"\n\n[[block]]\nkind = "text"\ntext = "Sing."\n'
    make(desk)
    made = desk.making.links.files
    assert {name for name, _, _ in made} >= {"One - concert - student - A4.pdf", "One.toml"}
    desk.mine.write()
    again = handout_desk('title = "One"', path=path, folder=tmp_path / "out", draft="Ida")
    assert again.making.links.files == made
    again.mine.new.click()
    assert again.making.links.files == []
    again.mine.list.value = next(own for label, own in again.mine.list.options if "One" in label)
    assert again.making.links.files == made


def test_what_is_longer_than_asked_for_is_told_when_it_is_made(desk, tmp_path):
    """A student's page does not say it of itself: it is handed out."""
    text = f'[[block]]\nkind = "text"\ntext = """{"word " * 500}"""\n'
    long = f'title = "Long"\nfits = "1 page"\n\n{text}\n{text}\n{text}'
    desk.text.value = long
    assert "Longer than asked for: concert, student, A4 (2 pages)." in make(desk)
    desk.text.value = 'title = "Long"\nfits = "1 page"\n'
    assert "Longer than" not in make(desk)


def test_what_was_made_here_is_made_again_unasked_after_a_restart_and_so_is_half_of_it(tmp_path):
    path, out = tmp_path / "drafts.sqlite", tmp_path / "out"
    desk = handout_desk(path=path, folder=out)
    add(desk, "line")
    make(desk)
    again = handout_desk(path=path, folder=out)
    again.making.files["sound"].value = True
    again.making.bar.observe(lambda _: again.making.stop.click(), "value")
    again.making.make.click()
    again.making.wait()
    assert "Stopped." in again.making.told.value
    again.making.bar.unobserve_all()
    assert "recordings" in make(again)
    assert again.making.problem.value == ""
    stranger = handout_desk(path=tmp_path / "others.sqlite", folder=out)
    add(stranger, "line")
    assert make(stranger) == ""
    assert "files are there already" in stranger.making.problem.value


def test_everyone_in_the_room_gets_every_kind_of_file(desk, tmp_path):
    add(desk, "line")
    desk.making.everyone.value = True
    for box in (*desk.making.files.values(), *desk.making.parts["paper"].values()):
        box.value = True
    told = make(desk)
    assert desk.making.problem.value == ""
    made = [file for file in (tmp_path / "out").rglob("*") if file.is_file()]
    counts = Counter(file.suffix for file in made)
    assert counts[".pdf"] == len(EVERYONE) == desk.making.bar.max - (len(made) - counts[".pdf"])
    assert counts[".musicxml"] == len(READERS)
    assert counts[".html"] == 2 * len(AUDIENCES)  # pages and tables of contents
    assert (counts[".toml"], counts[".zip"]) == (1, 2)
    assert counts[".mp3"] == counts[".mid"] > 1
    assert f"{len(made)} files (48 files to print with" in told
    held = {
        file.stem: set(zipfile.ZipFile(file).namelist()) for file in made if file.suffix == ".zip"
    }
    everyone, students = (
        held[f"For Thursday - {who}"] for who in ("for the teacher", "for students")
    )
    assert len(everyone) == len(made) - 2
    assert {name for name in everyone if "teacher" in name or name.endswith(".toml")} == (
        everyone - students
    )
    assert str(tmp_path / "out") in told
    boxes = [box for part, row in desk.making.parts.items() for box in row.values()]
    assert [box.description for box in boxes if box.disabled] == ["zip"]


def test_the_page_answers_while_files_are_made_and_stop_leaves_whole_files(desk, tmp_path):
    add(desk, "colour", colour="altered")
    desk.making.everyone.value = True
    desk.making.bar.observe(lambda _: desk.making.stop.click(), "value")
    desk.making.make.click()
    desk.text.value = desk.text.value.replace("altered", "b9")  # the work goes on with the old one
    assert desk.handout.blocks[0].colour == "b9"
    desk.making.wait()
    assert "Stopped." in desk.making.told.value
    made = [file for file in (tmp_path / "out").rglob("*") if file.is_file()]
    assert 0 < len(made) < len(EVERYONE)
    assert f"{len(made)} of" in desk.making.told.value
    assert all(file.read_bytes().rstrip().endswith(b"%%EOF") for file in made)
    assert not desk.making.make.disabled


def test_stop_waits_for_no_first_file(desk, tmp_path):
    add(desk, "colour", colour="altered")
    desk.making.everyone.value = True
    desk.making.make.click()
    desk.making.stop.click()
    desk.making.wait()
    assert "Stopped." in desk.making.told.value
    made = [file for file in (tmp_path / "out").rglob("*") if file.is_file()]
    assert f"{len(made)} of" in desk.making.told.value
    assert (desk.making.make.disabled, desk.making.stop.disabled) == (False, True)


def test_what_breaks_off_in_the_middle_is_told(desk, tmp_path, monkeypatch):
    add(desk, "text")
    monkeypatch.setattr("theorykit.handout.files.making.write_whole", full_disk)
    make(desk)
    assert "no room left" in desk.making.problem.value
    assert "0 of 3 files made" in desk.making.told.value


def full_disk(*_: object, **__: object) -> None:
    """Stand for a disk on which nothing can be written any more."""
    raise TheoryError("no room left")


def test_ticks_and_folder_are_kept(tmp_path):
    path = tmp_path / "drafts.sqlite"
    first = handout_desk(path=path)
    first.making.parts["readers"]["B flat"].value = True
    first.making.parts["readers"]["concert"].value = False
    first.making.files["sound"].value = True
    first.making.folder.value = "Thursday"
    again = handout_desk(path=path)
    assert again.making.ticked == first.making.ticked
    assert again.making.ticked["readers"] == ["B flat"]
    assert again.making.folder.value == "Thursday"
    first, *others = again.looking.edition.options
    assert first[0] == str(first[1]) == "B flat, student, A4"
    assert {one.reader for _, one in others} == {"concert", "E flat", "F", "bass clef", "guitar"}
    assert all(label == f"{one} (not ticked below)" for label, one in others)
    again.making.everyone.value = again.making.parts["paper"]["Letter"].value = True
    again.looking.edition.value = dict(again.looking.edition.options)["F, teacher, Letter"]
    third = handout_desk(path=path)
    assert set(third.making.editions) == set(EVERYONE)
    assert str(third.looking.edition.value) == "F, teacher, Letter"
    third.making.everyone.value = False
    for box in third.making.parts["paper"].values():
        box.value = False
    fourth = handout_desk(path=path)
    assert "nothing ticked under" in fourth.making.problem.value
    assert fourth.looking.pages.pages


def test_another_file_is_opened_and_what_is_none_is_refused(desk, tmp_path):
    desk.opening.path.value = str(READY[0])
    assert desk.handout == Handout.read(READY[0])
    assert "Opened from" in desk.opening.told.value
    for name, content, words in (
        ("song.toml", b"\xff\xfe\x00", "is no text"),
        ("tune.toml", b"key: F\n| Gm7 |", "is no handout"),
    ):
        (tmp_path / name).write_bytes(content)
        desk.opening.path.value = str(tmp_path / name)
        assert words in desk.opening.problem.value
    desk.opening.path.value = "nowhere"
    assert "no such file" in desk.opening.problem.value
    assert desk.handout == Handout.read(READY[0])


def test_what_the_first_version_kept_is_in_the_list_and_on_the_desk_once(tmp_path):
    path = tmp_path / "draft.json"
    path.write_text(json.dumps({"text": 'title = "Mine"', "folder": ""}), encoding="utf-8")
    before = ['title = "Last week"', 'title = "Last year"']
    (tmp_path / "draft.before.json").write_text(json.dumps(before), encoding="utf-8")
    desk = handout_desk('title = "Ready"', path=path)
    assert desk.handout.title == "Mine"
    assert rows(desk)[1:] == ["Mine", "Last week", "Last year"]
    desk.text.value = 'title = "Today"'
    again = handout_desk('title = "Ready"', path=path)
    assert (again.handout.title, rows(again)[1:]) == ("Today", ["Today", "Last week", "Last year"])
    assert json.loads(path.read_text(encoding="utf-8"))["text"] == 'title = "Mine"'
    assert (tmp_path / "draft.sqlite").exists()


def test_what_the_oldest_version_put_aside_is_in_the_list(tmp_path):
    kept = {"text": 'title = "Last year"', "folder": "", "form": {}}
    (tmp_path / "draft.before.json").write_text(json.dumps(kept), encoding="utf-8")
    desk = handout_desk(path=tmp_path / "draft.json")
    assert (desk.handout.title, rows(desk)[1:]) == ("For Thursday", ["Last year"])


@pytest.mark.parametrize(
    "beside",
    [
        {"place": "two"},
        {"place": -7},
        {"form": {"kind": "text", "new": True, "left": [[{}, {}], ["plan"], 3, ["text", {}]]}},
        {"form": {"kind": "poem"}},
        "nothing",
    ],
)
def test_a_draft_that_somebody_has_changed_still_opens(tmp_path, beside):
    path = tmp_path / "drafts.sqlite"
    handout_desk(path=path).text.value = 'title = "Mine"'
    drafts = Drafts(path)
    (work,) = drafts.works("handout")
    opened = drafts.opened(work.number)
    drafts.save(opened, "Mine", {"text": 'title = "Mine"', "beside": beside})
    assert handout_desk(path=path).handout.title == "Mine"


def test_there_is_nothing_to_go_back_to_on_a_new_desk(desk):
    mine = desk.mine
    assert mine.undo.disabled
    assert mine.redo.disabled
    assert mine.copy.disabled
    assert mine.look.disabled
    mine.undo.click()
    mine.copy.click()
    assert "no handout of your own is on the desk" in mine.problem.value
    assert rows(desk) == ["an empty desk"]


def test_words_that_are_moved_are_told_beside_a_transposed_page_and_the_teacher_says_no(desk):
    add(desk, "text", text="Over Eb7 play the F triad.")
    assert desk.looking.hint.value == ""
    desk.making.parts["readers"]["B flat"].value = True
    desk.looking.edition.value = dict(desk.looking.edition.options)["B flat, student, A4"]
    assert "Eb7, F" in desk.looking.hint.value
    desk.blocks.value = 0
    _, chord, note = desk.filling.form.names.children
    assert (chord.description, note.description) == ("Eb7", "F")
    page = desk.looking.pages.shown.value
    note.value = False
    assert desk.handout.blocks[0].as_typed == ("F",)
    assert "Eb7" in desk.looking.hint.value
    assert "Eb7, F" not in desk.looking.hint.value
    assert desk.looking.pages.shown.value != page
    chord.value = False
    assert desk.looking.hint.value == ""
    desk.filling.form.names.children[2].value = True
    assert desk.handout.blocks[0].as_typed == ("Eb7",)


def test_a_target_is_chosen_in_the_form_and_the_desk_says_what_would_have_to_go(desk):
    for key in ("C", "Db", "F#"):
        add(desk, "colour in all keys", colour="altered", key=key, layout="staves")
    desk.blocks.value = -1
    desk.filling.form.fields["fits"].value = "1 page"
    assert desk.handout.fits == "1 page"
    assert "longer than 1 page" in desk.looking.hint.value
    assert len(desk.looking.pages.pages) > 1
    desk.filling.form.fields["fits"].value = "any number of pages"
    assert desk.looking.hint.value == ""


def test_where_the_page_lies_is_said_in_the_form_and_shown_as_a_code(desk):
    desk.blocks.value = -1
    field = desk.filling.form.fields["web_address"]
    field.value = "https://example.org/x/"
    assert desk.handout.web_address == "https://example.org/x/"
    with Image.open(io.BytesIO(desk.looking.pages.pages[0])) as picture:
        (code,) = zxingcpp.read_barcodes(picture.convert("L"))
    assert code.text == desk.handout.link(READERS[0])
    field.value = "example.org"
    assert "no web address" in desk.filling.problem.value
    assert desk.handout.web_address == "https://example.org/x/"


def test_old_recordings_that_were_made_here_go_and_those_of_others_stay(desk, tmp_path):
    add(desk, "guide tones")
    for name in ("pages", "contents", "text"):
        desk.making.files[name].value = False
    desk.making.files["sound"].value = True
    assert make(desk)
    sound = tmp_path / "out" / "For Thursday" / "sound"
    first = {file.name for file in sound.iterdir()}
    changed = sorted(first)[0]
    (sound / changed).write_bytes(b"of somebody")
    desk.blocks.value = 0
    desk.filling.form.fields["heading"].value = "Thirds"
    assert f"taken away: {len(first) - 1}." in make(desk)
    now = {file.name for file in sound.iterdir()}
    assert now & first == {changed}
    assert len(now) == len(first) + 1


def test_recordings_to_which_a_page_of_before_leads_stay(desk, tmp_path):
    add(desk, "guide tones")
    for name in ("pages", "text"):
        desk.making.files[name].value = False
    desk.making.files["sound"].value = True
    assert make(desk)
    sound = tmp_path / "out" / "For Thursday" / "sound"
    first = {file.name for file in sound.iterdir()}
    desk.making.files["contents"].value = False
    page = tmp_path / "out" / "For Thursday" / "For Thursday - contents - student.html"
    page.write_text(f"{page.read_text('utf-8')}<!-- Ida's -->", "utf-8")  # stays, with its links
    desk.blocks.value = 0
    desk.filling.form.fields["heading"].value = "Thirds"
    assert "taken away" not in make(desk)
    assert first < {file.name for file in sound.iterdir()}


def test_a_melody_does_not_stay_over_a_tune_that_was_moved():
    there = TuneBlock(
        chart="title: Two\nkey: C\n| Dm7 | G7 | C6 |", melody="half D5 F5 | G5 B5 | E5 G5"
    )
    sent = TuneBlock(chart="title: Two\nkey: Gb\n| Abm7 | Db7 | Gb6 |")
    with pytest.raises(TheoryError, match=r"the melody of block Two .* is in C major"):
        renewed(there, sent)
    alike = TuneBlock(chart="title: Two\nkey: C\n| Dm7 | G7 | C9 |")
    assert renewed(there, alike).melody == there.melody


def test_each_week_has_a_folder_of_its_own_unless_told_not_to(desk, tmp_path):
    add(desk, "text")
    desk.blocks.value = -1
    desk.filling.form.fields["title"].value = "Third: thirds"
    desk.filling.form.fields["date"].value = "2026-03-05"
    for name in ("pages", "contents"):
        desk.making.files[name].value = False
    make(desk)
    assert (tmp_path / "out" / "2026-03-05 Third thirds" / "Third thirds.toml").is_file()
    desk.making.weekly.value = False
    make(desk)
    assert (tmp_path / "out" / "Third thirds.toml").is_file()


def test_a_letter_that_cannot_be_printed_is_told_when_it_is_typed(desk):
    page = desk.looking.pages.shown.value
    desk.filling.form.fields["title"].value = "Thursday 🎺"
    assert "trumpet" in desk.problem.value
    assert desk.looking.pages.shown.value == page
    assert "🎺" in desk.text.value
    desk.filling.form.fields["title"].value = "Thursday"
    assert desk.problem.value == ""


def test_what_stands_in_the_form_and_not_in_the_handout_is_told(desk):
    add(desk, "text")
    desk.filling.kind.value = "plan"
    desk.filling.form.fields["steps"].value = "5 | Sing."
    assert "not in the handout: plan" in make(desk)
    desk.filling.add.click()
    desk.making.overwrite.value = True
    assert "not in the handout" not in make(desk)


def test_the_choice_of_the_explorer_is_taken_over_with_the_way_to_think_of_it(tmp_path):
    box = explorer("Bb minor", "b9 b13", "split")
    box.shortcut.value = 2
    box.spelling.value = box.spelling.options[1]
    desk = handout_desk(path=tmp_path / "d", explorer=box)
    desk.filling.sources.colour.click()
    desk.filling.add.click()
    (block,) = desk.handout.blocks
    assert (block.key, block.colour, block.form) == ("Bb minor", "b9 b13", "split")
    assert (block.shortcut, block.spelling) == (3, box.spelling.options[1])
    page = sections_of(desk.handout.blocks, Engraver(reader("concert")))
    assert box.view.shortcut.pretty in str(page)


@pytest.mark.parametrize(("key", "form"), [("C", "long"), ("Db", "split"), ("Bb minor", "short")])
def test_the_line_of_the_line_desk_is_taken_over(tmp_path, key, form):
    lines = line_desk(key, "b9", form, demonstration(key, form, "b9"))
    desk = handout_desk(path=tmp_path / "d", lines=lines)
    desk.filling.sources.line.click()
    desk.filling.add.click()
    (block,) = desk.handout.blocks
    assert block.music() == lines.whole.line
    assert (block.form, block.colour) == (form, "b9")
    desk.blocks.value = 0
    desk.filling.kind.value = "line in all keys"
    desk.filling.add.click()
    assert desk.handout.blocks[1].music() == lines.whole.line
    lines.text.value = "8th A4 X"
    desk.filling.sources.line.click()
    assert "cannot be read to its end yet" in desk.filling.sources.problem.value
    lines.text.value = ""
    desk.filling.sources.line.click()
    assert desk.filling.sources.problem.value


def test_a_line_over_other_changes_is_taken_over_with_them(tmp_path):
    line = Line.parse("half E4 Db4 | whole C4", Chart.of("F", "Gm7 C7", "F6").progression)
    lines = line_desk("F", line=line)
    desk = handout_desk(path=tmp_path / "d", lines=lines)
    desk.filling.sources.line.click()
    desk.filling.add.click()
    assert desk.handout.blocks[0].music() == line


@pytest.mark.parametrize("file", swept(TUNES, TUNES[:2].__contains__), ids=lambda file: file.stem)
def test_the_tune_of_the_tune_desk_is_taken_over_with_its_colours_and_its_lines(tmp_path, file):
    tunes = tune_desk(file.read_text(encoding="utf-8"))
    tunes.colouring.cadences.value = next(value for _, value in tunes.colouring.cadences.options)
    tunes.colouring.colour.value = "altered"
    tunes.playing.seed.value = 7
    desk = handout_desk(path=tmp_path / "d", tunes=tunes)
    desk.filling.sources.tune.click()
    desk.filling.add.click()
    assert (desk.filling.sources.problem.value, desk.filling.problem.value) == ("", "")
    (block,) = desk.handout.blocks
    assert block.music() == (tunes.state.chart, tunes.state.treatment)
    assert block.chorus() == write_chorus(tunes.state.chart, tunes.state.treatment, seed=7)


@pytest.mark.parametrize(
    ("bars", "said"),
    [
        ("| Fm7 | Bb7 | Ebmaj7 | % |", "Lamp, bars 1-3"),
        ("| Fm7 | Bb7 | Eb6 | % |", "Lamp, bars 1-3, as a plain ii-V-I"),
        ("| Fm7 | Bb7b9 | Ebmaj7 | % |", "Lamp, bars 1-3, as a plain ii-V-I"),
        ("| Gm7b5 | C7 | Fm6 | % |", "Lamp, bars 1-3"),
        ("| Gm7b5 | C7 | Fm7 | % |", "Lamp, bars 1-3, as a plain ii-V-I"),
        ("| Fm7 Bb7 | Ebmaj7 |", "Lamp, bars 1-2"),
        (
            "| Fm7 | % | Bb7 | % | Ebmaj7 | % |",
            "Lamp, bars 1-5, as a plain ii-V-I of 3 bars",
        ),
        (
            "| Fm7 | % | Bb7 | % | Eb6 | % |",
            "Lamp, bars 1-5, as a plain ii-V-I of 3 bars",
        ),
        (
            "metre: 3/4\n| Fm7 | Bb7 | Ebmaj7 | % |",
            "Lamp, bars 1-3, as a plain ii-V-I in 4/4",
        ),
        (
            "metre: 6/8\n| Fm7 Bb7 | Ebmaj7 |",
            "Lamp, bars 1-2, as a plain ii-V-I in 4/4",
        ),
    ],
)
def test_a_cadence_with_other_chords_than_its_tune_says_so(bars, said):
    """E flat 6 in the tune is E flat major 7 in the block: a student takes one for the other."""
    tunes = tune_desk(f"title: Lamp\n{bars}")
    tunes.colouring.cadences.value = 1
    assert cadence_block(tunes).heading == said


@pytest.mark.parametrize("title", ["title: Lamp\n\n", ""])
@pytest.mark.parametrize(
    ("bars", "chord", "notes"),
    [  # 9, #11 and 13 above the V of the tune, spelled by hand
        ("| Dm7 | Db7 | Cmaj7 | % |", "Db7", "Eb G Bb"),
        ("| Abm7 | Db7 | Cmaj7 | % |", "Db7", "Eb G Bb"),
        ("| Fm7 | Bb7 | Cmaj7 | % |", "Bb7", "C E G"),
        ("| Dm7 | % | Db7 | % | Cmaj7 | % |", "Db7", "Eb G Bb"),
        ("| Am7 Ab7 | Gmaj7 | % |", "Ab7", "Bb D F"),
        ("| C#m7 | C7 | Bmaj7 | % |", "C7", "D F# A"),
        ("| Abm7 | G7 | Gbmaj7 | % |", "G7", "A C# E"),
    ],
)
def test_a_colour_over_a_substitute_keeps_the_chord_of_the_tune(title, bars, chord, notes):
    """The same degrees over the plain V would be three other notes."""
    tunes = tune_desk(f"{title}{bars}")
    tunes.colouring.cadences.value = 1
    assert tunes.colouring.colour.value == "9 #11 13"
    block = cadence_block(tunes)
    line = block.music()
    assert line == tunes.colouring.found.line
    assert block.heading.startswith("Lamp, bars 1-" if title else "")
    assert "plain" not in block.heading
    v = [one for one in line.progression.chords if one.chord.root == Chord.parse(chord).root]
    heard = {n.pitch.note.semitone for n in line.notes if v[0].start <= n.start < v[-1].end}
    assert {Note.parse(name).semitone for name in notes.split()} <= heard


def test_a_substitute_that_no_block_can_show_is_refused_with_what_can():
    tunes = tune_desk("metre: 3/4\n\n| Dm7 | Db7 | Cmaj7 | % |")
    tunes.colouring.cadences.value = 1
    with pytest.raises(TheoryError, match=r"tritone substitute .want a cadence in 4/4, or one"):
        cadence_block(tunes)


@pytest.mark.parametrize("player", ["baritone saxophone", "double bass", "trumpet", "cello"])
def test_a_player_finds_the_page_by_the_name_of_the_instrument(player):
    (row,) = [row for row in PLAYERS.split(". ") if player in row]
    assert row.lower().startswith(f"{reader(player).name.lower()}: ")


def test_a_desk_that_is_not_open_has_no_button(desk, tmp_path):
    texts = [one.description for one in descendants(desk) if isinstance(one, ipw.Button)]
    assert not [text for text in texts if "of the" in text]
    full = handout_desk(
        path=tmp_path / "e", explorer=explorer(), lines=line_desk(), tunes=tune_desk()
    )
    texts = [one.description for one in descendants(full) if isinstance(one, ipw.Button)]
    assert len([text for text in texts if "of the" in text]) == 3


def descendants(widget: ipw.Widget) -> Iterator[ipw.Widget]:
    """Yield a widget and all that is in it."""
    yield widget
    for child in getattr(widget, "children", ()):
        yield from descendants(child)


def test_a_phrase_of_the_book_is_chosen_and_taken_over(tmp_path):
    book = PhraseBook(tmp_path / "book.sqlite")
    book.keep("Ida's turn", Line.parse(LINE, two_five_one("C", "short")), colour="b9 13")
    desk = handout_desk(path=tmp_path / "d", book=tmp_path / "book.sqlite")
    sources = desk.filling.sources
    assert sources.phrase.options == (("Ida's turn", "Ida's turn"),)
    sources.take_phrase.click()
    desk.filling.add.click()
    assert (sources.problem.value, desk.problem.value) == ("", "")
    (block,) = desk.handout.blocks
    assert block.music() == Line.parse(LINE, two_five_one("C", "short"))
    assert block.heading == "Ida's turn"
    book.keep("Another", Line.parse(LINE, two_five_one("C", "short")))
    sources.again.click()
    assert [name for name, _ in sources.phrase.options] == ["Another", "Ida's turn"]
    assert sources.phrase.value == "Ida's turn"
    book.drop("Ida's turn")
    sources.take_phrase.click()
    assert "Ida" in sources.problem.value
    sources.book.value = str(tmp_path / "nobody")
    assert sources.phrase.options == (("no phrase yet", ""),)
    sources.take_phrase.click()
    assert "no phrase is chosen" in sources.problem.value


def test_questions_for_the_class_are_written_beside_the_pages(desk, tmp_path):
    desk.making.ask.click()
    assert "nothing to ask about" in desk.making.problem.value
    add(desk, "colour", colour="b9 13", key="F")
    desk.making.ask.click()
    (week,) = (tmp_path / "out").iterdir()  # a folder of its own, beside the pages
    names = sorted(file.name for file in week.iterdir())
    assert [name.partition(".")[2] for name in names] == ["ipynb", "toml"]
    assert ClassQuestions.read(week / names[1]).tasks[0].key == "F major"
    assert all(name in desk.making.told.value for name in names)
    desk.making.ask.click()
    assert desk.making.problem.value == ""  # both were made here
    (week / names[1]).write_text("of somebody")
    desk.making.ask.click()
    assert "want replace ticked" in desk.making.problem.value
    desk.making.overwrite.value = True
    desk.making.ask.click()
    assert desk.making.problem.value == ""


def test_another_key_in_the_form_moves_the_line_on_the_page_and_is_taken_back(desk):
    line = demonstration("Eb", "short", "b9 13")
    add(desk, "line", line=line.text, key="Eb", form="short")
    desk.choose(0)
    before = desk.handout
    desk.filling.form.fields["key"].value = "F"
    (block,) = desk.handout.blocks
    assert block.music() == line.transposed("F")
    assert "Moved to F" in desk.filling.form.told.value
    desk.text.value = str(before)  # a file with any key is read as it stands
    assert desk.handout == before
    desk.text.value = str(before).replace('"Eb"', '"A"')
    assert [(one.key, one.line) for one in desk.handout.blocks] == [("A", line.text)]
