"""Several staves in one MusicXML file."""

from fractions import Fraction

from music21 import converter
from schema import complaints
from staves import staff

from theorykit.show.engraving import score_musicxml
from theorykit.views.explorer_view import explore

THREE = [(f"in {name}", explore(name).staff) for name in ("C", "Db", "F# minor")]


def test_staves_follow_each_other_with_their_keys_and_titles():
    text = score_musicxml(THREE, title="Three & <more>", part="Flute", rights="Free & open")
    assert complaints(text) == []
    part = converter.parse(text, format="musicxml").parts[0]
    bars = list(part.getElementsByClass("Measure"))
    assert [bar.number for bar in bars] == list(range(1, 10))
    assert [bar.keySignature.sharps for bar in bars if bar.keySignature] == [0, -5, 3]
    assert "Three &amp; &lt;more&gt;" in text
    assert text.index("in C") < text.index("in Db") < text.index("in F# minor")
    assert text.count('new-system="yes"') == 2
    assert text.count("light-light") == 2
    assert text.count("light-heavy") == 1


def test_a_pickup_stays_a_pickup():
    both = [("a", staff("C4:1 D4:4", start=Fraction(-1))), ("b", staff("E4:4"))]
    text = score_musicxml(both, title="x", part="y")
    assert complaints(text) == []
    assert text.count('implicit="yes"') == 1
    notes = converter.parse(text, format="musicxml").parts[0].recurse().notes
    assert [one.nameWithOctave for one in notes] == ["C4", "D4", "E4"]
