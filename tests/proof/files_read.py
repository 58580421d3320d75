"""Everything that reads a file: what is drawn for it, and what it promises of what it read."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from small_soundfont import compressed, sine_soundfont

from tests.proof.hostile import NASTY, Draw, bytes_like, mutated_bytes, xml_like
from tests.proof.texts_drawn import A_CHART, HANDOUTS, LINES, PROGRESSIONS, SYMBOLS, TUNES
from tests.proof.texts_read import Reading, place
from theorykit import Chart, Journal, LeadSheet, Line, PhraseBook, question, take_down, two_five_one
from theorykit.errors import TheoryError
from theorykit.handout.handout import Handout
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.lines.text import TimedNote
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS
from theorykit.show.files.lead_sheets import lead_sheet_of_bytes, lead_sheet_xml, open_lead_sheet
from theorykit.show.files.line_file import HIGHEST_WRITTEN
from theorykit.show.files.line_files import import_phrases, line_bytes, open_line
from theorykit.show.own_reader import own_folder, own_reader
from theorykit.show.review_dates import ReviewDates
from theorykit.show.sound.levels import note_level
from theorykit.show.sound.soundfont import SoundFont
from theorykit.show.sound.synthesizer import render, wav_bytes

__all__ = ["FILES", "a_database", "from_file", "kept", "left_alone", "odd_rows", "texts"]

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)


def kept(name: str, data: bytes) -> Path:
    """Write a file of this process and return its path."""
    file = Path(place().name) / name
    file.unlink(missing_ok=True)  # one that is mapped into memory stays whole
    file.write_bytes(data)
    return file


def from_file(name: str, read: Callable[[Path], Any]) -> Callable[[bytes], Any]:
    """Return what reads bytes out of a file of a name."""
    return lambda data: read(kept(name, data))


# === Scores and MIDI ===

SCORES = tuple(
    line_bytes(line, ".musicxml", reader=reader, title="Wet Gloves")
    for line, reader in zip(LINES, (*READERS, *READERS), strict=False)
)
MIDIS = tuple(line_bytes(line, ".mid") for line in LINES[:4])
PACKED = tuple(line_bytes(line, ".mxl") for line in LINES[:2])
SHEETS = tuple(lead_sheet_xml(Chart.parse(text)).encode() for text in TUNES)


def line_kept(found: Any) -> bool:
    """Tell whether a line that was read out of a file is read back from our own file and text."""
    line = found.line
    if len(line.notes) > 1000:
        return True
    if Line.parse(line.text, line.progression) != line:
        return False
    if not all(0 <= note.pitch.octave <= HIGHEST_WRITTEN for note in line.notes):
        return True  # MIDI has lower notes than MusicXML can write
    return bool(open_line(kept("again.musicxml", line_bytes(line, ".musicxml"))).line.notes)


def sheet_kept(sheet: LeadSheet) -> bool:
    """Tell whether the chart of a lead sheet reads back from its text and from our own file."""
    if Chart.parse(str(sheet.chart)) != sheet.chart:
        return False
    again = open_lead_sheet(kept("again.xml", lead_sheet_xml(sheet).encode()))
    return again.chart.bars == sheet.chart.bars


# === The reader's own files ===


def a_database(make: Callable[[Path], object]) -> bytes:
    """Return the bytes of a file of the reader's own."""
    file = Path(place().name) / "made.sqlite"
    file.unlink(missing_ok=True)
    make(file)
    return file.read_bytes()


def some_phrases(file: Path) -> None:
    """Write a small phrase book."""
    book = PhraseBook(file)
    for number, line in enumerate(LINES[:4]):
        book.keep(f"turn {number}", line, colour="b9", tags=["a"], notes="x")


def some_answers(file: Path) -> None:
    """Write a small journal."""
    journal, asked = Journal(file), question("top note", seed=1)
    for given in (asked.answer, "b9"):
        journal.answered(asked, given, asked.judge(given), memory=ReviewDates(), at=NOW)
    journal.practised("turn", 5, tempo=96, keys=["Db"], at=NOW)
    journal.noted("late", about="turn", at=NOW)


BOOK, JOURNAL = a_database(some_phrases), a_database(some_answers)
ODD = (None, "", 0, -1, 1e300, b"\xff", "x" * 9999, *NASTY[:12])


def odd_rows(data: bytes) -> Draw:
    """Return what draws a database with cells that no program of ours has written."""

    def draw(rng: Random) -> bytes:
        file = kept("odd.sqlite", data)
        with closing(sqlite3.connect(file)) as base:
            tables = [
                row[0] for row in base.execute("SELECT name FROM sqlite_schema WHERE sql > ''")
            ]
            table = rng.choice(tables)
            columns = [row[1] for row in base.execute(f"PRAGMA table_info({table})")]
            act = rng.randrange(5)
            value = rng.choice([one for one in ODD if not _is_half(one)])
            try:
                if act == 0:
                    base.execute(f"DROP TABLE {table}")
                elif act == 1:
                    base.execute(f"PRAGMA user_version = {rng.choice((0, 2, 99, -1))}")
                elif act == 2:
                    base.execute(f"ALTER TABLE {table} DROP COLUMN {rng.choice(columns)}")
                else:
                    base.execute(f"UPDATE {table} SET {rng.choice(columns)} = ?", (value,))
                base.commit()
            except sqlite3.Error:
                pass
        return file.read_bytes()

    return draw


