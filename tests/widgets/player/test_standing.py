"""How a player is set is there again: on every desk and in a cell, and a hostile file is told."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import IPython
import pytest

from theorykit import two_five_one
from theorykit.lines.band import performance
from theorykit.show.own_reader import own_folder
from theorykit.views.sounding import Take
from theorykit.widgets import explorer, identify_notes, line_desk, substitutions, tune_desk
from theorykit.widgets.player import Player
from theorykit.widgets.player.cell_player import CellPlayer
from theorykit.widgets.works.keeper import write_all

LEVELS = ["every other round", "off", "soft", "full"]
# Each page that plays, and its players.
PAGES: dict[str, tuple[Any, Any]] = {
    "explorer": (lambda path: explorer("Gb", path=path), lambda page: [page.player]),
    "notes": (lambda path: identify_notes("Ab C", path=path), lambda page: [page.player]),
    "substitutes": (lambda path: substitutions("Db", path=path), lambda page: [page.player]),
    "line": (lambda path: line_desk("F#", path=path), lambda page: [page.hearing.player]),
    "tune": (
        lambda path: tune_desk("| Abm7 | Db7 | Gb6 | % |", path=path),
        lambda page: [page.playing.player, page.colouring.player],
    ),
}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_that_is_opened_again_has_its_players_as_they_were_left(name, tmp_path):
    opened, players = PAGES[name]
    file = tmp_path / "drafts.sqlite"
    page = opened(file)
    for number, player in enumerate(players(page)):
        player.levels, player.bar = LEVELS, 2 + number
    page.mine.write()
    for number, player in enumerate(players(opened(file))):
        assert (player.levels, player.bar, player.problem) == (LEVELS, 2 + number, "")


def spoiled(file: Path, text: str) -> None:
    """Write another text in the place of what was kept of the players."""
    with closing(sqlite3.connect(file)) as book:
        book.execute("UPDATE places SET data = ?", (text,))
        book.commit()


@pytest.mark.parametrize(
    "kept",
    ['{"player": "piano loud"}', '{"player": {"bar": 3}}', '{"player": 1e308}', '{"player": null}'],
)
def test_what_cannot_be_read_is_told_and_the_player_is_as_at_first(kept, tmp_path):
    file = tmp_path / "drafts.sqlite"
    page = explorer("Gb", path=file)
    page.player.bar = 2
    page.mine.write()
    spoiled(file, kept)
    player = explorer("Gb", path=file).player
    assert (player.levels, player.bar) == (["full"] * 4, 0)
    assert player.problem.startswith("How this player was set cannot be read, and it is as it was")
    assert "(want " in player.problem
    player.bar = 1
    assert player.standing.value == "bar 2"


def test_a_setting_that_was_not_there_says_nothing(tmp_path):
    """A file of drafts of an earlier version has none."""
    player = explorer("Gb", path=tmp_path / "none.sqlite").player
    assert (player.problem, player.standing.value) == ("", "")


def test_what_a_page_says_that_no_list_offers_is_as_at_first():
    player = Player()
    player.levels = ["loud", "full", "full", "full"]
    assert player.standing.value == ""
    player.levels = ["off"]
    assert player.standing.value == ""
    player.bar = -7
    assert player.standing.value == ""


@pytest.fixture
def kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(IPython, "get_ipython", lambda: SimpleNamespace(kernel=object()))


def cell(key: str, tempo: float = 100) -> CellPlayer:
    return CellPlayer([Take("a phrase", performance(None, two_five_one(key), tempo=tempo))])


def test_a_cell_that_has_the_same_to_be_heard_is_set_as_it_was_left(kernel):
    first = cell("Bb minor")
    assert first.standing.value == ""
    first.levels, first.bar, first.tempo = LEVELS, 1, 60
    write_all()
    again = cell("Bb minor")
    assert (again.levels, again.bar, again.tempo, again.pace) == (LEVELS, 1, 60, 100)
    assert cell("B minor").standing.value == ""
    assert cell("Bb minor", 90).standing.value == ""
    again.levels, again.bar, again.tempo = ["full"] * 4, 0, 100
    write_all()
    assert cell("Bb minor").standing.value == ""


def test_a_cell_whose_setting_cannot_be_kept_plays_and_says_so(kernel):
    file = own_folder() / "drafts.sqlite"
    before = file.read_bytes() if file.exists() else None
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(b"no drafts at all" * 99)
    try:
        player = cell("D")
        assert player.problem.startswith("How this player is set is not kept: ")
        assert [take["label"] for take in player.takes] == ["a phrase"]
    finally:
        file.unlink() if before is None else file.write_bytes(before)
