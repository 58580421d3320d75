"""Ear training: what is heard alone, over a ii-V-I with the band."""

from __future__ import annotations

from collections.abc import Iterable
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.notes.key import Key
from theorykit.study.questions import QuestionKind
from theorykit.widgets.controls import panel
from theorykit.widgets.drills.drilling import MINUTES, Drill, What


class EarTraining(Drill):
    """Ear training as a widget: a drill that only asks what is heard.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     box = EarTraining("form by ear", keys="Db", journal=f"{folder}/journal.sqlite")
    >>> box.page.view.prompt, box.page.player.shown[0].label
    ('A ii-V-I to D♭ major. Is it long or short?', 'listen')
    """

    ways = ("hear",)
    everything = "all that is heard"

    def _own_name(self) -> str:
        """Return what the sitting is kept under."""
        return super()._own_name().replace("drill", "ear training", 1)

    def _all_kinds(self) -> tuple[QuestionKind, ...]:
        """Return the kinds that are heard, of those that are meant."""
        self._wanted = self._wanted or "hear"
        return super()._all_kinds()

    def _above(self) -> list[ipw.Widget]:
        """Return what is listened for, in which keys, how much is offered, and how long."""
        return [panel(*self._wishes())]

    def _set_here(self) -> list[ipw.Widget]:
        """Return the controls that lie in the fold."""
        return [self.reader, self.surface, self.timed]


def ear_training(
    what: What = None,
    *,
    keys: str | Key | Iterable[str | Key] | None = None,
    minutes: float = MINUTES,
    level: int = 0,
    tempo: float = 100,
    written_for: str | None = None,
    journal: str | PathLike[str] | None = None,
) -> EarTraining:
    """Return ear training, on all that is heard or on what is named; the wishes are a drill's.

    >>> ear_training("guide tones")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: nothing that is heard by the name 'guide tones' (want a kind \
such as 'top note', or a colour such as 'b9 13')
    """
    wishes: dict[str, Any] = {
        **{"keys": keys, "minutes": minutes, "level": level, "tempo": tempo},
        **{"written_for": written_for, "journal": journal},
    }
    return EarTraining(what, **wishes)
