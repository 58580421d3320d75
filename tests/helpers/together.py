"""Many small cases in one test: each is tried, and all that fail are told by name.

A test of its own costs more than a chord that is read and printed. ``@together`` stands in the
place of ``@pytest.mark.parametrize`` where a case is no more than that, and needs no fixture that
is made anew for it.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import wraps
from typing import Any

import pytest

__all__ = ["together"]
LONGEST = 60  # characters of a value in the name of a case
_CASES = "cases"  # what the test takes where some of them are left to the sweep
Test = Callable[..., None]


def together(
    names: str | Sequence[str], cases: Iterable[Any], ids: Callable[[Any], object] = str
) -> Any:
    """Return a decorator that makes one test of all cases; it fails once and tells each fault.

    Everything is as for ``parametrize``, also above or below one. Cases that are marked for the
    sweep, or as proofs, are tried there, in a test of their own; none may have another mark, or
    skip itself.

    >>> @together("number, most", [(1, 3), (3, 3), (4, 3)])
    ... def test_it_is_small(number, most):
    ...     assert number < most
    >>> test_it_is_small()
    Traceback (most recent call last):
    ...
    ExceptionGroup: 2 of 3 cases fail: number 3, most 3; number 4, most 3 (2 sub-exceptions)
    """
    fields = [part.strip() for part in names.split(",")] if isinstance(names, str) else [*names]
    if not isinstance(names, str) and len(fields) == 1:
        raise ValueError("one name is given as a text")
    every = [_read(case, len(fields)) for case in cases]
    tried = tuple(values for values, marks in every if not marks)
    marked = tuple(values for values, marks in every if marks)
    marks = {mark.name: mark for _, held in every for mark in held}
    if marks and marks.keys() not in ({"sweep"}, {"proof"}):
        raise ValueError(f"a case of {names!r} has a mark of its own (want none, sweep or proof)")
    if not every:
        raise ValueError(f"no case of {names!r}, so nothing would be tried")

    def decorated(test: Test) -> Test:
        one = _one(test, fields, tried, ids, split=bool(marked))
        if not marked:
            return one
        groups = [pytest.param(marked, id="rest", marks=tuple(marks.values()))]
        groups[:0] = [pytest.param(tried, id="some")] if tried else []
        return pytest.mark.parametrize(_CASES, groups)(one)

    return decorated


def _read(case: Any, count: int) -> tuple[tuple[Any, ...], Sequence[pytest.Mark]]:
    """The values of a case, and its marks if it has some."""
    if hasattr(case, "marks"):
        return tuple(case.values), [getattr(mark, "mark", mark) for mark in case.marks]
    return (tuple(case) if count > 1 else (case,)), ()


def _one(
    test: Test,
    fields: Sequence[str],
    tried: Sequence[tuple[Any, ...]],
    ids: Callable[[Any], object],
    split: bool,
) -> Test:
    """The test that tries all; pytest sees the place of ``test`` and the arguments left."""

    @wraps(test)
    def one(**given: Any) -> None:
        cases = given.pop(_CASES) if split else tried
        faults = [
            fault
            for values in cases
            if (fault := _fault(test, dict(zip(fields, values, strict=True)), given, ids))
        ]
        if faults:
            told = "; ".join(fault.__notes__[-1] for fault in faults)
            raise BaseExceptionGroup(f"{len(faults)} of {len(cases)} cases fail: {told}", faults)

    whole = inspect.signature(test)
    left = [part for name, part in whole.parameters.items() if name not in fields]
    if split:
        left.append(inspect.Parameter(_CASES, inspect.Parameter.KEYWORD_ONLY))
    one.__signature__ = whole.replace(parameters=left)  # type: ignore[attr-defined]
    return one


def _fault(
    test: Test,
    case: Mapping[str, Any],
    given: Mapping[str, Any],
    ids: Callable[[Any], object],
) -> BaseException | None:
    """What a case failed with, which says its name; nothing if it holds."""
    try:
        test(**case, **given)
    except (Exception, BaseExceptionGroup, pytest.fail.Exception, pytest.skip.Exception) as fault:
        fault.add_note(", ".join(f"{name} {ids(one)!s:.{LONGEST}}" for name, one in case.items()))
        return fault
    return None
