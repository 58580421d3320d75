"""Of the choices that a question offers one is right, by reckoning that no judge has a part in.

Half steps of the shapes: common practice. A choice that brings all that is asked for is right for
the reader, whatever it brings besides.
"""

import re

import pytest
from sweeps import KEYS_TRIED, SWEPT_KEYS

from theorykit import KINDS_OF_QUESTION, colour, question
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.progression import cadence_chords

SHAPES = {
    "": (0, 4, 7), "m": (0, 3, 7), "aug": (0, 4, 8), "7": (0, 4, 7, 10), "maj7": (0, 4, 7, 11),
    "m7": (0, 3, 7, 10), "m7b5": (0, 3, 6, 10), "dim7": (0, 3, 6, 9),
    " half-whole diminished": (0, 1, 3, 4, 6, 7, 9, 10),
    " whole-half diminished": (0, 2, 3, 5, 6, 8, 9, 11),
    " harmonic minor": (0, 2, 3, 5, 7, 8, 11), " melodic minor": (0, 2, 3, 5, 7, 9, 11),
}  # fmt: skip
CHORD = {0, 4, 7, 10}  # a dominant seventh


def of_kinds(*names):
    """The kinds with these names."""
    kinds = [kind for kind in KINDS_OF_QUESTION if kind.name in names]
    assert len(kinds) == len(names)
    return kinds


def asked(kinds, keys, seeds=(1,)):
    """Every question of some kinds that offers a choice, with the V of its key."""
    for kind in kinds:
        for topic in kind.topics:
            for key in (key for key in keys if kind.fits(topic, key)):
                for level in (1, 2):
                    for seed in seeds:
                        one = question(kind, level=level, keys=[key], seed=seed, topic=topic)
                        assert len(one.choices) > 1
                        yield one, cadence_chords(key)


def above(note, chord):
    """Half steps from the root of a chord up to a note."""
    return (Note.parse(str(note)).semitone - chord.root.semitone) % 12


def adds(topic):
    """The half steps that a colour adds to a V."""
    return {degree.semitone % 12 for degree in colour(topic).degrees} - CHORD


def of_shape(text, v):
    """The half steps above the root of V that a shape, or a pair of triads, is."""
    found = set()
    for part in text.split(" and "):
        root, suffix = re.fullmatch("([A-G](?:bb?|##?)?)(.*)", part).groups()
        found |= {(above(root, v) + step) % 12 for step in SHAPES[suffix]}
    return found


def only_answer(one, rights):
    """Fail where another choice than the answer is right, or more than it."""
    assert [c for c in one.choices if c in rights] == [one.answer], (one.prompt, one.choices)


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_shape_brings_all_that_is_asked_for(keys):
    for one, (_, v, _) in asked(of_kinds("shortcut over V", "shortcut to I"), keys):
        only_answer(one, [c for c in one.choices if adds(one.topic) <= of_shape(c, v)])


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_colour_has_all_that_is_shown(keys):
    for one, (_, v, _) in asked(of_kinds("colour of a shape", "colour in a picture"), keys):
        shown = {above(note, v) for note in one.shown.notes} - CHORD
        passing = {degree.semitone for degree in colour(one.topic).passing}
        only_answer(one, [c for c in one.choices if shown - passing <= adds(c)])


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_bar_spells_all_that_is_asked_for(keys):
    for one, (_, v, _) in asked(of_kinds("bar of a colour"), keys):
        spelled = {
            choice: {
                above(note.pitch.note, v)
                for note in Line.parse(choice, one.judging.over).notes
                if note.start < 4
            }
            for choice in one.choices
        }
        only_answer(one, [c for c in one.choices if adds(one.topic) <= spelled[c]])


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_degree_or_note_has_the_sound(keys):
    for one, _ in asked(of_kinds("degree of a note"), keys):
        (sound,) = (above(note, one.shown.chord) for note in one.shown.notes)
        only_answer(one, [c for c in one.choices if Degree.parse(c).semitone == sound])
    for one, (_, v, _) in asked(of_kinds("note of a degree"), keys):
        sound = Degree.parse(one.topic).semitone
        only_answer(one, [c for c in one.choices if above(c, v) == sound])


