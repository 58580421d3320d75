"""Nothing fails in silence: whatever breaks while a control is answered is told on the page."""

from __future__ import annotations

import errno
import os
from functools import partial
from pathlib import Path

import ipywidgets as ipw
import pytest
from faults import Faults, controls_of, pictures_of, said_by, touch, typed_in
from uploads import uploaded

from theorykit import take_down
from theorykit.errors import TheoryError
from theorykit.lines.demonstration import demonstration
from theorykit.show.own_reader import own_files_in
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.shelf import NO_BOOK
from theorykit.widgets import (
    drill,
    explorer,
    handout_desk,
    identify_notes,
    journal,
    line_desk,
    phrase_book,
    play_in,
    shelf,
    subset_table,
    substitutions,
    tune_desk,
)
from theorykit.widgets.controls import answer, button, guarded, offer, picture, put, safely, typed
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.works.my_work import NOT_WRITTEN

TUNE = "title: Two Chairs\ntempo: 90\n\n| Dm7 | G7 | C6 | % |"
HANDOUT = 'title = "For Thursday"\n\n[[block]]\nkind = "text"\ntext = "Bring your horns."\n'
TEXTS = {
    "notes": "Ab C Eb",
    "over the chord": "D7",
    "going to": "G",
    "your line": "8th F4 A4 C5 E5 D5 C5 A4 F4",
    "chart": TUNE.replace("Dm7", "Dm9"),
    "lowest note": "D4",
    "what": "Two Chairs",
    "note": "the bridge goes well",
    "handout as text": HANDOUT.replace("horns", "mutes"),
}


def book(folder: Path) -> Path:
    """Write a book of two phrases."""
    file = folder / "thursday.sqlite"
    kept = PhraseBook(file)
    kept.keep("one", demonstration("C", "short", "b9"), colour="b9")
    kept.keep("two", demonstration("Db", "short", "altered"), colour="altered")
    return file


def played(folder: Path) -> ipw.Widget:
    """Open the page for playing in with a line on it."""
    page = play_in("F#", form="short", book=book(folder))
    line = demonstration("F#", "short")
    rows = [(float(n.start) / 2, float(n.end) / 2 - 0.02, n.pitch.midi) for n in line.notes]
    page.put_down(take_down(rows, progression=line.progression, tempo=120, start=0))
    return page


def full_shelf(folder: Path) -> ipw.Widget:
    """Open a shelf with two works of each kind, alone."""
    drafts = Drafts(folder / "drafts.sqlite")
    for name in ("Two Chairs", "Wet Gloves"):
        drafts.begin("tune", name, {"text": TUNE.replace("Two Chairs", name)})
        drafts.begin("handout", name, {"text": HANDOUT.replace("For Thursday", name)})
    return shelf(path=folder / "drafts.sqlite", book=book(folder))


@pytest.fixture(autouse=True)
def alone(tmp_path: Path):
    """Close the pages of other tests: they are told when a work is kept, and have their faults."""
    ipw.Widget.close_all()
    with own_files_in(tmp_path / "own"):
        yield


DESKS = {
    "explorer": lambda folder: explorer("Db"),
    "identification": lambda folder: identify_notes(),
    "substitutes": lambda folder: substitutions("Bb minor"),
    "tensions": lambda folder: subset_table(),
    "lines": lambda folder: line_desk("F#", form="short", line=demonstration("F#", "short")),
    "phrases": lambda folder: phrase_book(book(folder)),
    "tunes": lambda folder: tune_desk(TUNE, book=book(folder)),
    "handouts": lambda folder: handout_desk(
        HANDOUT, path=folder / "draft.json", book=book(folder), folder=folder / "made"
    ),
}
DESKS |= {
    "drill": lambda folder: drill(["top note"], keys="Db", journal=folder / "journal.sqlite"),
    "journal": lambda folder: journal(folder / "journal.sqlite"),
    "shelf": full_shelf,
    "playing in": played,
}
FEW = {
    "handouts": {"handout as text", "blocks", "up", "begin a new block", "kind of block"},
}


