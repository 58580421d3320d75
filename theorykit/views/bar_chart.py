"""Bars beside each other: minutes, tempi, dates."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BarRow", "BarsView"]


@dataclass(frozen=True, slots=True)
class BarRow:
    """One bar: its name, its share of the longest, and its words."""

    name: str
    share: float
    words: str

    @property
    def reach(self) -> float:
        """How far to the right it goes."""
        return max(self.share, 0.02)

    @property
    def interval(self) -> None:
        """No bar of a journal has an interval."""
        return


@dataclass(frozen=True, slots=True)
class BarsView:
    """Bars under a title; ``notes`` are the lines below them."""

    title: str
    rows: tuple[BarRow, ...]
    notes: tuple[str, ...] = ()

    @property
    def alt(self) -> str:
        """What the picture shows, in words."""
        said = "; ".join(f"{row.name}: {row.words or 'nothing'}" for row in self.rows)
        return f"Bars. {self.title}. {said}. {' '.join(self.notes)}".strip()
