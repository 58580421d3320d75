"""What the chapters tell in words and pictures, against what was written by hand.

These facts stood in the chapters as statements; there the reader is asked instead.
"""

import ast
import json
from itertools import pairwise

import pytest
from house import ROOT
from together import together

from theorykit import (
    KEYS,
    Chart,
    Chord,
    Key,
    Line,
    Scale,
    TheoryError,
    Treatment,
    cadences,
    colour,
    degrees_over,
    guide_tone_lines,
    read_line,
    resolve,
    shortcuts,
    take_down,
    two_five_one,
    write_lines,
)
from theorykit.handout import Handout
from theorykit.harmony.subsets import triad_groups
from theorykit.harmony.substitution import substitute
from theorykit.lines.decoration import falling_scale
from theorykit.lines.excerpts import in_second_bar
from theorykit.lines.guide_tones import guide_tones
from theorykit.tunes.progression import cadence_chords

WORKBOOK = ROOT / "workbook"
MAJOR, MINOR = KEYS[:15], KEYS[15:]


def told(chapter: str) -> str:
    """All cells of a chapter as one text."""
    (file,) = WORKBOOK.glob(f"{chapter}_*.ipynb")
    cells = json.loads(file.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(cell["source"]) for cell in cells)


def tune(name: str) -> Chart:
    """A tune of the workshop."""
    return Chart.parse((WORKBOOK / "tunes" / f"{name}.txt").read_text(encoding="utf-8"))


def names(notes) -> list[str]:
    """The names of notes, as they are typed."""
    return [str(note) for note in notes]


def degrees(chord, notes) -> list[str]:
    """What notes are over a chord, as they are typed."""
    return [str(degree) for degree in degrees_over(chord, notes)]


# 0: where one begins.


def test_the_chord_and_the_shortcut_of_the_start():
    best = shortcuts("G7", "b9 13")[0]
    assert names(Chord.parse("G7").notes) == ["G", "B", "D", "F"]
    assert best.shape == "E"
    assert names(best.notes) == ["E", "G#", "B"]


# 1: motion over the five.


def test_a_split_form_and_a_shortcut_in_other_keys():
    assert str(two_five_one("E♭", "split")) == "Fm7 | Fm7 Bb7 | Ebmaj7"
    best = shortcuts("A7", "b9 13")[0]
    assert best.shape == "F#"
    assert [str(degree) for degree in best.degrees] == ["13", "b9", "3"]


def test_the_flat_nine_of_b_flat_7_falls_to_the_5th_of_e_flat():
    flat_nine = resolve("B♭7", "b9 13", "E♭").colour_moves[1]
    assert flat_nine.words == "♭9 falls a half step to the 5th of I"
    assert (str(flat_nine.note), str(flat_nine.to_note)) == ("Cb", "Bb")


# 2: guide tones.


def test_the_guide_tones_of_a_seventh_and_of_a_sixth_chord():
    assert names(guide_tones(Chord.parse("A♭7"))) == ["C", "Gb"]
    assert names(guide_tones(Chord.parse("C6"))) == ["E", "A"]


def test_the_two_lines_over_a_short_form_in_e_flat():
    one, other = guide_tone_lines(two_five_one("E♭", "short"), longest=4)
    assert str(one) == "half Ab4 Ab4 | whole G4"
    assert str(other) == "half Eb4 D4 | whole D4"


@together("key", KEYS, ids=str)
def test_the_voice_from_the_3rd_stays_and_falls(key: Key):
    ii, v, i = (note.pitch.midi for note in guide_tone_lines(two_five_one(key), longest=4)[0].notes)
    assert (v - ii, i - v) == (0, -2 if key.is_minor else -1)


@pytest.mark.parametrize(("key", "notes"), [("B♭ minor", "Gb Gb F"), ("F♯", "D# D C#")])
def test_the_third_voice_with_the_flat_nine(key: str, notes: str):
    voice = guide_tone_lines(two_five_one(key), "b9", longest=4)[2]
    assert names(note.pitch.note for note in voice.notes) == notes.split()


# 3: the flat nine.


def test_the_colour_flat_nine_over_c7():
    assert names(colour("b9").notes("C7")) == ["E", "G", "Bb", "Db"]


