"""Comping: every chord is heard, none sounds on into the next, and chance decides the rhythm."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.band import FEELS, performance
from theorykit.lines.band.comping import FIGURES, NAMES, comping
from theorykit.lines.band.voicings import voice_progression
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

HALF = Fraction(1, 2)


def tune(text: str, beats: int | Fraction = 4) -> Progression:
    bars = (Bar.even(*bar.split(), beats=beats) for bar in text.split("|"))
    return Progression(Key.parse("C"), tuple(bars))


TUNES = (
    tune("Cmaj7|Am7|Dm7 G7|Em7 A7|Dm7|G7|C6|G7"),
    tune("Cmaj7|Am7|Dm7 G7|C6", 3),
    tune("Cmaj7|Am7 D7|Gmaj7", 5),
    tune("Cmaj7|Am7|C6", Fraction(7, 2)),
    tune("Cmaj7|N.C.|Dm7 G7 Em7 A7|C6"),
    Progression(
        Key.parse("C"),
        (Bar.of(("Dm7", 3), ("G7", 1)), Bar.of(("C6", Fraction(1, 2)), ("F7", Fraction(7, 2)))),
    ),
    *(two_five_one(key, form) for key in ("Db", "F# minor") for form in FORMS),
)


def test_the_figures_fit_their_bars():
    assert len({(figure.name, figure.beats) for figure in FIGURES}) == len(FIGURES)
    for figure in FIGURES:
        starts = [start for start, _ in figure.strokes]
        assert starts == sorted(set(starts))
        assert all(0 <= start < figure.beats for start in starts)
        assert all(start.denominator <= 2 for start in starts)
        ends = [start + length for start, length in figure.strokes]
        assert all(end <= start for end, start in zip(ends, starts[1:], strict=False))


def test_the_charleston():
    # The rhythm of the dance of 1923: one, and the eighth after two. Common practice.
    charleston = next(figure for figure in FIGURES if figure.name == "Charleston")
    assert [start + 1 for start, _ in charleston.strokes] == [1, Fraction(5, 2)]


@together("ends", [True, False])
@together("over", TUNES, ids=str)
def test_every_chord_is_heard_and_none_is_held_into_the_next(over, ends):
    voiced = voice_progression(over)
    for seed in range(12):
        notes = comping(over, voiced, ends=ends, seed=seed)
        heard = set()
        for note in notes:
            assert note.beats > 0
            places = [
                place
                for place, chord in enumerate(over.chords)
                if chord.start - HALF <= note.start < chord.end
                and note.start + note.beats <= chord.end
                and note.midi in voiced[place].midis
            ]
            assert places
            heard.add(places[-1])
            heard.add(places[0])
        wanted = {place for place, chord in enumerate(over.chords) if not chord.chord.is_silent}
        assert wanted <= heard


@together("over", TUNES, ids=str)
def test_a_chord_is_struck_once_at_a_time(over):
    notes = comping(over, voice_progression(over), seed=5)
    by_key: dict[int, list] = {}
    for note in notes:
        by_key.setdefault(note.midi, []).append((note.start, note.start + note.beats))
    for times in by_key.values():
        assert all(end <= start for (_, end), (start, _) in pairwise(times))


def test_a_stroke_an_eighth_early_is_the_next_chord():
    over = two_five_one("C")
    voiced = voice_progression(over)
    notes = comping(over, voiced, figure="one and after four", ends=False)
    early = [note.midi for note in notes if note.start == Fraction(7, 2)]
    assert tuple(early) == voiced[1].midis
    assert not [note for note in notes if note.start == 4]  # it is tied over


def test_the_last_chord_is_struck_on_its_beat_and_held():
    over = two_five_one("C")
    for seed in range(20):
        notes = comping(over, voice_progression(over), seed=seed)
        last = [note for note in notes if note.start >= 8]
        assert {note.start for note in last} == {8}
        assert all(note.beats > Fraction(7, 2) for note in last)


def test_the_rhythm_does_not_depend_on_the_chords():
    rhythms = set()
    for text in ("Cmaj7|Am7|Dm7|G7", "Ebmaj7|Ab7|Dbmaj7|Gb7alt"):
        over = tune(text)
        notes = comping(over, voice_progression(over), seed=11)
        rhythms.add(tuple(sorted({(note.start, note.beats) for note in notes})))
    assert len(rhythms) == 1


def test_the_seed_varies_the_rhythm():
    over = tune("Cmaj7|Am7|Dm7|G7")
    voiced = voice_progression(over)
    rhythms = {tuple(sorted({n.start for n in comping(over, voiced, seed=s)})) for s in range(20)}
    assert len(rhythms) > 10
    assert comping(over, voiced, seed=4) == comping(over, voiced, seed=4)


def test_a_figure_can_be_kept_to():
    over = tune("Cmaj7|Am7|Dm7|G7")
    notes = comping(over, voice_progression(over), figure="two and four", ends=False)
    assert {note.start % 4 for note in notes} == {1, 3}
    with pytest.raises(TheoryError, match="no such figure: 'bossa'"):
        comping(over, voice_progression(over), figure="bossa")
    assert "Charleston" in NAMES


def over_line(text: str, figure: str | None = None, feel: str = "four"):
    """The piano under a line over eight bars, and the line, in written beats."""
    over = tune("Dm7|G7|Cmaj7|A7|Dm7|G7|Cmaj7|C6")
    line = Line.parse(text, over)
    played = performance(line, over, count_in=0, feel=feel, figure=figure, seed=2)
    parts = {part.name: part.notes for part in played.parts}
    return parts["piano"], parts["line"]


HELD = "whole F4 | C5 | whole C5 | D5 | whole Eb5 | Ab4 | whole F4 | F5"
BUSY = " | ".join(["8th D4 F4 A4 C5 E5 D5 C5 A4", "8th B4 G4 F4 D4 B3 D4 F4 G4"] * 4)
RESTING = " | ".join(["whole rest"] * 7 + ["whole C5"])


@pytest.mark.parametrize("figure", [None, "one held", "half notes"])
@pytest.mark.parametrize("text", [HELD, BUSY])
def test_nothing_rubs_under_a_long_note_of_the_line(text, figure):
    # Half steps and minor ninths under what is held are avoided: common practice.
    piano, line = over_line(text, figure)
    for top in (note for note in line if note.beats >= Fraction(7, 8)):
        end = top.start + top.beats
        under = [n for n in piano if n.start < end and n.start + n.beats > top.start]
        assert not [n for n in under if abs(top.midi - n.midi) % 12 == 1]


def test_the_piano_stays_below_the_line_and_still_plays_chords():
    piano, line = over_line(HELD)
    chords: dict[Fraction, list[int]] = {}
    for note in piano:
        chords.setdefault(note.start, []).append(note.midi)
    for start, midis in chords.items():
        above = [n.midi for n in line if n.start <= start < n.start + n.beats]
        assert len(midis) >= 2
        assert all(max(midis) < top for top in above)


def test_a_busy_line_gets_room_and_a_resting_one_an_answer():
    busy, resting = (len({n.start for n in over_line(text)[0]}) for text in (BUSY, RESTING))
    assert busy < resting


@pytest.mark.parametrize("feel", FEELS)
def test_phrases_of_four_bars_repeat_a_figure_and_bars_differ(feel):
    over = tune("|".join(["Cmaj7", "Am7", "Dm7", "G7"] * 8))
    rhythms = set()
    for seed in range(6):
        notes = comping(over, voice_progression(over), feel=feel, ends=False, seed=seed)
        bars = [
            tuple(sorted({n.start % 4 for n in notes if n.start // 4 == bar})) for bar in range(32)
        ]
        rhythms |= set(bars)
        phrases = [bars[at : at + 4] for at in range(0, 32, 4)]
        again = sum(len(set(phrase)) < 4 for phrase in phrases)
        assert again >= 4  # a figure comes back inside most phrases
    assert len(rhythms) >= 4
