"""Heard notes as a line over a progression, with a report."""

from random import Random

import pytest

from theorykit import Line, TheoryError, two_five_one
from theorykit.lines.taking import HeardNote, taken_line

# Lines of our own, over a ii-V-I in four keys: all the names of their notes were written by hand.
WRITTEN = {
    "C": "8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole Eb5",
    "Db": "8th Eb5 Gb5 Bb5 Db6 C6 A5 Gb5 Eb5 | whole F5",
    "F#": "8th G#4 B4 D#5 F#5 E#5 D5 B4 G#4 | whole A#4",
    "Bb": "8th C5 Eb5 G5 Bb5 triplet 8th A5 Gb5 Eb5 8th C5 A4 | whole D5",
}


def heard(line, *, tempo, start, swing=1.0, rng=None, sigma=0.0):
    """A line as it would be heard."""
    second = swing / (swing + 1)

    def seconds(beat):
        whole = beat // 1
        inside = second if beat % 1 == 0.5 else float(beat % 1)
        return start + (float(whole) + inside) * 60 / tempo

    rng = rng or Random(0)
    found = []
    for note in line.notes:
        begun = max(0.0, seconds(note.start) + rng.gauss(0, sigma))
        over = max(begun + 0.05, seconds(note.end) - 0.02)
        found.append(HeardNote(begun, over, note.pitch.midi, 0.9))
    return found


@pytest.mark.parametrize("key", WRITTEN)
def test_a_line_that_was_played_is_spelled_as_it_was_written(key):
    over = two_five_one(key, "short")
    line = Line.parse(WRITTEN[key], over)
    rng = Random(key)
    found = taken_line(
        heard(line, tempo=140, start=1.0, swing=1.6, rng=rng, sigma=0.01), over, tempo=140, start=1
    )
    assert found.line.text == line.text
    assert [one.note for one in found.notes] == list(found.line.notes)
    assert found.left_out == ()


def test_a_wrong_note_stays_wrong():
    over = two_five_one("C", "short")
    line = Line.parse("8th D5 F5 A5 C6 B5 C#6 F#5 D5 | whole Eb5", over)
    found = taken_line(heard(line, tempo=120, start=0), over, tempo=120, start=0)
    played = [note.pitch.midi for note in line.notes]
    assert [note.pitch.midi for note in found.line.notes] == played


@pytest.mark.parametrize("tempo", [92, 168])
def test_tempo_and_start_are_found_and_told(tempo):
    over = two_five_one("C", "long")
    line = Line.parse(
        "8th D5 F5 A5 C6 quarter B5 8th A5 F5 | 8th G5 F5 E5 D5 triplet 8th C5 D5 E5 8th F5 Ab5 |"
        " 8th G5 E5 C5 B4 quarter D5 E5",
        over,
    )
    played = heard(line, tempo=tempo, start=2.0, rng=Random(tempo), sigma=0.008)
    found = taken_line(played, over)
    assert found.tempo == pytest.approx(tempo, rel=0.02)
    assert found.start == pytest.approx(2.0, abs=0.06)
    assert "No tempo was given" in found.report[0]
    assert "No start was given" in found.report[1]
    assert [note.start for note in found.line.notes] == [note.start for note in line.notes]


def test_what_does_not_fit_the_progression_is_left_out_and_told():
    over = two_five_one("C", "short")
    played = [HeardNote(n * 0.5, n * 0.5 + 0.4, 60 + n) for n in range(12)]
    found = taken_line(played, over, tempo=120, start=0.0)
    assert len(found.notes) == 8
    assert found.left_out == tuple(played[8:])
    assert found.report[-1] == "4 heard notes are left out: after the last bar."


def test_a_note_under_another_is_told_by_its_bar_and_no_seconds():
    played = [HeardNote(n * 0.5, n * 0.5 + 0.45, 72) for n in range(6)]
    under = HeardNote(1.05, 1.15, 60)
    found = taken_line([*played, under], two_five_one("C", "short"), tempo=120, start=0.0)
    assert found.left_out == (under,)
    where = "bar 1, beat 3, where another sounds"
    assert found.report[-1] == f"1 heard note is left out: {where}."


def test_a_doubtful_note_is_told_by_its_bar_and_as_it_is_written():
    over = two_five_one("Db", "short")
    played = [HeardNote(0, 0.4, 61), HeardNote(2.75, 3.1, 58, 0.2)]
    found = taken_line(played, over, tempo=120, start=0)
    assert "Doubtful: B♭, bar 2, the and of 2." in found.report


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("known", [{"tempo": 133.0}, {}])
def test_no_note_of_the_line_is_told_as_left_out_wherever_the_take_begins(seed, known):
    rng = Random(seed)
    begins = rng.uniform(0.1, 3)
    times = [begins + n * 60 / 133 / 2 + rng.uniform(0, 0.01) for n in range(12)]
    sure = [0.4 if n == 5 else 0.9 for n in range(12)]
    heard = [HeardNote(at, at + 0.2, 60 + n, sure[n]) for n, at in enumerate(times)]
    found = taken_line(heard, two_five_one("C", "long"), **known)
    assert found.left_out == ()
    assert [one.confidence for one in found.notes] == sure


def test_doubtful_notes_and_tuning_are_told():
    over = two_five_one("C", "short")
    played = [HeardNote(0, 0.4, 62), HeardNote(0.5, 0.9, 65, 0.2)]
    found = taken_line(played, over, tempo=120, start=0, tuning=-31.0)
    assert "The take is 31 cents flat." in found.report
    assert "Doubtful: F, bar 1, beat 2." in found.report
    assert [one.confidence for one in found.notes] == [1.0, 0.2]


@pytest.mark.parametrize(
    ("played", "wishes", "words"),
    [
        ([], {}, "no note was heard"),
        ([HeardNote(1, 0.5, 60)], {}, "no note that was heard"),
        ([HeardNote(0, 1, 60)], {"tempo": 5}, "no tempo: 5"),
        ([HeardNote(0, 1, 60)], {"start": -1}, "no start: -1"),
        ([None], {}, "not heard notes"),
    ],
)
def test_what_is_no_take_is_refused(played, wishes, words):
    with pytest.raises(TheoryError, match=words):
        taken_line(played, two_five_one("C", "short"), **wishes)


def test_faint_notes_are_left_out_and_told():
    bass = [HeardNote(0.1, 0.4, 38), HeardNote(0.6, 0.9, 43)]
    played = [HeardNote(0, 0.4, 62), HeardNote(0.5, 0.9, 65)]
    found = taken_line(played, two_five_one("C", "short"), tempo=120, start=0, faint=bass)
    assert [note.pitch.midi for note in found.line] == [62, 65]
    assert found.left_out == tuple(bass)
    where = "bar 1, beat 1; bar 1, beat 2"
    assert f"2 faint notes are left out: {where}." in found.report[-1]
    found = taken_line(played, two_five_one("C", "short"), tempo=120, start=0, faint=bass[:1])
    assert "1 faint note is left out" in found.report[-1]
