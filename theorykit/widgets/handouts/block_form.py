"""Forms of blocks, and the list of a handout's blocks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import MISSING
from datetime import date
from difflib import SequenceMatcher
from typing import Any, get_args, get_origin

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.handout.block import Block, Question, Step
from theorykit.handout.blocks import KEY_LAYOUTS, STAFF_LAYOUTS, AllKeysBlock
from theorykit.handout.handout import Handout
from theorykit.handout.kinds import KINDS, Entry, entries, record
from theorykit.handout.tune_block import TUNE_LINES
from theorykit.handout.words import ANSWERS
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.substitution import NAMES
from theorykit.lines.band import STEPS
from theorykit.notes.key import KEYS
from theorykit.show.sound import MELODY_SOUNDS
from theorykit.tunes.progression import FORMS
from theorykit.views.explorer_view import SPELLINGS
from theorykit.widgets.controls import area, choice, panel, typed

FRONT = "title and note"  # the front of a handout, which is filled in as a block is
LONG = {"text": 5, "line": 3, "chart": 10, "treatment": 4, "note": 4, "margin": 2}
OFFERED: dict[str, Sequence[str]] = {
    "key": [str(key).removesuffix(" major") for key in KEYS],
    "colour": [row.name for row in COLOURS],
    "form": list(FORMS),
    "spelling": SPELLINGS,
    "layout": STAFF_LAYOUTS,
    "step": list(STEPS),
    "substitute": NAMES,
    "lines": TUNE_LINES,
    "answers": ANSWERS,
    "melody": list(MELODY_SOUNDS),
}
# What an entry is for, in words that the field shows when one points at it.
EXPLAINED = {
    "heading": "in place of the heading that the block gives itself",
    "margin": "for the margin of the teacher's edition",
    "names": "words in the text that name notes or chords: they are written for each reader",
    "shortcut": "which way to think of the colour: 1 is the best",
    "show": "what stands below the first sentence",
    "changes": "chords between bar lines, in place of a ii-V-I",
    "treatment": "'proposed', or the colours as the desk for tunes gives them; empty for none",
    "seed": "another number draws another chorus",
    "keys": "how many, or their names with commas between them",
    "step": "the way round the keys",
    "days": "boxes to tick for so many days",
    "rows": "how often each empty staff stands there",
    "layout": "how it stands on the page",
    "longest": "no note lasts longer, in beats",
    "colours": "one question for each of these in each of the keys",
    "line": "notes as at the desk for lines: 8th F4 A4 ... | half E4",
    "chart": "a chart as at the desk for tunes",
    "melody": "the sound of the recordings",
    "tempo": "beats a minute, of the recordings",
    "date": "such as 2026-03-05, or any words",
    "licence": "a line at the foot of each page",
}
HINTS = {"names": "G7, Eb", "changes": "Gm7 C7 | F6", "colours": "b9, altered"}
# Records in a list: one on each line, its two parts with this sign between them.
BAR = " | "
PARTS = {Step: ("minutes", "what"), Question: ("question", "answer")}


class Form(ipw.VBox):
    """Fields for one kind of block; ``kind`` is a name out of ``KINDS``, or ``FRONT``.

    >>> form = Form("colour")
    >>> form.fields["colour"].value = "altered"
    >>> form.read().colour
    'altered'
    """

    def __init__(self, kind: str, block: Any = None) -> None:
        self.kind = kind
        row: Any = KINDS.get(kind, Handout)
        self.row = row
        self.entries = tuple(one for one in entries(row) if one.name != "blocks")
        self.fields = {one.name: _field(self.row, one, _now(block, one)) for one in self.entries}
        wide = [field for field in self.fields.values() if isinstance(field, ipw.Textarea)]
        short = [field for field in self.fields.values() if field not in wide]
        super().__init__([panel(*short), *wide])

    @property
    def values(self) -> dict[str, str]:
        """What stands in the fields, as it was typed."""
        return {name: field.value for name, field in self.fields.items()}

    def fill(self, values: dict[str, str]) -> None:
        """Put typed texts back into the fields; what no list offers is left aside."""
        for name, value in values.items():
            field = self.fields.get(name)
            if field is None or not isinstance(value, str):
                continue
            if not isinstance(field, ipw.Dropdown) or value in field.options:
                field.value = value

    def watch(self, answer: Callable[[Any], None]) -> None:
        """Let an answer follow every change of a field."""
        for field in self.fields.values():
            field.observe(answer, "value")

    def read(self) -> Any:
        """Return the block that the fields say, or the front of a handout without blocks."""
        table: dict[str, Any] = {}
        for one in self.entries:
            value = self.fields[one.name].value
            if one.is_needed or value != _as_text(one, one.default):
                table[one.name] = _value(one, value)
        return record(self.row, table, "a handout" if self.kind == FRONT else self.kind)


def _now(block: Any, entry: Entry) -> str:
    """Return an entry of a block as text; without a block, of an empty form."""
    value = getattr(block, entry.name) if block is not None else entry.default
    return "" if value is MISSING else _as_text(entry, value)


def _as_text(entry: Entry, value: Any) -> str:
    """Return a value as one types it."""
    if not isinstance(value, tuple):
        return str(value)
    parts = PARTS.get(get_args(entry.type)[0])
    if parts is None:
        return ", ".join(value)
    return "\n".join(BAR.join(str(getattr(one, part)) for part in parts) for one in value)


def _value(entry: Entry, text: str) -> Any:
    """Return what was typed as a handout's text file would have it."""
    if entry.type is int:
        return _whole(entry.name, text)
    if get_origin(entry.type) is tuple:
        kind = get_args(entry.type)[0]
        if kind in PARTS:
            return [_row(kind, line) for line in text.splitlines() if line.strip()]
        return [word.strip() for word in text.split(",") if word.strip()]
    if entry.name == "date":
        try:
            return date.fromisoformat(text.strip())
        except ValueError:
            return text
    return text


