"""Staves as MusicXML: against the schema, and read back by music21 and verovio."""

import base64
import io
from dataclasses import replace
from fractions import Fraction
from itertools import product
from xml.etree import ElementTree

import mido
import pytest
import verovio
from hypothesis import given, settings, strategies as st
from music21 import converter, harmony, instrument, interval, pitch
from schema import body, complaints
from staves import staff

from theorykit.lines.text import Line, TimedNote
from theorykit.lines.writing import write_lines
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, Key
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, reader
from theorykit.show.engraving import musicxml
from theorykit.show.engraving.staff_xml import DIVISIONS
from theorykit.show.pictures import NOTE_MARKS
from theorykit.tunes.progression import Bar, Progression, two_five_one
from theorykit.views.notation import written_bars
from theorykit.views.staves import StaffNote, StaffView, staff_of_line

ROOTS = "C Db D Eb E F F# G Ab A Bb B".split()
PHRASE = (
    "D4:1/2 F4:1/2 A4:1/2 C5:1/2 B4:1 r:1 Ab4:1/3 G4:1/3 F4:1/3 E5:3/2 Ab4:1/2 F4:1/4 Eb4:1/4 "
    "D4:1/2 G4:3 E4:1"
)
CHORDS = [(0, "Dm7"), (4, "G7b9"), (6, "Db7#11"), (8, "Cmaj7")]


def phrase(**other) -> StaffView:
    """A phrase with eighths, triplets, rests, ties and chord symbols."""
    return staff(PHRASE, chords=CHORDS, **other)


def chart(symbols: list[str], key: str = "C") -> StaffView:
    """A staff of one whole note a bar under these chord symbols."""
    chords = [(4 * place, symbol) for place, symbol in enumerate(symbols)]
    return staff("C5:4 " * len(symbols), bars=len(symbols), key=key, chords=chords)


def back(view: StaffView):
    """Read a staff back with music21."""
    return converter.parse(musicxml(view), format="musicxml")


def name(found: pitch.Pitch) -> str:
    """Write a pitch of music21 as we do."""
    return found.nameWithOctave.replace("-", "b")


# The schema, and what it does not count.


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_schema_has_nothing_against_any_key(key):
    for form in ("long", "short", "split"):
        progression = two_five_one(key, form)
        notes = [
            TimedNote(Pitch(c.chord.notes[1], 4), c.start, c.beats) for c in progression.chords
        ]
        view = staff_of_line(Line(progression, tuple(notes)), labels=(("♭3", "x"),) * 3)
        assert complaints(musicxml(view)) == []


@pytest.mark.parametrize("root", ["C", "Eb", "F#", "Cb"])
def test_the_schema_has_nothing_against_any_chord(root):
    piles = ["7b9#11", "13#11no5", "7b9b13", "maj9#11", "m7b5/Gb", "6/9#11", "7(b9,#9)"]
    symbols = [root + kind for kind in [*(row.symbol for row in CHORD_KINDS), *piles]]
    assert complaints(musicxml(chart([*symbols, "N.C."]))) == []


@pytest.mark.parametrize("one", READERS, ids=lambda one: one.name)
def test_the_schema_has_nothing_against_any_reader(one):
    note = TimedNote(Pitch.parse("Bb4"), Fraction(0), Fraction(4))
    for key in ("C", "Gb", "C# minor"):
        view = staff_of_line(Line(two_five_one(key), (note,)), marks=("landing",), reader=one)
        assert complaints(musicxml(view)) == []


def test_the_schema_check_can_fail():
    assert complaints(musicxml(phrase()).replace("<step>D</step>", "<step>H</step>", 1))


@pytest.mark.parametrize("view", [phrase(), phrase(key="Db", start=Fraction(-3, 2), bars=4)])
def test_the_schema_has_nothing_against_rhythms_and_bars_count_right(view):
    text = musicxml(view)
    assert complaints(text) == []
    measures = list(ElementTree.fromstring(body(text)).iter("measure"))
    for measure in measures:
        total = sum(int(d.text) for d in measure.findall("note/duration"))
        expected = Fraction(3, 2) if measure.get("implicit") == "yes" else 4
        assert total == expected * DIVISIONS


