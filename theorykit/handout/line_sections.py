"""What the blocks with lines, guide tones and empty staves put on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from theorykit.handout.block import progression_of
from theorykit.handout.desk import Desk
from theorykit.handout.line_blocks import GuideToneBlock, LineBlock, LineInKeysBlock, StaffBlock
from theorykit.handout.pieces import GUTTER, SHARE, Beside, Para, Piece, Section, StaffLabel
from theorykit.harmony.colours import colour
from theorykit.lines.band import keys_by
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import Progression
from theorykit.views.staves import legend, phrase_staff, read_staff, staff_of_line

__all__ = [
    "guide_tone_section",
    "line_keys_section",
    "line_section",
    "staff_section",
]

VOICES = (
    "The line that begins on the 3rd",
    "The line that begins on the 7th",
    "The line that brings the colour",
)


def line_section(block: LineBlock, desk: Desk) -> Section:
    """Return a line with degrees and roles, and a teacher's words on it."""
    line = block.music()
    reading = read_line(line)
    view = read_staff(reading, reader=desk.reader)
    written = read_line(moved(line, desk.written(line.progression.key)))
    heading = block.heading or f"A line over {_changes(written.line.progression)}"
    pieces: tuple[Piece, ...] = (
        *desk.staff(view),
        Para(legend(note.role for note in reading.notes), small=True),
        *(Para(text) for text in written.praise),
    )
    margin = (*((block.margin,) if block.margin.strip() else ()), *written.tries)
    return Section(heading, pieces, margin, scores=((heading, view),))


def moved(line: Line, key: Key) -> Line:
    """Return a line in another key, or as it is in its own."""
    return line if key == line.progression.key else line.transposed(key)


def _changes(progression: Progression, most: int = 5) -> str:
    """Name the chords of a short progression."""
    names = [placed.chord.pretty for placed in progression.chords]
    kept = [name for at, name in enumerate(names) if at == 0 or name != names[at - 1]]
    return " ".join(kept) if len(kept) <= most else f"{len(progression.bars)} bars"


def line_keys_section(block: LineInKeysBlock, desk: Desk) -> Section:
    """Return a line through the keys, a staff for each."""
    line = block.music()
    keys = keys_by(line.progression.key, block.step, block.keys)
    heading = block.heading or "The line in all keys"
    pieces: list[Piece] = []
    scores = []
    for key in keys:
        view = phrase_staff(moved(line, key), reader=desk.reader)
        label = desk.written(key).pretty
        pieces += [StaffLabel(label), *desk.staff(view)]
        scores.append((f"{heading}: {label}", view))
    margin = (block.margin,) if block.margin.strip() else ()
    return Section(heading, tuple(pieces), margin, scores=tuple(scores))


def guide_tone_section(block: GuideToneBlock, desk: Desk) -> Section:
    """Return the guide-tone lines, a staff for each."""
    over = progression_of(block.key, block.form, block.changes)
    lines = guide_tone_lines(over, block.colour or None, longest=block.longest)
    written = over.transposed(desk.written(over.key))
    heading = block.heading or f"Guide tones through {_changes(written)}"
    views = [
        (name, phrase_staff(one, reader=desk.reader))
        for name, one in zip(VOICES, lines, strict=False)
    ]
    pieces: list[Piece] = []
    if block.colour:
        pieces.append(
            Para(f"The third line brings {colour(block.colour).pretty} over each dominant.")
        )
    for name, view in views:
        pieces += [StaffLabel(name), *desk.staff(view)]
    margin = (block.margin,) if block.margin.strip() else ()
    scores = tuple((f"{heading}: {name}", view) for name, view in views)
    return Section(heading, tuple(pieces), margin, scores=scores)


def staff_section(block: StaffBlock, desk: Desk) -> Section:
    """Return empty staves with chord symbols, to write on."""
    over = progression_of(block.key, block.form, block.changes)
    keys: Sequence[str] = block.keys or (block.key,)
    pieces = tuple(piece for key in keys for piece in _empty(over.transposed(key), block, desk))
    margin = (block.margin,) if block.margin.strip() else ()
    return Section(block.heading, pieces, margin)


def _empty(over: Progression, block: StaffBlock, desk: Desk) -> Iterator[Piece]:
    """Yield the empty staves of one key; each is engraved for itself and has ids of its own."""
    view = staff_of_line(Line(over, ()), reader=desk.reader)
    label = StaffLabel(desk.written(over.key).pretty)
    if block.layout == "beside" and desk.has_room:
        for row in range(block.rows):
            staff = desk.staff(view, share=1 - SHARE - GUTTER)
            yield Beside((label,) if row == 0 else (), staff)
        return
    if len(block.keys) > 1 or block.layout == "beside":
        yield label
    for _ in range(block.rows):
        yield from desk.staff(view)
