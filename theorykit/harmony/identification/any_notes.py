"""Identification: any notes over any chord, named from every side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.harmony.counts import Evidence, evidence, going_of
from theorykit.harmony.identification.brought_notes import (
    ColourMatch,
    Sounds,
    Suggestion,
    match_colours,
    read_sounds,
    suggest,
)
from theorykit.harmony.identification.identify_words import (
    clash_words,
    colour_words,
    degree_words,
    evidence_words,
    move_words,
    scale_words,
    shape_words,
    suggestion_words,
)
from theorykit.harmony.resolution import Resolution, resolve
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcuts import Shortcut, shortcuts
from theorykit.harmony.tensions import (
    as_chord,
    as_target,
    degrees_over,
    stands_for_third,
    why_it_rubs,
)
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.notes.scales import Scale

COMPACT = ("triad", "seventh")
MOST_SHAPES, MOST_SCALES = 3, 3  # that hold the notes without being just these
FIFTH, SEVEN = Degree(5), 7
BEBOP = " bebop dominant"


@dataclass(frozen=True, slots=True)
class Identification:
    """Notes over a chord: what they are there, and what they belong to.

    ``shapes`` are those that are just these notes or, where ``is_shape`` is false, the smallest
    that hold them; ``colours`` are all colours, the nearest first; ``resolution`` is None where
    neither a dominant nor a target tells where the notes go.

    >>> found = identify("Bmaj7", "G7")
    >>> [str(degree) for degree in found.degrees], found.exact[0].colour.name
    (['3', 'b13', '7', '#9'], 'its related ii')
    >>> [str(one.chord) for one in found.suggestions]
    ['Bmaj7', 'Abm7']
    """

    sounds: Sounds
    over: Chord
    target: Chord | None
    degrees: tuple[Degree, ...]
    colours: tuple[ColourMatch, ...]
    shapes: tuple[Shortcut, ...]
    is_shape: bool
    scales: tuple[Shortcut, ...]
    suggestions: tuple[Suggestion, ...]
    resolution: Resolution | None
    counts: Evidence | None

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes as they were given, each sound once."""
        return self.sounds.notes

    @property
    def outside(self) -> tuple[Degree, ...]:
        """The degrees that the chord itself does not hold."""
        return tuple(degree for degree in self.degrees if degree not in self.over.degrees)

    @property
    def exact(self) -> tuple[ColourMatch, ...]:
        """The colours whose tensions are just these."""
        return tuple(match for match in self.colours if match.is_exact)

    @property
    def holding(self) -> tuple[ColourMatch, ...]:
        """The colours that hold all the notes, the exact ones among them."""
        return tuple(match for match in self.colours if match.holds)

    @property
    def clashes(self) -> tuple[tuple[Note, Degree, str], ...]:
        """The notes that rub over the chord, with their degree and the reason.

        In the notes of a suspended colour the 11 stands for the 3rd.
        """
        wish = self.exact[0].colour.degrees if self.exact else ()
        return tuple(
            (note, degree, why)
            for note, degree in zip(self.notes, self.degrees, strict=True)
            if (why := self._rub(degree, replaced=stands_for_third(degree, wish)))
        )

    def _rub(self, degree: Degree, *, replaced: bool) -> str:
        """Say why a degree rubs over the chord; the empty text if it does not."""
        return why_it_rubs(self.over, degree.semitone, self.target, replaced=replaced)

    @property
    def scales_fit(self) -> bool:
        """True where the scales hold the frame of the chord too: its root, 3rd and 7th."""
        frame = {degree.semitone for degree in frame_of(self.over)}
        return all(frame <= set(scale.semitones) for scale in self.scales)

    @property
    def sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The answer as headings, each with its sentences; empty ones are left out."""
        found = (
            (f"over {self.over.pretty}", degree_words(self.sounds, self.over, self.degrees)),
            ("the colour", colour_words(self.over, self.degrees, self.colours)),
            ("the shape", shape_words(self.shapes, self.is_shape, self.target)),
            ("the scales", scale_words(self.scales, self.over, self.scales_fit)),
            ("what it suggests", suggestion_words(self.suggestions)),
            ("what rubs", clash_words(self.clashes, self.over, self.resolution)),
            ("where it goes", move_words(self.resolution, len(self.outside))),
            ("how often it was played", evidence_words(self.counts)),
        )
        return tuple((heading, texts) for heading, texts in found if texts)

    def __str__(self) -> str:
        return "\n".join(self.words)

    @property
    def words(self) -> tuple[str, ...]:
        """The answer, one sentence after the other.

        >>> identify("E G# B", "G7").words[:2]
        ('Over G7, E is the 13, G♯ is the ♭9 (A♭) and B is the 3.', \
'These are the tensions of the colour ♭9 13.')
        """
        return tuple(text for _, texts in self.sections for text in texts)


def identify(
    notes_or_chord: Chord | Scale | str | Iterable[Note | str],
    over: Chord | str,
    target: Chord | Key | str | None = None,
) -> Identification:
    """Return what notes are over a chord, and what they belong to.

    ``notes_or_chord`` is a chord, a scale, notes, or text: ``"E G# B"``, ``"Bmaj7"``; one letter
    alone is a note, ``"Emaj"`` the triad. ``over`` is always asked for: notes have degrees and
    colours only over a chord. ``target`` is what the chord goes to, as in ``resolve``.

    >>> identify("Ab", "G7").words[1]
    'This is the tension of the colour ♭9.'
    >>> identify("", "G7")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no notes (want notes such as 'E G# B', or one chord such as 'E7')
    """
    sounds = read_sounds(notes_or_chord)
    chord = as_chord(over)
    found = degrees_over(chord, sounds.notes)
    dominant = chord.kind.is_dominant
    goal = as_target(chord, target) if dominant or target is not None else None
    classes = frozenset(note.semitone for note in sounds.notes)
    exact = _exact_shapes(chord, goal, [degree.semitone for degree in found])
    wider = shortcuts(chord, found, goal)
    return Identification(
        sounds,
        chord,
        goal,
        found,
        match_colours(found) if dominant else (),
        exact or _compact(wider),
        bool(exact),
        _scales(wider, chord),
        suggest(classes, chord, goal) if dominant and goal else (),
        resolve(chord, found, goal) if goal else None,
        _counts(chord, goal, found),
    )


def _exact_shapes(chord: Chord, target: Chord | None, places: list[int]) -> tuple[Shortcut, ...]:
    """Return the shapes that are just these notes, those on the first note in front."""
    goal, wanted = as_target(chord, target), frozenset(places)
    found = (
        Shortcut(chord, goal, row, place)
        for place in places
        for row in SHAPES
        if len(row.degrees) == len(wanted)
    )
    return tuple(shape for shape in found if frozenset(shape.semitones) == wanted)


def _compact(found: tuple[Shortcut, ...]) -> tuple[Shortcut, ...]:
    """Return the best triads and seventh chords of a search."""
    single = (one for one in found if one.row.family in COMPACT and one.second is None)
    return tuple(one for one, _ in zip(single, range(MOST_SHAPES), strict=False))


def _scales(found: tuple[Shortcut, ...], chord: Chord) -> tuple[Shortcut, ...]:
    """Return the best scales of a search, each set of notes once; those with the chord's frame.

    A bebop scale belongs to the chord on its own root: its passing note leads nowhere else.
    """
    by_sound: dict[frozenset[int], Shortcut] = {}
    for one in found:
        elsewhere = one.row.suffix == BEBOP and one.place != 0
        if one.row.family == "scale" and not elsewhere:
            by_sound.setdefault(frozenset(one.semitones), one)
    frame = {degree.semitone for degree in frame_of(chord)}
    fitting = [one for sound, one in by_sound.items() if frame <= sound]
    return tuple(fitting or by_sound.values())[:MOST_SCALES]


def frame_of(chord: Chord) -> tuple[Degree, ...]:
    """Return what a scale must hold to be a scale of a chord: all but a plain 5 and tensions.

    >>> [str(degree) for degree in frame_of(Chord.parse("G13"))]
    ['1', '3', 'b7']
    """
    return tuple(d for d in chord.degrees if d.number <= SEVEN and d != FIFTH)


def _counts(chord: Chord, target: Chord | None, found: tuple[Degree, ...]) -> Evidence | None:
    """Return how often a lone note was played, where that was counted."""
    if len(found) != 1 or target is None or not chord.kind.is_dominant:
        return None
    going = going_of(chord, target)
    return evidence(found[0], going) if going else None