def way(one, other):
    """Half steps between two notes, the nearer way."""
    steps = (Note.parse(str(one)).semitone - Note.parse(str(other)).semitone) % 12
    return min(steps, 12 - steps)


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_note_is_where_a_line_or_a_tension_goes(keys):
    """No other choice is a tone of I as near; the sharp 9 goes furthest, by a third down to 5."""
    for one, (_, _, i) in asked(of_kinds("target note"), keys):
        last = one.shown.lines[0].notes[-1].pitch.note
        tones = {note.semitone for note in i.notes}
        assert ("Which other tone of" in one.prompt) == (last.semitone in tones)
        near = min(way(tone, last) for tone in i.notes if tone.semitone != last.semitone)
        held = [c for c in one.choices if Note.parse(c).semitone in tones]
        only_answer(one, [c for c in held if way(c, last) == near])
    for one, (_, _, i) in asked(of_kinds("where a note goes"), keys):
        (note,) = one.shown.notes
        tones = {tone.semitone for tone in i.notes}
        held = [c for c in one.choices if Note.parse(c).semitone in tones]
        far = way(one.answer, note)
        assert far <= 3
        only_answer(one, [c for c in held if way(c, note) <= far])


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_note_that_is_shown_is_wrong(keys):
    for one, (_, v, _) in asked(of_kinds("wrong note"), keys, seeds=(1, 2)):
        held = {degree.semitone for degree in colour(one.topic).degrees}
        only_answer(one, [c for c in one.choices if above(c, v) not in held])


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_row_of_guide_tones_has_the_third_and_seventh_of_each_chord(keys):
    """The 3rd is 3 or 4 half steps up, the 7th 10 or 11, in a sixth chord the 6th is 9."""
    for one, chords in asked(of_kinds("guide tones"), keys):
        right = []
        for choice in one.choices:
            pairs = [part.split() for part in choice.split(" | ")]
            steps = [
                sorted(above(n, c) for n in pair) for pair, c in zip(pairs, chords, strict=True)
            ]
            wanted = [[3, 10], [4, 10], [3, 9] if one.key.is_minor else [4, 11]]
            right += [choice] if steps == wanted else []
        only_answer(one, right)


# Half steps from the root of V to each chord, and its kind (common practice).
STANDS = {
    "tritone substitute": [(6, "7")],
    "related ii of the tritone substitute": [(1, "m7")],
    "ii-V of the tritone substitute": [(1, "m7"), (6, "7")],
    "major seventh chord a half step below I": [(4, "maj7")],
    "backdoor dominant": [(10, "m7"), (3, "7")],
    "leading-note diminished chord": [(4, "dim7")],
    "dominant a minor third above": [(3, "7")],
    "dominant a minor third below": [(9, "7")],
    "major": [(7, "m7")],
    "minor": [(7, "m7b5")],
}


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_one_choice_is_the_substitute_or_the_ii(keys):
    for one, (_, v, _) in asked(of_kinds("substitute", "ii of a V"), keys):
        stand = {
            choice: [(above(c.root, v), c.kind.symbol) for c in map(Chord.parse, choice.split())]
            for choice in one.choices
        }
        only_answer(one, [c for c in one.choices if stand[c] == STANDS[one.topic]])


HEARD = [kind for kind in KINDS_OF_QUESTION if kind.way == "hear"]


@pytest.mark.parametrize(
    "keys", [KEYS_TRIED[::3], pytest.param(SWEPT_KEYS[1].values[0], marks=pytest.mark.sweep)]
)
def test_one_choice_sounds_as_what_is_heard(keys):
    for one, _ in asked(HEARD, keys):
        sounds = {name: sounding(heard) for name, heard in one.sounds}
        only_answer(one, [c for c in one.choices if sounds[c] == sounding(one.heard)])
        assert len({sounds[choice] for choice in one.choices}) == len(one.choices), one.prompt


def sounding(heard):
    """Chords and notes as they sound, without their spelling: the band plays what they say."""
    placed = [
        (c.start, frozenset(n.semitone for n in c.chord.notes), c.chord.lowest.semitone)
        for c in heard.progression.chords
    ]
    phrase = heard.phrase
    line = [] if phrase is None else [(n.start, n.beats, n.pitch.midi) for n in phrase.notes]
    return (*placed, *line)


def test_every_kind_that_offers_a_choice_is_tried_here():
    """The guide tones over the loop ask how it went: nothing is right or wrong there."""
    tried = {
        "shortcut over V", "shortcut to I", "colour of a shape", "colour in a picture",
        "bar of a colour", "degree of a note", "note of a degree", "target note",
        "where a note goes", "wrong note", "guide tones", "substitute", "ii of a V",
    }  # fmt: skip
    every = {kind.name for kind in KINDS_OF_QUESTION}
    assert every - tried - {kind.name for kind in HEARD} == {"guide tones over the loop"}


@pytest.mark.parametrize("key", ["F", "Bb", "Eb", "Ab", "Db", "Gb", "F minor", "Bb minor"])
def test_wrong_diminished_shapes_are_spelled_in_the_flats_of_their_key(key):
    """Only the leading note may be sharp; beside four flats no G sharp (common practice)."""
    names = set()
    for seed in range(6):
        one = question("shortcut over V", level=1, keys=[key], topic="b9", seed=seed)
        names |= {name for name in one.near_misses if name.endswith("dim7")}
    assert names
    assert not [name for name in names if "#" in name]


