"""Records: a thing as plain data for JSON or TOML, and back; ``to_dict`` tells the schema."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.harmony.identification import Identification, identify
from theorykit.harmony.resolution import Resolution, resolve
from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitution import Substitute, substitute
from theorykit.lines.chorus import Chorus, Phrase, Window
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.scales import SCALES, Scale, ScaleRow
from theorykit.study.phrase import bar_of_timed, timed_chords
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.tunes.treatments import Treatment

VERSION = 1
Data = dict[str, Any]
_TEXTS = {
    "note": Note, "pitch": Pitch, "degree": Degree, "key": Key, "chord": Chord, "chart": Chart,
    "treatment": Treatment,
}  # fmt: skip


def to_dict(value: Any) -> Data:
    """Return a value as plain data: texts, numbers, lists and dictionaries.

    The schema, version 1. Every record has ``theorykit``, the version, and ``kind``; this table
    says what else it has. Notes, chords, keys, degrees, pitches and lines are in their text form,
    beats are text such as ``"3/2"``. Later versions keep reading what version 1 wrote.

    | kind | entries |
    |---|---|
    | note, pitch, degree, key, chord, treatment, chart | ``text`` |
    | scale | ``root``, ``name``, ``formula`` |
    | colour | ``name``, ``degrees``, ``targets``, ``source``, ``scale``, ``passing``, \
``aliases``, ``title`` |
    | shortcut | ``chord``, ``target``, ``shape``, ``formula``, ``family``, ``place``, \
