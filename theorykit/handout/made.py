"""What a job gives."""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = ["Article", "Heard", "Made"]


@dataclass(frozen=True, slots=True)
class Heard:
    """One example as sound: the place of its block, what it is called, format and data."""

    place: int
    label: str
    form: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Article:
    """What one reader is shown on the web page: what stands above, each section, the answers."""

    head: str
    sections: tuple[str, ...]
    answers: str


@dataclass(frozen=True, slots=True)
class Made:
    """What a job gives: files by their names, articles of the web page by reader and audience."""

    files: dict[str, bytes] = field(default_factory=dict)
    articles: dict[tuple[str, str], Article] = field(default_factory=dict)
    heard: tuple[Heard, ...] = ()