NEAR = ("shortcut over V", "substitute", "ii of a V", "where a note goes")  # told from their names
MANY_SHARPS = ["E", "B", "F#", "C#", "C# minor", "G# minor", "D# minor"]
FLATS = {"Db": "C#", "Eb": "D#", "Gb": "F#", "Ab": "G#", "Bb": "A#"}
MANY_FLATS = ["Db", "Gb", "Cb", "Bb minor", "Eb minor", "Ab minor"]


def near_roots(key):
    """The first root, or the note, of every near miss in a key, and those of right answers."""
    misses, rights = {}, set()
    for kind in of_kinds(*NEAR):
        for topic in kind.topics:
            for seed in range(3 if kind.fits(topic, Key.parse(key)) else 0):
                one = question(kind, level=1, keys=[key], topic=topic, seed=seed)
                rights.add(re.match("[A-G][b#]*", one.answer)[0])
                for miss in one.near_misses:
                    misses.setdefault(re.match("[A-G][b#]*", miss)[0], set()).add(miss)
    return misses, rights


@pytest.mark.parametrize("key", MANY_SHARPS)
def test_no_wrong_choice_has_a_flat_that_is_a_sharp_of_its_key(key):
    """D sharp and no E flat in E (common practice), but where E flat is a right answer there."""
    held = {str(note) for note in Key.parse(key).chord_notes}
    misses, rights = near_roots(key)
    assert {"D#", "G#"} <= set(misses)
    wrong = {r: misses[r] for r in misses if "b" in r and r not in rights}
    assert not {r: names for r, names in wrong.items() if FLATS[r] in held}


@pytest.mark.parametrize("key", MANY_FLATS)
def test_no_wrong_choice_has_a_sharp_in_a_key_of_many_flats(key):
    """Only F sharp and C sharp minor, and what has a right answer there (common practice)."""
    misses, rights = near_roots(key)
    wrong = {r: misses[r] for r in misses if "#" in r and r not in rights}
    assert not [name for names in wrong.values() for name in names if name[2:3] != "m"]


# Wrong choices as a musician of the key writes them (common practice), and as nobody would.
WRITTEN = [
    ("shortcut over V", "b9", "E", "D#m7b5", "Ebm7b5"),  # beside D#dim7
    ("shortcut over V", "b9", "C# minor", "B#m7b5", "Cm7b5"),
    ("shortcut over V", "altered", "E", "C# melodic minor", "Db melodic minor"),
    ("substitute", "leading-note diminished chord", "G# minor", "F#dim7", "Gbdim7"),
    ("substitute", "dominant a minor third below", "C# minor", "F#7", "Gb7"),
    ("substitute", "dominant a minor third above", "C# minor", "A#7", "Bb7"),
    ("substitute", "tritone substitute", "B", "C#7", "Db7"),
    ("substitute", "ii-V of the tritone substitute", "E", "C#m7 F#7", "Dbm7 Gb7"),
    ("substitute", "backdoor dominant", "E", "A#m7 D#7", "Bbm7 Eb7"),
    ("substitute", "backdoor dominant", "C", "F#m7 B7", "Gbm7 B7"),
    ("substitute", "dominant a minor third above", "Gb", "Eb7", "D#7"),
    ("where a note goes", "b9", "C# minor", "A", "G##"),
    ("ii of a V", "major", "Eb", "F#m7", "Gbm7"),
]


@pytest.mark.parametrize(("kind", "topic", "key", "written", "never"), WRITTEN)
def test_wrong_choices_have_the_letters_of_the_key(kind, topic, key, written, never):
    misses = set()
    for seed in range(6):
        misses |= {*question(kind, level=1, keys=[key], topic=topic, seed=seed).near_misses}
    assert written in misses
    assert never not in misses


@pytest.mark.parametrize(("key", "name", "never"), [
    ("C# minor", "E#", "F"), ("Ab minor", "Fb", "E"), ("G# minor", "B#", "C"), ("B", "E#", "F"),
    ("Gb", "Fb", "E"), ("D", "Bb", "A#"), ("C", "F#", "Gb"), ("Db", "Cb", "B"),
])  # fmt: skip
def test_notes_beside_the_goal_are_written_in_the_key(key, name, never):
    """E sharp is the raised third of C sharp minor (common practice)."""
    kind = of_kinds("where a note goes")[0]
    topics = [topic for topic in kind.topics if kind.fits(topic, Key.parse(key))]
    asks = [question(kind, level=1, keys=[key], topic=topic, seed=1) for topic in topics]
    misses = {miss for one in asks for miss in one.near_misses}
    assert name in misses
    assert never not in misses


def test_a_triad_on_the_fourth_degree_of_g_flat_is_c_flat():
    """C flat major is in G flat; C flat minor would have a double flat (common practice)."""
    misses, _ = near_roots("Gb")
    assert "Cb" in misses["Cb"]
    assert {name for name in misses["B"] if name[:2] != "Bm"} == {"B7 Emaj7"}
