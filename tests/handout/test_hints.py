"""Words that are moved on a transposed page, and what the desk says of them."""

from __future__ import annotations

import pytest

from theorykit.handout import EVERYONE, Handout
from theorykit.handout.blocks import TextBlock
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.handout import moved_hint, moved_words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Over Eb7 play the F triad.", ("Eb7", "F")),
        ("A triad. Go home; Do it! Be bold, Add one, Every C#m7b5 counts", ("C#m7b5",)),
        ("From D♭maj7 to G7(b9), or Am7?", ("D♭maj7", "G7(b9)", "Am7")),
        ("B's turn, E-mail, ABC, CD, D.C., 8G", ()),
        ("Sing the 3 of Bb, the 5 of F#m and Ab.", ("Bb", "F#m", "Ab")),
    ],
)
def test_names_of_notes_and_chords_are_told_from_words(text, words):
    assert moved_words(Handout("Thursday", note=text)) == words


def test_every_text_whose_names_can_be_moved_is_looked_at():
    question = Question(question="What is the 3 of G7?", answer="B")
    blocks = (TextBlock(text="Over C7"), QuestionBlock(questions=(question,)))
    assert moved_words(Handout("To F", blocks=blocks)) == ("F", "C7", "G7", "B")
    left = (
        TextBlock(text="Over C7", as_typed=("C7",)),
        QuestionBlock(questions=(question,), as_typed=("G7", "B")),
    )
    assert moved_words(Handout("To F", as_typed=("F",), blocks=left)) == ()


def test_only_readers_who_would_read_another_note_are_told():
    told = {one.reader for one in EVERYONE if moved_hint(Handout("Over G7"), one)}
    assert told == {"B flat", "E flat", "F"}
