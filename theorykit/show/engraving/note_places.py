"""Places of notes: which note of a line each written note is, for what plays beside a staff."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from theorykit.views.notation import written_bars
from theorykit.views.staves import StaffView

PLACE = "data-note"
TIED_BACK = ("continue", "stop")  # a written note that goes on with the one before


def number_notes(root: Element, view: StaffView) -> None:
    """Say at every written note of an engraved staff which note of the line it is, from 0.

    A note that is written as several tied ones is one. A staff of two voices has no one line.

    >>> from theorykit.show.engraving.engraved_staff import staff_svg
    >>> from theorykit.views.explorer_view import explore
    >>> staff_svg(explore("C").staff).count(PLACE)
    8
    """
    groups = [group for group in root.iter("g") if group.get("class") == "note"]
    written = [note for bar in written_bars(view) for note in bar.notes if note.pitch is not None]
    if view.second or len(groups) != len(written):
        return
    place = -1
    for group, note in zip(groups, written, strict=True):
        place += note.tie not in TIED_BACK
        group.set(PLACE, str(place))
