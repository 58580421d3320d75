"""Drills by what they are for: a chapter, a class, or whatever the journal says."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from os import PathLike
from typing import Any

from theorykit.errors import TheoryError
from theorykit.harmony.wording import listed
from theorykit.notes.key import Key
from theorykit.study.course import Chapter, chapter as chapter_named
from theorykit.study.drill_wishes import KEY_SETS, keys_on_page
from theorykit.study.session import Session
from theorykit.study.sitting import Sitting, Task
from theorykit.widgets.drills.class_work import ClassDrill
from theorykit.widgets.drills.drilling import MINUTES, Drill, What


class ChapterDrill(Drill):
    """What a chapter asks, each question once, and what was wrong once more.

    Where keys are given by name, each question comes in each of them.
    """

    def __init__(self, chapter: int, **wishes: Any) -> None:
        self.chapter = chapter_named(chapter)
        tasks = _tasks(self.chapter, wishes.get("keys"))
        name = " ".join((f"chapter {self.chapter.number}", *dict.fromkeys(t.key for t in tasks)))
        if wishes.get("keys") is None and len(self.chapter.modes) == 1:
            wishes["keys"] = f"{self.chapter.modes[0]} keys"
        self._as_written = tuple(tasks)
        super().__init__(**wishes, tasks=tasks, name=name.strip())

    def _fresh(self) -> Sitting:
        """Return a sitting that begins; keys that were named are those on the reader's page."""
        return replace(super()._fresh(), tasks=self._as_written)

    def _session(self) -> Session:
        """Return what is wished for; C, in which a chapter shows its examples, comes last."""
        wished = super()._session()
        return replace(wished, keys=tuple(sorted(wished.keys, key=_is_in_c)))

    def _last_words(self) -> tuple[str, ...]:
        """Return what a reader can do who got everything right in the end."""
        right = {result.place for result in self.sitting.done if result.right}
        return (self.chapter.can_do,) if len(right) == len(self._as_written) else ()


def _is_in_c(key: Key) -> bool:
    """Tell whether a key is C major or C minor."""
    return key.tonic.semitone == 0


def _tasks(row: Chapter, keys: str | Key | Iterable[str | Key] | None) -> list[Task]:
    """Return what is asked: without keys by name each exercise once, else all of them in each key.

    The keys change from question to question, and an exercise comes again when all have been asked.
    """
    if keys is None or (isinstance(keys, str) and keys in KEY_SETS):
        return [Task(one.kind, one.topic, one.level) for one in row.asked]
    named = keys_on_page(keys)
    found = [
        Task(one.kind, one.topic, one.level, str(key))
        for turn in range(len(named))
        for place, one in enumerate(row.asked)
        if one.fits(key := named[(place + turn) % len(named)]) and key.mode in row.modes
    ]
    if not found:
        raise TheoryError(f"{row} asks nothing in {listed(map(str, named))} (want another mode)")
    return found


def drill(
    what: What = None,
    *,
    chapter: int | None = None,
    class_file: str | PathLike[str] | None = None,
    keys: str | Key | Iterable[str | Key] | None = None,
    minutes: float = MINUTES,
    level: int = 0,
    tempo: float = 100,
    timed: bool = False,
    written_for: str | None = None,
    journal: str | PathLike[str] | None = None,
) -> Drill:
    """Return a drill: out of the journal, on what is named, or what a chapter or a class asks.

    ``what`` are names of kinds of question, ways to ask or colours. ``keys`` are those on the
    reader's page: ``"all keys"``, ``"major keys"``, ``"minor keys"``, or some by name.

    >>> drill("riddles")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: nothing to ask by the name 'riddles' (want recall, see, hear, \
do, a kind of question such as 'guide tones', or a colour such as 'b9 13')
    """
    some = keys if keys is None or isinstance(keys, (str, Key)) else keys_on_page(keys)
    wishes: dict[str, Any] = {
        **{"keys": some, "minutes": minutes, "level": level, "tempo": tempo, "timed": timed},
        **{"written_for": written_for, "journal": journal},
    }
    if sum(one is not None for one in (what, chapter, class_file)) > 1:
        raise TheoryError("names, a chapter and a class file (want one of them)")
    if class_file is not None:
        return ClassDrill(class_file, **wishes)
    return Drill(what, **wishes) if chapter is None else ChapterDrill(chapter, **wishes)
