"""A line out of a MusicXML score, its notes read by music21.

music21 is imported when a file is read: that takes as long as all other imports together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.lines.text import TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.show.files.line_file import LineFile, bars_with_chords, line_over
from theorykit.show.files.score_parts import (
    ScorePart,
    chords_of,
    melody_part,
    parts_of,
    single_part,
    symbols_beside,
)
from theorykit.show.files.signatures import MOST_SIGNS, signature_of, tempi_of
from theorykit.show.files.untrusted import Score
from theorykit.tunes.progression import Progression

FINEST = 48  # parts of a beat that a time may fall on; other times are moved to the nearest
COMMON = Fraction(4)  # beats of a bar where the file has no time signature
C = Note("C")


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: where it starts, how long it is, how far its own notes go, its elements."""

    start: Fraction
    beats: Fraction
    filled: Fraction
    sounds: tuple[Any, ...]


def line_of_score(
    score: Score, *, over: Progression | None = None, part: str | int | None = None
) -> LineFile:
    """Return the melody of a score as a line, in sounding pitch.

    ``part`` names the part to take, or counts it from 1; ``over`` is the progression to set the
    line over, in place of the chord symbols of the file.
    """
    parts = parts_of(score.root)
    chosen = melody_part(parts, part)
    report = part_taken(chosen, parts, part)
    stream = part_stream(score, chosen)
    measures, pickup = measures_of(stream)
    lengths = [measure.beats for measure in measures[1 if pickup else 0 :]]
    home = _key(chosen.element, report)
    symbols = _symbols(parts, chosen, measures, home, report)
    notes = tuple(notes_of(measures, report))
    bars = bars_with_chords(lengths, symbols)
    line = line_over(notes, home, bars, over)
    return LineFile(line, title_of(score.root), tempo_of(score.root), tuple(report))


def part_taken(chosen: ScorePart, parts: tuple[ScorePart, ...], wanted: object) -> list[str]:
    """Say which part was taken where there was a choice."""
    others = [part.name or part.id for part in parts if part.notes and part is not chosen]
    if not others or wanted is not None:
        return []
    return [f"Of {len(others) + 1} parts {chosen.name or chosen.id!r} was taken as the melody."]


def part_stream(score: Score, chosen: ScorePart) -> Any:
    """Return the part as music21 reads it, at sounding pitch, tied notes as one."""
    from music21 import converter

    try:
        found: Any = converter.parseData(single_part(score.root, chosen), format="musicxml")
        return found.parts[0].toSoundingPitch().stripTies()
    except TheoryError:
        raise
    except Exception as wrong:  # whatever a reader of other people's files may run into
        what = str(wrong).split("\n")[0][:120]
        raise TheoryError(f"{score.name} is no MusicXML that can be read: {what}") from None


def _exact(value: Any) -> Fraction:
    """Return a time of music21 as an exact number of beats."""
    return Fraction(value).limit_denominator(10_000)


def measures_of(stream: Any) -> tuple[list[Measure], bool]:
    """Return the measures, the first of them before beat 0 if it is a pickup."""
    found: list[Measure] = []
    whole = COMMON
    start = Fraction(0)
    for number, measure in enumerate(stream.getElementsByClass("Measure")):
        if measure.timeSignature:
            whole = _exact(measure.timeSignature.barDuration.quarterLength)
        filled = _exact(measure.duration.quarterLength)
        sounds = tuple(measure.flatten().notes)
        if number == 0 and 0 < filled < whole:
            start = -filled
            found.append(Measure(start, filled, filled, sounds))
        else:
            found.append(Measure(start, whole, filled, sounds))
        start += found[-1].beats
    if not found:
        raise TheoryError("no music in this file: the part has no measure")
    pickup = found[0].start < 0
    if pickup and len(found) == 1:
        raise TheoryError("a pickup and no bar after it (want at least one whole bar)")
    return found, pickup


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


def written_c(element: Element) -> Note:
    """Return what a written C sounds as, by the part's ``<transpose>``."""
    letters = _whole(element.findtext(".//transpose/diatonic"))
    halves = _whole(element.findtext(".//transpose/chromatic"))
    natural = Note("CDEFGAB"[letters % 7])
    return Note(natural.letter, (halves - natural.semitone + 6) % 12 - 6)


def _whole(text: str | None) -> int:
    """Read a whole number of steps; what is none counts as 0."""
    plain = (text or "0").strip().removesuffix(".0")
    is_number = plain.removeprefix("-").isdecimal() and len(plain) < 6
    return int(plain) if is_number else 0


def notes_of(measures: list[Measure], report: list[str]) -> Iterator[TimedNote]:
    """Run through the notes one at a time: of a chord the highest, of two voices the upper."""
    heard: list[tuple[Fraction, Fraction, Any]] = []
    graces = lower = 0
    for measure in measures:
        for sound in measure.sounds:
            if sound.duration.isGrace:
                graces += 1
            elif not sound.classSet.isdisjoint(("Note", "Chord")):
                pitches = sorted(sound.pitches, key=lambda one: one.ps)
                lower += len(pitches) - 1
                start = measure.start + _exact(sound.offset)
                heard.append((start, _exact(sound.quarterLength), pitches[-1]))
    single, under = _upper(heard)
    yield from _on_grid(single, report)
    if graces:
        report.append(f"{graces} grace notes are left out.")
    if lower + under:
        report.append(f"{lower + under} notes that sound under a higher one are left out.")


def _upper(
    heard: list[tuple[Fraction, Fraction, Any]],
) -> tuple[list[tuple[Fraction, Fraction, Any]], int]:
    """Return one voice, and how many notes under it are gone."""
    found: list[tuple[Fraction, Fraction, Any]] = []
    for start, beats, pitch in sorted(heard, key=lambda one: (one[0], -one[2].ps)):
        if found and found[-1][0] == start:
            continue
        if found and sum(found[-1][:2]) > start:
            before = found.pop()
            found.append((before[0], start - before[0], before[2]))
        found.append((start, beats, pitch))
    return found, len(heard) - len(found)


def _on_grid(notes: list[tuple[Fraction, Fraction, Any]], report: list[str]) -> Iterator[TimedNote]:
    """Run through notes at times that a page can hold; others are moved and told."""
    moved = quarters = 0
    for start, beats, pitch in notes:
        first, last = _nearest(start), _nearest(start + beats)
        moved += (first, last) != (start, start + beats)
        quarters += pitch.alter != int(pitch.alter)
        if last > first:
            yield TimedNote(_pitch(pitch), first, last - first)
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


def _pitch(pitch: Any) -> Pitch:
    """Return a pitch of music21 as ours; a quarter tone gives way to the plainer note beside it."""
    return Pitch(Note(pitch.step, int(pitch.alter)), pitch.implicitOctave)


def title_of(root: Element) -> str:
    """Return the title of a score."""
    title = root.findtext("work/work-title") or root.findtext("movement-title") or ""
    return " ".join(title.split())[:200]


def tempo_of(root: Element) -> float | None:
    """Return the first tempo that a score states, in quarters a minute."""
    return next(iter(tempi_of(root)), None)
