"""The music of a handout, for every reader, and its MIDI, read back by music21."""

import io
import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest
import soundfile
from blocks import ONE_OF_EACH
from midi_events import read_midi, seconds_of, track_name
from music21 import converter, instrument, interval, key, note, pitch
from outside import as_music21
from schema import complaints
from sheets import READY, ready, sections
from sweeps import swept

from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import KINDS, ColourBlock, LineBlock, TuneBlock, sections_of
from theorykit.handout.blocks.all_keys_block import AllKeysBlock
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.files.jobs import PageJob, SoundJob
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Table
from theorykit.notes.key import Key
from theorykit.notes.reader import READERS, reader

# How far written notes stand from sounding ones. Source: Michael Miller, *The Complete Idiot's
# Guide to Music Theory* (2nd edition, 2005), chapter 18, page 231, table of transpositions: B flat
# instruments sound a major second lower than written, E flat instruments (alto saxophone) a major
# sixth, F instruments (French horn) a perfect fifth. The guitar sounds an octave lower (common
# practice); the page in bass clef is set an octave down and sounds where it stands.
SOUNDS = {
    "concert": "P1",
    "B flat": "M-2",
    "E flat": "M-6",
    "F": "P-5",
    "guitar": "P-8",
    "bass clef": "P1",
}
WRITTEN_DOWN = {"bass clef": "P-8"}
# The same book, table of concert keys; where it gives two names, the first. Keys of six signs may
# have either.
WRITTEN_KEYS = {
    "C": ("D", "A", "G"),
    "Db": ("Eb", "Bb", "Ab"),
    "D": ("E", "B", "A"),
    "Eb": ("F", "C", "Bb"),
    "E": ("F#", "Db", "B"),
    "F": ("G", "D", "C"),
    "Gb": ("Ab", "Eb", "Db"),
    "G": ("A", "E", "D"),
    "Ab": ("Bb", "F", "Eb"),
    "A": ("B", "F#", "E"),
    "Bb": ("C", "G", "F"),
    "B": ("Db", "Ab", "F#"),
}
MUSIC21_PLAYERS = {
    "B flat": instrument.Trumpet,
    "E flat": instrument.AltoSaxophone,
    "F": instrument.Horn,
}
EASY = {*"CDEFGAB", *(f"{letter}#" for letter in "CDFGA"), *(f"{letter}-" for letter in "DEGAB")}
LINE = LineInKeysBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short")


def musicxml(handout: Handout, name: str) -> str:
    job = PageJob(handout, handout.blocks, name, "normal", {}, "music.musicxml")
    return job.run().files["music.musicxml"].decode()


def notes_of(text: str, *, sounding: bool) -> list[note.Note]:
    """Return the notes of a file, ties joined, as written or as they sound."""
    score = converter.parse(text, format="musicxml").stripTies()
    if sounding:
        score = score.toSoundingPitch()
    return [one for one in score.recurse().notes if isinstance(one, note.Note)]


@pytest.fixture(scope="module")
def files() -> dict[tuple[str, str], str]:
    """The MusicXML of each ready handout for each reader."""
    return {(name, who.name): musicxml(ready(name), who.name) for name in READY for who in READERS}


# The longest handout has a whole tune, which three readers try and the sweep finishes.
each_file = pytest.mark.parametrize(
    ("name", "who"),
    swept(
        [(name, who.name) for name in READY for who in READERS],
        lambda case: case[0] != READY[-1] or case[1] in ("B flat", "F", "guitar"),
    ),
)


def octaves(name: str, who: str) -> list[str]:
    """Return for every note of a handout by how much its line was moved to lie well."""
    found = sections(ready(name), who, "normal")
    moved = [pair for one in found for pair in zip(one.scores, one.moved, strict=True)]
    return [("P-8", "P1", "P8")[way + 1] for (_, view), way in moved for _ in view.notes]


@each_file
def test_every_page_shows_the_concert_page_moved_by_the_published_interval(name, who, files):
    concert = notes_of(files[name, "concert"], sounding=False)
    page = notes_of(files[name, who], sounding=False)
    back = interval.Interval(SOUNDS[who])
    down = interval.Interval(WRITTEN_DOWN.get(who, "P1"))
    assert len(page) == len(concert) > 7
    for written, sounding, moved in zip(page, concert, octaves(name, who), strict=True):
        lands = back.transposePitch(written.pitch)
        wanted = interval.Interval(moved).transposePitch(down.transposePitch(sounding.pitch))
        assert lands.midi == wanted.midi  # the sound; names may differ where a key has another name
        assert written.quarterLength == sounding.quarterLength
        assert written.offset == sounding.offset


