"""Words for a reader whose instrument transposes: the key of the page, and of the sound."""

from __future__ import annotations

from theorykit.notes.key import Key, Reader

__all__ = ["heard_words", "reader_words"]


def reader_words(reader: Reader, key: Key, others: str = "what you hear is") -> str:
    """Return a sentence on what is at concert pitch, or nothing for one who reads that anyway.

    ``key`` is the one that sounds, ``others`` name what stays at concert pitch, with their verb.

    >>> from theorykit.notes.key import reader
    >>> reader_words(reader("E flat"), Key.parse("C"))
    'Everything here is written for E flat (alto saxophone): your A major sounds in C major. \
What you hear is at concert pitch.'
    >>> reader_words(reader("guitar"), Key.parse("C"))
    ''
    """
    if not reader.transposes:
        return ""
    page = reader.written_key(key)
    return (
        f"Everything here is written for {reader.name} ({reader.players}): your {page.pretty} "
        f"sounds in {key.pretty}. {others[:1].upper()}{others[1:]} at concert pitch."
    )


def heard_words(reader: Reader, key: Key) -> str:
    """Return what a player adds to its name for one who reads another key than sounds.

    >>> from theorykit.notes.key import reader
    >>> heard_words(reader("B flat"), Key.parse("C")), heard_words(reader("guitar"), Key.parse("C"))
    (' (sounds in C major)', '')
    """
    return f" (sounds in {key.pretty})" if reader.transposes else ""
