"""Rhythm section, lines as parts, whole performances."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.band import FEELS, default_swing, performance, then
from theorykit.lines.band.accompaniment import accompany, play_line
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import PART_NAMES, Part, Performance
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

HALF = Fraction(1, 2)
OVER = two_five_one("C")


def part(played: Performance, name: str) -> Part:
    return next(one for one in played.parts if one.name == name)


def test_swing_follows_the_tempo():
    # Friberg and Sundström, Music Perception 19, 2002 (from memory): about 3.5 to 1 at slow tempi,
    # falling in a straight line to 1 to 1 at about 300 beats a minute. We play 3 at most.
    assert default_swing(300) == 1.0
    assert default_swing(40) == 3.0
    ratios = [default_swing(tempo) for tempo in range(100, 301, 10)]
    steps = {round(a - b, 6) for a, b in pairwise(ratios)}
    assert steps == {0.1}
    assert all(1 <= default_swing(tempo) <= 3 for tempo in range(40, 301))


def test_a_line_is_played_slightly_detached():
    over = two_five_one("C")
    line = demonstration("C", "long", "b9 13")
    played = play_line(line, at=Fraction(4))
    assert played.name == "line"
    for note, written in zip(played.notes, line.notes, strict=True):
        assert note.start == written.start + 4
        # A note off the beat is tied to the next one; an eighth that ends a phrase is short.
        assert written.beats * Fraction(7, 8) <= note.beats < written.beats or (
            written.start.denominator == 2
        )
        assert written.beats / 2 <= note.beats <= written.beats
        assert note.midi == written.pitch.midi
    assert line.progression == over


def test_notes_off_the_beat_are_accented():
    # Of the same note over and over only the place tells; deviations by chance cancel out.
    line = Line.parse("8th F4 F4 F4 F4 F4 F4 F4 F4 | F4 F4 F4 F4 F4 F4 F4 F4 | whole F4", OVER)
    on, off = [], []
    for seed in range(40):
        for note in play_line(line, seed=seed).notes[:-3]:
            (on if note.start.denominator == 1 else off).append(note.loudness)
    assert sum(off) / len(off) > sum(on) / len(on) + 2


@pytest.mark.parametrize("feel", ["two", "four"])
def test_three_players_over_every_key_form_and_colour(feel):
    for key in KEYS:
        for form in FORMS:
            over = two_five_one(key, form)
            for row in COLOURS[::6]:
                place = len(over.chords) - 2
                parts = accompany(over, feel=feel, colours={place: row.degrees}, seed=1)
                assert [one.name for one in parts] == ["piano", "bass", "drums"]
                for one in parts:
                    assert one.notes
                    assert all(0 <= n.start < n.start + n.beats <= over.beats for n in one.notes)


@together("row", COLOURS, ids=str)
def test_under_a_colour_nothing_is_held_that_contradicts_the_line(row):
    # Under every note of the colour, no held piano note lies a half step away, except the guide
    # tones and what belongs to the colour itself.
    line = demonstration("Eb", "long", row)
    over = line.progression
    piano, _, _ = accompany(over, colours={1: row.degrees}, figure="one held")
    v = over.chords[1]
    held = {note.midi for note in piano.notes if v.start - HALF <= note.start < v.end - HALF}
    root = v.chord.root.semitone
    stays = {(root + d.semitone) % 12 for d in row.degrees} | {(root + 4) % 12, (root + 10) % 12}
    for note in line.notes:
        if v.start <= note.start < v.end:
            near = {m for m in held if (m - note.pitch.midi) % 12 in (1, 11)}
            assert {m % 12 for m in near} <= stays


def test_plain_and_coloured_share_bass_and_rhythm():
    over = two_five_one("F")
    plain = accompany(over, seed=5)
    coloured = accompany(over, colours={1: colour("b9 13").degrees}, seed=5)
    assert {n.start for n in plain[0].notes} == {n.start for n in coloured[0].notes}
    assert [n.start for n in plain[1].notes] == [n.start for n in coloured[1].notes]
    assert plain[2] == coloured[2]


def test_a_performance_is_counted_in():
    over = two_five_one("C")
    played = performance(demonstration("C"), over, count_in=2, tempo=100)
    assert played.beats == 8 + 12
    assert played.seconds == pytest.approx(20 * 0.6)
    assert played.swing == default_swing(100)
    assert [one.name for one in played.parts] == list(PART_NAMES)
    for name in ("line", "piano", "bass"):
        assert min(note.start for note in part(played, name).notes) >= 8
    clicks = [note for note in part(played, "drums").notes if note.start < 8]
    assert [note.start for note in clicks] == [0, 2, 4, 5, 6, 7]


def test_answer_bars_leave_the_rhythm_section_alone():
    line = demonstration("C", "short")
    played = performance(line, line.progression, answer_bars=True, repeats=2, count_in=1)
    assert played.beats == 4 + 4 * 8
    rounds = {(note.start - 4) // 8 for note in part(played, "line").notes}
    assert rounds == {0, 2}
    assert {(n.start - 4) // 8 for n in part(played, "bass").notes if n.start >= 4} == {0, 1, 2, 3}


def test_without_a_line_the_rhythm_section_plays_alone():
    played = performance(None, two_five_one("C"))
    assert [one.name for one in played.parts] == ["piano", "bass", "drums"]


def test_colours_hold_in_every_repeat():
    over = two_five_one("C", "short")
    played = performance(None, over, colours={1: colour("b9").degrees}, repeats=3, count_in=0)
    a_flat, a = 8, 9
    for turn in range(3):
        v = range(8 * turn + 2, 8 * turn + 4)
        heard = {
            n.midi % 12
            for n in part(played, "piano").notes
            if int(n.start) in v and n.start >= v[0]
        }
        assert a_flat in heard or not heard
        assert a not in heard


def test_a_pickup_sounds_in_the_count_in():
    over = two_five_one("C", "short")
    pickup = TimedNote(Pitch.parse("E4"), Fraction(-1), Fraction(1))
    line = Line(over, (pickup, TimedNote(Pitch.parse("F4"), Fraction(0), Fraction(2))))
    played = performance(line, over, count_in=0)
    assert played.beats == 4 + 8
    assert part(played, "line").notes[0].start == 3


def test_one_after_the_other():
    c, g = (performance(None, two_five_one(key), tempo=90, count_in=1) for key in "CG")
    both = then(c, g)
    assert both.beats == c.beats + g.beats
    assert both.seconds == pytest.approx(c.seconds + g.seconds)
    assert [one.name for one in both.parts] == ["piano", "bass", "drums"]
    for name in ("piano", "bass", "drums"):
        first, second = part(c, name).notes, part(g, name).notes
        joined = part(both, name).notes
        assert joined[: len(first)] == first
        assert [n.start - c.beats for n in joined[len(first) :]] == [n.start for n in second]


def test_any_progression_can_be_played():
    rng = random.Random(8)
    chords = ("Dm7", "G7alt", "N.C.", "C/E", "F#dim7", "Bb7sus4", "Ab6/9", "E5", "Aaug")
    for _ in range(60):
        bars = []
        for _ in range(rng.randint(1, 4)):
            lengths = [
                Fraction(rng.randint(1, 8), rng.choice((1, 2))) for _ in range(rng.randint(1, 3))
            ]
            bars.append(Bar.of(*((rng.choice(chords), length) for length in lengths)))
        over = Progression(Key.parse("C"), tuple(bars))
        for feel in FEELS:
            for one in accompany(over, feel=feel, seed=rng, count_in=1):
                assert all(n.beats > 0 and n.start >= 0 for n in one.notes)
                assert all(1 <= n.loudness <= 127 and 0 <= n.midi <= 127 for n in one.notes)


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"count_in": 9}, "no such count-in: 9"),
        ({"repeats": 0}, "no such repeat: 0"),
        ({"tempo": 9}, "no such tempo"),
        ({"swing": 4.0}, "no such swing"),
        ({"feel": "three"}, "no such feel"),
        ({"style": "block"}, "no such style"),
    ],
)
def test_what_cannot_be_played_is_refused(wishes, words):
    with pytest.raises(TheoryError, match=words):
        performance(None, two_five_one("C"), **wishes)


def test_line_and_progression_must_be_of_one_length():
    with pytest.raises(TheoryError, match="the line lasts 12 beats and the progression 8"):
        performance(demonstration("C"), two_five_one("C", "short"))


def test_two_tempos_are_not_one_performance():
    slow, fast = (performance(None, two_five_one("C"), tempo=tempo) for tempo in (80, 90))
    with pytest.raises(TheoryError, match="two tempos or swings in one"):
        then(slow, fast)
    with pytest.raises(TheoryError, match="nothing to play"):
        then()
