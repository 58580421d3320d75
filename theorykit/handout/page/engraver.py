"""The engraver: pictures for one reader and size of print, lines in the octave that lies best.

Source of the ranges: Samuel Adler, *The Study of Orchestration* (3rd edition, 2002), from memory,
as written; they are what most players have, not the limit of a few. The part of them that lies at
ease is common practice: what parts for a first band ask for. Who reads at concert pitch may have
any instrument, so nothing is moved or said there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from theorykit.handout.front import SIZES
from theorykit.handout.page.line_lengths import STAFF_SIZES, staff_lines_of
from theorykit.handout.page.page_setting import NARROW, WIDE, Setting
from theorykit.handout.pieces import Para, Picture, Section
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, Reader
from theorykit.show.engraving import line_count, line_words, staff_lines, staff_svg
from theorykit.show.pictures import (
    PADDING,
    for_paper,
    keys_and_legend,
    picture_svg,
    tune_grid_pictures,
)
from theorykit.views.fingerboard import FingerboardView
from theorykit.views.keyboard import KeyboardView, is_white
from theorykit.views.motion import MotionView
from theorykit.views.staves import StaffView, octaves_away
from theorykit.views.tune_page import BARS_A_ROW, TuneGridView

WAYS = (0, -1, 1)  # octaves by which a line may be moved, the dearest last


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and the highest written note of an instrument, and its name in the plural.

    ``from_`` and ``to`` are the notes between which a line lies at ease.
    """

    low: Pitch
    high: Pitch
    players: str
    from_: Pitch
    to: Pitch


def _range(low: str, high: str, players: str, from_: str, to: str) -> Range:
    """Return a range from the names of its notes."""
    return Range(Pitch.parse(low), Pitch.parse(high), players, Pitch.parse(from_), Pitch.parse(to))


RANGES = {
    "B flat": _range("F#3", "C6", "trumpets", "A3", "A5"),
    "E flat": _range("Bb3", "F6", "alto saxophones", "C4", "D6"),
    "F": _range("F#3", "C6", "horns", "G3", "G5"),
    "bass clef": _range("E2", "C5", "trombones", "F2", "G4"),
    "guitar": _range("E3", "C7", "guitars", "E3", "C6"),
}


def octaves_moved(view: StaffView, reader: Reader) -> int:
    """Return by how many octaves a staff is to be moved so that it lies best; mostly 0.

    >>> from theorykit.notes.reader import reader
    >>> from theorykit.views.explorer_view import explore
    >>> [octaves_moved(explore("C", reader=reader(n)).staff, reader(n)) for n in ("F", "B flat")]
    [-1, 0]
    """
    wanted = RANGES.get(reader.name)
    midis = [note.pitch.midi for note in view.notes]
    if wanted is None or not midis:
        return 0

    def outside(octaves: int, low: Pitch, high: Pitch) -> int:
        top, bottom = max(midis) + 12 * octaves, min(midis) + 12 * octaves
        return max(top - high.midi, 0) + max(low.midi - bottom, 0)

    return min(
        WAYS,
        key=lambda way: (
            outside(way, wanted.low, wanted.high),
            outside(way, wanted.from_, wanted.to),
        ),
    )


def at_ease(view: StaffView, reader: Reader) -> StaffView:
    """Return a staff in the octave in which it lies best on the instrument of its reader.

    >>> from theorykit.notes.reader import reader
    >>> from theorykit.views.explorer_view import explore
    >>> high = explore("C", reader=reader("guitar")).staff
    >>> str(high.notes[0].pitch), str(at_ease(high, reader("guitar")).notes[0].pitch)
    ('F6', 'F5')
    """
    way = octaves_moved(view, reader)
    return (octaves_away(view, way) if way else view).held_singly()


def range_words(views: Iterable[StaffView], reader: Reader) -> str:
    """Return what to do where staves lie outside an instrument's range; empty text if none does.

    >>> from theorykit.notes.reader import reader
    >>> from theorykit.views.explorer_view import explore
    >>> who = reader("F")
    >>> range_words([explore("C", reader=who).staff], who)
    ''
    >>> range_words([explore("G", reader=who).staff], who)
    'Some of this lies above what most horns play (up to C6): take it an octave lower there.'
    """
    wanted = RANGES.get(reader.name)
    midis = [note.pitch.midi for view in views for note in view.notes]
    if wanted is None or not midis:
        return ""
    high, low = max(midis) > wanted.high.midi, min(midis) < wanted.low.midi
    if high and low:
        return f"Some of this lies outside what most {wanted.players} play: change octaves there."
    if high:
        return (
            f"Some of this lies above what most {wanted.players} play (up to "
            f"{wanted.high.pretty}): take it an octave lower there."
        )
    if low:
        return (
            f"Some of this lies below what most {wanted.players} play (down to "
            f"{wanted.low.pretty}): take it an octave higher there."
        )
    return ""


