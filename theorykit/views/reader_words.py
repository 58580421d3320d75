"""What a reader is told whose instrument transposes: which part of a page is written for it."""

from __future__ import annotations

from theorykit.notes.instruments import CONCERT, Reader

__all__ = ["reader_words"]


def reader_words(reader: Reader, others: str) -> str:
    """Return a sentence on what is at concert pitch, or nothing for one who reads that anyway.

    ``others`` are the parts of the page beside the staff, which all tell what sounds.

    >>> from theorykit.notes.instruments import reader
    >>> reader_words(reader("E flat"), "the words and the keyboard")
    'The staff is written for E flat (alto saxophone); the words and the keyboard are at concert \
pitch.'
    >>> reader_words(reader("guitar"), "the words and the keyboard")
    ''
    """
    if reader.written_c == CONCERT:
        return ""
    return (
        f"The staff is written for {reader.name} ({reader.players}); {others} are at concert pitch."
    )
