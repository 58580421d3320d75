"""The notes of a part: ties, backups, chords, transposition; and music21 on the same scores."""

from fractions import Fraction
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest
from music21 import converter, corpus

from theorykit.errors import TheoryError
from theorykit.show.files.score_notes import measures_of
from theorykit.show.files.score_parts import melody_part, parts_of
from theorykit.show.files.untrusted import look_over

FIRST = "<attributes><divisions>2</divisions>{}</attributes>"


def note(pitch, divisions, *more):
    """A note such as ``C5``; ``-`` is a rest."""
    step, octave = pitch[:1], pitch[1:]
    what = (
        "<rest/>" if step == "-" else f"<pitch><step>{step}</step><octave>{octave}</octave></pitch>"
    )
    inside = [one for one in more if one in ("<chord/>", "<grace/>")]
    after = [one for one in more if one not in inside]
    length = "" if "<grace/>" in inside else f"<duration>{divisions}</duration>"
    return f"<note>{''.join(inside)}{what}{length}{''.join(after)}</note>"


def ties(*kinds):
    """The ties of a note."""
    return "".join(f'<tie type="{kind}"/>' for kind in kinds)


def heard(*bars, more=""):
    """Start, length and pitch of every note of a part."""
    inside = "".join(
        f"<measure>{bar}</measure>" for bar in (FIRST.format(more) + bars[0], *bars[1:])
    )
    root = fromstring(f"<score-partwise><part id='P1'>{inside}</part></score-partwise>")
    measures, _ = measures_of(melody_part(parts_of(root)))
    return [
        (float(m.start + sound.start), float(sound.beats), str(sound.pitch))
        for m in measures
        for sound in m.sounds
    ]


def test_tied_notes_are_one_over_any_number_of_bars():
    whole = note("C5", 8, ties("start")), note("C5", 8, ties("stop", "start"))
    assert heard(*whole, note("C5", 2, ties("stop")) + note("C5", 6)) == [
        (0.0, 9.0, "C5"),
        (9.0, 3.0, "C5"),
    ]


def test_a_tie_that_is_drawn_counts_like_one_that_sounds():
    drawn = '<notations><tied type="{}"/></notations>'
    first, last = (note("C5", 4, drawn.format(kind)) for kind in ("start", "stop"))
    assert heard(first + last) == [(0.0, 4.0, "C5")]


def test_a_tie_that_leads_nowhere_ties_nothing():
    later = note("C5", 2, ties("stop")) + note("-", 6)
    assert heard(note("C5", 4, ties("start")) + note("D5", 4), later) == [
        (0.0, 2.0, "C5"),
        (2.0, 2.0, "D5"),
        (4.0, 1.0, "C5"),
    ]


def test_voices_and_chords_stand_where_they_are_written():
    back = "<backup><duration>8</duration></backup>"
    bar = note("E5", 8) + note("G5", 8, "<chord/>") + back + note("C4", 4) + note("D4", 4)
    assert sorted(heard(bar)) == [
        (0.0, 2.0, "C4"), (0.0, 4.0, "E5"), (0.0, 4.0, "G5"), (2.0, 2.0, "D4"),
    ]  # fmt: skip


def test_a_grace_note_takes_no_time():
    assert heard(note("B4", 0, "<grace/>") + note("C5", 8))[1] == (0.0, 4.0, "C5")


# Written D5 for the horns of a band, and what sounds (common practice).
HORNS = {
    "trumpet": ("-1", "-2", "0", "C5"),
    "tenor": ("-1", "-2", "-1", "C4"),
    "alto": ("-5", "-9", "0", "F4"),
    "F horn": ("-4", "-7", "0", "G4"),
    "guitar": ("0", "0", "-1", "D4"),
}


@pytest.mark.parametrize("horn", HORNS)
def test_a_part_for_a_horn_is_read_as_it_sounds(horn):
    letters, halves, octaves, sounding = HORNS[horn]
    more = (
        f"<transpose><diatonic>{letters}</diatonic><chromatic>{halves}</chromatic>"
        f"<octave-change>{octaves}</octave-change></transpose>"
    )
    assert heard(note("D5", 8), more=more) == [(0.0, 4.0, sounding)]


def test_quarter_tones_are_marked():
    sharp = note("C5", 8).replace("<octave>", "<alter>0.5</alter><octave>")
    root = fromstring(
        f"<score-partwise><part id='P1'><measure>{sharp}</measure></part></score-partwise>"
    )
    ((measure,), _) = measures_of(melody_part(parts_of(root)))
    assert [sound.is_odd for sound in measure.sounds] == [True]


@pytest.mark.parametrize("alter", ["3", "-99", "1e99", "nan", "x"])
def test_an_accidental_that_nobody_writes_is_refused(alter):
    odd = note("C5", 8).replace("<octave>", f"<alter>{alter}</alter><octave>")
    root = fromstring(
        f"<score-partwise><part id='P1'><measure>{odd}</measure></part></score-partwise>"
    )
    with pytest.raises(TheoryError, match="no accidental"):
        measures_of(melody_part(parts_of(root)))


# Scores that music21 carries in its corpus, read by music21 itself; of tied double stops, as in
# Beethoven, op. 18 no. 1, it joins only those of which every note is tied.
SCORES = [
    *("leadSheet/fosterBrownHair.mxl", "bach/bwv66.6.mxl"),
    *(
        pytest.param(name, marks=pytest.mark.sweep)
        for name in (
            "mozart/k458/movement1.mxl",
            "haydn/opus74no1/movement3.mxl",
            "bach/bwv1.6.mxl",
        )
    ),
]


@pytest.mark.parametrize("name", SCORES)
def test_music21_hears_the_same_notes(name):
    path = next(Path(p) for p in corpus.getPaths() if str(p).endswith(name))
    parts = parts_of(look_over(path).root)
    chosen = melody_part(parts)
    ours = sorted(
        (float(m.start + sound.start), sound.pitch.midi, sound.beats)
        for m in measures_of(chosen)[0]
        for sound in m.sounds
        if not sound.is_grace
    )
    stream = converter.parse(path).parts[parts.index(chosen)].toSoundingPitch().stripTies()
    theirs = sorted(
        (float(one.getOffsetInHierarchy(stream)), int(pitch.ps), Fraction(one.quarterLength))
        for one in stream.recurse().notes
        if one.quarterLength and not one.duration.isGrace
        for pitch in one.pitches
    )
    lengths = [(midi, round(float(beats), 3)) for _, midi, beats in ours]
    assert sorted(lengths) == sorted((m, round(float(b), 3)) for _, m, b in theirs)
