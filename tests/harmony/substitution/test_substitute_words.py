"""What is said of substitutes: the case that puzzles, and sentences against their numbers."""

import re

import pytest
import spoken
from hypothesis import given, strategies as st

from theorykit import Chord, Substitute, substitutes
from theorykit.harmony.substitution import substitute

HALF_STEP_BELOW = "major seventh chord a half step below I"

PUZZLE = {
    ("G7", "C"): (
        "Its notes B D♯ F♯ A♯ are 3 ♭13 7 ♯9 of G7.",
        "The same notes are ♭3 5 ♭7 9 of A♭m7, the related ii of the tritone substitute D♭7: Bmaj7 "
        "is A♭m7 with its 9 and without its root.",
        "The natural 7 of G7, F♯, is the 11 of D♭7 (G♭); there it wants to fall a half step to the "
        "3rd, F, which is the ♭7 of G7.",
        "Over D♭ the whole chord is ♭7 9 11 13: the suspended sound of D♭7.",
    ),
    ("Ab7", "Dbm"): (
        "Its notes C E G B are 3 ♭13 7 ♯9 of A♭7.",
        "The same notes are ♭3 5 ♭7 9 of Am7, the related ii of the tritone substitute D7: Cmaj7 "
        "is Am7 with its 9 and without its root.",
        "The natural 7 of A♭7, G, is the 11 of D7; there it wants to fall a half step to the 3rd, "
        "F♯, which is the ♭7 of A♭7 (G♭).",
        "Over D the whole chord is ♭7 9 11 13: the suspended sound of D7.",
    ),
    ("C#7", "F#"): (
        "Its notes F A C E are 3 ♭13 7 ♯9 of C♯7.",
        "The same notes are ♭3 5 ♭7 9 of Dm7, the related ii of the tritone substitute G7: Fmaj7 "
        "is Dm7 with its 9 and without its root.",
        "The natural 7 of C♯7, B♯, is the 11 of G7 (C); there it wants to fall a half step to the "
        "3rd, B, which is the ♭7 of C♯7.",
        "Over G the whole chord is ♭7 9 11 13: the suspended sound of G7.",
    ),
}


@pytest.mark.parametrize(("chords", "expected"), PUZZLE.items(), ids=str)
def test_the_case_that_puzzles_students_is_explained_from_both_sides(chords, expected):
    found = substitute(HALF_STEP_BELOW, *chords)
    assert found.sections[0][1][1:] == expected


# Voice leading from memory of handbooks: the 7 of ii falls to the 3 of V and the 7 of V to the 3 of
# I (Coker, Elements of the Jazz Language; Ligon, Connecting Chords with Linear Harmony); all four
# notes of the tritone substitute move by half steps into a triad (common practice).
@pytest.mark.parametrize(
    ("name", "chord", "told"),
    [
        ("related ii", "Dm7", "C falls a half step to B, the 3rd of G7"),
        ("related ii", "G7", "F falls a half step to E, the 3rd of I"),
        ("tritone substitute", "Db7", "C♭ rises a half step to C, the root of I"),
        ("tritone substitute", "Db7", "A♭ falls a half step to G, the 5th of I"),
        ("backdoor dominant", "Bb7", "A♭ falls a half step to G, the 5th of I"),
        ("suspended version", "G9sus4", "C stays as the root of I"),
    ],
)
def test_voices_lead_as_handbooks_teach(name: str, chord: str, told: str):
    found = substitute(name, "G7", "C")
    line = next(t for t in found.words if t.startswith(f"{Chord.parse(chord).pretty} to "))
    assert told in line


DOMINANTS = "7 9 13 7b9 7#9 7alt 9#11 13b9 7b9b13 7sus4 9sus4 7sus4b9 7#5".split()
TARGETS = ["", *"6 6/9 maj7 m m6 m(maj7) m7 7 m7b5 sus4 maj9".split()]
roots = st.sampled_from("C Db D Eb E F F# G Ab A Bb B C# Gb".split())
dominants = st.builds(lambda root, kind: root + kind, roots, st.sampled_from(DOMINANTS))
targets = st.builds(lambda root, kind: root + kind, roots, st.sampled_from(TARGETS))
homes = st.sampled_from([None, "major", "minor"])


@given(dominants, st.one_of(targets, homes))
def test_no_explanation_contradicts_its_own_numbers(dominant: str, target: str | None):
    for found in substitutes(dominant, target):
        sections = dict(found.sections)
        called = {chord.pretty: chord for chord in (*found.chords, found.target, found.dominant)}
        called["I"] = called["i"] = found.target
        _check_ways(found, sections["where it goes"], called)
        _check_shared(found, sections["what it shares"])
        for text in sections["what it is"]:
            _check_brings(found, text)
        for text in found.words:
            spoken.check_other_names(text)
        for text in sections["the bass"]:
            spoken.check_bass(text)
        for text in sections[f"over {found.dominant.pretty}"]:
            spoken.check_over(text)
        for text in sections["what rubs"]:
            list(spoken.claimed_moves(text.replace(": it ", f": {_named(text)} "), called))


