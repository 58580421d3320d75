"""Practice of a phrase: with which chords, through which keys, in rounds, answered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.lines.band import FEELS, STEPS, colours_over, performance, through_keys
from theorykit.lines.parts import Part, Performance
from theorykit.lines.text import Line
from theorykit.views.sounding.takes import Take

CHORDS = ("plain", "coloured", "line alone")
THIS_KEY = "this key"
JOURNEYS = (THIS_KEY, *(f"twelve keys by {step}" for step in STEPS))
_STEP_OF = dict(zip(JOURNEYS[1:], STEPS, strict=True))


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """What is wished for: ``chords`` of ``CHORDS``, ``journey`` of ``JOURNEYS``, and the rest.

    ``loops`` lets it go round without a count-in; with ``answers`` the rhythm section plays the
    same bars again alone, for an answer; ``tempo`` in beats a minute; ``swing`` is the ratio of the
    long to the short eighth, None for as players do; ``feel`` is one of ``FEELS`` of the band.
    With ``counted`` it is counted in even where it goes round, for a player that does that once.
    """

    chords: str = "coloured"
    journey: str = THIS_KEY
    loops: bool = False
    answers: bool = False
    tempo: float = 120
    swing: float | None = None
    feel: str = "four"
    counted: bool = False

    def __post_init__(self) -> None:
        """Refuse chords and journeys that are not offered."""
        for what, wished, offered in (
            ("chords", self.chords, CHORDS),
            ("journey", self.journey, JOURNEYS),
        ):
            if wished not in offered:
                raise TheoryError(f"no such {what}: {shown(wished)} (want {', '.join(offered)})")


@dataclass(frozen=True, slots=True)
class Practice:
    """A line with the performance to practise it with, its name, and what was wished for."""

    line: Line
    performance: Performance
    label: str
    loops: bool
    wishes: Rehearsal = Rehearsal()

    @property
    def take(self) -> Take:
        """The performance as a page plays it; its line is seen where it is played as it stands."""
        return Take(
            self.label,
            self.performance,
            as_players_do=self.wishes.swing is None and not FEELS[self.wishes.feel].even,
            bar=self.line.progression.bars[0].beats,
            loops=self.loops,
            is_seen=self.wishes.journey == THIS_KEY,
        )


def rehearse(line: Line, over_v: Colour | None = None, wishes: Rehearsal | None = None) -> Practice:
    """Return a line made ready to practise; ``over_v`` is what *coloured* means.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> found = rehearse(line, colour("b9 13"), Rehearsal(journey=JOURNEYS[1], answers=True))
    >>> found.label
    'coloured ♭9 13, twelve keys by fifths from C major, with answer bars, 120 beats a minute'
    >>> str(found.performance.beats)
    '196'
    """
    wished = wishes or Rehearsal()
    coloured = over_v if wished.chords == "coloured" else None
    played = _played(line, coloured, wished)
    if wished.chords == "line alone":
        played = _alone(played)
    return Practice(line, played, _label(line, coloured, wished), wished.loops, wished)


def _played(line: Line, coloured: Colour | None, wished: Rehearsal) -> Performance:
    """Return the line with its rhythm section."""
    over = line.progression
    wishes: dict[str, Any] = {
        "tempo": wished.tempo,
        "swing": wished.swing,
        "count_in": 0 if wished.loops and not wished.counted else 1,
        "answer_bars": wished.answers,
        "feel": wished.feel,
        "colours": colours_over(line, coloured),
    }
    if wished.journey != THIS_KEY:
        return through_keys(line, over, step=_STEP_OF[wished.journey], **wishes)
    ahead = over.chords[0].chord if wished.loops else None
    return performance(line, over, leads_to=ahead, **wishes)


def _alone(played: Performance) -> Performance:
    """Return a performance of which only the line and the count-in are left."""
    parts = [part for part in played.parts if part.name == "line"]
    for part in played.parts:
        if part.name == "drums":
            parts.append(Part("drums", tuple(n for n in part.notes if n.counts_in)))
    return replace(played, parts=tuple(parts))


def _label(line: Line, coloured: Colour | None, wished: Rehearsal) -> str:
    """Say what a player holds."""
    key = line.progression.key.pretty
    plain = "plain" if wished.chords == "coloured" else wished.chords
    chords = f"coloured {coloured.pretty}" if coloured else plain
    where = f"in {key}" if wished.journey == THIS_KEY else f"{wished.journey} from {key}"
    extra = [
        *(["with answer bars"] if wished.answers else []),
        *(["round and round"] if wished.loops else []),
    ]
    return ", ".join([chords, where, *extra, f"{wished.tempo:g} beats a minute"])
