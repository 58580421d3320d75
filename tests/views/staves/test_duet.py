"""Two voices on one staff."""

import re
from xml.etree import ElementTree

import pytest
from sweeps import keys

from theorykit import guide_tone_lines, two_five_one
from theorykit.errors import TheoryError
from theorykit.lines.band import unaccompanied
from theorykit.notes.reader import READERS
from theorykit.show.engraving import musicxml, staff_svg
from theorykit.show.side_by_side import hear_together, see_duet, see_stacked
from theorykit.views.staves import duet_staff, phrase_staff


def parts(view):
    """The notes of the two voices of a file: step, octave, stem, where each begins."""
    text = re.sub("<!DOCTYPE.*?>", "", musicxml(view)).partition("?>")[2]
    found = {"1": [], "2": []}
    for measure in ElementTree.fromstring(text).iter("measure"):
        at = 0
        for one in measure:
            length = int(one.findtext("duration") or 0)
            if one.tag == "backup":
                at -= length
            elif one.tag == "note":
                step = f"{one.findtext('pitch/step')}{one.findtext('pitch/octave')}"
                found[one.findtext("voice")].append((step, one.findtext("stem"), at))
                at += length
    return found


def test_the_guide_tones_of_c_written_by_hand():
    lower, upper = guide_tone_lines(two_five_one("C"), longest=4)
    found = parts(duet_staff(upper, lower))
    assert found["1"] == [("C5", "up", 0), ("B4", "up", 0), ("B4", "up", 0)]
    assert found["2"] == [("F4", "down", 0), ("F4", "down", 0), ("E4", "down", 0)]


@pytest.mark.parametrize("key", keys(), ids=str)
def test_both_voices_stand_as_they_would_alone_for_every_reader(key):
    one, other = guide_tone_lines(two_five_one(key, "short"))
    for who in READERS:
        view = duet_staff(one, other, reader=who)
        alone = phrase_staff(other, reader=who)
        assert view.notes == phrase_staff(one, reader=who).notes
        assert [note.pitch for note in view.second] == [note.pitch for note in alone.notes]
        picture = staff_svg(view)
        assert picture.count('class="note"') == len(view.notes) + len(view.second)
        assert "second voice" in view.alt


def test_elements_stand_in_the_order_of_the_standard():
    """MusicXML 4.0, ``note``."""
    order = (
        "pitch rest duration tie voice type dot accidental time-modification stem notehead beam "
        "notations lyric"
    ).split()
    one, other = guide_tone_lines(two_five_one("Db", "split"))
    text = re.sub("<!DOCTYPE.*?>", "", musicxml(duet_staff(one, other))).partition("?>")[2]
    for note in ElementTree.fromstring(text).iter("note"):
        places = [order.index(child.tag) for child in note]
        assert places == sorted(places)


def test_lines_over_other_chords_are_refused():
    one, _ = guide_tone_lines(two_five_one("C"))
    other, _ = guide_tone_lines(two_five_one("F"))
    with pytest.raises(TheoryError, match="over two progressions"):
        duet_staff(one, other)


def test_together_means_at_once_and_without_a_bass():
    one, other = guide_tone_lines(two_five_one("C"), longest=4)
    played = unaccompanied(one, other)
    assert [part.name for part in played.parts] == ["line", "drums"]
    starts = [note.start for note in played.parts[0].notes]
    assert sorted(starts) == [4, 4, 8, 8, 12, 12]
    assert max(click.start for click in played.parts[1].notes) < 4  # the count-in alone
    with pytest.raises(TheoryError, match="no line to play"):
        unaccompanied()
    short, _ = guide_tone_lines(two_five_one("C", "short"))
    with pytest.raises(TheoryError, match="same length"):
        unaccompanied(one, short)


def test_cells_show_and_say_both():
    one, other = guide_tone_lines(two_five_one("Db"), longest=4)
    assert see_duet(one, other).words.count("(") == 6
    assert "<audio" in hear_together(one, other).html
    stacked = see_stacked(("plain", one), ("the other", other))
    widths = re.findall(r'<svg xmlns="[^"]*" width="([\d.]+)"', stacked.html)
    assert len(widths) == 2
    assert len(set(widths)) == 1
    assert "<strong>the other</strong>" in stacked.html
