"""Pictures made of marks, as SVG, on matplotlib axes and as files; the card that staves stand on.

A view is laid out as a list of marks (``marks``), one file for each kind of picture; two painters
paint the marks, ``svg_painter`` for the screen and ``figure_painter`` for figures and files.
"""

from theorykit.show.pictures.chord_words import symbol_width
from theorykit.show.pictures.keyboard_picture import keys_and_legend
from theorykit.show.pictures.note_marks import NOTE_MARKS, staff_words
from theorykit.show.pictures.picture_colours import INK, PAPER
from theorykit.show.pictures.picture_files import Drawable, picture_axes, picture_bytes, picture_svg
from theorykit.show.pictures.svg_painter import PADDING, card, for_paper, with_own_ids
from theorykit.show.pictures.tune_picture import tune_grid_pictures

__all__ = [
    "INK",
    "NOTE_MARKS",
    "PADDING",
    "PAPER",
    "Drawable",
    "card",
    "for_paper",
    "keys_and_legend",
    "picture_axes",
    "picture_bytes",
    "picture_svg",
    "staff_words",
    "symbol_width",
    "tune_grid_pictures",
    "with_own_ids",
]
