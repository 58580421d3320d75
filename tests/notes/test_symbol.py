"""Reading chord symbols: the spellings of lead sheets, piles of marks, and refusals."""

from itertools import permutations

import pytest
from hypothesis import given, strategies as st
from plain import names
from too_long import LONGEST_SYMBOLS

from theorykit import Chord, TheoryError
from theorykit.notes.kinds import SPELLINGS

# What lead sheets write (common practice), and the one way in which it is printed.
READ = {
    "Cm7": "Cm7", "C-7": "Cm7", "C−7": "Cm7", "Cmi7": "Cm7", "Cmin7": "Cm7",
    "Cmaj7": "Cmaj7", "Cma7": "Cmaj7", "CM7": "Cmaj7", "CMaj7": "Cmaj7", "C△7": "Cmaj7",
    "CΔ": "Cmaj7", "CΔ7": "Cmaj7", "C∆": "Cmaj7",
    "Cø": "Cm7b5", "Cø7": "Cm7b5", "Cm7b5": "Cm7b5", "C-7b5": "Cm7b5", "Cmin7(b5)": "Cm7b5",
    "C-7(♭5)": "Cm7b5", "CØ": "Cm7b5", "Cm7-5": "Cm7b5",
    "Co": "Cdim", "C°": "Cdim", "Cdim": "Cdim", "Co7": "Cdim7", "C°7": "Cdim7", "Cdim7": "Cdim7",
    "C+": "Caug", "Caug": "Caug", "C7#5": "C7#5", "C+7": "C7#5", "C7+": "C7#5", "C7+5": "C7#5",
    "C6": "C6", "C6/9": "C6/9", "C69": "C6/9", "Cmaj6": "C6",
    "Cm6": "Cm6", "C-6": "Cm6", "Cm(maj7)": "Cm(maj7)", "CmMaj7": "Cm(maj7)", "C-Δ": "Cm(maj7)",
    "CmM7": "Cm(maj7)", "Cmin/maj7": "Cm(maj7)", "C-△7": "Cm(maj7)",
    "C9": "C9", "C11": "C11", "C13": "C13", "Cmaj9": "Cmaj9", "Cmaj13": "Cmaj13", "CΔ9": "Cmaj9",
    "Cm9": "Cm9", "Cm11": "Cm11", "Cm13": "Cm13", "C-9": "Cm9",
    "Csus": "Csus4", "Csus2": "Csus2", "Csus4": "Csus4", "C7sus4": "C7sus4", "C7sus": "C7sus4",
    "C9sus": "C9sus4", "C13sus": "C13sus4", "C7susb9": "C7sus4b9", "C7(b9)sus": "C7sus4b9",
    "C7sus(♭9)": "C7sus4b9", "Cmaj7sus4": "Cmaj7sus4", "Cm7sus4": "C7sus4",
    "C7alt": "C7alt", "Calt": "C7alt", "C7(alt)": "C7alt",
    "C7b9b13": "C7b9b13", "C7(b9,#11)": "C7b9#11", "C13(♭9 ♯11)": "C13b9#11", "C7#9#5": "C7#5#9",
    "C7(b9)(#11)": "C7b9#11", "C7-9": "C7b9", "C7+9": "C7#9", "C7+11": "C7#11", "C7b9♮13": "C13b9",
    "C7♮9": "C9", "Cmaj7(#11)": "Cmaj7#11", "C9#11": "C9#11", "Cm9(11)": "Cm11",
    "Cadd9": "Cadd9", "C(add9)": "Cadd9", "C2": "Cadd9", "Cmadd9": "Cmadd9", "Cmadd11": "Cmadd11",
    "C-add11": "Cmadd11", "Cmaddb6": "Cmaddb6", "Cadd#11": "Cadd#11", "C7add13": "C7add13",
    "C7(13)": "C7add13", "C7add6": "C7add6",
    "Cno3": "C5", "C5": "C5", "Comit3": "C5", "C omit3": "C5", "Comit5": "Cno5", "C7no5": "C7no5",
    "C7omit5": "C7no5", "C7 omit 3rd": "C7no3", "C9no5": "C9no5", "C13no9": "C7add13",
    "C7b5": "C7b5", "C(b5)": "C(b5)", "C7b6": "C7b13", "C7#4": "C7#11",
    "C/E": "C/E", "C/Bb": "C/Bb", "C6/9/E": "C6/9/E", "C6/E": "C6/E", "Cm/maj7/G": "Cm(maj7)/G",
    "C/Ebb": "C/Ebb", "C7/B♭": "C7/Bb", "C / G": "C/G", "C/C": "C",
    "Cb5": "Cb5", "C#9": "C#9", "Db9": "Db9", "C♭": "Cb", "F♯m7♭5": "F#m7b5", "E♮7": "E7",
    " C7 ": "C7", "C 7": "C7", "C7 b9": "C7b9", "C7()": "C7",
    "CMI7": "Cm7", "CMIN7": "Cm7", "CMA7": "Cmaj7", "AMAJ7": "Amaj7", "DbMI6": "Dbm6",
    "CMI7(b5)": "Cm7b5", "CDIM7": "Cdim7", "CAUG": "Caug", "C7SUS4": "C7sus4", "C7ALT": "C7alt",
    "CADD9": "Cadd9", "CMADD9": "Cadd9", "FMI(MA7)": "Fm(maj7)", "EMI7/A": "Em7/A",
    "Cm9(maj7)": "Cm(maj9)", "Cm7(maj7)": "Cm(maj7)", "Cm(maj7,9)": "Cm(maj9)",
    "Cm(+7)": "Cm(maj7)", "Cm(#7)": "Cm(maj7)", "C-#7": "Cm(maj7)", "Cm9(#7)": "Cm(maj9)",
    "C(maj7)": "Cmaj7", "C+(maj7)": "Cmaj7#5", "Csus4(maj7)": "Cmaj7sus4",
    "C7(b9/b13)": "C7b9b13", "C7(b9/b13)/E": "C7b9b13/E", "C7b9/b13": "C7b9b13", "C7/9": "C9",
    "Csus(9)": "C9sus4", "Csus4(9)": "C9sus4", "Csus(13)": "C13sus4", "Csus(b9,13)": "C13sus4b9",
    "Gsusb9": "G7sus4b9", "Gsus(b9)": "G7sus4b9", "Gsus4(b9)": "G7sus4b9",
    "Gsus4addb9": "Gsus4addb9",
    "N.C.": "N.C.", "NC": "N.C.",
}  # fmt: skip