@together("key", KEYS, ids=str)
def test_the_diminished_chord_on_the_3rd_of_v(key: Key):
    best = shortcuts(cadence_chords(key)[1], "b9", key)[0]
    assert "the 3rd of V" in best.routes
    assert best.row.suffix == "dim7"
    assert [str(degree) for degree in best.degrees] == ["3", "5", "b7", "b9"]


def test_what_the_flat_nine_adds_from_b_flat_7_to_e_flat():
    moves = resolve("B♭7", "b9", "E♭")
    assert moves.added_pulls == 1
    assert moves.colour_moves[-1].words == "♭9 falls a half step to the 5th of I"
    assert str(moves.colour_moves[-1].to_note) == "Bb"


def test_the_leading_note_diminished_chord_to_g():
    assert substitute("leading-note diminished chord", "D7", "G").title == "F♯dim7"


def test_what_the_phrase_of_the_flat_nine_is_in_the_second_bar():
    phrase = "8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4"
    assert phrase in told("03")
    moved = in_second_bar(Line.parse(phrase, two_five_one("C", "short")).transposed("E♭"))
    notes = [note.pitch.note for note in moved.notes[:8]]
    assert degrees("B♭7", notes) == "5 b7 9 11 3 b9 b7 5".split()


# 4: triads above.


def test_triads_over_other_dominants():
    assert shortcuts("C7", "b9 13")[0].shape == "A"
    assert shortcuts("C7", "9 #11 13")[0].shape == "D"
    assert degrees("G7", "B♭ D♭ F") == ["#9", "#11", "b7"]


def test_the_nine_over_c7_are_those_of_a_published_table():
    """Wikipedia contributors, *Upper structure*, undated."""
    nine = {triad.shape for triad in triad_groups("C7").upper}
    assert nine == {"D", "Eb", "Gb", "Ab", "A", "Cm", "Dbm", "Ebm", "F#m"}


def test_which_of_the_eight_colours_are_for_a_major_one_alone():
    eight = ["b9 13", "b9 b13", "b9 #11", "b9 #11 13", "9 #11 13", "#9", "#9 b13", "#9 #11"]
    assert str(eight).replace("'", '"') in told("04")
    for_major = [name for name in eight if colour(name).targets == ("major",)]
    assert for_major == ["b9 13", "b9 #11 13", "9 #11 13"]


def test_a_suspended_f7_from_the_triad_on_its_flat_seventh():
    assert shortcuts("F7", "suspended")[0].shape == "Eb"
    assert degrees("F7", "E♭ G B♭") == ["b7", "9", "11"]


# 5: symmetric scales.


@together("key", MAJOR, ids=str)
def test_the_falling_scale_and_where_it_lands(key: Key):
    _, dominant, tonic = cadence_chords(key)
    *notes, landing = [note.pitch for note in falling_scale(key).notes[-9:]]
    found = degrees(dominant, [pitch.note for pitch in notes])
    assert found == "1 b7 13 5 #11 3 #9 b9".split()
    assert landing.note == tonic.notes[2]
    assert notes[-1].midi - landing.midi == 1


def test_the_scale_to_think_of_is_the_same_eight_sounds():
    thought, meant = Scale.parse("D♭ whole-half diminished"), Scale.parse("C half-whole diminished")
    assert shortcuts("C7", "half-whole diminished")[0].shape == str(thought)
    assert {note.semitone for note in thought.notes} == {note.semitone for note in meant.notes}


def test_the_family_of_c7():
    family = ["dominant a minor third above", "tritone substitute", "dominant a minor third below"]
    assert str(family).replace("'", '"') in told("05")
    assert [substitute(name, "C7", "F").title for name in family] == ["E♭7", "G♭7", "A7"]


def test_the_whole_tone_scale_over_f7_has_no_5th():
    assert names(colour("whole tone").notes("F7")) == ["F", "G", "A", "B", "Db", "Eb"]
    assert "5" not in [str(degree) for degree in colour("whole tone").degrees]


# 6: altered and melodic minor.


def test_the_scale_for_c7alt_and_a_lydian_dominant():
    scale = shortcuts("C7", "altered")[0]
    assert scale.shape == "Db melodic minor"
    assert names(scale.notes) == ["Db", "Eb", "Fb", "Gb", "Ab", "Bb", "C"]
    assert shortcuts("B♭7", "lydian dominant")[0].shape == "F melodic minor"


