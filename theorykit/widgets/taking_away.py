"""Taking away: a link that holds a file, or a file at a path that the reader types."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import ipywidgets as ipw

from theorykit.show.exports import (
    CHORUS_FILES,
    EXPORTS,
    TUNE_FILES,
    Export,
    TakenChorus,
    TakenTune,
    Wanted,
    file_stem,
    link_html,
)
from theorykit.show.files import file_at, write_file
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    panel,
    picture,
    put,
    tick,
    typed,
)
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.own_files import ITS_OWN, OwnFiles

__all__ = ["Exporting", "Kind", "Taking", "line_kinds"]

WIDE = "700px"


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: its name in the list, its ending, its media type, what makes it.

    ``says`` returns what stands behind the title in the name of the file; ``called`` stands in
    place of the title.
    """

    name: str
    ending: str
    media: str
    make: Callable[[], bytes]
    says: Callable[[], str] = str
    called: str = ""


def line_kinds(wanted: Callable[[], Wanted]) -> list[Kind]:
    """Return the kinds of file that a line can become; ``wanted`` returns the line to take away."""

    def kind(name: str, row: Export) -> Kind:
        return Kind(
            name, row.ending, row.media, lambda: row.make(wanted()), lambda: row.says(wanted())
        )

    return [kind(name, row) for name, row in EXPORTS.items()]


class Exporting(Page):
    """Controls for a file of one of some kinds; ``title`` returns what it is called in a link."""

    def __init__(self, kinds: Sequence[Kind], title: Callable[[], str]) -> None:
        self._title = title
        self.kind = choice("kind of file", [(kind.name, kind) for kind in kinds], kinds[0])
        self.link = button("make a link", self._link, "a link in the page that saves the file")
        self.path = typed(
            "path", "", "a file, from the folder of the notebook", example="thursday/turn"
        )
        self.path.layout.width = WIDE
        self.write = button("write the file", self._write, "write to the path")
        self.replace = tick("replace a file of this name")
        self.problem, self.told = picture(), picture()
        super().__init__(self._parts())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        written = panel(self.path, self.write, self.replace)
        return [panel(self.kind, self.link), written, self.problem, self.told]

    def stale(self) -> None:
        """Take away a link that holds what is not there any more."""
        put(self.told, "")
        put(self.problem, "")

    @answer
    def _link(self, _: object) -> None:
        """Put the file into a link."""
        self.stale()
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Make the file, then the link that holds it."""
        kind: Kind = self.kind.value
        named = file_stem(kind.called or self._title(), kind.says())
        put(self.told, link_html(f"{named}{kind.ending}", kind.media, kind.make()))

    @answer
    def _write(self, _: object) -> None:
        """Write the file to the path."""
        self.stale()
        guarded(self.problem, self._make_file)

    def _make_file(self) -> None:
        """Make the file, then write it."""
        kind: Kind = self.kind.value
        file = file_at(self.path.value, kind.ending)
        write_file(file, kind.make(), replace=self.replace.value)
        lasting(f"{file} is written.")
        self.replace.value = False
        put(self.told, sentences_html("", f"Written to {file}."))


CHORUS_WIDE = "560px"


@dataclass(frozen=True, slots=True)
class Made:
    """A file that was made: its name without ending, its ending, its media type, its content.

    ``of`` is the tune that it was made of.
    """

    name: str
    ending: str
    media: str
    data: bytes
    of: str


class Taking(Page):
    """Controls for a file of a tune or of a chorus over it.

    ``chorus`` and ``tune`` return what is to be taken away; a tune needs no chorus.
    """

    def __init__(self, chorus: Callable[[], TakenChorus], tune: Callable[[], TakenTune]) -> None:
        self._chorus, self._tune, self._own = chorus, tune, OwnFiles()
        self.kind = choice("kind of file", [*CHORUS_FILES, *TUNE_FILES], "MusicXML")
        self.link = button("make a link", self._link, "a link in the page that saves the file")
        self.path = typed(
            "path", "", "a file, from the folder of the notebook", example="thursday/turn"
        )
        self.path.layout.width = CHORUS_WIDE
        self.write = button("write the file", self._write, "write to the path")
        self.replace = tick("replace a file of this name", tip=ITS_OWN)
        self.problem, self.told = picture(), picture()
        written = panel(self.path, self.write, self.replace)
        super().__init__([panel(self.kind, self.link), written, self.problem, self.told])

    @answer
    def _link(self, _: object) -> None:
        """Put the file into a link."""
        put(self.told, "")
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Make the file, then the link that holds it."""
        made = self._made()
        put(self.told, link_html(f"{made.name}{made.ending}", made.media, made.data))

    @answer
    def _write(self, _: object) -> None:
        """Write the file to the path."""
        put(self.told, "")
        guarded(self.problem, self._make_file)

    def _make_file(self) -> None:
        """Make the file, then write it."""
        made = self._made()
        file = file_at(self.path.value, made.ending)
        self._own.write(file, made.data, made.of, replace=self.replace.value)
        lasting(f"{file} is written.")
        self.replace.value = False
        put(self.told, sentences_html("", f"Written to {file}."))

    def _made(self) -> Made:
        """Make the file of the kind that is chosen."""
        name = self.kind.value
        if name in TUNE_FILES:
            tune, row = self._tune(), TUNE_FILES[name]
            called = file_stem(tune.chart.title, row.says(tune))
            return Made(called, row.ending, row.media, row.make(tune), tune.chart.title)
        taken, kind = self._chorus(), CHORUS_FILES[name]
        called = file_stem(taken.chorus.chart.title, kind.says(taken))
        return Made(called, kind.ending, kind.media, kind.make(taken), taken.chorus.chart.title)
