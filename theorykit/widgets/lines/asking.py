"""Asking for lines: how many, and what they shall be like; each is seen, heard and taken over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import ipywidgets as ipw

from theorykit.harmony.colours import Colour
from theorykit.lines.text import Line
from theorykit.lines.writing import (
    AMOUNTS,
    BEGINNINGS,
    DENSITIES,
    DIRECTIONS,
    ENDINGS,
    MANNERS,
    RANGES,
    REACHES,
    Wishes,
    write_lines,
)
from theorykit.notes.reader import Reader
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html
from theorykit.tunes.progression import Progression
from theorykit.views.line import line_view
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    discard,
    guarded,
    number,
    panel,
    picture,
    put,
    safely,
    typed,
    unwatched,
    watch,
)
from theorykit.widgets.faults import Page

PLAIN = Wishes()
MOST, LAST_SEED = 12, 9999
OWN = "as typed"
MOST_INSTRUMENTS = "most instruments"
SPELLINGS = ("by function", "readable")
STAFF_SCALE = 45
SEEN = {"flex": "1 1 560px", "min_width": "300px"}
HEARD = {"flex": "1 1 320px", "min_width": "300px"}


@dataclass(frozen=True, slots=True)
class Asked:
    """What lines are asked for: over which chords, in which colour, for which reader."""

    progression: Progression
    colour: Colour
    reader: Reader


class Asking(Page):
    """Wishes, a button, and the lines that were written.

    ``what`` returns the chords of the moment, ``play`` a player of a line, ``take`` takes one over.
    """

    def __init__(
        self,
        what: Callable[[], Asked],
        play: Callable[[Line, Colour, str], str],
        take: Callable[[Line], None],
    ) -> None:
        self._what, self._play, self._take = what, play, take
        self.count = number("how many", 5, 1, MOST)
        self.seed = number("seed", 0, 0, LAST_SEED, "the same seed gives the same lines")
        self.range = choice("range of", (MOST_INSTRUMENTS, *RANGES, OWN), MOST_INSTRUMENTS)
        self.lowest = typed("lowest note", str(PLAIN.lowest), "as it sounds", example="G3")
        self.highest = typed("highest note", str(PLAIN.highest), "as it sounds", example="G5")
        self.density = choice("density", DENSITIES, PLAIN.density)
        self.begins = choice("begins", BEGINNINGS, PLAIN.begins, "where the first note stands")
        self.ends = choice("ends", ENDINGS, PLAIN.ends, "where and how the last note stands")
        self.reach = choice("reach", tuple(REACHES), PLAIN.reach, "from lowest to highest note")
        self.manner = choice("manner", MANNERS, PLAIN.manner, "sung is easy to sing")
        self.direction = choice("direction", DIRECTIONS, PLAIN.direction, "where it goes over V")
        self.start = typed("start on", "", "a note, or a degree of the first chord", example="E5")
        self.landing = typed("land on", "", "a note, or a degree of the last chord", example="3")
        self.chromatic = choice("chromatic", AMOUNTS, PLAIN.chromatic, "chromatic approach")
        self.rests = choice("rests", AMOUNTS, PLAIN.rests)
        self.triplets = choice("triplets", AMOUNTS, PLAIN.triplets)
        self.spelling = choice("spelling", SPELLINGS, SPELLINGS[0])
        self.write = button("write lines", self._write)
        self.others = button("write others", self._write_others, "the next seed")
        self.problem, self.told, self.rows = picture(), picture(), ipw.VBox()
        self.lines: tuple[Line, ...] = ()
        super().__init__(self._parts())
        self.range.observe(self._new_range, "value")
        watch((self.lowest, self.highest), self._own_range)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        chosen = panel(*self.controls)
        return [chosen, panel(self.write, self.others), self.problem, self.told, self.rows]

    @property
    def controls(self) -> tuple[ipw.Widget, ...]:
        """Everything that says what the lines shall be like."""
        compass = (self.range, self.lowest, self.highest, self.reach, self.manner)
        timed = (self.density, self.begins, self.ends, self.rests, self.triplets)
        pitched = (self.direction, self.start, self.landing, self.chromatic, self.spelling)
        return (self.count, self.seed, *compass, *timed, *pitched)

    @property
    def wishes(self) -> Wishes:
        """What is wished for at the moment."""
        return Wishes(
            lowest=self.lowest.value,
            highest=self.highest.value,
            density=self.density.value,
            direction=self.direction.value,
            start=self.start.value.strip() or None,
            landing=self.landing.value.strip() or None,
            chromatic=self.chromatic.value,
            rests=self.rests.value,
            triplets=self.triplets.value,
            begins=self.begins.value,
            ends=self.ends.value,
            reach=self.reach.value,
            manner=self.manner.value,
        )

    @answer
    def _new_range(self, _: object) -> None:
        """Another instrument: its lowest and highest note."""
        if self.range.value == OWN:
            return
        plain = str(PLAIN.lowest), str(PLAIN.highest)
        with unwatched(self._own_range, self.lowest, self.highest):
            self.lowest.value, self.highest.value = RANGES.get(self.range.value, plain)

    @answer
    def _own_range(self, _: object) -> None:
        """A note of the range was typed: it is that of no instrument any more."""
        self.range.value = OWN

    @answer
    def _write_others(self, _: object) -> None:
        """Write with the next seed."""
        self.seed.value = (self.seed.value + 1) % (LAST_SEED + 1)
        self._write(_)

    @answer
    def _write(self, _: object) -> None:
        """Write lines; where none can be, the last ones stay."""
        guarded(self.problem, self._show)

    def _show(self) -> None:
        """Decide, then draw and sound."""
        asked = self._what()
        found = write_lines(
            asked.progression,
            asked.colour,
            count=self.count.value,
            seed=self.seed.value,
            wishes=replace(self.wishes, reader=asked.reader.name),
        )
        if self.spelling.value != SPELLINGS[0]:
            found = tuple(line.readable for line in found)
        rows = [self._row(place, line, asked) for place, line in enumerate(found, 1)]
        key = asked.progression.key.pretty
        title = (
            f"In {key}, {asked.colour.pretty}, seed {self.seed.value}: {asked.progression.pretty}"
        )
        put(self.told, sentences_html(title))
        self.lines = found
        self._replace(rows)

    def _row(self, place: int, line: Line, asked: Asked) -> ipw.Widget:
        """Return one line: its staff, its player, and the button that takes it over."""
        view = line_view(line, asked.colour, reader=asked.reader)
        staff, player = picture(), picture()
        put(staff, staff_svg(view.staff, scale=STAFF_SCALE))
        key = line.progression.key.pretty
        put(player, self._play(line, asked.colour, f"line {place} in {key}"))
        take_over = safely(self.problem, lambda: self._take(line))
        take = button(f"take line {place} over", take_over)
        take.layout.align_self = "flex-start"
        heard = ipw.VBox([player, take], layout=HEARD)
        return panel(ipw.VBox([staff], layout=SEEN), heard)

    def _replace(self, rows: list[ipw.Widget]) -> None:
        """Show new rows and let the old ones go."""
        old, self.rows.children = self.rows.children, rows
        for row in old:
            discard(row)
