"""Forms of blocks, and the list of a handout's blocks."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from difflib import SequenceMatcher
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks import KINDS, Block, draft_of, key_of
from theorykit.handout.entries import Entry, entries, record
from theorykit.handout.front import Front
from theorykit.handout.handout import Handout
from theorykit.handout.names import idle_words, names_in
from theorykit.handout.own_colour import table_of_colour
from theorykit.harmony.colours import Colour
from theorykit.harmony.wording import sentence
from theorykit.show.html_text import sentences_html
from theorykit.views.line import LineDraft
from theorykit.widgets.controls import (
    answer,
    area,
    choice,
    discard,
    guarded,
    panel,
    picture,
    put,
    safely,
    typed,
)
from theorykit.widgets.faults import Page

FRONT = "title and note"  # the front of a handout, which is filled in as a block is
AS_TYPED = "as_typed"
MOVED = "Written for each reader:"
IDLE = "Nothing in the text is kept as typed by:"
TICK = "ticked: moved to the key of each page; not ticked: printed as it was typed"
BAR = " | "  # between the entries of a record in a list, such as a question and its answer
ONE_A_LINE = " (one on each line)"
_COMMA = re.compile(r",(?![^()]*\))")  # none inside the brackets of a chord's name


class Form(Page):
    """Fields for one kind of block; ``kind`` is a name out of ``KINDS``, or ``FRONT``.

    >>> form = Form("colour")
    >>> form.fields["colour"].value = "altered"
    >>> form.read().colour
    'altered'
    """

    def __init__(self, kind: str, block: Any = None) -> None:
        self.kind = kind
        self.own = _own_colours(block)
        self.row: Any = KINDS.get(kind, Handout)
        fields: Any = KINDS.get(kind, Front)
        self.entries = entries(fields)
        self.fields = {one.name: _field(one, _now(block, one)) for one in self.entries}
        wide = [field for field in self.fields.values() if isinstance(field, ipw.Textarea)]
        short = [field for field in self.fields.values() if field not in wide]
        self.names = ipw.HBox(layout={"flex_flow": "row wrap", "align_items": "center"})
        self.told, self.idle, self.problem = picture(), picture(), picture()
        self.plain_key: Callable[[], str] = str  # the key of a block that is told none
        self._draft: LineDraft | None = None  # the line, as a key has moved it
        self._line = self.values.get("line", "")  # and its text then
        self._is_filled = False  # fields are filled that belong together
        for one in self.entries:  # the ticks are there while a new block is written
            if block is None and _has_words(one):
                self.fields[one.name].continuous_update = True
        super().__init__([panel(*short), *wide, self.told, self.names, self.idle, self.problem])
        self.watch(self._mark)
        if {"line", "key", "form", "changes"} <= set(self.fields):
            self.fields["key"].observe(self._new_key, "value")
        self._show_names()

    @property
    def values(self) -> dict[str, str]:
        """What stands in the fields, as it was typed."""
        return {name: field.value for name, field in self.fields.items()}

    def fill(self, values: dict[str, str]) -> None:
        """Put typed texts back into the fields; what no list offers is left aside."""
        self._is_filled = True
        for name, value in values.items():
            field = self.fields.get(name)
            if field is None or not isinstance(value, str):
                continue
            if not isinstance(field, ipw.Dropdown) or value in field.options:
                field.value = value
        self._is_filled = False

    def watch(self, answer: Callable[[Any], None]) -> None:
        """Let an answer follow every change of a field."""
        for field in self.fields.values():
            field.observe(answer, "value")

    @answer
    def _mark(self, _: object) -> None:
        """Another text, or other words that are left as typed."""
        put(self.told, "")
        guarded(self.problem, self._show_names)

    @answer
    def _new_key(self, change: dict[str, Any]) -> None:
        """Another key: the line moves with its chords, as on its desk."""
        if not self._is_filled:
            guarded(self.problem, lambda: self._move_and_show(change["old"], change["new"]))

    def _move_and_show(self, old: str, new: str) -> None:
        """Move the line, and show its names again: what breaks there is not to be overwritten."""
        self._move(old, new)
        self._show_names()

    def _move(self, old: str, new: str) -> None:
        """Put the line, and changes of its own, into another key."""
        now, plain = self.values, self.plain_key()
        changes = now["changes"].strip()
        if changes and not (old and new):
            return  # it is said which key the changes are in
        draft, before = draft_of(now, old or plain, new or plain), self._draft
        if draft is None:
            return
        if before and (before.text, before.progression) == (draft.text, draft.progression):
            draft = before
        is_new, form = now["line"] != self._line, "" if changes else now["form"]
        self._draft = draft.rekeyed(key_of(new or plain), form, is_new=is_new)
        if changes:
            self.fields["changes"].value = str(self._draft.progression)
        self._line = self.fields["line"].value = self._draft.text
        put(self.told, sentences_html("", sentence(self._draft.told)) if self._draft.told else "")

    def _show_names(self) -> None:
        """Show the names that are found in what was typed, each with a tick: it is moved."""
        texts = [self.fields[one.name].value for one in self.entries if _has_words(one)]
        every, left = {name for text in texts for name in names_in(text)}, self._left
        longer = [word for word in left if word not in every]  # such as "C Club"
        found = list(dict.fromkeys(name for text in texts for name in names_in(text, longer)))
        idle = ", ".join(idle_words(texts, left)) if any(map(str.strip, texts)) else ""
        put(self.idle, sentences_html("", f"{IDLE} {idle}.") if idle else "")
        if [(box.description, box.value) for box in self.names.children[1:]] == [
            (name, name not in left) for name in found
        ]:
            return
        boxes = [self._box(name, name not in left) for name in found]
        before = self.names.children
        self.names.children = [ipw.Label(MOVED), *boxes] if boxes else []
        for old in before:
            discard(old)

    def _box(self, name: str, value: bool) -> ipw.Checkbox:
        """Return the tick of one name; without it the name stays as it was typed."""
        box = ipw.Checkbox(
            value=value, description=name, indent=False, tooltip=TICK, layout={"width": "auto"}
        )

        def say() -> None:
            others = [word for word in self._left if word != name]
            left = others if box.value else [*others, name]
            self.fields[AS_TYPED].value = ", ".join(left)

        box.observe(safely(self.problem, say), "value")
        return box

    @property
    def _left(self) -> list[str]:
        """The words that the teacher leaves as typed."""
        return [word.strip() for word in _COMMA.split(self.fields[AS_TYPED].value) if word.strip()]

    def _told(self, entry: Entry, value: Any) -> Any:
        """Return an entry with the block's own colours as tables, in place of their names."""
        if entry.about.makes is None or not self.own:
            return value
        told = {name: table_of_colour(one) for name, one in self.own.items()}
        if isinstance(value, list):
            return [told.get(one, one) for one in value]
        return told.get(value, value)

    def read(self) -> Any:
        """Return the block that the fields say, or the front of a handout without blocks."""
        table: dict[str, Any] = {}
        for one in self.entries:
            value = self.fields[one.name].value
            if one.is_needed or value != _as_text(one, one.default):
                table[one.name] = self._told(one, _value(one, value))
        return record(self.row, table, "a handout" if self.kind == FRONT else self.kind)


