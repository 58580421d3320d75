"""Players of things."""

from __future__ import annotations

from typing import Any

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.identification import Identification
from theorykit.harmony.resolution import Resolution
from theorykit.harmony.substitution import Substitute
from theorykit.lines.chorus import Chorus
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.lines.text import Line
from theorykit.notes.key import tonic_key
from theorykit.notes.note import pretty_words
from theorykit.show import cells
from theorykit.show.cell_sound import heard
from theorykit.show.cells import Shown, at_concert
from theorykit.tunes.charts import Chart
from theorykit.views.things import Thing, performed, thing


def hear_thing(given: Thing | str, melody: str, label: str, wishes: dict[str, Any]) -> Shown:
    """Return a player of a thing, three of a substitute; ``wishes`` are those of ``performed``."""
    one = thing(given)
    expect(label, str, "a label", "text, or none")
    if not isinstance(melody, str) or melody not in MELODY_SOUNDS:
        accepted = ", ".join(MELODY_SOUNDS)
        raise TheoryError(f"no such melody sound: {shown(melody)} (want {accepted})")
    said = label or _label(one)
    played = performed(one, **wishes)
    home = tonic_key(one.target) if isinstance(one, Substitute) else None
    if isinstance(one, Substitute) and home is not None and not wishes["loops"]:
        return cells.hear_substitute(home, one.name, tempo=played.tempo)
    html, sound = heard({said: played}, melody=melody, loops=wishes["loops"])
    return at_concert(Shown(html, f"Player: {said}", heard=sound))


def _label(one: Thing) -> str:
    """Say what a player holds."""
    if isinstance(one, (Chart, Chorus, LeadSheet)):
        chart = one if isinstance(one, Chart) else one.chart
        return chart.title or "the tune"
    if isinstance(one, Line):
        return f"phrase, {one.progression}"
    if isinstance(one, Resolution):
        return f"{one.chord.pretty} to {one.target.pretty}"
    if isinstance(one, Identification):
        return f"{pretty_words(one.sounds.name)} over {one.over.pretty}"
    return getattr(one, "pretty", "") or str(one).partition("\n")[0]
