"""Typed changes: the bars of a phrase in one row, without title, key and form."""

from __future__ import annotations

import re

from theorykit.errors import TheoryError
from theorykit.notes.key import Key
from theorykit.tunes.charts.chart import Chart
from theorykit.tunes.charts.chart_rows import with_bar_lines
from theorykit.tunes.progression import Progression

_PLACE = re.compile(r"^line \d+, column \d+: ")  # of a file that nobody wrote


def typed_changes(text: str, key: Key) -> Progression:
    """Return changes as a progression in a key; bars stand between bar lines or commas.

    >>> str(typed_changes("Ebm7 Ab7, Dbmaj7", Key.parse("Db")))
    'Ebm7 Ab7 | Dbmaj7'
    """
    try:
        return Chart.of(key, *with_bar_lines(text).strip().strip("|").split("|")).progression
    except TheoryError as wrong:
        raise TheoryError(_PLACE.sub("", str(wrong))) from None
