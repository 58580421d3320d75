"""The proof misses no reader, no file and no page, and it finds what is wrong."""

from __future__ import annotations

import ast
import errno
import importlib
import os
import pkgutil
import re
import time
from pathlib import Path
from random import Random

import ipywidgets as ipw
import pytest

import theorykit
from tests.proof import full_disk, inputs, kills, memory, pages, several_writers, walks
from tests.proof.accounts import Account, faults_of_refusal, report_json, report_text
from tests.proof.inputs import READINGS, smaller, try_one
from tests.proof.keepings import KEEPINGS, Keeping, last_of, said
from tests.proof.texts_read import Reading
from theorykit.errors import TheoryError
from theorykit.study.own_file import OwnFile

PACKAGE = Path(theorykit.__file__).parent
READS = re.compile(r"(?!_)(?:(parse|read|open|load|import)(_\w+)?|\w+_(from|typed|of_bytes))")
# Readers by their names that read nothing from outside: a value of ours goes in.
INSIDE = {
    "theorykit.lines.reading.line_reading.read_line": "a Line; tried with every line",
    "theorykit.lines.text.line_text.LineReader.read": "tried by Line.parse",
    "theorykit.lines.text.line_text.LineReader.read_pitch": "tried by Line.parse",
    "theorykit.notes.symbol.read_symbol": "tried by Chord.parse",
    "theorykit.tunes.charts.chart_rows.Rows.read": "tried by Chart.parse",
    "theorykit.views.line.line_draft.LineDraft.read": "the text of a desk; tried by typed line",
    "theorykit.views.staves.staff.read_staff": "a reading of a Line; tried with every line",
    "theorykit.widgets.handouts.block_form.Form.read": "fields of a form; tried by the pages",
    "theorykit.widgets.works.keeper.Keeper.open": "a work out of the drafts; tried by the pages",
}


def readers_of_the_library() -> set[str]:
    """The full names of all functions and methods that are called as readers are."""
    found = set()
    for file in sorted(PACKAGE.rglob("*.py")):
        module = ".".join(["theorykit", *file.relative_to(PACKAGE).with_suffix("").parts])
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and node.name.startswith("_"):
                continue
            inside = node.body if isinstance(node, ast.ClassDef) else [node]
            owner = f"{node.name}." if isinstance(node, ast.ClassDef) else ""
            for one in inside:
                if isinstance(one, ast.FunctionDef) and READS.fullmatch(one.name):
                    found.add(f"{module}.{owner}{one.name}")
    return found


def test_every_reader_of_the_library_is_tried():
    covered = {name for one in READINGS.values() for name in one.covers}
    assert readers_of_the_library() - covered - set(INSIDE) == set()
    assert (covered | set(INSIDE)) - readers_of_the_library() == set()


def test_everything_of_the_readers_own_is_kept_in_the_proof():
    for module in pkgutil.iter_modules([str(PACKAGE / "study")]):
        importlib.import_module(f"theorykit.study.{module.name}")
    covered = {name for one in KEEPINGS for name in one.stores}
    assert {one.__name__ for one in OwnFile.__subclasses__()} <= covered


@pytest.mark.parametrize("name", pages.MAKERS)
def test_a_page_opens_with_nothing_said_and_has_only_known_controls(name, tmp_path):
    assert pages.unfit(pages.MAKERS[name]) == []
    page = pages.opened(name)
    assert pages.controls(page) != []
    assert pages.unknown_in(page) == []
    page.close()


# What the proof must find.


def reading(read, keeps=lambda _: True):
    return Reading("x", lambda rng: "abc", read, keeps)


def refuse(words):
    def read(_):
        raise TheoryError(words)

    return read


def test_inputs_that_fail_are_found(monkeypatch):
    monkeypatch.setattr(inputs, "PATIENCE", 1)
    monkeypatch.setattr(inputs, "MOST_SECONDS", 0.02)
    found = [
        try_one(one, "abc")[0]
        for one in (
            reading(str.upper),
            reading(refuse("not a thing: 'abc' (want another one)")),
            reading(lambda text: int(text)),
            reading(str.upper, lambda _: False),
            reading(refuse("no")),
            reading(refuse("not a thing: <x object at 0x7f00> (want another one)")),
            reading(refuse("not a thing: '\ud800' (want another one)")),
            reading(lambda _: time.sleep(0.05)),
            reading(lambda _: all(True for _ in iter(int, 1))),
        )
    ]
    assert found[:2] == ["", ""]
    assert [bool(wrong) for wrong in found[2:]] == [True] * 7
    assert found[3] == "does not read back"
    assert found[-1] == "never ends"


def test_a_failing_input_is_made_smaller():
    def read(text):
        return 1 // ("H" not in text)

    assert smaller(reading(read), "some H among others", "ZeroDivisionError") == "H"


def test_inputs_are_the_same_for_the_same_seed():
    for name in ("Chord.parse", "score as line", "answers"):
        one = READINGS[name]
        assert repr(inputs.drawn(one, 3, 5)) == repr(inputs.drawn(one, 3, 5))
    assert inputs.drawn(READINGS["Chord.parse"], 3, 5) != inputs.drawn(
        READINGS["Chord.parse"], 4, 5
    )


def careless(folder, who, number):
    """Write in place, as one must not."""
    with (folder / "turn.txt").open("wb") as file:
        for sign in range(0, len(said(who, number)), 500):
            file.write(said(who, number)[sign : sign + 500])
            file.flush()


