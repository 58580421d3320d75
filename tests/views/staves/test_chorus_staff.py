"""The staff of a chorus: numbers, sections, degrees and marks."""

from __future__ import annotations

from functools import cache

import pytest
from house import ROOT

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.chorus import cadence_line, write_chorus
from theorykit.lines.text import Line
from theorykit.notes.reader import reader
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.notation import written_bars
from theorykit.views.staves import cadence_staff, chorus_staff, staff_of_line
from theorykit.views.staves.chorus_staves import legible_staff

TUNES = ROOT / "workbook" / "tunes"


@cache
def chorus(name: str, choruses: int = 1):
    """A treated chorus over a tune of the workshop."""
    chart = Chart.parse((TUNES / f"{name}.txt").read_text(encoding="utf-8"))
    treatment = Treatment.proposed(chart, level="second", variety=3)
    return write_chorus(chart, treatment, choruses=choruses, seed=2)


def test_sections_stand_over_the_bars_as_played():
    view = chorus_staff(chorus("rain_on_the_skylight"))
    sections = {n + 1: mark.section for n, mark in enumerate(view.marks) if mark.section}
    assert sections == {1: "A", 9: "A", 17: "B"}
    assert view.time == (3, 4)


def test_each_chorus_is_numbered_from_one_and_all_together_through():
    found = chorus("nine_borrowed_stands", 2)
    for number in (1, 2):
        assert [bar.number for bar in written_bars(chorus_staff(found, number))] == list(
            range(1, 33)
        )
    assert len(written_bars(chorus_staff(found))) == 64
    first, second = (chorus_staff(found, number).notes for number in (1, 2))
    assert first != second


def test_the_bar_that_ends_on_the_top_belongs_to_the_last_chorus():
    found = chorus("four_bus_stops", 2)
    assert [len(chorus_staff(found, number).bars) for number in (1, 2)] == [20, 21]


def test_notes_of_the_colour_are_marked_and_no_others():
    found = chorus("nine_borrowed_stands")
    view = chorus_staff(found)
    marked = {note.start for note in view.notes if note.mark == "colour"}
    expected = set()
    for phrase in found.phrases:
        tensions = {d.semitone for d in colour(phrase.window.colour).tensions}
        for note in phrase.notes:
            chord = found.line.progression.chord_at(note.start).chord
            inside = note.start < phrase.window.landing and chord.kind.is_dominant
            degree = degrees_over(chord, [note.pitch.note])[0]
            if inside and degree.semitone in tensions:
                expected.add(note.start)
    assert marked == expected
    landings = {note.start for note in view.notes if note.mark == "landing"}
    assert landings == {phrase.window.landing for phrase in found.phrases}


def test_labels_can_be_left_out():
    view = chorus_staff(chorus("nine_borrowed_stands"), labels=False)
    assert not any(note.labels or note.mark for note in view.notes)


def test_it_is_written_for_its_reader():
    found = chorus("nine_borrowed_stands")
    concert, alto = (chorus_staff(found, reader=reader(name)) for name in ("concert", "E flat"))
    assert (str(concert.key), str(alto.key)) == ("Bb major", "G major")
    assert [n.pitch.midi + 9 for n in concert.notes] == [n.pitch.midi for n in alto.notes]
    assert str(alto.chords[2][1]) == "Cm7"  # E flat minor seventh, for an alto saxophone


def test_a_chorus_that_is_not_there_is_refused():
    with pytest.raises(TheoryError, match="no such chorus: 3"):
        chorus_staff(chorus("nine_borrowed_stands", 2), 3)


def test_a_cadence_close_up_has_a_degree_under_every_note():
    found = chorus("nine_borrowed_stands")
    window = found.phrases[0].window
    treatment = Treatment.proposed(found.chart, level="second", variety=3)
    line = cadence_line(found.chart, treatment, window.v)
    view = cadence_staff(line, window.colour)
    assert all(len(note.labels) == 1 for note in view.notes)
    assert [note.mark for note in view.notes].count("landing") == 1
    assert any(note.mark == "colour" for note in view.notes)
    assert not any(note.mark == "colour" for note in cadence_staff(line).notes)


# What a copyist writes in the flats or sharps of the key (common practice).
@pytest.mark.parametrize(
    ("key", "bars", "text", "names"),
    [
        ("Db", "Fmaj7 | Ebm7", "8th C#5 G#4 A#4 D#5 half C5 | whole Eb5", "Db Ab Bb Eb C Eb"),
        ("Ab", "Cmaj7 | F6", "8th A4 G#4 Gb4 F4 half E4 | whole D4", "A Ab Gb F E D"),
        ("B", "G6 | F#7", "8th Bb4 Eb5 B4 D5 half G4 | whole A#4", "A# D# B D G A#"),
        # what the signature has by another name gives way, even where it leads up
        ("Eb", "C7 | Fm7", "8th G#4 A4 C5 E5 half G5 | whole F5", "Ab A C E G F"),
        # what leads up by a half step, and what the chord holds, keeps its name
        ("Eb", "Eb6 | Fm7", "8th F#4 G4 C5 E5 half G5 | whole F5", "F# G C E G F"),
        ("Db", "A7 | Dm7", "8th C#5 E5 A4 G4 half E4 | whole F4", "C# E A G E F"),
    ],
)
def test_what_only_passes_has_the_name_of_the_key(key, bars, text, names):
    over = Chart.parse(f"key: {key}\n| {bars} |").progression
    view = legible_staff(staff_of_line(Line.parse(text, over)))
    assert " ".join(str(note.pitch.note) for note in view.notes) == names
