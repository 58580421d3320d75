"""How time becomes note values, ties, triplets, rests, accidentals and beams."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, strategies as st
from music21 import key as m21key, meter, note, stream
from staves import beam_groups, shorthand, signs, staff
from together import together

from theorykit.errors import TheoryError
from theorykit.notes.key import KEYS
from theorykit.notes.note import Pitch
from theorykit.views.notation import written_bars
from theorykit.views.staves import StaffNote, StaffView

THIRD, SIXTH = Fraction(1, 3), Fraction(1, 6)

# Written by hand by the rules of engraving handbooks (Gould, Behind Bars, chapter on rhythm, from
# memory): the middle of a 4/4 bar is shown, a plain syncopation inside a half is not split, rests
# never stand across a beat that they do not begin on, compound beats stay visible.
WRITINGS = [
    ((4, 4), "C4:4", ["w"]),
    ((4, 4), "C4:3 C4:1", ["h. q"]),
    ((4, 4), "C4:1 C4:3", ["q h."]),
    ((4, 4), "C4:1 C4:2 C4:1", ["q h q"]),
    ((4, 4), "C4:1/2 C4:1 C4:1/2 C4:2", ["e q e h"]),
    ((4, 4), "C4:3/2 C4:1 C4:3/2", ["q. e~ e^ q."]),
    ((4, 4), "C4:1 C4:3/2 C4:3/2", ["q q~ e^ q."]),
    ((4, 4), "C4:1/2 C4:3 C4:1/2", ["e q.~ q.^ e"]),
    ((4, 4), "C4:5/2 C4:3/2", ["h~ e^ q."]),
    ((4, 4), "C4:7/2 C4:9/2", ["h~ q.^ e~", "w^"]),
    ((4, 4), "C4:3 C4:6 C4:3", ["h. q~", "w~~", "q^ h."]),
    ((4, 4), "C4:3/4 C4:1/4 C4:1/4 C4:1/2 C4:1/4 C4:2", ["e. s s e s h"]),
    ((4, 4), "C4:1/4 C4:1 C4:3/4 C4:2", ["s e.~ s^ e. h"]),
    ((4, 4), "r:1 C4:3", ["rq h."]),
    ((4, 4), "C4:1 r:3", ["q rq rh"]),
    ((4, 4), "C4:1/2 r:5/2 C4:1", ["e re rq rq q"]),
    ((4, 4), "C4:3/2 r:1 C4:3/2", ["q. re re q."]),
    ((4, 4), "C4:1/3 C4:1/3 C4:1/3 C4:3", ["e3 e3 e3 h."]),
    ((4, 4), "C4:2/3 C4:1/3 C4:1 C4:2", ["q3 e3 q h"]),
    ((4, 4), "C4:2/3 C4:2/3 C4:2/3 C4:2", ["q3 q3 q3 h"]),
    ((4, 4), "C4:4/3 C4:4/3 C4:4/3", ["h3 h3 h3"]),
    ((4, 4), "C4:1 C4:1/6 C4:1/6 C4:1/6 C4:1/2 C4:2", ["q s3 s3 s3 e h"]),
    ((4, 4), "C4:1/3 r:1/3 C4:4/3 C4:2", ["e3 re3 e3~ q^ h"]),
    ((4, 4), "C4:1 C4:4/3 C4:2/3 C4:1", ["q q~ e3^ q3 q"]),
    ((3, 4), "C4:3", ["h."]),
    ((3, 4), "C4:1/2 C4:2 C4:1/2", ["e e~ q.^ e"]),
    ((3, 4), "C4:1 r:2", ["q rq rq"]),
    ((6, 8), "C4:1 C4:1 C4:1", ["q e~ e^ q"]),
    ((6, 8), "C4:3/2 r:3/2", ["q. rq."]),
    ((6, 8), "C4:3/4 C4:1/4 C4:1/2 C4:3/2", ["e. s e q."]),
    ((12, 8), "C4:6", ["w."]),
    ((5, 4), "C4:2 C4:2 C4:1", ["h q~ q^ q"]),
]


@together(("time", "text", "bars"), WRITINGS)
def test_written_as_a_copyist_would(time, text, bars):
    found = written_bars(staff(text, time=time))
    assert [shorthand(bar) for bar in found[: len(bars)]] == bars


def test_an_empty_bar_is_one_rest_of_its_own_length():
    (bar,) = written_bars(staff("", bars=1, time=(3, 4)))
    assert [(n.fills_bar, n.beats) for n in bar.notes] == [(True, 3)]


def test_a_pickup_holds_no_more_than_it_needs():
    view = staff("C4:1/2 D4:1 E4:4", bars=1, start=Fraction(-3, 2))
    assert [(b.number, b.beats, shorthand(b)) for b in written_bars(view)] == [
        (0, Fraction(3, 2), "e q"),
        (1, 4, "w"),
    ]


def test_a_triplet_in_a_pickup_is_written_whole():
    pickup, _ = written_bars(staff("C4:1/3 D4:1/3 E4:4", bars=1, start=Fraction(-2, 3)))
    assert (pickup.beats, shorthand(pickup)) == (1, "re3 e3 e3")


def test_a_pickup_longer_than_a_bar_takes_a_bar_more():
    view = staff("C4:5 E4:4", bars=1, start=Fraction(-5))
    assert [(b.number, b.beats) for b in written_bars(view)] == [(0, 1), (0, 4), (1, 4)]


def test_a_bar_of_another_length_has_a_signature_of_its_own():
    view = staff("C4:4")
    odd = StaffView(view.key, "treble", (Fraction(4), Fraction(5, 2)), (), view.notes, "")
    assert [bar.time for bar in written_bars(odd)] == [(4, 4), (5, 8)]


def test_only_triplets_without_a_beam_of_their_own_are_bracketed():
    joined, open_, mixed = written_bars(
        staff("C4:1/3 C4:1/3 C4:1/3 C4:3 C4:2/3 C4:2/3 C4:2/3 C4:2 C4:2/3 C4:1/3 C4:3")
    )
    assert [bar.notes[0].triplet.bracket for bar in (joined, open_, mixed)] == [False, True, True]
    assert [(n.triplet.opens, n.triplet.closes) for n in joined.notes[:3]] == [
        (True, False),
        (False, False),
        (False, True),
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("C4:1/5 D4:4/5", "no note value reaches beat 1/5"),
        ("C4:1/32 D4:1", "no note value reaches beat 1/32"),
        ("C4:13", "C4 ends on beat 13, after the last bar"),
    ],
)
def test_what_cannot_be_written_is_refused_in_words(text, words):
    with pytest.raises(TheoryError, match=words):
        written_bars(staff(text))


# Any line at all.

LENGTHS = st.sampled_from([Fraction(n, 4) for n in (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 16)])
FIGURES = st.one_of(
    LENGTHS.map(lambda length: [length]),
    st.permutations([THIRD, THIRD, THIRD]),
    st.permutations([2 * THIRD, THIRD]),
    st.permutations([SIXTH, SIXTH, SIXTH, Fraction(1, 2)]),
    st.just([2 * THIRD, 2 * THIRD, 2 * THIRD]),
    st.just([2 * THIRD, Fraction(5, 3), 2 * THIRD]),
)
TIMES = st.sampled_from([(4, 4), (3, 4), (6, 8), (12, 8), (5, 4), (2, 4), (7, 4), (9, 8)])


@st.composite
def staves(draw) -> StaffView:
    """A staff of any rhythm, with rests, in any key and time."""
    time, key = draw(TIMES), draw(st.sampled_from(KEYS))
    lengths = [one for figure in draw(st.lists(FIGURES, min_size=1, max_size=10)) for one in figure]
    here, notes = draw(st.sampled_from([Fraction(0), Fraction(-1), Fraction(-3, 2)])), []
    for length in lengths:
        if draw(st.integers(0, 5)):
            pitch = Pitch(draw(st.sampled_from(key.notes)), draw(st.integers(3, 5)))
            notes.append(StaffNote(pitch, here, length))
        here += length
    usual = Fraction(4 * time[0], time[1])
    count = max(1, -(-here // usual))
    return StaffView(key, "treble", (usual,) * count, (), tuple(notes), "", 0, time)


@given(staves())
def test_every_bar_is_full_and_every_note_lasts_as_long_as_it_should(view):
    bars = written_bars(view)
    sounding: list[Fraction] = []
    for bar in bars:
        assert bar.notes[0].start == 0
        assert all(one.end == two.start for one, two in pairwise(bar.notes))
        assert bar.notes[-1].end == bar.beats
        for written in bar.notes:
            if written.pitch and written.tie in ("", "start"):
                sounding.append(Fraction(0))
            if written.pitch:
                sounding[-1] += written.beats
    assert sounding == [n.beats for n in view.notes]


VALUES = {"whole": 4, "half": 2, "quarter": 1, "eighth": Fraction(1, 2), "16th": Fraction(1, 4)}


@given(staves())
def test_values_dots_and_triplets_say_the_length(view):
    for bar in written_bars(view):
        for written in bar.notes:
            plain = Fraction(VALUES.get(written.value.name, Fraction(1, 8)))
            if written.value.name in VALUES and not written.fills_bar:
                length = plain * (2 - Fraction(1, 2**written.value.dots))
                assert written.beats == length * (Fraction(2, 3) if written.triplet else 1)


# Beams.


@pytest.mark.parametrize(
    ("time", "text", "groups"),
    [
        # common practice in jazz charts: eighths by the half bar, never across the middle
        ((4, 4), "C4:1/2 " * 8, [4, 4]),
        ((4, 4), "C4:1 " + "C4:1/2 " * 4 + "C4:1", [2, 2]),
        ((4, 4), "C4:3/2 " + "C4:1/2 " * 3 + "C4:1", [2]),
        ((4, 4), "r:1/2 " + "C4:1/2 " * 7, [3, 4]),
        ((4, 4), "C4:1/2 C4:1/2 " + "C4:1/4 " * 4 + "C4:2", [2, 4]),
        ((4, 4), "C4:1/3 C4:1/3 C4:1/3 C4:1/2 C4:1/2 C4:2", [3, 2]),
        ((3, 4), "C4:1/2 " * 6, [2, 2, 2]),
        ((6, 8), "C4:1/2 " * 6, [3, 3]),
        ((4, 4), "C4:1/2 C4:1 C4:1/2 C4:2", []),
    ],
)
def test_beams(time, text, groups):
    assert beam_groups(written_bars(staff(text, time=time))[0]) == groups


def test_short_beams_hang_on_the_side_of_their_beat():
    bar = written_bars(staff("C4:3/4 C4:1/4 C4:1/4 C4:3/4 C4:1/4 C4:1/2 C4:1/4 C4:1"))[0]
    assert [n.beams for n in bar.notes] == [
        ("start",),
        ("stop", "hook left"),
        ("start", "hook right"),
        ("stop",),
        ("start", "hook right"),
        ("continue",),
        ("stop", "hook left"),
        (),
    ]


@pytest.mark.parametrize("time", [(3, 4), (6, 8), (9, 8)])
@given(data=st.data())
def test_eighths_and_sixteenths_are_joined_as_music21_joins_them(time, data):
    """music21's makeBeams, in the signatures where it joins by the beat as we do."""
    figures = [[Fraction(1, 2)] * 2, [Fraction(1, 4)] * 4]
    if time[1] == 8:
        figures = [[Fraction(1, 2)] * 3, [Fraction(3, 2)]]
    count = time[0] // 3 if time[1] == 8 else time[0]
    lengths = [n for _ in range(count) for n in data.draw(st.sampled_from(figures))]
    bar = written_bars(staff(" ".join(f"C4:{n}" for n in lengths), bars=1, time=time))[0]
    measure = stream.Measure([note.Note("C4", quarterLength=n) for n in lengths])
    measure.timeSignature = meter.TimeSignature(f"{time[0]}/{time[1]}")
    measure.makeBeams(inPlace=True)
    assert [list(n.beams[:1]) for n in bar.notes] == [n.beams.getTypes()[:1] for n in measure.notes]