CARELESS = Keeping("careless", careless, last_of("turn.txt"), adds=False)
FORGETFUL = Keeping("forgetful", lambda *_: None, lambda _, kept: [f"lost: {n}" for n in kept])


@pytest.mark.parametrize("keeping", [CARELESS, FORGETFUL], ids=lambda one: one.name)
def test_kills_find_half_files_and_losses(keeping, monkeypatch):
    monkeypatch.setattr(kills, "KEEPINGS", (keeping,))
    found = kills.killed(20, 1)
    assert found.tried == 20
    assert (found.lost if keeping is FORGETFUL else found.failed + found.lost) > 0


def last_word_wins(folder, who, number):
    """Read, wait and write, as one must not; on a busy machine begin when another is there, too."""
    (folder / f"{who}.here").touch()
    until = time.monotonic() + 60
    while len([*folder.glob("*.here")]) < 2 and time.monotonic() < until:
        time.sleep(0.001)
    file = folder / "all.txt"
    before = file.read_text(encoding="utf-8") if file.exists() else ""
    time.sleep(0.005)
    file.write_text(f"{before}{who} {number}\n", encoding="utf-8")


def all_rows(folder, kept):
    rows = set((folder / "all.txt").read_text(encoding="utf-8").splitlines())
    return [
        f"lost: {w} {n}"
        for w, last in kept.items()
        for n in range(last + 1)
        if f"{w} {n}" not in rows
    ]


def test_several_writers_find_what_one_takes_from_the_other(monkeypatch):
    monkeypatch.setattr(several_writers, "KEEPINGS", (Keeping("all", last_word_wins, all_rows),))
    assert several_writers.written_at_once(20, 1).lost > 0


def raw(folder, who, number):
    """Write in place, and let the system's own error through."""
    (folder / "turn.txt").write_bytes(said(who, number))


def test_a_full_disk_finds_what_is_not_told_and_what_is_lost(monkeypatch):
    keeping = Keeping("raw", raw, last_of("turn.txt"), adds=False)
    monkeypatch.setattr(full_disk, "KEEPINGS", (keeping,))
    monkeypatch.setattr(full_disk, "_can_mount", lambda: False)
    found = full_disk.filled(3, 1)
    assert found.failed >= 3
    assert any(os.strerror(errno.EFBIG) in words for words in found.failures)
    assert any("not whole" in words for words in found.failures)


def breaking_page():
    """A page with a button that breaks."""
    button = ipw.Button(description="break")

    def press(_):
        raise ZeroDivisionError("broke on purpose")

    button.on_click(press)
    return ipw.VBox([button])


def repeating_page():
    """A page that says what is typed as if it were markup."""
    field, said_here = ipw.Text(description="say"), ipw.HTML()
    field.observe(lambda change: setattr(said_here, "value", change["new"]), "value")
    return ipw.VBox([field, said_here])


@pytest.mark.parametrize(
    ("maker", "steps", "words"),
    [(breaking_page, 3, "broke on purpose"), (repeating_page, 400, "markup")],
)
def test_walks_find_what_is_raised_and_what_becomes_markup(monkeypatch, maker, steps, words):
    for module in (walks, pages):
        monkeypatch.setattr(module, "MAKERS", {"broken": maker})
    found = walks.walked(steps, 1)
    assert any(words in failure for failure in found.failures)


def leaking_page():
    """A page that keeps half a megabyte of every choice."""
    kept = []
    chosen = ipw.Dropdown(options=range(9))
    chosen.observe(lambda _: kept.append(bytearray(os.urandom(500_000))), "value")
    return ipw.VBox([chosen])


@pytest.mark.proof
def test_memory_that_grows_is_found(monkeypatch):
    monkeypatch.setattr(memory, "PAGES", ("leaking",))
    monkeypatch.setattr(memory, "opened", lambda _: leaking_page())
    found = memory.weighed(48, 1)
    assert found.failed == 1
    assert "bytes more with each change" in found.failures[0]


def test_the_floor_counts_and_not_what_comes_and_goes():
    flat = [(at, 10**6 + 10**5 * (at % 3)) for at in range(90)]
    assert memory.floor_slope(flat, 90) == 0
    rising = [(at, size + 200 * at) for at, size in flat]
    assert memory.floor_slope(rising, 90) == pytest.approx(200, rel=0.1)


def test_a_control_of_an_unknown_kind_is_found():
    page = ipw.VBox([ipw.DatePicker()])
    assert pages.unknown_in(page) == ["DatePicker"]


def test_hidden_and_switched_off_controls_are_left():
    hidden = ipw.VBox([ipw.Text()], layout={"display": "none"})
    page = ipw.VBox([hidden, ipw.Text(disabled=True), ipw.Text(description="here")])
    assert [one.description for one in pages.controls(page)] == ["here"]


def test_a_report_has_figures_and_words():
    one = Account("inputs", tried=1200, refused=3, lost=1)
    one.fail("Chord.parse: \ud800")
    one.took(0.5, "Chord.parse")
    assert "1,200" in report_text([one])
    assert "! Chord.parse" in report_text([one])
    assert '"lost": 1' in report_json([one])
    assert not one.is_good


def test_words_of_a_refusal_are_looked_at():
    assert faults_of_refusal(TheoryError("not a note name: 'H' (want a letter A-G)")) == []
    assert faults_of_refusal(TheoryError("x" * 9000)) != []
    assert Random(1).random() == Random(1).random()
