"""What can be heard of a block: the examples with the line, without it, and with bars to answer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from theorykit.handout.block import Block, progression_of
from theorykit.handout.blocks import AllKeysBlock, ColourBlock, SubstitutionBlock
from theorykit.handout.line_blocks import GuideToneBlock, LineBlock, LineInKeysBlock, StaffBlock
from theorykit.handout.tune_block import TuneBlock
from theorykit.handout.tune_music import chorus_of, guides_of
from theorykit.harmony.colours import colour
from theorykit.lines.band import colours_over, keys_by, performance, then, through_keys
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.in_place import in_place
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.views.explorer_view import ExplorerView, explore

__all__ = ["Example", "examples_of", "labels_of", "sounds_in", "title_of"]

PLAIN, WITH, WITHOUT = "plain chord", "with the line", "without the line"
ANSWER = "with answer bars"
GUIDES = ("with the line from the 3rd", "with the line from the 7th", "with the colour's line")
_TUNE_LABELS: dict[str, tuple[str, ...]] = {
    "chorus": (WITH,),
    "guide tones": GUIDES[:2],
    "none": (),
}
TRIES = ("the plain bars", "over the old bass", "over its own bass")


@dataclass(frozen=True, slots=True)
class Example:
    """One thing to hear: what it is called, and who plays what. All in concert pitch."""

    label: str
    played: Performance


def sounds_in(block: Block) -> bool:
    """Tell whether there is anything to hear of a block.

    >>> from theorykit.handout.words import TextBlock
    >>> sounds_in(ColourBlock(colour="b9")), sounds_in(TextBlock(text="Listen."))
    (True, False)
    """
    return type(block) in _PLAYERS


def labels_of(block: Block) -> tuple[str, ...]:
    """Return what the examples of a block are called, in order, without making them.

    >>> labels_of(StaffBlock())
    ('without the line',)
    """
    if isinstance(block, ColourBlock):
        return PLAIN, WITH, WITHOUT, ANSWER
    if isinstance(block, AllKeysBlock | LineBlock | LineInKeysBlock):
        return WITH, WITHOUT, ANSWER
    if isinstance(block, SubstitutionBlock):
        return *TRIES, WITHOUT
    if isinstance(block, GuideToneBlock):
        has_third = bool(block.colour and colour(block.colour).tensions)
        return *GUIDES[: 2 + has_third], WITHOUT
    if isinstance(block, TuneBlock):
        return *_TUNE_LABELS[block.lines], WITHOUT
    return (WITHOUT,) if isinstance(block, StaffBlock) else ()


def title_of(block: Block) -> str:
    """Return a short name for the sound of a block, in concert pitch.

    >>> title_of(ColourBlock(colour="b9 13", key="Eb")), title_of(StaffBlock(heading="Now you"))
    ('b9 13 in Eb', 'Now you')
    """
    if block.heading.strip():
        return block.heading
    if isinstance(block, TuneBlock):
        return block.music()[0].title or block.kind
    if isinstance(block, SubstitutionBlock):
        return f"{block.substitute} in {block.key}"
    if isinstance(block, AllKeysBlock):
        return f"{block.colour} in all keys"
    if isinstance(block, ColourBlock):
        return f"{block.colour} in {block.key}"
    return f"{block.kind} in {getattr(block, 'key', 'C')}"


def examples_of(block: Block, tempo: int) -> tuple[Example, ...]:
    """Return what can be heard of a block; ``tempo`` in beats a minute, where a tune has no own.

    >>> [one.label for one in examples_of(ColourBlock(colour="b9 13", key="F"), 100)]
    ['plain chord', 'with the line', 'without the line', 'with answer bars']
    """
    player = _PLAYERS.get(type(block))
    return tuple(player(block, tempo)) if player else ()


def _three(line: Line, over_v: str, tempo: int) -> Iterator[Example]:
    """Yield a line, the same bars without it, and both in turn."""
    over = line.progression
    wishes: dict[str, Any] = {"tempo": tempo}
    wishes["colours"] = colours_over(line, colour(over_v)) if over_v else None
    yield Example(WITH, performance(line, over, **wishes))
    yield Example(WITHOUT, performance(None, over, **wishes))
    yield Example(ANSWER, performance(line, over, answer_bars=True, **wishes))


def _colour(block: ColourBlock, tempo: int) -> Iterator[Example]:
    """Yield the plain phrase, then the coloured one three times."""
    wishes: dict[str, Any] = {"choice": block.shortcut - 1, "spelling": block.spelling}
    view = explore(block.key, block.form, block.colour, **wishes)
    plain, over = view.plain, view.plain.progression
    yield Example(PLAIN, performance(plain, over, tempo=tempo, colours=colours_over(plain, None)))
    yield from _three(view.coloured, block.colour, tempo)


def _all_keys(block: AllKeysBlock, tempo: int) -> Iterator[Example]:
    """Yield a colour through the keys."""
    keys = keys_by(block.key, block.step, block.keys)
    views = [explore(key, block.form, block.colour) for key in keys]
    yield Example(WITH, _round(views, tempo, line=True))
    yield Example(WITHOUT, _round(views, tempo, line=False))
    yield Example(ANSWER, _round(views, tempo, line=True, answer_bars=True))


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


def _substitution(block: SubstitutionBlock, tempo: int) -> Iterator[Example]:
    """Yield the plain bars, then the substitute over the old bass and over its own."""
    versions = in_place(Key.parse(block.key), block.substitute).versions
    for label, version in zip(TRIES, versions, strict=True):
        yield Example(label, version.performance(tempo=tempo))
    own = versions[-1]
    yield Example(WITHOUT, performance(None, own.bass, tempo=tempo, feel="two"))


def _line(block: LineBlock, tempo: int) -> Iterator[Example]:
    """Yield a typed line three times."""
    return _three(block.music(), block.colour, tempo)


def _line_in_keys(block: LineInKeysBlock, tempo: int) -> Iterator[Example]:
    """Yield a typed line through the keys."""
    line = block.music()
    over = line.progression
    wishes: dict[str, Any] = {"step": block.step, "keys": block.keys, "tempo": tempo}
    wishes["colours"] = colours_over(line, colour(block.colour)) if block.colour else None
    yield Example(WITH, through_keys(line, over, **wishes))
    yield Example(WITHOUT, through_keys(None, over, **wishes))
    yield Example(ANSWER, through_keys(line, over, answer_bars=True, **wishes))


def _guide_tones(block: GuideToneBlock, tempo: int) -> Iterator[Example]:
    """Yield each of the guide-tone lines, then the bars without them."""
    over = progression_of(block.key, block.form, block.changes)
    lines = guide_tone_lines(over, block.colour or None, longest=block.longest)
    for label, line in zip(GUIDES, lines, strict=False):
        colours = colours_over(line, colour(block.colour)) if block.colour else None
        yield Example(label, performance(line, over, tempo=tempo, colours=colours))
    yield Example(WITHOUT, performance(None, over, tempo=tempo))


def _staves(block: StaffBlock, tempo: int) -> Iterator[Example]:
    """Yield the bars to write on, as often as they stand there."""
    over = progression_of(block.key, block.form, block.changes)
    keys = block.keys or (block.key,)
    rows = [over.transposed(key) for key in keys for _ in range(block.rows)]
    following = [*(row.chords[0].chord for row in rows[1:]), None]
    parts: list[Performance] = []
    for here, ahead in zip(rows, following, strict=True):
        count = 0 if parts else 1
        parts.append(performance(None, here, tempo=tempo, count_in=count, leads_to=ahead))
    yield Example(WITHOUT, then(*parts))


def _tune(block: TuneBlock, tempo: int) -> Iterator[Example]:
    """Yield a chorus with each of its lines, and without."""
    tune, laid = block.music()
    wishes: dict[str, Any] = {"tempo": tune.tempo or tempo}
    wishes["swing"] = 1.0 if "straight" in tune.feel.casefold() else None
    over = laid.applied(tune).progression
    if block.lines == "chorus":
        line = chorus_of(block).line
        over = line.progression
        yield Example(WITH, performance(line, over, **wishes))
    elif block.lines == "guide tones":
        for label, line in zip(GUIDES, guides_of(block), strict=False):
            yield Example(label, performance(line, over, **wishes))
    yield Example(WITHOUT, performance(None, over, **wishes))


_PLAYERS: dict[type[Block], Callable[[Any, int], Iterator[Example]]] = {
    ColourBlock: _colour,
    AllKeysBlock: _all_keys,
    SubstitutionBlock: _substitution,
    LineBlock: _line,
    LineInKeysBlock: _line_in_keys,
    GuideToneBlock: _guide_tones,
    StaffBlock: _staves,
    TuneBlock: _tune,
}
