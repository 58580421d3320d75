"""Names of notes and chords in prose: what is taken for one, and where it goes for each reader."""

import pytest

from theorykit.errors import TheoryError
from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import KINDS, LineBlock, TuneBlock, keyed, sections_of
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.files import Order
from theorykit.handout.names import checked_typed, idle_words, moved_names, names_in
from theorykit.handout.page import Engraver
from theorykit.notes.key import Key
from theorykit.notes.reader import reader

# Written by hand: what a reader of the page would take for the name of a note or a chord.
READ = {
    "Which note bends B flat 7?": ("B flat 7",),
    "an E triad on A, then D♭maj7 and G7(b9)": ("E", "A", "D♭maj7", "G7(b9)"),
    "A triad is enough. A good one.": (),
    "Sing A. Then A, C and E; from A to D": ("A", "A", "C", "E", "A", "D"),
    "A C E are the notes": ("A", "C", "E"),
    "Am I ready? Am7 is not": ("Am7",),
    "the B section, letter C, Plan B, bar D, A1 and B2": (),
    "E flat instruments, trumpet in B flat, the E string, F horn": (),
    "A natural way. The A natural, then E natural minor; play B-natural": (
        "A natural",
        "E",
        "B-natural",
    ),
    "A natural, relaxed sound helps.": (),
    "E. Thirds lead. Begin with E. Relax. Target B. Breathe.": ("E", "E", "B"),
    "Am Groove, Am Vamp in three. Over Am 7. Hold D building to G7": (
        *("Am", "Am", "Am", "D", "G7"),
    ),
    "A natural, singing tone: breathe.": (),
    "A natural. A natural, C and E! Sing A natural, then rest": (
        *("A natural", "A natural", "C", "E", "A natural"),
    ),
    "The A Natural Minor scale, The E Natural Harmonic, the E natural 3rd": ("A", "E", "E"),
    "E natural seventh, B natural\nminor, E natural  minor. B natural\n\nSecond E natural": (
        *("E", "B", "E", "B natural", "E natural"),
    ),
    "Its b9, Bbb. Not F## but Gb": ("Bbb", "F##", "Gb"),
    "Questions to Mr. B. Adams, Lindenhof, Am Markt 7.": (),
    "Dr. J. E. Weber, with Ida D. Holm and by A. Berg; Adams, B., Am Ring 3": (),
    "We meet Am 3. Mai, Am Sonntag, in hall C, 4 D Street": (),
    "Land on B. Adamant? Resolve to E. Then G7. Play over D. It is the 9th.": (
        "B",
        "E",
        "G7",
        "D",
    ),
    "E. Natural 13 of G7. Play with B. Then C. Start on Am Dorian, Am Pentatonic, Am Then E": (
        "E",
        "G7",
        "B",
        "C",
        "Am",
        "Am",
        "Am",
        "E",
    ),
    "Over Am. Next: Am, Am7 and Em. From A to D. Sing it": ("Am", "Am", "Am7", "Em", "A", "D"),
    "Blues in F, in F sharp minor, D-flat, F#m7b5/E": ("F", "F sharp", "D-flat", "F#m7b5/E"),
}


@pytest.mark.parametrize(("text", "names"), READ.items())
def test_names_are_told_from_other_capitals(text, names):
    assert names_in(text) == names


# By hand, from concert pitch: a whole step up, a major sixth up, a fifth up.
MOVED = {
    "B flat": "an A♭7 on B♭, a G♯m7♭5, C7",
    "E flat": "an E♭7 on F, a D♯m7♭5, G7",
    "F": "a D♭7 on E♭, a C♯m7♭5, F7",
    "concert": "a G♭7 on A♭, an F♯m7♭5, B flat 7",
    "guitar": "a G♭7 on A♭, an F♯m7♭5, B flat 7",
}


@pytest.mark.parametrize(("who", "moved"), MOVED.items())
def test_names_are_moved_with_their_articles(who, moved):
    concert = Key.parse("C")
    text = "a Gb7 on Ab, an F#m7b5, B flat 7"
    assert moved_names(text, (), concert, reader(who).written_key(concert)) == moved


# By hand: the natural of one page is a sharp of another.
NATURALS = {
    "B flat": "The B natural, written C♭, and an F♯.",
    "E flat": "The F♯, written G♭, and a C♯.",
    "F": "The E natural, written F♭, and a B natural.",
    "concert": "The A natural, written B♭♭, and an E natural.",
    "guitar": "The A natural, written B♭♭, and an E natural.",
}


@pytest.mark.parametrize(("who", "moved"), NATURALS.items())
def test_a_natural_in_words_is_said_where_it_still_is_one(who, moved):
    concert = Key.parse("Db")
    text = "The A natural, written Bbb, and an E natural."
    assert moved_names(text, (), concert, reader(who).written_key(concert)) == moved


