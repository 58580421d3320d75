"""Files of the reader's: the longest honest part, and a book of many phrases."""

import atexit
import json
import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from measure import Bench, median_at_most
from too_long import full_score

from theorykit import Line, PhraseBook, two_five_one
from theorykit.errors import TheoryError
from theorykit.show.files import lead_sheet_of_bytes, open_line
from theorykit.show.files.untrusted import look_over

FOLDER = Path(mkdtemp(prefix="theorykit-bench-"))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)
BARS, PHRASES = 600, 20_000
HONEST, QUICK = 5.0, 2.0  # seconds
NOTE = (
    "<note><pitch><step>{}</step><octave>{}</octave></pitch><duration>1</duration>"
    "<type>eighth</type></note>"
)
SYMBOLS = (("D", "minor-seventh"), ("G", "dominant"), ("C", "major-seventh"), ("A", "dominant"))
ATTRIBUTES = (
    "<attributes><divisions>2</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)


@cache
def score() -> bytes:
    """A part of eighths with a chord symbol over each bar."""
    bars = []
    for number in range(BARS):
        root, kind = SYMBOLS[number % 4]
        symbol = f"<harmony><root><root-step>{root}</root-step></root><kind>{kind}</kind></harmony>"
        notes = "".join(NOTE.format("CDEFGAB"[(number + at) % 7], 4 + at % 2) for at in range(8))
        inside = ATTRIBUTES * (number == 0) + symbol + notes
        bars.append(f'<measure number="{number + 1}">{inside}</measure>')
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Ida</part-name>'
        f'</score-part></part-list><part id="P1">{"".join(bars)}</part></score-partwise>'
    ).encode()


@cache
def book() -> PhraseBook:
    """A book of many phrases."""
    made = PhraseBook(FOLDER / "many.sqlite")
    made.import_json(export())
    return made


@cache
def export() -> str:
    """The text of as many phrases, each with a name of its own."""
    line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
    one = PhraseBook(FOLDER / "one.sqlite")
    one.keep("turn", line, replace=True)
    data = json.loads(one.export_json())
    data["phrases"] = [{**data["phrases"][0], "name": f"turn {n}"} for n in range(PHRASES)]
    return json.dumps(data)


def read_line() -> int:
    """Read the part as a line."""
    file = FOLDER / "part.musicxml"
    file.write_bytes(score())
    return len(open_line(file).line.notes)


def read_sheet() -> int:
    """Read the part as a lead sheet."""
    return len(lead_sheet_of_bytes("part.musicxml", score()).chart.bars)


def brought_in() -> int:
    """Bring the phrases into a new book."""
    file = FOLDER / "new.sqlite"
    file.unlink(missing_ok=True)
    return len(PhraseBook(file).import_json(export()))


@cache
def full() -> Path:
    """Return the largest score there may be."""
    file = FOLDER / "full.musicxml"
    file.write_bytes(full_score())
    return file


def refused() -> None:
    """Look over the largest score; raise where it is read."""
    try:
        look_over(full())
    except TheoryError:
        return
    raise ValueError("the largest score is read")


BENCHES = (
    Bench("a part of 600 bars as a line", read_line, None, median_at_most(HONEST), 3),
    Bench("a part of 600 bars as a lead sheet", read_sheet, None, median_at_most(HONEST), 3),
    Bench("20,000 names of a book", lambda: book().names, None, median_at_most(QUICK), 3),
    Bench("a list of 20,000 phrases", lambda: book().listed(), None, median_at_most(QUICK), 3),
    Bench("20,000 phrases brought in", brought_in, None, median_at_most(HONEST), 3),
    Bench("the largest score looked over", refused, None, median_at_most(QUICK), 3),
)
