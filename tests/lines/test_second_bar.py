"""Short material in the second bar of a long ii-V-I."""

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.excerpts import in_second_bar
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS
from theorykit.tunes.progression import cadence_chords, two_five_one

SHORT = Line.parse("8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4", two_five_one("C", "short"))


# Common practice: short ii-V material fits the second bar of a long one unchanged.
@together("key", [key for key in KEYS if not key.is_minor], ids=str)
@together("form", ["long", "split"])
def test_not_a_note_is_changed(key, form):
    line = SHORT.transposed(key)
    moved = in_second_bar(line, form)
    assert [n.pitch for n in moved.notes] == [n.pitch for n in line.notes]
    assert [n.start - 4 for n in moved.notes] == [n.start for n in line.notes]
    assert moved.progression == two_five_one(key, form)
    dominant = cadence_chords(key)[1]
    over = degrees_over(dominant, [n.pitch.note for n in moved.notes[:8]])
    assert " ".join(map(str, over)) == "5 b7 9 11 3 b9 b7 5"


def test_a_pickup_comes_along():
    line = Line.parse("pickup 8th C#4 | 8th D4 F4 A4 C5 half B4 | whole C5", SHORT.progression)
    assert in_second_bar(line).text == (
        "dotted half rest 8th rest C#4 | D4 F4 A4 C5 half B4 | whole C5"
    )


def test_only_a_short_line_has_a_place_there():
    long = Line.parse("whole D4 | B4 | C5", two_five_one("C"))
    with pytest.raises(TheoryError, match="not a line over a short ii-V-I"):
        in_second_bar(long)
    with pytest.raises(TheoryError, match="no second bar in the form 'short'"):
        in_second_bar(SHORT, "short")