``second``, ``wanted`` |
    | resolution | ``chord``, ``colour``, ``target`` |
    | substitute | ``name``, ``dominant``, ``target`` |
    | identification | ``notes``, ``over``, ``target`` |
    | progression | ``key``, ``bars``: for each bar its chords, each with its beats |
    | line | ``text``, ``over``: a progression |
    | lead sheet | ``chart``, ``melody``, ``words`` |
    | chorus | ``chart``, ``treated``, ``choruses``, ``line``, ``over``, ``phrases``, ``closes`` |

    >>> to_dict(Chord.parse("G7"))
    {'theorykit': 1, 'kind': 'chord', 'text': 'G7'}
    >>> from_dict(to_dict(Chord.parse("G7")))
    Chord.parse('G7')
    """
    for kind, (cls, write, _) in _KINDS.items():
        if type(value) is cls:
            return {"theorykit": VERSION, "kind": kind, **write(value)}
    accepted = ", ".join(_KINDS)
    raise TheoryError(f"no record of this: {shown(value)} (want one of these: {accepted})")


def from_dict(data: Any) -> Any:
    """Return the value that a record tells of: the reverse of ``to_dict``.

    >>> from_dict({"theorykit": 1, "kind": "tempo"})
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such kind of record: 'tempo' (want note, pitch, degree, key, \
chord, chart, treatment, scale, colour, shortcut, resolution, substitute, identification, \
progression, line, lead sheet, chorus)
    """
    if not isinstance(data, Mapping) or type(data.get("theorykit")) is not int:
        raise TheoryError(f"not a record: {shown(data)} (want what to_dict returns)")
    if not 1 <= data["theorykit"] <= VERSION:
        version = shown(data["theorykit"])
        raise TheoryError(f"a record of version {version} (want at most {VERSION}: update)")
    kind = data.get("kind")
    if not isinstance(kind, str) or kind not in _KINDS:
        raise TheoryError(f"no such kind of record: {shown(kind)} (want {', '.join(_KINDS)})")
    try:
        return _KINDS[kind][2](data)
    except TheoryError:
        raise
    except (AttributeError, KeyError, TypeError, ValueError, ZeroDivisionError, IndexError) as odd:
        what = f"no entry {odd}" if isinstance(odd, KeyError) else str(odd)
        raise TheoryError(f"not a {kind}: {what} (want what to_dict returns)") from None


def _said(values: Any) -> str:
    """Return degrees or notes as one text."""
    return " ".join(map(str, values))


def _texts(data: Any, name: str) -> tuple[str, ...]:
    """Return a list of texts."""
    found = data.get(name, [])
    if not isinstance(found, (list, tuple)) or not all(isinstance(one, str) for one in found):
        raise TheoryError(f"not {name}: {shown(found)} (want a list of texts)")
    return tuple(found)


# === Rows of tables ===


def _scale_data(scale: Scale) -> Data:
    """Return a scale as data."""
    return {"root": str(scale.root), "name": scale.row.name, "formula": scale.row.formula}


def _scale(data: Data) -> Scale:
    """Return a scale: of the table, or an own one."""
    known = next((row for row in SCALES if row.name == data["name"]), None)
    if known is None or known.formula != data["formula"]:
        known = ScaleRow(data["name"], data["formula"])
    return Scale(Note.parse(data["root"]), known)


def _colour_data(one: Colour) -> Data:
    """Return a colour as data."""
    return {
        "name": one.name,
        "degrees": _said(one.degrees),
        "targets": list(one.targets),
        "source": one.source,
        "scale": one.scale,
        "passing": _said(one.passing),
        "aliases": list(one.aliases),
        "title": one.title,
    }


def _colour(data: Data) -> Colour:
    """Return a colour: of the table, or an own one."""
    passing = data.get("passing", "")
    return Colour(
        data["name"],
        degrees(data["degrees"]),
        _texts(data, "targets"),
        data["source"],
        data.get("scale", ""),
        degrees(passing) if passing else (),
        _texts(data, "aliases"),
        data.get("title", ""),
    )


def _shortcut_data(one: Shortcut) -> Data:
    """Return a shortcut as data."""
    row = one.row
    told = {
        "chord": str(one.chord), "target": str(one.target), "shape": row.suffix,
        "formula": row.formula, "family": row.family, "place": one.place,
        "wanted": _said(one.wanted),
    }  # fmt: skip
    return told if one.second is None else told | {"second": one.second}


def _shortcut(data: Data) -> Shortcut:
    """Return a shortcut; a shape that is not in the table stands last."""
    told = data["shape"], data["formula"], data["family"]
    row = next((s for s in SHAPES if (s.suffix, s.formula, s.family) == told), None)
    wanted = data.get("wanted", "")
    return Shortcut(
        Chord.parse(data["chord"]),
        Chord.parse(data["target"]),
        row or Shape(*told, len(SHAPES)),
        data["place"] % 12,
        data["second"] % 12 if "second" in data else None,
        degrees(wanted) if wanted else (),
    )


# === What is worked out again ===


def _resolution_data(found: Resolution) -> Data:
    """Return what a resolution is worked out from."""
    told = _said(found.colour)
    return {"chord": str(found.chord), "colour": told, "target": str(found.target)}


def _resolution(data: Data) -> Resolution:
    """Return a resolution, worked out again."""
    wanted = degrees(data["colour"]) if data["colour"] else None
    return resolve(data["chord"], wanted, data["target"])


def _substitute_data(found: Substitute) -> Data:
    """Return what a substitute is found by."""
    dominant, target = str(found.dominant), str(found.target)
    return {"name": found.name, "dominant": dominant, "target": target}


def _identification_data(found: Identification) -> Data:
    """Return what was identified."""
    told = {"notes": found.sounds.name, "over": str(found.over)}
    return told if found.target is None else told | {"target": str(found.target)}


# === Music in time ===


def _over_data(over: Progression) -> Data:
    """Return bars with their chords and beats as data."""
    bars = [[[*timed] for timed in timed_chords(bar)] for bar in over.bars]
    return {"key": str(over.key), "bars": bars}


def _over(data: Data) -> Progression:
    """Return a progression."""
    return Progression(Key.parse(data["key"]), tuple(map(bar_of_timed, data["bars"])))


def _line_data(line: Line) -> Data:
    """Return a line as data."""
    return {"text": line.text, "over": _over_data(line.progression)}


def _sheet_data(sheet: LeadSheet) -> Data:
    """Return a lead sheet as data."""
    words = [list(verses) for verses in sheet.words]
    return {"chart": str(sheet.chart), "melody": sheet.written.text, "words": words}


def _sheet(data: Data) -> LeadSheet:
    """Return a lead sheet."""
    chart = Chart.parse(data["chart"])
    over = LeadSheet(chart).written.progression
    words = tuple(tuple(verses) for verses in data.get("words", []))
    return LeadSheet(chart, Line.parse(data["melody"], over).notes, words)


def _chorus_data(chorus: Chorus) -> Data:
    """Return a chorus as data, its phrases with their windows."""
    over = chorus.line.progression
    phrases = [
        {
            "start": str(one.window.start), "landing": str(one.window.landing),
            "end": str(one.window.end), "key": str(one.window.key), "colour": one.window.colour,
            "v": one.window.v, "chorus": one.window.chorus, "text": Line(over, one.notes).text,
            "problem": one.problem,
        }
        for one in chorus.phrases
    ]  # fmt: skip
    return {
        "chart": str(chorus.chart),
        "treated": str(chorus.treated),
        "choruses": chorus.choruses,
        "line": chorus.line.text,
        "over": _over_data(over),
        "phrases": phrases,
        "closes": chorus.closes,
    }


def _chorus(data: Data) -> Chorus:
    """Return a chorus."""
    over = _over(data["over"])
    phrases = tuple(_phrase(one, over) for one in data["phrases"])
    charts = Chart.parse(data["chart"]), Chart.parse(data["treated"])
    line = Line.parse(data["line"], over)
    return Chorus(*charts, int(data["choruses"]), line, phrases, bool(data["closes"]))


def _phrase(data: Data, over: Progression) -> Phrase:
    """Return one phrase of a chorus."""
    start, landing, end = (Fraction(data[name]) for name in ("start", "landing", "end"))
    window = Window(
        start, landing, end, Key.parse(data["key"]), data["colour"], data["v"], data["chorus"]
    )
    return Phrase(window, Line.parse(data["text"], over).notes, data["problem"])


def _of_text(cls: Any) -> _Row:
    """Return how a value that is its text is written and read."""
    return cls, lambda one: {"text": str(one)}, lambda data: cls.parse(data["text"])


_Row = tuple[type, Callable[[Any], Data], Callable[[Any], Any]]
_KINDS: dict[str, _Row] = {
    **{kind: _of_text(cls) for kind, cls in _TEXTS.items()},
    "scale": (Scale, _scale_data, _scale),
    "colour": (Colour, _colour_data, _colour),
    "shortcut": (Shortcut, _shortcut_data, _shortcut),
    "resolution": (Resolution, _resolution_data, _resolution),
    "substitute": (
        Substitute,
        _substitute_data,
        lambda data: substitute(data["name"], data["dominant"], data["target"]),
    ),
    "identification": (
        Identification,
        _identification_data,
        lambda data: identify(data["notes"], data["over"], data.get("target")),
    ),
    "progression": (Progression, _over_data, _over),
    "line": (Line, _line_data, lambda data: Line.parse(data["text"], _over(data["over"]))),
    "lead sheet": (LeadSheet, _sheet_data, _sheet),
    "chorus": (Chorus, _chorus_data, _chorus),
}
