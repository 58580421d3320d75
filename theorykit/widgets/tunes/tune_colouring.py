"""The cadences of a tune: a list, one of them close up, and the controls that colour it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import ipywidgets as ipw

from theorykit.harmony.substitution import NAMES
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html
from theorykit.show.pictures import picture_svg
from theorykit.views.keyboard import KeyboardView
from theorykit.views.tune import CadenceView, TuneDraft, TuneView, cadence_takes, cadence_view
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    offer,
    panel,
    picture,
    put,
    safely,
    tick,
    unwatched,
    watch,
)
from theorykit.widgets.faults import PageRow
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.player import PICTURES, Player

STAFF_SCALE, KEYBOARD_SCALE = 42, 0.95
WORDS_ROOM, STAFF_ROOM, KEYBOARD_ROOM = 108, 150, 196  # pixels kept free; five lines of words
PLAIN = ("as it is written", "")
ALL = "also colours that change the chord"
ALL_TIP = "what the composer wrote is changed only if you choose so; the plan then says it"
SUBSTITUTES = (("none", ""), *((name, name) for name in NAMES))
ROWS = 4  # of the list, so that list, player and pictures stand in one view

Sound = Callable[[], tuple[float, float | None, str]]  # tempo, swing, melody sound


class Colouring(PageRow):
    """The list of cadences and the one that is chosen.

    ``change`` is given what the reader sets for it; ``choose`` is called when another is chosen;
    ``sound`` returns tempo, swing and melody sound of the moment.
    """

    def __init__(
        self, change: Callable[..., None], choose: Callable[[], None], sound: Sound
    ) -> None:
        self._change, self._choose, self._sound = change, choose, sound
        self._place: tuple[int, Fraction] | None = None
        self.found: CadenceView | None = None
        self.cadences = ipw.Select(
            description="cadences",
            options=(),
            rows=ROWS,
            tooltip="choose one to see and hear its colours",
            layout=ipw.Layout(width="98%"),
            style={"description_width": "70px"},
        )
        self.colour = choice("colour over V", (PLAIN,), "")
        self.others = tick(ALL, tip=ALL_TIP)
        self.substitute = choice("substitute", SUBSTITUTES, "", "a chord in the place of V")
        self.split = tick("hear the V bar as a short ii-V", tip="for a long cadence")
        self.sentence, self.problem = picture(), picture()
        self.staff, self.keyboard = picture(), picture()
        self.staff_saving = Saving("staff", self.staff, self._title)
        self.keyboard_saving = Saving("keyboard", self.keyboard, self._title, self._keyboard)
        self.player = Player()
        super().__init__(self._parts(), layout=ipw.Layout(width="100%", flex_flow="row wrap"))
        self.add_class(PICTURES)
        self.cadences.observe(self._chosen, "value")
        for control in self.controls:
            control.observe(self._set, "value")
        watch((self.others,), safely(self.problem, lambda: self._set_controls(self.found)))

    @property
    def controls(self) -> tuple[Any, ...]:
        """What colours the chosen cadence."""
        return self.colour, self.substitute, self.split

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out: the list at the left, the cadence close up beside it."""
        chosen = panel(self.colour, self.others, self.substitute, self.split)
        left = ipw.VBox([self.cadences], layout=ipw.Layout(flex="1 1 430px", min_width="300px"))
        saved = panel(self.staff_saving, self.keyboard_saving)
        pictures = [self.staff, self.keyboard, saved]
        parts = [self.sentence, chosen, self.problem, self.player, *pictures]
        right = ipw.VBox(parts, layout=ipw.Layout(flex="1 1 560px", min_width="300px"))
        return [left, right]

    def _title(self) -> str:
        """Return what pictures of the chosen cadence are called in files."""
        return f"cadence {self.number}"

    def _keyboard(self) -> KeyboardView | None:
        """Return the keyboard of the chosen cadence."""
        return self.found.keyboard if self.found is not None else None

    @property
    def number(self) -> int:
        """The number of the chosen cadence, 0 for none."""
        return int(self.cadences.value or 0)

    @answer
    def _chosen(self, _: object) -> None:
        """Another cadence was chosen."""
        self._choose()

    @answer
    def _set(self, _: object) -> None:
        """A colour, a split or a substitute was set; where it cannot be, the control goes back."""
        wished = {
            "colour": self.colour.value,
            "substitute": self.substitute.value,
            "split": self.split.value,
        }
        found = self.found
        if found is not None and found.mark.dominant is not None:
            guarded(self.problem, lambda: self._change(found.mark, **wished))
            self._set_controls(self.found)

    def list_of(self, view: TuneView) -> int:
        """Fill the list, the same cadence staying chosen; return its number."""
        number = view.number_at(self._place)
        offer(self.cadences, view.options, number or None, self._chosen)
        return number

    def show(self, state: TuneDraft, view: TuneView, *, heard: bool) -> None:
        """Show the chosen cadence; its takes are made where it is to be ``heard``."""
        mark = view.mark(self.number)
        self._place = mark.place if mark is not None else None
        before, self.found = self.found, cadence_view(state, view, self.number)
        found = self.found
        self._set_controls(found)
        self._keep_room(found is not None)
        if found is None:
            self._clear()
            return
        put(self.sentence, sentences_html(found.sentence, found.mark.why))
        if before is None or before.staff != found.staff or not self.staff.value:
            staff = found.staff
            put(self.staff, staff_svg(staff, scale=STAFF_SCALE) if staff is not None else "")
        keys = found.keyboard
        put(self.keyboard, picture_svg(keys, scale=KEYBOARD_SCALE) if keys is not None else "")
        if heard:
            self._play(state, view, found)
        elif before != found:
            self.player.show(())

    def _set_controls(self, found: CadenceView | None) -> None:
        """Let the controls say what is chosen for the cadence."""
        made = found.choice if found is not None else None
        with unwatched(self._set, *self.controls):
            self.colour.options = self._options(found)
            self.colour.value = made.colour if made else ""
            self.substitute.value = made.substitute if made else ""
            self.split.value = bool(made and made.split)
        can_split = found is not None and found.mark.dominant is not None
        for control in (self.colour, self.substitute):
            control.disabled = made is None
        self.split.disabled = not (can_split and found is not None and found.mark.is_long)

    def _options(self, found: CadenceView | None) -> tuple[tuple[str, str], ...]:
        """Return the colours to choose from; one that was chosen stays among them."""
        if found is None:
            return (PLAIN,)
        made = found.choice.colour if found.choice else ""
        others = (one for one in found.others if self.others.value or one[1] == made)
        return (PLAIN, *found.offered, *others)

    def _keep_room(self, chosen: bool) -> None:
        """Keep room for the words and pictures of a cadence, so that nothing jumps."""
        rooms = (WORDS_ROOM, STAFF_ROOM, KEYBOARD_ROOM)
        for place, room in zip((self.sentence, self.staff, self.keyboard), rooms, strict=True):
            place.layout.min_height = f"{room}px" if chosen else None

    def _clear(self) -> None:
        """Show that nothing is chosen."""
        put(self.sentence, sentences_html("", "Choose a cadence in the list to see its colours."))
        for place in (self.staff, self.keyboard):
            put(place, "")
        self.player.show(())

    def _play(self, state: TuneDraft, view: TuneView, found: CadenceView) -> None:
        """Hand the player the cadence as written, and with the colour."""
        tempo, swing, melody = self._sound()
        self.player.show(cadence_takes(state, view, found, tempo=tempo, swing=swing), melody)
