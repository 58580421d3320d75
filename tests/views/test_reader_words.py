"""What a reader is told whose instrument transposes."""

import pytest

from theorykit.notes.key import Key, reader_words
from theorykit.notes.reader import READERS


# Common practice: B flat, E flat and F instruments read other names than those that sound.
@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_only_one_who_reads_other_names_is_told_what_is_at_concert_pitch(reader):
    said = reader_words(reader, Key.parse("C"), "the text is")
    assert bool(said) == (reader.name in ("B flat", "E flat", "F"))
    if said:
        assert reader.name in said
        assert reader.players in said
        assert said.endswith("sounds in C major. The text is at concert pitch.")
