"""The desk for handouts without a browser: every control, what is kept, what is refused."""

from __future__ import annotations

import json
import zipfile
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import ipywidgets as ipw
import pytest
from house import ROOT

from theorykit import Chart, Line, demonstration, two_five_one, write_chorus
from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Handout
from theorykit.handout.desk import Desk
from theorykit.handout.editions import AUDIENCES
from theorykit.handout.kinds import KINDS
from theorykit.handout.sections import sections_of
from theorykit.handout.tune_music import chorus_of
from theorykit.notes.instruments import READERS, reader
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import explorer, handout_desk, line_desk, tune_desk
from theorykit.widgets.block_form import FRONT, Form

READY = sorted((ROOT / "workbook" / "handouts").glob("*.toml"))
TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
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


def make(desk) -> str:
    """Press make, wait, and return what is said of what was made."""
    desk.making.make.click()
    desk.making.wait()
    assert (desk.making.make.disabled, desk.making.stop.disabled) == (False, True)
    return desk.making.told.value


def test_files_are_made_summed_up_and_not_overwritten_unless_told(desk, tmp_path):
    add(desk, "text")
    assert "2 files (1 page to print, 1 text of the handout)" in make(desk)
    files = {file.suffix for file in (tmp_path / "out").rglob("*") if file.is_file()}
    assert files == {".pdf", ".toml"}
    assert make(desk) == ""
    assert "files are there already" in desk.making.problem.value
    assert "overwrite ticked" in desk.making.problem.value
    desk.making.overwrite.value = True
    assert "2 files" in make(desk)
    assert desk.making.problem.value == ""
    assert not desk.making.overwrite.value
    desk.making.folder.value = " "
    assert make(desk) == ""
    assert "no folder yet" in desk.making.problem.value


def test_everyone_in_the_room_gets_every_kind_of_file(desk, tmp_path):
    add(desk, "line")
    desk.making.everyone.value = True
    for box in desk.making.files.values():
        box.value = True
    told = make(desk)
    assert desk.making.problem.value == ""
    made = [file for file in (tmp_path / "out").rglob("*") if file.is_file()]
    counts = Counter(file.suffix for file in made)
    assert counts[".pdf"] == len(EVERYONE) == desk.making.bar.max - (len(made) - counts[".pdf"])
    assert counts[".musicxml"] == len(READERS)
    assert counts[".html"] == len(AUDIENCES)
    assert (counts[".toml"], counts[".zip"]) == (1, 1)
    assert counts[".mp3"] == counts[".mid"] > 1
    assert f"{len(made)} files (48 pages to print" in told
    (packed,) = (file for file in made if file.suffix == ".zip")
    assert len(zipfile.ZipFile(packed).namelist()) == len(made) - 1


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


def test_what_breaks_off_in_the_middle_is_told(desk, tmp_path, monkeypatch):
    add(desk, "text")
    monkeypatch.setattr("theorykit.handout.making.write_whole", full_disk)
    make(desk)
    assert "no room left" in desk.making.problem.value
    assert "0 of 2 files made" in desk.making.told.value


def full_disk(*_: object, **__: object) -> None:
    """Stand for a disk on which nothing can be written any more."""
    raise TheoryError("no room left")


def test_ticks_and_folder_are_kept(tmp_path):
    path = tmp_path / "draft.json"
    first = handout_desk(path=path)
    first.making.parts["readers"]["B flat"].value = True
    first.making.parts["readers"]["concert"].value = False
    first.making.files["sound"].value = True
    first.making.folder.value = "Thursday"
    again = handout_desk(path=path)
    assert again.making.ticked == first.making.ticked
    assert again.making.ticked["readers"] == ["B flat"]
    assert again.making.folder.value == "Thursday"
    assert [str(value) for _, value in again.edition.options] == ["B flat, student, A4"]
    again.making.everyone.value = True
    again.edition.value = dict(again.edition.options)["F, teacher, Letter"]
    third = handout_desk(path=path)
    assert third.making.editions == EVERYONE
    assert str(third.edition.value) == "F, teacher, Letter"
    third.making.everyone.value = False
    for box in third.making.parts["paper"].values():
        box.value = False
    fourth = handout_desk(path=path)
    assert "nothing ticked under" in fourth.making.problem.value
    assert fourth.look.pages


def sent(name: str, content: bytes) -> dict[str, object]:
    """Return a file as the page sends it."""
    kind = {"type": "", "size": len(content), "last_modified": datetime.now(tz=UTC)}
    return {"name": name, "content": memoryview(content), **kind}


def test_another_file_is_opened_and_the_one_before_brought_back(desk, tmp_path):
    add(desk, "text", text="Mine.")
    ready = READY[0]
    desk.opening.path.value = str(ready)
    assert desk.handout == Handout.read(ready)
    assert "Opened from" in desk.opening.told.value
    desk.opening.back.click()
    assert [block.text for block in desk.handout.blocks] == ["Mine."]
    desk.opening.back.click()
    assert desk.handout == Handout.read(ready)
    desk.opening.file.value = (sent("sent.toml", b'title = "Sent"'),)
    assert desk.handout.title == "Sent"
    desk.opening.file.value = (sent("song.toml", b"\xff\xfe\x00"),)
    assert "is no text" in desk.opening.problem.value
    desk.opening.path.value = "nowhere"
    assert "no such file" in desk.opening.problem.value
    assert desk.handout.title == "Sent"


def test_there_is_nothing_to_bring_back_on_a_new_desk(desk):
    desk.opening.back.click()
    assert "no handout was here before" in desk.opening.problem.value


def test_the_choice_of_the_explorer_is_taken_over_with_the_way_to_think_of_it(tmp_path):
    box = explorer("Bb minor", "altered", "split")
    box.shortcut.value = 2
    box.spelling.value = box.spelling.options[1]
    desk = handout_desk(path=tmp_path / "d", explorer=box)
    desk.filling.sources.colour.click()
    desk.filling.add.click()
    (block,) = desk.handout.blocks
    assert (block.key, block.colour, block.form) == ("Bb minor", "altered", "split")
    assert (block.shortcut, block.spelling) == (3, box.spelling.options[1])
    page = sections_of(desk.handout.blocks, Desk(reader("concert")))
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


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
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
    assert chorus_of(block) == write_chorus(tunes.state.chart, tunes.state.treatment, seed=7)


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
