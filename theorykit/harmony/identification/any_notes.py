"""Identification: any notes over any chord, named from every side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import expect, expect_all
from theorykit.harmony.chord_families import heard
from theorykit.harmony.counts import Evidence, evidence, going_of
from theorykit.harmony.identification.brought_notes import (
    ColourMatch,
    Sounds,
    Suggestion,
    match_colours,
    read_sounds,
    suggest,
)
from theorykit.harmony.identification.everyday_scales import everyday_scales, is_hard_clash
from theorykit.harmony.identification.identify_words import (
    bass_words,
    clash_words,
    colour_words,
    degree_words,
    evidence_words,
    move_words,
    scale_words,
    shape_words,
    suggestion_words,
    tension_words,
)
from theorykit.harmony.resolution import Resolution, resolve
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcuts import Shortcut, once_each, shortcuts
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
from theorykit.notes.values import Value

COMPACT = ("triad", "seventh")
MOST_SHAPES, MOST_SCALES = 3, 3  # that hold the notes without being just these
FEWEST_FOR_SCALES = 5  # notes that point to a scale by themselves; fewer belong to too many


@dataclass(frozen=True, slots=True, repr=False)
class Identification(Value):
    """Notes over a chord: what they are there, and what they belong to.

    ``shapes`` are those that are just these notes or, where ``is_shape`` is false, the smallest
    that hold them; ``colours`` are all colours, the nearest first; ``scales`` are the chord's own
    that hold the notes, the everyday one first, or, where ``scales_fit`` is false, those that the
    notes are in by themselves; ``resolution`` is None where neither a dominant nor a target tells
    where the notes go.

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
    scales_fit: bool
    suggestions: tuple[Suggestion, ...]
    resolution: Resolution | None
    counts: Evidence | None

    def __post_init__(self) -> None:
        """Refuse what is no reading of notes over a chord."""
        expect(self.sounds, Sounds, "sounds", "Sounds, or use identify")
        expect(self.over, Chord, "a chord", "a Chord, or use identify")
        for one in (self.shapes, self.scales):
            expect_all(one, Shortcut, "shapes", "Shortcuts, or use identify")
        expect_all(self.degrees, Degree, "degrees", "Degrees, or use identify")

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes as they were given, each sound once.

        >>> " ".join(str(note) for note in identify("F# A# F# C#", "E7").notes)
        'F# A# C#'
        """
        return self.sounds.notes

    @property
    def outside(self) -> tuple[Degree, ...]:
        """The degrees that the chord itself does not hold.

        >>> " ".join(str(degree) for degree in identify("D7", "Ab7").outside)
        '#11 b9'
        """
        return tuple(degree for degree in self.degrees if degree not in self.over.degrees)

    @property
    def exact(self) -> tuple[ColourMatch, ...]:
        """The colours whose tensions are just these.

        >>> [match.colour.name for match in identify("Bb D F", "Db7").exact]
        ['b9 13']
        """
        return tuple(match for match in self.colours if match.is_exact)

    @property
    def holding(self) -> tuple[ColourMatch, ...]:
        """The colours that hold all the notes, the exact ones among them.

        >>> [match.colour.name for match in identify("Bb", "Db7").holding]
        ['b9 13', 'b9 #11 13', '9 #11 13', 'suspended', 'lydian dominant', 'half-whole diminished']
        """
        return tuple(match for match in self.colours if match.holds)

    @property
    def clashes(self) -> tuple[tuple[Note, Degree, str], ...]:
        """The notes that rub over the chord, with their degree and the reason.

        In the notes of a suspended colour the 11 stands for the 3rd.

        >>> [(str(note), str(degree)) for note, degree, why in identify("C Gb", "Db7").clashes]
        [('C', '7'), ('Gb', '11')]
        """
        wish = self.exact[0].colour.degrees if self.exact else ()
        return tuple(
            (note, degree, why)
            for note, degree in zip(self.notes, self.degrees, strict=True)
            if (why := self._rub(degree, replaced=stands_for_third(degree, wish)))
        )

    def _rub(self, degree: Degree, *, replaced: bool) -> str:
        """Say why a degree rubs over the chord; the empty text if it does not."""
        over = self.heard
        sound = (self.over.root.semitone + degree.semitone - over.root.semitone) % 12
        return why_it_rubs(over, sound, self.target, replaced=replaced)

    @property
    def heard(self) -> Chord:
        """What the chord is heard as from its bass: F/G is a suspended dominant on G.

        >>> str(identify("A", "F/G").heard), str(identify("A", "F7").heard)
        ('G9sus4', 'F7')
        """
        return heard(self.over)

    @property
    def hard_clashes(self) -> tuple[Note, ...]:
        """The notes that rub and that no scale of the chord holds.

        >>> [[str(note) for note in identify(notes, "Cmaj7").hard_clashes] for notes in ("Db", "F")]
        [['Db'], []]
        """
        return tuple(note for note, _, _ in self.clashes if is_hard_clash(self.over, note))

    @property
    def sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The answer as headings, each with its sentences; empty ones are left out.

        >>> [heading for heading, sentences in identify("Eb Gb", "D7").sections][:3]
        ['over D7', 'the colour', 'the shape']
        """
        found = (
            (f"over {self.over.pretty}", self._place_words),
            ("the colour", self._colour_words),
            ("the shape", shape_words(self.shapes, self.is_shape, self.target)),
            ("the scales", scale_words(self.scales, self.over, self.scales_fit, self.degrees)),
            ("what it suggests", suggestion_words(self.suggestions)),
            ("what rubs", self._clash_words),
            ("where it goes", move_words(self.resolution, len(self.outside))),
            ("how often it was played", evidence_words(self.counts)),
        )
        return tuple((heading, texts) for heading, texts in found if texts)

    @property
    def _place_words(self) -> tuple[str, ...]:
        """What each note is, over the chord and over a foreign bass."""
        places = degree_words(self.sounds, self.over, self.degrees)
        return (*places, *bass_words(self.sounds, self.over, self.heard))

    @property
    def _colour_words(self) -> tuple[str, ...]:
        """Which colours the notes are, or which tensions of the chord."""
        rubbing = {degree for _, degree, _ in self.clashes}
        free = tuple(degree for degree in self.outside if degree not in rubbing)
        return (
            *colour_words(self.over, self.degrees, self.colours),
            *tension_words(self.over, self.heard, free),
        )

    @property
    def _clash_words(self) -> tuple[str, ...]:
        """What rubs, how hard, and where it may go."""
        return clash_words(self.clashes, self.hard_clashes, self.over, self.resolution)

    def __str__(self) -> str:
        return "\n".join(self.words)

    def _about(self) -> str:
        return f"of {self.sounds.name} over {self.over}: {' '.join(map(str, self.degrees))}"

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
    scales = everyday_scales(chord, sounds.notes, goal)
    return Identification(
        sounds,
        chord,
        goal,
        found,
        match_colours(found, chord.degrees) if dominant else (),
        exact or _compact(wider),
        bool(exact),
        scales[:MOST_SCALES] or _scales(wider, found),
        bool(scales),
        suggest(classes, chord, goal) if dominant and goal else (),
        resolve(chord, found, goal) if goal else None,
        _counts(chord, goal, found),
    )


