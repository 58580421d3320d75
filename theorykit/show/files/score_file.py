"""A line out of a MusicXML score: its notes, its chord symbols, its key, title and tempo."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.lines.text import TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.show.files.line_file import LineFile, bars_with_chords, line_over
from theorykit.show.files.score_notes import Measure, Sound, measures_of, written_c
from theorykit.show.files.score_parts import (
    ScorePart,
    chords_of,
    melody_part,
    parts_of,
    symbols_beside,
    unread_times,
)
from theorykit.show.files.signatures import MOST_SIGNS, signature_of, tempi_of
from theorykit.show.files.untrusted import Score
from theorykit.tunes.progression import Progression

C = Note("C")


def line_of_score(
    score: Score, *, over: Progression | None = None, part: str | int | None = None
) -> LineFile:
    """Return the melody of a score as a line, in sounding pitch.

    ``part`` names the part to take, or counts it from 1; ``over`` is the progression to set the
    line over, in place of the chord symbols of the file.
    """
    parts = parts_of(score.root)
    chosen = melody_part(parts, part)
    report = part_taken(chosen, parts, part) + unread_times(chosen.element)
    measures, pickup = measures_of(chosen)
    lengths = [measure.beats for measure in measures[1 if pickup else 0 :]]
    home = _key(chosen.element, report)
    symbols = _symbols(parts, chosen, measures, home, report)
    notes = tuple(notes_of(measures, report))
    if not notes:
        raise TheoryError("no music in this file: no part has a note that lasts")
    bars = bars_with_chords(lengths, symbols)
    line = line_over(notes, home, bars, over)
    return LineFile(line, title_of(score.root), tempo_of(score.root), tuple(report))


def part_taken(chosen: ScorePart, parts: tuple[ScorePart, ...], wanted: object) -> list[str]:
    """Say which part was taken where there was a choice."""
    others = [part.name or part.id for part in parts if part.notes and part is not chosen]
    if not others or wanted is not None:
        return []
    return [f"Of {len(others) + 1} parts {chosen.name or chosen.id!r} was taken as the melody."]


def _key(part: Element, report: list[str]) -> Key:
    """Return the key of the signature as it sounds; without a mode it is taken for major."""
    signature = signature_of(part)
    if any(measure.find("attributes/key") is not None for measure in part.findall("measure")[1:]):
        report.append("The key signature changes later, which is left out.")
    if signature.fifths is None:
        report.append(f"{signature.told}; it is taken for C major.")
        return Key(C)
    if not signature.mode:
        report.append("The key signature does not say major or minor; it is taken for major.")
    mode = signature.mode or "major"
    sounding = signature.fifths + written_c(part).fifths
    sounding -= 12 * (sounding > MOST_SIGNS) - 12 * (sounding < -MOST_SIGNS)
    return Key(Note.from_fifths(sounding + (3 if mode == "minor" else 0)), mode)


def _symbols(
    parts: tuple[ScorePart, ...],
    chosen: ScorePart,
    measures: list[Measure],
    home: Key,
    report: list[str],
) -> list[tuple[Fraction, Chord]]:
    """Return the chord symbols with their beats: of the part, or of the part that has most."""
    source = chosen if chosen.symbols else max(parts, key=lambda part: part.symbols)
    found, problems = chords_of(source.element)
    report.extend(told_of(problems))
    report.extend(symbols_beside(parts, source))
    if not found:
        report.append("The file has no chord symbols; the line stands over N.C.")
    root = written_c(source.element)
    placed = []
    for symbol in found:
        if symbol.measure < len(measures):
            beat = measures[symbol.measure].start + symbol.beat
            sounding = symbol.chord.transposed(C, root, home.notes) if root != C else symbol.chord
            placed.append((max(beat, Fraction(0)), sounding))
    return placed


MOST_PROBLEMS = 10  # told one by one


def told_of(problems: Sequence[str]) -> list[str]:
    """Return what could not be read as sentences: some one by one, the others counted.

    >>> told_of(["bar 1: no chord"])
    ['Bar 1: no chord.']
    """
    told = [f"{one[:1].upper()}{one[1:]}." for one in problems[:MOST_PROBLEMS]]
    more = len(problems) - MOST_PROBLEMS
    return [*told, f"{more} more chord symbols are not read as they stand."] if more > 0 else told


def notes_of(measures: list[Measure], report: list[str]) -> Iterator[TimedNote]:
    """Run through the notes one at a time: of a chord the highest, of two voices the upper."""
    heard: list[Sound] = []
    graces = 0
    for measure in measures:
        for sound in measure.sounds:
            graces += sound.is_grace
            if not sound.is_grace:
                heard.append(replace(sound, start=measure.start + sound.start))
    single, under = _upper(heard)
    yield from _on_grid(single, report)
    if graces:
        report.append(f"{graces} grace notes are left out.")
    if under:
        report.append(f"{under} notes that sound under a higher one are left out.")


def _upper(heard: list[Sound]) -> tuple[list[Sound], int]:
    """Return one voice, and how many notes under it are gone."""
    found: list[Sound] = []
    for sound in sorted(heard, key=lambda one: (one.start, -one.pitch.midi)):
        if found and found[-1].start == sound.start:
            continue
        if found and found[-1].start + found[-1].beats > sound.start:
            found[-1] = replace(found[-1], beats=sound.start - found[-1].start)
        found.append(sound)
    return found, len(heard) - len(found)


def _on_grid(sounds: list[Sound], report: list[str]) -> Iterator[TimedNote]:
    """Run through notes at times that a page can hold; others are moved and told."""
    moved = quarters = 0
    for sound in sounds:
        end = sound.start + sound.beats
        first, last = _nearest(sound.start), _nearest(end)
        moved += (first, last) != (sound.start, end)
        quarters += sound.is_odd
        if last > first:
            yield TimedNote(sound.pitch, first, last - first)
    if moved:
        report.append(f"{moved} notes of odd divisions are moved to the nearest triplet or 16th.")
    if quarters:
        report.append(f"{quarters} quarter tones are moved to the half step beside them.")


def _nearest(beat: Fraction) -> Fraction:
    """Return the nearest place that a page can hold: on the 64th, or on the 24th of a beat."""
    if (beat * 16).denominator == 1 or (beat * 24).denominator == 1:
        return beat
    places = (Fraction(round(beat * 12), 12), Fraction(round(beat * 8), 8))
    return min(places, key=lambda place: abs(place - beat))


def title_of(root: Element) -> str:
    """Return the title of a score."""
    title = root.findtext("work/work-title") or root.findtext("movement-title") or ""
    return " ".join(title.split())[:200]


def tempo_of(root: Element) -> float | None:
    """Return the first tempo that a score states, in quarters a minute."""
    return next(iter(tempi_of(root)), None)
