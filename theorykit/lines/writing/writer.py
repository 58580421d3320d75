"""Writing lines over a progression: drawn by odds, compared as wholes, kept by rules.

A rhythm is drawn first. Over it every line that keeps the rules has a cost, the sum of the terms of
``writing.step_costs``; lines are drawn with odds e^-cost (``writing.lattice``).
Of each handful the one is taken that costs least as a whole (``writing.whole_line``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.colours import colour as colour_named
from theorykit.lines.chord_palette import ChordPalette, palettes
from theorykit.lines.excerpts import between
from theorykit.lines.text import Line, TimedNote, spelled
from theorykit.lines.writing.candidates import Place, places_of
from theorykit.lines.writing.lattice import Lattice
from theorykit.lines.writing.rhythm_figures import Rhythm, draw_rhythm, room_over
from theorykit.lines.writing.whole_line import broken_rules, whole_cost
from theorykit.lines.writing.wishes import Wishes
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Progression

MOST_LINES = 200
HANDFUL = 40  # lines that are drawn for each that is taken
PATIENCE = 12  # handfuls for each line that is asked for
DIFFERENT = 3  # one note in so many must differ between two lines


def write_lines(
    progression: Progression,
    colour: Colour | str | None = None,
    *,
    count: int = 5,
    seed: int = 0,
    wishes: Wishes | None = None,
) -> tuple[Line, ...]:
    """Return ``count`` lines over a progression, the same for the same seed.

    ``colour`` is that of every dominant that goes on to another chord; without one the lines keep
    to the key. All lines keep the rules of ``writing.whole_line`` and the ``wishes``; where no
    line can, the error says which wish stands in the way.

    >>> from theorykit.tunes.progression import two_five_one
    >>> lines = write_lines(two_five_one("Eb"), "b9 13", count=3, seed=8)
    >>> len(lines), lines == write_lines(two_five_one("Eb"), "b9 13", count=3, seed=8)
    (3, True)
    >>> write_lines(two_five_one("C"), "b9", wishes=Wishes(landing="b3"))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no line keeps to the wishes: the wish to land on b3 stands in \
the way (without it there are lines enough)
    """
    found = lines_found(progression, colour, count=count, seed=seed, wishes=wishes)
    if len(found) < count:
        row = None if colour is None else colour_named(colour)
        asked = wishes if wishes is not None else Wishes()
        own_seed = _own_seed(progression, row, seed)
        raise TheoryError(_why_not(progression, row, asked, own_seed, len(found), count))
    return found


def lines_found(
    progression: Progression,
    colour: Colour | str | None = None,
    *,
    count: int = 5,
    seed: int = 0,
    wishes: Wishes | None = None,
) -> tuple[Line, ...]:
    """Return what ``write_lines`` does, or fewer lines where there are no more, perhaps none.

    >>> from theorykit.tunes.progression import two_five_one
    >>> lines_found(two_five_one("C"), "b9", wishes=Wishes(landing="b3"))
    ()
    """
    row = None if colour is None else colour_named(colour)
    asked = wishes if wishes is not None else Wishes()
    _check(progression, count, seed, asked)
    rng = Random(_own_seed(progression, row, seed))
    return tuple(_Desk(progression, row, asked, rng).lines(count))


def _own_seed(progression: Progression, row: Colour | None, seed: int) -> str:
    """Return the seed for these chords: other chords have other rhythms."""
    return f"{seed} {progression.key} {progression} {row}"


def _check(progression: object, count: object, seed: object, wishes: object) -> None:
    """Refuse what cannot be worked with."""
    if not isinstance(progression, Progression):
        raise TheoryError(f"not a progression: {shown(progression)} (want a Progression)")
    between = [one for one in progression.chords if (one.start * 2).denominator > 1]
    if between:
        raise TheoryError(
            f"{between[0].chord} begins between two eighths, on beat {between[0].start} (want "
            "chords that begin on a beat or half a beat)"
        )
    if not isinstance(count, int) or not 1 <= count <= MOST_LINES:
        raise TheoryError(f"not a count of lines: {shown(count)} (want 1 to {MOST_LINES})")
    if not isinstance(seed, int):
        raise TheoryError(f"not a seed: {shown(seed)} (want a whole number)")
    if not isinstance(wishes, Wishes):
        raise TheoryError(f"not wishes: {shown(wishes)} (want Wishes(...))")


class _Desk:
    """What is on the writer's desk: the chords, the wishes, the rhythms worked out so far."""

    def __init__(
        self, progression: Progression, row: Colour | None, wishes: Wishes, rng: Random
    ) -> None:
        self.progression = progression
        self.row = row
        self.wishes = wishes
        self.rng = rng
        self.chords = palettes(progression, row)
        self.needed = [len(chord.hallmarks) for chord in self.chords]
        self.worked_out: dict[Rhythm, tuple[tuple[Place, ...], Lattice]] = {}

    def lines(self, count: int) -> list[Line]:
        """Return as many lines as are asked for, or as many as are found with patience."""
        found: list[Line] = []
        for _ in range(count * PATIENCE if self.chords else 0):
            rhythm = draw_rhythm(self.chords, self.wishes, self.rng, needed=self.needed)
            line = self.best(rhythm, found) if rhythm else None
            if line is not None:
                found.append(line)
            if len(found) == count:
                break
        return found

    def best(self, rhythm: Rhythm, others: Sequence[Line]) -> Line | None:
        """Return the best line of a handful that keeps the rules and is unlike the others."""
        if rhythm not in self.worked_out:
            places = places_of(self.progression, self.chords, rhythm, self.wishes)
            self.worked_out[rhythm] = places, Lattice(places)
        places, lattice = self.worked_out[rhythm]
        if lattice.is_empty:
            return None
        handful = {lattice.draw(self.rng): None for _ in range(HANDFUL)}  # each once, in order
        for midis in sorted(handful, key=lambda midis: whole_cost(places, midis)):
            line = self.written(rhythm, places, midis)
            broken = broken_rules(line, self.row, self.wishes.compass)
            if not broken and all(_differ(line, other) for other in others):
                return line
        return None

    def written(self, rhythm: Rhythm, places: Sequence[Place], midis: Sequence[int]) -> Line:
        """Return a line out of its numbers, spelled."""
        sounds = [
            (midi, place.palette.names[midi % 12])
            for midi, place in zip(midis, places, strict=True)
        ]
        names = spelled(sounds, self.progression.key.notes)
        notes = (
            TimedNote(Pitch.numbered(name, midi), onset.start, onset.beats)
            for name, midi, onset in zip(names, midis, rhythm, strict=True)
        )
        return Line(self.progression, tuple(notes))