# Accidentals.


@pytest.mark.parametrize(
    ("key", "text", "bars"),
    [
        ("C", "F#4:1 F#4:1 F4:1 F4:1", ["F#4! F#4 F4! F4"]),
        ("C", "F#4:1 F#5:3 F4:4", ["F#4! F#5!", "F4?"]),
        ("C", "F#4:1 F5:3", ["F#4! F5?"]),
        ("G", "F#4:1 F4:1 F#4:2 F#4:4", ["F#4 F4! F#4!", "F#4"]),
        ("G", "F4:4 F#4:4 F#4:4", ["F4!", "F#4?", "F#4"]),
        ("Db", "Ebb5:2 Fb4:2", ["Ebb5! Fb4!"]),
        ("C#", "E#4:1 E4:1 E##4:1 E#4:1", ["E#4 E4! E##4! E#4!"]),
        ("C", "Bb4:5 Bb4:1 B4:2", ["Bb4!", "Bb4 Bb4! B4!"]),
        ("C", "Bb4:5 B4:3", ["Bb4!", "Bb4 B4?"]),
        ("F", "Db5:4 D4:1 D5:1 D5:2 D5:4", ["Db5!", "D4? D5? D5", "D5"]),
        ("C", "F#5:2 F4:2 F4:2 F5:2", ["F#5! F4?", "F4 F5?"]),
        ("C", "F#5:4 F#4:2 F#5:2", ["F#5!", "F#4! F#5!"]),
    ],
)
def test_accidentals_and_courtesies(key, text, bars):
    found = written_bars(staff(text, key=key))
    assert [signs(bar) for bar in found[: len(bars)]] == bars


@given(
    st.sampled_from(KEYS),
    st.lists(st.tuples(st.sampled_from("CDEFGAB"), st.sampled_from(["", "b", "#"])), min_size=8),
)
def test_needed_accidentals_are_those_that_music21_finds(key, names):
    """music21's makeAccidentals without its courtesies, one octave, two bars of quarters."""
    pitches = [f"{letter}{sign}4" for letter, sign in names[:8]]
    bars = written_bars(staff(" ".join(f"{p}:1" for p in pitches), bars=2, key=str(key)))
    part = stream.Part()
    for place in (0, 4):
        four = [note.Note(p.replace("b", "-")) for p in pitches[place : place + 4]]
        part.append(stream.Measure(four))
    part[0].insert(0, m21key.KeySignature(key.fifths))
    part.makeAccidentals(
        inPlace=True, cautionaryPitchClass=False, cautionaryNotImmediateRepeat=False
    )
    theirs = [
        bool(n.pitch.accidental and n.pitch.accidental.displayStatus) for n in part.recurse().notes
    ]
    ours = [n.accidental for bar in bars for n in bar.notes]
    plain = [(o == "shown", t) for o, t in zip(ours, theirs, strict=True) if o != "courtesy"]
    assert all(one == other for one, other in plain)