def test_a_staff_without_notes_is_left_free_to_write_on():
    text = musicxml(staff("", chords=CHORDS))
    rests = ElementTree.fromstring(body(text)).findall(".//note")
    assert [rest.get("print-object") for rest in rests] == ["no"] * 3


# Read back.

LENGTHS = st.sampled_from([Fraction(n, 4) for n in (1, 2, 3, 4, 6, 8)])


@settings(max_examples=40)
@given(st.sampled_from(KEYS), st.lists(st.tuples(LENGTHS, st.integers(0, 6), st.booleans())))
def test_music21_reads_the_same_notes_at_the_same_time(key, figures):
    here, notes = Fraction(0), []
    for length, step, sounds in figures[:12]:
        if sounds:
            notes.append(StaffNote(Pitch(key.notes[step], 4), here, length))
        here += length
    view = StaffView(key, "treble", (Fraction(4),) * 7, (), tuple(notes), "")
    read = back(view).stripTies().flatten()
    found = [(name(n.pitch), Fraction(n.offset), Fraction(n.quarterLength)) for n in read.notes]
    assert found == [(str(n.pitch), n.start, n.beats) for n in notes]
    assert read.keySignature.sharps == key.fifths


# What music21 calls what ``notation.accidentals`` decides.
KIND_OF_BEAM = {"hook right": ("partial", "right"), "hook left": ("partial", "left")}
# Of every half, quarter or eighth of a phrase: rhythm, with a pitch for each sounding part.
RHYTHMS = (
    *("1/3 1/3 1/3", "2/3 1/3", "1/3 2/3", "1/6 1/6 1/3 1/3", "2/3 2/3 2/3", "4/3 2/3"),
    *("1/2 1/2", "3/4 1/4", "1/4 1/2 1/4", "1/8 1/8 1/4 1/2", "1", "3/2 1/2", "5/4 3/4", "5/2"),
)
PITCHES = ("C5", "Db5", "D#4", "Fb4", "F#4", "Bb3", "B4", "Ebb5", "C##5", "Ab4")


def as_written(view: StaffView) -> list[tuple[object, ...]]:
    """What our rules of notation decide for each note of a staff."""
    return [
        (
            bar.number,
            one.start,
            one.beats,
            str(one.pitch),
            (one.value.name, one.value.dots),
            one.tie,
            [KIND_OF_BEAM.get(beam, (beam, None)) for beam in one.beams],
            one.accidental,
            (one.triplet.normal, one.triplet.opens, one.triplet.closes) if one.triplet else None,
            [label for label in one.labels if label],
            NOTE_MARKS[one.mark].fill.upper() if one.mark else None,
        )
        for bar in written_bars(view)
        for one in bar.notes
        if one.pitch is not None
    ]


def as_read(view: StaffView) -> list[tuple[object, ...]]:
    """The same of each note, as music21 finds it in our file."""
    return [
        (
            measure.number,
            Fraction(one.offset).limit_denominator(48),
            Fraction(one.quarterLength).limit_denominator(48),
            name(one.pitch),
            (one.duration.type, one.duration.dots),
            one.tie.type if one.tie else "",
            [(beam.type, beam.direction) for beam in one.beams],
            sign_of(one.pitch.accidental),
            triplet_of(one),
            [lyric.text for lyric in one.lyrics],
            one.style.color,
        )
        for measure in back(view).recurse().getElementsByClass("Measure")
        for one in measure.getElementsByClass("Note")
    ]


def sign_of(accidental: pitch.Accidental | None) -> str:
    """Whether a sign is printed, and in brackets."""
    if accidental is None or not accidental.displayStatus:
        return ""
    return "courtesy" if accidental.displayStyle == "parentheses" else "shown"


def triplet_of(one) -> tuple[str, bool, bool] | None:
    """The value of which three stand for two, and whether a note begins or ends them."""
    if not one.duration.tuplets:
        return None
    (found,) = one.duration.tuplets
    assert (found.numberNotesActual, found.numberNotesNormal) == (3, 2)
    return found.durationNormal.type, found.type == "start", found.type == "stop"


