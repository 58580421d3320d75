"""What a teacher met on pages of written lines: plain intervals that looked like others.

Common practice, for all of it: a fourth, a fifth and a step look like what they are, one pitch has
one name nearby, a half step that rises is sharp and one that falls is flat, and no note is written
against the signature.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from sweeps import some_and_all
from together import together

from theorykit.harmony.colours import COLOURS
from theorykit.lines.chorus import write_chorus
from theorykit.lines.text import Line, Sound, half_step_name
from theorykit.lines.text.line_spelling import led_to
from theorykit.lines.writing import Wishes, write_lines
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, single
from theorykit.notes.key import KEYS
from theorykit.notes.note import Note
from theorykit.notes.reader import READERS
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import chorus_staff, phrase_staff

LETTERS_APART = {2: {1}, 5: {3}, 7: {4}}


def over_v(key: str, degrees: str, form: str = "short") -> tuple[tuple[Note, ...], ...]:
    """The names that some degrees may have over the V of a key, a #9 and a #11 in two ways."""
    v = two_five_one(key, form).chords[1].chord
    others = {"#9": "b3", "#11": "b5"}
    return tuple(
        tuple(above(v.root, Degree.parse(d)) for d in (one, others.get(one)) if d)
        for one in degrees.split()
    )


# By hand: the line over V with any names, what its notes are, and the names that a player reads.
@pytest.mark.parametrize(
    ("key", "text", "degrees", "names"),
    [
        ("G", "half rest 8th Bb4 E#5 C#5 A4", "b13 #9 7 5", "Bb F C# A"),  # a fifth, no third
        ("G minor", "half rest 8th Eb5 G#4 Bb4 A4", "b9 #11 b13 5", "Eb Ab Bb A"),
        ("Db", "half rest 8th Bbb4 Fb5 Eb5 C5", "b9 b13 5 3", "A E Eb C"),  # a fourth
        ("Bb minor", "half rest 8th A4 Gb4 B4 Db5", "3 b9 #11 b13", "A Gb Cb Db"),
        ("Bb minor", "half rest 8th D5 B4 G#4 G4", "13 #11 #9 9", "D B Ab G"),  # Ab is signed
    ],
)
def test_intervals_over_v_look_like_what_they_are(key, text, degrees, names):
    line = Line.parse(text, two_five_one(key, "short"))
    given = [n.pitch.note for n in line.notes]
    single = [tuple(n for n in own if abs(n.alteration) < 2) for own in over_v(key, degrees)]
    found = line.spelled([own or (name,) for own, name in zip(single, given, strict=True)])
    assert " ".join(str(note.pitch.note) for note in found.notes) == names


