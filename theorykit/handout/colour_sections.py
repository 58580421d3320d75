"""What the blocks about colours and substitutes put on a page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from theorykit.handout.blocks import AllKeysBlock, ColourBlock, SubstitutionBlock
from theorykit.handout.desk import Desk
from theorykit.handout.once import STAFF_WORDS
from theorykit.handout.pieces import (
    GUTTER,
    SHARE,
    Beside,
    Lead,
    Para,
    Piece,
    Plain,
    Section,
    StaffLabel,
    Table,
)
from theorykit.handout.texts import capital
from theorykit.harmony.counts import evidence
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitution import Substitute
from theorykit.harmony.wording import counted, listed
from theorykit.lines.band import keys_by
from theorykit.notes.instruments import Reader
from theorykit.notes.key import Key
from theorykit.tunes.progression import cadence_chords
from theorykit.views.explorer_view import ExplorerView, explore
from theorykit.views.substitutes_view import substitution

__all__ = ["all_keys_section", "colour_section", "substitution_section"]

TWELVE = 12
OTHER_WAYS = 2  # that the teacher's margin names


def colour_section(block: ColourBlock, desk: Desk) -> Section:
    """Return a colour in one key: sentences, staff, keyboard, table."""
    sounding = _explored(block, Key.parse(block.key), desk)
    view = _explored(block, desk.written(block.key), Desk())
    share = 1 - SHARE - GUTTER if block.layout == "beside" and desk.has_room else 1.0
    heading = block.heading or (
        capital(f"{view.colour.pretty} over {view.dominant.pretty}, going to {view.target.pretty}")
    )
    staff = desk.staff(sounding.staff, share=share) if "staff" in block.show else ()
    words: list[Plain] = [Lead(_unbroken(view.sentence))]
    if "notes" in block.show:
        text = _notes_sentence(view) if share == 1 else _notes_row(view.shortcut)
        words.append(Para(text))
    if view.advice:
        words.append(Para(view.advice))
    above: tuple[Piece, ...] = (*words, *staff) if share == 1 else (Beside(tuple(words), staff),)
    return Section(
        heading,
        (*above, *_below(block, view, desk)),
        margin=(*_margin(block.margin), *_colour_margin(view)),
        scores=((heading, sounding.staff),) if staff else (),
    )


def _below(block: ColourBlock, view: ExplorerView, desk: Desk) -> Iterator[Piece]:
    """Yield what stands below the staff."""
    if "staff" in block.show:
        yield Para(STAFF_WORDS, small=True)
    if "keyboard" in block.show:
        yield from desk.keyboard(view.keyboard)
    if "table" in block.show:
        yield _moves_table(view)
    if "pull" in block.show:
        yield Para(view.summary, small=True)


def _explored(block: ColourBlock, key: Key, desk: Desk) -> ExplorerView:
    """Return what the explorer shows in a key."""
    return _view(key, block.form, block.colour, block.shortcut - 1, block.spelling, desk.reader)


@lru_cache(maxsize=256)  # the two sizes of print show the same
def _view(
    key: Key, form: str, over_v: str, choice: int, spelling: str, who: Reader
) -> ExplorerView:
    """Return what the explorer shows, once for each choice."""
    return explore(key, form, over_v, choice=choice, spelling=spelling, reader=who)


def _margin(text: str) -> tuple[str, ...]:
    """Return the teacher's own note, if there is one."""
    return (text,) if text.strip() else ()


def _notes_sentence(view: ExplorerView) -> str:
    """Name the notes of the shape, as it is spelled and as the staff writes them.

    >>> _notes_sentence(explore("C", "long", "b9 13"))
    'Its notes are E, G♯ and B. Over G7 they are 13, ♭9 and 3, written E, A♭ and B.'
    """
    best = view.shortcut
    own, heard = best.notes, tuple(row.note for row in view.rows)
    names = listed(note.pretty for note in own)
    degrees = listed(degree.pretty for degree in best.degrees)
    text = f"Its notes are {names}. Over {best.chord.pretty} they are {degrees}"
    if own == heard:
        return f"{text}."
    return f"{text}, written {listed(note.pretty for note in heard)}."


def _unbroken(sentence: str) -> str:
    """Return a sentence in which no line begins with the I, i or V of a route."""
    return re.sub(r" of (?=[IiV]\b)", " of\u00a0", sentence)


def _notes_row(best: Shortcut) -> str:
    """Name the notes of the shape and what they are over the chord, for a narrow column.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> _notes_row(shortcuts("G7", "b9 13")[0])
    'E G♯ B: 13 ♭9 3'
    """
    names = " ".join(note.pretty for note in best.notes)
    return f"{names}: {' '.join(degree.pretty for degree in best.degrees)}"