@each_file
def test_every_file_sounds_like_the_concert_file(name, who, files):
    """But for the octaves that the page tells of."""
    concert = notes_of(files[name, "concert"], sounding=True)
    page = notes_of(files[name, who], sounding=True)
    down = interval.Interval(WRITTEN_DOWN.get(who, "P1"))
    wanted = [
        interval.Interval(moved).transposePitch(down.transposePitch(one.pitch))
        for one, moved in zip(concert, octaves(name, who), strict=True)
    ]
    assert [one.pitch.midi for one in page] == [one.midi for one in wanted]
    renamed = [
        n for n, (a, b) in enumerate(zip(page, wanted, strict=True)) if a.pitch.name != b.name
    ]
    # What falls by a half step has a flat; else a b9 of which the symbol speaks has its own name
    # (Cb over Bb7b9) where the concert page has a plain one for a double flat (A over Ab7b9). Both
    # common practice.
    falls = [n for n in renamed if page[n + 1].pitch.midi - page[n].pitch.midi == -1]
    assert all(page[n].pitch.alter == -2 for n in renamed if n not in falls)
    assert all(page[n].pitch.name.count("-") or wanted[n].name.count("#") for n in renamed)
    assert not renamed or name == "a_tune_with_its_lines"


def test_a_page_in_a_key_of_another_name_sounds_in_the_first_one():
    """B major is written in D flat for a trumpet, and reads back as B major all the same."""
    handout = Handout("x", blocks=(ColourBlock(colour="b9 13", key="B"),))
    concert, page = (
        [one.pitch.nameWithOctave for one in notes_of(musicxml(handout, who), sounding=True)]
        for who in ("concert", "B flat")
    )
    assert page == concert
    written = notes_of(musicxml(handout, "B flat"), sounding=False)
    assert [one.pitch.name for one in written][:2] == [
        "G-",
        "D-",
    ]  # the 3rd and 7th of E flat minor


def test_the_published_intervals_are_those_of_music21s_instruments():
    for who, player in MUSIC21_PLAYERS.items():
        assert player().transposition.semitones == interval.Interval(SOUNDS[who]).semitones


def test_keys_are_those_of_the_published_table():
    for concert, written in WRITTEN_KEYS.items():
        for who, wanted in zip(("B flat", "E flat", "F"), written, strict=True):
            found = reader(who).written_key(Key.parse(concert))
            assert str(found.tonic) == wanted or abs(found.fifths) == 6
            assert pitch.Pitch(as_music21(str(found.tonic))).pitchClass == (
                pitch.Pitch(as_music21(wanted)).pitchClass
            )


@pytest.mark.parametrize("name", READY)
def test_files_follow_the_schema_and_count_right(name, files):
    for who in READERS:
        text = files[name, who.name]
        assert complaints(text) == []
        score = converter.parse(text, format="musicxml")
        numbers = [bar.number for bar in score.parts[0].getElementsByClass("Measure")]
        assert numbers == list(range(1, len(numbers) + 1))
        for bar in score.parts[0].getElementsByClass("Measure"):
            assert bar.duration.quarterLength == bar.barDuration.quarterLength


def test_the_file_has_a_title_for_the_whole_and_for_each_example(files):
    text = files["six_colours", "B flat"]
    assert "<work-title>Six colours for one chord</work-title>" in text
    assert (
        "<rights>Copy it for your own band. Page, text and lines: MIT licence. Recordings: the "
        "licence of the sounds they are made with.</rights>"
    ) in text
    assert text.count("<words") == 6
    assert "♭9 13 over A7, going to Dmaj7" in text


# A phrase through the keys.


def test_a_line_through_twelve_keys_is_the_first_one_moved_spelled_for_each_key():
    """Pitch for pitch and name for name what music21 makes of the page in C.

    Where that has two accidentals, its plain one, and so for E#, B#, Cb and Fb, unless the key
    signature or the chord has them, or they are its b9 or b13: the page is read at sight.
    """
    handout = Handout("x", blocks=(LINE,))
    scores = [score for one in sections(handout, "concert", "normal") for score in one.scores]
    assert len(scores) == 12
    first = scores[0][1]
    for _, view in scores:
        move = interval.Interval(pitch.Pitch("C"), pitch.Pitch(as_music21(str(view.key.tonic))))
        moved = [move.transposePitch(_pitch(one.pitch)) for one in first.notes]
        known = {one.name for one in key.Key(as_music21(str(view.key.tonic))).pitches}
        known |= {as_music21(str(note)) for _, chord in view.chords for note in chord.notes}
        v = next(one.root for _, one in view.chords if one.kind.is_dominant)
        bound = [pitch.Pitch(as_music21(str(v))).transpose(way) for way in ("m2", "m6")]
        known |= {one.name for one in bound if len(one.name) < 3}
        plain = [one if one.name in known | EASY else one.getEnharmonic() for one in moved]
        names = [one.name for one in plain]
        assert [_pitch(one.pitch).name for one in view.notes] == names
        distance = view.notes[0].pitch.midi - first.notes[0].pitch.midi
        assert abs(distance) <= 6
        assert [one.pitch.midi - distance for one in view.notes] == [
            one.pitch.midi for one in first.notes
        ]
        assert [one.labels for one in view.notes] == [one.labels for one in first.notes]
        assert view.key.fifths == key.Key(as_music21(str(view.key.tonic))).sharps


