"""Demonstrating: one idea in several colours back to back, and a short phrase grown into a long."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.harmony.colours import Colour
from theorykit.lines.band import performance
from theorykit.lines.setting import form_of
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import OneIdea, lead_ins, one_idea
from theorykit.notes.reader import Reader
from theorykit.show.engraving import staff_svg
from theorykit.show.exports import Wanted
from theorykit.show.html_text import sentences_html
from theorykit.show.sound import performance_html
from theorykit.views.line import line_view
from theorykit.views.sounding import Practice
from theorykit.widgets.controls import (
    answer,
    button,
    discard,
    guarded,
    number,
    panel,
    picture,
    put,
    safely,
    tick,
    typed,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.hearing import Hearing
from theorykit.widgets.lines.asking import LAST_SEED, SEEN, STAFF_SCALE, Asked
from theorykit.widgets.taking_away import Exporting, line_kinds

SIX = {  # the colours that the field opens on
    "major": "9 #11 13, b9 13, b9 b13, #9 b13, altered, whole tone",
    "minor": "b9, b9 b13, #9 b13, altered, minor's own, tritone substitute",
}
WIDE = "700px"
HEARD = {"flex": "1 1 320px", "min_width": "300px"}


class Demonstrating(Page):
    """One idea in the colours that are typed, and ways into a short phrase.

    ``what`` returns the chords of the moment, ``line`` the whole line of the desk, ``take`` takes a
    line over; ``hearing`` has the tempo and the sound.
    """

    def __init__(
        self,
        what: Callable[[], Asked],
        line: Callable[[], Line],
        take: Callable[[Line], None],
        hearing: Hearing,
    ) -> None:
        self._what, self._line, self._take, self._hearing = what, line, take, hearing
        self.idea: OneIdea | None = None
        self.colours = typed(
            "colours",
            SIX[what().progression.key.mode],
            "with commas between",
            example="b9, altered",
        )
        self.colours.layout.width = WIDE
        self.seed = number("idea", 0, 0, LAST_SEED, "the same number gives the same idea")
        self.led = tick("a fresh lead-in over the ii", tip="another way in for each colour")
        self.write = button("write one idea", self._press, "one phrase in all these colours")
        self.grow = button("grow the line", self._press_grow, "lead-ins to the short line above")
        self.problem, self.told, self.player = picture(), picture(), picture()
        self.rows = ipw.VBox()
        self.exporting = Exporting(line_kinds(self._wanted), lambda: "one idea")
        super().__init__(self._parts())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        pressed = panel(self.write, self.led, self.grow)
        said = [self.problem, self.told, self.player, self.rows]
        return [panel(self.colours, self.seed), pressed, *said, self.exporting]

    @answer
    def _press(self, _: object) -> None:
        """Write an idea; where none can be, the last one stays."""
        guarded(self.problem, self._show)

    def _show(self) -> None:
        """Decide, then draw and sound."""
        asked = self._what()
        names = [name for text in self.colours.value.split(",") if (name := text.strip())]
        over = asked.progression
        form = form_of(over)
        if not form:
            raise TheoryError(f"no ii-V-I under the line: {over} (want a form out of the list)")
        found = one_idea(over.key, names, form=form, seed=self.seed.value)
        if self.led.value:
            found = found.led_in(seed=self.seed.value)
        rows = [
            _staff_row(row.pretty, line, asked.reader, row)
            for row, line in zip(found.colours, found.lines, strict=True)
        ]
        self.idea = found
        self.exporting.stale()
        put(self.player, self._played(found))
        told = f"One idea in {over.key.pretty}, back to back with a bar of I between."
        put(self.told, sentences_html(told))
        self._replace(rows)

    def _played(self, idea: OneIdea) -> str:
        """Return the player of all versions."""
        sound = self._hearing.melody.value
        return performance_html(self._practice(idea).performance, label="one idea", melody=sound)

    def _practice(self, idea: OneIdea) -> Practice:
        """Return all versions as one line, with the rhythm section."""
        line, tempo = idea.joined, self._hearing.wishes.tempo
        played = performance(line, line.progression, tempo=tempo, colours=idea.band)
        return Practice(line, played, "one idea", False)

    def _wanted(self) -> Wanted:
        """Return what a file is made of."""
        if self.idea is None:
            raise TheoryError("no idea has been written yet (want one: press write one idea)")
        return Wanted(self._practice(self.idea), self._what().reader, self._hearing.melody.value)

    @answer
    def _press_grow(self, _: object) -> None:
        """Offer ways into the short line of the desk."""
        guarded(self.problem, self._grow)

    def _grow(self) -> None:
        """Decide, then draw and sound each way in."""
        asked, line = self._what(), self._line()
        found = lead_ins(line)
        if not found:
            raise TheoryError("no lead-in fits before this line (want one with room before it)")
        rows = [self._grown_row(one.name, one.line, asked) for one in found]
        put(self.player, "")
        put(self.told, sentences_html("Ways into the line, each over the ii bar of the long form."))
        self._replace(rows)

    def _grown_row(self, name: str, line: Line, asked: Asked) -> ipw.Widget:
        """Return one way in: its staff, its player, and the button that takes it over."""
        player = picture()
        put(player, self._hearing.play(line, asked.colour, f"lead-in by {name}"))
        take = button(f"take {name} over", safely(self.problem, lambda: self._take(line)))
        staff = _staff_row(name, line, asked.reader, asked.colour)
        return panel(ipw.VBox([staff], layout=SEEN), ipw.VBox([player, take], layout=HEARD))

    def _replace(self, rows: list[ipw.Widget]) -> None:
        """Show new rows and let the old ones go."""
        old, self.rows.children = self.rows.children, rows
        for row in old:
            discard(row)


def _staff_row(name: str, line: Line, reader: Reader, row: Colour) -> ipw.Widget:
    """Return the staff of a line with a name above it."""
    view = line_view(line, row, reader=reader)
    staff = picture()
    put(staff, sentences_html(name) + staff_svg(view.staff, scale=STAFF_SCALE))
    return ipw.VBox([staff])
