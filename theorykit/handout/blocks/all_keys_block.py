"""The block that takes a colour through the keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from theorykit.handout.blocks.block import (
    ANSWER,
    MOST_KEYS,
    WITH,
    WITHOUT,
    Block,
    ColourName,
    Example,
    FormName,
    KeyCount,
    Place,
    StepName,
)
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel, Table, capital
from theorykit.harmony.colours import borrowed
from theorykit.harmony.wording import counted, doubled_words
from theorykit.lines.band import colours_over, keys_by, performance, then
from theorykit.lines.parts import Performance
from theorykit.notes.key import Key
from theorykit.tunes.progression import cadence_chords
from theorykit.views.explorer_view import ExplorerView, explore

KEY_LAYOUTS = ("table", "staves")
TWELVE = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class AllKeysBlock(Block):
    """A colour through the keys, from ``key`` on, as a table or as staves."""

    kind: ClassVar[str] = "colour in all keys"
    telling: ClassVar[tuple[str, ...]] = ("colour", "keys", "key")

    colour: ColourName
    key: KeyName = "C"
    step: StepName = "fifths"
    keys: KeyCount = MOST_KEYS
    layout: Annotated[str, About(offers=KEY_LAYOUTS, says="how it stands on the page")] = (
        KEY_LAYOUTS[0]
    )
    form: FormName = "long"

    @property
    def prints_notes(self) -> bool:
        """True where the keys are staves."""
        return self.layout == "staves"

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a colour through the keys, as a table or as staves."""
        keys = keys_by(self.key, self.step, self.keys)
        first = explore(engraver.written(keys[0]), self.form, self.colour)
        own = capital(f"{first.colour.pretty} in {_key_count(len(keys))}")
        heading = self.headed(engraver, own)
        told = borrowed(first.colour, keys[0].mode)
        advice = (Para(told),) if told else ()
        if self.layout == "table":
            views = [explore(engraver.written(key), self.form, self.colour) for key in keys]
            return Section(heading, (*advice, *_keys_table(views)), self.margin_notes)
        return self._staves(heading, keys, engraver, advice)

    def _staves(
        self, heading: str, keys: tuple[Key, ...], engraver: Engraver, advice: tuple[Para, ...]
    ) -> Section:
        """Return the keys as staves, under what is to be said of all of them."""
        pieces: list[Piece] = [*advice]
        scores = []
        views = [explore(key, self.form, self.colour, reader=engraver.reader).staff for key in keys]
        for key, view, staff in zip(keys, views, engraver.staves(views), strict=True):
            written = engraver.written(key)
            pieces += [StaffLabel(_key_label(written, self)), *staff]
            scores.append((f"{heading}: {written.pretty}", view))
        return Section(heading, tuple(pieces), self.margin_notes, scores=tuple(scores))

    @property
    def labels(self) -> tuple[str, ...]:
        """The phrases three times."""
        return WITH, WITHOUT, ANSWER

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield a colour through the keys."""
        keys = keys_by(self.key, self.step, self.keys)
        views = [explore(key, self.form, self.colour) for key in keys]
        yield Example(WITH, _round(views, tempo, line=True))
        yield Example(WITHOUT, _round(views, tempo, line=False))
        yield Example(ANSWER, _round(views, tempo, line=True, answer_bars=True))

    @property
    def own_title(self) -> str:
        """The colour."""
        return f"{self.colour} in all keys"


def _key_count(count: int) -> str:
    """Say how many keys."""
    return "all twelve keys" if count == TWELVE else counted(count, "key")


def _key_label(key: Key, block: AllKeysBlock) -> str:
    """Name a key and what to think of over its V."""
    view = explore(key, block.form, block.colour)
    notes = " ".join(note.pretty for note in view.shortcut.notes)
    return f"{key.pretty}: over {view.dominant.pretty} think {view.shortcut.pretty} ({notes})"


def _keys_table(views: list[ExplorerView]) -> tuple[Piece, ...]:
    """Return the keys as rows, and why some notes have double accidentals."""
    degrees = " ".join(degree.pretty for degree in views[0].shortcut.degrees)
    tonic = "i" if views[0].key.mode == "minor" else "I"
    heads = (tonic, "ii", "V", "think", "its notes", f"over V: {degrees}")
    rows = tuple(map(_keys_row, views))
    table = Table("a row for each key", heads, rows, (0, 0, 0, 0, 1, 1), marks=(3,))
    why = doubled_words(note for view in views for note in view.shortcut.function_notes)
    return (table, Para(why)) if why else (table,)


def _keys_row(view: ExplorerView) -> tuple[str, ...]:
    """Return one key: its ii-V-I, the shape, its notes, what they are over V."""
    best = view.shortcut
    names = (cadence_chords(view.key)[0].pretty, view.dominant.pretty, best.pretty)
    spelled = (" ".join(n.pretty for n in notes) for notes in (best.notes, best.function_notes))
    return (view.target.pretty, *names, *spelled)


def _round(views: list[ExplorerView], tempo: int, *, line: bool, **wishes: Any) -> Performance:
    """Return the phrases of several keys one after the other, counted in once."""
    rounds: list[Performance] = []
    following = [*(view.coloured.progression.chords[0].chord for view in views[1:]), None]
    for view, ahead in zip(views, following, strict=True):
        phrase = view.coloured
        one = performance(
            phrase if line else None,
            phrase.progression,
            tempo=tempo,
            count_in=0 if rounds else 1,
            colours=colours_over(phrase, view.colour),
            leads_to=ahead,
            **wishes,
        )
        rounds.append(one)
    return then(*rounds)
