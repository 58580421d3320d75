"""The block that shows a substitute in the place of V."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.handout.blocks.block import WITHOUT, Block, Example, Place
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Lead, Para, Piece, Section, Table, capital
from theorykit.harmony.substitution import NAMES, Substitute, substitute_name
from theorykit.lines.band import performance
from theorykit.lines.in_place import in_place
from theorykit.notes.key import Key
from theorykit.views.substitutes_view import SubstitutionView, substitution

PARTS = ("words", "staff", "motion", "reasons")
TRIES = ("the plain bars", "over the old bass", "over its own bass")


@dataclass(frozen=True, slots=True, kw_only=True)
class SubstitutionBlock(Block):
    """What may stand in the place of V, with its motion picture and the reasons."""

    kind: ClassVar[str] = "substitution"
    telling: ClassVar[tuple[str, ...]] = ("substitute", "key")

    substitute: Annotated[str, About(offers=tuple(NAMES), reads=substitute_name)]
    key: KeyName = "C"
    show: Annotated[
        tuple[str, ...],
        About(offers=PARTS, called="part to show", says="what stands below the first sentence"),
    ] = PARTS

    @property
    def prints_notes(self) -> bool:
        """True where the staff is shown."""
        return "staff" in self.show

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a substitute: what is played, the motion picture, the reasons."""
        view = substitution(self.key, self.substitute, reader=engraver.reader)
        page = engraver.written(self.key)
        heading = self.headed(engraver, capital(f"{view.found.name} in {page.pretty}"))
        return Section(
            heading,
            (Lead(view.summary), *self._parts(view, engraver)),
            self.margin_notes,
            scores=((heading, view.staff),) if "staff" in self.show else (),
        )

    def _parts(self, view: SubstitutionView, engraver: Engraver) -> Iterator[Piece]:
        """Yield what stands below the first sentence."""
        if "words" in self.show:
            yield from map(Para, dict(view.found.sections)["what it is"])
        if "staff" in self.show:
            yield from engraver.staff(view.staff)
            yield Para(view.staff_words, small=True)
        if "motion" in self.show:
            yield engraver.motion(view.motion)
        if "reasons" in self.show:
            yield Table("the reasons", (), tuple(_reasons(view.found)), (0, 1), marks=(0,))

    @property
    def labels(self) -> tuple[str, ...]:
        """The plain bars, the substitute over both basses, and the bars alone."""
        return *TRIES, WITHOUT

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield the plain bars, then the substitute over the old bass and over its own."""
        versions = in_place(Key.parse(self.key), self.substitute).versions
        for label, version in zip(TRIES, versions, strict=True):
            yield Example(label, version.performance(tempo=tempo))
        own = versions[-1]
        yield Example(WITHOUT, performance(None, own.bass, tempo=tempo, feel="two"))

    @property
    def own_title(self) -> str:
        """The substitute and its key."""
        return f"{self.substitute} in {self.key}"


def _reasons(found: Substitute) -> Iterator[tuple[str, str]]:
    """Yield the explanation as rows, what is told already left out."""
    for name, texts in found.sections:
        if name != "what it is" and texts:
            yield capital(name), " ".join(texts)