def _differ(line: Line, other: Line) -> bool:
    """Tell whether two lines are more than variants of each other."""
    mine, theirs = ({(n.start, n.pitch.midi) for n in one.notes} for one in (line, other))
    return len(mine - theirs) * DIFFERENT >= len(mine)


def _why_not(
    progression: Progression, row: Colour | None, wishes: Wishes, seed: str, had: int, count: int
) -> str:
    """Say which wish stands in the way: one without which there are lines enough."""
    for chord in palettes(progression, row):
        room = room_over(chord, wishes)
        if row is not None and len(chord.hallmarks) > room:
            return (
                f"no room for {row.name} over {chord.placed.chord}: {len(chord.hallmarks)} notes "
                f"make the colour and {room} fit (want a longer chord, triplets, more density or a "
                "colour of fewer notes)"
            )
    if not wishes.asked:
        return f"{had} of {count} lines over {progression} (want fewer lines or longer chords)"
    what = f"only {had} of {count} lines keep" if had else "no line keeps"
    for words, without in wishes.asked:
        if len(_Desk(progression, row, without, Random(seed)).lines(count)) == count:
            return (
                f"{what} to the wishes: {words} stands in the way (without it there are lines "
                "enough)"
            )
    said = ", ".join(words for words, _ in wishes.asked)
    return f"{what} to the wishes: {said} leave no way together (want fewer of them)"


def last_dominant(over: Progression, row: str | None) -> ChordPalette | None:
    """Return the last dominant that goes on to another chord, with the notes of a colour over it.

    >>> from theorykit.tunes.charts import Chart
    >>> found = last_dominant(Chart.of("C", "E7 A7 D7 G7", "C6").progression, "b9")
    >>> str(found.placed.chord), str(found.placed.start)
    ('G7', '3')
    """
    named = None if row is None else colour(row)
    found = [chord for chord in palettes(over, named) if chord.resolves]
    return found[-1] if found else None


def coloured_last(
    over: Progression, row: str | None, seed: int, wishes: Sequence[Wishes]
) -> Line | None:
    """Return the first line that is found with one of some wishes, the last dominant coloured.

    >>> from theorykit.tunes.charts import Chart
    >>> over = Chart.of("C", "Em7 A7", "Dm7 G7", "C6").progression
    >>> line = coloured_last(over, "b9 13", 1, [Wishes()])
    >>> {n.pitch.midi % 12 for n in line.notes if 6 <= n.start < 8} >= {4, 8}
    True
    """
    for asked in dict.fromkeys(wishes):
        line = _line(over, row, seed, asked)
        if line is not None:
            return line
    return None


def _line(over: Progression, row: str | None, seed: int, wishes: Wishes) -> Line | None:
    """Return a line, in two parts where other dominants come before the last one.

    The first part goes up to the chord on which the last of the others lands.
    """
    chords = palettes(over, None)
    places = [place for place, chord in enumerate(chords) if chord.resolves]
    if row is None or len(places) < 2:
        return _first(over, row, seed, wishes)
    target = chords[places[-2] + 1].placed
    edge = target.start
    head = _first(between(over, over.bar_starts[0], target.end), None, seed, wishes)
    if head is None:
        return None
    landing = next(note for note in head.notes if note.start == edge)
    begin = replace(wishes, start=landing.pitch)
    tail = _first(between(over, edge, over.beats), row, seed, begin)
    if tail is None or tail.notes[0].start > 0:
        return None
    before = (note for note in head.notes if note.start < edge)
    after = (replace(note, start=note.start + edge) for note in tail.notes)
    return Line(over, (*before, *after))


def _first(over: Progression, row: str | None, seed: int, wishes: Wishes) -> Line | None:
    """Return one line, if there is one."""
    found = lines_found(over, row, count=1, seed=seed, wishes=wishes)
    return found[0] if found else None
