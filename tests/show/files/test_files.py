"""Lines into files and back: note for note, and as other readers see them."""

import base64
import io
from fractions import Fraction
from itertools import pairwise, takewhile
from xml.etree import ElementTree

import mido
import pytest
import verovio
from hypothesis import HealthCheck, given, settings, strategies as st
from midi_events import check_whole, onsets_of, read_midi, second_of_tick, track_name
from music21 import converter, key as key21
from outside import as_music21
from schema import complaints
from sweeps import keys
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.band import performance
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.lines.text import Line, TimedNote
from theorykit.lines.writing import Wishes, write_lines
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, Key
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS
from theorykit.show.engraving.mark_xml import harmony_element
from theorykit.show.files import line_bytes, midi_bytes, open_line
from theorykit.show.files.harmony_xml import chord_of
from theorykit.show.files.line_files import KINDS_OF_FILE, save_line
from theorykit.show.files.midi_out import line_midi
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

LONG = two_five_one("C")
WALTZ = Progression(
    Key.parse("F"), tuple(Bar.even(c, beats=3) for c in ("Gm7", "C7", "Fmaj7", "Fmaj7"))
)
PHRASES = {
    "eighths": ("8th D5 F5 A5 C6 B5 Ab5 F5 D5 | C#5 D5 F5 Ab5 half B4 | whole E5", LONG),
    "a pickup": ("pickup 8th C5 C#5 | half D5 8th hold F5 quarter A4 | whole B4 | E4", LONG),
    "a triplet pickup": ("pickup triplet 8th A4 Bb4 B4 | whole C5 | B4 | E4", LONG),
    "part of a triplet as pickup": ("pickup triplet 8th B4 | whole C5 | B4 | E4", LONG),
    "triplets and ties": (
        "triplet 8th D5 E5 F5 8th G5 A5 hold C6 quarter rest | triplet quarter B4 A4 G4 half F4 |"
        " 8th hold E4 dotted half rest",
        LONG,
    ),
    "sixteenths": (
        "16th D5 E5 F5 G5 8th A5 F5 half D5 | whole B4 | dotted half C5 rest".replace(
            "dotted half C5 rest", "dotted half C5 quarter rest"
        ),
        LONG,
    ),
    "a waltz": ("dotted quarter D5 8th Bb4 G4 Bb4 | quarter E4 G4 Bb4 | dotted half A4", WALTZ),
}


@pytest.fixture
def there_and_back(tmp_path):
    def go(line, kind, **wishes):
        return open_line(save_line(line, tmp_path / f"line{kind}", replace=True, **wishes))

    return go


@pytest.mark.parametrize("kind", [".musicxml", ".xml", ".mxl"])
@pytest.mark.parametrize("name", PHRASES)
def test_musicxml_comes_back_note_for_note(there_and_back, name, kind):
    line = Line.parse(*PHRASES[name])
    found = there_and_back(line, kind)
    assert found.line == line
    assert found.report == ()


@pytest.mark.parametrize("name", PHRASES)
def test_midi_comes_back_note_for_note(there_and_back, name):
    line = Line.parse(*PHRASES[name])
    found = there_and_back(line, ".mid")
    assert [(n.pitch.midi, n.start, n.beats) for n in found.line.notes] == [
        (n.pitch.midi, n.start, n.beats) for n in line.notes
    ]
    assert found.line.progression.key == line.progression.key
    assert (
        found.line.progression.chords
        == line.progression.chords[: len(found.line.progression.chords)]
    )
    assert found.tempo == 120
    assert found.report == ()


@pytest.mark.parametrize("key", keys(), ids=str)
def test_written_lines_come_back_with_their_names(there_and_back, key):
    wishes = Wishes(triplets="a little", rests="a little")
    for form in FORMS:
        line = write_lines(two_five_one(key, form), "b9 b13", count=1, seed=3, wishes=wishes)[0]
        assert there_and_back(line, ".mxl").line == line
        names = [str(note.pitch) for note in there_and_back(line, ".mid").line.notes]
        same = sum(a == str(b.pitch) for a, b in zip(names, line.notes, strict=True))
        assert same >= 0.7 * len(names)  # MIDI has no names: they are found anew


