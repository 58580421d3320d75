"""What the desk shows of a line."""

import pytest
from together import together

from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.text import Line
from theorykit.lines.writing import write_lines
from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS
from theorykit.study.questions import LineJudge
from theorykit.tunes.progression import FORMS, two_five_one
from theorykit.views.line import line_view
from theorykit.views.line.line_views import CHOSEN

SHORT = two_five_one("C", "short")


def view(text, name="b9 13", over=SHORT):
    return line_view(Line.parse(text, over), colour(name) if name else None)


def section(found, heading):
    return dict(found.sections).get(heading, ())


@pytest.mark.parametrize("row", COLOURS, ids=str)
def test_a_line_that_was_written_in_a_colour_is_filed_under_it_and_lacks_nothing(row):
    for key, form in zip(("Db", "F#", "Bb minor"), FORMS, strict=True):
        for line in write_lines(two_five_one(key, form), row, count=2, seed=5):
            found = line_view(line, row)
            assert found.kept_colour == row.name
            assert not any(
                "still to come" in text for text in section(found, "the colour you chose")
            )


def test_what_is_missing_of_the_colour_is_named_with_its_notes_and_the_shape_to_think_of():
    (told,) = section(view("half D5 8th B4 D5 Ab4 B4 | whole C5"), "the colour you chose")
    assert "A♭ (♭9) is there, E (13) is still to come" in told
    assert told.endswith("think E major triad on the 6th of V, which is the 3rd of I.")


@together("key", [key for key in KEYS if key.mode == "major"], ids=str)
def test_a_tension_that_sounds_has_one_name_on_the_page(key):
    """As it stands on the staff: A for B double flat over A flat 7, G sharp where it was typed."""
    for name in ("Ab4", "G#4"):
        moved = Line.parse(f"half D5 8th B4 D5 {name} B4 | whole C5", SHORT).transposed(key)
        found = line_view(moved.readable, colour("b9 13"))
        (told,) = (row[1] for row in found.cells if row[2].startswith("♭9"))
        assert f": {told} (♭9) is there" in section(found, "the colour you chose")[0]


@together("key", [key for key in KEYS if key.mode == "major"], ids=str)
def test_a_tension_that_only_passes_is_called_so_in_all_words(key):
    """The headline said that no colour was added, beside a flat nine that sounded as chosen."""
    line = Line.parse("8th F4 A4 C5 rest G4 Ab4 A4 G4 | E4 D4 E4 G4 half rest", SHORT)
    for reader in READERS:
        page = line.transposed(key).written_for(reader)
        v = page.progression.chords[1].chord.pretty
        judge, name = LineJudge(page.progression, colour("b9")), page.notes[4].pitch.note.pretty
        told = f"Over {v} the line keeps to the chord and its key: its ♭9 only passes."
        assert judge.headed(page)[0] == "only in passing"
        assert judge.judge(page).words == f"{told} On a beat it is heard as a colour."
        box = section(line_view(line.transposed(key), colour("b9"), reader=reader), CHOSEN)
        assert box == (f"Over {v} {name} (♭9) sounds, but only passes.",)


def test_without_a_note_the_colour_is_something_to_aim_at():
    found = view("")
    (told,) = section(found, "the colour you chose")
    assert "E (13) and A♭ (♭9) are still to come" in told
    assert section(found, "to try next")
    assert (found.legend, found.cells, found.kept_colour) == ("", (), "")


def test_where_the_chosen_colour_only_passes_the_words_do_not_contradict_the_choice():
    found = view("8th C4 D4 A4 C5 B4 Ab4 F4 E4 | E4 F4 half G4 quarter rest")
    assert "spells ♭9:" in section(found, "what works")[0]
    assert section(found, "the colour you chose") == (
        "Over G7 E (13) and A♭ (♭9) sound, as you chose.",
    )
    assert found.kept_colour == "b9 13"


def test_where_the_chosen_colour_sounds_no_other_one_is_asked_for():
    text = "8th A4 G4 F4 E4 B4 A4 Ab4 F#4 | half G4 rest"
    (told,) = section(view(text, None), "to try next")
    assert told.endswith("its ♭9 only passes; on a beat it is heard as a colour.")
    assert section(view(text, "b9"), "to try next") == ()
    assert section(view(text, "b9"), "the colour you chose") == (
        "Over G7 A♭ (♭9) sounds, but only passes.",
    )


def test_a_colour_of_the_other_mode_is_told_as_borrowed():
    told = section(view("", "b9 13", two_five_one("C minor")), "the colour you chose")
    assert "borrowed sound" in told[-1]
    assert not any("borrowed" in t for t in section(view(""), "the colour you chose"))


def test_without_a_choice_a_line_is_filed_under_what_it_spells():
    text = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"
    assert view(text, None).kept_colour == "b9 13"
    assert view(text, "altered").kept_colour == "b9 13"
    assert view("half F4 F4 | whole E4", None).kept_colour == ""
    assert section(view(text, None), "the colour you chose") == ()


def test_the_words_come_with_what_works_first_and_at_most_three_things_to_try():
    found = view("8th F5 C4 C4 C4 F#4 C#5 F#4 C#4 | whole F4")
    headings = [heading for heading, _ in found.sections]
    assert headings.index("to try next") == len([h for h in headings if h == "what works"])
    assert 1 <= len(section(found, "to try next")) <= 3


def test_the_table_tells_where_a_note_stands_what_it_is_and_what_it_does():
    found = view("pickup 8th C#4 | 8th D4 F4 A4 C5 B4 Ab4 F4 D#4 | whole E4")
    rows = [[text.replace("\u00a0", " ") for text in row] for row in found.cells]
    assert rows[0] == ["pickup, the and of 4", "C♯", "natural 7 of Dm7", rows[0][3]]
    assert "leads by a half step from below to D" in rows[0][3]
    assert rows[-1][:3] == ["bar 1, the and of 4", "D♯", "♭13 of G7"]
    assert "closes in with F on E, the 3rd of Cmaj7" in rows[-1][3]
    assert all(len(row) == len(found.heads) for row in rows)


def test_a_long_chart_says_the_same_thing_once():
    from dataclasses import replace

    over = replace(SHORT, bars=SHORT.bars * 8)
    assert len(section(line_view(Line(over, ()), colour("b9")), "the colour you chose")) == 1