def _is_half(one: object) -> bool:
    """Tell whether a text has half of a sign, which SQLite does not take."""
    return isinstance(one, str) and any("\ud800" <= sign <= "\udfff" for sign in one)


def left_alone(name: str, use: Callable[[Path], object]) -> Callable[[bytes], object]:
    """Return what uses a file of the reader's own; one that is refused is left as it is."""

    def read(data: bytes) -> object:
        file = kept(name, data)
        try:
            return use(file)
        except TheoryError:
            if file.read_bytes() != data:
                raise RuntimeError("a file that was refused is not as it was") from None
            raise

    return read


def used_book(file: Path) -> object:
    """Open a book and do what pages do with one."""
    book = PhraseBook(file)
    return book.names, book.listed(), book.find(), book.export_json()


def used_journal(file: Path) -> object:
    """Open a journal and do what pages do with one."""
    journal = Journal(file)
    past = journal.past(NOW), journal.cards, journal.known(), journal.weeks(), journal.tempos()
    return *past, [journal.csv(table) for table in ("answers", "practice", "notes")]


def imported(data: bytes) -> object:
    """Take a file into a book, as the phrase page does."""
    book_file = Path(place().name) / "taking.sqlite"
    book_file.unlink(missing_ok=True)
    book = PhraseBook(book_file)
    phrases, told = import_phrases(book, [kept("turn.xml", data)])
    assert len(phrases) + len(told) > 0, "a file that was neither read nor told"
    return book.find()


def own(data: bytes) -> object:
    """Read what the reader plays; whatever the file says, there is a reader."""
    folder = own_folder()
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "reader.txt").write_bytes(data)
    try:
        return READERS.index(own_reader())
    finally:
        (folder / "reader.txt").unlink()


# === What we export, read back ===

VALUES = ("8th", "quarter", "half", "16th", "8th triplet", "dotted quarter", "quarter triplet")
LENGTHS = {
    "8th": Fraction(1, 2),
    "quarter": Fraction(1),
    "half": Fraction(2),
    "16th": Fraction(1, 4),
    "8th triplet": Fraction(1, 3),
    "dotted quarter": Fraction(3, 2),
    "quarter triplet": Fraction(2, 3),
}


def own_line(rng: Random) -> tuple[Line, int]:
    """Return a line of chance that can be written, and the number of a reader."""
    over, at, notes = rng.choice(PROGRESSIONS), Fraction(0), list[TimedNote]()
    while at < over.beats and len(notes) < 80:
        length = min(LENGTHS[rng.choice(VALUES)], over.beats - at)
        if rng.random() < 0.85:
            name = rng.choice("C Db C# D Eb D# E F F# Gb G Ab G# A Bb B".split())
            notes.append(TimedNote(Pitch.parse(f"{name}{rng.randint(2, 6)}"), at, length))
        at += length
    return Line(over, tuple(notes)), rng.randrange(len(READERS))


def line_exported(given: tuple[Line, int]) -> object:
    """Write a line for a reader and read it back; it sounds as it did."""
    line, number = given
    if not line.notes:
        return None
    assert Line.parse(line.text, line.progression) == line, "the text says another line"
    file = kept("own.musicxml", line_bytes(line, ".musicxml", reader=READERS[number]))
    again = open_line(file).line
    assert [(n.start, n.beats) for n in again.notes] == [(n.start, n.beats) for n in line.notes], (
        "it is played at other times"
    )
    pairs = zip(again.notes, line.notes, strict=True)
    moved = {one.pitch.midi - other.pitch.midi for one, other in pairs}
    low = READERS[number].clef != READERS[0].clef  # whose page may stand in another octave
    assert moved == {0} or (low and moved in ({-12}, {-24}, {12})), f"it sounds otherwise: {moved}"
    return line


def own_chart(rng: Random) -> Chart:
    """Return a chart of chance."""
    bars = [
        " ".join(rng.choice(SYMBOLS) for _ in range(rng.choice((1, 1, 2, 2, 4))))
        for _ in range(rng.randint(1, 12))
    ]
    metre = rng.choice(("4/4", "4/4", "3/4", "6/8", "12/8"))
    bars = [" ".join(bar.split()[:2]) for bar in bars] if metre != "4/4" else bars
    return Chart.of(
        rng.choice("C Db F# Bbm Ab Ebm".split()), *bars, metre=metre, title="Wet Gloves"
    )


def chart_exported(chart: Chart) -> object:
    """Write a chart and read it back; it is the same chart."""
    file = kept("own.xml", lead_sheet_xml(chart).encode())
    again = open_lead_sheet(file).chart
    assert again == chart, f"another chart: {again}"
    return chart


