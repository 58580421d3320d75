"""Everything that reads a text: what is drawn for it, and what it promises of what it read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from tests.proof.hostile import Draw, json_like, odd_value, several, text_like
from tests.proof.texts_drawn import (
    A_CHART,
    A_CHORD,
    A_COLOUR,
    A_KEY,
    A_LINE,
    ANSWERS,
    CHORDS,
    COLOURED,
    DOMINANTS,
    GOALS,
    HANDOUTS,
    LINES,
    MEMORY,
    NOTED,
    OWN,
    PROGRESSIONS,
    QUESTIONS,
    ROOTS,
    SOME_DEGREES,
    SOME_NOTES,
    TREATMENTS,
)
from theorykit import (
    KEYS,
    Chart,
    Chord,
    Degree,
    Key,
    Line,
    Note,
    PhraseBook,
    Scale,
    Treatment,
    chart_problems,
    degrees_over,
    disagreements,
    evidence,
    identify,
    read_line,
    resolve,
    shortcuts,
    subsets,
    substitutes,
    two_five_one,
)
from theorykit.handout.front import Edition
from theorykit.handout.handout import Handout
from theorykit.handout.names import checked_typed
from theorykit.handout.own_colour import colour_from, table_of_colour
from theorykit.harmony.colours import as_degrees, colour
from theorykit.harmony.identification.brought_notes import read_sounds
from theorykit.lines.text import read_so_far
from theorykit.notes.degree import degrees
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, reader
from theorykit.notes.scales import SCALES
from theorykit.show.files.saving import file_at
from theorykit.tunes.bars import METRES, Metre
from theorykit.tunes.progression import FORMS
from theorykit.tunes.treatments.choice import Choice
from theorykit.views.line.line_draft import typed_line
from theorykit.views.staves import read_staff

__all__ = ["TEXTS", "Reading", "place"]


@dataclass(frozen=True)
class Reading:
    """One reader: what is drawn for it, how it reads, and what it promises of what it read.

    ``keeps`` tells whether the promise holds; ``share`` is how many inputs it gets in proportion;
    ``covers`` are the functions of the library that it tries, by their full names.
    """

    name: str
    draw: Draw
    read: Callable[[Any], Any]
    keeps: Callable[[Any], bool] = lambda _: True
    share: int = 10
    covers: tuple[str, ...] = ()


def parsed(kind: Any, *seeds: str, words: Sequence[str] = (), share: int = 20) -> Reading:
    """Return the reading of a class with ``parse``, whose reverse is ``str``."""
    return Reading(
        f"{kind.__name__}.parse",
        text_like(*seeds, words=words),
        kind.parse,
        lambda value: kind.parse(str(value)) == value,
        share,
        (f"{kind.__module__}.{kind.__name__}.parse",),
    )


def an_answer(rng: Random) -> tuple[int, Any]:
    """Return the number of a question and what is typed, tapped or written for it."""
    number, kind = rng.randrange(len(QUESTIONS)), rng.randrange(20)
    if kind == 0:
        return number, rng.choice(LINES)
    if kind == 1:
        return number, [
            rng.choice((60, 61, 66, -1, 127, 128, 1e9, "C", None, Note("C"))) for _ in "12"
        ]
    if kind == 2:
        return number, [rng.randrange(30, 90) for _ in range(rng.choice((1, 3, 4, 40)))]
    return number, ANSWERS(rng)


def judged(given: tuple[int, Any]) -> object:
    """Judge an answer."""
    return QUESTIONS[given[0]].judge(given[1])


def read_whole(given: tuple[str, int]) -> tuple[Line, int]:
    """Read a line, and what the desk says of it: its reading and its staff."""
    text, number = given
    line = Line.parse(text, PROGRESSIONS[number])
    if line.notes and len(line.notes) < 400:
        read_staff(read_line(line, "b9 13"))
    return line, number


def a_book() -> str:
    """Return the export of a small book."""
    with TemporaryDirectory() as folder:
        book = PhraseBook(f"{folder}/book.sqlite")
        for number, line in enumerate(LINES[:3]):
            book.keep(f"turn {number}", line, colour="b9", tags=["a", "b"], notes="x\ny")
        return book.export_json()


@cache
def place() -> TemporaryDirectory[str]:
    """Return a folder of this process."""
    return TemporaryDirectory(prefix="theorykit-proof-", dir=MEMORY)


def imported(text: Any) -> PhraseBook:
    """Take phrases into a new book."""
    path = Path(place().name) / "import.sqlite"
    path.unlink(missing_ok=True)
    book = PhraseBook(path)
    book.import_json(text)
    return book


def exports_the_same(book: PhraseBook) -> bool:
    """Tell whether a book goes into an export and comes back."""
    text = book.export_json()
    return imported(text).export_json() == text


def some_table(rng: Random) -> object:
    """Return the table of an own colour, or nearly one."""
    good = table_of_colour(colour_from({"name": "mine", "degrees": "b9 11", "targets": ["minor"]}))
    draws = (A_COLOUR, SOME_DEGREES, odd_value)
    for _ in range(rng.choice((1, 1, 2))):
        name = rng.choice(
            ("name", "degrees", "targets", "passing", "title", "scale", "aliases", "x")
        )
        value = rng.choice(draws)(rng)
        good[name] = rng.choice((value, [value], [value, "minor"]))  # type: ignore[assignment]
    return good if rng.random() < 0.9 else odd_value(rng)


LEFT_WORD = text_like("B", "Am", "the B section", "B flat", words=("\n", " ", ","))


def left_words(rng: Random) -> list[object]:
    """Return words that are to be printed as they were typed, now and then far too many."""
    return [LEFT_WORD(rng) for _ in range(rng.choice((0, 1, 1, 1, 2, 3, 61)))]


def left_as_typed(words: Any) -> tuple[str, ...]:
    """Return the words, or refuse them."""
    checked_typed(words)
    return tuple(words)


def stand_in_a_handout(words: tuple[str, ...]) -> bool:
    """Tell whether a handout takes the words and has them again out of its text file."""
    handout = Handout("Over B", as_typed=words)
    return Handout.parse(str(handout)).as_typed == words


def typed_so_far(given: tuple[Any, int]) -> object:
    """Read a line as it is typed: bad text is told, text of any kind is no fault."""
    text, number = given
    found = typed_line(text, PROGRESSIONS[number]) if isinstance(text, str) else None
    return found or read_so_far(text, [Fraction(4)])


def problems(text: Any) -> object:
    """Return the problems of a chart; a chart that can be read has none."""
    found = chart_problems(text)
    if found:
        refused = False
        try:
            Chart.parse(text)
        except ValueError:
            refused = True
        assert refused, "a chart with problems was read"
    return found


def numbered(draw: Draw) -> Draw:
    """Return what draws an input and the number of a progression."""
    return lambda rng: (draw(rng), rng.randrange(len(PROGRESSIONS)))


TEXTS: tuple[Reading, ...] = (
    parsed(Note, *ROOTS, "C##", "Ebb", "F♯", "B♭"),
    parsed(Pitch, "C4", "F#-1", "Bb9", "E♭5", "Cb4", words=(*ROOTS, "4", "-1", "10")),
    parsed(Degree, *"1 b3 3 #11 b13 bb7 9 13 ♭9 ♯11".split(), words=("b", "#", "7", "15")),
    Reading(
        "Chord.parse",
        A_CHORD,
        Chord.parse,
        lambda c: Chord.parse(str(c)) == c == Chord.parse(c.pretty),
        60,
        ("theorykit.notes.chord.Chord.parse",),
    ),
    Reading(
        "Key.parse",
        A_KEY,
        Key.parse,
        lambda k: Key.parse(str(k)) == k,
        20,
        ("theorykit.notes.key.Key.parse",),
    ),
    parsed(
        Scale, *(f"{root} {row.name}" for row in SCALES for root in ("C", "Db", "F#")), share=20
    ),
    parsed(Metre, *map(str, METRES), share=5),
    Reading("degrees", SOME_DEGREES, degrees, lambda d: degrees(" ".join(map(str, d))) == d, 10),
    Reading("colour", A_COLOUR, colour, lambda c: colour(str(c)) == c, 10),
    Reading("as_degrees", SOME_DEGREES, as_degrees, share=10),
    Reading(
        "own colour",
        some_table,
        colour_from,
        lambda c: colour_from(table_of_colour(c)) == c,
        10,
        ("theorykit.handout.own_colour.colour_from",),
    ),
    Reading(
        "reader",
        text_like(*(name for one in READERS for name in (one.name, *one.names)), "tenor sax in Bb"),
        reader,
        lambda one: reader(one.name) == one,
        10,
    ),
    Reading(
        "two_five_one",
        several((A_KEY, KEYS), (text_like(*FORMS), tuple(FORMS))),
        lambda two: two_five_one(*two),
        share=10,
    ),
    Reading("degrees_over", several(CHORDS, NOTED), lambda two: degrees_over(*two), share=10),
    Reading(
        "sounds",
        SOME_NOTES,
        read_sounds,
        share=10,
        covers=("theorykit.harmony.identification.brought_notes.read_sounds",),
    ),
    Reading(
        "identify", several(NOTED, CHORDS, GOALS), lambda three: identify(*three).words, share=15
    ),
    Reading(
        "shortcuts", several(DOMINANTS, COLOURED, GOALS), lambda three: shortcuts(*three), share=3
    ),
    Reading("subsets", several(DOMINANTS, GOALS), lambda two: subsets(*two), share=1),
    Reading("substitutes", several(DOMINANTS, GOALS), lambda two: substitutes(*two), share=5),
    Reading(
        "resolve", several(DOMINANTS, COLOURED, GOALS), lambda three: resolve(*three), share=10
    ),
    Reading(
        "disagreements",
        several(COLOURED, CHORDS, CHORDS),
        lambda three: disagreements(*three),
        share=10,
    ),
    Reading(
        "evidence",
        several(
            (SOME_DEGREES, ("b9", "13", "#11", "5")),
            (text_like("major", "minor"), ("major", "minor")),
        ),
        lambda two: evidence(*two),
        share=5,
    ),
    Reading(
        "answers",
        an_answer,
        judged,
        lambda found: bool(found.words),
        60,
        tuple(
            f"theorykit.study.questions.typed.{name}_typed"
            for name in ("note", "notes", "shape", "degree", "colour", "chords")
        ),
    ),
    parsed(Choice, *(row for text in TREATMENTS for row in text.splitlines()[:4]), share=15),
    parsed(Treatment, *TREATMENTS, share=15),
    Reading(
        "Chart.parse",
        A_CHART,
        Chart.parse,
        lambda c: Chart.parse(str(c)) == c,
        60,
        (
            "theorykit.tunes.charts.chart.Chart.parse",
            "theorykit.tunes.charts.chart_text.read_chart_text",
            "theorykit.tunes.charts.chart_cells.read_cell",
        ),
    ),
    Reading("chart problems", A_CHART, problems, share=20),
    Reading(
        "Line.parse",
        numbered(A_LINE),
        read_whole,
        lambda two: Line.parse(two[0].text, PROGRESSIONS[two[1]]) == two[0],
        40,
        ("theorykit.lines.text.line.Line.parse", "theorykit.lines.text.line.read_line_text"),
    ),
    Reading(
        "typed line",
        numbered(A_LINE),
        typed_so_far,
        share=20,
        covers=("theorykit.lines.text.line.read_so_far",),
    ),
    parsed(
        Edition,
        "B flat, teacher, A4",
        "large print, E flat",
        "everyone",
        "tuba, student, Letter",
        share=10,
    ),
    Reading(
        "Handout.parse",
        text_like(*HANDOUTS, OWN),
        Handout.parse,
        lambda h: Handout.parse(str(h)) == h,
        30,
        ("theorykit.handout.handout.Handout.parse",),
    ),
    Reading(
        "words as typed",
        left_words,
        left_as_typed,
        stand_in_a_handout,
        10,
        ("theorykit.handout.names.checked_typed",),
    ),
    Reading(
        "phrases as JSON",
        json_like(a_book()),
        imported,
        exports_the_same,
        8,
        (
            "theorykit.study.phrase.phrase_from",
            "theorykit.study.phrase.listed_from",
            "theorykit.study.phrasebook.PhraseBook.import_json",
        ),
    ),
    Reading("phrases as text", text_like(a_book()), imported, exports_the_same, 4),
    Reading(
        "file_at",
        text_like("lines/turn", "~/turn.mid", "turn", words=("/", "..", "~", ".mid"), odd=False),
        lambda text: file_at(text, ".mid"),
        share=5,
    ),
)
