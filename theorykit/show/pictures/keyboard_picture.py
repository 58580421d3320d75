"""The keyboard: where its keys, and the shapes and words on them, stand.

Lengths are millimetres of a real piano: white keys 23.5 wide and 150 long, black keys 13.7 wide
and 95 long (figures of the trade, from memory). The black keys stand so that the five key ends
from C to E share three white keys evenly, and the seven from F to B four.
"""

from __future__ import annotations

from dataclasses import replace

from theorykit.show.pictures.marks import Box, Label, Mark, Marker, Picture
from theorykit.show.pictures.note_marks import NOTE_MARKS, RINGED_WORDS
from theorykit.show.pictures.picture_colours import FADED, INK, LINE
from theorykit.views.keyboard import KeyboardView, LitKey, is_white

WHITE_WIDTH, WHITE_LENGTH = 23.5, 150.0
BLACK_WIDTH, BLACK_LENGTH = 13.7, 95.0
# Middle of each black key in white-key widths from its C.
BLACK_PLACES = {1: 0.9, 3: 2.1, 6: 3 + 6 / 7, 8: 5.0, 10: 6 + 1 / 7}
WHITE_PLACES = {0: 0, 2: 1, 4: 2, 5: 3, 7: 4, 9: 5, 11: 6}

# The ring around the notes of the shape: what stands for it in a legend of words.
RING_SIGN = "◎"

SCREEN = 1.6  # pixels to a millimetre: two octaves are 526 pixels wide
EDGE, CORNER = 0.5, 1.5  # width of the keys' edges, and the radius of their corners
RADIUS = {"circle": 8.2, "diamond": 8.2, "square": 8.2}  # by shape
RING = (9.5, 10.9, 11.7)  # white gap, ring, white edge against a black key
WHITE_MARK, WHITE_NAME, WHITE_C = 113.0, 139.5, 145.5
BLACK_MARK, BLACK_NAME = 78.0, 58.0
LEGEND_MARK, LEGEND_BASE, LEGEND_HEIGHT, LEGEND_SIZE = 163.0, 165.9, 172.0, 7.4
BIG, SMALL, TINY = 8.6, 6.6, 5.4  # font sizes in millimetres
SIZES = (BIG, BIG, BIG, SMALL, TINY)  # by the number of letters
LETTER = 0.5  # width of a letter of the legend by its font size
# In large print letters do not fit into shapes. Keys are cut off at the back; the words of a black
# key stand above it, those of a white one below its shape. How much smaller shapes are; the length
# of black keys; where shapes stand, and the last ones end, below the upper edge of the keys.
LARGE_SHAPE, LARGE_BLACK = 0.8, 30.0
ON_BLACK, ON_WHITE, SHAPES_END = 15.5, 44.0, 57.0
FIRST, SECOND, WORDS = 0.85, 1.98, 2.4  # base lines of two words and their room, by their size


def keyboard_picture(view: KeyboardView) -> Picture:
    """Return the marks of a keyboard with its legend below, in millimetres.

    >>> from theorykit.views.keyboard import LitKey
    >>> view = KeyboardView(60, 83, (LitKey(64, "E", "13", "colour", True),), "E over G7")
    >>> picture = keyboard_picture(view)
    >>> picture.width, [mark.text for mark in picture.marks if isinstance(mark, Label)][:2]
    (329.0, ['13', 'E'])
    """
    boxes, markers, labels = _keys(view)
    below_markers, below_labels = _legend(view)
    marks: tuple[Mark, ...] = (*boxes, *markers, *below_markers, *labels, *below_labels)
    return Picture(_width(view), LEGEND_HEIGHT, marks, view.alt, SCREEN)


def keys_and_legend(view: KeyboardView, *, letters: float = 0.0) -> tuple[Picture, str]:
    """Return the keys alone, and their legend as text with a sign for each shape.

    With ``letters``, in millimetres of a real piano, words stand beside the shapes in that size.

    >>> from theorykit.views.keyboard import LitKey
    >>> view = KeyboardView(60, 83, (LitKey(64, "E", "13", "colour", True),), "E over G7")
    >>> keys_and_legend(view)[1]
    '◆ colour note · ◎ ringed: the shape to think of'
    """
    boxes, markers, labels = _large_keys(view, letters) if letters else _keys(view)
    signs = {role: mark.sign for role, mark in NOTE_MARKS.items()} | {"": RING_SIGN}
    words = " · ".join(f"{signs[role]} {words}" for role, words in _entries(view))
    marks: tuple[Mark, ...] = (*boxes, *markers, *labels)
    high = max(box.y + box.height for box in boxes)
    return Picture(_width(view), high + EDGE, marks, view.alt, SCREEN), words


def _keys(view: KeyboardView) -> tuple[list[Box], list[Marker], list[Label]]:
    """Return the keys, the shapes on them and the words on them; black keys lie on top."""
    keys = sorted(range(view.low, view.high + 1), key=is_white, reverse=True)
    markers: list[Marker] = []
    labels: list[Label] = []
    for lit in view.lit:
        x = _middle(lit.midi, view.low)
        y = WHITE_MARK if is_white(lit.midi) else BLACK_MARK
        markers += _markers(lit, x, y)
        labels += _key_labels(lit, x, y)
    return [_box(midi, view.low) for midi in keys], markers, labels + _c_names(view)


