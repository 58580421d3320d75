"""Warming: the first chapter is gone through once, so that its pictures and sounds are ready."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from theorykit.lines.demonstration import demonstration
from theorykit.lines.excerpts import excerpt
from theorykit.show.cells import hear, see, see_keys
from theorykit.show.own_reader import own_files_in
from theorykit.show.side_by_side import see_stacked

FORMS = ("long", "short", "split")
KEYS = ("C major", "Db major", "F# major", "Bb minor")


def use_once() -> None:
    """Draw, play and ask once; nothing is kept, and nobody's own files are met."""
    from ipywidgets import Widget

    with TemporaryDirectory() as folder, own_files_in(Path(folder)):
        _listen()
        _explore()
        Widget.close_all()


def _listen() -> None:
    """See and hear what the first chapter shows."""
    from theorykit.harmony.shortcuts import shortcuts

    for form in FORMS:
        line = demonstration("C", form, "b9 13")
        hear(line, over_v="b9 13")
        hear(line, over_v="b9 13", tempo=60)
        see(line)
        see_stacked(("one bar", excerpt(line, 1, 1)))
    see_keys(shortcuts("G7", "b9 13")[0])


def _explore() -> None:
    """Choose some keys and all colours in the explorer, and open a drill."""
    from theorykit.widgets import drill, explorer

    page = explorer()
    for name in reversed(KEYS):
        page.key.value = name
    for _, row in page.colour.options:
        page.colour.value = row  # in the first key, in which a class begins
    drill(chapter=1)
