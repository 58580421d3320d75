"""The tempo of a take, offered where the slider has another."""

from __future__ import annotations

import ipywidgets as ipw

from theorykit.lines.taking import TakenLine
from theorykit.widgets.controls import answer, button, guarded, panel, picture
from theorykit.widgets.faults import Page


class TempoOffer(Page):
    """A button that sets a slider to the tempo of the take; it is there where they differ."""

    def __init__(self, slider: ipw.FloatSlider) -> None:
        self._slider = slider
        self._taken: TakenLine | None = None
        self.accept = button("set the tempo", self._accepts, "the tempo of the take")
        self.problem = picture()
        super().__init__([panel(self.accept), self.problem])

    def show(self, taken: TakenLine | None) -> None:
        """Offer the tempo of a take."""
        self._taken = taken
        own = self._own
        self.accept.description = f"set the tempo to {own:.0f}"
        self.accept.layout.display = "none" if own == self._slider.value else ""

    def follow(self, taken: TakenLine) -> None:
        """Let the slider have the tempo of a take."""
        self._taken = taken
        self._slider.value = self._own

    @property
    def _own(self) -> float:
        """The tempo of the take, as far as the slider reaches."""
        if self._taken is None:
            return float(self._slider.value)
        return round(min(max(self._taken.tempo, self._slider.min), self._slider.max))

    @answer
    def _accepts(self, _: object) -> None:
        """The reader takes the tempo over."""
        guarded(self.problem, self._set)

    def _set(self) -> None:
        """Set the slider; there is nothing to be offered any more."""
        self._slider.value = self._own
        self.show(self._taken)
