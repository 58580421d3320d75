"""The engraver's desk: pictures as wide as the page wants, for one reader and one print size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from theorykit.handout.editions import SIZES
from theorykit.handout.pieces import Picture
from theorykit.notes.chord import Chord
from theorykit.notes.instruments import READERS, Reader
from theorykit.notes.key import Key
from theorykit.show.diagrams import motion_svg
from theorykit.show.keyboard import keyboard_svg
from theorykit.show.staff import staff_svg
from theorykit.show.svg import PADDING, for_paper
from theorykit.views.keyboard import KeyboardView, is_white
from theorykit.views.motion import MotionView
from theorykit.views.staff import StaffNote, StaffView

__all__ = ["FONT", "MEASURES", "Desk"]

# Width of the text in millimetres. In large print the margins give way.
MEASURES = {"normal": 150.0, "large print": 180.0}
MILLIMETRE = 96 / 25.4  # pixels
WHITE_KEY = 8.0  # width of a white key on paper, in millimetres
HANG = 8.0  # pixels at the left of a staff, for the numbers of bars
FONT = "Libertinus Serif, Georgia, 'Times New Roman', serif"

# About how wide music is at the size in which it is engraved, in pixels, found by measuring.
HEAD, SIGN, BAR, NOTE, LONG = 58.0, 8.0, 16.0, 21.0, 18.0
ACCIDENTAL, LETTER, GAP = 7.0, 6.4, 8.0
EMPTY, CHORD_LETTER = 64.0, 8.6
FULLEST = 1.0  # of a line


@dataclass(frozen=True, slots=True)
class Desk:
    """Where pictures are made; ``size`` is one of ``SIZES``.

    >>> Desk(READERS[0]).width
    567
    """

    reader: Reader = READERS[0]
    size: str = "normal"

    @property
    def width(self) -> int:
        """The text's width in pixels, before the page is enlarged for large print."""
        return round(MEASURES[self.size] * MILLIMETRE / SIZES[self.size])

    def written(self, key: Key | str) -> Key:
        """Return the key in which the reader's page has music that sounds in ``key``."""
        return self.reader.written_key(Key.parse(key) if isinstance(key, str) else key)

    def staff(self, view: StaffView) -> Picture:
        """Return a staff in lines that fill the width of the text and break between bars."""
        picture = staff_svg(
            view,
            width=self.width + 2 * PADDING,
            bars_per_line=bars_per_line(view, self.width),
            paper="none",
        )
        svg, wide, _ = for_paper(picture, font=FONT, hang=HANG)
        return Picture(svg, view.alt, wide / self.width, HANG / wide)

    def keyboard(self, view: KeyboardView) -> Picture:
        """Return a keyboard with keys wide enough to read what stands on them."""
        svg, _, _ = for_paper(keyboard_svg(view, paper="none"), font=FONT)
        keys = sum(map(is_white, range(view.low, view.high + 1)))
        wanted = keys * WHITE_KEY * SIZES[self.size] / MEASURES[self.size]
        return Picture(svg, view.alt, min(1.0, wanted))

    def motion(self, view: MotionView, *, width: float) -> Picture:
        """Return a motion picture, ``width`` being its share of the text's width."""
        svg, _, _ = for_paper(motion_svg(view, paper="none"), font=FONT)
        return Picture(svg, view.alt, width)


def bars_per_line(view: StaffView, width: float) -> int:
    """Return how many bars a line of ``width`` pixels holds, the same in every line.

    The music is cut into as few lines as hold it, and these are made as even as they can be.

    >>> from theorykit.views.explorer import explore
    >>> bars_per_line(explore("C").staff, 567), bars_per_line(explore("C").staff, 240)
    (3, 1)
    """
    widths = bar_widths(view)
    count = len(widths)
    free = width * FULLEST - HEAD - SIGN * abs(view.key.fifths)
    lines = max(1, ceil(sum(widths) / free))
    while lines < count:
        each = ceil(count / lines)
        if all(sum(widths[at : at + each]) <= free for at in range(0, count, each)):
            return each
        lines += 1
    return ceil(count / lines)


def bar_widths(view: StaffView) -> list[float]:
    """Return about how wide each bar is, in pixels; a pickup counts with the first."""
    starts = [sum(view.bars[:place], start=view.bars[0] * 0) for place in range(len(view.bars))]
    widths = []
    for place, (start, beats) in enumerate(zip(starts, view.bars, strict=True)):
        lowest = start if place else None
        notes = [
            n
            for n in view.notes
            if (lowest is None or n.start >= lowest) and n.start < start + beats
        ]
        symbols = [chord for at, chord in view.chords if start <= at < start + beats]
        widths.append(BAR + max(_notes_width(notes), _chords_width(symbols), EMPTY))
    return widths


def _notes_width(notes: Sequence[StaffNote]) -> float:
    """Return about how wide notes with their labels are."""
    return sum(
        max(
            NOTE + ACCIDENTAL * bool(note.pitch.note.alteration),
            GAP + LETTER * max(map(len, note.labels), default=0),
        )
        + LONG * (note.beats >= 2)
        for note in notes
    )


def _chords_width(chords: Sequence[Chord]) -> float:
    """Return about how wide chord symbols are."""
    return sum(GAP + CHORD_LETTER * len(chord.pretty) for chord in chords)
