"""Drafts as files that came from elsewhere: the file of drafts, or that of each desk."""

from __future__ import annotations

import importlib
import json
from pathlib import Path
from typing import Any

from tests.proof.files_read import a_database, from_file, kept, left_alone, odd_rows, texts
from tests.proof.hostile import bytes_like, json_like
from tests.proof.keepings import with_drafts
from tests.proof.texts_drawn import HANDOUTS, TUNES
from tests.proof.texts_read import Reading

__all__ = ["DRAFTS"]

KINDS = ("tune", "line", "handout")


def some_drafts(file: Path) -> None:
    """Write a small file of drafts."""
    drafts: Any = with_drafts()
    book = drafts.Drafts(file)
    for kind, text in zip(KINDS, (TUNES[0], "8th D5", HANDOUTS[0]), strict=True):
        seen = book.begin(kind, "Thursday", {"text": text})
        book.save(seen, "Thursday", {"text": f"{text} "}, fresh=True)
    book.leave("proof", seen.work, {"text": "x"})


def used_drafts(file: Path) -> object:
    """Open a file of drafts and do what desks do with one."""
    drafts: Any = with_drafts()
    book = drafts.Drafts(file)
    works = [one for kind in KINDS for one in book.works(kind)]
    return [book.states(one.number) for one in works], book.left("proof")


def in_one_file() -> tuple[Reading, ...]:
    """Return the reading of the file of drafts."""
    data = a_database(some_drafts)
    draw = bytes_like(data, also=(odd_rows(data),))
    return (Reading("drafts", draw, left_alone("drafts.sqlite", used_drafts), share=20),)


def desk_by_desk() -> tuple[Reading, ...]:
    """Return the readings of the files that the desk for handouts keeps."""
    desk: Any = importlib.import_module("theorykit.widgets.handouts.drafts")
    draft, before = json.dumps({"text": HANDOUTS[0]}), json.dumps([HANDOUTS[0], "x"])
    return (
        Reading(
            "draft",
            bytes_like(draft.encode(), also=(texts(json_like('{"text": "x", "y": [1]}')),)),
            from_file("draft.json", desk.load_draft),
            covers=("theorykit.widgets.handouts.drafts.load_draft",),
        ),
        Reading(
            "earlier drafts",
            bytes_like(before.encode(), also=(texts(json_like('["x", "y"]')),)),
            lambda data: desk.earlier_texts(
                kept("draft.before.json", data).with_name("draft.json")
            ),
        ),
    )


DRAFTS: tuple[Reading, ...] = in_one_file() if with_drafts() else desk_by_desk()
