"""A chart out of the bars of a lead sheet: its key, and in words the rest of the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Note
from theorykit.show.files.sheet_bars import SheetBar
from theorykit.show.files.signatures import signature_of
from theorykit.tunes.bars import (
    METRES,
    ChartBar,
    Metre,
    Section,
    in_order,
    is_section_name,
    jump_mark,
    with_named_coda,
)
from theorykit.tunes.charts import close_up, jump_faults, repeat_faults
from theorykit.tunes.home_key import home_key
from theorykit.tunes.progression import Bar

MINOR_STEP = 3  # fifths from a minor tonic down to that of the major key of its signature


def sheet_key(part: Element, chords: Sequence[tuple[Chord, Fraction]], report: list[str]) -> Key:
    """Return the key of the first signature of a part.

    Where the signature does not say major or minor, or there is none, the changes decide; where
    they point elsewhere than the signature, the report says so.
    """
    heard = home_key(chords)
    signature = signature_of(part)
    if signature.fifths is None:
        report.append(f"{signature.told}; its changes point to {heard.pretty}.")
        return heard
    said = signature.mode or heard.mode
    place = signature.fifths + (MINOR_STEP if said == "minor" else 0)
    key = key_at(Note.from_fifths(place), said)
    if not signature.mode:
        report.append(f"The key signature does not say major or minor; taken for {key.pretty}.")
    if heard != key and any(not chord.is_silent for chord, _ in chords):
        report.append(
            f"The signature says {key.pretty} and is kept; the changes point to {heard.pretty}."
        )
    return key


def key_at(tonic: Note, mode: str) -> Key:
    """Return the key on a tonic, or on its other name where no signature has that one.

    >>> str(key_at(Note.parse("G#"), "major"))
    'Ab major'
    """
    found = [key for key in KEYS if key.mode == mode and key.tonic.semitone == tonic.semitone]
    exact = [key for key in found if key.tonic == tonic]
    if not found:
        raise TheoryError(f"no {mode} key on {tonic}")
    return (exact or found)[0]


# === The chart ===

MOST_TOLD = 8  # jumps


def first_is_pickup(bars: Sequence[SheetBar]) -> bool:
    """Tell whether the first bar is a pickup: a short one without a chord."""
    first = bars[0]
    return len(bars) > 1 and 0 < first.beats < first.whole and not first.symbols


def fitted_bars(bars: Sequence[SheetBar], report: list[str]) -> list[SheetBar]:
    """Return bars of whole length: two parts of one bar joined, other short ones filled up."""
    found: list[SheetBar] = []
    for bar in bars:
        before = found[-1] if found else None
        short = 0 < bar.beats < bar.whole
        if before is not None and short and before.beats + bar.beats == bar.whole:
            _join(before, bar, report)
        else:
            found.append(bar)
    for bar in found:
        if 0 < bar.beats < bar.whole:
            report.append(
                f"Bar {bar.number} has {_count(bar.beats)} of {bar.time[0]}/{bar.time[1]}; "
                "it is filled up to a whole bar."
            )
        elif bar.beats > bar.whole:
            time = f"{bar.time[0]}/{bar.time[1]}"
            report.append(f"Bar {bar.number} is longer than {time}; it is cut.")
    return found


def _join(before: SheetBar, bar: SheetBar, report: list[str]) -> None:
    """Put the second part of a bar behind its first."""
    inside = [jump_mark(name).at_head for name in bar.marks]
    inside += [not jump_mark(name).at_head for name in before.marks]
    if before.closes or bar.opens or bar.ending or bar.section or any(inside):
        report.append(f"The signs inside bar {before.number} are moved to its bar lines.")
    before.parts += [(number, before.beats + beat) for number, beat in bar.parts]
    before.symbols += [(before.beats + beat, chord) for beat, chord in bar.symbols]
    before.beats = bar.whole
    before.closes = max(before.closes, bar.closes)
    before.section = before.section or bar.section
    before.words += bar.words
    before.marks = in_order((*before.marks, *bar.marks))


def _count(beats: Fraction) -> str:
    """Say a length in quarter notes."""
    return f"{float(beats):g} quarter{'' if beats == 1 else 's'}"


def chart_bars(bars: Sequence[SheetBar], report: list[str]) -> list[ChartBar]:
    """Return the bars as a chart has them: every bar with the chord that sounds there."""
    metres = {bar.time: _metre(bar, report) for bar in bars}
    sounding = at_ending = leaving = NO_CHORD
    found: list[ChartBar] = []
    for place, bar in enumerate(bars):
        again = bool(bar.ending) and place > 0 and bool(bars[place - 1].closes)
        if again:
            sounding = at_ending  # the second ending goes on from where the first one began
        elif bar.ending:
            at_ending = sounding
        if "coda" in bar.marks:
            sounding = leaving  # players come from the bar of the other coda sign
        content, sounding = _content(bar, metres[bar.time], sounding, report)
        leaving = sounding if "to coda" in bar.marks else leaving
        made = ChartBar(content, metres[bar.time], bar.opens, bar.closes, bar.ending, bar.marks)
        found.append(made)
    return _followed(_without_faults(found, report), bars, report)


def _metre(bar: SheetBar, report: list[str]) -> Metre:
    """Return the metre of a time signature, or one of the same length."""
    count, unit = bar.time
    exact = [metre for metre in METRES if (metre.count, metre.unit) == bar.time]
    same = [metre for metre in METRES if Fraction(4 * metre.count, metre.unit) == bar.whole]
    found = [*exact, *same]
    if not found:
        accepted = ", ".join(map(str, METRES))
        raise TheoryError(f"bar {bar.number}: no chart in {count}/{unit} (want {accepted})")
    if not exact:
        report.append(f"Bar {bar.number}: {count}/{unit} is written as {found[0]}.")
    return found[0]


def _content(bar: SheetBar, metre: Metre, sounding: Chord, report: list[str]) -> tuple[Bar, Chord]:
    """Return the chords of a bar with their beats, and the chord that sounds at its end."""
    finest = Fraction(metre.beats, metre.grids[-1])
    changes: dict[Fraction, Chord] = {Fraction(0): sounding}
    moved = 0
    for place, chord in sorted(bar.symbols, key=lambda one: one[0]):
        beat = place / metre.quarters
        near = min(round(beat / finest) * finest, metre.beats - finest)
        moved += near != beat
        changes[near] = chord
    if moved:
        report.append(f"Bar {bar.number}: {moved} chord(s) moved to the nearest place in the beat.")
    starts = sorted(changes)
    ends = [*starts[1:], Fraction(metre.beats)]
    timed = [(changes[start], end - start) for start, end in zip(starts, ends, strict=True)]
    return Bar.of(*timed), timed[-1][0]


def _without_faults(bars: list[ChartBar], report: list[str]) -> list[ChartBar]:
    """Return the bars with repeats that can be followed, or without any."""
    closed = close_up(bars, [0])
    faults = repeat_faults(closed)
    if not faults:
        return closed
    place, why = faults[0]
    report.append(f"The repeats cannot be followed and are left out: bar {place + 1}, {why}.")
    return [replace(bar, opens=False, closes=0, ending=()) for bar in bars]


def _followed(
    found: Sequence[ChartBar], bars: Sequence[SheetBar], report: list[str]
) -> list[ChartBar]:
    """Return the bars with jumps that can be followed, or without any."""
    marked = with_named_coda(found, [(bar.section, place) for place, bar in enumerate(bars)])
    faults = jump_faults(marked)
    if not faults:
        return marked
    place, _, why = faults[0]
    told = [f"{jump_mark(name).page} (bar {bar.number})" for bar in bars for name in bar.marks]
    report.append(
        f"These jumps are not followed; the chart goes straight on: {', '.join(told[:MOST_TOLD])}. "
        f"Bar {bars[place].number}: {why}."
    )
    return [replace(bar, marks=()) for bar in found]


def chart_sections(
    bars: Sequence[ChartBar], names: Sequence[str], report: list[str]
) -> tuple[Section, ...]:
    """Return the bars in their sections; ``names`` are those that begin, bar by bar."""
    named = [_is_name(name, place, report) for place, name in enumerate(names)]
    cuts = [place for place, begins in enumerate(named) if place == 0 or begins]
    ends = [*cuts[1:], len(bars)]
    return tuple(
        Section(names[start] if named[start] else "", tuple(bars[start:end]))
        for start, end in zip(cuts, ends, strict=True)
    )


def _is_name(name: str, place: int, report: list[str]) -> bool:
    """Tell whether a section can bear a name; one that cannot is told."""
    if name and not is_section_name(name):
        report.append(f"Bar {place + 1}: the section name {name[:40]!r} is left out.")
    return is_section_name(name)