@pytest.mark.parametrize("reader", READERS, ids=lambda one: one.name)
def test_what_was_written_for_an_instrument_is_read_as_it_sounds(there_and_back, reader):
    line = Line.parse(*PHRASES["eighths"]).transposed("Db")
    found = there_and_back(line, ".musicxml", reader=reader)
    octaves = 1 if reader.name == "bass clef" else 0  # that page stands an octave lower
    assert found.line == line.transposed("Db", octaves=-octaves)


@given(
    st.sampled_from(KEYS),
    st.lists(st.tuples(st.integers(0, 47), st.integers(1, 8), st.integers(40, 90)), max_size=14),
)
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_line_of_sixteenths_comes_back(there_and_back, key, drawn):
    over = two_five_one(key)
    taken, notes = 0, []
    for start, length, midi in sorted(drawn):
        if start >= taken and start + length <= 48:
            name = next(n for n in over.key.notes if (midi + n.semitone) % 3 == 0)
            pitch = Pitch.at_or_above(name, midi)
            notes.append(TimedNote(pitch, Fraction(start, 4), Fraction(length, 4)))
            taken = start + length
    if notes:
        line = Line(over, tuple(notes))
        assert there_and_back(line, ".musicxml").line == line


@pytest.mark.parametrize("name", PHRASES)
def test_musicxml_fits_the_schema(name):
    line = Line.parse(*PHRASES[name])
    assert complaints(line_bytes(line, ".musicxml").decode()) == []


def test_text_is_the_line_s_own(tmp_path):
    line = Line.parse(*PHRASES["a pickup"])
    path = save_line(line, tmp_path / "line.txt")
    assert Line.parse(path.read_text(), LONG) == line


def test_verovio_reads_the_same_notes():
    line = Line.parse(*PHRASES["triplets and ties"])
    tool = verovio.toolkit()
    assert tool.loadData(line_bytes(line, ".musicxml").decode())
    file = mido.MidiFile(file=io.BytesIO(base64.b64decode(tool.renderToMIDI())))
    heard = [m.note for track in file.tracks for m in track if m.type == "note_on" and m.velocity]
    assert heard == [note.pitch.midi for note in line.notes]


# MIDI as another reader sees it.


@pytest.mark.parametrize("name", PHRASES)
def test_midi_has_no_hanging_note_and_an_end(name):
    line = Line.parse(*PHRASES[name])
    band = performance(line, line.progression, repeats=2)
    for data in (line_midi(line), midi_bytes(band), midi_bytes(band, swing="written out")):
        ticks, tracks = read_midi(data)
        assert ticks == 480
        check_whole(tracks)


def test_music21_hears_the_same_notes_at_the_same_times():
    line = Line.parse(*PHRASES["triplets and ties"])
    data = line_midi(line, tempo=150)
    tick = second_of_tick(data)
    assert tick * 480 == pytest.approx(0.4)
    _, (_, track) = read_midi(data)
    begun = [event for event in track if event.strikes]
    ended = [event for event in track if event.ends]
    assert [event.pitch for event in begun] == [note.pitch.midi for note in line.notes]
    for on, off, note in zip(begun, ended, line.notes, strict=True):
        assert on.at * tick == pytest.approx(float(note.start) * 0.4, abs=1e-3)
        assert off.at * tick == pytest.approx(float(note.end) * 0.4, abs=1e-3)


def test_the_bytes_of_a_small_file_are_those_of_the_standard():
    """Written out by hand: MIDI 1.0, Standard MIDI Files; sounds of General MIDI Level 1."""
    a4 = Part("line", (Sounding(Fraction(0), Fraction(1), 69, 88),))
    over = Progression(Key.parse("Eb minor"), (Bar.even("Ebm7", beats=Fraction(7, 2)),))
    head = (
        "00 ff 51 03 07 a1 20  00 ff 58 04 07 03 18 08  00 ff 59 02 fa 01  00 ff 06 04 45 62 6d 37"
    )
    line = "00 ff 03 04 4c 69 6e 65  00 c0 42  00 90 45 58  83 60 80 45 00"
    end = " 01 ff 2f 00"
    data = midi_bytes(Performance((a4,), Fraction(4)), progression=over)
    tracks = [bytes.fromhex(track + end) for track in (head, line)]
    chunks = [b"MTrk" + len(track).to_bytes(4) + track for track in tracks]
    assert data == bytes.fromhex("4d546864 00000006 0001 0002 01e0") + b"".join(chunks)


