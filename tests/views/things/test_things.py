"""Things given as values or text, on a reader's page, as sound, as rows and as records."""

import json

import pytest
from sweeps import swept

from theorykit import (
    KEYS,
    Chart,
    Chord,
    Colour,
    Degree,
    Key,
    LeadSheet,
    Line,
    Note,
    Pitch,
    Scale,
    TheoryError,
    TimedNote,
    Treatment,
    cadences,
    colour,
    demonstration,
    from_dict,
    identify,
    resolve,
    shortcuts,
    substitutes,
    table,
    to_dict,
    two_five_one,
    write_chorus,
    written_for,
)
from theorykit.notes.scales import ScaleRow
from theorykit.views.things import performed

OWN = Colour("my own", (Degree(9, -1), Degree(11), Degree(13)), ("minor",), "by hand", title="Mine")


def things(key):
    """One of each, in a key."""
    over = two_five_one(key)
    v, i = over.chords[1].chord, over.chords[2].chord
    chart = Chart(Chart.of("C", "Dm7", "G7", "C6").sections, Key.parse("C")).transposed(key)
    melody = (TimedNote(Pitch(v.root, 4), 4, 2),)
    return [
        v, Scale(v.root, Scale.parse("C altered").row), colour("b9"), OWN,
        shortcuts(v, "b9", i)[0], resolve(v, "b9", i), substitutes(v, i)[0],
        identify(v.notes, v, i), identify(f"{v.root} altered", v), over,
        demonstration(key, "short", "b9"), chart, LeadSheet(chart, melody, (("la",),)),
        write_chorus(chart, Treatment.proposed(chart), choruses=2), v.root, melody[0].pitch,
        Degree.parse("#11"), over.key, Treatment.proposed(chart),
    ]  # fmt: skip


MAJOR = [str(key) for key in KEYS if key.mode == "major"]
TRIED = ("C major", "Db major", "F# major")
some_keys = pytest.mark.parametrize("key", swept(MAJOR, TRIED.__contains__))


@some_keys
def test_a_record_reads_back_by_way_of_json(key):
    for value in things(key):
        data = json.loads(json.dumps(to_dict(value)))
        assert data["theorykit"] == 1
        assert from_dict(data) == value


def test_version_1_of_the_schema_keeps_being_read():
    """By hand: what files of the first version hold."""
    written = [
        ({"kind": "note", "text": "Bb"}, Note("B", -1)),
        ({"kind": "chord", "text": "Db7b9/F"}, Chord.parse("Db7b9/F")),
        ({"kind": "scale", "root": "G", "name": "altered", "formula": "1 b2 b3 b4 b5 b6 b7"},
         Scale.parse("G altered")),
        ({"kind": "colour", "name": "my own", "degrees": "b9 11 13", "targets": ["minor"],
          "source": "by hand", "title": "Mine"}, OWN),
        ({"kind": "resolution", "chord": "G7", "colour": "b9", "target": "C"},
         resolve("G7", [Degree(9, -1)], "C")),
        ({"kind": "substitute", "name": "tritone substitute", "dominant": "G7", "target": "C"},
         substitutes("G7", "C")[0]),
        ({"kind": "line", "text": "quarter F4 E4 half B3", "over": {"key": "C major", "bars":
          [[["Dm7", "2"], ["G7", "2"]]]}},
         Line.parse("quarter F4 E4 half B3", Chart.of("C", "Dm7 G7").progression)),
    ]  # fmt: skip
    for data, value in written:
        found = from_dict({"theorykit": 1, **data})
        assert found == value


@pytest.mark.parametrize(
    "data",
    [
        None, {}, {"theorykit": "1"}, {"theorykit": 2, "kind": "chord", "text": "G7"},
        {"theorykit": 1, "kind": "chord"}, {"theorykit": 1, "kind": "line", "text": "x", "over": 3},
        {"theorykit": 1, "kind": "progression", "key": "C", "bars": [[["G7", "1/0"]]]},
        {"theorykit": 1, "kind": "shortcut", "chord": "G7", "target": "C", "shape": "",
         "formula": "1 3 5", "family": "triad", "place": "x"},
        {"theorykit": 1, "kind": "colour", "name": "x", "degrees": "b9", "targets": "minor",
         "source": ""},
    ],
)  # fmt: skip
def test_what_is_no_record_is_refused_in_words(data):
    with pytest.raises(TheoryError, match="want"):
        from_dict(data)