@together(
    ("key", "bars", "text", "names"),
    [
        # a pitch has one name in a bar, and over the bar line
        ("G minor", "Am7b5 D7 | Gm6", "8th A4 G4 Gb4 G4 F#4 A4 quarter C5", "A G F# G F# A C"),
        ("C", "Dm7 | G7", "half rest 8th A4 G#4 G4 F4 | half G#4 A4", "A Ab G F Ab A"),
        # what rises is sharp, even as the second half of an enclosure
        ("C minor", "Dm7b5 | G7", "8th Eb5 Db5 D5 F5 half Ab5", "Eb C# D F Ab"),
        # what the signature has by another name
        ("Ab", "Bbm7 | Eb7", "8th F5 Gb5 G5 G#5 A5 Bb5 quarter F5", "F F# G Ab A Bb F"),
        # one name in a bar: the 5th of Bbm7b5 stays F flat as the b9 of the V in the same bar
        ("Ab", "Bbm7b5 Eb7", "8th F5 E5 Db5 E5 G5 Bb5 E5 Eb5", "F Fb Db Fb G Bb Fb Eb"),
        # and not in the next bar
        ("Ab", "Bbm7b5 | Eb7", "half E5 Db5 | 8th Bb5 G5 E5 Eb5 half Bb4", "Fb Db Bb G E Eb Bb"),
        # a pickup is spelled by the chord it leads to, its half step by where it goes
        ("Ab", "Bmaj7 | Bbm7", "half D#4 8th rest G#4 A#4 A4 | half Bb4 Db5", "D# Ab Bb A Bb Db"),
        ("C#", "C#maj7 | Gm7b5", "dotted half C#5 8th rest A#4 | half Db5 F5", "C# Bb Db F"),
        ("Eb", "Ebmaj7 | Am7b5", "half D4 quarter rest 8th G4 F#4 | half F4 Eb4", "D G Gb F Eb"),
        # but a tone of the chord that sounds has its letter, also where the next one shares it, or
        # does not hold it
        ("Eb", "Abm7 Db13#11 | Gm7", "8th rest B4 quarter Ab4 F4 Bb4 | whole F4", "Cb Ab F Bb F"),
        ("Ab", "Abm7 Dbmaj7 | Gm7", "8th rest B4 quarter Ab4 F4 C5 | whole F4", "Cb Ab F C F"),
        # what stands over V and leads home keeps the names of V
        ("Eb", "Bb7b9 | Ebmaj7", "half rest quarter rest 8th D5 Cb5 | whole Bb4", "D Cb Bb"),
        # no b9 on the letter of its root
        ("A# minor", "C7b9#11 | E#m7", "half Bb4 C#5 | whole E#5", "Bb Db E#"),
        ("Ab", "Bb7b9 | Eb7", "half D5 quarter rest B4 | whole Bb4", "D Cb Bb"),
        # C flat comes next to five flats, E sharp to five sharps
        ("Db", "Gb7 | Db6", "8th Db4 B3 Bb3 Db4 half Gb4 | whole F4", "Db Cb Bb Db Gb F"),
        ("Bb minor", "F7 | Gbmaj7", "half A4 8th Gb5 Db5 quarter B4 | whole Bb4", "A Gb Db Cb Bb"),
        ("B", "D#m7 | G#m7", "half F#4 8th E#4 F#4 A#4 C#5 | whole B4", "F# E# F# A# C# B"),
        # a chord tone, and a #11 that the symbol writes, has the letter of the chord, whatever the
        # signature: a sharp does not stand beside a flat over one chord
        ("Db", "B13#11 | Dbmaj7", "half A4 8th C#5 A4 F5 D#5 | whole Db5", "A C# A E# D# Db"),
        ("Gb", "E13#11 | Gbmaj7", "half A#4 8th B4 A4 A#4 G#4 | whole Gb4", "A# B A A# G# Gb"),
        ("Db", "B7#9b13 | Emaj7", "half D#5 8th D5 G4 quarter rest | whole Ab4", "D# D G G#"),
        ("Db", "A13#11 | Ebm7", "half G4 8th C#5 F#5 Eb5 rest | whole Db5", "G C# F# D# Db"),
        ("Db", "B13#11 | Dbmaj7", "half A4 8th C#5 D5 D#5 B4 | whole C5", "A C# D D# B C"),
        # a raised 11 that falls, beside a b9
        ("D", "A7 | Dmaj7", "half C#5 8th Bb4 E4 quarter D#5 | whole D5", "C# Bb E Eb D"),
        # two chords of one bar that call a pitch by two names: what the signature has stays
        ("Ab", "E7 Bbm7", "8th E5 B4 G#4 B4 Bb4 Ab4 F4 Db5", "E B Ab B Bb Ab F Db"),
        # and however many tones of one of them it costs their letter
        ("F", "Fm7 E7 | Am7", "8th" + 8 * " Ab4" + " | whole A4", 8 * "G# " + "A"),
        ("Gb", "Abm7 E7 | Gb6", "8th" + 8 * " B4" + " | whole Bb4", 8 * "Cb " + "Bb"),
        ("Db", "Bbm7b5 E7 | Ebm7", "8th" + 8 * " E4" + " | whole Eb4", 8 * "E " + "Eb"),
    ],
)  # fmt: skip
def test_chromatic_steps_are_read_at_sight(key, bars, text, names):
    line = Line.parse(text, Chart.of(key, *bars.split(" | ")).progression)
    assert " ".join(str(note.pitch.note) for note in line.readable.notes) == names


# By hand: the line as it sounds, who reads it, and the names that a player reads.
@pytest.mark.parametrize(
    ("key", "form", "who", "text", "names"),
    [
        # over a pickup that falls: A natural to G sharp, on a page in F minor
        ("G# minor", "long", "E flat", "pickup 8th C#4 A3 | whole G#3", "Bb Gb F"),
        # the minor 3rd that slides up
        ("C#", "short", "B flat", "whole D#5 | 8th G#4 E4 dotted half E#4", "F Bb F# G"),
    ],
)  # fmt: skip
def test_half_steps_on_a_page_take_two_letters(key, form, who, text, names):
    page = Line.parse(text, two_five_one(key, form)).written_for(who)
    assert " ".join(str(note.pitch.note) for note in page.notes) == names