def _check_brings(found: Substitute, text: str) -> None:
    """What each dominant of a family is said to bring over the original root."""
    root = found.dominant.root.semitone
    for name, said in re.findall(r"([A-G][♭♯]?7) brings ([♭♯\d ]+\d)", text):
        places = [(note.semitone - root) % 12 for note in Chord.parse(name).notes]
        assert [spoken.degree(word).semitone for word in said.split()] == places, text


def _named(text: str) -> str:
    """The note that an excuse speaks of: "It may pass as G♭, ..."."""
    found = re.match(rf"It may (?:pass|wait) as ({spoken.NOTE}),", text)
    return found[1] if found else ""


def _check_ways(found: Substitute, texts: tuple[str, ...], called: dict[str, Chord]) -> None:
    """Every chord tells all its moves and their sum; the last line compares with the original."""
    told = [text for text in texts if "for comparison" not in text]
    assert len(told) == len(found.chords)
    for text, one in zip(told, found.readings, strict=True):
        sizes = list(spoken.claimed_moves(text, called))
        assert len(sizes) == len(one.chord.notes)
        spoken.check_sum(text, sizes)
    for text in set(texts) - set(told):
        moves = found.plain_resolution.moves
        spoken.check_sum(text, [move.semitones for move in moves])


def _check_shared(found: Substitute, texts: tuple[str, ...]) -> None:
    """The notes said to be in common are just those, and the tritone is where it is said to be."""
    original = {note.semitone for note in found.dominant.notes}
    for text in texts:
        match = re.match(r"(\S+) and (\S+) have (\w+) notes? in common(?:: (.*))?\.", text)
        if not match:
            continue
        chord = Chord.parse(match[1])
        common = {note.semitone for note in chord.notes} & original
        listed = re.sub(r" \(written [^)]*\)", "", match[4] or "")
        said = [spoken.note(name) for name in re.findall(spoken.NOTE, listed)]
        assert sorted(said) == sorted(common)
        assert spoken.count(match[3]) == len(common)
    kept = [text for text in texts if text.startswith("The tritone is kept")]
    assert bool(kept) == found.keeps_tritone
    for text in kept:
        pair, places = re.search(r"kept: (.*), the .*, are (.*)\.", text).groups()
        chord = Chord.parse(places.rsplit(" of ", 1)[1])
        sounds = [spoken.note(name) for name in re.findall(spoken.NOTE, pair)]
        said = re.findall(rf"the ({spoken.DEGREE})", places)
        assert [spoken.tone(chord, spoken.degree(text)) for text in said] == sounds


def told(name: str, dominant: str, target: str) -> str:
    """Everything that is said of one substitute."""
    return " ".join(substitute(name, dominant, target).words)


def test_a_rub_against_the_chord_goes_with_the_chord_and_one_against_i_does_not():
    """Whoever plays E7 before C minor plays the major 3rd of C (common practice)."""
    assert "rub is gone" in told("related ii", "G7", "Cm")
    before_minor = told("dominant a minor third below", "G7", "Cm")
    assert "E is the major 3rd of C, and the tonic is minor." in before_minor
    assert "gone" not in before_minor
    assert "A♭7 and Dm7 in place of G7, those rubs are gone." in told("side step", "G7", "C")
    both = told("ii-V of the tritone substitute", "G7", "Am7")
    assert "Where the whole band plays A♭m7 in place of G7, that rub is gone." in both


def test_the_major_third_of_a_minor_i_counts_in_the_chord_before_it_and_no_earlier():
    """The E7 and A7 of a chain have D7 and G7 still to come."""
    assert "major 3rd of C" not in told("chain of dominants", "G7", "Cm6")


def test_a_tone_of_the_dominant_rubs_against_no_chord_that_follows():
    """D7 holds the F sharp itself that its own substitute brings."""
    assert "Nothing in it rubs over D7." in told("leading-note diminished chord", "D7", "Dm7")


