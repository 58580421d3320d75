"""The desk for handouts without a browser: every control, what is kept, what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from house import ROOT

from theorykit import Line, two_five_one
from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Handout
from theorykit.handout.kinds import KINDS
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import explorer, handout_desk
from theorykit.widgets.block_form import FRONT, Form

READY = sorted((ROOT / "workbook" / "handouts").glob("*.toml"))
LINE = "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4"
CHART = "key: C major\n| Dm7 | G7 | Cmaj7 | % |\n"
NEEDED = {
    "line": {"line": LINE, "form": "short"},
    "line in all keys": {"line": LINE, "form": "short", "keys": "2"},
    "tune": {"chart": CHART, "lines": "none"},
    "plan": {"steps": "5 | Sing the roots."},
    "text": {"text": "Sing first."},
    "questions": {"questions": "What is the 3 of G7? | B"},
}


@pytest.fixture
def desk(tmp_path: Path):
    return handout_desk(path=tmp_path / "draft.json", folder=tmp_path / "out")


def add(desk, kind: str, **typed: str) -> None:
    """Fill in a form and add its block."""
    desk.filling.kind.value = kind
    desk.filling.form.fill({**NEEDED.get(kind, {}), **typed})
    desk.filling.add.click()


@pytest.mark.parametrize("kind", KINDS)
def test_a_block_of_every_kind_is_added_by_its_form_and_seen(desk, kind):
    before = desk.look.shown.value
    add(desk, kind)
    assert (desk.filling.problem.value, desk.problem.value) == ("", "")
    assert [block.kind for block in desk.handout.blocks] == [kind]
    assert Handout.parse(desk.text.value) == desk.handout
    assert (desk.look.shown.value == before) == (kind == "new page" and len(desk.look.pages) == 1)


@pytest.mark.parametrize("file", READY, ids=lambda file: file.stem)
def test_every_block_of_a_ready_handout_goes_through_its_form_unchanged(file):
    handout = Handout.read(file)
    for block in handout.blocks:
        assert Form(block.kind, block).read() == block
    assert Form(FRONT, handout).read().with_blocks(handout.blocks) == handout


def test_blocks_are_moved_changed_and_removed(desk):
    for text in ("one", "two", "three"):
        add(desk, "text", text=text)
    said = lambda: [block.text for block in desk.handout.blocks]  # noqa: E731
    assert said() == ["one", "two", "three"]
    desk.up.click()
    assert (said(), desk.blocks.value) == (["one", "three", "two"], 1)
    desk.down.click()
    desk.down.click()
    assert (said(), desk.blocks.value) == (["one", "two", "three"], 2)
    desk.blocks.value = 0
    desk.filling.form.fields["text"].value = "first"
    desk.filling.change.click()
    assert said() == ["first", "two", "three"]
    desk.remove.click()
    assert said() == ["two", "three"]
    desk.blocks.value = -1
    desk.remove.click()
    assert "title and the note stay" in desk.filling.problem.value
    desk.filling.form.fields["title"].value = "Tonight"
    desk.filling.change.click()
    assert (desk.handout.title, said()) == ("Tonight", ["two", "three"])


def test_what_cannot_be_read_is_said_and_text_and_page_stay(desk):
    add(desk, "colour", colour="altered")
    page = desk.look.shown.value
    broken = desk.text.value.replace("altered", "blue")
    desk.text.value = broken
    assert "no such colour" in desk.problem.value
    assert 'role="alert"' in desk.problem.value
    assert (desk.text.value, desk.look.shown.value) == (broken, page)
    desk.filling.add.click()
    assert "no such colour" in desk.filling.problem.value
    assert desk.text.value == broken
    desk.making.make.click()
    assert "no such colour" in desk.making.problem.value
    desk.text.value = broken.replace("blue", "b9")
    assert desk.problem.value == ""
    assert desk.look.shown.value != page


def test_a_form_that_cannot_be_read_keeps_what_was_typed(desk):
    add(desk, "plan", steps="five | Sing.")
    assert "no such minutes" in desk.filling.problem.value
    assert desk.filling.form.fields["steps"].value == "five | Sing."
    add(desk, "plan", steps="Sing.")
    assert "has no bar" in desk.filling.problem.value
    assert desk.handout.blocks == ()


def test_what_was_typed_survives_good_or_broken(tmp_path):
    path = tmp_path / "draft.json"
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
    assert [file.name for file in tmp_path.iterdir()] == ["draft.json"]


def test_another_handout_leaves_what_was_typed_beside_it(tmp_path):
    path = tmp_path / "draft.json"
    handout_desk(path=path).text.value = 'title = "Mine"'
    handout_desk('title = "Ready"', path=path)
    kept, before = (
        json.loads(file.read_text(encoding="utf-8"))["text"]
        for file in (path, tmp_path / "draft.before.json")
    )
    assert ("Ready" in kept, "Mine" in before) == (True, True)


def test_a_draft_that_is_none_is_refused_and_left_as_it_is(tmp_path):
    path = tmp_path / "letter.txt"
    path.write_text("Dear band", encoding="utf-8")
    with pytest.raises(TheoryError, match="want a kept draft"):
        handout_desk(path=path)
    assert path.read_text(encoding="utf-8") == "Dear band"


def test_pages_are_turned_and_stop_at_both_ends(tmp_path):
    desk = handout_desk(
        Handout.read(ROOT / "workbook/handouts/six_colours.toml"), path=tmp_path / "d"
    )
    seen = [desk.look.told.value]
    for _ in range(len(desk.look.pages)):
        desk.look.on.click()
        seen.append(desk.look.told.value)
    assert seen == ["page 1 of 2", "page 2 of 2", "page 2 of 2"]
    assert (desk.look.back.disabled, desk.look.on.disabled) == (False, True)
    assert 'alt="page 2 of 2' in desk.look.shown.value


def test_every_edition_ticked_can_be_looked_at(desk):
    add(desk, "text")
    seen = {desk.look.shown.value}
    for part in desk.making.parts.values():
        for box in part.values():
            box.value = True
    assert {value for _, value in desk.edition.options} == set(EVERYONE)
    for wanted in ("B flat, teacher, A4", "concert, student, Letter, large print"):
        desk.edition.value = dict(desk.edition.options)[wanted]
        seen.add(desk.look.shown.value)
    assert len(seen) == 3
    for box in desk.making.parts["paper"].values():
        box.value = False
    assert "nothing ticked under" in desk.making.problem.value
    desk.making.everyone.value = True
    assert desk.making.editions == EVERYONE


def test_files_are_made_summed_up_and_not_overwritten_unless_told(desk, tmp_path):
    add(desk, "text")
    desk.making.make.click()
    assert "2 files (1 page to print, 1 text of the handout)" in desk.making.told.value
    files = {file.suffix for file in (tmp_path / "out").rglob("*") if file.is_file()}
    assert files == {".pdf", ".toml"}
    desk.making.make.click()
    assert "files are there already" in desk.making.problem.value
    assert desk.making.told.value == ""
    desk.making.overwrite.value = True
    desk.making.make.click()
    assert desk.making.problem.value == ""
    assert not desk.making.overwrite.value
    desk.making.folder.value = " "
    desk.making.make.click()
    assert "no folder yet" in desk.making.problem.value


def test_the_colour_of_the_explorer_is_taken_over(tmp_path):
    desk = handout_desk(path=tmp_path / "d", explorer=explorer("Bb minor", "altered", "split"))
    desk.filling.take.click()
    desk.filling.add.click()
    (block,) = desk.handout.blocks
    assert (block.key, block.colour, block.form) == ("Bb minor", "altered", "split")


def test_a_phrase_of_the_book_is_taken_over(tmp_path):
    book = PhraseBook(tmp_path / "book.sqlite")
    book.keep("Ida's turn", Line.parse(LINE, two_five_one("C", "short")), colour="b9 13")
    desk = handout_desk(path=tmp_path / "d", book=tmp_path / "book.sqlite")
    desk.filling.phrase.value = "Ida's turn"
    desk.filling.take_line.click()
    desk.filling.add.click()
    assert (desk.filling.problem.value, desk.problem.value) == ("", "")
    (block,) = desk.handout.blocks
    assert block.music() == Line.parse(LINE, two_five_one("C", "short"))
    desk.filling.phrase.value = "nobody's"
    desk.filling.take_line.click()
    assert "nobody" in desk.filling.problem.value
