"""Rows: a thing, or many of one kind, as a table for a data frame or a file of columns."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.harmony.counts import Evidence
from theorykit.harmony.identification import Identification
from theorykit.harmony.resolution import Resolution
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.subsets import Subset
from theorykit.harmony.substitution import Substitute
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.chorus import Chorus
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.scales import Scale
from theorykit.tunes.cadences import Cadence, Function, functions
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.views.things.given import thing

Row = dict[str, str | int | float]
MOST_ROWS = 1_000_000


def table(given: Any) -> list[Row]:
    """Return a thing as rows, each a dictionary with the same keys: what a data frame is made of.

    A chord has a row for each note, a line for each note with its degree, a chart for each chord
    with its job. Many things of one kind, such as ``cadences(chart)`` or ``shortcuts("G7", "b9")``,
    have a row each. Names are plain ASCII; beats count from 0 and bars from 1.

    >>> table("G7")[1]
    {'degree': '3', 'note': 'B'}
    >>> from theorykit.tunes.cadences import cadences
    >>> [row["kind"] for row in table(cadences("Dm7 | G7 | C6 | %"))]
    ['ii-V-I']
    """
    if isinstance(given, str) or type(given) in _PARTS:
        one = thing(given)
        return _PARTS[type(one)](one)
    if type(given) in _ONE:
        return [_ONE[type(given)](given)]
    if not isinstance(given, Iterable) or isinstance(given, (bytes, dict)):
        raise TheoryError(f"no table of this: {shown(given)} (want a thing, or a list of them)")
    return _many(list(given))


def _many(values: list[Any]) -> list[Row]:
    """Return a row for each of many things of one kind."""
    kinds = {type(value) for value in values}
    if len(kinds) > 1 or not kinds <= _ONE.keys():
        names = sorted(kind.__name__ for kind in kinds)
        accepted = ", ".join(sorted(kind.__name__ for kind in _ONE))
        raise TheoryError(f"no table of {', '.join(names)} (want things of one kind: {accepted})")
    return [_ONE[type(value)](value) for value in values]


def _said(values: Iterable[object]) -> str:
    """Return values as words in a cell."""
    return " ".join(map(str, values))


def _number(beats: Fraction) -> float:
    """Return beats as a number that a data frame takes."""
    return float(beats)


# === The parts of one thing ===


def _notes(one: Chord | Scale) -> list[Row]:
    """Return a row for each note."""
    return [
        {"degree": str(degree), "note": str(note)}
        for degree, note in zip(one.degrees, one.notes, strict=True)
    ]


def _colour(one: Colour) -> list[Row]:
    """Return a row for each degree."""
    return [{"degree": str(d), "tension": int(d in one.tensions)} for d in one.degrees]


def _shortcut(one: Shortcut) -> list[Row]:
    """Return a row for each note of the shape."""
    clashes = one.clashes
    return [
        {"note": str(note), "degree": str(degree), "clashes": int(degree in clashes)}
        for note, degree in zip(one.notes, one.degrees, strict=True)
    ]


def _resolution(found: Resolution) -> list[Row]:
    """Return a row for each move."""
    return [
        {
            "degree": str(move.degree),
            "note": str(move.note),
            "to note": str(move.to_note),
            "to degree": str(move.to_degree),
            "half steps": move.semitones,
        }
        for move in found.moves
    ]


def _substitute(found: Substitute) -> list[Row]:
    """Return a row for each note of each chord, with its degree over the dominant."""
    return [
        {"chord": str(chord), "note": str(note), f"over {found.dominant}": str(degree)}
        for chord in found.chords
        for note, degree in zip(chord.notes, degrees_over(found.dominant, chord.notes), strict=True)
    ]


def _identification(found: Identification) -> list[Row]:
    """Return a row for each note, with why it rubs if it does."""
    why = {note: reason for note, _, reason in found.clashes}
    return [
        {"note": str(note), "degree": str(degree), "rubs": why.get(note, "")}
        for note, degree in zip(found.notes, found.degrees, strict=True)
    ]


def _progression(over: Progression) -> list[Row]:
    """Return a row for each chord."""
    return [
        {
            "bar": placed.bar + 1,
            "beat": _number(placed.start),
            "chord": str(placed.chord),
            "beats": _number(placed.beats),
        }
        for placed in over.chords
    ]


def _line(line: Line) -> list[Row]:
    """Return a row for each note, with its degree over the chord of the moment."""
    rows: list[Row] = []
    for note in line.notes:
        placed = line.progression.chord_at(note.start)
        over, silent = placed.chord, placed.chord.is_silent
        rows.append(
            {
                "bar": placed.bar + 1,
                "beat": _number(note.start),
                "pitch": str(note.pitch),
                "midi": note.pitch.midi,
                "beats": _number(note.beats),
                "chord": str(over),
                "degree": "" if silent else str(degrees_over(over, [note.pitch.note])[0]),
            }
        )
    return rows


def _chart(chart: Chart) -> list[Row]:
    """Return a row for each chord as it is played, with its job."""
    where = _progression(chart.progression)
    return [row | _one_function(job) for row, job in zip(where, functions(chart), strict=True)]


_PARTS: dict[type, Callable[[Any], list[Row]]] = {
    Chord: _notes,
    Scale: _notes,
    Colour: _colour,
    Shortcut: _shortcut,
    Resolution: _resolution,
    Substitute: _substitute,
    Identification: _identification,
    Progression: _progression,
    Line: _line,
    Chart: _chart,
    LeadSheet: lambda sheet: _line(sheet.written) if sheet.melody else _chart(sheet.chart),
    Chorus: lambda chorus: _line(chorus.line),
}

# === One row for each of many ===


def _one_function(job: Function) -> Row:
    """Return the job of a chord."""
    target = str(job.target.chord) if job.target else ""
    return {"chord": str(job.chord), "role": job.role, "leads to": target, "words": job.words}


def _one_cadence(found: Cadence) -> Row:
    """Return a cadence; chords are counted from 0 as they are played, -1 where there is none."""
    first, last = found.bars
    return {
        "kind": found.kind,
        "key": str(found.key),
        "length": found.length,
        "first bar": first,
        "last bar": last,
        "ii": -1 if found.ii is None else found.ii,
        "V": found.v,
        "I": -1 if found.i is None else found.i,
        "target": str(found.target) if found.target else "",
        "substitute": found.substitute,
        "why": found.why,
    }


def _one_shortcut(one: Shortcut) -> Row:
    """Return a shortcut."""
    return {
        "chord": str(one.chord),
        "target": str(one.target),
        "shape": one.shape,
        "notes": _said(one.notes),
        "degrees": _said(one.degrees),
        "clashes": _said(one.clashes),
        "words": one.words,
    }


def _one_substitute(found: Substitute) -> Row:
    """Return a substitute."""
    return {
        "dominant": str(found.dominant),
        "target": str(found.target),
        "name": found.name,
        "chords": _said(found.chords),
        "keeps the tritone": int(found.keeps_tritone),
        "half steps": found.total,
    }


def _one_subset(row: Subset) -> Row:
    """Return a set of tensions with its shapes."""
    shapes = _said(route.shape for route in row.routes)
    return {"chord": str(row.chord), "tensions": row.name, "shapes": shapes, "words": row.words}


def _one_evidence(found: Evidence) -> Row:
    """Return a count."""
    return {
        "degree": str(found.degree),
        "going": found.going,
        "count": found.count,
        "notes": found.notes,
        "share": found.share,
        "low": found.low,
        "high": found.high,
    }


_ONE: dict[type, Callable[[Any], Row]] = {
    Cadence: _one_cadence,
    Chord: lambda one: {
        "chord": str(one), "notes": _said(one.notes), "degrees": _said(one.degrees),
    },
    Colour: lambda one: {
        "name": one.name, "degrees": _said(one.degrees), "targets": _said(one.targets),
        "source": one.source,
    },
    Evidence: _one_evidence,
    Function: _one_function,
    Key: lambda one: {"key": str(one), "notes": _said(one.notes)},
    Scale: lambda one: {"scale": str(one), "notes": _said(one.notes)},
    Shortcut: _one_shortcut,
    Subset: _one_subset,
    Substitute: _one_substitute,
}  # fmt: skip
