"""Every kind of question, about every topic, in every key, at every level."""

import random

import pytest
from music21 import chord as chords21, interval, pitch
from outside import as_music21
from said_facts import facts
from sweeps import KEYS_TRIED, SWEPT_KEYS, some_and_all
from together import together

from theorykit import KINDS_OF_QUESTION, Key, TheoryError, question
from theorykit.notes.key import KEYS
from theorykit.study.questions import LEVELS, WAYS, QuestionKind
from theorykit.tunes.progression import FORMS

FEW = {"plain or coloured", "major or minor target", "form by ear", "substitute by ear",
       "guide tones over the loop", "wrong note"}  # fmt: skip
NAMED = [kind.name for kind in KINDS_OF_QUESTION]


def asked(kind: QuestionKind, keys, levels=LEVELS, seed=1):
    """Every question of a kind in some keys."""
    for topic in kind.topics:
        for key in keys:
            if kind.fits(topic, key):
                for level in levels:
                    yield question(kind, level=level, keys=[key], seed=seed, topic=topic)


def test_the_kinds_cover_the_ways_and_have_names_of_their_own():
    assert {kind.way for kind in KINDS_OF_QUESTION} == set(WAYS)
    assert len(set(NAMED)) == len(NAMED) == 22
    assert all(len(set(kind.topics)) == len(kind.topics) for kind in KINDS_OF_QUESTION)


@pytest.mark.parametrize("kind", KINDS_OF_QUESTION, ids=str)
@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_the_answer_is_right_and_near_misses_are_wrong_and_told_as_what_they_are(kind, keys):
    count = 0
    for one in asked(kind, keys):
        count += 1
        own = one.judge(one.answer)
        assert own.right, (one.prompt, one.answer, own.words)
        assert one.near_misses, one.prompt
        for words in (own.words, *(one.judge(miss).words for miss in one.near_misses)):
            assert words.endswith("."), words
            assert words[0].isupper() or words[0] in "♭♯" or words[0].isdigit(), words
            assert [claim for claim, agrees in facts(words) if not agrees] == [], words
        for miss in one.near_misses:
            assert not one.judge(miss).right, (one.prompt, miss)
            assert one.judge(miss).words != own.words
        assert one.hint
        assert one.prompt
        assert one.key in keys
    assert count


@pytest.mark.parametrize(
    "kind",
    [
        "degree of a note", "note of a degree", "where a note goes", "guide tones", "target note",
        "top note", "landing by ear", "shortcut over V", "wrong note",
    ],
)  # fmt: skip
def test_what_judges_say_is_compared_with_intervals(kind):
    """The check above is none where a sentence makes no claim that it can read."""
    found = [
        claim
        for one in asked(KINDS_OF_QUESTION[NAMED.index(kind)], KEYS_TRIED, levels=(2,))
        for miss in one.near_misses
        for claim in facts(one.judge(miss).words)
    ]
    assert len(found) >= 4


def test_a_false_claim_is_found():
    assert [agrees for _, agrees in facts("G is the ♭7th of A♭7. The 9 of C7 is D.")] == [
        False,
        True,
    ]


@pytest.mark.parametrize("kind", KINDS_OF_QUESTION, ids=str)
def test_a_level_offers_what_it_says(kind):
    for one in asked(kind, KEYS_TRIED):
        if one.is_report:  # who was lost must be able to say so at every level
            assert one.choices == ("clean", "with slips", "lost")
        elif one.level == 1:
            assert len(one.choices) == 2
        elif one.level == 2 and kind.name not in FEW:
            assert len(one.choices) == 4
        elif one.level == 3:
            assert bool(one.choices) == (
                kind.way == "hear" or kind.name == "guide tones over the loop"
            )
        assert not one.choices or one.answer in one.choices
        assert len(set(one.choices)) == len(one.choices)
        assert [choice for choice in one.choices if one.judge(choice).right] in ([], [one.answer])