# By hand, for a trumpet: a whole step up (common practice).
@pytest.mark.parametrize(
    ("thing", "written"),
    [
        (Scale.parse("F dorian"), "G dorian"),
        (colour("b9"), "b9"),
        (substitutes("Ab7", "Db")[0], "tritone substitute: E7"),
        (write_chorus(Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7")).chart.key, "F major"),
    ],
    ids=lambda one: type(one).__name__,
)
def test_a_thing_is_written_for_a_reader(thing, written):
    assert str(written_for(thing, "trumpet")) == written


def test_what_is_worked_out_is_worked_out_on_the_page():
    page = written_for(resolve("B7", "b9", "E"), "trumpet")
    assert (str(page.chord), str(page.target)) == ("C#7", "F#")
    assert str(page.colour_moves[-1].note) == "D"  # the b9 of C sharp 7
    found = written_for(identify("E G# B", "G7", "C"), "alto")
    assert [str(note) for note in found.notes] == ["C#", "E#", "G#"]
    assert (str(found.over), str(found.target)) == ("E7", "A")
    named = written_for(identify("Bmaj7", "G7"), "trumpet")
    assert (named.sounds.name, str(named.over)) == ("C#maj7", "A7")


@some_keys
def test_a_chorus_for_a_reader_is_the_chorus_of_the_chart_for_that_reader(key):
    chorus = next(one for one in things(key) if type(one).__name__ == "Chorus")
    page = written_for(chorus, "alto")
    assert page.line == chorus.line.written_for("alto")
    assert page.chart == chorus.chart.written_for("alto")
    for here, there in zip(chorus.phrases, page.phrases, strict=True):
        assert [n.pitch.midi + 9 for n in here.notes] == [n.pitch.midi for n in there.notes]


def test_text_is_read_where_a_value_is_taken():
    assert written_for("G7", "trumpet") == Chord.parse("A7")
    assert [row["chord"] for row in table("Dm7 | G7 | C6")] == ["Dm7", "G7", "C6"]
    assert performed("Dm7 | G7 | C6").parts == performed(Chart.parse("| Dm7 | G7 | C6 |")).parts


def test_a_chord_is_heard_on_the_keys_that_are_seen():
    """By hand: D flat 7 over F from the bass up, one a beat, then together."""
    heard = performed("Db7/F").parts[0].notes
    assert [note.midi for note in heard] == [41, 49, 53, 56, 59, 41, 49, 53, 56, 59]
    assert {note.start for note in heard[5:]} == {5}
    assert performed("Db7/F").beats == 9


def test_a_resolution_moves_each_voice_by_what_it_says():
    found = resolve("F#7", "b9", "B")
    piano = performed(found).parts[0].notes
    first = [note.midi for note in piano if note.start == 0]
    low = Pitch.at_or_above(Note.parse("F#"), 43).midi
    assert first == [low + move.degree.semitones for move in found.moves]
    then = {note.midi for note in piano if note.start == 4}
    assert then == {midi + m.semitones for midi, m in zip(first, found.moves, strict=True)}


def test_loops_have_no_count_in_and_a_tempo_is_obeyed():
    chart = Chart.parse("tempo: 132\n| Dm7 | G7 | C6 | % |")
    assert (performed(chart).tempo, performed(chart).beats) == (132, 20)
    assert performed(chart, loops=True, tempo=90).beats == 16
    assert performed(chart, loops=True, tempo=90).tempo == 90


def test_what_does_not_sound_says_so():
    for given, words in (("b9", "no sound"), ("N.C.", "no sound"), ("blue", "not a thing")):
        with pytest.raises(TheoryError, match=words):
            performed(given)
    with pytest.raises(TheoryError, match="want a line"):
        performed("G7", over_v="b9")


@some_keys
def test_the_rows_of_a_thing_have_the_same_heads(key):
    for value in things(key)[:-5]:
        rows = table(value)
        assert rows
        assert len({tuple(row) for row in rows}) == 1
        assert {type(cell) for row in rows for cell in row.values()} <= {str, int, float}


def test_rows_by_hand():
    assert table(shortcuts("F#7", "b9")[0])[0] == {"note": "A#", "degree": "3", "clashes": 0}
    row = next(r for r in table(resolve("Db7", "b9", "Gb")) if r["degree"] == "b9")
    assert row == {
        "degree": "b9", "note": "Ebb", "to note": "Db", "to degree": "5", "half steps": -1,
    }  # fmt: skip
    line = Line.parse("quarter Ab4 rest C5 rest", Chart.of("Db", "Ebm7", "Ab7").progression)
    assert [(r["bar"], r["beat"], r["degree"]) for r in table(line)] == [
        (1, 0.0, "11"), (1, 2.0, "13"),
    ]  # fmt: skip


def test_many_things_have_a_row_each():
    chart = Chart.of("Bb", "Cm7", "F7", "Bbmaj7", "G7", "Cm7", "F7", "Bb6")
    rows = table(cadences(chart))
    assert [row["key"] for row in rows] == [str(one.key) for one in cadences(chart)]
    assert len(table(shortcuts("G7", "b9"))) == len(shortcuts("G7", "b9"))
    assert table([]) == []
    with pytest.raises(TheoryError, match="one kind"):
        table([Chord.parse("G7"), colour("b9")])


def test_a_scale_of_ones_own_is_kept():
    own = Scale(Note.parse("Eb"), ScaleRow("six notes", "1 b2 3 5 6 b7"))
    assert from_dict(to_dict(own)) == own
    assert [row["note"] for row in table(own)] == ["Eb", "Fb", "G", "Bb", "C", "Db"]