def chart_or_line(rng: Random) -> object:
    """Return a value of ours to be exported."""
    return own_chart(rng) if rng.random() < 0.4 else own_line(rng)


def exported(given: Any) -> object:
    """Write and read back."""
    return chart_exported(given) if isinstance(given, Chart) else line_exported(given)


def texts(draw: Draw) -> Draw:
    """Return what draws the bytes of texts; what is no text stays text of it."""
    return lambda rng: str(draw(rng)).encode("utf-8", "surrogatepass")


TENOR = 66  # the program of a tenor saxophone, counted from 0 (General MIDI)
SOUNDFONT = a_database(lambda file: sine_soundfont(file, program=TENOR))
SMALL_SOUNDFONT = a_database(
    lambda file: compressed(sine_soundfont(file.with_suffix(".whole"), program=TENOR), file)
)
TABLES = len(SOUNDFONT) - 1500  # where its tables begin, nearly


ONE_NOTE = Performance((Part("line", (Sounding(Fraction(0), Fraction(1), 69),)),), Fraction(1))


def soundfont_like(rng: Random) -> bytes:
    """Return a SoundFont whose tables, or any bytes, are spoiled."""
    if rng.random() < 0.4:  # a compressed one is as often spoiled in its recording
        return mutated_bytes(rng, (SOUNDFONT, SMALL_SOUNDFONT))
    return SOUNDFONT[:TABLES] + mutated_bytes(rng, (SOUNDFONT[TABLES:],))


def played(file: Path) -> object:
    """Play one note with a SoundFont; what sounds is sound."""
    note_level.cache_clear()  # what was played before would stay open
    SoundFont.regions.cache_clear()
    SoundFont._layers.cache_clear()
    made = render(ONE_NOTE, soundfont=file)
    assert np.isfinite(made.wave).all(), "what sounds is no sound"
    return made


def short_take() -> bytes:
    """Return a recording of one note, as a file."""
    return wav_bytes(render(ONE_NOTE, rate=22050))


def taken(file: Path) -> object:
    """Take a recording down; what was heard lies in the bars of its changes."""
    over = two_five_one("C")
    line = take_down(file, progression=over, tempo=120, start=0).line
    assert Line.parse(line.text, over) == line, "the text says another line"
    return line


SCORE_LIKE = bytes_like(*SCORES, *PACKED, also=(xml_like(*SCORES, *SHEETS),))
FILES: tuple[Reading, ...] = (
    Reading(
        "score as line",
        SCORE_LIKE,
        from_file("turn.xml", open_line),
        line_kept,
        12,
        ("theorykit.show.files.line_files.open_line",),
    ),
    Reading("MIDI as line", bytes_like(*MIDIS), from_file("turn.mid", open_line), line_kept, 6),
    Reading(
        "lead sheet",
        SCORE_LIKE,
        from_file("turn.xml", open_lead_sheet),
        sheet_kept,
        12,
        ("theorykit.show.files.lead_sheets.open_lead_sheet",),
    ),
    Reading(
        "dropped file",
        bytes_like(*SHEETS, *MIDIS, also=(xml_like(*SHEETS), texts(A_CHART))),
        lambda data: lead_sheet_of_bytes("turn.txt" if data[:1] != b"<" else "turn.xml", data),
        sheet_kept,
        10,
        ("theorykit.show.files.lead_sheets.lead_sheet_of_bytes",),
    ),
    Reading(
        "phrases from files",
        bytes_like(*SCORES[:2], *MIDIS[:1], also=(xml_like(*SCORES),)),
        imported,
        share=3,
        covers=("theorykit.show.files.line_files.import_phrases",),
    ),
    Reading(
        "handout file",
        bytes_like(*(text.encode() for text in HANDOUTS)),
        from_file("page.toml", Handout.read),
        lambda h: Handout.parse(str(h)) == h,
        12,
        ("theorykit.handout.handout.Handout.read",),
    ),
    Reading(
        "phrase book",
        bytes_like(BOOK, also=(odd_rows(BOOK),)),
        left_alone("book.sqlite", used_book),
        share=6,
        covers=("theorykit.study.phrasebook.phrases_from",),
    ),
    Reading(
        "journal",
        bytes_like(JOURNAL, also=(odd_rows(JOURNAL),)),
        left_alone("journal.sqlite", used_journal),
        share=6,
    ),
    Reading("own reader", bytes_like(b"B flat\n", b"concert", b"tenor saxophone"), own, share=5),
    Reading(
        "SoundFont",
        soundfont_like,
        from_file("own.sf2", played),
        share=6,
        covers=("theorykit.show.sound.soundfont.open_soundfont",),
    ),
    Reading(
        "recording",
        bytes_like(short_take()),
        from_file("take.wav", taken),
        share=1,
        covers=("theorykit.show.sound.synthesizer.Samples.read",),
    ),
    Reading("exports", chart_or_line, exported, share=10),
)
