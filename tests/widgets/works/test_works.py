"""Desks and pages that keep what was typed and chosen: every one of them, without a browser."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from theorykit import Line, take_down, two_five_one
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import (
    explorer,
    handout_desk,
    identify_notes,
    line_desk,
    phrase_book,
    play_in,
    subset_table,
    substitutions,
    tune_desk,
)

CHART = "title: Bus Stop\nkey: D flat\n\n| Ebm7 | Ab7 | Dbmaj7 | % |\n"
LINE = "8th D5 F5 A5 C6 B5 A5 G5 E5"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "drafts.sqlite"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    found = PhraseBook(tmp_path / "book.sqlite")
    line = Line.parse("8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole E5", two_five_one("C", "short"))
    found.keep("a turn", line, colour="b9", tags=["falling"])
    found.keep("b turn", line, colour="b9", tags=["slow"])
    return found.path


# A page for each kind: how it is opened, what a reader does, what then stands there.


def explore(path: Path) -> Any:
    return explorer("Eb", "b9 13", path=path)


def choose(box: Any) -> None:
    box.key.value = "F# major"
    box.colour.value = "b9 b13"
    box.shortcut.value = 1
    box.tempo.value = 160.0


def chosen(box: Any) -> object:
    return box.view.sentence, box.key.value, box.shortcut.value, box.tempo.value


def look_up(path: Path) -> Any:
    return identify_notes("E G# B", "G7", "C", path=path)


def tap(box: Any) -> None:
    box.notes.value = "Ab C Eb"
    box.over.value = "Db7"
    box.piano.tap(70)


def looked_up(box: Any) -> object:
    return box.view.sentence, box.notes.value, box.over.value, box.piano.down


def substitute(path: Path) -> Any:
    return substitutions("Db major", path=path)


def replace_five(box: Any) -> None:
    box.substitute.value = "backdoor dominant"
    box.target.value = "minor"
    box.chord.value = 0
    box.melody.value = "trumpet"


def replaced(box: Any) -> object:
    return box.view.sentence, box.key.value, box.chord.value, box.melody.value


def tensions(path: Path) -> Any:
    return subset_table("Bb minor", path=path)


def wish(box: Any) -> None:
    box.tensions[0].value = "with it"
    box.rows.value = box.rows.options[-1]


def wished(box: Any) -> object:
    return [row.pretty for row in box.view.rows], box.rows.value


def write_line(path: Path) -> Any:
    return line_desk("Db", "b9", "short", path=path)


def type_line(box: Any) -> None:
    box.text.value = "8th Eb5 Gb5 F5 Eb5 C5 Bbb4 F5 C5 | whole Ab4"
    box.key.value = "F# major"
    box.colour.value = "altered"
    box.asking.start.value = "5"
    box.keeping.notes.value = "half a thou"
    box.hearing.tempo.value = 88


def typed_line(box: Any) -> object:
    fields = (box.text, box.key, box.form, box.colour, box.asking.start, box.keeping.notes)
    return [field.value for field in fields], box.hearing.tempo.value, box.state.origin


def play(path: Path) -> Any:
    return play_in("Db", "b9", "short", path=path)


def play_and_mend(box: Any) -> None:
    over = box.over
    rows = [(0, 0.9, 75), (1, 1.4, 72), (1.5, 1.9, 69), (2, 3.9, 68)]
    box.put_down(take_down(rows, progression=over, tempo=120, start=0))
    box.notes.note.value = 1
    box.notes.buttons["octave down"].click()
    box.key.value = "F# major"
    box.colour.value = "altered"
    box.way.value = "alone, at this tempo"
    box.tempo.value = 88


def played(box: Any) -> object:
    fields = (box.key, box.form, box.colour, box.way, box.tempo)
    return box.line.text, [field.value for field in fields], box.recorder.over


def open_tune(path: Path) -> Any:
    return tune_desk(CHART, path=path)


def type_tune(box: Any) -> None:
    box.colouring.cadences.value = 1
    box.colouring.colour.value = "altered"
    box.text.value = CHART.replace("Bus Stop", "Tram Stop").replace("| %", "| Bbm")
    box.proposal.value = "second"
    box.playing.tempo.value = 92
    box.playing.stems["drums"].value = False
    box.text.value = box.text.value.replace("| Bbm ", "| Bbmq ")  # cannot be read


def typed_tune(box: Any) -> object:
    drums = box.playing.stems["drums"].value
    return box.text.value, box.state, box.view.options, box.playing.tempo.value, drums


def hand_out(path: Path) -> Any:
    return handout_desk('title = "Ready"\n', path=path)


def type_handout(box: Any) -> None:
    box.filling.begin("text")
    box.filling.form.fields["text"].value = "half a"
    box.text.value = 'title = "Mine"\n\n[[block]]\nkind = "po'
    box.making.parts["readers"]["guitar"].value = True


def typed_handout(box: Any) -> object:
    return box.text.value, box.handout, box.filling.form.values, box.making.ticked


PAGES = {
    "explorer": (explore, choose, chosen),
    "identification": (look_up, tap, looked_up),
    "substitutes": (substitute, replace_five, replaced),
    "tensions": (tensions, wish, wished),
    "line": (write_line, type_line, typed_line),
    "playing in": (play, play_and_mend, played),
    "tune": (open_tune, type_tune, typed_tune),
    "handout": (hand_out, type_handout, typed_handout),
}
LISTED = ("line", "tune", "handout")
Page = tuple[Callable[[Path], Any], Callable[[Any], None], Callable[[Any], object]]
each = pytest.mark.parametrize("page", PAGES.values(), ids=list(PAGES))
each_listed = pytest.mark.parametrize("page", [PAGES[name] for name in LISTED], ids=LISTED)


@each
def test_what_was_done_is_there_again_and_the_example_one_press_away(page: Page, path):
    opened, act, seen = page
    first = opened(path)
    example, given = seen(first), first.mine._hands.read()
    assert not path.exists()  # looking writes nothing
    assert "This is the example." in first.mine.told.value or opened in (write_line, play)
    act(first)
    mine = seen(first)
    assert mine != example
    for _ in range(2):
        again = opened(path)
        assert seen(again) == mine
        assert "as you left it" in again.mine.told.value
        assert again.mine.problem.value == ""
    if hasattr(again.mine, "list"):
        again.mine.list.value = 0
    else:
        again.mine.example.click()
    assert "as you left it" not in again.mine.told.value
    if opened is play:  # a new line stands over the chords of the moment
        assert again.mine._hands.read()["text"] == given["text"] == ""
        assert again.over == two_five_one("F#", "short")
    else:
        assert again.mine._hands.read() == given
    if hasattr(again.mine, "list"):
        again.mine.list.value = again.mine.list.options[1][1]
    else:
        again.mine.undo.click()
    assert seen(opened(path)) == mine
    assert path.stat().st_mode & 0o777 == 0o600


@each
def test_step_by_step_back_to_the_beginning_and_forward_again(page: Page, path):
    opened, act, _ = page
    box = opened(path)
    read = box.mine._hands.read
    act(box)
    last, states = read(), [read()]
    while not box.mine.undo.disabled:
        box.mine.undo.click()
        states.append(read())
        assert read() != states[-2]
    first = opened(path.with_name("other.sqlite"))
    assert {**read(), "beside": 0} == {**first.mine._hands.read(), "beside": 0}
    while not box.mine.redo.disabled:
        box.mine.redo.click()
    assert {**read(), "beside": 0} == {**last, "beside": 0}


@each
def test_the_place_goes_by_the_cell_and_not_by_the_file(page: Page, path):
    opened, act, _ = page
    act(opened(path))
    other = opened(path.with_name("other.sqlite"))
    places = {opened(path).mine.keeper.place, other.mine.keeper.place}
    assert len(places) == 1


def test_a_name_is_a_place_and_so_is_what_the_cell_gives(path):
    named = explorer("Eb", "b9 13", draft="Ida", path=path)
    assert named.key.value == "Eb major"
    named.key.value = "A major"
    assert explorer("Eb", draft="Ida", path=path).key.value == "A major"
    assert explorer("D", draft="Ida", path=path).key.value == "A major"
    assert explorer("E", path=path).key.value == "E major"


ONE_PLACE = [n for n in PAGES if n not in (*LISTED, "playing in")]  # a take begins a line


@pytest.mark.parametrize("page", [PAGES[n] for n in ONE_PLACE], ids=ONE_PLACE)
def test_newer_choices_of_another_page_are_told_and_are_one_step_back(page: Page, path):
    opened, act, seen = page
    one, other = opened(path), opened(path)
    act(one)
    theirs = seen(one)
    touch(other)
    assert "Another desk or notebook has changed this" in other.mine.told.value
    mine = seen(other)
    other.mine.undo.click()
    assert one.mine._hands.read() == other.mine._hands.read()
    other.mine.redo.click()
    assert seen(other) == mine != theirs
    assert seen(opened(path)) == mine


def touch(box: Any) -> None:
    """Choose one thing."""
    for name, value in (
        ("spelling", "readable"),
        ("target", "Cm"),
        ("sort", None),
        ("colour", None),
    ):
        control = getattr(box, name, None)
        if control is not None:
            options = getattr(control, "options", (value,))
            control.value = (
                value
                if value in options
                else options[-1][-1]
                if isinstance(options[-1], tuple)
                else options[-1]
            )
            return
    raise AssertionError(f"nothing to choose in {box}")


@each_listed
def test_newer_work_of_another_desk_is_told_and_both_stand_in_the_list(page: Page, path):
    opened, act, _ = page
    act(opened(path))
    one, other = opened(path), opened(path)
    one.text.value = "the one"
    assert "Both are kept" not in one.mine.told.value
    other.text.value = "the other"
    assert "Another desk or notebook has changed" in other.mine.told.value
    other.text.value = "the other, later"
    one.text.value = "the one, later"
    assert "Both are kept" not in one.mine.told.value
    numbers = [number for _, number in other.mine.list.options[1:]]
    found = {Drafts(path).opened(number).state.data["text"] for number in numbers}
    assert found == {"the one, later", "the other, later"}


@each_listed
def test_new_ones_and_copies_stand_in_the_list_and_every_state_comes_back(page: Page, path):
    opened, act, _ = page
    box = opened(path)
    act(box)
    mine = box.text.value
    box.mine.copy.click()
    assert "This is a copy" in box.mine.told.value
    box.text.value = "changed"
    box.mine.new.click()
    assert f"A new {box.mine.kind}" in box.mine.told.value
    assert box.text.value not in (mine, "changed")
    assert len(box.mine.list.options) == 4  # what the cell gives, the new one, two works
    box.text.value = "a third"
    again = opened(path)
    assert again.text.value == "a third"
    kept = []
    for _, number in again.mine.list.options[1:]:
        again.mine.list.value = number
        kept.append(again.text.value)
    assert sorted(kept) == sorted([mine, "changed", "a third"])
    again.mine.list.value = again.mine.list.options[-1][1]
    again.mine.look.click()
    again.mine.earlier.value = again.mine.earlier.options[-1][1]
    again.mine.bring.click()
    assert "Brought back: " in again.mine.told.value
    assert again.text.value != kept[-1]
    again.mine.undo.click()
    assert again.text.value == kept[-1]


@each_listed
def test_a_work_is_taken_out_after_a_question(page: Page, path):
    opened, act, _ = page
    box = opened(path)
    act(box)
    mine = box.text.value
    box.mine.out.click()
    assert box.mine.asked.layout.display == "flex"
    box.mine.no.click()
    assert (box.text.value, box.mine.asked.layout.display) == (mine, "none")
    box.mine.out.click()
    box.mine.yes.click()
    assert box.text.value != mine
    assert Drafts(path).works(box.mine.kind) == ()
    assert opened(path).text.value == box.text.value


@each_listed
def test_a_full_disk_is_told_and_the_desk_goes_on(page: Page, path, monkeypatch):
    opened, act, _ = page
    box = opened(path)
    act(box)

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(Drafts, "save", full)
        box.text.value = "not kept"
        assert "the disk is full" in box.mine.saved.value
        assert "What you typed stands on the page" in box.mine.saved.value
        box.mine.new.click()  # would take its place: refused, because it could not be fetched again
        assert box.text.value == "not kept"
    box.text.value = "kept again"
    assert box.mine.saved.value == ""
    assert opened(path).text.value == "kept again"


def test_filters_of_the_phrase_book_and_half_typed_notes_are_there_again(path, book):
    box = phrase_book(book, drafts=path)
    assert not path.exists()
    box.finding.tag.value = "slow"
    box.key.value = "F# major"
    box.into.value = "split"
    box.hearing.tempo.value = 77
    box.editing.notes.value = "half a thou"
    again = phrase_book(book, drafts=path)
    assert [value for _, value in again.finding.phrases.options] == ["b turn"]
    assert (again.finding.tag.value, again.key.value, again.into.value) == (
        "slow",
        "F# major",
        "split",
    )
    assert (again.hearing.tempo.value, again.editing.notes.value) == (77, "half a thou")
    assert PhraseBook(book).phrase("b turn").notes == ""
    PhraseBook(book).drop("b turn")
    third = phrase_book(book, drafts=path)
    assert third.finding.phrases.value == "a turn"
    assert third.editing.notes.value == ""  # notes on another phrase


def test_a_tick_that_is_meant_for_one_press_is_not_there_again(path):
    box = line_desk("C", path=path)
    box.keeping.name.value = "mine"
    box.keeping.replace.value = True
    again = line_desk("C", path=path)
    assert (again.keeping.name.value, again.keeping.replace.value) == ("mine", False)


def test_drafts_that_somebody_has_damaged_are_told_and_the_desk_goes_on(path):
    path.write_bytes(b"SQLite format 3\x00 and no more")
    for opened, act, seen in PAGES.values():
        box = opened(path)
        assert "is no file of drafts" in box.mine.saved.value
        act(box)
        assert seen(box)
    assert path.read_bytes() == b"SQLite format 3\x00 and no more"


def test_a_kept_state_that_cannot_be_shown_gives_way_to_the_example(path):
    box = tune_desk(CHART, path=path)
    act = PAGES["tune"][1]
    act(box)
    drafts = Drafts(path)
    drafts.save(box.mine.keeper.opened, "x", {"text": "x", "proposal": "seventh", "variety": 2})
    again = tune_desk(CHART, path=path)
    assert again.text.value == CHART
    assert "no such proposal" in again.mine.problem.value
    assert "the example." in again.mine.told.value