@pytest.mark.parametrize("text", READ)
def test_a_symbol_is_read_and_printed_in_one_spelling(text: str):
    chord = Chord.parse(text)
    assert str(chord) == READ[text]
    assert Chord.parse(str(chord)) == chord


@pytest.mark.parametrize(
    ("symbol", "degrees"),
    # What the common symbols mean (MacDonald, Chordal extensions & alterations, undated; common
    # practice).
    [
        ("C9", "1 3 5 b7 9"), ("C13", "1 3 5 b7 9 13"), ("C7b9b13", "1 3 5 b7 b9 b13"),
        ("C7#9#5", "1 3 #5 b7 #9"), ("C13b9", "1 3 5 b7 b9 13"), ("C9#11", "1 3 5 b7 9 #11"),
        ("C7alt", "1 3 b7 b9 #9 #11 b13"), ("C6/9", "1 3 5 6 9"), ("Cadd9", "1 3 5 9"),
        ("C7sus4", "1 4 5 b7"), ("Cdim7", "1 b3 b5 bb7"), ("C7b5#5", "1 3 b5 #5 b7"),
        ("C7b9#9", "1 3 5 b7 b9 #9"), ("Csus4add3", "1 3 5 11"), ("C7no1", "3 5 b7"),
    ],
)  # fmt: skip
def test_the_degrees_of_common_symbols(symbol: str, degrees: str):
    assert names(Chord.parse(symbol).degrees) == degrees


@pytest.mark.parametrize("base", ["7", "9", "13", "maj7", "m7", "7sus4"])
@pytest.mark.parametrize(
    "pile", [("b9", "#11", "b13"), ("#9", "b13", "#11"), ("b9", "b13", "add6")]
)
def test_a_pile_of_marks_means_the_same_in_any_order_and_dress(base: str, pile: tuple[str, ...]):
    dresses = ["C{}{}", "C{}({})"]
    read = {
        Chord.parse(dress.format(base, joint.join(order)))
        for order in permutations(pile)
        for dress in dresses
        for joint in ("", ",", " ", ", ")
    }
    assert len(read) == 1
    assert Chord.parse(str(*read)) in read