# By hand (common practice): a blue third rises to the third, and the name that a horn player reads.
@together(
    ("key", "chord", "text", "who", "names"),
    [
        ("C", "C7", "half Eb4 E4", "B flat", "F F#"),
        ("C", "C7", "half Eb4 E4", "E flat", "C C#"),
        ("G", "G7", "half Bb4 B4", "B flat", "C C#"),
        ("G", "G7", "half Bb4 B4", "F", "F F#"),
        ("F", "F7", "half Ab4 A4", "E flat", "F F#"),
        ("Eb", "Bb7", "half Db5 D5", "B flat", "D# E"),  # over C7 no letter is strange
        ("A", "E7", "half G4 G#4", "B flat", "A A#"),
    ],
)
def test_a_blue_third_is_no_e_sharp_or_b_sharp(key, chord, text, who, names):
    line = Line.parse(text, Chart.of(key, chord).progression).written_for(who)
    assert " ".join(str(note.pitch.note) for note in line.notes) == names


@together("key", KEYS, ids=str)
def test_no_horn_reads_e_sharp_for_a_blue_third(key):
    tried = 0
    for degree in (1, 4, 5):
        root = above(key.tonic, Degree(degree))
        over = Progression(key, (Bar.even(Chord.parse("C7").on(root)),))
        low, third = (single(above(root, Degree(3, step))) for step in (-1, 0))
        line = Line.parse(f"half {low}4 {third}4", over)
        for who in ("B flat", "E flat", "F"):
            page = line.written_for(who)
            held = {*page.progression.key.notes, *page.progression.chords[0].chord.notes}
            name = page.notes[0].pitch.note
            tried += 1
            assert str(name) not in ("E#", "B#") or name in held, (str(key), who, page.text)
    assert tried == 9


def pages(keys):
    """Written lines on the pages of all readers."""
    for number, key in enumerate(keys):
        for place, row in enumerate(COLOURS):
            reader = READERS[(number + place) % len(READERS)]
            over = two_five_one(key, FORMS[(number + place) % len(FORMS)])
            wishes = Wishes.for_reader(reader)
            (line,) = write_lines(over, row, count=1, seed=515 + number, wishes=wishes)
            yield phrase_staff(line, row, reader=reader)


@pytest.mark.parametrize("keys", some_and_all(KEYS[1::9], KEYS))
def test_on_every_page_pitches_have_one_name_and_labels_their_letter(keys):
    strange = steps = 0
    for view in pages(keys):
        edges = [sum(view.bars[:n]) for n in range(len(view.bars) + 1)]
        signed = {note.semitone: note for note in view.key.notes}
        for start, end in pairwise(edges):
            names = {n.pitch.note for n in view.notes if start <= n.start < end}
            assert len(names) == len({name.semitone for name in names}), view.alt
        for one, other in pairwise(view.notes):
            size = abs(one.pitch.midi - other.pitch.midi)
            apart = abs(one.pitch.note.step - other.pitch.note.step)
            if size in (5, 7):
                steps += 1
                strange += not {apart, 7 - apart} & LETTERS_APART[size]
        for note in view.notes:
            chord = [c for start, c in view.chords if start <= max(note.start, 0)][-1]
            name = note.pitch.note
            by_degree = name in chord.notes or chord.kind.is_dominant
            assert by_degree or signed.get(name.semitone, name) == name, view.alt
            label = note.labels[0] if note.labels else ""
            if label and label not in ("♯9", "♯11"):
                own = above(chord.root, Degree.parse(label))
                plain = abs(own.alteration) < 2 and str(own) not in ("E#", "B#", "Cb", "Fb")
                is_alike = own == name or (
                    # over a dominant a step has the degree of its sound too
                    chord.kind.is_dominant
                    and own.semitone == name.semitone
                    and label not in ("♭5", "♯5", "♭13")
                )
                assert is_alike or not plain, (str(chord), label, view.alt)
    assert strange * 50 <= steps  # of plain fourths and fifths: a chord may force one


# A name is the reason for itself where the chord, the signature or a colour has it.
def has_a_reason(view, note, chord):
    """Whether a name is that of a chord tone, of the signature, or of a tension of V."""
    name = note.pitch.note
    if name in chord.notes or name in view.key.notes:
        return True
    label = note.labels[0] if note.labels else ""
    tension = chord.kind.is_dominant and label and label not in ("♯9", "♯11")
    return bool(tension) and above(chord.root, Degree.parse(label)) == name


