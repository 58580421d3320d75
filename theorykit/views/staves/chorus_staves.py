"""The staff of a chorus: sections, bar numbers, colours under V, flats where half steps fall.

Source of the rule: common practice (chromatic scales are written with sharps rising and with flats
falling). A line is spelled where it sounds; on the page of a transposing instrument a natural that
falls to a flat can become a sharp that falls to a natural, and that is what is mended here.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, pairwise, zip_longest

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.tensions import LANDING, degrees_over, role_over
from theorykit.lines.chorus import Chorus
from theorykit.lines.excerpts import excerpt
from theorykit.lines.text import Line, TimedNote, legible_names
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, enharmonics
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.bars import Metre
from theorykit.tunes.progression import Progression
from theorykit.views.staves.bar_line_marks import PLAIN_BAR, BarMark
from theorykit.views.staves.staff import StaffNote, StaffView, staff_of_line, with_pitches


def falling_flats(view: StaffView) -> StaffView:
    """Return a staff on which no sharp falls to the natural of its own letter.

    What the chord or the key signature holds stays, and so does what is told to be a sharp degree;
    what is told to be a flattened one is written flat, wherever it goes.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves.staff import staff_of_line
    >>> line = Line.parse("8th E5 C#5 C5 A4 half rest", two_five_one("C", "short"))
    >>> [str(note.pitch) for note in falling_flats(staff_of_line(line)).notes]
    ['E5', 'Db5', 'C5', 'A4']
    """
    return with_pitches(view, list(_pitches(view)))


def names_of_the_key(view: StaffView) -> StaffView:
    """Return a staff on which what nothing else names has the name of the key signature.

    A line moves with its chords; where the key of the page is written with flats for sharps, a
    passing C sharp would stand among the flats. What rises by a half step leads, and stays sharp.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.staves.staff import staff_of_line
    >>> over = Chart.parse("key: Db\\n| Fmaj7 | Ebm7 |").progression
    >>> line = Line.parse("8th C#5 G#4 A#4 D#5 half C5 | whole Eb5", over)
    >>> [str(note.pitch.note) for note in names_of_the_key(staff_of_line(line)).notes][:4]
    ['Db', 'Ab', 'Bb', 'Eb']
    """
    own = {note.semitone: note for note in view.key.notes}
    pitches = []
    for note, after in zip_longest(view.notes, view.notes[1:]):
        name, midi = note.pitch.note, note.pitch.midi
        leads = after is not None and after.pitch.midi - midi == 1
        keeps = leads or bool(note.labels) or _held(view, note)
        pitches.append(Pitch.numbered(name if keeps else own.get(name.semitone, name), midi))
    return with_pitches(view, pitches)


def one_name_a_bar(view: StaffView) -> StaffView:
    """Return a staff by names for the eye, as ``lines.text.legible_names`` finds them."""
    starts = [*accumulate(view.bars, initial=view.bars[0] * 0)]
    names = legible_names(
        [note.pitch.note for note in view.notes],
        [_chord(view, note) or view.chords[0][1] for note in view.notes],
        [bisect_right(starts, note.start) for note in view.notes],
        view.key.notes,
    )
    pairs = zip(names, view.notes, strict=True)
    return with_pitches(view, [Pitch.numbered(name, note.pitch.midi) for name, note in pairs])


def _pitches(view: StaffView) -> Iterator[Pitch]:
    """Yield the pitches as they are better written."""
    before: Pitch | None = None
    for note, after in pairwise((*view.notes, None)):
        if note is None:
            return
        flat = _flat(note.pitch)
        falls = after is not None and _falls(note.pitch, after.pitch) and not _held(view, note)
        wanted = falls and not _crosses(before, flat)
        before = flat if flat and (wanted or _misnamed(view, note)) else note.pitch
        yield before


def _crosses(before: Pitch | None, flat: Pitch | None) -> bool:
    """Tell whether a flat would follow the sharp of its own letter, as Db after D#."""
    if before is None or flat is None:
        return False
    return before.note.letter == flat.note.letter and before.note.alteration > 0


def _falls(pitch: Pitch, after: Pitch) -> bool:
    """Tell whether a sharp falls a half step to its own letter."""
    same = (pitch.note.letter, pitch.octave) == (after.note.letter, after.octave)
    return same and pitch.note.alteration == 1 and after.note.alteration == 0


def _flat(pitch: Pitch) -> Pitch | None:
    """Return a pitch by the name of the letter above, if that is one that the eye accepts."""
    for name in enharmonics(pitch.note.semitone):
        if name.letter != pitch.note.letter and name.alteration < 1 and name not in AWKWARD:
            return Pitch.numbered(name, pitch.midi)
    return None


def _misnamed(view: StaffView, note: StaffNote) -> bool:
    """Tell whether a note is called a flattened degree, is written sharp, and no chord holds it."""
    chord = _chord(view, note)
    flat = any(label.startswith("♭") for label in note.labels)
    return (
        flat and note.pitch.note.alteration == 1 and not (chord and note.pitch.note in chord.notes)
    )


def _held(view: StaffView, note: StaffNote) -> bool:
    """Tell whether a note has its name from its degree, from the key or from its chord."""
    if any(label.startswith("♯") for label in note.labels):
        return True
    names: set[Note] = set(view.key.notes)
    chord = _chord(view, note)
    if chord is not None:
        names.update(chord.notes)
    return note.pitch.note in names


def _chord(view: StaffView, note: StaffNote) -> Chord | None:
    """Return the chord over a note."""
    before = [chord for start, chord in view.chords if start <= note.start]
    return before[-1] if before else None


# === The staff of a chorus ===


