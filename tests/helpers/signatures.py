"""Public names with their signatures, and one value of each class as it is printed.

``PYTHONPATH=. python tests/helpers/signatures.py`` writes ``tests/signatures.txt`` anew. Look at
what it changes there: a program of a reader may rest on each of these lines.
"""

from __future__ import annotations

import inspect
import json
from collections.abc import Iterator
from pathlib import Path

import theorykit
from theorykit import (
    COLOURS,
    FORMS,
    KEYS,
    KINDS_OF_QUESTION,
    SCALES,
    Chart,
    Chord,
    Degree,
    Key,
    LeadSheet,
    Line,
    Note,
    Pitch,
    Scale,
    TheoryError,
    Treatment,
    Wishes,
    cadences,
    evidence,
    from_dict,
    functions,
    identify,
    resolve,
    shortcuts,
    subsets,
    substitutes,
    two_five_one,
)

FILE = Path(__file__).resolve().parents[1] / "signatures.txt"
OVER = two_five_one("Db", "short")
LINE = Line.parse("8th Eb4 Gb4 Bb4 Db5 quarter C5 8th Bbb4 F4 | whole F4", OVER)
RECORDS = Path(__file__).resolve().parents[1] / "earlier" / "2026-11-29_works" / "records.json"
CHORUS = from_dict(json.loads(RECORDS.read_text(encoding="utf-8"))[-1]["record"])
CHART = Chart.parse("title: Thursday\nkey: Db\n| Ebm7 | Ab7 | Dbmaj7 | % |")

# One value of each class, in the keys in which spelling shows.
VALUES: dict[str, object] = {
    "COLOURS": COLOURS[0],
    "Cadence": cadences(CHART)[0],
    "Chart": CHART,
    "Chord": Chord.parse("Db7b9#11"),
    "Chorus": CHORUS,
    "Colour": theorykit.colour("hearth: b9 11 13 to minor"),
    "Degree": Degree.parse("#11"),
    "Evidence": evidence("b9"),
    "FORMS": next(iter(FORMS)),
    "Function": functions(CHART)[1],
    "Identification": identify("F A C", "Ab7"),
    "KEYS": KEYS[-1],
    "KINDS_OF_QUESTION": KINDS_OF_QUESTION[0].name,
    "Key": Key.parse("Bb minor"),
    "LeadSheet": LeadSheet(CHART, LINE.notes[:2]),
    "Line": LINE,
    "Note": Note.parse("Cb"),
    "Pitch": Pitch.parse("Fb4"),
    "Progression": OVER,
    "Resolution": resolve("F7", "b9", "Bb minor"),
    "SCALES": next(iter(SCALES)),
    "Scale": Scale.parse("F# altered"),
    "Shortcut": shortcuts("Ab7", "b9 13")[0],
    "Subset": subsets("Ab7", "Db")[0],
    "Substitute": substitutes("Ab7", "Db")[0],
    "TheoryError": TheoryError("not a key: 'H' (want a key such as 'Db' or 'F# minor')"),
    "TimedNote": LINE.notes[0],
    "Treatment": Treatment.plain(CHART),
    "Wishes": Wishes(density="sparse"),
}


def signatures() -> Iterator[str]:
    """Every public function, and every class with what it offers."""
    for name in theorykit.__all__:
        public = getattr(theorykit, name)
        if inspect.isclass(public):
            yield from _of_class(name, public)
        elif callable(public):
            yield f"{name}{inspect.signature(public)}"
        else:
            yield f"{name}: {type(public).__name__}"


def _of_class(name: str, public: type) -> Iterator[str]:
    """How a class is made, and its public methods and properties that are not Python's own."""
    if not issubclass(public, Exception):
        yield f"{name}{inspect.signature(public)}"
    for part in sorted(vars(public)):
        if part.startswith("_"):
            continue
        held = inspect.getattr_static(public, part)
        if isinstance(held, property) or inspect.isdatadescriptor(held):
            yield f"{name}.{part}"
        elif callable(found := getattr(public, part)):
            yield f"{name}.{part}{inspect.signature(found)}"


def lines() -> list[str]:
    """The whole list: signatures, then values as they are printed."""
    return [*signatures(), "", *(f"{name}: {value!r}" for name, value in VALUES.items())]


if __name__ == "__main__":
    FILE.write_text("\n".join(lines()) + "\n", encoding="utf-8")
