"""Drafts as a file that came from elsewhere, and what desks do with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.proof.files_read import a_database, left_alone, odd_rows
from tests.proof.hostile import bytes_like, text_like
from tests.proof.texts_drawn import HANDOUTS, TUNES
from tests.proof.texts_read import Reading, parsed
from theorykit.show.work_folder import KINDS as WRITTEN
from theorykit.study.drafts import Drafts
from theorykit.views.sounding import PlayerSetting
from theorykit.widgets.player import Player

__all__ = ["DRAFTS"]

KINDS = ("tune", "line", "handout")


def some_drafts(file: Path) -> None:
    """Write a small file of drafts."""
    book = Drafts(file)
    for kind, text in zip(KINDS, (TUNES[0], "8th D5", HANDOUTS[0]), strict=True):
        seen = book.begin(kind, "Thursday", {"text": text})
        book.save(seen, "Thursday", {"text": f"{text} "}, fresh=True)
    book.leave("proof", seen.work, {"text": "x"})


def used_drafts(file: Path) -> object:
    """Open a file of drafts and do what desks do with one."""
    book = Drafts(file)
    works = [one for kind in KINDS for one in book.works(kind)]
    return [book.states(one.number) for one in works], book.left("proof")


def in_one_file() -> tuple[Reading, ...]:
    """Return the reading of the file of drafts."""
    data = a_database(some_drafts)
    draw = bytes_like(data, also=(odd_rows(data),))
    return (Reading("drafts", draw, left_alone("drafts.sqlite", used_drafts), share=20),)


def papers() -> Reading:
    """Return the reading of works out of plain text files: what was read is written and kept."""
    texts = (TUNES[0], "8th D5", "8th D5", HANDOUTS[0])
    pairs = zip(WRITTEN.values(), texts, strict=True)
    some = [kind.written({"text": text}) for kind, text in pairs]

    def read(text: str) -> list[tuple[str, dict]]:
        return [(name, kind.read(text)) for name, kind in WRITTEN.items()]

    def keeps(found: list[tuple[str, dict]]) -> bool:
        return all(WRITTEN[name].read(WRITTEN[name].written(one)) == one for name, one in found)

    covers = ("theorykit.study.works.paper.PaperKind.read",)
    return Reading("papers", text_like(*some), read, keeps, 20, covers)


def player_settings() -> tuple[Reading, ...]:
    """Return the readings of how a player was set: the text, and what a file of drafts has of it.

    Whatever lies there, the player stands in a way that can be kept, and says what it could not
    read.
    """
    some = ("piano off, bar 3, tempo 90", "line every other round", "bass soft, drums off", "")

    def put_back(value: Any) -> Player:
        player = Player()
        player.standing.value = value
        return player

    def keeps(player: Player) -> bool:
        again = put_back(player.standing.value)
        return not again.problem and again.levels == player.levels and again.bar == player.bar

    return (
        parsed(PlayerSetting, *some, words=("-1", "1e3", "nan", "bar 2001"), share=10),
        Reading("player as it was left", text_like(*some), put_back, keeps, 5),
    )


DRAFTS: tuple[Reading, ...] = (*in_one_file(), papers(), *player_settings())
