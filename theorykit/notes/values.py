"""Values: one line for a program, a text for the reader, a picture for a notebook."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from theorykit.notes.plain_words import words_ascii

__all__ = ["Value"]

LONGEST_LINE = 99  # characters of a repr
_PICTURES = "theorykit.show.door"  # above this room: asked by its name, and only by a notebook


class Value:
    """The manners that all values share: a short ``repr``, a ``format`` with widths, a picture.

    ``_reads_back`` names what makes the value of its text; where it names nothing, or the text is
    too long for one line, the ``repr`` stands in angle brackets and says what it is about.

    >>> class Tempo(Value):
    ...     _reads_back = "Tempo.parse"
    ...     def __str__(self): return "120"
    >>> Tempo(), f"[{Tempo():>5}]"
    (Tempo.parse('120'), '[  120]')
    """

    __slots__ = ()
    _reads_back = ""

    def __repr__(self) -> str:
        if self._reads_back:
            whole = f"{self._reads_back}({str(self)!r})"
            if len(whole) <= LONGEST_LINE:
                return whole
        about = f"<{type(self).__name__} {self._about()}"
        return f"{about}>" if len(about) < LONGEST_LINE else f"{about[: LONGEST_LINE - 4]}...>"

    def _about(self) -> str:
        """Say in a few words what the value is."""
        return " ".join(str(self).split())

    @property
    def words_ascii(self) -> str:
        """The text form in plain ASCII, for a console that has no music signs.

        >>> from theorykit import resolve
        >>> print(resolve("Db7", "b9 13", "Gb").words_ascii)
        13 stays: it is the 3rd of I
        b9 falls a half step to the 5th of I
        3 rises a half step to the root of I
        this colour adds one half-step pull
        """
        return words_ascii(str(self))

    def __format__(self, form: str) -> str:
        return format(str(self), form)

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, Any]:
        """What a notebook shows: a picture where pictures are installed, words everywhere."""
        try:
            pictures = import_module(_PICTURES)
        except ModuleNotFoundError:
            return {"text/plain": str(self)}
        found: dict[str, Any] = pictures.bundle(self)
        return found