MARKS = (
    *("b5", "#5", "b9", "#9", "#11", "b13", "+", "9", "11", "13", "6", "sus", "sus2", "sus4"),
    *("add9", "add11", "add13", "add#11", "addb9", "addb13", "add6", "addb6", "add3", "addb7"),
    *("no1", "no3", "no5", "omit5", "no9"),
)
ROOTS = st.builds(str.__add__, st.sampled_from("ABCDEFG"), st.sampled_from(["", "b", "#"]))
PILES = st.lists(st.sampled_from(MARKS), max_size=5, unique=True)
JOINTS = st.sampled_from(["", ",", " "])


@given(ROOTS, st.sampled_from(sorted(SPELLINGS)), PILES, JOINTS, st.booleans())
def test_whatever_is_read_is_printed_so_that_it_is_read_again(
    root: str, base: str, pile: list[str], joint: str, bracketed: bool
):
    marks = joint.join(pile)
    text = f"{root}{base}({marks})" if bracketed else f"{root}{base}{joint}{marks}"
    try:
        chord = Chord.parse(text)
    except TheoryError:
        return  # a pile that contradicts itself; what must be read is in the tables above
    assert Chord.parse(str(chord)) == chord
    assert Chord.parse(chord.pretty) == chord
    assert str(Chord.parse(str(chord))) == str(chord)


@given(PILES.filter(bool), st.randoms(use_true_random=False))
def test_the_order_of_a_random_pile_does_not_matter(pile: list[str], random):
    shuffled = random.sample(pile, len(pile))
    assert outcome("C7(" + " ".join(pile) + ")") == outcome("C7(" + " ".join(shuffled) + ")")


def outcome(text: str) -> object:
    """The chord that is read, or that it is refused."""
    try:
        return Chord.parse(text)
    except TheoryError:
        return "refused"


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_in_one_sentence(text: str):
    try:
        said = str(Chord.parse(str(Chord.parse(text))) == Chord.parse(text))
    except TheoryError as refusal:
        said = str(refusal)
    assert said == "True" or said.startswith("not a chord: ")
    assert said.isprintable()


# The place is counted from 1 in what the reader typed.
REFUSED = {
    "Co omit5": ("character 4", "no plain 5 to leave out"),
    "H7": ("character 1", "'H' is no root"),
    "c7": ("character 1", "'c' is no root"),
    "Cmaj7b": ("character 6", "'b' is no mark"),
    "C/X": ("character 3", "'X' is no bass note"),
    "C7/": ("character 4", "'' is no bass note"),
    "": ("it is empty", "a root A-G"),
    "   ": ("it is empty", "a root A-G"),
    "  H7": ("character 3", "'H' is no root"),
    "Cbb7": ("character 3", "at most one accidental"),
    "C##": ("character 3", "at most one accidental"),
    "C7(b9": ("character 3", "a bracket stays open"),
    "C7b9)": ("character 5", "a bracket closes"),
    "C7b10": ("character 3", "'b10' does not fit"),
    "Csus2sus4": ("character 6", "'sus4' does not fit"),
    "Cmaj7sus2sus4": ("character 10", "'sus4' does not fit"),
    "C7no9": ("character 3", "no plain 9 to leave out"),
    "C7b5no3omit9": ("character 8", "no plain 9 to leave out"),
    "Cm7add3": ("character 4", "cannot have the 3 as well"),
    "Cmaj7addb7": ("character 6", "cannot have the b7 as well"),
    "Cdim7sus4": ("character 6", "'sus4' does not fit"),
    "Cdim7#5": ("character 6", "'#5' does not fit"),
    "C5no1no5": ("character 3", "no note is left"),
    "C4": ("character 2", "'4' does not fit"),
    "C7;b9": ("character 3", "is no mark"),
    "C7\x00": ("character 3", r"'\x00' is no mark"),
    "\x1b[31mC": ("character 1", r"'\x1b' is no root"),
    "C7😀": ("character 3", "is no mark"),
    "🎷": ("character 1", "is no root"),
    "C" * 10_000: ("(10000 characters)", "at most 64 characters"),
    "C7" + "b9" * 5_000: ("(10002 characters)", "at most 64 characters"),
    "C" + "(" * 60: ("character 2", "a bracket stays open"),
}


@pytest.mark.parametrize("text", REFUSED, ids=lambda text: repr(text[:12]))
def test_what_is_no_chord_is_refused_with_the_place_and_the_reason(text: str):
    with pytest.raises(TheoryError) as refusal:
        Chord.parse(text)
    for part in REFUSED[text]:
        assert part in str(refusal.value)
    assert len(str(refusal.value)) < 300