def each_on(page):
    """Run through the controls of a page; one that a touch has taken away is not met any more."""
    met, labels = [], []
    while fresh := [
        one
        for one in controls_of(page)
        if one not in met and labels.count(f"{type(one)}{one.description}") < 3
    ]:
        met.append(fresh[0])
        labels.append(f"{type(fresh[0])}{fresh[0].description}")
        yield fresh[0]


def break_everything(page, name: str, faults: Faults, most: int) -> int:
    """Break what each control calls, one function at a time; return how many times it broke."""
    broken = 0
    for control in each_on(page):
        label = getattr(control, "description", "")
        if most and label not in FEW.get(name, {label}):
            continue
        back = None

        def dry(control=control):
            nonlocal back
            back = touch(control, TEXTS)

        keys = faults.called(dry)
        back()
        chosen = keys if not most else keys[:1] + keys[-1:]
        for key in dict.fromkeys(chosen):
            before = pictures_of(page)
            faults.armed, faults.broke = key, False
            back = touch(control, TEXTS)
            faults.armed = ""
            if faults.broke:
                broken += 1
                assert "could not be done" in said_by(page), (label, key)
                # A draft that cannot be kept, here or in the folder of works, is told; the page
                # goes on with what was typed.
                goes_on = any(words in said_by(page) for words in ("is not kept", NOT_WRITTEN))
                assert pictures_of(page) == before or goes_on, key
            back()
    return broken


@pytest.mark.parametrize("name", DESKS)
def test_what_breaks_is_told_and_the_last_good_picture_stays(name, tmp_path, monkeypatch):
    faults = Faults(monkeypatch)
    page = DESKS[name](tmp_path)
    assert break_everything(page, name, faults, most=2) > 4


@pytest.mark.sweep
@pytest.mark.parametrize("name", DESKS)
def test_whichever_function_breaks(name, tmp_path, monkeypatch):
    faults = Faults(monkeypatch)
    page = DESKS[name](tmp_path)
    assert break_everything(page, name, faults, most=0) > 10


@pytest.mark.parametrize("name", DESKS)
def test_what_was_typed_stays(name, tmp_path, monkeypatch):
    """Every function breaks for each field in which a reader types."""
    faults = Faults(monkeypatch)
    page = DESKS[name](tmp_path)
    for control in controls_of(page):
        label = getattr(control, "description", "")
        if (
            not hasattr(control, "continuous_update")
            or label not in TEXTS
            or TEXTS[label] == control.value
        ):
            continue
        before = control.value
        keys = faults.called(partial(touch, control, TEXTS))
        for key in [*keys[:1], *keys[-1:]]:
            control.value = before
            faults.armed = key
            touch(control, TEXTS)
            faults.armed = ""
            assert typed_in(page)[id(control)] == TEXTS[label], (label, key)
        control.value = before


# The pages that follow a desk.


@pytest.mark.parametrize("kind", ["tune", "term"])
@pytest.mark.parametrize("word", ["day_words", "table_html", "sentences_html", "work_folder"])
def test_what_breaks_on_the_shelf_is_told_there_and_the_desk_goes_on(
    kind, word, tmp_path, monkeypatch
):
    """The desk keeps what was typed; the shelf says that it still lists what was there before."""
    faults = Faults(monkeypatch)
    desk = tune_desk(TUNE, path=tmp_path / "drafts.sqlite", book=book(tmp_path))
    desk.text.value = TUNE.replace("Dm7", "Dm9")
    beside = shelf(desk)
    beside.kind.value = kind
    before = (beside.list.options, beside.list.value, beside.term.value, beside.where.value)
    faults.armed = f"theorykit.widgets.shelves.shelving.{word}"
    desk.text.value = TUNE.replace("Two Chairs", "Three Chairs")
    faults.armed = ""
    is_asked = word in {"tune": ("day_words",), "term": ("table_html",)}[kind] or word[0] in "sw"
    assert faults.broke == is_asked
    assert ("could not be done" in said_by(beside)) == is_asked
    assert ("what the shelf lists is from before" in said_by(beside)) == is_asked
    if is_asked:
        now = (beside.list.options, beside.list.value, beside.term.value, beside.where.value)
        assert now == before
    assert said_by(desk) == ""
    assert [work.title for work in desk.mine.drafts.works("tune")] == ["Three Chairs"]
    beside.again.click()
    assert said_by(beside) == ""
    assert "Three Chairs" in f"{beside.list.options}{beside.term.value}"


