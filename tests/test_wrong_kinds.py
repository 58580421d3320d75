"""Values of a wrong kind: every door refuses them with the one error of the library."""

from __future__ import annotations

import pytest
from together import together

from theorykit import widgets
from theorykit.errors import TheoryError
from theorykit.harmony.substitution import substitutes
from theorykit.lines.text import Line
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one
from theorykit.tunes.treatments import Treatment
from theorykit.views.explorer_view import explore

WRONG = ([1], {}, 3.5, ["f"], [[1]], object())
CHART = Chart.of("C", "Dm7", "G7", "C6")
LINE = Line.parse("whole D5 | B4 | C5", CHART.progression)

DOORS = {
    "key": explore,
    "form": lambda one: explore("C", one),
    "colour": lambda one: explore("C", "long", one),
    "choice": lambda one: explore("C", choice=one),
    "spelling": lambda one: explore("C", spelling=one),
    "reader": lambda one: explore("C", reader=one),
    "octaves": lambda one: LINE.transposed("D", octaves=one),
    "seed": lambda one: Treatment.proposed(CHART, seed=one),
    "form of a progression": lambda one: two_five_one("C", one),
    "chord of substitutes": substitutes,
    "explorer, form": lambda one: widgets.explorer("C", "b9", one),
    "explorer, draft": lambda one: widgets.explorer(draft=one),
    "what to ask": widgets.drill,
    "keys": lambda one: widgets.drill(keys=one),
    "timed": lambda one: widgets.drill(timed=one),
    "journal": lambda one: widgets.drill(journal=one),
    "class file": lambda one: widgets.drill(class_file=one),
    "a line": lambda one: widgets.line_desk(line=one),
    "phrase book": lambda one: widgets.line_desk(book=one),
    "handouts, path": lambda one: widgets.handout_desk(path=one),
    "notes": widgets.identify_notes,
    "substitute": lambda one: widgets.substitutions("C", one),
}


@together("door", [*DOORS])
def test_a_wrong_kind_of_value_is_refused_at_the_door(door: str):
    for one in WRONG:
        with pytest.raises(TheoryError):
            DOORS[door](one)
