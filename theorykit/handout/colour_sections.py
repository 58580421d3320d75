"""What the blocks about colours and substitutes put on a page."""

from __future__ import annotations

from collections.abc import Iterator

from theorykit.handout.blocks import AllKeysBlock, ColourBlock, SubstitutionBlock
from theorykit.handout.desk import Desk
from theorykit.handout.pieces import Lead, Para, Picture, Piece, Section, StaffLabel, Table
from theorykit.harmony.evidence import evidence
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitutes import Substitute, substitute
from theorykit.harmony.wording import listed, sentence
from theorykit.lines.around_keys import keys_by
from theorykit.notes.key import Key
from theorykit.tunes.progression import cadence_chords
from theorykit.views.explorer import ExplorerView, explore
from theorykit.views.motion import motion_of

__all__ = ["all_keys_section", "colour_section", "substitution_section"]

MOTION = 0.62  # share of the text's width
OTHER_WAYS = 2  # that the teacher's margin names


def colour_section(block: ColourBlock, desk: Desk) -> Section:
    """Return a colour in one key: sentences, staff, keyboard, table."""
    sounding = _explored(block, Key.parse(block.key), desk)
    view = _explored(block, desk.written(block.key), Desk())
    heading = block.heading or (
        f"{view.colour.pretty} over {view.dominant.pretty}, on the way to {view.target.pretty}"
    )
    pieces: list[Piece] = [Lead(view.sentence), Para(_notes_sentence(view.shortcut))]
    if view.advice:
        pieces.append(Para(view.advice))
    if "staff" in block.show:
        pieces.append(desk.staff(sounding.staff))
    if "keyboard" in block.show:
        pieces.append(desk.keyboard(view.keyboard))
    if "table" in block.show:
        pieces.append(_moves_table(view))
    pieces.append(Para(view.summary, small=True))
    return Section(
        heading,
        tuple(pieces),
        margin=(*_margin(block.margin), *_colour_margin(view)),
        scores=((heading, sounding.staff),),
    )


def _explored(block: ColourBlock, key: Key, desk: Desk) -> ExplorerView:
    """Return what the explorer shows in a key."""
    return explore(
        key,
        block.form,
        block.colour,
        choice=block.shortcut - 1,
        spelling=block.spelling,
        reader=desk.reader,
    )


def _margin(text: str) -> tuple[str, ...]:
    """Return the teacher's own note, if there is one."""
    return (text,) if text.strip() else ()


def _notes_sentence(best: Shortcut) -> str:
    """Name the notes of the shape, as it is spelled and as the chord hears them.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> _notes_sentence(shortcuts("G7", "b9 13")[0])
    'Its notes are E, G♯ and B. Over G7 they are 13, ♭9 and 3, written E, A♭ and B.'
    """
    own, heard = best.notes, best.function_notes
    names = listed(note.pretty for note in own)
    degrees = listed(degree.pretty for degree in best.degrees)
    text = f"Its notes are {names}. Over {best.chord.pretty} they are {degrees}"
    if own == heard:
        return f"{text}."
    return f"{text}, written {listed(note.pretty for note in heard)}."


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
        yield evidence(degree, view.key.mode).words


def _way(one: Shortcut) -> str:
    """Name a shape and what it brings."""
    return f"{one.pretty} ({' '.join(degree.pretty for degree in one.degrees)})"


def all_keys_section(block: AllKeysBlock, desk: Desk) -> Section:
    """Return a colour through the keys, as a table or as staves."""
    keys = keys_by(block.key, block.step, block.keys)
    first = explore(desk.written(keys[0]), block.form, block.colour)
    heading = block.heading or f"{first.colour.pretty} in {_key_count(len(keys))}"
    if block.layout == "table":
        pieces: tuple[Piece, ...] = (_keys_table([desk.written(key) for key in keys], block),)
        return Section(heading, pieces, _margin(block.margin))
    staves = [(key, explore(key, block.form, block.colour, reader=desk.reader)) for key in keys]
    pieces = tuple(
        piece
        for key, view in staves
        for piece in (StaffLabel(_key_label(desk.written(key), block)), desk.staff(view.staff))
    )
    scores = tuple((f"{heading}: {desk.written(k).pretty}", view.staff) for k, view in staves)
    return Section(heading, pieces, _margin(block.margin), scores=scores)


def _key_count(count: int) -> str:
    """Say how many keys."""
    return "all twelve keys" if count == 12 else f"{count} key{'s' * (count > 1)}"


def _key_label(key: Key, block: AllKeysBlock) -> str:
    """Name a key and what to think of over its V."""
    view = explore(key, block.form, block.colour)
    notes = " ".join(note.pretty for note in view.shortcut.notes)
    return f"{key.pretty}: over {view.dominant.pretty} think {view.shortcut.pretty} ({notes})"


def _keys_table(keys: list[Key], block: AllKeysBlock) -> Table:
    """Return the keys as rows."""
    rows = [_keys_row(explore(key, block.form, block.colour)) for key in keys]
    heads = ("I", "ii  V", "think", "spelled as itself", "over V")
    return Table(heads=heads, rows=tuple(rows), widths=(0, 0, 0, 1, 1), marks=(2,), what="keys")


def _keys_row(view: ExplorerView) -> tuple[str, ...]:
    """Return one key: its ii-V, the shape, its notes, what they are over V."""
    best = view.shortcut
    pairs = zip(best.function_notes, best.degrees, strict=True)
    ii, v, one = cadence_chords(view.key)
    return (
        one.pretty,
        f"{ii.pretty}  {v.pretty}",
        best.pretty,
        " ".join(note.pretty for note in best.notes),
        "  ".join(f"{note.pretty} {degree.pretty}" for note, degree in pairs),
    )


def substitution_section(block: SubstitutionBlock, desk: Desk) -> Section:
    """Return a substitute: what is played, the motion picture, the reasons."""
    key = desk.written(block.key)
    _, dominant, target = cadence_chords(key)
    found = substitute(block.substitute, dominant, target)
    heading = block.heading or f"The {found.name} in {key.pretty}"
    sections = dict(found.sections)
    picture: Picture = desk.motion(motion_of(found.resolution), width=MOTION)
    reasons = [text for name, texts in found.sections if name != "what it is" for text in texts]
    return Section(
        heading,
        (
            Lead(f"{found.title} to {target.pretty}, in the place of {dominant.pretty}."),
            *(Para(text) for text in sections["what it is"]),
            picture,
            Table(
                "reasons",
                ("question", "answer"),
                tuple(_reasons(found)),
                (0, 1),
                marks=(0,),
            ),
        ),
        _margin(block.margin) or (reasons[-1],),
    )


def _reasons(found: Substitute) -> Iterator[tuple[str, str]]:
    """Yield the explanation as rows, what is told already left out."""
    for name, texts in found.sections:
        if name != "what it is" and texts:
            yield sentence(name).rstrip("."), " ".join(texts)
