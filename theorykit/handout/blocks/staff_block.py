"""The block of empty staves to write on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import (
    MOST_KEYS,
    WITHOUT,
    Block,
    Changes,
    Example,
    FormName,
    Place,
    StaffLayout,
    progression_of,
)
from theorykit.handout.entries import About
from theorykit.handout.front import ChangesKey
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import GUTTER, SHARE, Beside, Piece, Section, StaffLabel
from theorykit.lines.band import performance, then
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import Progression
from theorykit.views.staves import staff_of_line

MOST_ROWS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffBlock(Block):
    """Empty staves with chord symbols to write on: the same changes in ``keys``, one after another.

    A key that is named by its tonic alone has the mode of ``key``. Without ``keys`` they stand in
    ``key`` alone. Each stands there ``rows`` times, as wide as the page or beside the name of the
    key.
    """

    kind: ClassVar[str] = "staves"
    telling: ClassVar[tuple[str, ...]] = ("changes", "keys", "key")

    key: ChangesKey = ""
    form: FormName = "long"
    changes: Changes = ""
    keys: Annotated[
        tuple[str, ...],
        About(
            says="their names with commas between them; empty for the key above", hint="C, Db, F#"
        ),
    ] = ()
    rows: Annotated[
        int, About(least=1, most=MOST_ROWS, says="how often each empty staff stands there")
    ] = 1
    layout: StaffLayout = "wide"

    def check(self) -> None:
        """Refuse changes that cannot be read, and keys of another mode."""
        if len(self.keys) > MOST_KEYS:
            raise TheoryError(f"too many keys: {len(self.keys)} (want at most {MOST_KEYS})")
        over = progression_of(self.key, self.form, self.changes)
        for key in self._all_keys():
            over.transposed(key)

    def _all_keys(self) -> list[Key]:
        """Return the keys, one after another."""
        own = self.words_key
        return [_in_mode(name, own.mode) for name in self.keys] or [own]

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return empty staves with chord symbols, to write on."""
        over = progression_of(self.key, self.form, self.changes)
        overs = [over.transposed(key) for key in self._all_keys()]
        return Section(
            self.headed(engraver), tuple(_empty(overs, self, engraver)), self.margin_notes
        )

    @property
    def labels(self) -> tuple[str, ...]:
        """The bars to write on."""
        return (WITHOUT,)

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield the bars to write on, as often as they stand there."""
        over = progression_of(self.key, self.form, self.changes)
        rows = [over.transposed(key) for key in self._all_keys() for _ in range(self.rows)]
        following = [*(row.chords[0].chord for row in rows[1:]), None]
        parts: list[Performance] = []
        for here, ahead in zip(rows, following, strict=True):
            count = 0 if parts else 1
            parts.append(performance(None, here, tempo=tempo, count_in=count, leads_to=ahead))
        yield Example(WITHOUT, then(*parts))


def _in_mode(name: str, mode: str) -> Key:
    """Return a key; one that is named by its tonic alone has the mode.

    >>> str(_in_mode("F", "minor")), str(_in_mode("F major", "minor"))
    ('F minor', 'F major')
    """
    try:
        return Key.parse(f"{name} {mode}")
    except TheoryError:
        return Key.parse(name)


def _empty(overs: Sequence[Progression], block: StaffBlock, engraver: Engraver) -> Iterator[Piece]:
    """Yield the empty staves of all keys; each is engraved for itself and has ids of its own."""
    beside = block.layout == "beside" and engraver.has_room
    share = 1 - SHARE - GUTTER if beside else 1.0
    views = [staff_of_line(Line(over, ()), reader=engraver.reader) for over in overs]
    staves = iter(engraver.staves([v for v in views for _ in range(block.rows)], share=share))
    for over in overs:
        label = StaffLabel(engraver.written(over.key).pretty)
        if not beside and (len(block.keys) > 1 or block.layout == "beside"):
            yield label
        for row in range(block.rows):
            staff = next(staves)
            if beside:
                yield Beside((label,) if row == 0 else (), staff)
            else:
                yield from staff
