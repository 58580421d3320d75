"""Drafts as a file that came from elsewhere, and what desks do with it."""

from __future__ import annotations

from pathlib import Path

from tests.proof.files_read import a_database, left_alone, odd_rows
from tests.proof.hostile import bytes_like
from tests.proof.texts_drawn import HANDOUTS, TUNES
from tests.proof.texts_read import Reading
from theorykit.study.drafts import Drafts

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


DRAFTS: tuple[Reading, ...] = in_one_file()