def test_the_four_triads_over_a7alt():
    pieces = ["b9 b13", "#9 #11", "b9 #11", "#9 b13"]
    assert str(pieces).replace("'", '"') in told("06")
    assert [shortcuts("A7", name)[0].shape for name in pieces] == ["Bbm", "Cm", "Eb", "F"]


def test_how_many_pulls_the_altered_colour_adds():
    assert resolve("G7", "altered", "C").added_pulls == 3
    assert resolve("G7", "altered", "Cm6").added_pulls == 2


@pytest.mark.parametrize(
    ("root", "far"), list(zip("C F B♭ E♭ A♭ D♭".split(), "F♯ B E A D G".split(), strict=True))
)
def test_the_altered_scale_is_the_lydian_dominant_a_tritone_away(root: str, far: str):
    here = colour("altered").notes(f"{root}7")
    there = colour("lydian dominant").notes(f"{far}7")
    assert {note.semitone for note in here} == {note.semitone for note in there}


# 7: tritone substitution.


def test_the_tritone_substitutes_of_five():
    pairs = {"A7": "D", "D7": "G", "B♭7": "E♭", "A♭7": "D♭", "F♯7": "B"}
    found = [str(substitute("tritone substitute", v, i).chords[0]) for v, i in pairs.items()]
    assert found == ["Eb7", "Ab7", "E7", "D7", "C7"]


def test_what_d_flat_7_and_b_major_7_are_over_g7():
    assert degrees("G7", "D♭ F A♭ C♭") == ["#11", "b7", "b9", "3"]
    assert substitute("tritone substitute", "G7", "C").keeps_tritone
    assert degrees("G7", "B D♯ F♯ A♯") == ["3", "b13", "7", "#9"]
    assert degrees("A♭m7", "B D♯ F♯ A♯") == ["b3", "5", "b7", "9"]


@together("key", KEYS, ids=str)
def test_the_partner_holds_the_3_and_the_flat_7_the_other_way_round(key: Key):
    _, dominant, tonic = cadence_chords(key)
    partner = substitute("tritone substitute", dominant, tonic).chords[0]
    third, seventh = dominant.notes[1].semitone, dominant.notes[3].semitone
    assert (partner.notes[3].semitone, partner.notes[1].semitone) == (third, seventh)


def test_the_side_step_in_f():
    assert substitute("side step", "C7", "F").title == "A♭m7 D♭7 Gm7 C7"


# 8: minor keys.


def test_ways_into_minor():
    assert str(two_five_one("F minor")) == "Gm7b5 | C7 | Fm6"
    assert str(two_five_one("F♯ minor")) == "G#m7b5 | C#7 | F#m6"
    scale = shortcuts("D7", "minor's own", "Gm6")[0]
    assert scale.shape == "G harmonic minor"
    assert names(scale.notes) == ["G", "A", "Bb", "C", "D", "Eb", "F#"]


def test_what_stays_on_the_way_to_c_minor():
    held = resolve("G7", "b9 b13", "Cm").held
    assert [str(move.note) for move in held] == ["G", "Eb"]


def test_the_backdoor_into_e_flat():
    assert substitute("backdoor dominant", "B♭7", "E♭").title == "A♭m7 D♭7"


@together("key", MINOR, ids=str)
def test_the_half_diminished_two_over_v(key: Key):
    two, dominant, _ = cadence_chords(key)
    assert degrees(dominant, two.notes) == ["5", "b7", "b9", "11"]


# 9: writing lines.


def test_what_the_mended_line_does():
    text = "8th Bb4 D5 F5 A5 G5 F5 D5 C5 | Bb4 A4 G4 Bb4 Db5 A4 E5 Db5 | half C5 rest"
    assert text in told("09")
    reading = read_line(Line.parse(text, two_five_one("F")))
    assert str(reading.changes[-1].degree) == "5"
    assert reading.changes[-1].semitones == -1
    found = {n.note.pitch.note.pretty: str(n.degree) for n in reading.notes[8:16]}
    assert (found["D♭"], found["A"], found["E"]) == ("b9", "13", "3")


