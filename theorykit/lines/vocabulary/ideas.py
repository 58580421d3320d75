"""One idea in several colours: a phrase that is alike in all of them but for the colour.

Rhythm, contour and all notes outside the V bar stay; over V the notes move as little as they can
until every tension of the colour sounds. A teacher plays such versions back to back with a bar
between (common practice).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.lines.chord_palette import COLOUR, GUIDE, SCALE, ChordPalette, palettes
from theorykit.lines.placed import HALF_BAR, beat_strength
from theorykit.lines.text import Line, TimedNote, single_names
from theorykit.lines.vocabulary.leading_in import led_in
from theorykit.lines.writing import Wishes, write_lines
from theorykit.notes.degree import Degree, enharmonics
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import Bar, Progression, two_five_one

MOST_COLOURS = 12
SEEDS = 12  # ideas that are tried until one can be had in every colour
FURTHEST = 7  # half steps: how far a note moves for a colour
WIDEST, FIFTH, STEP, NINTH, NATURAL_SEVENTH = 9, 7, 2, 2, 11

# What a version costs beside the half steps by which its notes move.
COSTS = {
    "turned": 4.0,  # for a move that goes the other way than in the idea
    "scale": 1.0,  # for a note that is neither of the chord nor of the colour
    "strong scale": 3.0,  # the same on a strong place
    "leap": 3.0,  # for a fifth and more
    "lost guide": 5.0,  # for a strong 3rd or 7th that gave way
    "landing": 1.0,  # for each half step by which the landing moves, beside the one it moves
}
TONES = frozenset(range(SCALE))
ALLOWED = frozenset((*TONES, SCALE))

_Way = tuple[float, tuple[int, ...]]  # what it costs, and its MIDI numbers
_State = tuple[int, int]  # the last MIDI number and the hallmarks heard, as bits


@dataclass(frozen=True, slots=True)
class OneIdea:
    """A phrase in several colours: ``lines`` has one line for each of ``colours``, in order.

    >>> idea = one_idea("C", ["b9", "b9 13", "altered"], form="short", seed=1)
    >>> [{note.start for note in line.notes} == {note.start for note in idea.lines[0].notes}
    ...  for line in idea.lines]
    [True, True, True]
    >>> str(idea.joined.progression)
    'Dm7 G7 | Cmaj7 | Cmaj7 | Dm7 G7 | Cmaj7 | Cmaj7 | Dm7 G7 | Cmaj7'
    """

    colours: tuple[Colour, ...]
    lines: tuple[Line, ...]

    @property
    def joined(self) -> Line:
        """All versions as one line, back to back with a bar of I between."""
        first = self.lines[0].progression
        between = _held_bar(first)
        bars: list[Bar] = []
        notes: list[TimedNote] = []
        at = Fraction(0)
        for line in self.lines:
            bars += [between] * bool(bars) + list(line.progression.bars)
            notes += [replace(note, start=note.start + at) for note in line.notes]
            at += line.progression.beats + between.beats
        return Line(replace(first, bars=tuple(bars)), tuple(notes))

    @property
    def band(self) -> dict[int, tuple[Degree, ...]]:
        """The degrees that the piano plays over each dominant of ``joined``, by its place."""
        over = [
            place
            for place, placed in enumerate(self.joined.progression.chords)
            if placed.chord.kind.is_dominant
        ]
        return {place: row.degrees for place, row in zip(over, self.colours, strict=True)}

    def led_in(self, *, seed: int = 0) -> OneIdea:
        """Return each version with a fresh lead-in over the ii, in a form that has a bar for it.

        A short phrase grows into a long one.

        >>> idea = one_idea("C", ["b9", "b9 13"], form="short", seed=2)
        >>> fresh = idea.led_in(seed=2)
        >>> str(fresh.lines[0].progression)
        'Dm7 | G7 | Cmaj7'
        >>> fresh.lines[0].text.partition(" |")[2] in idea.lines[0].text + " |"
        True
        """
        lines = (led_in(line, seed=seed, place=n) for n, line in enumerate(self.lines))
        return replace(self, lines=tuple(lines))


def _held_bar(over: Progression) -> Bar:
    """Return a bar of the last chord, as long as the first bar."""
    first = over.bars[0]
    return Bar((over.chords[-1].chord,), (first.beats,), first.pulse)


def one_idea(
    key: Key | str,
    colours: Iterable[Colour | str],
    *,
    form: str = "long",
    seed: int = 0,
    wishes: Wishes | None = None,
) -> OneIdea:
    """Return one written phrase over a ii-V-I in several colours of V.

    It is first written in the colour of the most notes, then taken through the others.

    >>> idea = one_idea("Eb", ["9 #11 13", "b9 13", "altered"], seed=3)
    >>> [str(colour) for colour in idea.colours]
    ['9 #11 13', 'b9 13', 'altered']
    >>> one_idea("C", [])
    Traceback (most recent call last):
    theorykit.errors.TheoryError: 0 colours (want 1 to 12)
    """
    if isinstance(colours, (str, Colour)) or not isinstance(colours, Iterable):
        raise TheoryError(f"not colours: {shown(colours)} (want some such as 'b9' and 'altered')")
    rows = tuple(dict.fromkeys(map(colour_named, colours)))
    if not 1 <= len(rows) <= MOST_COLOURS:
        raise TheoryError(f"{len(rows)} colours (want 1 to {MOST_COLOURS})")
    if not isinstance(seed, int):
        raise TheoryError(f"not a seed: {shown(seed)} (want a whole number)")
    over = two_five_one(key, form)
    richest = max(rows, key=lambda row: len(row.tensions))
    told = None
    for number in range(SEEDS):
        base = write_lines(over, richest, count=1, seed=seed + 1000 * number, wishes=wishes)[0]
        try:
            return OneIdea(rows, tuple(in_colour(base, row) for row in rows))
        except TheoryError as problem:
            told = problem
    raise TheoryError(f"no idea found for all of these colours: {told} (want fewer, or a longer V)")


def in_colour(line: Line, row: Colour | str) -> Line:
    """Return a line with another colour over its last dominant, as much like it as can be.

    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 F4 D4 | whole E4", two_five_one("C", "short"))
    >>> for name in ("b9", "b9 13", "altered"):
    ...     print(in_colour(line, name))
    8th A4 C5 F5 D5 B4 D5 Ab4 D4 | whole E4
    8th A4 C5 F5 D5 B4 E5 Ab4 D4 | whole E4
    8th A4 C5 F5 D5 Bb4 Db5 Ab4 Eb4 | whole E4
    """
    wanted = colour_named(row)
    chords = palettes(line.progression, wanted)
    places = [place for place, chord in enumerate(chords[:-1]) if chord.resolves]
    if not places:
        raise TheoryError(f"no dominant that goes on in {line.progression} (want a ii-V-I)")
    return _Version(line, chords[places[-1]], chords[places[-1] + 1]).line(wanted)


class _Version:
    """A search for the notes over V and for the landing that lie nearest to those of an idea."""

    def __init__(self, idea: Line, dominant: ChordPalette, tonic: ChordPalette) -> None:
        self.idea, self.dominant, self.tonic = idea, dominant, tonic
        start, end = dominant.placed.start, dominant.placed.end
        self.over = [at for at, n in enumerate(idea.notes) if start <= n.start < end]
        lands = [at for at, n in enumerate(idea.notes) if n.start == end]
        self.moving = [*self.over, *lands]
        self.midis = [note.pitch.midi for note in idea.notes]
        self.bits = {sound: 1 << place for place, sound in enumerate(dominant.hallmarks)}

    def line(self, row: Colour) -> Line:
        """Return the version, spelled."""
        wanted = (1 << len(self.bits)) - 1
        ways: dict[_State, _Way] = {}
        for place, at in enumerate(self.moving):
            ways = self.next_ways(ways, at, first=place == 0)
        whole = ((midi, way) for (midi, heard), way in ways.items() if heard == wanted)
        ends = [way for midi, way in whole if self.leads_on(midi)]
        if not self.over or not ends:
            raise TheoryError(
                f"no version in {row.name}: {len(self.bits)} notes make the colour and "
                f"{len(self.over)} stand over {self.dominant.placed.chord}"
            )
        return self.spelled(min(ends)[1])

    def next_ways(self, ways: dict[_State, _Way], at: int, *, first: bool) -> dict[_State, _Way]:
        """Return the cheapest ways to every note that may stand at a place."""
        found: dict[_State, _Way] = {}
        before = self.midis[at - 1] if at else None
        starts = {(before, 0): (0.0, ())} if first else ways
        for midi in range(self.midis[at] - FURTHEST, self.midis[at] + FURTHEST + 1):
            own = self.own_cost(at, midi)
            if own is None:
                continue
            bit = self.bits.get(midi % 12, 0) if at in self.over else 0
            for (last, heard), (cost, so_far) in starts.items():
                step = 0.0 if last is None else self.move_cost(at, last, midi)
                if step is not None:
                    way = (cost + own + step, (*so_far, midi))
                    state = midi, heard | bit
                    found[state] = min(found.get(state, way), way)
        return found

    def own_cost(self, at: int, midi: int) -> float | None:
        """Weigh a note at its place; None where it may not stand."""
        far = abs(midi - self.midis[at])
        if at not in self.over:
            rest = self.tonic.is_tone(midi % 12) or self.is_ninth(midi)
            return far * (1 + COSTS["landing"]) if rest else None
        kind = self.dominant.kinds[midi % 12]
        if kind not in ALLOWED:
            return None
        strong = self.is_strong(at)
        guided = self.dominant.kinds[self.midis[at] % 12] == GUIDE
        lost = strong and guided and kind != GUIDE
        stray = 0.0 if kind in TONES else COSTS["strong scale" if strong else "scale"]
        return far + stray + COSTS["lost guide"] * lost

    def is_ninth(self, midi: int) -> bool:
        """Tell whether a note is the natural 9 of I, in its scale."""
        root = self.tonic.placed.chord.root.semitone
        return (midi - root) % 12 == NINTH and self.tonic.kinds[midi % 12] in ALLOWED

    def is_strong(self, at: int) -> bool:
        """Tell whether a note begins on the first beat of a bar or in its middle."""
        edges = self.idea.progression.bar_starts
        start = self.idea.notes[at].start
        bar = bisect_right(edges, start, hi=len(edges) - 1) - 1
        return beat_strength(start - edges[bar], edges[bar + 1] - edges[bar]) >= HALF_BAR

    def move_cost(self, at: int, last: int, midi: int) -> float | None:
        """Weigh a move; None where it may not be made."""
        size, idea = midi - last, self.midis[at] - self.midis[at - 1]
        lands = at not in self.over
        if size == 0 and (idea or lands):
            return None
        if abs(size) > (STEP if lands else WIDEST) or (self.leans(last) and abs(size) != 1):
            return None
        return COSTS["turned"] * (size * idea < 0) + COSTS["leap"] * (abs(size) >= FIFTH)

    def leans(self, midi: int) -> bool:
        """Tell whether a note is the natural 7 of V, which moves on by a half step."""
        sound = (midi - self.dominant.placed.chord.root.semitone) % 12
        return sound == NATURAL_SEVENTH and self.dominant.kinds[midi % 12] == COLOUR

    def leads_on(self, midi: int) -> bool:
        """Tell whether the note after the landing is another one, and no wide leap away."""
        after = self.moving[-1] + 1
        if after >= len(self.midis):
            return True
        return 0 < abs(self.midis[after] - midi) <= WIDEST

    def spelled(self, found: Sequence[int]) -> Line:
        """Return the line with other notes where it moved."""
        moved = dict(zip(self.moving, found, strict=True))
        midis = [moved.get(at, midi) for at, midi in enumerate(self.midis)]
        notes = (
            replace(note, pitch=Pitch.numbered(enharmonics(midi % 12)[0], midi))
            for note, midi in zip(self.idea.notes, midis, strict=True)
        )
        names = [self.names(at, midi) for at, midi in enumerate(midis)]
        return replace(self.idea, notes=tuple(notes)).spelled(names)

    def names(self, at: int, midi: int) -> tuple[Note, ...]:
        """Return the names that a note may have: its own where it stayed outside the V bar."""
        if at not in self.moving:
            return (self.idea.notes[at].pitch.note,)
        chord = self.dominant if at in self.over else self.tonic
        return single_names(chord.names[midi % 12])
