"""Whole choruses: what every one of them keeps, over the tunes of the workshop in many keys."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise, product

import pytest
from house import ROOT
from sweeps import some_and_all, swept
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.chorus import Chorus, Window, write_chorus
from theorykit.lines.chorus.repetition import is_stale
from theorykit.lines.chorus.windows import Phrase
from theorykit.lines.guide_tones import guide_tones
from theorykit.lines.phrase_counts import phrases_of
from theorykit.lines.placed import merged_chords
from theorykit.lines.text import Line
from theorykit.lines.writing import Wishes
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.tunes.treatments import Treatment

TUNES = {file.stem: file for file in sorted((ROOT / "workbook" / "tunes").glob("*.txt"))}
KEYS = {"major": ("C", "Db", "E", "F#", "Ab", "B"), "minor": ("C", "C#", "Eb", "F", "F#", "Bb")}
LOWEST, HIGHEST = Wishes().compass
LONGEST_BREATH = 22  # beats: sixteen, and at most a bar and a half until the next landing
CASES = [(name, place) for name in TUNES for place in range(6)]


def is_tried(case: tuple[str, int]) -> bool:
    """Whether the ordinary run has a case: two keys for each tune, each key for two tunes."""
    return (list(TUNES).index(case[0]) - case[1]) % 3 == 0


SOME = swept(CASES, is_tried)
# A long form, a waltz, a minor key: where a rest meets a triplet in different places.
PARTED = ("nine_borrowed_stands", "rain_on_the_skylight", "umbrella_in_the_hall")
LONG = ("nine_borrowed_stands", "the_keys_are_still_upstairs")  # 32 bars


@pytest.mark.parametrize("name", swept(TUNES, PARTED.__contains__))
def test_no_phrase_ends_inside_a_triplet_and_no_rest_is_written_across_one(name):
    """What a copyist asks (common practice): a rest inside a triplet ends with its beat."""
    for seed in range(2):
        line = write_chorus(tune(name), Treatment.proposed(tune(name)), seed=seed).line
        rests = [(a, b) for a, b in pairwise(line.notes) if a.end < b.start]
        assert all(a.end.denominator in (1, 2, 4) for a, _ in rests)
        assert "triplet half rest" not in line.text
        assert "triplet quarter rest" not in line.text
        assert Line.parse(line.text, line.progression).notes == line.notes


@cache
def tune(name: str) -> Chart:
    """A tune of the workshop."""
    return Chart.parse(TUNES[name].read_text(encoding="utf-8"))


@cache
def chorus(name: str, place: int, choruses: int = 1) -> Chorus:
    """A treated chorus over a tune in one of six keys."""
    chart = tune(name)
    moved = chart.transposed(f"{KEYS[chart.key.mode][place]} {chart.key.mode}")
    level = ("first", "second", "third")[place % 3]
    treatment = Treatment.proposed(moved, level=level, variety=3)
    return write_chorus(moved, treatment, choruses=choruses, seed=place)


@pytest.mark.parametrize(("name", "place"), SOME)
def test_every_v_has_its_colour_and_lands_by_a_step_on_a_chord_tone(name, place):
    found = chorus(name, place)
    over = found.line.progression
    by_start = {note.start: note for note in found.line.notes}
    assert found.phrases
    for phrase in found.phrases:
        window = phrase.window
        over_v = [
            note
            for note in found.line.notes
            if window.start <= note.start < window.landing
            and over.chord_at(note.start).chord.kind.is_dominant
        ]
        if not phrase.problem and window.colour:
            placed = over.chord_at(window.landing - Fraction(1, 8))
            tensions, v = colour(window.colour).tensions, placed.chord
            wanted = {(v.root.semitone + d.semitone) % 12 for d in tensions}
            # Two eighths are what one hears over a beat, and one of them is the 3rd or 7th of V;
            # a calm phrase has two tensions over two beats.
            told = {1: 1, 2: 2}.get(int(placed.beats), len(tensions))
            left_out = max(0, len(tensions) - told)
            assert len(wanted - {note.pitch.midi % 12 for note in over_v}) <= left_out
        landing = by_start[window.landing]
        before = max(n.start for n in found.line.notes if n.start < window.landing)
        assert abs(landing.pitch.midi - by_start[before].pitch.midi) <= 2
        target = over.chord_at(window.landing).chord
        above = (landing.pitch.midi - target.root.semitone) % 12
        assert above in {degree.semitone for degree in target.degrees} | {2}


@pytest.mark.parametrize(("name", "place"), SOME)
def test_a_player_can_play_it(name, place):
    """It stays in the range, never leaps wider than an octave, breathes, and is legible."""
    notes = chorus(name, place).line.notes
    assert all(LOWEST <= note.pitch.midi <= HIGHEST for note in notes)
    assert all(abs(b.pitch.midi - a.pitch.midi) <= 14 for a, b in pairwise(notes))
    assert all(abs(note.pitch.note.alteration) < 2 for note in notes)
    since = notes[0].start
    for before, after in pairwise(notes):
        if after.start - before.end >= Fraction(1, 2):
            since = after.start
        assert before.end - since <= LONGEST_BREATH


@pytest.mark.parametrize(("name", "place"), swept(CASES[::5], is_tried))
def test_a_phrase_ends_on_a_note_of_its_chord(name, place):
    """A chord tone, the 9 or the 13, also where the next phrase cuts it short.

    Where the next one begins on the landing, that is its end as well.
    """
    found = chorus(name, place)
    starts = {note.start: note for note in found.line.notes}
    for phrase in found.phrases:
        last = max(phrase.notes[-1], starts[phrase.window.landing], key=lambda note: note.start)
        chord = found.line.progression.chord_at(last.start).chord
        above = (last.pitch.midi - chord.root.semitone) % 12
        assert above in {degree.semitone for degree in chord.degrees} | {2, 9}, str(last)


@together(("name", "place"), SOME)
def test_phrases_are_parted_by_a_breath_or_follow_on_the_landing(name, place):
    found = chorus(name, place)
    for before, after in pairwise(found.phrases):
        first, last = after.notes[0], max(before.notes, key=lambda note: note.start)
        if before.window.landing == after.window.start:
            assert first.start == before.window.landing
            continue
        played = [note for note in found.line.notes if last.start <= note.start < first.start]
        rests = [b.start - a.end for a, b in pairwise([*played, first])]
        assert max(rests) >= Fraction(1, 2)


@together(("name", "place"), SOME)
def test_what_stands_between_phrases_goes_around_the_guide_tones(name, place):
    """A motif of the chord's scale; a 3rd or 7th, or what stands for it, is always among it."""
    found = chorus(name, place)
    over = found.line.progression
    mine = {note.start for phrase in found.phrases for note in phrase.notes}
    between: dict[Fraction, list[int]] = {}
    for note in found.line.notes:
        if note.start not in mine:
            chord = over.chord_at(note.start)
            between.setdefault(chord.start, []).append(note.pitch.midi % 12)
            scale = chord_scale(chord.chord, over.key)
            sounds = {(chord.chord.root.semitone + d.semitone) % 12 for d in scale}
            assert note.pitch.midi % 12 in sounds
            assert note.beats <= 4
    for start, sounds in between.items():
        guides = {tone.semitone for tone in guide_tones(over.chord_at(start).chord)}
        assert guides & set(sounds)