def test_a_shelf_that_is_closed_is_told_nothing_more(tmp_path, monkeypatch):
    faults = Faults(monkeypatch)
    desk = tune_desk(TUNE, path=tmp_path / "drafts.sqlite", book=book(tmp_path))
    beside = shelf(desk)

    def keep(name: str) -> None:
        desk.text.value = TUNE.replace("Two Chairs", name)

    listed = "theorykit.widgets.shelves.shelving.day_words"
    assert listed in faults.called(partial(keep, "Three Chairs"))
    beside.close()
    assert listed not in faults.called(partial(keep, "Four Chairs"))


# What is said.


class Small(Page):
    """A page with a field, a button and a picture, to break things on."""

    def __init__(self, fails) -> None:
        self.fails = fails
        self.state = "first"
        self.problem, self.picture, self.told = picture(), picture(), picture()
        self.field = typed("field", "")
        self.do = button("do it", self._press)
        super().__init__([self.field, self.do, self.problem, self.picture, self.told])
        self.field.observe(self._typed, "value")

    @answer
    def _typed(self, _: object) -> None:
        self.state = self.field.value
        put(self.picture, f"picture of {self.state}")
        self.fails()

    @answer
    def _press(self, _: object) -> None:
        lasting("the file is written.")
        self.fails()


def raising(error: BaseException):
    """Return what raises an error."""

    def act() -> None:
        raise error

    return act


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)), "the disk is full"),
        (OSError(errno.ENAMETOOLONG, "", "x" * 300), "the name of the file or folder is too long"),
        (PermissionError(errno.EACCES, "", "/root"), "it is not allowed there (&#x27;/root&#x27;)"),
        (OSError(errno.EROFS, ""), "nothing can be written there"),
        (ValueError("embedded null byte"), "a path cannot hold the character NUL"),
        (RecursionError(), "it is nested too deep"),
        (MemoryError(), "there is not enough memory for it"),
        (
            KeyError("fifths"),
            "the program met what it did not expect (KeyError: &#x27;fif",
        ),
    ],
)
def test_what_where_why_and_that_nothing_was_changed(error, words):
    page = Small(raising(error))
    page.field.value = "second"
    said = page.problem.value
    assert f"field could not be done: {words}" in said
    assert "Nothing was changed" in said
    assert "<details><summary>details</summary>" in said
    assert type(error).__name__ in said.partition("<details>")[2]
    assert (page.state, page.picture.value, page.field.value) == ("first", "", "second")


def test_a_refusal_is_said_as_it_is_without_a_fold():
    page = Small(raising(TheoryError("not a chord: 'H' (want A-G)")))
    page.field.value = "second"
    assert "not a chord: &#x27;H&#x27; (want A-G)" in page.problem.value
    assert "details" not in page.problem.value
    assert page.picture.value == ""


def test_what_was_done_for_good_is_said():
    page = Small(raising(KeyError("late")))
    page.do.click()
    assert "do it could not be done" in page.problem.value
    assert "But this is done: the file is written." in page.problem.value
    assert "Nothing was changed" not in page.problem.value


def test_an_answer_inside_another_goes_back_alone():
    page = Small(lambda: None)
    inner = picture()

    def steps() -> None:
        put(page.picture, "outer")
        guarded(inner, lambda: put(page.told, "half"), raising(KeyError("inner")))

    assert guarded(page.problem, steps)
    assert (page.picture.value, page.told.value) == ("outer", "")
    assert "KeyError" in inner.value
    assert page.problem.value == ""


def test_lists_and_attributes_go_back_and_answers_stay_one():
    page = Small(lambda: None)
    from theorykit.widgets.controls import choice

    heard: list[object] = []
    box = choice("list", ("a", "b"), "b")
    box.observe(heard.append, "value")

    def steps() -> None:
        offer(box, ("c", "d"), "d", heard.append)
        page.state = page.extra = "new"
        raise KeyError

    assert not guarded(page.problem, steps)
    assert (box.options, box.value, page.state, hasattr(page, "extra")) == (
        ("a", "b"),
        "b",
        "first",
        False,
    )
    assert heard == []
    box.value = "a"
    assert len(heard) == 1


