"""Things: a value, or a text that is read as one; and the same on a reader's page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar, overload

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.identification import Identification, identify
from theorykit.harmony.resolution import Resolution, resolve
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitution import Substitute, substitute
from theorykit.harmony.tensions import written_pair
from theorykit.lines.chorus import Chorus
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import Reader, reader
from theorykit.notes.scales import Scale
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression

LONGEST = 100_000  # characters of a text that is tried as one thing after the other

Thing = (
    Chord | Scale | Colour | Shortcut | Resolution | Substitute | Identification
    | Progression | Line | Chart | LeadSheet | Chorus
)  # fmt: skip
_WORDS: dict[type, str] = {
    Chord: "a chord", Scale: "a scale", Colour: "a colour", Shortcut: "a shortcut",
    Resolution: "a resolution", Substitute: "a substitute", Identification: "an identification",
    Progression: "a progression", Line: "a line", Chart: "a chart", LeadSheet: "a lead sheet",
    Chorus: "a chorus",
}  # fmt: skip
WANT = (
    "want a chord, scale, colour, shortcut, line, chart or the like, or text such as 'G7', "
    "'C dorian', 'b9 13' or '| Dm7 | G7 | C6 |'"
)


def kind_of(given: Thing) -> str:
    """Return what a thing is, in words.

    >>> kind_of(Chord.parse("G7"))
    'a chord'
    """
    return _WORDS[type(given)]


def thing(given: Thing | str) -> Thing:
    """Return a thing as it is, and a text as the chord, scale, colour or chart that it is.

    A text with bar lines is a chart; its key is found from the changes unless a line says it.

    >>> [kind_of(thing(text)) for text in ("G7", "G altered", "b9 13", "Dm7 | G7 | C6")]
    ['a chord', 'a scale', 'a colour', 'a chart']
    >>> thing("blue")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a thing to show: 'blue' (want a chord, scale, colour, \
shortcut, line, chart or the like, or text such as 'G7', 'C dorian', 'b9 13' or \
'| Dm7 | G7 | C6 |')
    """
    if type(given) in _WORDS:
        return given  # type: ignore[return-value]  # one of them, as the table says
    if not isinstance(given, str) or len(given) > LONGEST:
        raise TheoryError(f"not a thing to show: {shown(given)} ({WANT})")
    if "|" in given:
        return Chart.parse(given if given.lstrip().startswith("|") or "\n" in given
                           else f"| {given} |")  # fmt: skip
    readers: tuple[Callable[[str], Thing], ...] = (Chord.parse, Scale.parse, colour)
    for read in readers:
        try:
            return read(given)
        except TheoryError:
            continue
    raise TheoryError(f"not a thing to show: {shown(given)} ({WANT})")


_Named = TypeVar(
    "_Named", Note, Pitch, Key, Chord, Scale, Colour, Shortcut, Resolution, Substitute,
    Identification, Progression, Line, Chart, LeadSheet, Chorus,
)  # fmt: skip


@overload
def written_for(given: str, who: Reader | str) -> Chord | Scale | Chart | Colour: ...


@overload
def written_for(given: _Named, who: Reader | str) -> _Named: ...


def written_for(given: Any, who: Reader | str) -> Any:
    """Return a thing, or what a text means, as it stands on the page of a reader.

    ``who`` is a reader or an instrument, such as ``"B flat"`` or ``"alto saxophone"``.

    >>> str(written_for("G7", "trumpet")), str(written_for("Dm7 | G7 | C6", "alto")).split("|")[1]
    ('A7', ' Bm7 ')
    >>> print(written_for(resolve("G7", "b9", "C"), "trumpet").moves[0].note)
    A
    """
    page = reader(who)
    one = given if isinstance(given, (Note, Pitch, Key)) else thing(given)
    change = _PAGES.get(type(one))
    return change(one, page) if change else one.written_for(page)  # type: ignore[union-attr]


def _scale(scale: Scale, who: Reader) -> Scale:
    """Return a scale on the page."""
    return replace(scale, root=scale.root.written_for(who))


def _resolution(found: Resolution, who: Reader) -> Resolution:
    """Return a resolution on the page."""
    chord, target = written_pair(found.chord, found.target, who)
    return resolve(chord, found.colour or None, target)


def _substitute(found: Substitute, who: Reader) -> Substitute:
    """Return a substitute on the page."""
    return substitute(found.name, *written_pair(found.dominant, found.target, who))


def _identification(found: Identification, who: Reader) -> Identification:
    """Return an identification on the page; a chord that was given stays a chord."""
    if found.target is None:
        over, target = found.over.written_for(who), None
    else:
        over, target = written_pair(found.over, found.target, who)
    old, new = found.over.root, over.root
    notes = [note.moved(old, new) for note in found.notes]
    named = thing(found.sounds.name) if found.sounds.is_named else None
    if isinstance(named, Chord):
        return identify(named.transposed(old, new), over, target)
    if isinstance(named, Scale):
        return identify(replace(named, root=named.root.moved(old, new)), over, target)
    return identify(notes, over, target)


def _lead_sheet(sheet: LeadSheet, who: Reader) -> LeadSheet:
    """Return a lead sheet on the page."""
    melody = sheet.written.written_for(who).notes
    return replace(sheet, chart=sheet.chart.written_for(who), melody=melody)


def _chorus(chorus: Chorus, who: Reader) -> Chorus:
    """Return a chorus on the page, its phrases with it."""
    over = chorus.line.progression
    phrases = tuple(
        replace(
            phrase,
            window=replace(phrase.window, key=phrase.window.key.written_for(who)),
            notes=Line(over, phrase.notes).written_for(who).notes,
        )
        for phrase in chorus.phrases
    )
    chart, treated = chorus.chart.written_for(who), chorus.treated.written_for(who)
    line = chorus.line.written_for(who)
    return replace(chorus, chart=chart, treated=treated, line=line, phrases=phrases)


_PAGES: dict[type, Callable[[Any, Reader], Any]] = {
    Scale: _scale,
    Colour: lambda one, _: one,
    Resolution: _resolution,
    Substitute: _substitute,
    Identification: _identification,
    LeadSheet: _lead_sheet,
    Chorus: _chorus,
}
