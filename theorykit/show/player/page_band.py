"""The band of a page that plays without a kernel: its takes, its sounds, and its one script.

Everything lies inside the page, and nothing is asked for. Each note stands there once for all
players of the page. Without a script, or where a browser does not read Ogg Vorbis, the plain
players stay that were there before.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable
from functools import cache
from hashlib import sha256

from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.player.player_module import player_script, player_style
from theorykit.show.sound import NoteStock, band_told
from theorykit.views.sounding import FASTEST, SLOWEST, Take

_FIRST = next(iter(MELODY_SOUNDS))


class PageBand:
    """The players of one page.

    ``html`` gives the place of one player, ``tail`` what stands once at the end of the body, and
    ``style`` what stands in the head. A page with a policy adds ``player_policy`` to it.

    >>> from theorykit.lines.band import performance
    >>> from theorykit.tunes.progression import two_five_one
    >>> band, take = PageBand(), Take("in C", performance(None, two_five_one("C"), tempo=100))
    >>> print(band.html([take], "<audio controls></audio>"))
    <div class="theorykit-here" data-player="0"><div class="theorykit-plain"><audio controls>\
</audio></div></div>
    >>> "in C" in band.tail(), PageBand().tail()
    (True, '')
    """

    def __init__(self) -> None:
        self._stock = NoteStock()
        self._players: list[dict[str, object]] = []
        self._names: dict[str, None] = {}

    def html(self, takes: Iterable[Take], plain: str, melody: str = _FIRST) -> str:
        """Return the place of a player of some takes, one of which is chosen at a time.

        ``plain`` is the HTML of the plain players, which are seen where no script runs. It is
        taken as it is. ``melody`` is the sound of the line.
        """
        some = tuple(takes)
        told = [self._stock.told(take, melody) for take in some]
        for names in (one["names"] for one in told):
            self._names.update(dict.fromkeys(names))  # type: ignore[call-overload]
        number = len(self._players)
        tempo = some[0].performance.tempo / float(some[0].pulse) if some else 0.0
        self._players.append({"takes": told, "tempo": min(max(tempo, SLOWEST), FASTEST)})
        return (
            f'<div class="theorykit-here" data-player="{number}">'
            f'<div class="theorykit-plain">{plain}</div></div>'
        )

    def tail(self) -> str:
        """Return the data and the script of all players so far; nothing if there is none."""
        if not self._players:
            return ""
        band = band_told()
        names = [*self._names, *band["room"]]  # type: ignore[misc]
        sounds, data = self._stock.sounds(names, "ogg")
        told = {
            **{"band": band, "players": self._players, "tempos": [SLOWEST, FASTEST]},
            **{"sounds": sounds, "data": base64.b64encode(data).decode("ascii")},
        }
        text = json.dumps(told, separators=(",", ":")).replace("<", "\\u003c")
        return (
            f'<script type="application/json" id="theorykit-band">{text}</script>\n'
            f'<script type="module">{_script()}</script>\n'
        )

    @property
    def style(self) -> str:
        """The style sheet of the players, for the head of the page."""
        return player_style("page") if self._players else ""


@cache
def player_policy() -> str:
    """Return what a Content Security Policy has to say, so that this one script may run.

    >>> player_policy()[:19]
    "script-src 'sha256-"
    """
    sum_of = sha256(_script().encode("utf-8")).digest()
    return f"script-src 'sha256-{base64.b64encode(sum_of).decode('ascii')}'"


def _script() -> str:
    """Return the module of a page that plays by itself."""
    return player_script("page")