def test_each_part_has_its_track_its_channel_and_its_sound():
    """Channels of General MIDI Level 1, counted from 1: drums are on 10."""
    line = Line.parse(*PHRASES["eighths"])
    _, (_, *tracks) = read_midi(midi_bytes(performance(line, line.progression), melody=11))
    found = {
        track_name(track): {
            (event.channel, event.data) for event in track if event.kind == "PROGRAM_CHANGE"
        }
        for track in tracks
    }
    assert found == {"Line": {(1, 11)}, "Piano": {(2, 0)}, "Bass": {(3, 32)}, "Drums": {(10, 0)}}
    for track in tracks:
        assert len({event.channel for event in track if event.channel}) == 1


def test_music21_reads_the_same_pitches_and_lengths():
    line = Line.parse(*PHRASES["eighths"])
    for data, form in (
        (line_bytes(line, ".musicxml").decode(), "musicxml"),
        (line_midi(line), "midi"),
    ):
        found = converter.parseData(data, format=form).flatten().stripTies().notes
        sounds = [n for n in found if n.isNote]
        assert [n.pitch.midi for n in sounds] == [n.pitch.midi for n in line.notes]
        assert [Fraction(n.quarterLength) for n in sounds] == [n.beats for n in line.notes]


def test_metre_key_tempo_and_chords_stand_in_the_file():
    line = Line.parse(*PHRASES["a waltz"])
    _, (said, _) = read_midi(line_midi(line, tempo=90))
    by_kind = {event.kind: event.data for event in said}
    assert by_kind["TIME_SIGNATURE"] == bytes([3, 2, 24, 8])
    assert by_kind["KEY_SIGNATURE"] == bytes([255, 0])  # one flat, major
    assert int.from_bytes(by_kind["SET_TEMPO"]) == round(60e6 / 90)
    markers = [(e.at, e.data.decode()) for e in said if e.kind == "MARKER"]
    assert markers == [(0, "Gm7"), (1440, "C7"), (2880, "Fmaj7"), (4320, "Fmaj7")]


@together("key", KEYS, ids=str)
def test_every_key_signature_is_that_of_the_circle_of_fifths(key):
    """As many sharps or flats as music21 counts for the key."""
    _, (said, _) = read_midi(line_midi(Line.parse("whole B4", two_five_one(key))))
    (data,) = (event.data for event in said if event.kind == "KEY_SIGNATURE")
    theirs = key21.Key(as_music21(str(key.tonic)), "minor" if key.is_minor else "major")
    assert int.from_bytes(data[:1], signed=True) == theirs.sharps
    assert data[1] == key.is_minor


def test_swing_is_written_straight_or_written_out():
    line = Line.parse("8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole B4 | E5", LONG)
    straight = onsets_of(line_midi(line, tempo=120))
    swung = onsets_of(line_midi(line, tempo=120, swing="written out", ratio=2.0))
    even = [b - a for a, b in pairwise(straight[:8])]
    uneven = [b - a for a, b in pairwise(swung[:8])]
    assert even == pytest.approx([0.25] * 7, abs=2e-3)
    assert uneven == pytest.approx([1 / 3, 1 / 6] * 3 + [1 / 3], abs=2e-3)


@pytest.mark.parametrize("ratio", [1.5, 2.0, 2.8])
def test_swung_eighths_come_back_as_eighths(there_and_back, ratio):
    line = Line.parse(*PHRASES["eighths"])
    found = there_and_back(line, ".mid", swing="written out", ratio=ratio)
    assert [(n.pitch.midi, n.start, n.beats) for n in found.line.notes] == [
        (n.pitch.midi, n.start, n.beats) for n in line.notes
    ]
    assert "Swung eighths are written as eighths." in found.report


# Files of other hands.


def midi_of(tracks, **meta):
    """A MIDI file as another program would write it: (name, channel, [(start, end, note)])."""
    file = mido.MidiFile(ticks_per_beat=960)
    for name, channel, notes in tracks:
        track = mido.MidiTrack([mido.MetaMessage("track_name", name=name)])
        events = [(s, 1, n) for s, _, n in notes] + [(e, 0, n) for _, e, n in notes]
        at = 0
        for beat, on, note in sorted(events):
            ticks = round(beat * 960)
            kind = "note_on" if on else "note_off"
            track.append(mido.Message(kind, channel=channel, note=note, time=ticks - at))
            at = ticks
        file.tracks.append(track)
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