def chorus_staff(
    chorus: Chorus, number: int = 0, *, reader: Reader = READERS[0], labels: bool = True
) -> StaffView:
    """Return the staff of one chorus, counted from 1, or of all of them for 0.

    Bars are numbered from 1 in each chorus as in the plan, and through where all are shown. With
    ``labels`` the notes over V have their degree under them, those of the colour marked, and so
    have the notes on which the phrases land.

    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.tunes.charts import Chart
    >>> chart = Chart.parse("A: | Dm7 | G7 | C6 | % |")
    >>> view = chorus_staff(write_chorus(chart, choruses=2), 2)
    >>> view.first, len(view.bars), view.marks[0].section
    (1, 4, 'A')
    """
    if not isinstance(number, int) or not 0 <= number <= chorus.choruses:
        raise TheoryError(f"no such chorus: {shown(number)} (want 1 to {chorus.choruses}, or 0)")
    first, last = 1, chorus.bars
    if number:
        first = 1 + (number - 1) * chorus.bars_each
        last = chorus.bars if number == chorus.choruses else number * chorus.bars_each
    line = excerpt(chorus.line, first, last)
    begin = chorus.line.progression.bar_starts[first - 1]
    said = _labels(chorus) if labels else {}
    found = [said.get(note.start + begin, ("", "")) for note in line.notes]
    view = staff_of_line(
        line,
        labels=tuple((text,) if text else () for text, _ in found),
        marks=tuple(mark for _, mark in found),
        reader=reader,
    )
    marks = _marks(chorus, first, last)
    return one_name_a_bar(
        falling_flats(names_of_the_key(replace(view, marks=marks, time=marks[0].time or view.time)))
    )


def cadence_staff(
    line: Line,
    row: Colour | str = "",
    *,
    reader: Reader = READERS[0],
    over: Progression | None = None,
    metre: Metre | None = None,
) -> StaffView:
    """Return the staff of a line over one cadence: every degree, the colour of V, the landing.

    ``over`` are its chords as the reader has them, where a tune has them in another key than that
    of the cadence. ``metre`` is that of the tune: a cadence that begins or ends inside a bar shows
    the part of the bar, and no time signature that the tune has not.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 C5 A4 F4 Ab4 F4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> [note.mark for note in cadence_staff(line, "b9 13").notes][4:]
    ['colour', '', 'colour', '', 'landing']
    """
    tensions = _tensions(row)
    landing = line.progression.chords[-1].start
    found = [_said(line.progression, note, tensions, landing) for note in line.notes]
    labels = tuple((text,) if text else () for text, _ in found)
    page = line.onto(over, reader.semitones) if over is not None else None
    marks = tuple(mark for _, mark in found)
    view = staff_of_line(line, labels=labels, marks=marks, reader=reader, page=page)
    return view if metre is None else _in_metre(view, metre)


def _in_metre(view: StaffView, metre: Metre) -> StaffView:
    """Return a close-up with the time signature of its tune; a longer bar has one of its own."""
    marks = (_mark(metre) if beats <= metre.beats else PLAIN_BAR for beats in view.bars)
    return replace(view, marks=tuple(marks), time=(metre.count, metre.unit))


def _tensions(row: Colour | str) -> frozenset[int]:
    """Return the tensions of a colour as half steps; none for the empty text."""
    return frozenset(degree.semitone for degree in colour(row).tensions) if row else frozenset()


def _labels(chorus: Chorus) -> dict[Fraction, tuple[str, str]]:
    """Return the degree and the mark of the notes over V and of the landings, by their start."""
    over = chorus.line.progression
    landings = {phrase.window.landing for phrase in chorus.phrases}
    found: dict[Fraction, tuple[str, str]] = {}
    for phrase in chorus.phrases:
        end, tensions = phrase.window.landing, _tensions(phrase.window.colour)
        for note in phrase.notes:
            on_v = note.start < end and over.chord_at(note.start).chord.kind.is_dominant
            if on_v or note.start in landings:
                landing = note.start if note.start in landings else end
                found[note.start] = _said(over, note, tensions, landing)
    return found


def _said(
    over: Progression, note: TimedNote, tensions: frozenset[int], landing: Fraction
) -> tuple[str, str]:
    """Return the degree of a note over its chord, and its mark: over V, or as the landing."""
    chord = over.chord_at(note.start).chord
    if chord.is_silent:
        return "", ""
    degree = degrees_over(chord, [note.pitch.note])[0]
    if note.start == landing:
        return degree.pretty, LANDING
    if not chord.kind.is_dominant or note.start > landing:
        return degree.pretty, ""
    if degree.semitone in tensions:
        return degree.pretty, "colour"
    rubs = role_over(chord, degree, over.chord_at(landing).chord) == "outside"
    return degree.pretty, "outside" * rubs


def _marks(chorus: Chorus, first: int, last: int) -> tuple[BarMark, ...]:
    """Return what stands at the lines of some bars, counted from 1 over all choruses."""
    chart, each = chorus.chart, chorus.bars_each
    sections, written = chart.unrolled.sections, chart.bars
    starts = accumulate((len(section.bars) for section in sections), initial=0)
    names = {start: section.name for start, section in zip(starts, sections, strict=False)}
    metres = [written[index].metre for index in chart.played_bars]
    whole = each * chorus.choruses
    return tuple(
        _mark(metres[bar % each], names.get(bar % each, "")) if bar < whole else _mark(chart.metre)
        for bar in range(first - 1, last)
    )


def _mark(metre: Metre, section: str = "") -> BarMark:
    """Return what stands at the lines of a bar."""
    return BarMark(section, time=(metre.count, metre.unit))
