"""Choruses keep to what is written: no strong beat contradicts an alteration or a suspension."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from random import Random

import pytest
from sweeps import swept
from together import together

from theorykit.lines.chord_palette import palettes
from theorykit.lines.chorus import Chorus, write_chorus
from theorykit.lines.writing import Wishes
from theorykit.lines.writing.candidates import places_of
from theorykit.lines.writing.rhythm_figures import draw_rhythm
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import LEVELS, Treatment

# What contradicts a written sound on a strong beat, in half steps above the root (common practice).
AGAINST = {1: {2}, 3: {2}, 2: {1, 3}, 8: {9}, 9: {8}, 5: {3, 4}}
SYMBOLS = "7alt 7b9 7#9 13 9 7#5 9#5 7sus4 9sus4 7sus4b9 13b9 13#11 7b5 7b9b13".split()
HALF_BAR = Fraction(2)


def forbidden(chord: Chord) -> set[int]:
    """Sounds that a symbol excludes, as half steps above its root."""
    own = {degree.semitone for degree in chord.degrees} - {0, 4, 7, 10}
    found = set().union(*(AGAINST.get(sound, set()) for sound in own))
    fifth = any(degree.number == 5 for degree in chord.degrees)
    altered = own & {6, 8} and Degree(5) not in chord.degrees
    return (found | ({7} if altered or not fifth else set())) - {d.semitone for d in chord.degrees}


def faults(chorus: Chorus) -> list[str]:
    """Notes on the first and third beat that contradict the dominant that is written there."""
    found = []
    over = chorus.line.progression
    for placed in over.chords:
        if not placed.chord.kind.is_dominant:
            continue
        excluded = forbidden(placed.chord)
        for note in chorus.line.notes:
            inside = placed.start <= note.start < placed.end
            sound = (note.pitch.midi - placed.chord.root.semitone) % 12
            if inside and note.start % HALF_BAR == 0 and sound in excluded:
                found.append(f"{note.pitch} on {note.start} over {placed.chord}")
    return found


# Each key at one level, and each level once; the sweep has them all.
TRIED = {*zip(("C", "Db", "F#"), LEVELS, strict=True)}


@pytest.mark.parametrize(
    ("key", "level"), swept(product(("C", "Db", "F#"), LEVELS), TRIED.__contains__)
)
def test_no_strong_beat_contradicts_a_symbol(key, level):
    home = Chart.of(key, "C").key.tonic
    ii, v = above(home, Degree(2)), above(home, Degree(5))
    bars = " | ".join(f"{ii}m7 | {v}{symbol} | {home}maj7" for symbol in SYMBOLS)
    tune = Chart.parse(f"key: {key}\n| {bars} |")
    for treatment in (Treatment.plain(tune), Treatment.proposed(tune, level=level, variety=3)):
        chorus = write_chorus(tune, treatment, seed=3)
        assert faults(chorus) == []
        written = sum(1 for one in chorus.phrases if one.notes)
        assert written == len(chorus.phrases)
        for phrase in chorus.phrases:
            assert "keeps the rules" not in phrase.problem


@together("symbol", SYMBOLS)
def test_no_strong_place_may_hold_what_contradicts_however_chromatic_the_line(symbol):
    over = Chart.parse(f"key: C\n| Dm7 | G{symbol} | Cmaj7 |").progression
    chords, wishes = palettes(over, None), Wishes(chromatic="a lot")
    excluded = {(7 + sound) % 12 for sound in forbidden(Chord.parse(f"G{symbol}"))}
    for seed in range(5):
        rhythm = draw_rhythm(chords, wishes, Random(seed), needed=[0, 0, 0])
        for onset, place in zip(rhythm, places_of(over, chords, rhythm, wishes), strict=True):
            if onset.chord == 1 and onset.start % HALF_BAR == 0:
                assert not excluded & {midi % 12 for midi in place.pitches}


def test_the_check_finds_what_it_looks_for():
    assert forbidden(Chord.parse("G7alt")) == {2, 7, 9}
    assert forbidden(Chord.parse("G13")) == {1, 3, 8}
    assert forbidden(Chord.parse("G7sus4b9")) == {2, 3, 4}
    assert forbidden(Chord.parse("G7")) == set()