def playable(section: Section, who: Reader) -> Section:
    """Return a section with its music in the octaves in which it is printed.

    Where that leaves the range of the reader's instrument all the same, the section says so.
    """
    scores = tuple((title, at_ease(view, who)) for title, view in section.scores)
    moved = tuple(octaves_moved(view, who) for _, view in section.scores)
    words = range_words([view for _, view in scores], who)
    said = (Para(words, small=True),) if words else ()
    return replace(section, pieces=(*section.pieces, *said), scores=scores, moved=moved)


MILLIMETRE = 96 / 25.4  # pixels
# Widths on paper in millimetres: of a white key, of a picture that large print can enlarge, of a
# motion picture.
WHITE_KEY, WIDEST, MOTION = 7.5, 106.0, 110.0
WHITE_WIDTH = 23.5  # of a key of a real piano
GRID, HIGHEST = NARROW, 200.0  # of the grid of a tune: its width, and the most of its height
SMALL_GRID = 0.84  # of its width where staves are small: its chords are then as large as the text
POSITION = 38.0  # of each position on a fingerboard; wider, Letter would need a second page
LABELS = 0.88  # of the size of labels under a staff: the plain face of the page runs wide
HANG = 15.0  # pixels at the left of a staff, for the numbers of bars

AS_WRITTEN = " · names as you read them, not as they sound"
PHONE_COLUMNS = 2  # of the grid of a tune
POINT = 72 / 96  # of a pixel in normal print
LARGE_WIDEST = WIDE / SIZES["large print"]  # of a keyboard or a motion, in normal print
PAIR, LARGE_BOARDS = 2, 584.0  # positions side by side, and pixels of two that fill the page
LARGE_ROOM = 0.94  # of a line of music, for what letters of the usual size would need
LEAST_LETTERS = 13.0  # points, of what is printed in a picture in large print
LARGE_ROWS = 2  # of a part of the grid of a tune in large print
MOST_LINES = 3  # of a staff that stays together
# On a phone: the width of a staff in pixels and its size, at which chord symbols are 16 pixels
# high; how large they are in a grid and over a motion picture, of which they become 16 as well.
PHONE, PHONE_SIZES, CHORD = 346, (40.0,), 16.0
GRID_CHORD, MOTION_CHORD = 19.0, 17.0
KEYS_SHRINK = 0.85  # to which a keyboard may shrink there, and still be read