@pytest.mark.parametrize(
    ("dominant", "target", "home"),
    [("G7", "Am7", "C"), ("Db7", "C", "G♭"), ("Bb7", "Cmaj7", "E♭"), ("F#7", "Gmaj7", "B")],
)
def test_where_v_does_not_go_home_nothing_is_said_of_i_but_by_its_name(dominant, target, home):
    v = Chord.parse(dominant).pretty
    for found in substitutes(dominant, target):
        ((common,),) = [texts for head, texts in found.sections if head == "where it is common"]
        assert " I," not in common
        assert not re.match(r"Before [Ii]\b", common)
        if home in common.split(" ("):
            assert common.startswith(f"Where {v} goes to {home}: ")
    text = told("tritone substitute", dominant, target)
    assert f"Where {v} goes to {home}: before {home}, most of all after the ii" in text
    step = told("side step", dominant, target)
    assert f"; then the line goes to {Chord.parse(target).pretty}." in step
    assert "the line goes home" in told("side step", "G7", "C6")


def test_a_two_five_that_points_where_it_goes_is_not_told_twice():
    text = told("ii-V of the tritone substitute", "Db7", "C")
    assert "a ii-V that points to C and goes there." in text


def test_before_a_minor_i_the_two_five_is_one_of_minor():
    assert "the two are the ii-V of C minor." in told("related ii", "G7", "Cm6")
    assert "the two are the ii-V of C." in told("related ii", "G7", "C6")


@pytest.mark.parametrize("dominant", ["G7sus4", "G9", "G13b9", "G7alt", "G7/B"])
def test_a_diminished_chord_is_the_plain_dominant_without_its_root(dominant: str):
    """Neither a suspended nor an altered chord with its flat 9 is a diminished seventh chord."""
    text = told("leading-note diminished chord", dominant, "C")
    assert text.startswith("Bdim7 is G7 with its ♭9 and without its root;")
    place = "G7" if dominant == "G7sus4" else Chord.parse(dominant).pretty
    assert f"it stands on the 3rd of {place}, a half step below C." in text


def test_a_dominant_over_another_bass_keeps_its_root_and_ends_the_falling_line():
    assert "G9sus4 keeps the root and holds C, the 4th" in told("suspended version", "G7/B", "C")
    assert "in half steps: B♭7, A7, A♭7, G7." in told("chain of dominants", "G7/B", "C")


# The name that a place in the key asks for, beside the one that is written; by hand.
WRITTEN_FOR = {
    ("Ab7", "Db"): ["B7 (written for C♭7) stands a whole step below D♭, as its ♭VII7",
                    "B7 (written for C♭7) has its root a minor third above A♭"],
    ("C#7", "F#m"): ["B♭7 (written for A♯7) has its root a minor third below C♯; it is also the V "
                     "of E♭ (written for D♯), a major sixth above F♯",
                     "on the 3rd of C♯7, E♯ (written F), a half step below F♯"],
    ("F#7", "Bm"): ["E♭7 (written for D♯7) has its root a minor third below F♯",
                    "on the 3rd of F♯7, A♯ (written B♭), a half step below B"],
    ("A7", "D"): ["D♭maj7 over A7: a major seventh chord on the 3rd of A7, C♯ (written D♭), a half "
                  "step below D"],
    ("G#7", "C#m"): ["B♭7 is the V of E♭7, which is written D♯7 here.",
                     "B♭ falls a fifth to D♯ (E♭)", "half steps: B7, B♭7, A7, G♯7."],
    ("D#7", "G#m"): ["F7 is the V of B♭7, which is written A♯7 here.",
                     "half steps: F♯7, F7, E7, D♯7."],
}  # fmt: skip


@pytest.mark.parametrize(("chords", "expected"), WRITTEN_FOR.items(), ids=str)
def test_a_name_from_the_other_side_tells_what_it_is_written_for(chords, expected):
    text = " ".join(text for found in substitutes(*chords) for text in found.words)
    for said in expected:
        assert said in text


def test_other_names_are_found_and_sound_alike():
    texts = [text for found in substitutes("G#7", "C#m") for text in found.words]
    assert sum(map(spoken.check_other_names, texts)) > 10
    with pytest.raises(AssertionError):
        spoken.check_other_names("B7 (written for D♭7) stands a whole step below D♭.")


@pytest.mark.parametrize("chords", [("G7", "C"), ("C7", "Fm6"), ("Bb7", "Eb"), ("E7", "Am")])
def test_where_every_name_is_the_one_asked_for_nothing_is_added(chords):
    text = " ".join(text for found in substitutes(*chords) for text in found.words[:2])
    assert "written for" not in text
    for found in substitutes(*chords):
        assert "(" not in " ".join(dict(found.sections)["the bass"])


def test_before_c_flat_the_diminished_chord_stands_on_b_flat():
    """The 3rd of G flat 7; on A sharp the bass would rise to C flat by no step at all."""
    assert str(substitute("leading-note diminished chord", "Gb7", "Cb").chords[0]) == "Bbdim7"