@st.composite
def phrases(draw) -> StaffView:
    """A staff of groups that fill beats, some of it silent, with labels, marks, maybe a pickup."""
    start = draw(st.sampled_from([Fraction(0), Fraction(-1), Fraction(-3, 2), Fraction(-1, 3)]))
    groups = draw(st.lists(st.sampled_from(RHYTHMS), min_size=2, max_size=8))
    lengths = [Fraction(text) for group in groups for text in group.split()]
    notes, here = [], start
    for length in [-start or Fraction(1), *lengths]:
        pitch_name = draw(st.sampled_from([*PITCHES, ""]))
        mark = draw(st.sampled_from(["", "", "colour", "landing"]))
        if pitch_name:
            labels = ("b9", "", "T") if mark else ()
            notes.append(StaffNote(Pitch.parse(pitch_name), here, length, labels, mark))
        here += length
    bars = (Fraction(4),) * (int(here // 4) + 1)
    key = draw(st.sampled_from(KEYS))
    return StaffView(key, draw(st.sampled_from(["treble", "bass"])), bars, (), tuple(notes), "")


@settings(max_examples=60, deadline=None)
@given(phrases())
def test_music21_reads_every_sign_as_it_was_decided(view):
    assert as_read(view) == as_written(view)
    assert complaints(musicxml(view)) == []


@pytest.mark.parametrize("one", READERS, ids=lambda one: one.name)
@pytest.mark.parametrize("key", ["C", "Db", "F#", "Bb minor"])
def test_music21_reads_a_line_of_every_reader_as_it_was_decided(key, one):
    for line in write_lines(two_five_one(key), "altered", count=3):
        view = staff_of_line(line, reader=one)
        assert as_read(view) == as_written(view)


def test_music21_reads_triplets_labels_and_lengths():
    read = back(phrase(label="♭9"))
    triplets = [n for n in read.recurse().notes if n.duration.tuplets]
    assert [n.quarterLength for n in triplets] == [Fraction(1, 3)] * 3
    begun = [
        n for n in read.recurse().getElementsByClass("Note") if not (n.tie and n.tie.type == "stop")
    ]
    assert {n.lyric for n in begun} == {"♭9"}
    assert [m.duration.quarterLength for m in read.recurse().getElementsByClass("Measure")] == [
        4
    ] * 3


@pytest.mark.parametrize("symbol", [row.symbol for row in CHORD_KINDS], ids=lambda s: s or "major")
def test_music21_reads_the_notes_of_every_kind(symbol):
    chords = [Chord.parse(root + symbol) for root in ROOTS]
    read = back(chart([str(chord) for chord in chords]))
    found = list(read.recurse().getElementsByClass(harmony.ChordSymbol))
    assert [{p.pitchClass for p in one.pitches} for one in found] == [
        {note.semitone for note in chord.notes} for chord in chords
    ]
    assert [name(one.root()).rstrip("0123456789") for one in found] == ROOTS


def test_music21_reads_where_each_chord_stands_and_its_bass():
    view = staff("C5:4 C5:4", bars=2, chords=[(0, "Dm7/C"), (2, "G7/B"), (7, "Cmaj7/E")])
    found = back(view).flatten().getElementsByClass(harmony.ChordSymbol)
    assert [(one.offset, one.bass().name) for one in found] == [(0, "C"), (2, "B"), (7, "E")]


def sounding(text: str) -> list[tuple[int, float, float]]:
    """Play a file with verovio: MIDI number, start and length in beats of each note."""
    toolkit = verovio.toolkit()
    assert toolkit.loadData(text)
    played = mido.MidiFile(file=io.BytesIO(base64.b64decode(toolkit.renderToMIDI())))
    here, started, found = 0, {}, []
    for message in mido.merge_tracks(played.tracks):
        here += message.time
        if message.type == "note_on" and message.velocity:
            started[message.note] = here
        elif message.type in ("note_on", "note_off") and message.note in started:
            start = started.pop(message.note)
            found.append((message.note, start, here - start))
    beat = played.ticks_per_beat
    return [
        (n, round(s / beat, 2), round(d / beat, 2)) for n, s, d in sorted(found, key=lambda f: f[1])
    ]


def test_verovio_plays_the_same_notes():
    view = phrase()
    wanted = [number for n in view.notes for number in (n.pitch.midi, n.start, n.beats)]
    found = [number for played in sounding(musicxml(view)) for number in played]
    assert found == pytest.approx([float(number) for number in wanted], abs=0.02)


# Readers and their instruments.

# music21's own instruments, from half steps of its tables; the trombone is none that transposes.
INSTRUMENTS = {
    "concert": instrument.Flute,
    "B flat": instrument.Trumpet,
    "E flat": instrument.AltoSaxophone,
    "F": instrument.Horn,
    "bass clef": instrument.Trombone,
}
# A guitar sounds an octave below its notes (common practice; music21's guitars leave it out).
GUITAR = -12


def transposition(view: StaffView) -> int:
    """What a program is told about the sound of a part, in half steps."""
    element = ElementTree.fromstring(body(musicxml(view))).find(".//transpose")
    if element is None:
        return 0
    octaves = int(element.findtext("octave-change", "0"))
    return int(element.findtext("chromatic")) + 12 * octaves


@pytest.mark.parametrize(("one", "key"), [*product(READERS, ["C", "Gb", "B minor"])])
def test_parts_sound_as_their_instruments_do(one, key):
    note = TimedNote(Pitch.parse("Bb4"), Fraction(0), Fraction(4))
    view = staff_of_line(Line(two_five_one(key), (note,)), reader=one)
    table = {
        k: i().transposition.semitones if i().transposition else 0 for k, i in INSTRUMENTS.items()
    }
    assert transposition(view) == (table | {"guitar": GUITAR})[one.name]


@pytest.mark.parametrize("one", [r for r in READERS if r.semitones >= 0], ids=lambda r: r.name)
def test_music21_hears_the_concert_pitch_in_every_part(one):
    pitches = [Pitch.parse(text) for text in "C4 Eb4 F#4 Bb4".split()]
    notes = [TimedNote(p, Fraction(i), Fraction(1)) for i, p in enumerate(pitches)]
    read = back(staff_of_line(Line(two_five_one("Eb"), tuple(notes)), reader=one))
    written = [n.pitch.midi for n in read.recurse().notes if not isinstance(n, harmony.Harmony)]
    heard = [
        n.pitch.midi
        for n in read.toSoundingPitch().recurse().notes
        if not isinstance(n, harmony.Harmony)
    ]
    assert heard == [p.midi for p in pitches]
    assert [w - h for w, h in zip(written, heard, strict=True)] == [one.semitones] * 4


def test_diatonic_and_chromatic_steps_agree_with_music21():
    for one, made in INSTRUMENTS.items():
        interval = made().transposition
        if interval is None:
            continue
        note = TimedNote(Pitch.parse("C5"), Fraction(0), Fraction(4))
        text = musicxml(staff_of_line(Line(two_five_one("C"), (note,)), reader=reader(one)))
        element = ElementTree.fromstring(body(text)).find(".//transpose")
        assert int(element.findtext("diatonic")) == interval.generic.staffDistance


@pytest.mark.parametrize("half_steps", range(1, 37))
def test_a_staff_that_does_not_say_its_letters_moves_by_the_usual_interval(half_steps):
    usual = interval.Interval(-half_steps)  # music21's choice of letters
    view = replace(phrase(), transposition=half_steps)
    element = ElementTree.fromstring(body(musicxml(view))).find(".//transpose")
    octaves = int(element.findtext("octave-change", "0"))
    assert int(element.findtext("diatonic")) + 7 * octaves == usual.generic.staffDistance
    assert int(element.findtext("chromatic")) + 12 * octaves == -half_steps


def test_a_chart_in_another_time():
    bars = (Bar.even("Dm7", beats=3), Bar.even("G7", beats=3), Bar.even("C6", beats=4))
    view = staff_of_line(Line(Progression(Key.parse("C"), bars), ()))
    times = ElementTree.fromstring(body(musicxml(view))).findall(".//time")
    assert [time.findtext("beats") for time in times] == ["3", "4"]