@dataclass(frozen=True, slots=True)
class Engraver:
    """Makes the pictures of a page; ``size`` is one of ``SIZES``.

    ``measure`` is the width of the text in millimetres in normal print; ``small`` sets all staves
    in the smallest size. With ``phone`` staves and grids are made for a narrow screen; everything
    else stands as on paper.

    >>> Engraver(READERS[0]).width
    567
    """

    reader: Reader = READERS[0]
    size: str = "normal"
    measure: float = NARROW
    small: bool = False
    phone: bool = False

    @property
    def across(self) -> float:
        """The text's width in millimetres."""
        return Setting(self.measure).width(self.size)

    @property
    def width(self) -> int:
        """The text's width in pixels, before the page is enlarged for large print."""
        return round(self.across * MILLIMETRE / SIZES[self.size])

    def written(self, key: Key | str) -> Key:
        """Return the key in which the reader's page has music that sounds in ``key``."""
        return self.reader.written_key(Key.parse(key) if isinstance(key, str) else key)

    @property
    def has_room(self) -> bool:
        """True where words and a staff fit side by side."""
        return self.size == "normal"

    def staff(self, view: StaffView, *, share: float = 1.0) -> tuple[Picture, ...]:
        """Return a staff in lines that fill a share of the text's width and break between bars.

        It stands in the octave in which it lies best. A long one is cut into a picture for each
        line, so that the page may break between them.
        """
        return self.staves((view,), share=share)[0]

    def staves(
        self, views: Sequence[StaffView], *, share: float = 1.0
    ) -> tuple[tuple[Picture, ...], ...]:
        """Return the staves of one block: alike in size, and in their lines where they can be."""
        eased = [at_ease(view, self.reader) for view in views]
        width = PHONE if self.phone else round(self.width * share)
        room = 1.0 if self.has_room else LARGE_ROOM  # large letters fill a line sooner
        scale, lines = staff_lines_of(eased, width * room, self._sizes)
        return tuple(
            self._staff(view, width, scale, counts)
            for view, counts in zip(eased, lines, strict=True)
        )

    @property
    def _sizes(self) -> tuple[float, ...]:
        """The sizes of staves to choose from."""
        if self.phone:
            return PHONE_SIZES
        return STAFF_SIZES[-1:] if self.small else STAFF_SIZES

    def _staff(
        self, view: StaffView, width: int, scale: float, counts: tuple[int, ...]
    ) -> tuple[Picture, ...]:
        """Return one staff of a size, with so many bars on each of its lines."""
        whole = staff_svg(
            view,
            scale=scale,
            width=width + 2 * PADDING,
            bars_per_line=counts,
            paper="none",
            large=not self.has_room,
        )
        if line_count(whole) <= MOST_LINES:
            return (self._line(whole, view.alt),)
        lines = staff_lines(whole)
        return tuple(
            self._line(
                one,
                line_words(number, len(lines)) if number else view.alt,
                follows=number > 0,
                stays=not number and not self.has_room,  # no line is alone, at either end
            )
            for number, one in enumerate(lines)
        )

    def _line(
        self, picture: str, alt: str, *, follows: bool = False, stays: bool = False
    ) -> Picture:
        """Return an engraved line or a few as a picture of the page."""
        svg, wide, _ = for_paper(picture, hang=HANG, factor=LABELS)
        if self.phone:
            return Picture(svg, alt, follows=follows)
        share, hang = wide / self.width, HANG / wide
        return Picture(svg, alt, share, hang, follows=follows, stays=stays)

    def keyboard(self, view: KeyboardView) -> tuple[Picture, Para]:
        """Return a keyboard, wide enough to read what stands on its keys, and its legend."""
        keys = sum(map(is_white, range(view.low, view.high + 1)))
        width = min(keys * WHITE_KEY, WIDEST if self.has_room else LARGE_WIDEST)
        key = width * SIZES[self.size] / keys  # millimetres
        letters = 0.0 if self.has_room else LEAST_LETTERS * 25.4 / 72 * WHITE_WIDTH / key
        drawn, legend = keys_and_legend(view, letters=letters)
        svg, wide, _ = for_paper(picture_svg(drawn, paper="none"))
        words = legend + (AS_WRITTEN if self.reader.semitones % 12 else "")
        least = wide * KEYS_SHRINK
        return Picture(svg, view.alt, self.share(width), least=least), Para(words, small=True)

    def fingerboard(self, view: FingerboardView) -> Iterator[Picture]:
        """Yield a fingerboard, its positions side by side, with its legend.

        In large print they stand in pairs, and the legend is left to the page.
        """
        if self.has_room:
            svg, wide, _ = for_paper(picture_svg(view, paper="none"))
            share = min(self.share(POSITION * len(view.positions)), 1.0)
            yield Picture(svg, view.alt, share, least=wide)
            return
        for start in range(0, len(view.positions), PAIR):
            pair = replace(view, positions=view.positions[start : start + PAIR])
            svg, wide, _ = for_paper(picture_svg(pair, paper="none", large=True))
            alt = "More positions of the fingerboard above." if start else view.alt
            goes_on = start + PAIR < len(view.positions)
            yield Picture(svg, alt, min(wide / LARGE_BOARDS, 1.0), stays=goes_on)

    def motion(self, view: MotionView) -> Picture:
        """Return a motion picture in the middle of the page."""
        svg, wide, _ = for_paper(picture_svg(view, paper="none", large=not self.has_room))
        least = wide * CHORD / MOTION_CHORD
        width = MOTION if self.has_room else LARGE_WIDEST
        return Picture(svg, view.alt, self.share(width), middle=True, least=least)

    def share(self, millimetres: float) -> float:
        """Return a width in normal print as a share of the text's width, larger in large print.

        >>> Engraver().share(75), Engraver(size="large print").share(120)
        (0.5, 1.0)
        """
        return millimetres * SIZES[self.size] / self.across

    @property
    def columns(self) -> int:
        """How many bars of a tune stand in a row of its grid."""
        return PHONE_COLUMNS if self.phone else BARS_A_ROW

    def tune(self, view: TuneGridView) -> tuple[Picture, ...]:
        """Return the grid of a tune; in large print in pictures of a few rows."""
        if not self.has_room:
            return tuple(self._large_grid(view))
        svg, wide, high = for_paper(picture_svg(view, paper="none"))
        if self.phone:
            return (Picture(svg, view.alt, least=wide * CHORD / GRID_CHORD),)
        width = min(GRID * (SMALL_GRID if self.small else 1), HIGHEST * wide / high)
        return (Picture(svg, view.alt, min(self.share(width), 1.0)),)

    def _large_grid(self, view: TuneGridView) -> Iterator[Picture]:
        """Yield a grid as wide as the text and with large letters, eight bars to a picture.

        The page keeps them together where it holds them.
        """
        least = LEAST_LETTERS / (POINT * SIZES[self.size])
        pictures = tune_grid_pictures(view, LARGE_ROWS, width=float(self.width), least=least)
        for number, picture in enumerate(pictures):
            svg, wide, _ = for_paper(picture_svg(picture, paper="none"))
            yield Picture(svg, picture.alt, min(wide / self.width, 1.0), follows=number > 0)