def test_the_answer_is_at_no_fixed_place():
    kind = KINDS_OF_QUESTION[0]
    places = {
        one.choices.index(one.answer)
        for seed in range(12)
        for one in asked(kind, [Key.parse("Db")], (2,), seed)
    }
    assert places == {0, 1, 2, 3}


@together("kind", KINDS_OF_QUESTION, ids=str)
def test_the_same_seed_asks_the_same(kind):
    first, again = (question(kind, level=2, keys=KEYS, seed=7) for _ in range(2))
    assert first == again
    many = {(q.topic, q.key) for q in (question(kind, keys=KEYS, seed=seed) for seed in range(9))}
    assert len(many) > 1


# Spelled by hand (common practice): over Ab7 the b9 13 is an F triad, over C#7 an A# triad.
@together(
    ("kind", "topic", "key", "right"),
    [
        ("shortcut over V", "b9 13", "C", "E"),
        ("shortcut over V", "b9 13", "Db", "F"),
        ("shortcut over V", "b9 #11", "F#", "G"),
        ("shortcut over V", "b9 b13", "Bb minor", "F#m"),
        ("shortcut over V", "altered", "Db", "A melodic minor"),
        ("shortcut over V", "altered", "C minor", "Ab melodic minor"),
        ("shortcut to I", "9 #11 13", "Bb", "G"),
        ("colour of a shape", "#9 b13", "Eb", "b13 #9"),
        ("degree of a note", "#11", "Db", "#11"),
        ("note of a degree", "b9", "F#", "D"),
        ("note of a degree", "b7", "Cb", "Fb"),
        ("guide tones", "major", "C", "F C | F B | E B"),
        ("guide tones", "minor", "C minor", "C F, B F, Eb A"),
        ("where a note goes", "b9", "C", "G"),
        ("where a note goes", "#9", "C", "the 5th"),
        ("where a note goes", "b7", "Bb minor", "Db"),
        ("substitute", "tritone substitute", "Db", "D7"),
        ("substitute", "backdoor dominant", "C", "Fm7 Bb7"),
        ("substitute", "backdoor dominant", "C", "Bb7"),
        ("ii of a V", "minor", "Bb minor", "Cø"),
        ("ii of a V", "major", "F#", "Abm7"),
    ],
)
def test_answers_written_by_hand(kind, topic, key, right):
    one = question(kind, level=3, keys=[key], seed=0, topic=topic)
    assert one.judge(right).right, (one.prompt, one.judge(right).words)


