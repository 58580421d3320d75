"""The job of a chord in few words, for a table and for the room under a bar."""

from __future__ import annotations

from theorykit.tunes.cadences import Function

# What stands in the table for a role that leads to a chord, and for one that leads to none.
_LEADING = {
    "the ii of": "ii of {}",
    "the V of": "V of {}",
    "tritone substitute for the V of": "tritone V of {}",
    "backdoor": "back door to {}",
    "passing": "passing to {}",
    "leading-note diminished": "leading note to {}",
    "common-tone diminished": "common tone with {}",
}
_STANDING = {
    "the ii of": "ii",
    "the V of": "V, not resolved",
    "tritone substitute for the V of": "tritone V, not resolved",
    "backdoor": "back door, not resolved",
    "dominant at rest": "at rest",
    "silent": "silence",
}


def job_words(one: Function) -> str:
    """Return a job in few words.

    >>> from theorykit.tunes.cadences import functions
    >>> [job_words(one) for one in functions("| Dm7 Db7 | C6 |")]
    ['ii of D♭7', 'tritone V of C6', 'tonic']
    """
    if one.target is not None and one.role in _LEADING:
        return _LEADING[one.role].format(one.target.chord.pretty)
    return _STANDING.get(one.role, one.role)
