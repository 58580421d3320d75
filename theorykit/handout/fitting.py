"""Fitting: a handout in the first setting in which it is as short as its target says.

The rule is the same for every edition: each reader, paper, audience and size of print goes through
the settings in their order (``handout/page/page_setting.py``) and stops at the first in which it
fits. Large print, whose letters take more than twice the room, is to have twice as many pages;
where that would cost anything, it may have three times as many. What does not fit in the closest
setting is printed in it all the same, and says what would have to go.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from theorykit.handout.blocks import Block, placed, section_of
from theorykit.handout.front import Edition, Front
from theorykit.handout.page import ASIDES, PLAIN, SETTINGS, Engraver, Setting, page_extent
from theorykit.handout.pieces import Beside, Picture, Piece, Section
from theorykit.harmony.wording import listed
from theorykit.notes.reader import Reader

__all__ = ["Fitted", "fitted", "phone_sections", "set_as"]

KEPT = 400  # sections that need not be engraved again
LONGEST_NAME = 50  # characters of a heading in a message
# What a teacher calls the parts that a setting leaves out.
CALLED = {
    ASIDES: "what the page adds in the margin",
    "pull": "the last sentence",
    "reasons": "the reasons",
    "words": "the sentences about the music",
    "keyboard": "the keyboard or fingerboard",
    "motion": "the motion picture",
    "table": "the table of where each note goes",
    "plan": "the plan of the cadences",
}
DRAWN = ("keyboard", "motion")

_section = lru_cache(KEPT)(section_of)


@dataclass(frozen=True, slots=True)
class Fitted:
    """The sections of one edition and the setting of its pages.

    ``told`` says what would have to go where the target cannot be kept; it is empty where it is.
    ``gone`` names the parts that the setting leaves out and their blocks, counted from 1.
    """

    sections: tuple[Section, ...]
    setting: Setting = PLAIN
    told: str = ""
    gone: str = ""


def fitted(
    front: Front, blocks: Sequence[Block], edition: Edition, *, near: Setting = PLAIN
) -> Fitted:
    """Return what is printed in an edition, as close as the target of the front wants it.

    Where a letter is typed the setting mostly stays: the one of before, as ``near``, is tried
    first. It changes nothing but the time.

    >>> from theorykit.handout.blocks import TextBlock
    >>> one = fitted(Front("Warm-up", fits="1 page"), [TextBlock(text="Sing.")], Edition())
    >>> one.setting == PLAIN, one.told
    (True, '')
    """
    if not edition.most_pages(front.fits):
        return Fitted(_sections(blocks, edition, PLAIN))

    @cache
    def pages(step: int) -> int:
        sections = _sections(blocks, edition, SETTINGS[step])
        return page_extent(front, sections, edition, SETTINGS[step]).pages

    step, most = _chosen(pages, front, edition, SETTINGS.index(near))
    told = _told(front, blocks, edition) if pages(step) > most else ""
    sections = _sections(blocks, edition, SETTINGS[step])
    return Fitted(sections, SETTINGS[step], told, _gone(blocks, edition, SETTINGS[step]))


def _chosen(
    pages: Callable[[int], int], front: Front, edition: Edition, guess: int
) -> tuple[int, int]:
    """Return the number of the setting of an edition, and how many pages there may be then.

    Large print that does not keep the target with everything on it is longer, before it loses
    anything.
    """
    most, longest = edition.most_pages(front.fits), edition.longest(front.fits)
    if edition.factor > 1:
        whole = sum(not one.without for one in SETTINGS)
        step = _first(lambda step: pages(step) <= most, whole, min(guess, whole - 1))
        if pages(step) <= longest:
            return step, longest
    return _first(lambda step: pages(step) <= longest, len(SETTINGS), guess), longest


def set_as(before: Fitted, blocks: Sequence[Block], edition: Edition) -> Fitted:
    """Return blocks set as others were, as if they were as long: whether they fit is not asked.

    >>> from theorykit.handout.blocks import TextBlock
    >>> before = Fitted((), SETTINGS[2])
    >>> set_as(before, [TextBlock(text="Sing.")], Edition()).setting == SETTINGS[2]
    True
    """
    return replace(before, sections=_sections(blocks, edition, before.setting))


def _sections(blocks: Sequence[Block], edition: Edition, setting: Setting) -> tuple[Section, ...]:
    """Return the sections of an edition in a setting, without the parts that it leaves out."""
    engraver = Engraver(edition.who, edition.size, setting.measure, setting.small)
    shown = [block.without(*setting.without) for block in blocks]
    found = [(block, _section(block, place, engraver)) for block, place in placed(shown)]
    if ASIDES not in setting.without:
        return tuple(section for _, section in found)
    return tuple(
        replace(section, margin=section.margin[: len(block.margin_notes)])
        for block, section in found
    )


def phone_sections(blocks: Sequence[Block], who: Reader) -> tuple[Section, ...]:
    """Return the sections of a reader as a phone shows them.

    >>> from theorykit.handout.blocks import TextBlock
    >>> from theorykit.notes.reader import READERS
    >>> phone_sections([TextBlock(text="Sing.")], READERS[0])[0].pieces[0].text
    'Sing.'
    """
    engraver = Engraver(who, phone=True)
    return tuple(_section(block, place, engraver) for block, place in placed(blocks))


def _first(holds: Callable[[int], bool], count: int, guess: int = 0) -> int:
    """Return the first number for which something holds; the last one where it does for none.

    What holds for a number holds for those after it. The ``guess`` is asked about first.

    >>> _first(lambda number: number >= 3, 9), _first(lambda number: False, 9)
    (3, 8)
    >>> [_first(lambda number: number >= 3, 9, guess) for guess in (0, 2, 3, 8)]
    [3, 3, 3, 3]
    """
    right = holds(guess) if guess else False
    if guess and (not holds(guess - 1) if right else guess == count - 1):
        return guess
    if holds(0):
        return 0
    low, high = 0, count - 1
    if not holds(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


# === What is left out ===


def _gone(blocks: Sequence[Block], edition: Edition, setting: Setting) -> str:
    """Name the parts that a setting leaves out of blocks, each with the numbers of its blocks.

    >>> from theorykit.handout.blocks.tune_block import TuneBlock
    >>> _gone([TuneBlock(chart="| Dm7 | G7 | C6 |", lines="none")], Edition(), SETTINGS[-1])
    'the plan of the cadences (block 1)'
    """
    if not setting.without:
        return ""
    pairs = zip(_sections(blocks, edition, PLAIN), _sections(blocks, edition, setting), strict=True)
    lost = [
        tuple(part for part in setting.without if _is_lost(part, block, edition, *pair))
        for block, pair in zip(blocks, pairs, strict=True)
    ]
    rows = (
        (part, [str(number) for number, parts in enumerate(lost, 1) if part in parts])
        for part in CALLED
    )
    said = [
        f"{CALLED[part]} (block{'s' * (len(numbers) > 1)} {listed(numbers)})"
        for part, numbers in rows
        if numbers
    ]
    return listed(said) if said else ""


def _is_lost(part: str, block: Block, edition: Edition, before: Section, after: Section) -> bool:
    """Tell whether a page lacks a part; one in which a block had nothing to say is not missed."""
    if part == ASIDES:
        return edition.audience == "teacher" and len(after.margin) < len(before.margin)
    if part not in block.parts:
        return False
    return part in DRAWN or _texts(after.pieces) < _texts(before.pieces)


def _texts(pieces: Sequence[Piece]) -> int:
    """Count the pieces that are no pictures."""
    return sum(
        _texts((*one.left, *one.right)) if isinstance(one, Beside) else not isinstance(one, Picture)
        for one in pieces
    )


# === What would have to go ===


def _told(front: Front, blocks: Sequence[Block], edition: Edition) -> str:
    """Say that a target cannot be kept, and without which blocks it could."""
    most = edition.longest(front.fits)
    length = f"{most} page{'s' * (most > 1)}"
    whose = "" if edition.factor == 1 else " of large print"
    said = f"This is longer than {length}{whose}, though it is set as close as it can be."
    gone = _to_go(front, blocks, edition, most)
    if not gone:
        return f"{said} No block can go: shorten the title and the note."
    return f"{said} It would fit without {listed(f'“{name}”' for name in gone)}."


def _to_go(front: Front, blocks: Sequence[Block], edition: Edition, most: int) -> tuple[str, ...]:
    """Return the names of what has to go so that a target is kept: as little as is enough.

    It is one part of a block; where none is enough the lowest block that is, else the highest ones
    together.
    """
    sections = _sections(blocks, edition, SETTINGS[-1])
    extent = page_extent(front, sections, edition, SETTINGS[-1], by_section=True)
    heights = extent.heights
    order = sorted(filter(heights.__getitem__, range(len(blocks))), key=heights.__getitem__)
    if not order:
        return ()

    def fits(gone: Sequence[int]) -> bool:
        rest = tuple(one for place, one in enumerate(sections) if place not in gone)
        return page_extent(front, rest, edition, SETTINGS[-1]).pages <= most

    if fits(order[-1:]):
        enough = order[_first(lambda at: fits([order[at]]), len(order)) :]
        part = _part_to_go(front, blocks, edition, most, enough)
        if part is not None:
            place, name = part
            return (f"{name} of {_name(blocks[place], sections[place])}",)
        gone = enough[:1]
    else:
        order.reverse()
        gone = order[: 1 + _first(lambda at: fits(order[: at + 1]), len(order))]
        if not fits(gone):
            return ()
    return tuple(_name(blocks[place], sections[place]) for place in sorted(gone))


def _part_to_go(
    front: Front, blocks: Sequence[Block], edition: Edition, most: int, places: Sequence[int]
) -> tuple[int, str] | None:
    """Return the place of one of some blocks and the part of it that is enough, the last first."""
    for place in places:
        block = blocks[place]
        for part in reversed(block.without(*SETTINGS[-1].without).parts):
            less = (*blocks[:place], block.without(part), *blocks[place + 1 :])
            sections = _sections(less, edition, SETTINGS[-1])
            if page_extent(front, sections, edition, SETTINGS[-1]).pages <= most:
                return place, part
    return None


def _name(block: Block, section: Section) -> str:
    """Return what a block is called on the page."""
    name = section.heading or block.kind
    return name if len(name) <= LONGEST_NAME else f"{name[:LONGEST_NAME].rstrip()}…"
