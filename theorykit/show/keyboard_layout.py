"""The geometry of a drawn keyboard: one table of places for every way of drawing it.

Lengths are millimetres of a real piano: white keys 23.5 wide and 150 long, black keys 13.7 wide
and 95 long (figures of the trade, from memory). The black keys stand so that the five key ends
from C to E share three white keys evenly, and the seven from F to B four.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.show.palette import FADED, INK, ROLE_COLOURS
from theorykit.views.keyboard import KeyboardView, LitKey, is_white

__all__ = [
    "EDGE",
    "SHAPES",
    "Box",
    "Label",
    "Layout",
    "Marker",
    "keyboard_layout",
    "legend_words",
    "outline",
]

WHITE_WIDTH, WHITE_LENGTH = 23.5, 150.0
BLACK_WIDTH, BLACK_LENGTH = 13.7, 95.0
# Middle of each black key in white-key widths from its C.
BLACK_PLACES = {1: 0.9, 3: 2.1, 6: 3 + 6 / 7, 8: 5.0, 10: 6 + 1 / 7}
WHITE_PLACES = {0: 0, 2: 1, 4: 2, 5: 3, 7: 4, 9: 5, 11: 6}

# Each role has a shape of its own; what the legend says.
SHAPES = {"chord": "circle", "colour": "diamond", "outside": "square"}
WORDS = {"chord": "chord tone", "colour": "colour note", "outside": "note that rubs"}
SIGNS = {"chord": "●", "colour": "◆", "outside": "■", "": "◎"}
RINGED_WORDS = "ringed: the shape to think of"

EDGE = 0.5  # width of the keys' edges
RADIUS = 8.2
RING = (9.5, 10.9, 11.7)  # white gap, ring, white edge against a black key
WHITE_MARK, WHITE_NAME, WHITE_C = 113.0, 139.5, 145.5
BLACK_MARK, BLACK_NAME = 78.0, 58.0
LEGEND_MARK, LEGEND_BASE, LEGEND_HEIGHT = 163.0, 165.9, 172.0
BIG, SMALL, TINY = 8.6, 6.6, 5.4  # font sizes in millimetres
SIZES = (BIG, BIG, BIG, SMALL, TINY)  # by the number of letters
LETTER = 0.5  # width of a letter of the legend by its font size


@dataclass(frozen=True, slots=True)
class Box:
    """One key: left and top edge, width, height, fill."""

    x: float
    y: float
    width: float
    height: float
    fill: str


@dataclass(frozen=True, slots=True)
class Marker:
    """One filled shape around a middle point; ``shape`` is a value of ``SHAPES``."""

    x: float
    y: float
    radius: float
    shape: str
    fill: str


@dataclass(frozen=True, slots=True)
class Label:
    """One text; ``y`` is the base line, ``anchor`` is ``"middle"`` or ``"start"``."""

    x: float
    y: float
    text: str
    size: float
    fill: str
    bold: bool = True
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything to be drawn, in the order in which it is drawn, y growing downwards."""

    width: float
    height: float
    boxes: tuple[Box, ...]
    markers: tuple[Marker, ...]
    labels: tuple[Label, ...]


def keyboard_layout(view: KeyboardView, *, legend: bool = True) -> Layout:
    """Return the places of all that a keyboard shows, in millimetres.

    Without ``legend`` the keys stand alone, and ``legend_words`` says the same in words.

    >>> from theorykit.views.keyboard import LitKey
    >>> view = KeyboardView(60, 83, (LitKey(64, "E", "13", "colour", True),), "E over G7")
    >>> layout = keyboard_layout(view)
    >>> layout.width, len(layout.boxes), [label.text for label in layout.labels][:2]
    (329.0, 24, ['13', 'E'])
    """
    width = (_left(view.high) - _left(view.low)) + WHITE_WIDTH
    keys = sorted(range(view.low, view.high + 1), key=is_white, reverse=True)
    boxes = tuple(_box(midi, view.low) for midi in keys)
    markers: list[Marker] = []
    labels: list[Label] = []
    for lit in view.lit:
        x = _middle(lit.midi, view.low)
        y = WHITE_MARK if is_white(lit.midi) else BLACK_MARK
        markers += _markers(lit, x, y)
        labels += _key_labels(lit, x, y)
    labels += _c_names(view)
    if legend:
        _add_legend(view, markers, labels)
    height = LEGEND_HEIGHT if legend else WHITE_LENGTH + EDGE
    return Layout(width, height, boxes, tuple(markers), tuple(labels))


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
        return Box(x - WHITE_WIDTH / 2, 0, WHITE_WIDTH, WHITE_LENGTH, "#ffffff")
    return Box(x - BLACK_WIDTH / 2, 0, BLACK_WIDTH, BLACK_LENGTH, INK)


def _markers(lit: LitKey, x: float, y: float) -> list[Marker]:
    """Return the shape of a lit key, over its ring where it has one."""
    shape = SHAPES[lit.role]
    edge = [] if is_white(lit.midi) else [(RADIUS + 0.8, "#ffffff")]
    gap, ring, around = RING
    rings = [(around, "#ffffff"), (ring, INK), (gap, "#ffffff")] if lit.ringed else edge
    rings.append((RADIUS, ROLE_COLOURS[lit.role]))
    return [Marker(x, y, radius, shape, fill) for radius, fill in rings]


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


def legend_words(view: KeyboardView) -> str:
    """Return the legend of a keyboard as text, with a sign for each shape.

    >>> from theorykit.views.keyboard import LitKey
    >>> legend_words(KeyboardView(60, 83, (LitKey(64, "E", "13", "colour", True),), "E over G7"))
    '◆ colour note · ◎ ringed: the shape to think of'
    """
    return " · ".join(f"{SIGNS[role]} {words}" for role, words in _entries(view))


def _entries(view: KeyboardView) -> list[tuple[str, str]]:
    """Return the roles that occur, and no other, with what they mean; the ring has no role."""
    entries = [(role, WORDS[role]) for role in SHAPES if any(k.role == role for k in view.lit)]
    return entries + [("", RINGED_WORDS)] * any(key.ringed for key in view.lit)


def _add_legend(view: KeyboardView, markers: list[Marker], labels: list[Label]) -> None:
    """Say below the keys what the shapes mean."""
    x = 4.0
    for role, words in _entries(view):
        rings = [(4.0, ROLE_COLOURS[role])] if role else [(4.6, INK), (3.2, "#ffffff")]
        shape = SHAPES.get(role, "circle")
        markers += [Marker(x, LEGEND_MARK, radius, shape, fill) for radius, fill in rings]
        labels.append(Label(x + 7, LEGEND_BASE, words, 7.4, INK, bold=False, anchor="start"))
        x += 7 + LETTER * 7.4 * len(words) + 12


def outline(marker: Marker) -> list[tuple[float, float]]:
    """Return the corners of a marker's shape; a circle has none.

    >>> outline(Marker(0, 0, 8, "square", "#000000"))
    [(-7.0, -7.0), (7.0, -7.0), (7.0, 7.0), (-7.0, 7.0)]
    """
    x, y, r = marker.x, marker.y, marker.radius
    if marker.shape == "diamond":
        long, wide = 1.48 * r, 1.1 * r
        return [(x, y - long), (x + wide, y), (x, y + long), (x - wide, y)]
    if marker.shape == "square":
        half = 0.875 * r
        return [
            (x - half, y - half),
            (x + half, y - half),
            (x + half, y + half),
            (x - half, y + half),
        ]
    return []