def _large_keys(view: KeyboardView, size: float) -> tuple[list[Box], list[Marker], list[Label]]:
    """Return the keys, the shapes on them and the words beside those, for large print."""
    top, under = WORDS * size, WORDS * size + SHAPES_END
    heights = {True: SHAPES_END + WORDS * size, False: LARGE_BLACK}
    keys = [
        replace(_box(midi, view.low), y=top, height=heights[is_white(midi)])
        for midi in sorted(range(view.low, view.high + 1), key=is_white, reverse=True)
    ]
    free = [replace(one, y=under + SECOND * size, size=size, fill=INK) for one in _c_names(view)]
    markers: list[Marker] = []
    labels: list[Label] = []
    for lit in view.lit:
        x, white = _middle(lit.midi, view.low), is_white(lit.midi)
        shapes = _markers(lit, x, top + (ON_WHITE if white else ON_BLACK))
        markers += (replace(one, radius=LARGE_SHAPE * one.radius) for one in shapes)
        above = under if white else 0.0
        labels.append(Label(x, above + FIRST * size, lit.degree, size, INK))
        labels.append(Label(x, above + SECOND * size, lit.name, size, INK, bold=False))
    return keys, markers, labels + free


def _width(view: KeyboardView) -> float:
    """Return how wide the keys are together."""
    return _left(view.high) - _left(view.low) + WHITE_WIDTH


def _left(midi: int) -> float:
    """Return the left edge of a white key, measured from the lowest C of all."""
    octave, place = divmod(midi, 12)
    return (7 * octave + WHITE_PLACES[place]) * WHITE_WIDTH


def _middle(midi: int, low: int) -> float:
    """Return the middle of a key, measured from the left edge of the keyboard."""
    octave, place = divmod(midi, 12)
    inside = WHITE_PLACES[place] + 0.5 if is_white(midi) else BLACK_PLACES[place]
    return (7 * octave + inside) * WHITE_WIDTH - _left(low)


def _box(midi: int, low: int) -> Box:
    """Return one key."""
    x = _middle(midi, low)
    if is_white(midi):
        left, wide, long, fill = x - WHITE_WIDTH / 2, WHITE_WIDTH, WHITE_LENGTH, "#ffffff"
    else:
        left, wide, long, fill = x - BLACK_WIDTH / 2, BLACK_WIDTH, BLACK_LENGTH, INK
    return Box(left, 0, wide, long, fill, LINE, EDGE, CORNER, midi)


def _markers(lit: LitKey, x: float, y: float) -> list[Marker]:
    """Return the shape of a lit key, over its ring where it has one."""
    mark = NOTE_MARKS[lit.role]
    shape = mark.shape
    radius = RADIUS[shape]
    edge = [] if is_white(lit.midi) else [(radius + 0.8, "#ffffff")]
    gap, ring, around = RING
    rings = [(around, "#ffffff"), (ring, INK), (gap, "#ffffff")] if lit.ringed else edge
    rings.append((radius, mark.fill))
    return [Marker(x, y, reach, shape, fill) for reach, fill in rings]


def _key_labels(lit: LitKey, x: float, y: float) -> list[Label]:
    """Return the degree inside the shape and the name of the note on its key."""
    size = SIZES[min(len(lit.degree), 4)]
    degree = Label(x, y + 0.36 * size, lit.degree, size, "#ffffff")
    if is_white(lit.midi):
        return [degree, Label(x, WHITE_NAME, lit.name, BIG, INK)]
    return [degree, Label(x, BLACK_NAME, lit.name, SIZES[min(len(lit.name), 4)], "#ffffff")]


def _c_names(view: KeyboardView) -> list[Label]:
    """Name the C keys that are not lit, so that one sees where one is (middle C is C4)."""
    lit = {key.midi for key in view.lit}
    free = [m for m in range(view.low, view.high + 1) if m % 12 == 0 and m not in lit]
    return [
        Label(_middle(midi, view.low), WHITE_C, f"C{midi // 12 - 1}", SMALL, FADED, bold=False)
        for midi in free
    ]


def _entries(view: KeyboardView) -> list[tuple[str, str]]:
    """Return the roles that occur, and no other, with what they mean; the ring has no role."""
    found = {key.role for key in view.lit}
    entries = [(role, mark.words) for role, mark in NOTE_MARKS.items() if role in found]
    return entries + [("", RINGED_WORDS)] * any(key.ringed for key in view.lit)


def _legend(view: KeyboardView) -> tuple[list[Marker], list[Label]]:
    """Return what is said below the keys: the shapes and what they mean."""
    markers: list[Marker] = []
    labels: list[Label] = []
    x = 4.0
    for role, words in _entries(view):
        rings = [(4.0, NOTE_MARKS[role].fill)] if role else [(4.6, INK), (3.2, "#ffffff")]
        shape = NOTE_MARKS[role].shape if role else "circle"
        markers += [Marker(x, LEGEND_MARK, radius, shape, fill) for radius, fill in rings]
        labels.append(
            Label(x + 7, LEGEND_BASE, words, LEGEND_SIZE, INK, bold=False, anchor="start")
        )
        x += 7 + LETTER * LEGEND_SIZE * len(words) + 12
    return markers, labels
