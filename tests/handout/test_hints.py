"""Words that would stay in concert pitch on a transposed page."""

from __future__ import annotations

import pytest

from theorykit.handout import EVERYONE, Handout
from theorykit.handout.blocks import TextBlock
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.handout import unmoved_hint, unmoved_words


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
    assert unmoved_words(Handout("Thursday", note=text)) == words


def test_every_text_whose_names_can_be_moved_is_looked_at():
    question = Question(question="What is the 3 of G7?", answer="B")
    blocks = (TextBlock(text="Over C7"), QuestionBlock(questions=(question,)))
    assert unmoved_words(Handout("To F", blocks=blocks)) == ("F", "C7", "G7", "B")
    listed = (
        TextBlock(text="Over C7", names=("C7",)),
        QuestionBlock(questions=(question,), names=("G7", "B")),
    )
    assert unmoved_words(Handout("To F", names=("F",), blocks=listed)) == ()


def test_only_readers_who_would_read_another_note_are_told():
    told = {one.reader for one in EVERYONE if unmoved_hint(Handout("Over G7"), one)}
    assert told == {"B flat", "E flat", "F"}