MELODY = [
    (0.03, 0.48, 76), (0.52, 0.97, 74), (0.98, 1.3, 72), (1.34, 1.66, 71), (1.66, 2, 69),
    (2.01, 2.24, 67), (2.26, 2.5, 65), (2.5, 2.73, 64), (2.77, 3.02, 62), (3.06, 3.9, 60),
]  # fmt: skip


def test_played_notes_are_set_on_the_grid_and_it_is_told(tmp_path):
    chords = [(0.0, 4.0, n) for n in (48, 52, 55)]
    drums = [(b / 2, b / 2 + 0.1, 42) for b in range(8)]
    file = tmp_path / "played.mid"
    file.write_bytes(midi_of([("Keys", 0, chords), ("Sax", 1, MELODY), ("Kit", 9, drums)]))
    found = open_line(file)
    third, quarter, half = Fraction(1, 3), Fraction(1, 4), Fraction(1, 2)
    assert [(n.start, n.beats) for n in found.line.notes] == [
        (0, half), (half, half),
        (1, third), (1 + third, third), (1 + 2 * third, third),
        (2, quarter), (2 + quarter, quarter), (2 + half, quarter), (2 + 3 * quarter, quarter),
        (3, 1),
    ]  # fmt: skip
    assert found.report[0] == "Of 2 parts 'Sax' was taken as the melody."
    assert found.report[1].startswith("2 of 10 notes were moved to the grid, by at most 0.06")
    assert any("C major" in words for words in found.report)


def test_another_part_can_be_asked_for(tmp_path):
    file = tmp_path / "played.mid"
    file.write_bytes(midi_of([("Bass", 0, [(0, 1, 40)]), ("Sax", 1, MELODY)]))
    assert str(open_line(file, part="Bass").line.notes[0].pitch) == "E2"
    assert str(open_line(file, part=1).line.notes[0].pitch) == "E2"
    with pytest.raises(TheoryError, match="'Bass', 'Sax'"):
        open_line(file, part="Tuba")


def test_the_reader_s_own_progression_takes_the_place_of_the_file_s(tmp_path):
    file = tmp_path / "played.mid"
    file.write_bytes(midi_of([("Sax", 1, MELODY)]))
    found = open_line(file, over=LONG)
    assert found.line.progression == LONG
    with pytest.raises(TheoryError, match="no longer"):
        open_line(file, over=Progression(Key.parse("C"), (Bar.even("Dm7", beats=2),)))


def test_a_note_without_an_end_is_told(tmp_path):
    data = midi_of([("Sax", 1, [(0, 1, 60), (1, 2, 62)])])
    file = tmp_path / "hanging.mid"
    source = mido.MidiFile(file=io.BytesIO(data))
    source.tracks[0] = mido.MidiTrack(
        m for m in source.tracks[0] if not (m.type == "note_off" and m.note == 62)
    )
    source.save(file)
    found = open_line(file)
    assert [str(n.pitch) for n in found.line.notes] == ["C4"]
    assert "1 note without an end is left out." in found.report


NOTE = "00 90 3c 50  83 60 80 3c 00"  # middle C for 480 ticks
END = "00 ff 2f 00"


@pytest.mark.parametrize(
    ("events", "text", "with_mido"),
    [
        (f"83 60 ff 08 01 78  {NOTE} {END}", "quarter rest C4 half rest", "another time"),
        (f"00 ff 59 02 fe ff  {NOTE} {END}", "quarter C4 dotted half rest", "refused"),
        (f"00 ff 59 02 08 00  {NOTE} {END}", "quarter C4 dotted half rest", "refused"),
        (f"00 ff 58 02 03 02  {NOTE} {END}", "quarter C4 half rest", "refused"),
        (NOTE, "quarter C4 dotted half rest", "the same"),
    ],
    ids=[
        "a program name",
        "two flats, mode 255",
        "eight sharps",
        "a short metre",
        "no end of track",
    ],
)
def test_files_that_are_a_little_wrong_are_read(tmp_path, events, text, with_mido):
    """Why MIDI files are read by music21: what mido 1.3.3 makes of the same files.

    Source: MIDI 1.0, Standard MIDI Files: an event of unknown kind is to be passed over, after its
    time. On the day these lines fail for mido, it may be asked again.
    """
    track = bytes.fromhex(events)
    data = bytes.fromhex("4d546864 00000006 0000 0001 01e0") + b"MTrk" + len(track).to_bytes(4)
    file = tmp_path / "odd.mid"
    file.write_bytes(data + track)
    assert open_line(file).line.text == text
    try:
        found = mido.MidiFile(file)
    except (IndexError, mido.KeySignatureError):
        assert with_mido == "refused"
        return
    until = takewhile(lambda message: message.type != "note_on", found.tracks[0])
    strike = next(message for message in found.tracks[0] if message.type == "note_on")
    begins = sum(message.time for message in until) + strike.time
    due = 480 if text.startswith("quarter rest") else 0
    assert with_mido == ("the same" if begins == due else "another time")


