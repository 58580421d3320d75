"""A line out of a MIDI file, its events read by music21 and set on the grid of a page.

music21 is imported when a file is read: that takes as long as all other imports together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.taking import Played, Quantised, quantised, spelled_pitches
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.show.files.line_file import MOST_BARS, LineFile, bars_with_chords
from theorykit.show.files.score_parts import is_believed
from theorykit.show.files.untrusted import Midi
from theorykit.tunes.progression import Progression

DRUMS = 10  # the channel of drums, counted from 1 (General MIDI)
BAR = Fraction(4)
NAMED = ("melody", "lead", "solo", "voice", "vocal", "line")
MOST_TOLD_OF = 4_000  # chord symbols and metres
NOTICED = 0.02  # beats from which a whole take counts as late or early
MOST_TOLD = 12  # moved notes that are named one by one
MICROSECONDS = 60_000_000  # in a minute
ON, OFF = "NOTE_ON", "NOTE_OFF"  # events by the names that music21 gives them
CONTROL = "CONTROLLER_CHANGE"
PEDAL, DOWN = 64, 64  # the controller of the pedal, and from where it is down (MIDI 1.0)
WORDS = ("MARKER", "TEXT_EVENT", "LYRIC")


@dataclass(slots=True)
class _Voice:
    """The notes of one channel in one track."""

    name: str
    channel: int
    notes: list[Played] = field(default_factory=list)
    pedal: bool = False
    ringing: list[tuple[Fraction, int]] = field(default_factory=list)  # let go, the pedal down

    def let_go(self, start: Fraction, end: Fraction, midi: int) -> None:
        """Take a note whose key was let go: it sounds until the pedal comes up."""
        if self.pedal:
            self.ringing.append((start, midi))
        else:
            self.notes.append(Played(float(start), float(end), midi))

    def press(self, down: bool, at: Fraction) -> None:
        """Set the pedal; when it comes up, all that rings ends."""
        self.pedal = down
        if not down:
            self.notes += (Played(float(start), float(at), midi) for start, midi in self.ringing)
            self.ringing.clear()


@dataclass(slots=True)
class _Sheet:
    """What a file says besides its notes; places are counted in beats."""

    bars: dict[Fraction, Fraction] = field(default_factory=dict)  # bar lengths from a place on
    symbols: dict[Fraction, Chord] = field(default_factory=dict)
    keys: dict[Fraction, Key] = field(default_factory=dict)
    tempos: dict[Fraction, float] = field(default_factory=dict)
    hanging: int = 0


def line_of_midi(
    file: Midi, *, over: Progression | None = None, part: str | int | None = None
) -> LineFile:
    """Return the melody of a MIDI file as a line; ``part`` and ``over`` as for scores."""
    sheet = _Sheet()
    voices = _voices(file, sheet)
    chosen = _melody(voices, part)
    pickup = _pickup(sheet)
    early = float(pickup)
    tempo = sheet.tempos[min(sheet.tempos)] if sheet.tempos else None
    moved = [Played(n.start - early, n.end - early, n.midi) for n in chosen.notes]
    found = quantised(moved, tempo=tempo)
    others, hanging = _others(chosen, voices, part), _hanging(sheet)
    report = [*others, *_report(found), *hanging]
    key = sheet.keys[min(sheet.keys)] if sheet.keys else None
    if key is None:
        report.append("The file names no key; it is taken for C major.")
    lengths = _bars(sheet, pickup, max(note.start + note.beats for note in found.notes))
    symbols = [(max(at - pickup, Fraction(0)), chord) for at, chord in sheet.symbols.items()]
    home = key or Key(Note("C"))
    own = Progression(home, bars_with_chords(lengths, symbols))
    if not symbols and over is None:
        report.append("The file has no chord symbols; the line stands over N.C.")
    starts = [note.start for note in found.notes]
    under = over if over is not None else own
    pitches = spelled_pitches([note.midi for note in found.notes], starts, under)
    notes = (
        TimedNote(pitch, start, note.beats)
        for pitch, start, note in zip(pitches, starts, found.notes, strict=True)
    )
    line, unplayed = Line(under, tuple(notes)), (*others, *hanging)
    return LineFile(line, "", tempo, tuple(report), tuple(moved), early, unplayed)


def _voices(file: Midi, sheet: _Sheet) -> list[_Voice]:
    """Read all events: notes into voices, what else is said into the sheet."""
    from music21 import midi

    try:
        found = midi.MidiFile()
        found.readstr(file.data)
        voices = [voice for track in found.tracks for voice in _track(track, found, sheet)]
    except TheoryError:
        raise
    except Exception as wrong:  # whatever a reader of other people's files may run into
        what = str(wrong).split("\n")[0][:120]
        raise TheoryError(f"{file.name} is no MIDI that can be read: {what}") from None
    sounding = [voice for voice in voices if voice.notes and voice.channel != DRUMS]
    if not sounding:
        raise TheoryError(f"no music in {file.name}: no part has a note")
    return sounding


def _track(track: Any, file: Any, sheet: _Sheet) -> Iterator[_Voice]:
    """Read one track."""
    voices: dict[int, _Voice] = {}
    open_notes: dict[tuple[int, int], list[Fraction]] = {}
    name, ticks = "", 0
    for event in track.events:
        if event.isDeltaTime():
            ticks += event.time
            continue
        at, kind = Fraction(ticks, file.ticksPerQuarterNote), _kind(event)
        if kind == "SEQUENCE_TRACK_NAME":
            name = _text(event)
        elif kind in (ON, OFF):
            voice = voices.setdefault(event.channel, _Voice(name, event.channel))
            sounding = open_notes.setdefault((event.channel, event.pitch), [])
            if kind == ON and event.velocity:
                sounding.append(at)
            elif sounding:
                voice.let_go(sounding.pop(0), at, event.pitch)
        elif kind == CONTROL and event.parameter1 == PEDAL:
            voice = voices.setdefault(event.channel, _Voice(name, event.channel))
            voice.press(event.parameter2 >= DOWN, at)
        else:
            _note_down(event, at, sheet)
    sheet.hanging += sum(map(len, open_notes.values()))
    for voice in voices.values():
        voice.press(False, Fraction(ticks, file.ticksPerQuarterNote))
        voice.name = voice.name or name
        yield voice


def _kind(event: Any) -> str:
    """Return the name of an event; one that music21 does not know has none."""
    return str(getattr(event.type, "name", ""))


def _text(event: Any) -> str:
    """Return the text of an event, as far as it is any."""
    data = event.data if isinstance(event.data, bytes) else b""
    return " ".join(data.decode("utf-8", "replace").split())[:120]


def _note_down(event: Any, at: Fraction, sheet: _Sheet) -> None:
    """Write down a metre, a key, a tempo, or a chord symbol that is written as text."""
    kind = _kind(event)
    data = event.data if isinstance(event.data, bytes) else b""
    if len(sheet.symbols) + len(sheet.bars) > MOST_TOLD_OF:
        raise TheoryError(f"more than {MOST_TOLD_OF:,} chord symbols and metres (want a tune)")
    if kind == "TIME_SIGNATURE" and len(data) >= 2:
        if data[1] < 7 and is_believed(data[0], 2 ** data[1]):
            sheet.bars[at] = Fraction(4 * data[0], 2 ** data[1])
    elif kind == "SET_TEMPO" and any(data):
        sheet.tempos[at] = round(MICROSECONDS / int.from_bytes(data), 3)
    elif kind == "KEY_SIGNATURE" and len(data) >= 2:
        _note_key(int.from_bytes(data[:1], signed=True), data[1] == 1, at, sheet)
    elif kind in WORDS:
        try:
            sheet.symbols[at] = Chord.parse(_text(event))
        except TheoryError:
            return


def _note_key(sharps: int, minor: bool, at: Fraction, sheet: _Sheet) -> None:
    """Write down a key, if there is such a one."""
    if abs(sharps) <= 7:
        tonic = Note.from_fifths(sharps + 3 * minor)
        sheet.keys[at] = Key(tonic, "minor" if minor else "major")


def _melody(voices: Sequence[_Voice], wanted: str | int | None) -> _Voice:
    """Return the voice that is the melody: the one asked for, else the likeliest."""
    if wanted is None:
        return max(voices, key=_likeliness)
    by_name = {voice.name: voice for voice in voices} | dict(enumerate(voices, 1))
    if wanted not in by_name:
        names = ", ".join(shown(voice.name) for voice in voices)
        raise TheoryError(f"no part {shown(wanted)} (want {names}, or a number)")
    return by_name[wanted]


def _likeliness(voice: _Voice) -> tuple[bool, bool, float]:
    """Rank a voice as a melody: by its name, by single notes, by height."""
    starts = {round(note.start, 2) for note in voice.notes}
    single = len(starts) * 10 >= len(voice.notes) * 9
    height = sum(note.midi for note in voice.notes) / len(voice.notes)
    return any(word in voice.name.lower() for word in NAMED), single, height


def _pickup(sheet: _Sheet) -> Fraction:
    """Return how long the pickup is: a first bar shorter than those that follow it at once."""
    changes = sorted(sheet.bars.items())
    if len(changes) > 1 and changes[0][0] == 0 and changes[1][0] == changes[0][1] < changes[1][1]:
        return changes[0][1]
    return Fraction(0)


def _bars(sheet: _Sheet, pickup: Fraction, end: Fraction) -> list[Fraction]:
    """Return the lengths of the bars after the pickup, as many as reach the end."""
    changes = sorted(sheet.bars.items())
    lengths: list[Fraction] = []
    place = Fraction(0)
    while place < end or not lengths:
        length = next((beats for at, beats in reversed(changes) if at <= place + pickup), BAR)
        lengths.append(length)
        place += length
        if len(lengths) > MOST_BARS:
            raise TheoryError(f"more than {MOST_BARS:,} bars (want a phrase or a tune)")
    return lengths


def _others(chosen: _Voice, voices: Sequence[_Voice], wanted: object) -> list[str]:
    """Say which part is the melody, where there are others and nobody chose."""
    if len(voices) == 1 or wanted is not None:
        return []
    name = chosen.name or f"channel {chosen.channel}"
    return [f"Of {len(voices)} parts {name!r} was taken as the melody."]


def _hanging(sheet: _Sheet) -> list[str]:
    """Say how many notes never end."""
    if not sheet.hanging:
        return []
    those = "note without an end is" if sheet.hanging == 1 else "notes without an end are"
    return [f"{sheet.hanging} {those} left out."]


def _report(found: Quantised) -> list[str]:
    """Say what was moved, and left out of one voice."""
    told = []
    if found.swung:
        told.append("Swung eighths are written as eighths.")
    if abs(found.late) > NOTICED:
        told.append(f"The take comes {abs(found.late):.2f} of a beat {_side(found)} throughout.")
    if found.moved:
        told.append(_moved_words(found))
    if found.dropped:
        told.append(f"{found.dropped} notes that start or lie under a higher one are left out.")
    return told


def _side(found: Quantised) -> str:
    """Say on which side of the beat a take lies."""
    return "late" if found.late > 0 else "early"


def _moved_words(found: Quantised) -> str:
    """Say how many notes were moved to the grid, which, and how far."""
    farthest = max(abs(note.moved) for note in found.moved)
    each = [f"beat {float(note.start):g} by {note.moved:+.2f}" for note in found.moved[:MOST_TOLD]]
    more = f", and {len(found.moved) - MOST_TOLD} more" * (len(found.moved) > MOST_TOLD)
    return (
        f"{len(found.moved)} of {len(found.notes)} notes were moved to the grid, by at most "
        f"{farthest:.2f} of a beat: {', '.join(each)}{more}."
    )
