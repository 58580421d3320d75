"""Functions: the role, the target and the words for every chord of a tune."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import expect
from theorykit.notes.chord import Chord
from theorykit.notes.degree import plain_root
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.notes.values import Value
from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.chord_jobs import (
    AT_REST,
    BACK_DOOR,
    BORROWED,
    COMMON_TONE,
    II_OF,
    LEADING_NOTE,
    LINE,
    OVER_PEDAL,
    PASSING,
    SILENCE,
    TONIC,
    TRITONE_OF,
    V_OF,
)
from theorykit.tunes.cadences.goals import spelled_key
from theorykit.tunes.cadences.played_jobs import PlayedJob, played_jobs
from theorykit.tunes.charts import Chart, PlayedChord
from theorykit.tunes.families import HALF, MINOR, MINOR_7
from theorykit.tunes.home_key import key_of_state

_NONE = -1
# The numerals of roots by half steps above the tonic (common practice).
_NUMERALS = "I ♭II II ♭III III IV ♯IV V ♭VI VI ♭VII VII".split()
_SMALL = frozenset((MINOR, MINOR_7, HALF))


class JobWords:
    """The sentences about the chords of one tune."""

    def __init__(self, found: Analysis) -> None:
        self.found = found
        self.keys: dict[int, Key] = {}

    def sentence(self, index: int, one: PlayedJob) -> str:
        """Return what a chord does."""
        chord = self.found.chart.played[index].chord
        role = one.job.role
        if role == SILENCE:
            return "No chord is played."
        if one.span == _NONE:
            return self.six_four(chord.pretty, one.job.target)
        name = chord.pretty
        if one.job.target != _NONE:
            return self.leading(name, one)
        return self.standing(name, index, one)

    def six_four(self, name: str, target: int) -> str:
        """Speak of I over the fifth."""
        return f"{name} is the I over its fifth and only delays {self.found.name(target)}."

    def leading(self, name: str, one: PlayedJob) -> str:
        """Speak of a chord that leads to another."""
        target = self.found.name(one.job.target)
        lead = {
            II_OF: f"{name} is the ii of {target}",
            V_OF: f"{name} is the V of {target}",
            TRITONE_OF: f"{name} is the tritone substitute for the V of {target}",
            BACK_DOOR: f"{name} leads to {target} by the back door",
            PASSING: f"{name} passes to {target}",
            LEADING_NOTE: f"{name} leads up to {target} from its leading note",
            COMMON_TONE: f"{name} keeps a note of {target} and goes back to it",
        }.get(one.job.role, name)
        return f"{lead}{self.stand_in(one)}{self.delay(one)}."

    def stand_in(self, one: PlayedJob) -> str:
        """Say so where a V is led to a chord that stands for its I."""
        steps = self.found.up(one.span, one.job.target)
        deceives = one.job.role == V_OF and steps not in (5, 11)
        return ", which stands for its I" if deceives else ""

    def delay(self, one: PlayedJob) -> str:
        """Name what comes between a chord and the one that it leads to."""
        following = self.found.after(one.span)
        if following == one.job.target:
            return ""
        names = self.found.name(following)
        if self.found.moves.ii[one.job.target] == following:
            return f"; its ii, {names}, comes first"
        return f"; what begins with {names} in between only delays it"

    def standing(self, name: str, index: int, one: PlayedJob) -> str:
        """Speak of a chord that leads to none."""
        numeral, key = self.numeral(one.span), self.key(one.span).pretty
        bass = self.found.chart.played[index].chord.bass
        pedal = bass.pretty if bass is not None else ""
        return {
            TONIC: f"{name} is {numeral} of {key}{self.place(numeral, one.span)}.",
            AT_REST: f"{name} is {numeral}7 of {key}, a dominant seventh at rest.",
            BORROWED: f"{name} is {numeral} of {key}, borrowed from another mode.",
            OVER_PEDAL: f"{name} stands over a held {pedal} and does not move it.",
            LINE: f"{name} belongs to a line that moves while the chord stays.",
            BACK_DOOR: f"{name} is ♭VII7 of {key}, the back door; no I follows.",
            TRITONE_OF: f"{name} is a tritone substitute in {key}; no I follows.",
            V_OF: f"{name} is the V of {self.fifth_below(one.span)}, which does not come.",
            II_OF: f"{name} is a ii.",
        }.get(one.job.role, f"{name} is {numeral} of {key}, a step away from home.")

    def place(self, numeral: str, span: int) -> str:
        """Say how a tonic chord stands to the key around it, and that key to the tune."""
        if numeral not in ("I", "i"):
            return " and stands for the I"
        is_home = self.found.path[span] == self.found.home
        return ", at home" if is_home else ", the key of these bars"

    def numeral(self, span: int) -> str:
        """Return the numeral of a span in the key around it, small for a minor chord."""
        one = self.found.spans[span]
        numeral = _NUMERALS[(one.root - self.found.path[span]) % 12]
        return numeral.lower() if one.family in _SMALL else numeral

    def key(self, span: int) -> Key:
        """Return the key around a span, spelled as the tune spells it."""
        state = self.found.path[span]
        if state == self.found.home:
            return self.found.chart.key
        if state not in self.keys:
            notes = [one.note for one in self.found.spans if one.root == state % 12]
            plain = key_of_state(state)
            self.keys[state] = spelled_key(notes[0], plain.mode) if notes else plain
        return self.keys[state]

    def fifth_below(self, span: int) -> str:
        """Return the name of the note that a V would fall to."""
        note = self.found.spans[span].note
        place = note.fifths - 1
        return plain_root(Note.from_fifths(place)).pretty


@dataclass(frozen=True, slots=True, repr=False)
class Function(Value):
    """The job of one chord as played.

    ``index`` is its place in ``Chart.played`` and ``chord`` its symbol. ``role`` is one of
    ``ROLES``. ``target`` is the played chord that it leads to, None where it leads to none, and
    ``leads_to`` the index of that; a chord that is held counts by its first index. ``words`` is a
    sentence with the signs ♭ and ♯.

    >>> found = functions(Chart.of("Db", "Ebm7", "Ab7", "Dbmaj7"))
    >>> [(str(one.chord), one.role, one.leads_to) for one in found]
    [('Ebm7', 'the ii of', 1), ('Ab7', 'the V of', 2), ('Dbmaj7', 'tonic', None)]
    >>> found[1].words
    'A♭7 is the V of D♭maj7.'
    """

    index: int
    chord: Chord
    role: str
    target: PlayedChord | None
    leads_to: int | None
    words: str

    def __post_init__(self) -> None:
        """Refuse what is no job of a chord."""
        expect(self.chord, Chord, "a chord", "a Chord, or use functions")
        if self.target is not None:
            expect(self.target, PlayedChord, "a played chord", "one of Chart.played")

    def __str__(self) -> str:
        return f"{self.chord}: {self.role}{f' {self.target.chord}' if self.target else ''}"


def functions(chart: Chart | str) -> tuple[Function, ...]:
    """Return the job of every chord of a chart as it is played, or of a typed one.

    >>> for f in functions(Chart.of("C", "C6", "Am7 D7", "Dm7 G7", "C6", "Bb7")):
    ...     print(f.chord, "-", f.role, f.target.chord if f.target else "-")
    C6 - tonic -
    Am7 - the ii of D7
    D7 - the V of G7
    Dm7 - the ii of G7
    G7 - the V of C6
    C6 - tonic -
    Bb7 - backdoor C6
    """
    found = Analysis(chart if isinstance(chart, Chart) else Chart.parse(chart))
    words = JobWords(found)
    told = []
    for index, one in enumerate(played_jobs(found)):
        place = found.first(one.job.target)
        target = None if place is None else found.chart.played[place]
        chord = found.chart.played[index].chord
        told.append(Function(index, chord, one.job.role, target, place, words.sentence(index, one)))
    return tuple(told)
