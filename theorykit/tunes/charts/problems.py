"""Problems in a typed chart: each with its place, so that a reader mends all of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError

MOST_KEPT = 100  # beyond that a text is no chart with slips in it
MOST_TOLD = 12  # in one message


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at one place. Line and column count from 1.

    ``message`` says what came, why it cannot be read, and what would be accepted.
    """

    line: int
    column: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}, column {self.column}: {self.message}"


class ProblemList:
    """The problems found so far, at most a hundred."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, line: int, column: int, message: str) -> None:
        """Note one down."""
        if not self.full:
            self.found.append(Problem(line, column, message))

    @property
    def full(self) -> bool:
        """True when reading on would teach nobody anything."""
        return len(self.found) >= MOST_KEPT

    def sorted(self) -> tuple[Problem, ...]:
        """Return them in the order of the page."""
        return tuple(sorted(self.found, key=lambda p: (p.line, p.column)))


def refusal(problems: Iterable[Problem]) -> TheoryError:
    """Return the one error that tells all problems of a text.

    >>> print(refusal([Problem(2, 5, "no chord"), Problem(3, 1, "no bar")]))
    2 problems in the chart:
    line 2, column 5: no chord
    line 3, column 1: no bar
    """
    given = tuple(problems)
    if len(given) == 1:
        return TheoryError(str(given[0]))
    told = [str(problem) for problem in given[:MOST_TOLD]]
    if len(given) > MOST_TOLD:
        more = f"{len(given) - MOST_TOLD}" + ("" if len(given) < MOST_KEPT else " or more")
        told.append(f"and {more} others")
    return TheoryError("\n".join([f"{len(given)} problems in the chart:", *told]))