@together(("name", "place"), swept(product(TUNES, (1, 3, 5)), is_tried))
def test_choruses_breathe_and_are_no_string_of_eighths(name, place):
    """Under 70 % eighths, rests at the ends of phrases, short phrases and long ones."""
    line = chorus(name, place).line
    eighths = sum(note.beats == Fraction(1, 2) for note in line.notes)
    assert eighths < 0.7 * len(line.notes)
    lengths = [len(phrase) for phrase in phrases_of(line)]
    assert len(lengths) * 6 >= found_bars(line)
    assert max(lengths) > 2 * min(lengths)


@pytest.mark.parametrize(("name", "place"), SOME)
def test_the_third_or_seventh_of_v_is_heard_in_every_cadence(name, place):
    """Also in a waltz where V has one beat; a 4 stands for the 3rd of a suspended one."""
    found = chorus(name, place)
    over = found.line.progression
    for phrase in found.phrases:
        v = next(one for one in merged_chords(over) if one.end == phrase.window.landing)
        guides = {d.semitone for d in v.chord.degrees if d.number in (3, 4, 7)}
        sounds = {
            (note.pitch.midi - v.chord.root.semitone) % 12
            for note in found.line.notes
            if note.end > v.start and note.start < v.end
        }
        assert guides & sounds


