"""Writing lines over a progression: drawn by odds, compared as wholes, kept by rules.

A rhythm is drawn first. Over it every line that keeps the rules has a cost, the sum of the terms of
``writing.step_costs``; lines are drawn with odds e^-cost (``writing.lattice``).
Of each handful the one is taken that costs least as a whole (``writing.whole_line``).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from operator import itemgetter
from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.lines.chord_palette import CHROMATIC, ChordPalette, palettes
from theorykit.lines.placed import HALF_BAR, beat_strength
from theorykit.lines.text import (
    Line,
    TimedNote,
    misread,
    single_names,
    trips,
)
from theorykit.lines.writing.candidates import Place, places_in_bars, places_of
from theorykit.lines.writing.first_sight import (
    changes_form,
    guessed_trips,
    kinds_over,
    stops_a_singer,
    strange_to_sing,
)
from theorykit.lines.writing.lattice import Lattice
from theorykit.lines.writing.melody import hard_to_sing, strained
from theorykit.lines.writing.rhythm_figures import BARE, Rhythm, draw_rhythm, room_over
from theorykit.lines.writing.tonic_bar import comes_home
from theorykit.lines.writing.whole_line import STRONG, is_heard_out, keeps_rules, whole_cost
from theorykit.lines.writing.wishes import AMOUNTS, DENSITIES, Wishes, easy_middle
from theorykit.notes.degree import enharmonics
from theorykit.notes.note import Pitch
from theorykit.notes.reader import reader
from theorykit.tunes.progression import Progression

MOST_LINES = 200
HANDFUL = 40  # lines that are drawn for each that is taken
PATIENCE = {"played": 12, "sung": 40}  # handfuls for each line that is asked for
STRICT = 2  # lines that trip the eye: when so many were written the best of them is taken, and one
# of the next ones at once
SOONER = 3  # or when so small a part of the patience for a line is gone
GRAVE, LONG = 100, 12  # faults of a line that is not as wished: it waits for so many handfuls
LAST = 3  # times as many, before it is said that there is none
ROOMY = 4  # notes: a bar with as many has room for a chromatic one
MANY, TWO_BARS = 2, 2  # chromatic notes that are heard as many; in a longer form it takes one more
LEGIBLE = {1: 2, STRICT: 6}  # lines of which the one that is read most easily is taken
# In nats, when lines are put in order: a place that is likely to trip the eye, and, since lines
# that avoid such places leap more than players do, a leap of a fifth or more.
LIKELY, LEAPT, FIFTH = 1.5, 0.4, 7
WORSE = 2  # moves that look like others: what a fault of the page counts beside them
OCTAVE = 12
DIFFERENT = 3  # one note in so many must differ between two lines
SPANS = (12, 14, 15, 16, 17, 19, 21)  # half steps: how far one line reaches, if nobody asks
SHORT_FORM, WIDE_SPANS = 4, 3  # bars; over more of them a line needs room, so the wider spans
AT_ONCE = (
    0.7  # how often a dominant begins on its 3rd or 7th; else they come on a later strong place
)


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
    rhythm_seed: str | None = None,
) -> tuple[Line, ...]:
    """Return what ``write_lines`` does, or fewer lines where there are no more, perhaps none.

    With the same ``rhythm_seed`` lines over chords of the same lengths have the same rhythm where
    they can: so one answers another.

    >>> from theorykit.tunes.progression import two_five_one
    >>> lines_found(two_five_one("C"), "b9", wishes=Wishes(landing="b3"))
    ()
    """
    row = None if colour is None else colour_named(colour)
    asked = wishes if wishes is not None else Wishes()
    _check(progression, count, seed, asked)
    own = _own_seed(progression, row, seed)
    timing = Random(f"rhythm {own}" if rhythm_seed is None else f"rhythm {rhythm_seed}")
    return tuple(_Desk(progression, row, asked, Random(own), timing).lines(count))


def _own_seed(progression: Progression, row: Colour | None, seed: int) -> str:
    """Return the seed for these chords: other chords have other rhythms."""
    return f"{seed} {progression.key} {progression} {row}"


def _check(progression: object, count: object, seed: object, wishes: object) -> None:
    """Refuse what cannot be worked with."""
    if not isinstance(progression, Progression):
        raise TheoryError(
            f"not a progression: {shown(progression)} (want one such as two_five_one('C'))"
        )
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
    """What is on the writer's desk: the chords, the wishes, the notes needed over each chord."""

    def __init__(
        self,
        progression: Progression,
        row: Colour | None,
        wishes: Wishes,
        rng: Random,
        timing: Random,
    ) -> None:
        self.progression = progression
        self.row = row
        self.wishes = wishes
        self.rng = rng
        self.timing = timing  # draws rhythms
        self.sparse = wishes.density == DENSITIES[-1]
        self.chords = palettes(progression, row, sparse=self.sparse)
        self.needed = [_needed(chord, wishes) for chord in self.chords]
        self.names = [[single_names(own) for own in chord.names] for chord in self.chords]
        self.strict = STRICT

    def lines(self, count: int) -> list[Line]:
        """Return as many lines as are asked for, or as many as are found with patience.

        Lines that trip the eye wait; the best one is taken where none comes that does not. Where
        that happened one waits less for the next line: some colours cannot do without.
        """
        found: list[Line] = []
        waiting: list[tuple[int, Line]] = []
        patience = PATIENCE[self.wishes.manner] if self.chords else 0
        written = since = 0  # lines and handfuls since one was taken
        for number in range(LAST * count * patience):
            line = self.drawn(found, wide=2 * number > count * patience)
            if line is not None:
                waiting.append((self.faults(line), line))
            written, since = written + (line is not None), since + 1
            best = min(waiting, key=itemgetter(0), default=None)
            soon = written >= self.strict or SOONER * since >= patience
            if best is not None and (not best[0] or (best[0] < GRAVE and soon) or since >= LONG):
                found.append(best[1])
                waiting = [one for one in waiting if _differ(one[1], best[1])]
                self.strict = 1 if best[0] else STRICT
                written = since = 0
            if len(found) == count:
                break
        return found

    def drawn(self, others: Sequence[Line], *, wide: bool) -> Line | None:
        """Return the best of a handful over a new rhythm, if it is unlike the others."""
        edges = self.progression.bar_starts
        timing, needed = self.timing, self.needed
        rhythm = draw_rhythm(self.chords, self.wishes, timing, needed=needed, edges=edges)
        if rhythm is None:
            return None
        places = places_of(
            self.progression,
            self.chords,
            rhythm,
            self.wishes,
            window=self.window(wide),
            guides=self.guides(rhythm),
        )
        lattice = Lattice(places)
        return None if lattice.is_empty else self.best(rhythm, places, lattice, others)

    def window(self, wide: bool) -> tuple[int, int]:
        """Return the lowest and highest note of one line, inside the range that is wished for."""
        low, high = self.wishes.compass
        spans = SPANS if len(self.progression.bars) <= SHORT_FORM else SPANS[WIDE_SPANS:]
        span = self.wishes.span or (high - low if wide else self.rng.choice(spans))
        if span >= high - low:
            return low, high
        asked = [a.midi for a in (self.wishes.start, self.wishes.landing) if isinstance(a, Pitch)]
        least = max([low, *(midi - span for midi in asked)])
        most = min([max(low, min(high - span, easy_middle(self.wishes) - span // 2)), *asked])
        if least > most:
            return low, high
        place = (self.rng.random() + self.rng.random()) / 2  # the middle lies best under the hands
        bottom = least + round(place * (most - least))
        return bottom, bottom + span

    def guides(self, rhythm: Rhythm) -> frozenset[int]:
        """Return at which notes of a rhythm the 3rd or 7th of each dominant is to be heard."""
        starts = places_in_bars(self.progression, [onset.start for onset in rhythm])
        found = set()
        for place, chord in enumerate(self.chords):
            over = [at for at, onset in enumerate(rhythm) if onset.chord == place]
            room = chord.needs_guide or len(over) > len(chord.hallmarks)
            if not (over and room and is_heard_out(chord)):
                continue
            brief = chord.placed.beats < STRONG
            strong = [at for at in over if brief or beat_strength(*starts[at]) >= HALF_BAR]
            late = [at for at in strong if at != over[0]]
            found.add(over[0] if not late or self.rng.random() < AT_ONCE else self.rng.choice(late))
        return frozenset(found)

    def best(
        self, rhythm: Rhythm, places: Sequence[Place], lattice: Lattice, others: Sequence[Line]
    ) -> Line | None:
        """Return the best line of a handful that keeps the rules and is unlike the others.

        Of the first few the one that is read, or sung, most easily is taken.
        """
        handful = {lattice.draw(self.rng): None for _ in range(HANDFUL)}  # each once, in order
        table = [self.names[place.chord] for place in places]
        edges = self.progression.bar_starts
        bars = [bisect_right(edges, onset.start) for onset in rhythm]
        found: list[tuple[int, int, Line]] = []

        def rank(midis: Sequence[int]) -> tuple[int, float]:
            names = [own[midi % 12][:1] for own, midi in zip(table, midis, strict=True)]
            likely = guessed_trips([one[0] if one else None for one in names], midis, bars)
            short = max(midis) - min(midis) < self.wishes.least_span
            plain = self.plain(bars, places, midis) + short
            leaps = sum(abs(b - a) >= FIFTH for a, b in pairwise(midis))
            return plain, whole_cost(places, midis) + LIKELY * likely + LEAPT * leaps

        for (plain, _), midis in sorted((rank(midis), midis) for midis in handful):
            line = self.written(rhythm, midis)
            if self.is_kept(line) and all(_differ(line, other) for other in others):
                named = line.spelled([own[m % 12] for own, m in zip(table, midis, strict=True)])
                found.append((plain, self.stumbles(named), named))
                if not found[-1][1] or len(found) == LEGIBLE[self.strict]:
                    break
        return min(found, key=itemgetter(0, 1))[2] if found else None

    def stumbles(self, line: Line) -> int:
        """Return how often a line looks like another, in concert and on the reader's page.

        Where it is sung, what a singer finds only after a while counts as well.
        """
        found = sum(misread(n.pitch for n in page.notes) for page in self.pages(line))
        found += WORSE * self.faults(line)
        return found + (strained(line.notes, self.chords) if self.wishes.manner == "sung" else 0)

    def pages(self, line: Line) -> tuple[Line, ...]:
        """Return a line as it is read: in concert, and on the page of its reader."""
        who = reader(self.wishes.reader)
        return (line,) if who.semitones % OCTAVE == 0 else (line, line.written_for(who))

    def faults(self, line: Line) -> int:
        """Return how often a line trips the eye, falls short of a wish, or says its landing before.

        A sung one is written plainly over V besides.
        """
        pages, before = self.pages(line), self.before(line)
        found = sum(map(trips, pages)) + self.falls_short(line)
        found += any(a.pitch == b.pitch for a, b in pairwise(before[-2:]))
        if self.wishes.chromatic == AMOUNTS[0]:
            found += sum(changes_form(page.notes) for page in pages)
        if self.wishes.chromatic == AMOUNTS[-1]:
            found += GRAVE * self.lacking(kinds_over(line.notes, self.chords))
        if self.wishes.manner == "sung":
            found += sum(map(strange_to_sing, map(self.before, pages)))
            found += GRAVE * sum(stops_a_singer(page.notes) for page in pages)
        return found

    def before(self, line: Line) -> Sequence[TimedNote]:
        """Return the notes over the last dominant that goes on, and the one on which it lands."""
        v = next((one.placed for one in reversed(self.chords) if one.resolves), None)
        if v is None:
            return ()
        after = [note for note in line.notes if note.start >= v.end]
        return (*(n for n in line.notes if v.start <= n.start < v.end), *after[:1])

    def falls_short(self, line: Line) -> bool:
        """Tell whether a line stays inside a narrower reach than the one asked for."""
        midis = [note.pitch.midi for note in line.notes]
        low, high = self.wishes.compass
        return max(midis) - min(midis) < min(self.wishes.least_span, high - low)

    def lacking(self, kinds: Sequence[int]) -> int:
        """Return how many chromatic notes a line has too few, where many are asked for."""
        least = MANY + (len(self.progression.bars) > TWO_BARS)
        return max(0, least - kinds.count(CHROMATIC))

    def plain(self, bars: Sequence[int], places: Sequence[Place], midis: Sequence[int]) -> int:
        """Return what many chromatic notes lack, if asked for: notes, bars before the landing."""
        if self.wishes.chromatic != AMOUNTS[-1]:
            return 0
        landing = len(self.chords) - 1
        kinds: dict[int, list[int]] = {}
        all_kinds = [p.palette.kinds[midi % 12] for p, midi in zip(places, midis, strict=True)]
        for bar, place, kind in zip(bars, places, all_kinds, strict=True):
            if bar and place.chord < landing:
                kinds.setdefault(bar, []).append(kind)
        bare = sum(len(k) >= ROOMY and CHROMATIC not in k for k in kinds.values())
        return bare + self.lacking(all_kinds)

    def is_kept(self, line: Line) -> bool:
        """Tell whether a line keeps the rules; one that is sung is easy to sing besides."""
        sung = self.wishes.manner == "sung"
        asked = self.wishes.landing is not None or self.wishes.ends in BARE
        home = len(self.chords) < 2 or asked or comes_home(line.notes, *self.chords[-2:])
        easy = not sung or not hard_to_sing(line.notes, self.chords)
        return (
            home and easy and keeps_rules(line, self.row, self.wishes.compass, sparse=self.sparse)
        )

    def written(self, rhythm: Rhythm, midis: Sequence[int]) -> Line:
        """Return a line out of its numbers, by any names."""
        notes = (
            TimedNote(Pitch.numbered(enharmonics(midi % 12)[0], midi), onset.start, onset.beats)
            for midi, onset in zip(midis, rhythm, strict=True)
        )
        return Line(self.progression, tuple(notes))


def _needed(chord: ChordPalette, wishes: Wishes) -> int:
    """Return how many notes a chord needs: its colour, and its 3rd or 7th where there is room."""
    heard = is_heard_out(chord) and not (chord.needs_guide and wishes.manner == "played")
    return len(chord.hallmarks) + (heard and len(chord.hallmarks) < room_over(chord, wishes))


def _differ(line: Line, other: Line) -> bool:
    """Tell whether two lines are more than variants of each other."""
    mine, theirs = ({(n.start, n.pitch.midi) for n in one.notes} for one in (line, other))
    pairs = ((mine, theirs), (theirs, mine))
    return all(len(one - two) * DIFFERENT >= len(one) for one, two in pairs)


def _why_not(
    progression: Progression, row: Colour | None, wishes: Wishes, seed: str, had: int, count: int
) -> str:
    """Say which wish stands in the way: one without which there are lines enough."""
    for chord in palettes(progression, row, sparse=wishes.density == DENSITIES[-1]):
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
        desk = _Desk(progression, row, without, Random(seed), Random(f"rhythm {seed}"))
        if len(desk.lines(count)) == count:
            return (
                f"{what} to the wishes: {words} stands in the way (without it there are lines "
                "enough)"
            )
    said = ", ".join(words for words, _ in wishes.asked)
    return f"{what} to the wishes: {said} leave no way together (want fewer of them)"