# What a player calls the chord, and the symbols that it may stand for (common practice).
IN_WORDS = {
    "C major": "C or Cmaj7",
    "C minor": "Cm or Cm7",
    "Cmajor": "C or Cmaj7",
    "Bb major": "Bb or Bbmaj7",
    "F# Minor": "F#m or F#m7",
    "C dominant": "C7",
    "C dominant 7": "C7",
    "Db dominant seventh": "Db7",
    "C major 7": "Cmaj7",
    "E minor seventh": "Em7",
    "Cminor7": "Cm7",
    "C minor major 7": "Cm(maj7)",
    "C diminished": "Cdim or Cdim7",
    "C diminished seventh": "Cdim7",
    "C half diminished": "Cm7b5",
    "C half-diminished seventh": "Cm7b5",
    "G augmented": "Gaug",
    "G7 suspended": "G7sus4",
    "B flat": "Bb or Bbmaj7",
    "B flat 7": "Bb7",
    "E-flat minor": "Ebm or Ebm7",
    "F sharp minor seven": "F#m7",
    "G7 sharp 9 flat 13": "G7#9b13",
    "A flat thirteenth flat nine": "Ab13b9",
    "D minor 7/G": "Dm7/G",
}


@pytest.mark.parametrize("text", IN_WORDS)
def test_a_chord_in_words_is_refused_with_the_symbol_that_is_meant(text: str):
    with pytest.raises(TheoryError) as refusal:
        Chord.parse(text)
    wanted = IN_WORDS[text]
    assert str(refusal.value) == f"not a chord: {text!r} (a symbol, not words; want {wanted})"
    for symbol in wanted.split(" or "):
        assert str(Chord.parse(symbol)) == symbol


@pytest.mark.parametrize("text", ["Dominant", "major", "H minor", "C minorish", "C flat flat 7"])
def test_words_that_make_no_chord_are_refused_as_before(text: str):
    with pytest.raises(TheoryError, match="at character"):
        Chord.parse(text)


# What hands write that is no symbol of ours, and what they mean by it (common practice).
MEANT = {
    "c7": "C7", "bbmaj7": "Bbmaj7", "H7": "B7", "Hm7b5": "Bm7b5", "C^7": "Cmaj7", "Cj7": "Cmaj7",
    "C(#7)": "Cmaj7", "Cm+7": "Cm(maj7)", "C13(maj7)": "Cmaj13", "C4": "Csus4", "C/9": "Cadd9",
    "C7b10": "C7#9", "C7(b9": "C7b9", "C7b9)": "C7b9", "C7;b9": "C7b9", "Cbb7": "Bb7",
    "F##m": "Gm", "B##7": "C#7", "C7th": "C7", "Cdom": "C7", "Cm(b7)": "Cm7", "C(b7)": "C7",
    "Dm7 G7": "Dm7 and then G7", "Dm7 | G7/B": "Dm7 and then G7/B",
}  # fmt: skip


@pytest.mark.parametrize("text", MEANT)
def test_a_refusal_says_what_is_probably_meant(text: str):
    with pytest.raises(TheoryError) as refusal:
        Chord.parse(text)
    assert str(refusal.value).endswith(f"; probably {MEANT[text]} is meant)")
    assert len(str(refusal.value)) < 300


def test_a_chord_of_which_nothing_is_known_is_refused_without_a_guess():
    for text in ("Q", "C7b5no3omit9", "Cdim7sus4", "😀", "??", "1 2 3"):
        with pytest.raises(TheoryError) as refusal:
            Chord.parse(text)
        assert "probably" not in str(refusal.value)


@pytest.mark.parametrize("wrong", [None, 7, ["C"], b"C"])
def test_what_is_no_text_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a chord"):
        Chord.parse(wrong)  # type: ignore[arg-type]


def test_the_longest_symbols_are_refused():
    """How soon, a bench measures."""
    for text in LONGEST_SYMBOLS:
        with pytest.raises(TheoryError):
            Chord.parse(text)


@pytest.mark.parametrize(
    "text", ["F# melodic m\u0131nor", "C \u017feventh", "B mi\u0130nor", "D \u017fharp"]
)
def test_letters_that_look_like_ours_are_refused_in_words(text: str):
    """A dotless i and a long s were taken for i and s, and then not found in the table."""
    with pytest.raises(TheoryError, match="not a chord"):
        Chord.parse(text)