@pytest.mark.parametrize(("name", "place"), SOME)
def test_no_figure_over_v_is_stamped_and_few_phrases_open_on_a_repeated_note(name, place):
    """Three notes at the same place and on the same degrees of V: in four cadences they are more
    than a motif (from memory of marking such pages).
    """
    found = chorus(name, place)
    over = found.line.progression
    figures: Counter[tuple[tuple[Fraction, int], ...]] = Counter()
    for phrase in found.phrases:
        v = over.chord_at(phrase.window.landing - Fraction(1, 8))
        root = v.chord.root.semitone
        inside = [
            (note.start - v.start, (note.pitch.midi - root) % 12)
            for note in phrase.notes
            if v.start <= note.start < v.end
        ]
        figures.update({tuple(inside[at : at + 3]) for at in range(len(inside) - 2)})
    assert max(figures.values(), default=0) < 4
    phrases = phrases_of(found.line)
    calls = [a for a, b in (p[:2] for p in phrases if len(p) > 1) if a.pitch == b.pitch]
    assert len(calls) <= 1 + 0.25 * len(phrases)


@pytest.mark.parametrize("every", some_and_all([False], [True]))
@pytest.mark.parametrize("name", LONG)
def test_the_bridge_lies_higher_than_the_rest(name, every):
    inside, outside = [], []
    for place in (place for place in range(6) if every[0] or is_tried((name, place))):
        for note in chorus(name, place).line.notes:
            here = inside if 64 <= note.start < 96 else outside
            here.append(note.pitch.midi)
    assert sum(inside) / len(inside) > sum(outside) / len(outside) + 1


def found_bars(line: Line) -> int:
    """How many bars a line goes over."""
    return len(line.progression.bars)