def test_eighths_that_fall_by_step_into_the_3rd():
    line = Line.parse("half F4 8th Bb4 Ab4 G4 F4 | whole E4", two_five_one("C", "short"))
    assert [str(n.degree) for n in read_line(line).notes[1:5]] == ["#9", "b9", "1", "b7"]
    last = read_line(line).changes[-1]
    assert last.words == "F falls a half step to E, the 3rd of Cmaj7, on beat 1"


def test_what_every_line_keeps_that_is_asked_for():
    for line in write_lines(two_five_one("E♭"), "b9", count=6, seed=21):
        pitches = [note.pitch for note in line.notes]
        over_v = [note.pitch for note in line.notes if 4 <= note.start < 8]
        b9 = {str(pitch.note) for pitch in over_v if pitch.midi % 12 == 11}
        assert b9 in ({"B"}, {"Cb"})  # in the whole bar by the one name that is easier there
        assert max(abs(b.midi - a.midi) for a, b in pairwise(pitches)) <= 12


# 10: through a tune.


def test_the_ii_vs_of_the_workshop_s_tunes():
    assert sum(cadence.is_long for cadence in cadences(tune("nine_borrowed_stands"))) == 8
    found = {str(cadence.key) for cadence in cadences(tune("umbrella_in_the_hall"))}
    assert found == {"G minor", "C minor", "D minor"}


def test_the_long_ii_v_of_a_new_tune():
    new = Chart.of("E♭", "E♭maj7", "Am7 D7", "Fm7", "B♭7", "E♭6")
    long = [cadence for cadence in cadences(new) if cadence.is_long]
    assert [(cadence.bars, str(cadence.key)) for cadence in long] == [((3, 5), "Eb major")]


def test_a_treatment_that_is_taken_off_gives_the_tune_back():
    chart = tune("nine_borrowed_stands")
    mine = Treatment.proposed(chart).set(4, colour="altered").set(0, split=False)
    assert mine.undone(mine.applied(chart)) == chart
    assert mine.applied(chart) != chart


# 12: handouts.


def test_the_handout_of_one_colour():
    text = (WORKBOOK / "handouts" / "one_colour.toml").read_text(encoding="utf-8")
    handout = Handout.parse(text)
    assert Handout.parse(str(handout)) == handout
    assert [block.kind for block in handout.blocks] == ["colour", "staves"]


def test_a_text_that_is_no_handout_is_told_with_its_place():
    with pytest.raises(TheoryError, match="poem"):
        Handout.parse('title = "Over G7"\n\n[[block]]\nkind = "poem"\n')


# Chapter 13, written by hand from its two bars.


def idas_line():
    """The two bars that the chapter is about, as it gives them."""
    text = told("13").partition('bars = "')[2].partition('"')[0]
    return Line.parse(text, two_five_one("E♭", "short"))


def test_ida_climbs_through_the_ii_falls_through_v_and_comes_home_on_the_3():
    line = idas_line()
    read = read_line(line).notes
    assert [str(one.degree) for one in read] == "b3 5 b7 3 b9 1 b7 3 9 3 5".split()
    assert str(read[3].note.pitch.note) == "D"
    home = next(one for one in read if one.note.start == line.progression.bar_starts[1])
    assert (str(home.note.pitch.note), str(home.degree)) == ("G", "3")
    in_key = {note.semitone for note in Scale.parse("Eb major").notes}
    outside = [n for n, one in enumerate(read) if one.note.pitch.midi % 12 not in in_key]
    assert outside == [4]


def heard(line):
    """What one hears of a line: where its notes begin, how long they are, and how high."""
    return [(note.start, note.beats, note.pitch.midi) for note in line.notes]


def test_what_was_played_of_idas_line_is_taken_down_but_for_its_last_note():
    source = told("13")
    rows = ast.literal_eval(source[source.index("played = [") + 9 :].partition("\n]")[0] + "\n]")
    line = idas_line()
    taken = take_down(rows, progression=line.progression, tempo=120, start=0)
    assert heard(taken.line)[:-1] == heard(line)[:-1]
    assert [note.pitch for note in taken.line] == [note.pitch for note in line]  # by name as well
    last, meant = taken.line.notes[-1], line.notes[-1]
    assert (last.pitch, last.start, float(last.beats), float(meant.beats)) == (
        *(meant.pitch, meant.start),
        *(1.0, 0.5),
    )
    assert 1.7 < taken.swing < 2.1