def _pitch(one) -> pitch.Pitch:
    return pitch.Pitch(f"{as_music21(str(one.note))}{one.octave}")


@pytest.mark.parametrize("layout", ["staves", "table"])
@pytest.mark.parametrize("who", ["concert", "E flat"])
def test_a_colour_through_twelve_keys_meets_each_key_once(layout, who):
    handout = Handout("x", blocks=(AllKeysBlock(colour="b9 13", layout=layout),))
    (section,) = sections(handout, who, "normal")
    if layout == "table":
        table = section.pieces[0]  # under it, why some notes have two accidentals
        # By hand: the triads on the 6th of G7, C7, F7 and so on round the fifths, in concert pitch.
        shapes = "E A D G C F B♭ E♭ A♭ C♯ F♯ B".split()
        mine = [row[3] for row in table.rows]
        assert len(mine) == 12
        if who == "concert":
            assert mine == shapes
        else:
            assert mine[0] == "C♯"
    else:
        tonics = {view.key.tonic.semitone for _, view in section.scores}
        assert len(tonics) == len(section.scores) == 12


def test_music_of_every_reader_is_spelled_with_two_accidentals_at_most():
    for who in READERS:
        handout = Handout("x", blocks=(LINE, AllKeysBlock(colour="altered", layout="staves")))
        for section in sections(handout, who.name, "normal"):
            for _, view in section.scores:
                assert all(abs(one.pitch.note.alteration) <= 2 for one in view.notes)


# Sound.


def test_every_kind_of_block_knows_the_names_of_its_sounds():
    assert len(ONE_OF_EACH) == len(KINDS)
    for block in ONE_OF_EACH:
        assert tuple(one.label for one in block.examples(120)) == block.labels


@pytest.mark.parametrize("form", ["mp3", "ogg"])
def test_sound_and_midi_last_as_long_as_the_music(form: str):
    block = ready("one_colour").blocks[0]
    names = tuple(f"sound/{label}" for label in block.labels)
    made = SoundJob(block, 0, names, 240, "flute", form, midi=True, files=True).run()
    assert len(made.files) == 8
    examples = block.examples(240)
    for name, one in zip(names, examples, strict=True):
        wave, rate = soundfile.read(io.BytesIO(made.files[f"{name}.{form}"]))
        assert len(wave) / rate == pytest.approx(one.played.seconds + 1, abs=0.15)
        assert 0.05 < abs(wave).max() < 0.9  # heard, and a decibel below full scale
        assert 1.5 < seconds_of(made.files[f"{name}.mid"]) <= one.played.seconds + 0.1
    with_line, without = (made.files[f"sound/{one} the line.mid"] for one in ("with", "without"))
    assert _tracks(with_line) == {"Line", "Piano", "Bass", "Drums"}
    assert _tracks(without) == {"Piano", "Bass", "Drums"}


def _tracks(data: bytes) -> set[str]:
    """Return the names of the tracks that have notes."""
    _, tracks = read_midi(data)
    return {track_name(one) for one in tracks if any(event.strikes for event in one)}


def test_answer_bars_are_the_phrase_and_as_many_bars_without_it():
    block = ready("one_colour").blocks[0]
    examples = {one.label: one.played for one in block.examples(100)}
    line, answer = examples["with the line"], examples["with answer bars"]
    assert answer.beats - 4 == 2 * (line.beats - 4)  # after one bar of count-in
    notes = next(part.notes for part in answer.parts if part.name == "line")
    assert max(one.start for one in notes) < line.beats
    assert isinstance(answer.beats, Fraction)


def test_editions_differ_in_what_they_show_and_not_in_what_sounds():
    handout = ready("six_colours")
    assert {Edition(who.name).who for who in READERS} == set(READERS)
    assert all(one.played.tempo == 96 for one in handout.blocks[0].examples(handout.tempo))


