"""The written chords of a cadence: V with its ii and all its symbols, as the composer left them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import takewhile

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, plain_root
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.tunes.cadences import Dominant, cadences, dominants
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import HALF, heard, stands_on

_OF_MAJOR, _OF_MINOR = ChordKind.of("1 b3 5 b7"), ChordKind.of("1 b3 b5 b7")
FOURTH, FIFTH, NINTH = Degree(4), Degree(5), Degree(9)


@dataclass(frozen=True, slots=True)
class Written:
    """One dominant as it is written.

    ``ii`` is the chord of its cadence before it, None where there is none; ``symbols`` are the
    chords that make the dominant in its first bar, in order: ``C7sus4`` and ``C7``.
    """

    dominant: Dominant
    ii: Chord | None
    symbols: tuple[Chord, ...]

    @property
    def can_be_halved(self) -> bool:
        """True for a bar of ii and a bar of one V; a suspension with its release fills its own."""
        return self.dominant.is_long and len(self.symbols) == 1

    @property
    def half_diminished(self) -> ChordKind | None:
        """The kind of the ii a fourth below, if it is written half-diminished."""
        ii = self.ii
        if ii is None or heard(ii).family != HALF or ii.bass is not None:
            return None
        return ii.kind if self._is_a_fourth_below(ii) else None

    def _is_a_fourth_below(self, ii: Chord) -> bool:
        """Tell whether a chord stands where the ii of the dominant does."""
        return above(ii.root, FOURTH).semitone == self.dominant.chord.root.semitone

    @property
    def ii_kind(self) -> ChordKind:
        """The kind of ii that goes into the bar of V.

        A half-diminished ii stays as it is written. Else the target decides, unless V itself has
        the natural 9, which is the plain 5th of the ii.
        """
        one = self.dominant
        if self.half_diminished is not None:
            return self.half_diminished
        is_minor = one.mode == "minor" and not one.substitute
        return _OF_MINOR if is_minor and NINTH not in one.chord.degrees else _OF_MAJOR

    def with_own_ii(self, chords: tuple[Chord, ...]) -> tuple[Chord, ...]:
        """Return chords with the ii of the dominant among them as it is written."""
        kind, root = self.half_diminished, self.ii.root.semitone if self.ii else None
        return tuple(
            replace(chord, kind=kind)
            if kind is not None and chord.kind == _OF_MAJOR and chord.root.semitone == root
            else chord
            for chord in chords
        )


def written_dominants(chart: Chart) -> Iterator[Written]:
    """Return the dominants of a chart that move, each as it is written, in the order of the page.

    >>> chart = Chart.of("Eb", "Fm7b5", "Bb7sus4 Bb7", "Ebmaj7", "%")
    >>> [(str(one.ii), [str(chord) for chord in one.symbols]) for one in written_dominants(chart)]
    [('Fm7b5', ['Bb7sus4', 'Bb7'])]
    """
    told = cadences(chart)
    for one in dominants(chart):
        places = [told[number].ii for number in one.cadences]
        ii = next((chart.played[place].chord for place in places if place is not None), None)
        yield Written(one, ii, _symbols(chart, one))


def _symbols(chart: Chart, one: Dominant) -> tuple[Chord, ...]:
    """Return the chords of a dominant in its first bar, a repeated one told once."""
    bar, root = chart.played[one.v].bar, one.chord.root.semitone
    here = (place.chord for place in chart.played[one.v :] if place.bar == bar)
    return tuple(dict.fromkeys(takewhile(lambda chord: stands_on(chord, root), here)))


def related_pair(written: Written, key: Key) -> tuple[Chord, Chord]:
    """Return the ii a fourth below a dominant, and the dominant beside it.

    They are Dm7 or Dm7b5 for G7. A ii that the chart writes before the dominant keeps its name, and
    the dominant with it. Where the chart writes the ii by another name than the dominant asks for,
    and that one is awkward and the key of the page does not hold it, both are written by their
    plain name: Fm7b5 Bb7 for Fm7b5 and A#7 in B major.
    """
    v = written.dominant.chord
    wish = above(v.root, FIFTH)
    ii = Chord(plain_root(wish), written.ii_kind)
    is_written = written.ii is not None and written.ii.root == wish
    ii = replace(ii, root=wish if is_written else ii.readable_root(wish, key.chord_notes))
    if ii.root == wish:
        return ii, v
    return ii, v.transposed(v.root, plain_root(above(ii.root, FOURTH)))