def _exact_shapes(chord: Chord, target: Chord | None, places: list[int]) -> tuple[Shortcut, ...]:
    """Return the shapes that are just these notes: on the first note, on the chord's own root.

    Those on the other notes follow in their order.
    """
    goal, wanted = as_target(chord, target), frozenset(places)
    found = (
        Shortcut(chord, goal, row, place)
        for place in dict.fromkeys((*places[:1], *({0} & wanted), *places))
        for row in SHAPES
        if len(row.degrees) == len(wanted)
    )
    return _worth_naming([shape for shape in found if frozenset(shape.semitones) == wanted])


def _worth_naming(shapes: list[Shortcut]) -> tuple[Shortcut, ...]:
    """Return the names of one set of notes: of a scale the first, the plainest and the chord's own.

    The other modes of a scale, and the other roots of one that repeats itself, are no news.
    """
    first = shapes[:1]
    if not first or first[0].row.family != "scale":
        return tuple(shapes)
    kept = [] if first[0].row.repeats else [min(shapes, key=lambda one: one.row.plainness)]
    own = [one for one in shapes if one.place == 0]
    return tuple(dict.fromkeys((*first, *kept, *own)))


def _compact(found: tuple[Shortcut, ...]) -> tuple[Shortcut, ...]:
    """Return the best triads and seventh chords of a search."""
    single = (one for one in found if one.row.family in COMPACT and one.second is None)
    return tuple(one for one, _ in zip(single, range(MOST_SHAPES), strict=False))


def _scales(wider: tuple[Shortcut, ...], found: tuple[Degree, ...]) -> tuple[Shortcut, ...]:
    """Return the scales that notes are in by themselves, each set of notes once."""
    if len(found) < FEWEST_FOR_SCALES:
        return ()
    once = once_each(one for one in wider if one.row.family == "scale")
    return tuple(sorted(once, key=lambda one: one.row.plainness))[:MOST_SCALES]


def _counts(chord: Chord, target: Chord | None, found: tuple[Degree, ...]) -> Evidence | None:
    """Return how often a lone note was played, where that was counted."""
    if len(found) != 1 or target is None or not chord.kind.is_dominant:
        return None
    going = going_of(chord, target)
    return evidence(found[0], going) if going else None