# Whether it can be played.


@pytest.mark.parametrize(
    ("who", "notes", "words"),
    [
        ("B flat", "F3 B5", "above what most trumpets play (up to C6): take it an octave lower"),
        ("E flat", "D3 A5", "above what most alto saxophones play (up to F6)"),
        (
            "B flat",
            "C3 A5",
            "below what most trumpets play (down to F♯3): take it an octave higher",
        ),
        ("B flat", "C3 B5", "outside what most trumpets play: change octaves there"),
        ("B flat", "B5 B5", ""),
        ("B flat", "E3 Bb5", ""),
        ("concert", "C2 C7", ""),
    ],
)
def test_a_page_that_leaves_the_range_of_its_instrument_says_so(who, notes, words):
    """Where no octave brings the whole line into it."""
    handout = Handout("x", blocks=(LineBlock(line=f"half {notes}", form="short"),))
    (section,) = sections(handout, who, "normal")
    said = [piece.text for piece in section.pieces if isinstance(piece, Para)]
    assert any(words in text for text in said) if words else not any("most" in t for t in said)


@pytest.mark.parametrize(("key", "tonic"), [("C", "I"), ("Bb minor", "i")])
def test_a_table_of_keys_names_the_tonic_as_its_mode_does(key, tonic):
    block = AllKeysBlock(colour="altered", key=key, keys=2)
    (section,) = sections_of((block,), Engraver(reader("concert")))
    (table,) = (piece for piece in section.pieces if isinstance(piece, Table))
    assert table.heads[:3] == (tonic, "ii", "V")


SIGHT = (
    LineInKeysBlock(line="half D5 8th B4 Ab4 F4 D4 | whole E4", form="short"),
    GuideToneBlock(key="Gb", colour="b9", changes="Abm7 Db7 | Gbmaj7"),
    TuneBlock(chart="key: Gb\n\n| Gbmaj7 | Gbm7 Cb7 | Gbmaj7 | % |\n", lines="guide tones"),
)


@pytest.mark.parametrize("block", SIGHT, ids=lambda block: block.kind)
@pytest.mark.parametrize("who", READERS, ids=lambda who: who.name)
def test_what_is_read_at_sight_has_no_double_accidental(block, who):
    """Nobody asked for names by function here: B double flat over Ab7 is A (common practice)."""
    (section,) = sections_of([block], Engraver(who))
    assert section.scores
    for _, view in section.scores:
        assert all(abs(one.pitch.note.alteration) < 2 for one in view.notes), view.alt


@pytest.mark.parametrize("who", READERS, ids=lambda who: who.name)
def test_the_words_on_a_line_name_the_notes_of_its_staff(who):
    """F double sharp leads up to G sharp and is G on the page; so the words say G as well."""
    block = LineBlock(
        line="pickup 8th C#5 C#5 G4 | 8th G#4 E5 D#5 C#5 B4 A4 F#4 E4 | whole G#4",
        key="G# minor",
        form="short",
    )
    (section,) = sections_of([block], Engraver(who))
    words = " ".join(one.text for one in section.pieces if isinstance(one, Para))
    told = re.search(r"(\S+) leads by a half step from below", words)
    names = {one.pitch.note.pretty for _, view in section.scores for one in view.notes}
    assert told
    assert told[1] in names


SLOW = TuneBlock(
    chart="title: Low Tide\nkey: Db\nmetre: 6/8\ntempo: 60\n\n"
    "[A]\n| Ebm7 | Ab7 |\n[B]\n| Dbmaj7 | % |\n",
    heading="Low Tide",
)


@pytest.mark.parametrize("name", ["concert", "B flat", "bass clef"])
def test_a_chorus_carries_tempo_chord_symbols_and_form(name):
    text = musicxml(Handout("Week", tempo=92, blocks=(LINE, SLOW)), name)
    assert complaints(text) == []
    score = converter.parse(text, format="musicxml")
    marks = list(score.recurse().getElementsByClass("MetronomeMark"))
    # by hand: the line at the tempo of the handout, then the tune at its own, in dotted quarters
    assert [one.number for one in marks] == [92, 60]
    assert [one.getQuarterBPM() for one in marks] == [92, 90]
    letters = [one.content for one in score.recurse().getElementsByClass("RehearsalMark")]
    assert letters == ["A", "B"]
    symbols = list(score.recurse().getElementsByClass("ChordSymbol"))
    how_far = interval.Interval(SOUNDS[name]).semitones if name == "B flat" else 0
    roots = [(one.root().pitchClass + how_far) % 12 for one in symbols[-4:]]
    assert roots == [3, 8, 1, 1]  # E flat, A flat, D flat, D flat