# By hand: the letter alone goes where the alto has it, and the scale keeps its name.
SHAPES = {
    "A natural, relaxed sound helps.": "A natural, relaxed sound helps.",
    "On the A Natural Minor scale.": "On the F♯ Natural Minor scale.",
    "The E Natural Harmonic, an E natural seventh.": (
        "The C♯ Natural Harmonic, a C♯ natural seventh."
    ),
    "On B natural\nminor, E natural  minor.": "On G♯ natural\nminor, C♯ natural  minor.",
}


@pytest.mark.parametrize(("text", "moved"), SHAPES.items())
def test_a_natural_is_no_sign_where_it_belongs_to_a_scale_or_a_sentence(text, moved):
    alto = reader("E flat").written_key(Key.parse("C"))
    assert moved_names(text, (), Key.parse("C"), alto) == moved


@pytest.mark.parametrize("typed", ["E", "E natural", "An E"])
def test_a_letter_as_typed_keeps_its_natural(typed):
    """A sheet that was kept with the letter alone reads as it did."""
    concert, alto = Key.parse("C"), Key.parse("A")
    said = moved_names("An E natural. G7.", (), concert, alto, [typed])
    assert said == "An E natural. E7."
    assert idle_words(["An E natural. G7."], [typed]) == ()


@pytest.mark.parametrize(
    ("text", "moved"),
    [("An E natural.", "A C♯."), ("E flat, E, E/G, E way", "C, C♯, C♯/E, C♯ way")],
)
def test_a_listed_letter_takes_no_name_apart(text, moved):
    assert moved_names(text, ["E"], Key.parse("C"), Key.parse("A")) == moved


@pytest.mark.parametrize("who", ["concert", "B flat", "E flat", "F", "bass clef", "guitar"])
def test_a_question_and_its_answer_are_in_one_key(who):
    """The answer is the flat 9 of the chord that is asked about, on every page."""
    asked = Question(question="Which note bends B flat 7?", answer="C flat, its flat 9.")
    (section,) = sections_of([QuestionBlock(questions=(asked,))], Engraver(reader(who)))
    (piece,) = section.pieces
    wanted = {
        "B flat": ("Which note bends C7?", "D♭, its flat 9."),
        "E flat": ("Which note bends G7?", "A♭, its flat 9."),
        "F": ("Which note bends F7?", "G♭, its flat 9."),
    }
    assert (piece.question, piece.answer) == wanted.get(who, (asked.question, asked.answer))
    assert section.answers == ((1, piece.answer),)


# By hand: the b9 of the dominant that the question names, and the #9 of B7, as each page has them.
DOUBLES = {
    "concert": ("A♭7", "B♭♭", "B7", "C♯♯"),
    "B flat": ("B♭7", "C♭", "C♯7", "D♯♯"),
    "E flat": ("F7", "G♭", "G♯7", "A♯♯"),
    "F": ("E♭7", "F♭", "F♯7", "G♯♯"),
}


@pytest.mark.parametrize("who", DOUBLES)
def test_a_note_with_two_flats_or_sharps_moves_with_its_chord(who):
    concert = Key.parse("C")
    flat, bent, sharp, raised = DOUBLES[who]
    said = moved_names(
        "Over Ab7 bend Bbb, over B7 C##.", [], concert, reader(who).written_key(concert)
    )
    assert said == f"Over {flat} bend {bent}, over {sharp} {raised}."


# By hand: the b9 of E flat 7 and the 3rd of C sharp 7 stay these degrees; a triad and a key that
# would stand on C flat or E sharp are written on B and F, as one reads them.
DEGREES = {
    "concert": ("E♭7", "F♭", "C♯7", "E♯", "An F♭ triad", "F♭"),
    "F": ("B♭7", "C♭", "G♯7", "B♯", "A B triad", "B"),
}


@pytest.mark.parametrize("who", DEGREES)
def test_a_note_in_prose_stays_the_degree_that_it_was(who):
    concert = Key.parse("C")
    over, flat, under, third, triad, key = DEGREES[who]
    said = moved_names(
        "Over Eb7 its b9, Fb. Over C#7 its 3rd, E#. An Fb triad, in Fb.",
        *([], concert, reader(who).written_key(concert)),
    )
    wanted = f"Over {over} its ♭9, {flat}. Over {under} its 3rd, {third}. {triad}, in {key}."
    assert said == wanted


def test_degrees_in_prose_have_their_signs_unless_they_are_left_or_count_something():
    concert = Key.parse("C")
    text = "The b3, #11 (b9). Tune #5; bar b9a, 7b9, sub-b5. #4 waits."
    said = moved_names(text, [], concert, concert)
    assert said == "The ♭3, ♯11 (♭9). Tune #5; bar b9a, 7b9, sub-b5. #4 waits."
    assert moved_names(text, [], concert, concert, ["b9"]) == said.replace("(♭9)", "(b9)")


def test_the_teacher_says_no_and_yes():
    handout = Handout("Over G7: plan E", note="Tune X.", as_typed=("E",))
    assert handout.said_to(reader("B flat"))[0] == "Over A7: plan E"
    assert Handout.parse(str(handout)) == handout
    assert Handout("A way on", names=("A",)).said_to(reader("B flat"))[0] == "B way on"


