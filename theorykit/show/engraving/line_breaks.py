"""Breaks of lines: where a new line of music begins, written into its MusicXML."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Any
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError, shown


def break_every(score: Element, bars: int) -> dict[str, Any]:
    """Begin a new line after every so many bars, and return the options that keep to it.

    A section begins a line; a pickup belongs to the first one, and a bar that would be left alone
    at the end to the one before. The last line is as long as the others if it is the only one or
    has at least half as many bars.
    """
    measures = [measure for measure in score.iter("measure") if measure.get("number") != "0"]
    on_line, lines = 0, 1
    for place, measure in enumerate(measures):
        begins = measure.find("direction/direction-type/rehearsal") is not None
        alone = place == len(measures) - 1 and not begins and bars > 1
        if place and (begins or on_line == bars) and not alone:
            measure.insert(0, Element("print", {"new-system": "yes"}))
            on_line, lines = 0, lines + 1
        on_line += 1
    fills = lines == 1 or 2 * on_line >= bars
    breaks = "encoded" if lines > 1 else "auto"
    return {"breaks": breaks, "minLastJustification": 0.0 if fills else 0.8}


def break_after(score: Element, lengths: Sequence[int]) -> dict[str, Any]:
    """Begin a new line after so many bars each, and return the options that keep to it.

    A pickup belongs to the first line. A bar that is alone on the last line is as long as it needs
    to be, not drawn across the page.
    """
    first, *_ = everything = list(score.iter("measure"))
    measures = [measure for measure in everything if measure.get("number") != "0"]
    if sum(lengths) != len(measures):
        raise TheoryError(
            f"lines of {shown(tuple(lengths))} bars (want {len(measures)} bars in all)"
        )
    begins = [measures[end] for end in accumulate(lengths[:-1])]
    for measure in (first, *begins):  # the first keeps one line from breaking
        measure.insert(0, Element("print", {"new-system": "yes"}))
    alone = len(lengths) > 1 and lengths[-1] == 1 < max(lengths)
    return {"breaks": "encoded", "minLastJustification": 0.8 if alone else 0.0}
