"""Texts that are drawn for the proof: good ones of every kind, and what may be made of them."""

from __future__ import annotations

from pathlib import Path

from tests.proof.hostile import text_like
from theorykit import (
    KEYS,
    KINDS_OF_QUESTION,
    Chart,
    Treatment,
    question,
    two_five_one,
)
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.shapes import SHAPES
from theorykit.lines.demonstration import demonstration
from theorykit.notes.kinds import SPELLINGS
from theorykit.tunes.progression import FORMS
from theorykit.tunes.treatments.palette import LEVELS

ROOT = Path(__file__).resolve().parents[2]
MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None  # where writing costs no time
PROGRESSIONS = tuple(
    two_five_one(key, form) for key in ("C", "Db", "F#", "Bb minor") for form in FORMS
)


ROOTS = tuple("C Db C# D Eb E F F# Gb G Ab G# A Bb B Cb Fb E# B#".split())
SPELLED = tuple(SPELLINGS)
SYMBOLS = tuple(f"{root}{one}" for root in ("C", "Db", "F#", "Bb") for one in SPELLED)
MARKS = (
    "b5 #5 b9 #9 #11 b13 (b9) (b9/b13) (b9,#11) add9 omit3 no5 sus sus4 alt / maj 7 9 13".split()
)
A_CHORD = text_like(
    *SYMBOLS, *(f"{one}/E" for one in SYMBOLS[::9]), words=(*ROOTS, *SPELLED, *MARKS)
)
A_KEY = text_like(*map(str, KEYS), "F# minor", "Db", "bbm", "c sharp minor", words=ROOTS)
A_COLOUR = text_like(*(name for row in COLOURS for name in (row.name, *row.aliases)))
SOME_NOTES = text_like("E G# B", "Ab C Eb", "Bmaj7", "F# melodic minor", "Ab, C; Eb", words=ROOTS)
SOME_DEGREES = text_like("b9 13", "1 3 5 b7", "b9 #9 #11 b13", "bb7", words=("b", "#", "9", "13"))
A_LINE = text_like(
    *(demonstration(key, form).text for key in ("C", "Db", "F#", "Bb minor") for form in FORMS),
    "pickup 8th D5 F5 | quarter triplet A4 C5 E5 half hold | dotted half rest 8th D5 E5",
    "quarter D5 F5 half E5 | whole rest | whole E5",
    words=(
        "pickup",
        "rest",
        "hold",
        "triplet",
        "dotted",
        "8th",
        "16th",
        "whole",
        "|",
        "Bb4",
        "F#9",
    ),
)
TUNES = tuple(
    file.read_text(encoding="utf-8") for file in sorted((ROOT / "workbook/tunes").glob("*.txt"))
)
A_CHART = text_like(
    *TUNES,
    "| Dm7 G7 | C6 |",
    "metre: 3/4\n|: Dm7 / G7 | 1. C6 :| 2. C6 fine | D.C. al fine |",
    words=(
        "|:",
        ":|",
        "1.",
        "2.",
        "%",
        "N.C.",
        "segno",
        "coda",
        "fine",
        "D.S.",
        "D.C.",
        "al",
        "[A]",
    ),
)
HANDOUTS = tuple(
    file.read_text(encoding="utf-8") for file in sorted((ROOT / "workbook/handouts").glob("*.toml"))
)
OWN = 'title = "x"\n[[block]]\nkind = "colour"\ncolour = {name = "my own", degrees = "b9 11 13"}\n'
CHARTS = (Chart.parse(TUNES[0]), Chart.parse("| Dm7 G7 | C6 |"))
TREATMENTS = tuple(
    str(Treatment.proposed(Chart.parse(text), level=level)) for text in TUNES for level in LEVELS
)
QUESTIONS = tuple(
    question(
        kind, level=level, keys=["Db", "F# minor" if level == 3 else "C", "Bb minor"], seed=level
    )
    for kind in KINDS_OF_QUESTION
    for level in (1, 3)
)
ANSWERS = text_like(
    *dict.fromkeys(
        text for asked in QUESTIONS for text in (asked.answer, *asked.near_misses, *asked.choices)
    ),
    *(
        "e flat minor",
        "the altered scale",
        "flat nine",
        "minor third",
        "F and G",
        "half diminished",
    ),
    words=(*ROOTS, *(row.suffix for row in SHAPES), "flat", "sharp", "triad", "nine", "of", "the"),
)
CHORDS = (A_CHORD, SYMBOLS)
DOMINANTS = (A_CHORD, ("G7", "Db7", "F#7", "Bb13", "A7b9", "E7alt", "Absus", "C#9/G#"))
GOALS = (A_CHORD, (None, "C", "Fm", "major", "minor", "Gbmaj7", "B flat minor", "E7"))
COLOURED = (A_COLOUR, [row.name for row in COLOURS])
NOTED = (SOME_NOTES, ("E G# B", "Ab", "F# melodic minor", "Bmaj7", "Cb Eb Gb", "D E F G A"))
LINES = tuple(demonstration(key, form) for key in ("C", "Db", "Bb minor") for form in FORMS)
