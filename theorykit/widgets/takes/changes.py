"""Changes to play over, chosen from a list or typed."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import Any

from theorykit.tunes.progression import FORMS, Progression, two_five_one
from theorykit.views.line import (
    FOUR_BARS,
    LineDraft,
    form_in,
    moved_onto,
    over_of,
    put_over,
    typed_over,
)
from theorykit.widgets.controls import answer, guarded, typed, unwatched, watch
from theorykit.widgets.exploring import FORM_WORDS
from theorykit.widgets.line_page import ChosenLine

FOUR_WORDS = "four bars: a bar each of ii and V, two of I"
TIP = "your own, at concert pitch, with | between bars; empty for a form"


def form_choices(over: Progression) -> list[tuple[str, str]]:
    """Return the forms to choose from, each with its bars; that of typed changes comes last.

    >>> form_choices(over_of("C", "short"))[:2]
    [('long, 3 bars: a bar each', 'long'), ('short, 2 bars: two beats each', 'short')]
    """
    told = [(name, FORM_WORDS[name].removeprefix(f"{name}: ")) for name in FORMS]
    forms = [
        (f"{name}, {_bars(two_five_one(over.key, name))}: {said}", name) for name, said in told
    ]
    forms.append((FOUR_WORDS, FOUR_BARS))
    return forms if form_in(over) else [*forms, (f"your own, {_bars(over)}: {over.pretty}", "")]


def _bars(over: Progression) -> str:
    """Count bars in words."""
    return f"{len(over)} bar{'s' * (len(over) != 1)}"


class ChosenChanges(ChosenLine):
    """A page with one line on it, over a form or over changes that are typed.

    ``_replace`` puts another line on the page.
    """

    def _add_choices(self, colour: str) -> None:
        """Add what is chosen for the line, and the field for changes."""
        super()._add_choices(colour)
        self.changes = typed("changes", "", TIP, example="concert: Dm7 | G7")

    def _watch_choices(self) -> None:
        """Answer what is chosen from now on."""
        watch((self.key, self.form), self._moved)
        watch((self.changes,), self._typed)

    @abstractmethod
    def _replace(self, make: Callable[[], LineDraft]) -> None:
        """Put another line on the page."""

    @abstractmethod
    def _refused(self) -> None:
        """Changes were refused: what was said of the ones before goes."""

    @answer
    def _moved(self, _: object) -> None:
        """Another key or form: the line moves with its chords, if it can."""
        key, form = self.key.value, self.form.value
        guarded(self.problem, lambda: self._replace(lambda: moved_onto(self.state, key, form)))

    @answer
    def _typed(self, _: object) -> None:
        """Changes were typed, or taken away: the text of the line stays."""
        text, key = self.changes.value.strip(), self.over.key

        def other() -> LineDraft:
            return put_over(self.state, typed_over(text, key) if text else over_of(key, "long"))

        if not guarded(self.problem, lambda: self._replace(other)):
            self._refused()

    @property
    def _own_form(self) -> str:
        return form_in(self.over)

    @property
    def _forms(self) -> list[tuple[str, str]]:
        return form_choices(self.over)

    def _show_choices(self, moved: Callable[[Any], None]) -> None:
        """Let the controls say what the line stands over, typed changes at concert pitch."""
        super()._show_choices(moved)
        with unwatched(self._typed, self.changes):
            self.changes.value = "" if self._own_form else str(self.over)
