"""What the engines behind a handout do by themselves, on the very material of a handout.

The material is written down while a handout is made; then verovio, typst, the synthesis and the
encoder are given it again, in as many processes, and nothing else is done.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import typst
import verovio

import theorykit.handout.files.jobs as sounds
import theorykit.show.engraving.engraved_staff as staff
import theorykit.show.typesetting as typesetting
from theorykit.handout.files.pool import Job, results
from theorykit.lines.parts import Performance
from theorykit.show.sound import render

PARTS = 8  # in which the work of an engine is given out


@dataclass
class Material:
    """What each engine was given, in order."""

    scores: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    sheets: list[tuple[bytes, dict[str, Any], Path, dict[str, Any]]] = field(default_factory=list)
    played: list[tuple[Performance, str]] = field(default_factory=list)


@contextmanager
def written_down() -> Iterator[Material]:
    """Write down what the engines are given inside the block, in this process."""
    found = Material()
    engrave, compile_page, play = staff.engraved, typesetting._compiled, sounds.render

    def engraved(score: str, options: dict[str, Any]) -> str:
        found.scores.append((score, options))
        return engrave(score, options)

    def compiled(program: bytes, data: dict[str, Any], fonts: Path, **wishes: Any) -> Any:
        found.sheets.append((program, data, fonts, wishes))
        return compile_page(program, data, fonts, **wishes)

    def rendered(played: Performance, *, melody: str) -> Any:
        found.played.append((played, melody))
        return play(played, melody=melody)

    staff.engraved, typesetting._compiled, sounds.render = engraved, compiled, rendered  # type: ignore
    try:
        yield found
    finally:
        staff.engraved, typesetting._compiled, sounds.render = engrave, compile_page, play


@dataclass(frozen=True)
class Engrave:
    """Scores for verovio."""

    scores: tuple[tuple[str, dict[str, Any]], ...]

    def run(self, *, between: object = None) -> int:
        """Engrave them; return how many pictures came out."""
        toolkit = verovio.toolkit()
        for score, options in self.scores:
            toolkit.setOptions(options)
            toolkit.loadData(score)
            toolkit.renderToSVG(1)
        return len(self.scores)


@dataclass(frozen=True)
class Typeset:
    """Pages for typst."""

    sheets: tuple[tuple[bytes, dict[str, Any], Path, dict[str, Any]], ...]

    def run(self, *, between: object = None) -> int:
        """Set them; return how many documents came out."""
        for program, data, fonts, wishes in self.sheets:
            compiler = typst.Compiler(
                program,
                font_paths=typesetting._opened(fonts),
                ignore_system_fonts=True,
                sys_inputs={"page": json.dumps(data)},
            )
            compiler.compile(**wishes)
        return len(self.sheets)


@dataclass(frozen=True)
class Play:
    """Performances for the synthesis and the encoder."""

    played: tuple[tuple[Performance, str], ...]

    def run(self, *, between: object = None) -> int:
        """Play them; return how many recordings came out."""
        for played, melody in self.played:
            sounds.SOUND_FORMATS["mp3"](render(played, melody=melody))
        return len(self.played)


def engines_alone(material: Material, *, processes: int) -> int:
    """Let the engines do their work; return how many things came out."""
    work: list[Job] = [Play(one) for one in _parts(material.played)]
    work += [Typeset(one) for one in _parts(material.sheets)]
    work += [Engrave(one) for one in _parts(material.scores)]
    return sum(results(work, processes=processes))


def _parts(things: list[Any]) -> Iterator[tuple[Any, ...]]:
    """Cut a list into parts, none empty."""
    for start in range(PARTS):
        part = tuple(things[start::PARTS])
        if part:
            yield part
