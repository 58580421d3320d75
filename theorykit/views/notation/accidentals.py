"""Written bars: their notes with accidentals and beams."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.pitch import Pitch
from theorykit.views.notation.note_values import NoteValue
from theorykit.views.staves import PLAIN_BAR, BarMark

TIES = ("", "start", "continue", "stop")
# Whether an accidental stands before the note: no, yes, or as a courtesy in brackets.
ACCIDENTALS = ("", "shown", "courtesy")
# What one beam does at a note; the hooks are short ends of beams.
BEAMS = ("start", "continue", "stop", "hook right", "hook left")


@dataclass(frozen=True, slots=True)
class Triplet:
    """A note's place in a triplet: the value of which three stand for two, and where it is."""

    normal: str
    opens: bool = False
    closes: bool = False
    bracket: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """One written note, or a rest where ``pitch`` is None.

    ``start`` is counted in beats from the beginning of its bar; ``beams`` says for the first,
    second and further beams what each does here, as one of ``BEAMS``.
    """

    pitch: Pitch | None
    start: Fraction
    beats: Fraction
    value: NoteValue
    triplet: Triplet | None = None
    tie: str = ""
    accidental: str = ""
    beams: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    mark: str = ""
    fills_bar: bool = False

    @property
    def end(self) -> Fraction:
        """The beat of the bar on which the note ends."""
        return self.start + self.beats


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One written bar; ``number`` is 0 for a pickup.

    ``time`` is the time signature that measures the bar, ``chords`` the symbols with their beats
    from the beginning of the bar, ``mark`` what stands at its lines.
    """

    number: int
    beats: Fraction
    time: tuple[int, int]
    notes: tuple[Written, ...]
    chords: tuple[tuple[Fraction, Chord], ...] = ()
    mark: BarMark = PLAIN_BAR


def with_accidentals(bars: Iterable[Sequence[Written]], key: Key) -> list[list[Written]]:
    """Return the notes of each bar with their accidentals decided.

    An accidental is printed where the sign in force for that line or space says otherwise. It
    stands in brackets, as a courtesy, where the same letter was altered in another octave of this
    bar or anywhere in the bar before (common practice). A tied note repeats nothing.
    """
    signature = {note.letter: note.alteration for note in key.notes}
    before: dict[str, int] = {}
    done = []
    for bar in bars:
        page = _Bar(signature, before)
        done.append([page.placed(note) for note in bar])
        before = page.letters
    return done


class _Bar:
    """The signs in force in one bar."""

    def __init__(self, signature: dict[str, int], before: dict[str, int]) -> None:
        self.signature = signature
        self.doubtful = before  # what the eye may still remember from the bar before
        self.places: dict[tuple[str, int], int] = {}
        self.letters: dict[str, int] = {}

    def placed(self, note: Written) -> Written:
        """Return a note with its accidental, and remember it."""
        if note.pitch is None or note.tie in ("continue", "stop"):
            return note
        kind = self.kind(note.pitch)
        name = note.pitch.note
        self.places[name.letter, note.pitch.octave] = name.alteration
        self.letters[name.letter] = name.alteration
        self.doubtful = {k: v for k, v in self.doubtful.items() if k != name.letter}
        return replace(note, accidental=kind) if kind != note.accidental else note

    def kind(self, pitch: Pitch) -> str:
        """Return whether the accidental is needed, a courtesy, or neither."""
        letter, alteration = pitch.note.letter, pitch.note.alteration
        usual = self.signature[letter]
        if self.places.get((letter, pitch.octave), usual) != alteration:
            return "shown"
        if (letter, pitch.octave) in self.places:
            return ""
        recent = self.letters.get(letter, self.doubtful.get(letter, usual))
        return "courtesy" if recent != alteration else ""


def with_beams(notes: Sequence[Written], pulse: Fraction, pair: Fraction) -> list[Written]:
    """Return the notes of a bar with their beams.

    ``pulse`` is the length of a beat and ``pair`` that of the stretch in which plain eighths are
    joined: two beats in 4/4, so that the middle of the bar stays visible (common practice). Rests
    and longer notes end a beam.
    """
    joined: list[Written] = []
    for stretch in _runs(notes, pair):
        if any(note.value.flags > 1 or _is_short_triplet(note, pulse) for note in stretch):
            for run in _runs(stretch, pulse):
                joined += _beamed(run)
        else:
            joined += _beamed(stretch)
    return joined


def _is_short_triplet(note: Written, pulse: Fraction) -> bool:
    """Tell whether a note belongs to a triplet inside one beat."""
    return note.triplet is not None and note.triplet.normal not in ("quarter", "half")


def _runs(notes: Sequence[Written], length: Fraction) -> Iterator[list[Written]]:
    """Cut notes into stretches that can be joined, and those that stand alone."""
    run: list[Written] = []
    for note in notes:
        can_join = note.pitch is not None and note.value.flags > 0
        if run and not (can_join and _joins(run[-1], note, length)):
            yield run
            run = []
        run.append(note)
    if run:
        yield run


def _joins(before: Written, note: Written, length: Fraction) -> bool:
    """Tell whether a note stands in the same stretch as the beamed note before it."""
    same = before.start // length == note.start // length
    return same and before.pitch is not None and before.value.flags > 0


def _beamed(run: list[Written]) -> list[Written]:
    """Join the notes of one stretch."""
    if len(run) < 2:
        return run
    flags = [note.value.flags for note in run]
    return [
        replace(note, beams=tuple(_beam(flags, place, level + 1) for level in range(flags[place])))
        for place, note in enumerate(run)
    ]


def _beam(flags: list[int], place: int, level: int) -> str:
    """Return what the beam of one level does at one note."""
    left = place > 0 and flags[place - 1] >= level
    right = place + 1 < len(flags) and flags[place + 1] >= level
    if left:
        return "continue" if right else "stop"
    if right:
        return "start"
    return "hook right" if place == 0 else "hook left"
