"""Pictures of things, each as its own page shows it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.harmony.identification import Identification
from theorykit.harmony.resolution import Resolution
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.subsets import Subset
from theorykit.harmony.substitution import Substitute
from theorykit.lines.chorus import Chorus
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.reading import LineReading
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, reader_words
from theorykit.notes.reader import Reader
from theorykit.notes.scales import Scale
from theorykit.show import cells
from theorykit.show.cells import Shown, noted, pictured
from theorykit.show.engraving import staff_svg
from theorykit.show.own_reader import fingerboard_for, reader_or_own
from theorykit.show.pictures import picture_svg
from theorykit.show.tune_cells import see_chorus, see_tune
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.views.clock import clock_of
from theorykit.views.keyboard import KeyboardView, plain_keyboard
from theorykit.views.motion import motion_of
from theorykit.views.staves import lead_sheet_staff
from theorykit.views.things import Thing, found_keys, number, scale_keys, thing, written_for

SIZES, LARGEST = ("a scale", "a number, the size in percent"), 1000
SCALE, SHEET_SCALE, SHEET_WIDTH = 50, 32, 900


def see_thing(given: Thing | str, who: Reader | str | None, scale: float | None) -> Shown:
    """Return the picture of a thing for a reader, by default for what the reader plays."""
    one = thing(given)
    if scale is not None and not 1 <= number(scale, *SIZES) <= LARGEST:
        raise TheoryError(f"scale out of range: {shown(scale)} (want 1 to {LARGEST} percent)")
    return _PICTURES[type(one)](one, reader_or_own(who), scale)


def picture_of(value: object) -> Shown | None:
    """Return the picture of a value, or None where words say it best."""
    if isinstance(value, LineReading):
        return cells.see_reading(value.line)
    if isinstance(value, Subset):
        return cells.see_tensions([value])
    make = _PICTURES.get(type(value))
    return make(value, reader_or_own(None), None) if make else None


def _told(shown: Shown, who: Reader, page: object, sounding: object) -> Shown:
    """Return what is shown with a sentence on what it sounds as, where it is not what is read."""
    said = f"Written for {who.name}: your {page} sounds as {sounding}."
    return noted(shown, said if who.transposes else "")


def _keys(view: KeyboardView, who: Reader) -> Shown:
    """Return a keyboard, and the fingerboard of a reader who has one."""
    shown = pictured(view, view.alt)
    board = fingerboard_for(who, view)
    if board is None:
        return shown
    both = f"<div>{shown.html}{picture_svg(board, scale=cells.FINGERBOARD_SCALE)}</div>"
    return replace(shown, html=both, words=f"{view.alt} {board.alt}")


def _chord(chord: Chord, who: Reader, scale: float | None) -> Shown:
    """Return the keyboard of a chord."""
    page = written_for(chord, who)
    return _told(_keys(plain_keyboard(page), who), who, page.pretty, chord.pretty)


def _scale(one: Scale, who: Reader, scale: float | None) -> Shown:
    """Return the keyboard of a scale."""
    page = written_for(one, who)
    return _told(_keys(scale_keys(page), who), who, page.pretty, one.pretty)


def _colour(one: Colour, who: Reader, scale: float | None) -> Shown:
    """Return the table of a colour: its best shortcut in all major or all minor keys."""
    mode = one.targets[0] if one.targets else "major"
    return cells.see_colours([key for key in KEYS if key.mode == mode], [one])


def _identification(found: Identification, who: Reader, scale: float | None) -> Shown:
    """Return the keyboard of notes over their chord, with all that is said of them."""
    page = written_for(found, who)
    shown = replace(_keys(found_keys(page), who), words=" ".join(page.words))
    told = cells.tell(page)
    with_words = replace(shown, html=f"<div>{shown.html}{told.html}</div>")
    return _told(with_words, who, page.over.pretty, found.over.pretty)


def _resolution(found: Resolution, who: Reader, scale: float | None) -> Shown:
    """Return the motion of the notes."""
    page = written_for(found, who)
    view = motion_of(page)
    return _told(pictured(view, view.alt), who, page.chord.pretty, found.chord.pretty)


def _substitute(found: Substitute, who: Reader, scale: float | None) -> Shown:
    """Return the clock of a dominant with its substitute, and why it may stand there."""
    page = written_for(found, who)
    view = clock_of(page.dominant, None, page.chords[-1])
    shown = pictured(view, view.alt)
    told = cells.tell(page)
    whole = replace(shown, html=f"<div>{shown.html}{told.html}</div>", words=" ".join(page.words))
    return _told(whole, who, page.dominant.pretty, found.dominant.pretty)


def _line(line: Line, who: Reader, scale: float | None) -> Shown:
    """Return the staff of a line."""
    return cells.see(line, written_for=who.name, scale=scale or SCALE)


def _sheet(sheet: LeadSheet, who: Reader, scale: float | None) -> Shown:
    """Return the staff of a lead sheet."""
    view = lead_sheet_staff(sheet, reader=who)
    staff = staff_svg(view, scale=scale or SHEET_SCALE, width=SHEET_WIDTH, bars_per_line=4)
    return noted(pictured(staff, view.alt), reader_words(who, sheet.chart.key))


_Draw = Callable[[Any, Reader, float | None], Shown]
_PICTURES: dict[type, _Draw] = {
    Chord: _chord,
    Scale: _scale,
    Colour: _colour,
    Shortcut: lambda one, who, _: cells.see_keys(one, written_for=who.name),
    Identification: _identification,
    Resolution: _resolution,
    Substitute: _substitute,
    Progression: lambda over, who, scale: _line(Line(over, ()), who, scale),
    Line: _line,
    Chart: lambda chart, who, _: see_tune(chart, written_for=who.name),
    LeadSheet: _sheet,
    Chorus: lambda chorus, who, _: see_chorus(chorus, written_for=who.name),
}
