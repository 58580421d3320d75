"""Ways into a short phrase: the phrase stays, the way leads to it, and there are several."""

from fractions import Fraction
from itertools import pairwise

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import lead_ins, one_idea
from theorykit.lines.vocabulary.leading_in import led_in
from theorykit.lines.writing import write_lines
from theorykit.tunes.progression import two_five_one

SHORT = "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4"


@pytest.mark.parametrize("key", keys(), ids=str)
@pytest.mark.parametrize("form", ["long", "split"])
def test_written_phrases_grow_in_several_ways_and_are_not_changed(key, form):
    grown = 0
    for line in write_lines(two_five_one(key, "short"), count=4, seed=5):
        found = lead_ins(line, form)
        assert found  # a phrase with a long pickup may have one way only, others have several
        grown += len(found)
        for one in found:
            check(one.line, line, form)
    assert grown >= 6


def check(grown: Line, phrase: Line, form: str) -> None:
    """The phrase stands a bar later as it was; what leads to it fits the ii and joins smoothly."""
    assert grown.progression == two_five_one(phrase.progression.key, form)
    tail = grown.notes[-len(phrase.notes) :]
    assert [n.pitch for n in tail] == [n.pitch for n in phrase.notes]
    assert [n.start for n in tail] == [n.start + 4 for n in phrase.notes]
    head = grown.notes[: -len(phrase.notes)]
    assert head
    assert all(
        a.pitch.midi != b.pitch.midi for a, b in pairwise((*head, tail[0])) if a.end == b.start
    )
    if head[-1].end == tail[0].start:
        assert abs(head[-1].pitch.midi - tail[0].pitch.midi) <= 5
    assert all(abs(n.pitch.note.alteration) < 2 for n in head)
    assert all(n.start.denominator in (1, 2, 3) for n in head)


def test_the_ways_are_those_of_the_trade():
    """Guide tones, a run of the scale, an enclosure, the phrase's own motif (common practice)."""
    line = Line.parse(SHORT, two_five_one("C", "short"))
    found = {one.name: one.line for one in lead_ins(line)}
    assert list(found) == ["guide tones", "scale run", "enclosure", "its own motif"]
    bars = {name: [str(n.pitch) for n in one.notes if n.start < 4] for name, one in found.items()}
    assert bars["guide tones"] == ["F5", "C5"]  # the 3rd and the 7th of Dm7
    assert bars["scale run"] == ["D4", "E4", "F4", "G4"]
    assert bars["enclosure"][-2:] == ["B4", "G#4"]  # a step above A and a half step below
    motif = [n for n in found["its own motif"].notes if n.start < 4]
    assert [n.beats for n in motif] == [Fraction(1, 2)] * 4
    assert [str(n.pitch) for n in motif] == ["C5", "E5", "A5", "F5"]  # A C F D, two steps higher


@pytest.mark.parametrize(
    ("key", "text", "run"),
    [
        # From a tone of ii up to a pickup of three eighths: Eb F G, then A A B over Am7b5.
        ("G minor", "pickup 8th A4 A4 B4 | C5 Eb5 rest F5 F#4 A4 C5 A4 | whole G4", "Eb4 F4 G4"),
        (
            "Bb minor",
            "pickup 8th C5 C5 D5 | Eb5 Gb5 rest Ab5 A4 C5 Eb5 C5 | whole Bb4",
            "Gb4 Ab4 Bb4",
        ),
    ],
)
def test_a_run_leads_into_a_pickup(key, text, run):
    found = {one.name: one.line for one in lead_ins(Line.parse(text, two_five_one(key, "short")))}
    assert [str(n.pitch) for n in found["scale run"].notes[:3]] == run.split()


@pytest.mark.parametrize("seed", range(4))
def test_each_colour_of_an_idea_goes_on_to_the_next_way_into_its_own_phrase(seed):
    """Phrases that begin otherwise have other ways in, and two colours may meet in one."""
    idea = one_idea("F", ["b9 13", "b9 b13", "altered"], form="long", seed=seed)
    grown = idea.led_in(seed=1).lines
    assert grown == idea.led_in(seed=1).lines
    assert len({way_in(line) for line in grown}) > 1
    for place, line in enumerate(idea.lines):
        exist = {way_in(led_in(line, seed=n)) for n in range(ENOUGH)}
        ways = [way_in(led_in(line, seed=1, place=n)) for n in range(3)]
        assert len(set(ways)) == min(3, len(exist))
        assert way_in(grown[place]) == ways[place]


ENOUGH = 20  # seeds, to meet three ways of a dozen


def way_in(line: Line) -> str:
    """What stands over the ii."""
    return line.text.partition(" |")[0]


@pytest.mark.parametrize(
    ("text", "form", "words"),
    [("whole F4 | G4 | E4", "long", "short"), ("half F4 B4 | whole C5", "short", "to grow into")],
)
def test_what_cannot_grow_is_refused(text, form, words):
    own = "long" if text.count("|") == 2 else "short"
    with pytest.raises(TheoryError, match=words):
        lead_ins(Line.parse(text, two_five_one("C", own)), form)