def _whole(name: str, text: str) -> int:
    """Read a whole number."""
    try:
        return int(text.strip())
    except ValueError:
        raise TheoryError(f"no such {name}: {shown(text.strip())} (want a whole number)") from None


def _row(kind: Any, line: str) -> dict[str, Any]:
    """Read one step or one question."""
    first, sign, second = line.partition(BAR.strip())
    names = PARTS[kind]
    if not sign:
        raise TheoryError(f"{shown(line)} has no bar (want {BAR.join(names)})")
    start: Any = _whole("minutes", first) if kind is Step else first.strip()
    return {names[0]: start, names[1]: second.strip()}


def _field(row: Any, entry: Entry, value: str) -> Any:
    """Return the control for an entry."""
    made = _control(row, entry, value)
    made.tooltip = EXPLAINED.get(entry.name, entry.name)
    if entry.name in HINTS:
        made.placeholder = HINTS[entry.name]
    return made


def _control(row: Any, entry: Entry, value: str) -> Any:
    """Return a field, a field of several lines, or a list to choose from."""
    name = entry.name
    if get_origin(entry.type) is tuple and get_args(entry.type)[0] in PARTS:
        hint = BAR.join(PARTS[get_args(entry.type)[0]]) + ", one on each line"
        return area(name, value, 4, hint, at_once=False)
    if name in LONG and entry.type is str:
        return area(name, value, LONG[name], at_once=False)
    offered = KEY_LAYOUTS if (row, name) == (AllKeysBlock, "layout") else OFFERED.get(name)
    if offered is None or entry.type is not str:
        return typed(name, value)
    every = list(dict.fromkeys([*([] if entry.is_needed else [entry.default]), *offered]))
    if value not in every:
        every = [value, *every] if value or not entry.is_needed else every
    return choice(name, every, value if value in every else every[0])


LONGEST_TITLE, LONGEST_ROW = 60, 50  # characters
TELLING = ("colour", "substitute", "text", "changes", "keys", "key")  # entries that tell a block


def block_rows(handout: Handout) -> list[tuple[str, int]]:
    """Return the rows of the list with their values: title and note is -1, blocks count from 0.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> block_rows(Handout("Warm-up", blocks=(ColourBlock(colour="b9"),)))
    [('title and note: Warm-up', -1), ('1  colour  b9', 0)]
    """
    rows = [(f"{FRONT}: {handout.title[:LONGEST_TITLE]}", -1)]
    return rows + [(_block_row(place, block), place) for place, block in enumerate(handout.blocks)]


def _block_row(place: int, block: Block) -> str:
    """Return the row of one block."""
    found = (_short(getattr(block, name, "")) for name in TELLING)
    what = block.heading or next(filter(None, found), "")
    return f"{place + 1}  {block.kind}  {' '.join(what.split())[:LONGEST_ROW]}".strip()


def _short(value: Any) -> str:
    """Return an entry in a few words."""
    return " ".join(value) if isinstance(value, tuple) else str(value)


def origins(before: Sequence[Any], after: Sequence[Any]) -> list[int | None]:
    """Return for each block of now the place that it had before, None for a new one.

    A block that was changed where it stands has the place of the one that stood there.

    >>> origins("abc", "xabc"), origins("abc", "ac"), origins("abc", "aXc")
    ([None, 0, 1, 2], [0, 2], [0, 1, 2])
    """
    found: list[int | None] = [None] * len(after)
    for what, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if what == "equal" or (what == "replace" and b - a == d - c):
            found[c:d] = range(a, b)
    return found
