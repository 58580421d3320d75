"""What the test command tries of a long list, and what it leaves to the sweep.

Nothing is left out for good: a case runs always or carries the marker ``sweep``, and
``pytest -m sweep`` runs those. A loop inside a test is given twice, over some and over all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pytest

from theorykit.notes.key import KEYS, Key

__all__ = ["KEYS_TRIED", "SWEPT_KEYS", "keys", "some_and_all", "swept"]

# Plain, five flats, six sharps, and minor with five flats: where spelling goes wrong first.
KEYS_TRIED = tuple(map(Key.parse, ("C", "Db", "F#", "Bb minor")))


def swept(cases: Iterable[Any], tried: Callable[[Any], object]) -> list[Any]:
    """Return cases for ``parametrize``; those of which ``tried`` is false carry the marker.

    A case is one argument or a tuple of several.

    >>> tried, left = swept(["Db", "Ab"], "Db".__eq__)
    >>> tried, left.values, left.marks[0].name
    ('Db', ('Ab',), 'sweep')
    """
    return [case if tried(case) else _marked(case) for case in cases]


def _marked(case: Any) -> Any:
    """Leave a case to the sweep."""
    return pytest.param(*(case if type(case) is tuple else (case,)), marks=pytest.mark.sweep)


def keys(every: Iterable[Any] = KEYS) -> list[Any]:
    """Return keys for ``parametrize``: a few always, the others in the sweep."""
    return swept(every, lambda key: key in KEYS_TRIED)


def some_and_all(some: Iterable[Any], every: Iterable[Any]) -> list[Any]:
    """Return what a test loops over, for ``parametrize``: some always, all in the sweep.

    >>> [(one.id, one.values) for one in some_and_all(["Db"], ["Db", "Ab"])]
    [('some', (('Db',),)), ('all', (('Db', 'Ab'),))]
    """
    return [
        pytest.param(tuple(some), id="some"),
        pytest.param(tuple(every), id="all", marks=pytest.mark.sweep),
    ]


SWEPT_KEYS = some_and_all(KEYS_TRIED, KEYS)
