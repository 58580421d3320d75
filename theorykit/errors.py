"""The one exception of the library."""

__all__ = ["TheoryError", "shown"]

LONGEST_QUOTE = 60  # characters of the reader's text that a message repeats


class TheoryError(ValueError):
    """What was wanted, what came, what is accepted: in one sentence for the reader.

    >>> raise TheoryError("not a note name: 'H' (want a letter A-G, then b's or #'s)")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a note name: 'H' (want a letter A-G, then b's or #'s)
    """


def shown(value: object) -> str:
    """Quote ``value`` for a message, cut where it would drown the sentence.

    >>> shown("Cmaj7")
    "'Cmaj7'"
    >>> shown("C" * 10_000)
    "'CCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCC... (10000 characters)"
    """
    if isinstance(value, str) and len(value) > LONGEST_QUOTE:
        return f"{repr(value[:LONGEST_QUOTE])[:LONGEST_QUOTE]}... ({len(value)} characters)"
    text = repr(value)
    return text if len(text) <= 2 * LONGEST_QUOTE else f"{text[:LONGEST_QUOTE]}..."