# music21 (BSD) names a note above another by interval: b9 a minor ninth, #9 an augmented one.
INTERVALS = {
    "b9": "m9", "9": "M9", "#9": "A9", "3": "M3", "11": "P11", "#11": "A11", "5": "P5",
    "b13": "m13", "13": "M13", "b7": "m7", "7": "M7",
}  # fmt: skip


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_notes_of_degrees_are_spelled_as_music21_spells_them(keys):
    for one in asked(KINDS_OF_QUESTION[NAMED.index("note of a degree")], keys, (3,)):
        root = str(one.shown.chord.root)
        theirs = interval.Interval(INTERVALS[one.topic]).transposePitch(
            pitch.Pitch(as_music21(root))
        )
        assert one.answer == theirs.name.replace("-", "b"), one.prompt


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_the_substitute_shares_the_tritone_and_the_ii_lies_a_fifth_above(keys):
    for key in keys:
        sub = question("substitute", keys=[key], topic="tritone substitute", level=3)
        v, found = sub.shown.chord, sub.judging.chords[0]
        theirs, ours = (
            chords21.Chord([as_music21(str(note)) for note in chord.notes]) for chord in (v, found)
        )
        assert theirs.isDominantSeventh()
        assert len(set(theirs.pitchClasses) & set(ours.pitchClasses)) == 2
        ii = question("ii of a V", keys=[key], topic=key.mode, level=3).judging.chords[0]
        kind = chords21.Chord([as_music21(str(note)) for note in ii.notes])
        assert kind.isHalfDiminishedSeventh() == key.is_minor
        step = interval.Interval(
            pitch.Pitch(as_music21(str(v.root)) + "3"), pitch.Pitch(as_music21(str(ii.root)) + "4")
        )
        assert step.semitones % 12 == 7


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"kind": "riddle"}, "no such kind of question: 'riddle'"),
        ({"kind": 3}, "no such kind"),
        ({"level": 4}, "no such level: 4"),
        ({"level": True}, "no such level"),
        ({"keys": []}, "no key to ask in"),
        ({"keys": ["H"]}, "not a key"),
        ({"topic": "blue"}, "no such topic of shortcut over V: 'blue'"),
        ({"topic": "b9 13", "keys": ["C minor"]}, "not in C minor"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(wrong, words):
    with pytest.raises(TheoryError, match=words):
        question(**{"kind": "shortcut over V", **wrong})


def test_one_key_may_be_given_by_its_name():
    assert str(question("guide tones", keys="Db").key) == "Db major"


def judged(one, given):
    """What a judge says of an answer, or of not being able to read it."""
    try:
        return one.judge(given).words
    except TheoryError as told:
        return str(told)


@pytest.mark.parametrize("kinds", some_and_all([NAMED[0], "top note", "bar of a colour"], NAMED))
def test_junk_is_refused_or_judged_in_words(kinds):
    rng = random.Random(13)
    signs = "abcdefgABCG#b♭♯ 0123456789-|,/()'\"mjo\n\t%_Ω🎷"
    odd = ["", " ", "x" * 10_000, None, 3.5, object(), b"E", [], ["?"], [True], [10**9], -1]
    for name in kinds:
        one = question(name, keys=["Db", "Bb minor"], seed=2, level=3)
        typed = ("".join(rng.choices(signs, k=rng.randrange(12))) for _ in range(300))
        assert all(0 < len(judged(one, given)) < 2000 for given in (*typed, *odd))


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_every_sound_differs_from_those_it_may_be_taken_for(keys):
    """By the notes; by the samples where sound is tested. The ordinary run tries a key a topic."""

    def notes(heard):
        played = heard.performance(120, count_in=0)
        return {(part.name, n.start, n.midi) for part in played.parts for n in part.notes}

    for kind in KINDS_OF_QUESTION:
        if kind.way == "hear":
            every = list(asked(kind, keys, (2,)))
            for one in every if len(keys) == len(KEYS) else every[:: len(keys) - 1]:
                others = [sound for name, sound in one.sounds if name != one.answer]
                assert others
                assert one.heard == dict(one.sounds)[one.answer]
                assert all(notes(one.heard) != notes(other) for other in others), one.prompt


@pytest.mark.parametrize("key", KEYS_TRIED, ids=str)
def test_no_form_is_known_by_how_long_it_lasts(key):
    """Each fills three bars, and V begins on the beat that its form says: common practice."""
    for level in LEVELS:
        found = [question("form by ear", level=level, keys=[key], topic=form) for form in FORMS]
        sounds = [one.heard.performance(100) for one in found]
        assert {one.beats for one in sounds} == {16}  # with the bar that is counted in
        chords = [one.heard.progression.chords for one in found]
        leaves = [next(p.start for p in row if p.chord.kind.is_dominant) for row in chords]
        assert dict(zip(FORMS, leaves, strict=True)) == {"long": 4, "short": 2, "split": 6}


def test_what_is_asked_for_is_what_the_page_offers():
    """A bar can be typed at each level, and be chosen where some are offered; none is recorded."""
    for level in LEVELS:
        one = question("bar of a colour", level=level, keys=["F"], topic="b9")
        assert ("hoose" in one.prompt) == bool(one.choices)
        assert "rite" in one.prompt
        assert "play" not in one.prompt
