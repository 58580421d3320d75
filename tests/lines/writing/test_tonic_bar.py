"""The tonic bar of written lines: common practice, told by hand and tried in every key."""

from __future__ import annotations

from itertools import pairwise

import pytest
from sweeps import some_and_all

from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.chord_palette import palettes
from theorykit.lines.text import Line
from theorykit.lines.writing import Wishes, write_lines
from theorykit.lines.writing.tonic_bar import comes_home
from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS
from theorykit.tunes.progression import FORMS, two_five_one
from theorykit.views.staves import phrase_staff


@pytest.mark.parametrize(
    ("text", "home"),
    [
        # F G A Db over Bbm6: the leading note leaps and stops, and V is heard again.
        ("8th F4 G4 A4 Db5 half rest", False),
        ("8th F4 G4 A4 Bb4 half rest", True),
        ("quarter C5 8th Eb5 dotted quarter rest quarter rest", False),  # the 9 and the 4
        ("quarter C5 8th Db5 dotted quarter rest quarter rest", True),
        ("half G4 rest", True),  # the 6, held
        ("quarter G4 dotted half rest", False),
    ],
)
def test_what_follows_the_landing_stays_at_home(text, home):
    over = two_five_one("Bb minor", "short")
    line = Line.parse(f"8th C5 Eb5 Gb5 F5 Eb5 C5 A4 Gb4 | {text}", over)
    assert comes_home(line.notes, *palettes(over, None)[-2:]) is home


@pytest.mark.parametrize("keys", some_and_all(KEYS[3::9], KEYS))
def test_every_line_lands_on_a_tone_of_i_and_stays_there(keys):
    for number, key in enumerate(keys):
        for place, row in enumerate(one for one in COLOURS if one.suits(key.mode)):
            reader = READERS[(number + place) % len(READERS)]
            over = two_five_one(key, FORMS[(number + place) % len(FORMS)])
            wishes = Wishes.for_reader(reader)
            (line,) = write_lines(over, row, count=1, seed=88 + number, wishes=wishes)
            i = over.chords[-1]
            tones = {note.semitone for note in i.chord.notes}
            last = [n for n in line.notes if n.start >= i.start]
            assert last[0].pitch.midi % 12 in tones, line.text
            assert {n.pitch.midi % 12 for n in last} & {n.semitone for n in i.chord.notes[:3]} or (
                len(last) == 1 and last[0].beats >= 2
            )
            for a, b in pairwise(last):
                near = abs(a.pitch.midi - b.pitch.midi) <= 2
                assert near or a.pitch.midi % 12 in tones, line.text
            view = phrase_staff(line, row, reader=reader)
            landings = [n.start for n in view.notes if n.mark == "landing"]
            assert landings == [i.start], line.text


@pytest.mark.parametrize("key", ["Cb", "Bb minor"])
def test_a_line_lies_about_the_middle_of_the_staff_in_the_bass_clef(key):
    """No line lies wholly above the staff, whose highest line is A3."""
    wishes = Wishes.for_reader("bass clef")
    for line in write_lines(two_five_one(key, "split"), "b9 b13", count=6, wishes=wishes):
        page = sorted(note.pitch.midi for note in line.written_for("bass clef").notes)
        assert page[len(page) // 2] <= 59


@pytest.mark.parametrize("form", FORMS)
def test_a_sharp_nine_is_heard_with_the_seventh(form):
    """A, Ab and C over F7 are a minor triad without E flat (common practice)."""
    for manner in ("played", "sung"):
        over = two_five_one("Bb", form)
        for line in write_lines(over, "#9", count=4, seed=3, wishes=Wishes(manner=manner)):
            v = palettes(over, colour("#9"))[-2].placed
            sounds = {n.pitch.midi % 12 for n in line.notes if v.start <= n.start < v.end}
            assert {9, 8, 3} <= sounds


@pytest.mark.parametrize("key", ["C", "C minor", "F#", "Bb minor"])
def test_a_singer_gets_no_sharp_eleven_into_the_related_ii(key):
    """B, C sharp and E flat over G7 look like a diminished third; B to E flat is the colour's."""
    for form in FORMS:
        over = two_five_one(key, form)
        lines = write_lines(over, "its related ii", count=2, seed=31, wishes=Wishes(manner="sung"))
        v = palettes(over, None)[-2].placed
        for line in lines:
            sounds = {n.pitch.midi for n in line.notes if v.start <= n.start < v.end}
            assert (v.chord.root.semitone + 6) % 12 not in {midi % 12 for midi in sounds}