def test_a_small_answer_that_is_no_method_is_safe_too():
    page = Small(lambda: None)
    safely(page.problem, raising(ZeroDivisionError()))(page.do)
    assert "do it could not be done" in page.problem.value


# The cases that were found.


def alert(page) -> str:
    """Return what a page says, and fail where it says nothing."""
    said = said_by(page)
    assert said
    return said


@pytest.mark.parametrize("path", ["x" * 300, "a\0b", "/proc/nowhere/x", "~nobody-here/x"])
def test_odd_paths_are_told_by_every_desk(path, tmp_path):
    shelf = phrase_book(book(tmp_path))
    shelf.finding.path.value = path
    assert NO_BOOK in shelf.finding.count.value or alert(shelf)
    desk = line_desk("C", form="short", line=demonstration("C", "short"), book=tmp_path / "b")
    desk.keeping.book.value, desk.keeping.name.value = path, "one"
    desk.keeping.keep.click()
    desk.exporting.path.value = path
    desk.exporting.write.click()
    assert alert(desk.keeping)
    assert alert(desk.exporting)
    tunes = tune_desk(TUNE)
    tunes.opening.path.value = path
    assert alert(tunes.opening)
    made = handout_desk(HANDOUT, path=tmp_path / "d.json")
    made.making.folder.value = path
    made.making.make.click()
    made.making.wait()
    assert alert(made.making)


def test_a_damaged_book_is_told_by_every_desk(tmp_path):
    file = book(tmp_path)
    data = bytearray(file.read_bytes())
    data[4096:] = os.urandom(len(data) - 4096)
    file.write_bytes(bytes(data))
    assert "damaged" in alert(phrase_book(file))
    desk = line_desk("C", form="short", line=demonstration("C", "short"), book=file)
    desk.keeping.name.value = "three"
    desk.keeping.keep.click()
    assert "damaged" in alert(desk.keeping)
    made = handout_desk(HANDOUT, path=tmp_path / "d.json", book=file)
    assert "damaged" in alert(made.filling.sources)


def test_a_score_without_a_number_of_signs_is_read_and_told():
    note = (
        "<note><pitch><step>D</step><octave>5</octave></pitch><duration>4</duration>"
        "<type>whole</type></note>"
    )
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Lead</part-name>'
        '</score-part></part-list><part id="P1"><measure number="1"><attributes>'
        "<divisions>1</divisions><key><mode>major</mode></key><time><beats>4</beats>"
        f"<beat-type>4</beat-type></time></attributes>{note}</measure></part></score-partwise>"
    )
    tunes, lines = tune_desk(TUNE), line_desk("C")
    for desk in (tunes, lines):
        desk.opening.file.value = uploaded("lead.musicxml", text.encode())
        assert "does not say how many signs" in desk.opening.told.value
        assert not said_by(desk.opening)


def test_a_treatment_line_twice_is_told(tmp_path):
    row = "bar 2 of | G7 |, cadence 1: colour b9"
    block = (
        '\n[[block]]\nkind = "tune"\nchart = "| Dm7 | G7 | C6 | % |"\n'
        f'treatment = """\n{row}\n{row}\n"""\n'
    )
    desk = handout_desk(HANDOUT, path=tmp_path / "d.json")
    pages = desk.looking.pages.shown.value
    desk.text.value = HANDOUT + block
    assert alert(desk)
    assert desk.looking.pages.shown.value == pages
    assert desk.text.value == HANDOUT + block


def test_a_full_disk_says_so(tmp_path, monkeypatch):
    def full(*_: object, **__: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    desk = line_desk("C", form="short", line=demonstration("C", "short"))
    desk.exporting.path.value = str(tmp_path / "turn.txt")
    monkeypatch.setattr(Path, "write_bytes", full)
    monkeypatch.setattr(os, "write", full)
    monkeypatch.setattr(os, "open", full)
    desk.exporting.write.click()
    said = alert(desk.exporting)
    assert "disk is full" in said or "No space left" in said
    assert not (tmp_path / "turn.txt").exists()
