"""One idea in several colours: alike but for the colour, every tension heard, back to back."""

from itertools import pairwise

import pytest
from sweeps import swept
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS
from theorykit.lines.chord_palette import palettes
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import one_idea
from theorykit.lines.vocabulary.ideas import in_colour
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.progression import FORMS, two_five_one

TRIED = ("C major", "Db major", "F# major", "Bb minor")
CASES = [(key, form) for key in KEYS for form in FORMS]


def suited(key: Key) -> list[str]:
    """All colours that suit a key."""
    return [row.name for row in COLOURS if row.suits(key.mode)]


@pytest.mark.parametrize(("key", "form"), swept(CASES, lambda case: str(case[0]) in TRIED), ids=str)
def test_all_colours_of_a_key_are_one_idea(key, form):
    names = suited(key)[:12]
    idea = one_idea(key, names, form=form, seed=3)
    assert [row.name for row in idea.colours] == names
    rhythms = {tuple((note.start, note.beats) for note in line.notes) for line in idea.lines}
    assert len(rhythms) == 1
    over = idea.lines[0].progression
    dominant = next(c for c in over.chords if c.chord.kind.is_dominant)
    outside = {
        tuple(n.pitch.midi for n in line.notes if not dominant.start <= n.start <= dominant.end)
        for line in idea.lines
    }
    assert len(outside) == 1
    for row, line in zip(idea.colours, idea.lines, strict=True):
        check_version(line, row, dominant)
    assert len({line.text for line in idea.lines}) >= len(names) * 2 / 3  # some share their notes


def check_version(line, row, dominant):
    """The rules of one version, by hand: the colour whole, a small step home, no double signs."""
    inside = [n for n in line.notes if dominant.start <= n.start < dominant.end]
    root = dominant.chord.root.semitone
    assert {d.semitone for d in row.tensions} <= {(n.pitch.midi - root) % 12 for n in inside}
    landing = next(n for n in line.notes if n.start == dominant.end)
    assert 0 < abs(landing.pitch.midi - inside[-1].pitch.midi) <= 2
    assert all(abs(n.pitch.note.alteration) < 2 for n in line.notes)
    assert all(abs(b.pitch.midi - a.pitch.midi) <= 9 for a, b in pairwise(inside))


@together("name", [row.name for row in COLOURS if row.suits("major")])
def test_a_typed_phrase_keeps_its_shape_in_every_colour(name):
    text = "8th F4 A4 C5 E5 D5 C5 A4 F4 | B4 D5 C5 A4 G4 B4 F4 D4 | whole E4"
    line = Line.parse(text, two_five_one("C"))
    found = in_colour(line, name)
    assert [n.pitch for n in found.notes][:8] == [n.pitch for n in line.notes][:8]
    moved = [abs(a.pitch.midi - b.pitch.midi) for a, b in zip(line.notes, found.notes, strict=True)]
    assert max(moved) <= 7
    ways = [
        [(b.pitch.midi > a.pitch.midi) for a, b in pairwise(one.notes[8:])] for one in (line, found)
    ]
    assert sum(a == b for a, b in zip(*ways, strict=True)) >= 5  # of eight moves
    wanted = palettes(found.progression, next(c for c in COLOURS if c.name == name))[1].hallmarks
    assert set(wanted) <= {n.pitch.midi % 12 for n in found.notes[8:16]}


def test_versions_stand_back_to_back_with_a_bar_of_the_last_chord_between():
    idea = one_idea("Eb", ["b9 13", "altered"], form="long", seed=6)
    joined = idea.joined
    assert str(joined.progression) == ("Fm7 | Bb7 | Ebmaj7 | Ebmaj7 | Fm7 | Bb7 | Ebmaj7")
    assert not [n for n in joined.notes if 12 <= n.start < 14]  # but for a pickup
    assert sorted(idea.band) == [1, 5]
    assert [idea.band[1], idea.band[5]] == [row.degrees for row in idea.colours]
    assert Line.parse(joined.text, joined.progression) == joined


def test_a_phrase_of_too_few_notes_for_the_colour_is_told():
    line = Line.parse("half F4 B4 | whole C5", two_five_one("C", "short"))
    with pytest.raises(TheoryError, match="no version in altered: 4 notes make the colour and 1"):
        in_colour(line, "altered")


@pytest.mark.parametrize(
    ("colours", "words"), [([], "0 colours"), (["green"], "no such colour"), (["b9"] * 3, "")]
)
def test_colours_are_refused_or_taken_once(colours, words):
    if words:
        with pytest.raises(TheoryError, match=words):
            one_idea("C", colours)
    else:
        assert len(one_idea("C", colours).lines) == 1
