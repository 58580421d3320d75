"""Marks and chord symbols as MusicXML: repeats, endings, section letters, jumps, harmony.

The element says the chord twice: in ``text``, as we print it, and as a kind with degrees that are
added, altered or left out. Source of the kinds and of how degrees count: MusicXML 4.0, the
documentation of ``kind-value``, ``degree-type`` and ``degree-alter``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from xml.etree.ElementTree import Element, SubElement

from theorykit.lines.band import written_swing
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.note import Note
from theorykit.tunes.bars import JumpMark, Metre, jump_mark
from theorykit.views.staves import BarMark

EIGHTH = 8  # the lower number of a time signature in eighths
DOTTED = 1.5  # quarters of a dotted one
TWICE = 2  # what a repeat sign alone means


def opening_marks(mark: BarMark) -> Iterator[Element]:
    """Return the bar line before a bar, if it is more than a line.

    >>> [element.find("repeat").get("direction") for element in opening_marks(BarMark(opens=True))]
    ['forward']
    """
    if not (mark.opens or mark.ending):
        return
    line = Element("barline", location="left")
    if mark.opens:
        SubElement(line, "bar-style").text = "heavy-light"
    if mark.ending:
        _ending(line, mark.ending, "start").text = "".join(f"{n}." for n in mark.ending)
    if mark.opens:
        SubElement(line, "repeat", direction="forward")
    yield line


def closing_marks(mark: BarMark) -> Iterator[Element]:
    """Return the bar line after a bar, if it is more than a line."""
    if not (mark.closes or mark.ending_ends):
        return
    line = Element("barline", location="right")
    if mark.closes:
        SubElement(line, "bar-style").text = "light-heavy"
    if mark.ending_ends:
        _ending(line, mark.ending_under, mark.ending_ends)
    if mark.closes:
        times = {"times": str(mark.closes)} if mark.closes > TWICE else {}
        SubElement(line, "repeat", {"direction": "backward", **times})
    yield line


def _ending(line: Element, numbers: tuple[int, ...], what: str) -> Element:
    """Add the bracket of an ending to a bar line."""
    said = ", ".join(map(str, numbers))
    return SubElement(line, "ending", {"number": said, "type": what})


def section_mark(mark: BarMark) -> Iterator[Element]:
    """Return the letter or name of a section as a rehearsal mark over the bar.

    >>> [element.findtext("direction-type/rehearsal") for element in section_mark(BarMark("A"))]
    ['A']
    """
    if mark.section:
        direction = Element("direction", placement="above")
        kind = SubElement(direction, "direction-type")
        SubElement(kind, "rehearsal").text = mark.section
        yield direction


def head_marks(mark: BarMark) -> Iterator[Element]:
    """Return segno and coda as signs over the head of a bar, which players can jump to.

    >>> [element.find("sound").attrib for element in head_marks(BarMark(marks=("segno", "fine")))]
    [{'segno': 'segno'}]
    """
    for name in mark.marks:
        if jump_mark(name).at_head:
            direction = Element("direction", placement="above")
            SubElement(SubElement(direction, "direction-type"), name)
            SubElement(direction, "sound", {name: name})
            yield direction


def end_marks(mark: BarMark) -> Iterator[Element]:
    """Return to coda, fine and jumps as words over the end of a bar, which players can follow.

    >>> [one.find("sound").attrib for one in end_marks(BarMark(marks=("segno", "D.S. al coda")))]
    [{'dalsegno': 'segno'}]
    """
    for row in map(jump_mark, mark.marks):
        if not row.at_head:
            direction = Element("direction", placement="above")
            words = SubElement(SubElement(direction, "direction-type"), "words", halign="right")
            words.text = row.page
            SubElement(direction, "sound", _sound(row))
            yield direction


def _sound(row: JumpMark) -> dict[str, str]:
    """Return the attribute that makes a program jump, leave for the coda or stop."""
    if row.back:
        return {"dalsegno": "segno"} if row.back == "segno" else {"dacapo": "yes"}
    return {"fine": "yes"} if row.name == "fine" else {"tocoda": "coda"}


def tempo_mark(quarters: float, *, dotted: bool = False, swing: Fraction | None = None) -> Element:
    """Return a metronome mark over a bar, and the tempo and the swing that a program plays.

    ``quarters`` is the tempo in quarters a minute; with ``dotted`` it is printed in dotted ones.
    ``swing`` is the ratio of the long to the short eighth; without one nothing is said of it.

    >>> mark = tempo_mark(180, dotted=True)
    >>> mark.findtext("direction-type/metronome/per-minute"), mark.find("sound").attrib
    ('120', {'tempo': '180'})
    >>> [one.text for one in tempo_mark(132, swing=Fraction(7, 4)).find("sound/swing")]
    ['7', '4', 'eighth']
    """
    direction = Element("direction", placement="above")
    mark = SubElement(SubElement(direction, "direction-type"), "metronome")
    SubElement(mark, "beat-unit").text = "quarter"
    if dotted:
        SubElement(mark, "beat-unit-dot")
    beats = quarters / DOTTED if dotted else quarters
    SubElement(mark, "per-minute").text = f"{beats:g}"
    sound = SubElement(direction, "sound", tempo=f"{quarters:g}")
    if swing is not None:
        _swing(SubElement(sound, "swing"), swing)
    return direction


def _swing(element: Element, ratio: Fraction) -> None:
    """Say how long two eighths are to each other (MusicXML 4.0, ``swing``)."""
    if ratio == 1:
        SubElement(element, "straight")
        return
    SubElement(element, "first").text = str(ratio.numerator)
    SubElement(element, "second").text = str(ratio.denominator)
    SubElement(element, "swing-type").text = "eighth"


def tempo_over(time: tuple[int, int], quarters: float, swing: Fraction | None = None) -> Element:
    """Return the metronome mark of a staff; where it counts eighths they are not swung.

    >>> tempo_over((12, 8), 180, Fraction(2)).find("sound/swing") is None
    True
    """
    count, unit = time
    dotted = unit == EIGHTH and count % 3 == 0
    return tempo_mark(quarters, dotted=dotted, swing=swing if unit != EIGHTH else None)


def tempo_marks(
    times: Sequence[tuple[int, int]], tempos: Sequence[float], evens: Sequence[bool] = ()
) -> list[Element | None]:
    """Return a metronome mark for each staff; None where it would say what the one before says.

    ``times`` are their time signatures, ``tempos`` the beats a minute as these count them; without
    tempos there are no marks. ``evens`` says which have even eighths; where quarters are counted,
    the others are swung. Where they are not, a swing that was set before ends.

    >>> [mark is not None for mark in tempo_marks([(4, 4), (4, 4), (6, 8)], [90, 90, 90])]
    [True, False, True]
    >>> [mark is not None for mark in tempo_marks([(4, 4)] * 3, [90] * 3, [False, True, True])]
    [True, True, False]
    """
    if not tempos:
        return [None] * len(times)
    beats = [Metre(*time).quarters for time in times]
    even = evens or [False] * len(times)
    swings = [
        swing_over(one, tempo, even=flat)
        for one, tempo, flat in zip(beats, tempos, even, strict=True)
    ]
    said = [
        (float(one) * tempo, one == Fraction(3, 2), swing)
        for one, tempo, swing in zip(beats, tempos, _ended(swings), strict=True)
    ]
    return [
        None if now == before else tempo_mark(now[0], dotted=now[1], swing=now[2])
        for before, now in zip((None, *said), said, strict=False)
    ]


def _ended(swings: Sequence[Fraction | None]) -> Iterator[Fraction | None]:
    """Yield the swings of staves; one without, after one that has set it, says even eighths.

    >>> [one and str(one) for one in _ended([None, Fraction(2), None])]
    [None, '2', '1']
    """
    is_set = False
    for swing in swings:
        is_set = is_set or swing is not None
        yield Fraction(1) if is_set and swing is None else swing


def swing_over(beat: Fraction, tempo: float, *, even: bool) -> Fraction | None:
    """Return how eighths are swung at a tempo; None where it counts no quarters.

    >>> swing_over(Fraction(1), 132, even=False), swing_over(Fraction(3, 2), 60, even=False)
    (Fraction(7, 4), None)
    """
    return written_swing(tempo, 1.0 if even else None) if beat == 1 else None


# === Chord symbols ===

# The kinds of the standard that stand on a root of their own, with the notes they imply. Its
# eleventh and thirteenth chords hold every third below, so a trade 13 leaves out the 11.
KINDS = {
    "major": "1 3 5",
    "minor": "1 b3 5",
    "augmented": "1 3 #5",
    "diminished": "1 b3 b5",
    "dominant": "1 3 5 b7",
    "major-seventh": "1 3 5 7",
    "minor-seventh": "1 b3 5 b7",
    "diminished-seventh": "1 b3 b5 bb7",
    "augmented-seventh": "1 3 #5 b7",
    "half-diminished": "1 b3 b5 b7",
    "major-minor": "1 b3 5 7",
    "major-sixth": "1 3 5 6",
    "minor-sixth": "1 b3 5 6",
    "dominant-ninth": "1 3 5 b7 9",
    "major-ninth": "1 3 5 7 9",
    "minor-ninth": "1 b3 5 b7 9",
    "dominant-11th": "1 3 5 b7 9 11",
    "major-11th": "1 3 5 7 9 11",
    "minor-11th": "1 b3 5 b7 9 11",
    "dominant-13th": "1 3 5 b7 9 11 13",
    "major-13th": "1 3 5 7 9 11 13",
    "minor-13th": "1 b3 5 b7 9 11 13",
    "suspended-second": "1 2 5",
    "suspended-fourth": "1 4 5",
    "power": "1 5",
}
_BASES = {kind: degrees(formula) for kind, formula in KINDS.items()}
ALTERABLE = frozenset((5, 9, 11, 13))  # what a symbol alters; other degrees are added or left out


@dataclass(frozen=True, slots=True)
class DegreeMark:
    """One ``<degree>``: its number, its alteration as the standard counts it, what it does."""

    number: int
    alteration: int
    action: str


def described(chord: Chord) -> tuple[str, tuple[DegreeMark, ...]]:
    """Return the kind of the standard nearest to a chord, and the degrees that differ from it.

    The kind is the one that needs the fewest changes, then the one that shares the most notes.

    >>> kind, marks = described(Chord.parse("G7b9"))
    >>> kind, marks
    ('dominant', (DegreeMark(number=9, alteration=-1, action='add'),))
    >>> described(Chord.parse("Dm7"))
    ('minor-seventh', ())
    """
    return _described(chord.degrees) if not chord.is_silent else ("none", ())


@lru_cache(maxsize=512)  # a table that fills itself: a kind of chord is searched once
def _described(found: tuple[Degree, ...]) -> tuple[str, tuple[DegreeMark, ...]]:
    """Search all kinds of the standard."""
    wanted = frozenset(found)
    marked = {kind: _marks(base, wanted) for kind, base in _BASES.items()}
    shared = {kind: len(wanted.intersection(base)) for kind, base in _BASES.items()}
    kind = min(marked, key=lambda k: (sum(map(_cost, marked[k])), -shared[k]))
    return kind, marked[kind]


def _cost(mark: DegreeMark) -> int:
    """Weigh a degree: to leave out what makes the kind is worse than to add, the 11 apart.

    Worst is a plain 7 that is added: by the standard it is minor, and music21 reads it as major.
    """
    if mark.action == "add" and mark.number == 7 and mark.alteration == 0:
        return 3
    return 2 if mark.action == "subtract" and mark.number != 11 else 1


def _marks(base: tuple[Degree, ...], wanted: frozenset[Degree]) -> tuple[DegreeMark, ...]:
    """Return what turns the notes of a kind into the wanted ones."""
    missing = [degree for degree in base if degree not in wanted]
    extra = sorted(wanted.difference(base), key=lambda d: (d.number, d.alteration))
    marks = []
    for degree in list(extra):
        plain = next((d for d in missing if d.number == degree.number in ALTERABLE), None)
        if plain is not None:
            missing.remove(plain)
            extra.remove(degree)
            change = degree.alteration - plain.alteration
            marks.append(DegreeMark(degree.number, change, "alter"))
    marks += [DegreeMark(d.number, _over_dominant(d), "add") for d in extra]
    marks += [DegreeMark(d.number, 0, "subtract") for d in missing]
    return tuple(sorted(marks, key=lambda mark: mark.number))


def _over_dominant(degree: Degree) -> int:
    """Return the alteration of an added degree: the standard counts from a dominant chord."""
    return degree.alteration + (degree.number in (7, 14))


def harmony_element(chord: Chord) -> Element:
    """Return the ``<harmony>`` of a chord; N.C. is the kind ``none`` on a root without text.

    >>> element = harmony_element(Chord.parse("Bb7b9/Ab"))
    >>> element.findtext("kind"), element.find("kind").get("text")
    ('dominant', '7♭9')
    """
    kind, marks = described(chord)
    harmony = Element("harmony", {"print-frame": "no"})
    _place(harmony, "root", chord.root, silent=chord.is_silent)
    SubElement(harmony, "kind", {"text": chord.kind.pretty}).text = kind
    if chord.bass is not None:
        _place(harmony, "bass", chord.bass)
    for mark in marks:
        degree = SubElement(harmony, "degree", {"print-object": "no"})
        SubElement(degree, "degree-value").text = str(mark.number)
        SubElement(degree, "degree-alter").text = str(mark.alteration)
        SubElement(degree, "degree-type").text = mark.action
    return harmony


def _place(harmony: Element, role: str, note: Note, *, silent: bool = False) -> None:
    """Add a root or a bass."""
    parent = SubElement(harmony, role)
    SubElement(parent, f"{role}-step", {"text": ""} if silent else {}).text = note.letter
    if note.alteration:
        SubElement(parent, f"{role}-alter").text = str(note.alteration)