def _has_words(entry: Entry) -> bool:
    """Tell whether a teacher's own words stand in an entry, or in the rows of one."""
    rows = entries(entry.item) if is_dataclass(entry.item) else ()  # type: ignore[arg-type]
    return entry.about.names or any(one.about.names for one in rows)


def _own_colours(block: Any) -> dict[str, Colour]:
    """Return the colours of a block that are a teacher's own, by name and by text."""
    if block is None:
        return {}
    row: Any = type(block)
    values = (getattr(block, entry.name) for entry in entries(row))
    found = (one for value in values for one in (value if isinstance(value, tuple) else (value,)))
    own = [one for one in found if isinstance(one, Colour)]
    return {said: one for one in own for said in (one.name, str(one))}


def _now(block: Any, entry: Entry) -> str:
    """Return an entry of a block as text; without a block, of an empty form."""
    value = getattr(block, entry.name) if block is not None else entry.default
    return "" if value is MISSING else _as_text(entry, value)


def _as_text(entry: Entry, value: Any) -> str:
    """Return a value as one types it."""
    if entry.item is None:
        return str(value)
    if is_dataclass(entry.item):
        return "\n".join(BAR.join(str(getattr(one, n)) for n in _parts(entry)) for one in value)
    return ("\n" if entry.about.rows > 1 else ", ").join(map(str, value))


def _parts(entry: Entry) -> list[str]:
    """Return the names of what stands between bars, for a list of records."""
    return [one.name for one in entries(entry.item)]


def _value(entry: Entry, text: str) -> Any:
    """Return what was typed as a handout's text file would have it."""
    if entry.type is int:
        return _whole(entry.name, text)
    if entry.item is not None:
        items = text.splitlines() if entry.about.rows > 1 else _COMMA.split(text)
        found = [item.strip() for item in items if item.strip()]
        return [_row(entry, item) for item in found] if is_dataclass(entry.item) else found
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


def _row(entry: Entry, line: str) -> dict[str, Any]:
    """Read one record of a list, such as a question with its answer."""
    known = entries(entry.item)
    parts = line.split(BAR.strip(), len(known) - 1)
    if len(parts) < len(known):
        raise TheoryError(f"{shown(line)} has no | in it (want {BAR.join(_parts(entry))})")
    return {one.name: _value(one, part.strip()) for one, part in zip(known, parts, strict=True)}


def _field(entry: Entry, value: str) -> Any:
    """Return the control for an entry."""
    made = _control(entry, value)
    made.tooltip = entry.about.says or entry.name
    if not isinstance(made, ipw.Dropdown):
        made.placeholder = _example(entry)
    return made


def _example(entry: Entry) -> str:
    """Return what an empty field shows: the entry's own example, or what it is if left out."""
    plain = "" if entry.is_needed else _as_text(entry, entry.default)
    example = entry.about.hint or plain or (entry.about.offers or ("",))[0]
    several = entry.item is not None and entry.about.rows > 1
    return f"{example}{ONE_A_LINE}" if several else example


def _control(entry: Entry, value: str) -> Any:
    """Return a field, a field of several lines, or a list to choose from."""
    name, about = entry.name.replace("_", " "), entry.about
    if about.rows > 1:
        return area(name, value, about.rows, at_once=False)
    if not about.offers or entry.type is not str:
        return typed(name, value)
    every = list(dict.fromkeys([*([] if entry.is_needed else [entry.default]), *about.offers]))
    if value not in every:
        every = [value, *every] if value or not entry.is_needed else every
    return choice(name, every, value if value in every else every[0])


LONGEST_TITLE, LONGEST_ROW = 60, 50  # characters


# === The list of blocks ===


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
    found = (_short(getattr(block, name, "")) for name in block.telling)
    tunes = (tune.title for tune in block.tunes)
    what = block.heading or next(filter(None, (*found, *tunes)), "")
    return f"{place + 1}  {block.kind}  {' '.join(what.split())[:LONGEST_ROW]}".strip()


def _short(value: Any) -> str:
    """Return an entry in a few words."""
    if not isinstance(value, tuple):
        return str(value)
    if value and is_dataclass(value[0]):  # a record, such as a question with its answer
        return str(getattr(value[0], fields(value[0])[0].name))
    return " ".join(map(str, value))


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
