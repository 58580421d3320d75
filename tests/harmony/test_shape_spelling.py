"""What a shape is called: the name that a teacher writes, in every key.

Written out by hand. Common practice throughout: a root takes the name that its place over V
suggests, unless the shape then reads badly; tones of V keep the name that stands in its symbol.
"""

import pytest
from plain import names
from together import together

from theorykit import COLOURS, Note, shortcuts
from theorykit.harmony.shortcuts import every_shape
from theorykit.notes.degree import AWKWARD

# By colour: the shape over the V of C F Bb Eb Ab Db Gb, then of F# B E A D G.
NAMED = {
    "b9": "Bdim7 Edim7 Adim7 Ddim7 Gdim7 Cdim7 Fdim7 E#dim7 A#dim7 D#dim7 G#dim7 C#dim7 F#dim7",
    "b9 13": "E A D G C F Bb Bb Eb Ab C# F# B",
    "b9 b13": "Abm Dbm F#m Bm Em Am Dm Dm Gm Cm Fm Bbm Ebm",
    "b9 #11": "Db Gb B E A D G G C F Bb Eb Ab",
    "b9 #11 13": "C#m F#m Bm Em Am Dm Gm Gm Cm Fm Bbm Ebm G#m",
    "9 #11 13": "A D G C F Bb Eb Eb Ab C# F# B E",
    "#9": "Bb Eb Ab Db Gb B E E A D G C F",
    "#9 b13": "Eb Ab Db Gb B E A A D G C F Bb",
    "#9 #11": "Bbm Ebm Abm C#m F#m Bm Em Em Am Dm Gm Cm Fm",
    "suspended": "F Bb Eb Ab Db Gb Cb B E A D G C",
    "suspended b9": "Dm7b5 Gm7b5 Cm7b5 Fm7b5 Bbm7b5 Ebm7b5 Abm7b5 G#m7b5 C#m7b5 F#m7b5 Bm7b5 "
    "Em7b5 Am7b5",
    "tritone substitute": "Db7 Gb7 B7 E7 A7 D7 G7 G7 C7 F7 Bb7 Eb7 Ab7",
    "its related ii": "Bmaj7 Emaj7 Amaj7 Dmaj7 Gmaj7 Cmaj7 Fmaj7 Fmaj7 Bbmaj7 Ebmaj7 Abmaj7 "
    "Dbmaj7 F#maj7",
}
SCALES = {
    "half-whole diminished": "Ab Db Gb B E A D D G C F Bb Eb",
    "altered": "Ab Db F# B E A D D G C F Bb Eb",
    "lydian dominant": "D G C F Bb Eb Ab G# C# F# B E A",
    "minor's own": "C F Bb Eb Ab C# F# F# B E A D G",
}
V = "G7 C7 F7 Bb7 Eb7 Ab7 Db7 C#7 F#7 B7 E7 A7 D7".split()


@together("colour", NAMED)
def test_chords_are_named_as_teachers_name_them_in_every_key(colour: str):
    assert names(shortcuts(v, colour)[0].shape for v in V) == NAMED[colour]


@pytest.mark.parametrize("colour", SCALES)
def test_scales_stand_on_the_roots_that_teachers_name_in_every_key(colour: str):
    mode = "minor" if colour == "minor's own" else "major"
    assert names(shortcuts(v, colour, mode)[0].root for v in V) == SCALES[colour]


@together("v", V)
def test_the_first_shape_of_each_colour_reads_without_a_stumble(v: str):
    """A double flat stands only in a diminished chord, a double sharp in the scale on the 5th."""
    for colour in COLOURS:
        best = shortcuts(v, colour, colour.targets[0])[0]
        doubles = [note for note in best.notes if abs(note.alteration) > 1]
        if best.row.suffix in ("dim7", "m7b5"):
            assert all(note.alteration == -2 for note in doubles)
            assert len(doubles) <= 1
        else:
            assert names(doubles) == ("F##" if best.shape == "G# melodic minor" else "")


def test_a_major_chord_stands_on_a_root_that_has_a_major_key():
    """A flat, E flat and B flat, never G, D and A sharp, whose keys no signature writes."""
    for v in (*V, "G#7", "A#7", "D#7", "Gb7"):
        for family in ("triad", "seventh"):
            for one in every_shape(v, family):
                if one.row.suffix in ("", "6", "7", "maj7") and one.place:
                    assert str(one.root) not in {"G#", "D#", "A#"} or one.place in (7, 10), one


@pytest.mark.parametrize(
    ("v", "colour", "shape", "words", "over"),
    # The shape by its own name, its degrees over V by theirs.
    [
        ("B7", "b9 13", "Ab C Eb", "A♭ major triad on the 6th of V (G♯), which is the 3rd of I",
         "G# C D#"),
        ("F#7", "9 #11 13", "Ab C Eb", "A♭ major triad on the 9th of V (G♯), which is the 6th of I",
         "G# B# D#"),
        ("E7", "b9 13", "C# E# G#", "C♯ major triad on the 6th of V, which is the 3rd of I",
         "C# F G#"),
    ],
)  # fmt: skip
def test_the_degrees_keep_their_names_where_the_shape_takes_another(v, colour, shape, words, over):
    best = shortcuts(v, colour)[0]
    assert names(best.notes) == shape
    assert best.words == words
    assert names(best.function_notes) == over


def test_an_alternative_keeps_the_names_of_the_tones_of_v():
    assert [one.shape for one in shortcuts("C7", "b9")[:2]] == ["Edim7", "Bbdim7"]
    assert "Abm7b5" in [one.shape for one in shortcuts("Bb7", "b9 b13")]


def test_an_awkward_root_stands_only_on_a_tone_of_v():
    for v in (*V, "G#7", "Gb7"):
        for colour in COLOURS:
            for one in shortcuts(v, colour)[:12]:
                if one.row.family != "scale" and one.root in AWKWARD:
                    assert one.root in one.chord.notes
                    assert not one.row.repeats or one.row.suffix == "dim7"
    assert shortcuts("B7", "lydian dominant")[1].shape == "F altered"


def test_a_shape_on_the_root_of_v_keeps_its_name():
    assert any(one.shape == "Cb7" for one in shortcuts("Cb7", "3 5 b7"))
    assert any(one.shape == "G#m7" for one in shortcuts("G#7", "#9"))


# Nobody practises a D sharp or an A sharp blues, and the blue note takes its plain name.
@pytest.mark.parametrize(
    ("v", "written"),
    [
        ("G7", "Eb Gb Ab A Bb Db"),
        ("E7", "Bb Db Eb E F Ab"),
        ("Ab7", "Eb Gb Ab A Bb Db"),
        ("B7", "Eb Gb Ab A Bb Db"),
        ("Db7", "Ab Cb Db D Eb Gb"),
        ("A7", "E G A Bb B D"),
        ("F7", "F Ab Bb B C Eb"),
    ],
)
def test_a_blues_scale_stands_on_the_name_that_it_is_practised_by(v: str, written: str):
    root = written.split()[0]
    found = [s for s in every_shape(v, "scale") if s.row.suffix == " blues"]
    (scale,) = [s for s in found if s.root == Note.parse(root)]
    assert names(scale.notes) == written
    assert not {"D#", "A#", "E#", "B#", "Cb", "Fb"} & {str(s.root) for s in found if s.place}


def test_a_pentatonic_stands_on_the_name_that_it_is_practised_by():
    for v in V:
        for scale in every_shape(v, "pentatonic"):
            seldom = {"D#", "A#", "E#", "B#", "Cb", "Fb"}
            assert str(scale.root) not in seldom or scale.place == 0