SCORE = """<?xml version="1.0"?>
<score-partwise version="4.0">
 <work><work-title>  The Late
  Tram </work-title></work>
 <part-list>
  <score-part id="P1"><part-name>Piano</part-name></score-part>
  <score-part id="P2"><part-name>Alto</part-name></score-part>
 </part-list>
 <part id="P1"><measure number="1">
  <attributes><divisions>2</divisions><key><fifths>-1</fifths></key>
   <time><beats>4</beats><beat-type>4</beat-type></time></attributes>
  <harmony><root><root-step>G</root-step></root><kind>minor-seventh</kind></harmony>
  <note><pitch><step>B</step><alter>-1</alter><octave>3</octave></pitch><duration>4</duration></note>
  <note><chord/><pitch><step>F</step><octave>4</octave></pitch><duration>4</duration></note>
  <harmony><root><root-step>C</root-step></root><kind text="7">dominant</kind>
   <degree><degree-value>9</degree-value><degree-alter>-1</degree-alter>
   <degree-type>add</degree-type></degree></harmony>
  <note><pitch><step>E</step><octave>4</octave></pitch><duration>4</duration></note>
 </measure></part>
 <part id="P2"><measure number="1">
  <attributes><divisions>2</divisions><key><fifths>2</fifths></key>
   <time><beats>4</beats><beat-type>4</beat-type></time>
   <transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose></attributes>
  <direction><sound tempo="144"/></direction>
  <note><grace/><pitch><step>C</step><octave>5</octave></pitch></note>
  <note><pitch><step>D</step><octave>5</octave></pitch><duration>2</duration></note>
  <note><pitch><step>F</step><alter>1</alter><octave>5</octave></pitch><duration>1</duration></note>
  <note><pitch><step>A</step><octave>5</octave></pitch><duration>1</duration></note>
  <note><pitch><step>B</step><octave>5</octave></pitch><duration>4</duration><lyric><text>la</text></lyric></note>
 </measure></part>
</score-partwise>"""


def test_a_score_of_another_hand(tmp_path):
    """An alto part in F: the page says D, the sound is F, a major sixth below."""
    file = tmp_path / "tram.xml"
    file.write_text(SCORE)
    found = open_line(file)
    assert found.line.text == "quarter F4 8th A4 C5 half D5"
    assert str(found.line.progression) == "Gm7 C7b9"
    assert (found.title, found.tempo, str(found.line.progression.key)) == (
        "The Late Tram",
        144,
        "F major",
    )
    assert found.report[0] == "Of 2 parts 'Alto' was taken as the melody."
    assert "1 grace notes are left out." in found.report
    lower = open_line(file, part="Piano")
    assert lower.line.text == "half F4 E4"
    assert "1 notes that sound under a higher one are left out." in lower.report


@together("row", CHORD_KINDS, ids=lambda row: row.symbol or "triad")
@together("root", ["C", "Bb", "F#", "Eb"])
def test_every_kind_of_chord_comes_back(row, root):
    for text in (f"{root}{row.symbol}", f"{root}{row.symbol}/G"):
        chord = Chord.parse(text)
        assert chord_of(harmony_element(chord)) == chord