@pytest.mark.parametrize("keys", some_and_all(KEYS[2::9], KEYS))
def test_a_chromatic_half_step_takes_the_letter_beyond(keys):
    """Down from the letter above, up from the letter below, on every page (common practice)."""
    steps = 0
    for view in pages(keys):
        edges = [sum(view.bars[:n]) for n in range(len(view.bars) + 1)]
        for before, one, other in zip(view.notes, view.notes[1:], view.notes[2:], strict=False):
            if abs(one.pitch.midi - before.pitch.midi) in LETTERS_APART:
                continue  # a fourth looks like a fourth
            size = other.pitch.midi - one.pitch.midi
            chord = [c for start, c in view.chords if start <= max(one.start, 0)][-1]
            if abs(size) != 1 or other.start > one.start + one.beats:
                continue
            bar = [n for n in range(len(edges) - 1) if edges[n] <= max(one.start, 0)][-1]
            again = sum(
                edges[bar] <= max(n.start, 0) < edges[bar + 1]
                and n.pitch.midi % 12 == one.pitch.midi % 12
                for n in view.notes
            )
            if again > 1 or has_a_reason(view, one, chord):
                continue
            name, goal = one.pitch.note, other.pitch.note
            steps += 1
            plain = half_step_name(goal, size > 0, view.key.notes)  # where the letter is no name
            assert name.letter != goal.letter or name == plain, (str(one.pitch), view.alt)
    assert steps > 3


TUNES = sorted((Path(__file__).parents[3] / "workbook" / "tunes").glob("*.txt"))
STRANGE_KEYS = {"major": ("Db", "Gb", "F#", "A"), "minor": ("D# minor", "Bb minor", "G# minor")}


def chord_tones(view):
    """The chord tones of a page, each with the chords that may name it: its own, one in its bar."""
    edges = [sum(view.bars[:n]) for n in range(len(view.bars) + 1)]
    sounds = [Sound(n.pitch.midi, (), start=n.start, end=n.start + n.beats) for n in view.notes]
    for note, onto in zip(view.notes, led_to(sounds, view.chords), strict=True):
        (bar,) = [at for at, (a, b) in enumerate(pairwise(edges)) if a <= max(note.start, 0) < b]
        here = [c for start, c in view.chords if edges[bar] <= start < edges[bar + 1]]
        own = [c for start, c in view.chords if start <= max(note.start, 0)][-1]
        if own == onto and not own.is_silent:
            pairs = zip(own.notes, own.degrees, strict=True)
            for name in (name for name, degree in pairs if degree.number < 8):
                if name.semitone == note.pitch.note.semitone and abs(name.alteration) < 2:
                    yield note.pitch.note, name, [other for c in here for other in c.notes]


@pytest.mark.parametrize("tunes", some_and_all((TUNES[1], TUNES[5]), TUNES))
def test_on_every_page_of_a_chorus_chord_tones_have_the_letters_of_their_chords(tunes):
    """The third of E major seventh is G sharp, also before a horn whose page has five flats."""
    tones = 0
    for number, path in enumerate(tunes):
        chart = Chart.parse(path.read_text(encoding="utf-8"))
        for place, key in enumerate(STRANGE_KEYS[chart.key.mode]):
            moved, who = chart.transposed(key), READERS[(number + place) % len(READERS)]
            treatment = Treatment.proposed(moved, level="second")
            chorus = write_chorus(moved, treatment, seed=place, wishes=Wishes.for_reader(who))
            for name, own, others in chord_tones(chorus_staff(chorus, 1, reader=who)):
                tones += 1
                assert name == own or name in others, (path.stem, key, who.name, str(name))
    assert tones > 100


# By hand: typed lines over two chords of a bar that call a pitch by two names, on a horn's page.
@together(
    ("key", "bars", "text", "who", "names"),
    [
        # Db6 under F7, C#6 under C#m7
        ("Ab minor", "Ebm7 Ab7 Em7 A7 | Dmaj7", "8th C5 C5 A4 E5 C4 C5 E5 E5 | whole Bb4",
         "E flat", "A A Gb C# A A C# C# G"),
    ],
)  # fmt: skip
def test_on_another_page_too_a_pitch_has_one_name_in_a_bar(key, bars, text, who, names):
    line = Line.parse(text, Chart.of(key, *bars.split(" | ")).progression).written_for(who)
    assert " ".join(str(note.pitch.note) for note in line.notes) == names


def test_no_typed_line_has_two_names_for_a_pitch_in_a_bar_of_a_moved_page():
    rng, letters = Random(1), "C C# D Eb E F F# G G# A Bb B".split()
    roots, kinds = "C Db D E F F# Ab Bb".split(), "m7 7 maj7 m7b5 7alt dim7".split()
    for _ in range(60):
        chords = " ".join(rng.choice(roots) + rng.choice(kinds) for _ in range(4))
        over = Chart.of(str(rng.choice(KEYS)), chords).progression
        text = "8th " + " ".join(rng.choice(letters) + "4" for _ in range(8))
        for who in ("B flat", "E flat", "F"):
            line = Line.parse(text, over).written_for(who)
            names = {note.pitch.note for note in line.notes}
            assert len({name.semitone for name in names}) == len(names), (text, chords, who)