def _moves_table(view: ExplorerView) -> Table:
    """Return where every note goes."""
    widths = (0.0, 0.0, 1.0) if len(view.heads) == 3 else (0.0, 0.0, 1.0, 1.0)
    return Table(view.caption, view.heads, view.cells, widths, marks=(0, 1))


def _colour_margin(view: ExplorerView) -> Iterator[str]:
    """Yield what a teacher may want to have at hand: other ways, and what players did."""
    others = [one for one in view.options if one is not view.shortcut][:OTHER_WAYS]
    if others:
        yield "Other ways: " + "; ".join(map(_way, others)) + "."
    for degree in view.colour.tensions[:1]:
        yield evidence(degree, view.key.mode).words.replace(" %", "\u00a0%")


def _way(one: Shortcut) -> str:
    """Name a shape and what it brings."""
    return f"{one.pretty} ({' '.join(degree.pretty for degree in one.degrees)})"


def all_keys_section(block: AllKeysBlock, desk: Desk) -> Section:
    """Return a colour through the keys, as a table or as staves."""
    keys = keys_by(block.key, block.step, block.keys)
    first = explore(desk.written(keys[0]), block.form, block.colour)
    heading = block.heading or capital(f"{first.colour.pretty} in {_key_count(len(keys))}")
    if block.layout == "table":
        table = _keys_table([desk.written(key) for key in keys], block)
        return Section(heading, (table,), _margin(block.margin))
    staves = [(key, explore(key, block.form, block.colour, reader=desk.reader)) for key in keys]
    shown: list[Piece] = []
    for key, view in staves:
        shown += [StaffLabel(_key_label(desk.written(key), block)), *desk.staff(view.staff)]
    scores = tuple((f"{heading}: {desk.written(k).pretty}", view.staff) for k, view in staves)
    return Section(heading, tuple(shown), _margin(block.margin), scores=scores)


def _key_count(count: int) -> str:
    """Say how many keys."""
    return "all twelve keys" if count == TWELVE else counted(count, "key")


def _key_label(key: Key, block: AllKeysBlock) -> str:
    """Name a key and what to think of over its V."""
    view = explore(key, block.form, block.colour)
    notes = " ".join(note.pretty for note in view.shortcut.notes)
    return f"{key.pretty}: over {view.dominant.pretty} think {view.shortcut.pretty} ({notes})"


def _keys_table(keys: list[Key], block: AllKeysBlock) -> Table:
    """Return the keys as rows."""
    views = [explore(key, block.form, block.colour) for key in keys]
    degrees = " ".join(degree.pretty for degree in views[0].shortcut.degrees)
    tonic = "i" if keys[0].mode == "minor" else "I"
    heads = (tonic, "ii", "V", "think", "its notes", f"over V: {degrees}")
    return Table(
        "a row for each key", heads, tuple(map(_keys_row, views)), (0, 0, 0, 0, 1, 1), marks=(3,)
    )


def _keys_row(view: ExplorerView) -> tuple[str, ...]:
    """Return one key: its ii-V-I, the shape, its notes, what they are over V."""
    best = view.shortcut
    names = (cadence_chords(view.key)[0].pretty, view.dominant.pretty, best.pretty)
    spelled = (" ".join(n.pretty for n in notes) for notes in (best.notes, best.function_notes))
    return (view.target.pretty, *names, *spelled)


def substitution_section(block: SubstitutionBlock, desk: Desk) -> Section:
    """Return a substitute: what is played, the motion picture, the reasons."""
    sounding = substitution(block.key, block.substitute, reader=desk.reader)
    view = substitution(desk.written(block.key), block.substitute)
    heading = block.heading or capital(f"{view.found.name} in {view.key.pretty}")
    told = dict(view.found.sections)
    return Section(
        heading,
        (
            Lead(view.summary),
            *(Para(text) for text in told["what it is"]),
            *desk.staff(sounding.staff),
            Para(view.staff_words, small=True),
            desk.motion(view.motion),
            Table("the reasons", (), tuple(_reasons(view.found)), (0, 1), marks=(0,)),
        ),
        _margin(block.margin),
        scores=((heading, sounding.staff),),
    )


def _reasons(found: Substitute) -> Iterator[tuple[str, str]]:
    """Yield the explanation as rows, what is told already left out."""
    for name, texts in found.sections:
        if name != "what it is" and texts:
            yield capital(name), " ".join(texts)