EVEN = TuneBlock(chart="title: Low Tide\nkey: Db\nfeel: bossa\n\n| Ebm7 | Ab7 | Dbmaj7 | % |\n")


def test_the_file_says_how_its_eighths_are_swung():
    """In small whole numbers, one kind of two (MusicXML 4.0, ``swing``); by hand."""
    text = musicxml(Handout("Week", tempo=92, blocks=(LINE, EVEN, LINE, SLOW)), "E flat")
    assert complaints(text) == []
    sounds = ElementTree.fromstring(text).findall(".//sound[@tempo]")
    assert [sound.get("tempo") for sound in sounds] == ["92", "92", "92", "90"]
    # swung at 92, even in a bossa, swung again; where eighths are counted that swing ends
    assert [[(part.tag, part.text) for part in sound.iterfind("swing/*")] for sound in sounds] == [
        [("first", "2"), ("second", "1"), ("swing-type", "eighth")],
        [("straight", None)],
        [("first", "2"), ("second", "1"), ("swing-type", "eighth")],
        [("straight", None)],
    ]
    marks = converter.parse(text, format="musicxml").recurse().getElementsByClass("MetronomeMark")
    assert [mark.getQuarterBPM() for mark in marks] == [92, 92, 92, 90]


def test_a_swing_ends_where_eighths_are_counted_and_nothing_is_said_before_one():
    """A program swings on until it is told of another (MusicXML 4.0, ``swing``); by hand."""
    slow = "title: Kerb\nkey: F\nmetre: 12/8\ntempo: 60\n\n| F6 | C7 |\n"
    swung = TuneBlock(chart="title: Wet Gloves\nkey: F\ntempo: 60\n\n| Gm7 | C7 | F6 | % |\n")
    blocks = (SLOW, swung, TuneBlock(chart=slow), SLOW)
    text = musicxml(Handout("Week", blocks=blocks), "concert")
    assert complaints(text) == []
    sounds = ElementTree.fromstring(text).findall(".//sound[@tempo]")
    # the last is as slow as the one before it, and as even: it has no mark of its own
    assert [[(part.tag, part.text) for part in sound.iterfind("swing/*")] for sound in sounds] == [
        [],
        [("first", "9"), ("second", "4"), ("swing-type", "eighth")],
        [("straight", None)],
    ]


def test_two_lines_over_the_same_chords_have_a_number_each_for_every_reader():
    one, other = "whole A4 | G4 | E4", "whole F4 | B4 | C5"
    alike = [LineBlock(line=text, form="long") for text in (one, other)]
    named = LineBlock(line=other, form="long", heading="The easy one")
    elsewhere = LineBlock(line="half B4 C5 | whole C5", form="short", key="F")
    for who in READERS:
        for engraver in (Engraver(who), Engraver(who, "large print"), Engraver(who, phone=True)):
            found = sections_of([alike[0], named, elsewhere, alike[1]], engraver)
            first, easy, short, second = (section.heading for section in found)
            assert (first[:12], second[:12]) == ("Line 1 over ", "Line 2 over ")
            assert first[12:] == second[12:]
            assert (easy, short[:12]) == ("The easy one", "A line over ")
            assert [section.scores[0][0] for section in found] == [first, easy, short, second]


def test_lines_in_g_flat_and_f_sharp_have_headings_of_their_own_on_every_page():
    """Both are E flat to an alto saxophone."""
    both = [LineBlock(line="", form="long", key=key) for key in ("Gb", "F#")]
    for who in READERS:
        headings = [section.heading for section in sections_of(both, Engraver(who))]
        assert [heading[:12] for heading in headings] == ["Line 1 over ", "Line 2 over "]


def test_two_longer_changes_are_told_by_their_chords():
    changes = ("Gm7 | C7 | Am7 | D7 | Gm7 C7 | F6", "F6 | D7 | G7 | C7 | F6 Bb6 | F6")
    both = [LineBlock(line="", changes=text) for text in changes]
    headings = [section.heading for section in sections_of(both, Engraver())]
    assert headings == [
        "A line over Gm7 C7 Am7 D7 … (6 bars)",
        "A line over F6 D7 G7 C7 … (6 bars)",
    ]
    page = [section.heading for section in sections_of(both, Engraver(reader("alto")))]
    assert page[0] == "A line over Em7 A7 F♯m7 B7 … (6 bars)"
