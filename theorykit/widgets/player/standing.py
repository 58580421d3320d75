"""The standing of a player: its setting as one text that a page can keep, and put back."""

from __future__ import annotations

from typing import Any

import traitlets as t

from theorykit.errors import TheoryError
from theorykit.views.sounding import PlayerSetting

NOT_READ = "How this player was set cannot be read, and it is as it was at first"


class Standing(t.HasTraits):
    """A value like that of a control: the setting of ``player`` as text.

    Whatever is put back is looked at first. What cannot be read leaves the player as it was at
    first, and the player says so. With ``paced`` the tempo is part of the setting.
    """

    value = t.Any("")

    def __init__(self, player: Any, *, paced: bool = False) -> None:
        super().__init__()
        self._player, self._paced = player, paced
        self._written = player.tempo
        player.observe(self._heard, ["levels", "bar", *(["tempo"] if paced else [])])
        self.observe(self._put, "value")

    @property
    def _said(self) -> str:
        """How the player is set at the moment."""
        player = self._player
        tempo = player.tempo if self._paced and player.tempo != self._written else None
        return str(PlayerSetting(tuple(player.levels), player.bar + 1, tempo))

    def _heard(self, _: object) -> None:
        """The reader has set the player."""
        try:
            self.value = str(PlayerSetting.parse(self._said))
        except (TheoryError, ValueError):  # out of a page that says what no list offers
            self.value = str(PlayerSetting())

    def _put(self, change: dict[str, Any]) -> None:
        """Set the player as was kept."""
        if change["new"] == self._said:
            return
        try:
            found, problem = PlayerSetting.parse(change["new"]), ""
        except TheoryError as wrong:
            found, problem = PlayerSetting(), f"{NOT_READ}: {wrong}"
        with self._player.hold_sync(), self._player.hold_trait_notifications():
            self._player.levels, self._player.bar = [*found.levels], found.bar - 1
            self._player.problem = problem
            if self._paced:
                self._player.tempo = found.tempo or self._written
        self.value = str(found)