@pytest.mark.parametrize("words", [("",), ("x" * 41,), ("a\nb",), ("E",) * 61, (None,), (7,)])
def test_words_as_typed_are_words(words):
    with pytest.raises(TheoryError, match="as typed"):
        checked_typed(words)


# By hand; common practice: a phrase is in the key of the chord that it comes home to.
KEYS = {
    "Gm7 C7 | F6": "F major",
    "Ebm7 Ab7 | Dbmaj7": "Db major",
    "Cm7b5 F7b9 | Bbm6": "Bb minor",
    "G#m7 C#7 | F#maj7": "F# major",
    "Dm7 | G7": "C major",
    "Dm7b5 | G7b9": "C minor",
    "F7 | Bb7 | F7 | F7": "F major",
}


@pytest.mark.parametrize(("changes", "key"), KEYS.items())
def test_changes_give_their_key_unless_it_is_told(changes, key):
    assert str(LineBlock(line="", changes=changes).music().progression.key) == key
    told = LineBlock(line="", changes=changes, key="A" if "minor" not in key else "A minor")
    assert told.music().progression.key == Key.parse(told.key)
    assert told.words_key == Key.parse(told.key)


def test_without_changes_and_without_a_key_it_is_c_as_before():
    block = LineBlock(line="", form="short")
    assert (str(block.words_key), block.own_title) == ("C major", "line in C")
    assert Edition("B flat").who.written_key(block.words_key) == Key.parse("D")


@pytest.mark.parametrize(
    ("text", "moved"),
    [
        ("Over G#7 the B# and D#.", "Over F7 the A and C."),
        ("Over G#7b9 the B#, D#, A.", "Over F7♭9 the A, C, F♯."),
    ],
)
def test_notes_after_a_chord_with_a_plainer_name_are_notes_of_that_chord(text, moved):
    """The alto's page of a sheet in A is in F sharp, where G sharp 7 is written as F7."""
    concert = Key.parse("A")
    assert moved_names(text, (), concert, reader("E flat").written_key(concert)) == moved


@pytest.mark.parametrize(
    "text", ["Lesson #5, page #4.", "Tunes #4 and #5.", "See chart #4.", "Weeks #5, #9 and #11."]
)
def test_what_is_counted_is_no_degree(text):
    concert = Key.parse("C")
    assert moved_names(text, (), concert, concert) == text


def test_a_phrase_as_typed_keeps_the_names_in_it_and_no_others():
    concert, alto = Key.parse("C"), Key.parse("A")
    text = "Bring it to the C Club at 8. Over C7 land on C, its b7 is not C."
    said = moved_names(text, (), concert, alto, ["C Club", "b7", "D"])
    assert said == "Bring it to the C Club at 8. Over A7 land on A, its b7 is not A."
    assert idle_words([text], ["C Club", "b7", "D", "Over"]) == ("D", "Over")


SHEET_KEYS = {
    "Bb": "| Cm7 | F7 | Bb6 | % |",
    "F#": "| G#m7 | C#7 | F#6 | % |",
    "Bb minor": "| Cm7b5 | F7b9 | Bbm6 | % |",
}


@pytest.mark.parametrize("key", SHEET_KEYS)
def test_a_block_without_a_key_stands_in_the_key_of_the_tune_of_its_sheet(key):
    """The whole band played guide tones in C from a sheet with a tune in B flat."""
    tune = TuneBlock(chart=f"key: {key}\n{SHEET_KEYS[key]}", lines="none")
    bare = [KINDS[kind](**more) for kind, more in KEYLESS.items()]
    for blocks in ((*bare, tune), (tune, *bare)):
        found = [one for one in keyed(blocks) if one is not tune]
        assert [one.words_key for one in found] == [Key.parse(key)] * len(bare)
    own = LineBlock(line="", key="A"), LineBlock(line="", changes="Gm7 C7 | F6")
    assert keyed((tune, *own))[1:] == own


KEYLESS = {"guide tones": {}, "staves": {}, "line": {"line": ""}, "line in all keys": {"line": ""}}


def test_what_is_printed_and_heard_of_a_block_without_a_key_agrees_with_the_tune():
    tune = TuneBlock(chart="key: Bb\n| Cm7 | F7 | Bb6 |", lines="none")
    handout = Handout("Thursday", blocks=(tune, GuideToneBlock()))
    order = Order.of(handout, handout.blocks, "", "concert", "sound", "mp3")
    assert any("guide tones in Bb" in name for name in order.names)
    assert "Cm7 F7" in sections_of(handout.blocks, Engraver())[1].heading
    assert str(handout).endswith('kind = "guide tones"\n')  # and goes with the tune to another key


def test_without_a_tune_the_first_changes_of_a_sheet_give_the_key():
    found = keyed((GuideToneBlock(), LineBlock(line="", changes="Gm7 C7 | F6")))
    assert str(found[0].words_key) == "F major"
    assert keyed((GuideToneBlock(),)) == (GuideToneBlock(),)
