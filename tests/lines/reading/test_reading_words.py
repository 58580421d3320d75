"""Words on a line that a musician would check: against the goal, two forms of one tension."""

from fractions import Fraction

import pytest

from theorykit import from_dict, to_dict
from theorykit.lines.excerpts import excerpt
from theorykit.lines.placed import beat_words
from theorykit.lines.reading import place_words, read_line
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.study.phrase import Phrase, phrase_from, phrase_of
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one
from theorykit.views.line import LineDraft
from theorykit.views.notation import written_bars
from theorykit.views.staves import staff_of_line


def reading(text, key="C", form="short"):
    return read_line(Line.parse(text, two_five_one(key, form)))


def test_a_natural_13_beside_the_flat_one_leads_and_colours_nothing():
    """C between F flat and D flat over E flat 7: a lower approach to the b7 (common practice)."""
    line = "half Bb4 Ab4 | 8th G4 Bb4 Fb5 C5 Db5 Cb5 Bb4 G4 | whole Ab4"
    found = reading(line, "Ab minor", "long")
    assert found.dominants[0].colour.name == "b9 b13"
    said = next(note for note in found.notes if str(note.degree) == "13")
    assert said.role == "chromatic approach"
    assert said.words == "leads by a half step from below to D♭, the ♭7th of E♭7"


def test_a_natural_13_alone_is_the_colour_still():
    found = reading("half F4 8th B4 E5 Ab4 B4 | whole C5")
    assert found.dominants[0].colour.name == "b9 13"
    assert [note.role for note in found.notes][2] == "tension"


@pytest.mark.parametrize("key", [key for key in KEYS if key.is_minor][:15:4], ids=str)
def test_a_13_before_a_minor_tonic_is_no_note_to_stay_on(key: Key):
    line = Line.parse("half F4 8th B4 E5 Ab4 E5 | whole Eb5", two_five_one("C minor", "short"))
    found = read_line(line.transposed(key))
    tonic = found.notes[-1].chord.root.pretty
    said = [note.words for note in found.notes if str(note.degree) == "13"]
    assert said == [f"is the major 3rd of {tonic}, and the tonic is minor: let it move on"] * 2
    in_major = reading("half F4 8th B4 E5 Ab4 E5 | whole E5")
    assert "colours G7 and can stay" in [note.words for note in in_major.notes]


def test_small_numbers_are_words_and_one_is_no_plural():
    shape = reading("8th D4 F4 A4 C5 quarter B4 rest | 8th D4 C5 quarter F5 half rest", form="long")
    assert "one step, four skips, one leap, " in shape.whole.words
    even = reading("quarter D4 F4 A4 F4 | B4 D5 F5 D5 | whole E5", form="long").whole.words
    assert even.endswith("0.8 notes a beat")
    assert reading("quarter D4 F4 B4 G4 | E4 D4 C4 E4").whole.words.endswith("one note a beat")


def test_all_is_said_where_all_are_meant():
    found = reading("quarter D4 F4 B4 G4 | quarter E4 G4 half E4")
    assert "All 7 notes on a beat are chord tones, so the chords can be heard." in found.praise


def test_a_note_that_comes_again_is_named_once():
    change = reading("half F4 8th B4 A4 G4 E4 | whole E4").changes[-1]
    assert change.words == "E comes again as the 3rd of Cmaj7, on beat 1"


def test_each_place_of_a_beat_has_words_of_its_own():
    parts = {Fraction(n, d) for d in (2, 3, 4, 6, 8, 12) for n in range(d)}
    for compound in (False, True):
        words = {
            beat_words(beat + part, compound=compound) for part in parts for beat in (1, 2, 3, 4)
        }
        assert len(words) == 4 * len(parts)


def in_metre(metre: str, text: str) -> Line:
    """Return a line over three bars of a chart."""
    chart = Chart.parse(f"key: Db\nmetre: {metre}\n| Ebm7 Ab7 | Dbmaj7 | % |")
    return Line.parse(text, chart.progression)


@pytest.mark.parametrize(
    ("metre", "text", "places"),
    [  # common practice: a beat of 6/8 and 12/8 is a dotted quarter, three eighths
        (
            "6/8",
            "8th Gb4 Ab4 Bb4 C5 Bb4 Ab4 | dotted quarter F4 F4 | dotted half F4",
            [
                *("bar 1, beat 1", "bar 1, the second eighth of beat 1"),
                *("bar 1, the third eighth of beat 1", "bar 1, beat 2"),
                *("bar 1, the second eighth of beat 2", "bar 1, the third eighth of beat 2"),
                *("bar 2, beat 1", "bar 2, beat 2", "bar 3, beat 1"),
            ],
        ),
        (
            "12/8",
            "pickup 8th Ab4 | dotted half Gb4 C5 | dotted quarter F4 F4 F4 8th F4 rest F4 | "
            "dotted whole F4",
            [
                *("pickup, the third eighth of beat 4", "bar 1, beat 1", "bar 1, beat 3"),
                *("bar 2, beat 1", "bar 2, beat 2", "bar 2, beat 3", "bar 2, beat 4"),
                *("bar 2, the third eighth of beat 4", "bar 3, beat 1"),
            ],
        ),
        (
            "3/4",
            "quarter Gb4 8th Ab4 Bb4 quarter C5 | half F4 quarter F4 | dotted half F4",
            [
                *("bar 1, beat 1", "bar 1, beat 2", "bar 1, the and of 2", "bar 1, beat 3"),
                *("bar 2, beat 1", "bar 2, beat 3", "bar 3, beat 1"),
            ],
        ),
    ],
)
def test_a_place_is_said_by_the_beats_of_the_metre(metre, text, places):
    line = in_metre(metre, text)
    moved = line.transposed("F#")
    kept = phrase_from(phrase_of(Phrase("x", line))).line
    draft = LineDraft.of(LineDraft(line.progression).taken(line).data).read.line
    for one in (line, moved, from_dict(to_dict(line)), kept, draft, excerpt(line, 1, 3)):
        assert [place_words(note.start, one.progression) for note in one.notes] == places
    assert written_bars(staff_of_line(line))[-1].time == tuple(map(int, metre.split("/")))


def test_on_which_beat_a_line_lands_is_said_in_compound_time_as_well():
    line = in_metre("6/8", "8th Gb4 Ab4 Bb4 C5 Bb4 Ab4 | 8th rest F4 F4 dotted quarter F4")
    reading = read_line(line)
    assert [one.words.rpartition(", on ")[2] for one in reading.changes] == [
        "beat 2",
        "the second eighth of beat 1",
    ]
    off = read_line(in_metre("6/8", "dotted quarter rest Gb4 | dotted half F4"))
    assert not any("off the beat" in text for text in off.praise)