@pytest.mark.parametrize(
    ("kind", "degrees", "text", "symbol"),
    [
        ("dominant-13th", [], "13", "G13"),
        ("dominant", [(5, 1, "alter"), (9, 1, "add")], "7", "G7#5#9"),
        ("dominant", [(13, 0, "add")], "7", "G7add13"),
        ("minor", [(7, 1, "add")], "m", "Gm(maj7)"),
        ("suspended-fourth", [(7, 0, "add")], "7sus", "G7sus4"),
        ("major", [(9, 0, "add")], "", "Gadd9"),
        ("major-sixth", [(9, 0, "add")], "6/9", "G6/9"),
        ("other", [], "7alt", "G7alt"),
        ("half-diminished", [], "", "Gm7b5"),
        ("none", [], "", "N.C."),
    ],
)
def test_chords_as_other_programs_write_them(kind, degrees, text, symbol):
    """MusicXML 4.0: an added 7 is minor unless it is raised; a 13 is read as players mean it."""
    marks = "".join(
        f"<degree><degree-value>{n}</degree-value><degree-alter>{a}</degree-alter>"
        f"<degree-type>{t}</degree-type></degree>"
        for n, a, t in degrees
    )
    element = ElementTree.fromstring(
        f'<harmony><root><root-step>G</root-step></root><kind text="{text}">{kind}</kind>{marks}'
        "</harmony>"
    )
    expected = Chord.parse(symbol)
    found = chord_of(element)
    assert found == expected or (symbol == "G7add13" and str(found) in ("G7add13", "G13no9"))


def test_a_chord_that_cannot_be_read_is_left_out_and_told(tmp_path):
    file = tmp_path / "tram.xml"
    file.write_text(SCORE.replace(">minor-seventh<", ">pretty<"))
    found = open_line(file)
    assert str(found.line.progression.chords[0].chord) == "N.C."
    assert any("no such kind of chord: 'pretty'" in words for words in found.report)
    file.write_text(SCORE.replace("<kind>minor-seventh<", '<kind text="pretty">other<'))
    found = open_line(file)
    assert any(words.startswith("Bar 1: a chord symbol is left out") for words in found.report)


def test_files_are_not_overwritten_unasked(tmp_path):
    line = Line.parse(*PHRASES["eighths"])
    path = save_line(line, tmp_path / "line.mid")
    before = path.read_bytes()
    with pytest.raises(TheoryError, match="already"):
        save_line(line.transposed("F"), path)
    assert path.read_bytes() == before
    save_line(line.transposed("F"), path, replace=True)
    assert path.read_bytes() != before
    assert [file.name for file in tmp_path.iterdir()] == ["line.mid"]


def test_where_nothing_can_be_written_it_is_told(tmp_path):
    line = Line.parse(*PHRASES["eighths"])
    with pytest.raises(TheoryError, match="cannot write"):
        save_line(line, tmp_path / "nowhere" / "line.mid")
    with pytest.raises(TheoryError, match=", ".join(KINDS_OF_FILE)):
        save_line(line, tmp_path / "line.doc")


@pytest.mark.parametrize("kind", KINDS_OF_FILE)
def test_the_same_line_gives_the_same_bytes(kind):
    line = Line.parse(*PHRASES["eighths"])
    assert line_bytes(line, kind) == line_bytes(line, kind)


@pytest.mark.parametrize(
    ("wishes", "words"), [({"swing": "hard"}, "swing"), ({"melody": 200}, "program")]
)
def test_what_no_midi_file_has_is_refused(wishes, words):
    with pytest.raises(TheoryError, match=words):
        line_midi(Line.parse(*PHRASES["eighths"]), **wishes)


@pytest.mark.parametrize(("pitch", "reader"), [("C-1", 0), ("Bb-1", 0), ("C0", 4)])
def test_an_octave_that_no_score_can_write_is_refused(pitch, reader):
    """MusicXML 4.0 has the octaves 0 to 9; what was written below them was not read again."""
    line = Line(LONG, (TimedNote(Pitch.parse(pitch), 0, 4),))
    with pytest.raises(TheoryError, match="octaves 0 to 9"):
        line_bytes(line, ".musicxml", reader=READERS[reader])
    assert line_bytes(line, ".mid")


@pytest.mark.parametrize(("count", "unit"), [(33, 0), (255, 1), (200, 6)])
def test_a_bar_of_a_hundred_beats_is_believed_of_no_file(tmp_path, count, unit):
    """A time signature of MIDI was believed that our own MusicXML is not believed with."""
    data = line_bytes(Line.parse(*PHRASES["eighths"]), ".mid")
    at = data.index(b"\xff\x58\x04") + 3
    file = tmp_path / "turn.mid"
    file.write_bytes(data[:at] + bytes((count, unit)) + data[at + 2 :])
    line = open_line(file).line
    assert {bar.beats for bar in line.progression.bars} == {4}
    again = tmp_path / "turn.musicxml"
    again.write_bytes(line_bytes(line, ".musicxml"))
    assert open_line(again).line == line
