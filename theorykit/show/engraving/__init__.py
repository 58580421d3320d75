"""Engraving: staves as MusicXML and as pictures."""

from theorykit.show.engraving.cut_lines import line_count, line_words, staff_lines
from theorykit.show.engraving.engraved_staff import label_room, staff_svg
from theorykit.show.engraving.mark_xml import KINDS, tempo_mark
from theorykit.show.engraving.staff_xml import (
    HEADER,
    musicxml,
    put_over,
    score_element,
    score_musicxml,
)

__all__ = [
    "HEADER",
    "KINDS",
    "label_room",
    "line_count",
    "line_words",
    "musicxml",
    "put_over",
    "score_element",
    "score_musicxml",
    "staff_lines",
    "staff_svg",
    "tempo_mark",
]