def rhythms(line: Line) -> Counter[tuple[tuple[Fraction, Fraction], ...]]:
    """How often each rhythm of a bar comes: starts in the bar and lengths."""
    bars: dict[int, list[tuple[Fraction, Fraction]]] = {}
    for note in line.notes:
        bars.setdefault(int(note.start // 4), []).append((note.start % 4, note.beats))
    return Counter(tuple(bar) for bar in bars.values() if len(bar) > 2)


@pytest.mark.parametrize(("name", "place"), swept(product(LONG, range(3)), is_tried))
def test_a_motif_comes_back(name, place):
    """One rhythm of three notes and more fills a bar at least three times in a chorus of 32."""
    assert max(rhythms(chorus(name, place).line).values()) >= 3


@pytest.mark.parametrize("name", swept(TUNES, [*TUNES][::2].__contains__))
def test_bars_are_those_of_the_chart_and_one_more_where_the_end_leads_to_the_top(name):
    for count in (1, 2):
        found = chorus(name, 0, count)
        assert found.bars == count * found.bars_each + found.closes
        closing = found.chart.played[-1].chord
        assert found.closes == closing.kind.is_dominant
        if found.closes:
            top = found.line.progression.bars[-1].chords
            assert top == found.line.progression.bars[0].chords[:1]


def test_the_same_seed_gives_the_same_and_another_another():
    chart = tune("nine_borrowed_stands")
    treatment = Treatment.proposed(chart)
    one, again, other = (write_chorus(chart, treatment, seed=seed).line for seed in (3, 3, 4))
    assert one == again
    shared = {(n.start, n.pitch) for n in one.notes} & {(n.start, n.pitch) for n in other.notes}
    assert len(shared) < len(one.notes) / 2


def test_choruses_differ_and_the_first_is_the_same_in_any_number():
    found = chorus("nine_borrowed_stands", 0, 2)
    half = found.line.progression.beats / 2
    first = [(n.start, n.pitch) for n in found.line.notes if n.start < half]
    second = [(n.start - half, n.pitch) for n in found.line.notes if n.start >= half]
    assert len(set(first) & set(second)) < len(first) / 2
    alone = chorus("nine_borrowed_stands", 0)
    assert [p.notes for p in alone.phrases] == [p.notes for p in found.phrases][
        : len(alone.phrases)
    ]


def test_another_colour_changes_its_own_phrase_and_leaves_the_others():
    chart = tune("nine_borrowed_stands")
    treatment = Treatment.proposed(chart)
    changed = treatment.set(4, colour="altered")
    before, after = (write_chorus(chart, one, seed=2).phrases for one in (treatment, changed))
    different = [n for n, pair in enumerate(zip(before, after, strict=True)) if pair[0] != pair[1]]
    assert different[0] == 4
    for n in different[1:]:  # one that would come too often now, or did before
        assert said_again(before[n], after[:n]) or said_again(after[n], before[:n])
    assert len(different) < 3


def said_again(phrase: Phrase, told: Sequence[Phrase]) -> bool:
    """Whether a phrase says what came often in those before it."""
    start = phrase.window.start
    notes = [replace(note, start=note.start - start) for note in phrase.notes]
    return is_stale(notes, phrase.window, told)


def test_a_chart_without_cadences_is_played_in_guide_tones():
    found = write_chorus(Chart.of("D minor", "Dm7", "%", "Ebm7", "%", "Dm7", "%"))
    assert found.phrases == ()
    assert found.line.notes
    assert not found.closes


def test_silence_is_silent():
    found = write_chorus(Chart.of("C", "N.C.", "Dm7", "G7", "C6", "N.C."))
    bars = found.line.progression.bar_starts
    for note in found.line.notes:
        assert bars[1] <= note.start < bars[4]


def test_every_metre_can_be_played():
    for metre in ("2/4", "3/4", "4/4", "5/4", "6/4", "6/8", "12/8"):
        chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "C7", metre=metre)
        found = write_chorus(chart, Treatment.proposed(chart))
        assert found.line.progression.beats == 5 * chart.progression.bars[0].beats
        assert {note.start for note in found.line.notes} > {p.window.landing for p in found.phrases}


def test_a_colour_that_has_no_room_is_told_and_the_line_goes_on_without_it():
    chart = Chart.of("G", "Am7 / D7", "Gmaj7", metre="3/4")
    treatment = Treatment.plain(chart).set(0, colour="half-whole diminished")
    found = write_chorus(chart, treatment)
    assert found.remarks == (
        "Bar 1: the line is without its colour: the 4 notes of half-whole diminished do not fit "
        "over D13♭9 in 1 beat",
    )
    assert found.phrases[0].notes


def test_wishes_are_those_of_the_writer():
    chart = tune("nine_borrowed_stands")
    wishes = Wishes.within("trombone")
    low, high = wishes.compass
    line = write_chorus(chart, Treatment.proposed(chart), wishes=wishes).line
    assert all(low <= note.pitch.midi <= high for note in line.notes)


def test_a_source_is_asked_first_with_window_and_chords():
    chart = Chart.of("C", "Dm7", "G7", "C6", "%", "Fm7 Bb7", "Eb6")
    asked: list[str] = []

    def source(window: Window, stretch: Progression) -> Line | None:
        asked.append(f"{stretch} in {stretch.key}")
        return Line.parse("whole D4 | B3 | E4", stretch) if len(asked) == 1 else None

    found = write_chorus(chart, source=source)
    assert asked == ["Dm7 | G7 | C6 in C major", "Fm7 Bb7 | Eb6 in Eb major"]
    assert [str(note.pitch) for note in found.phrases[0].notes] == ["D4", "B3", "E4"]
    assert len(found.phrases[1].notes) > 3


@pytest.mark.parametrize("choruses", [0, 6, 1.0, "2", True + 5])
def test_too_few_or_too_many_choruses_are_refused(choruses):
    with pytest.raises(TheoryError, match="no such length"):
        write_chorus(tune("nine_borrowed_stands"), choruses=choruses)
    with pytest.raises(TheoryError, match="not a seed"):
        write_chorus(tune("nine_borrowed_stands"), seed="1")  # type: ignore[arg-type]


def test_keys_of_phrases_are_those_that_the_cadences_point_to():
    found = chorus("nine_borrowed_stands", 4)
    keys = [str(phrase.window.key) for phrase in found.phrases]
    home = Key.parse("Ab")
    assert keys[0] == "Cb major" or keys[0] == "B major"
    assert keys[1] == str(home)
