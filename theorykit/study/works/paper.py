"""Papers: works as plain text that anybody can read, and what became of them in a folder.

The text of a work comes first, as it was typed. What the desk adds stands below a line of its own,
as TOML 1.0 (toml.io). A handout is TOML itself and adds nothing.

A folder may be used by two machines, or by a service that carries files from one to the other. So
for each work there are three texts: one's own, that of the file, and the one that both agreed on
last. Where only one side has changed, the other follows. Where both have, both are kept.
"""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count

from theorykit.errors import expect
from theorykit.study.works.kept_state import Data

BELOW = "~~~ what the desk adds; leave it below the text ~~~"
TEXT = "text"
DELETE, _DELETE = "\x7f", "\\u007f"  # the one sign that JSON takes as it is and TOML does not
LONGEST_STEM = 80  # characters of a file's name
_SIGNS = str.maketrans("♭♯", "b#")
_UNFIT = re.compile(r"[^\w ().,'#+-]+")
# Names that Windows keeps for devices, with any ending.
_DEVICE = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)\s*(\.|$)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PaperKind:
    """How works of a kind are written: the ending of their files, and what stands where none says.

    ``plain`` is what a work has beside its text where the file tells nothing of it.

    >>> kind = PaperKind("tune", ".txt", {"own": "", "variety": 2})
    >>> print(kind.written({"text": "| C6 | % |", "variety": 3}), end="")
    | C6 | % |
    <BLANKLINE>
    ~~~ what the desk adds; leave it below the text ~~~
    own = ""
    variety = 3
    >>> kind.read("| C6 |\\r\\n")
    {'text': '| C6 |\\n', 'own': '', 'variety': 2}
    """

    name: str
    ending: str
    plain: Data

    @property
    def folder(self) -> str:
        """The name of the folder of its files."""
        return f"{self.name}s"

    def written(self, data: Data) -> str:
        """Return a work as text."""
        text = _tidy(str(data.get(TEXT, "")))
        added = "\n".join(_added(self.plain | data, self.plain))
        return f"{text}\n{BELOW}\n{added}\n" if added and self.plain else text

    def read(self, text: str) -> Data:
        """Return the work that a text tells of; what stands below and cannot be read is left out.

        The reverse of ``written`` for all but what stands beside a work and is not written.
        """
        whole = _tidy(text)
        above, line, below = whole.rpartition(f"\n{BELOW}\n")
        if not line or not self.plain:
            return {TEXT: whole} | self.plain
        above = _tidy(above)
        try:
            added = tomllib.loads(below)
        except (tomllib.TOMLDecodeError, RecursionError):
            added = {}
        return {TEXT: above} | _filled(self.plain, added)


def _filled(plain: Data, added: Data) -> Data:
    """Return what stands beside a text: what is added, if it is of the kind that a desk keeps."""
    known = {name: one for name, one in added.items() if type(one) is type(plain.get(name))}
    inside = {
        name: _filled(plain[name], one) for name, one in known.items() if isinstance(one, dict)
    }
    return plain | known | inside


def _tidy(text: str) -> str:
    """Return text with plain line ends, the last line ended."""
    said = expect(text, str, "text", "what a file of the folder of works holds")
    plain = said.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return plain if plain.endswith("\n") or not plain else f"{plain}\n"


def _added(data: Data, plain: Data) -> Iterator[str]:
    """Yield the lines below a text: what a desk keeps of its kind, tables last."""
    for name, value in plain.items():
        if not isinstance(value, dict):
            said = json.dumps(data[name], ensure_ascii=False)
            yield f"{name} = {said.replace(DELETE, _DELETE)}"
    for name, value in plain.items():
        if isinstance(value, dict):
            yield f"[{name}]"
            yield from _added(value | data[name], value)


def fingerprint(text: str) -> str:
    """Return what tells a text from others, in few signs."""
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:32]


def free_name(title: str, ending: str, taken: set[str]) -> str:
    """Return a name for a file that no disk refuses and no other file has, whatever its capitals.

    >>> free_name("Wet Gloves", ".txt", {"wet gloves.txt"}), free_name("a/b: c?", ".txt", set())
    ('Wet Gloves (2).txt', 'a b c.txt')
    >>> free_name("in A♭ major", ".txt", set())
    'in Ab major.txt'
    """
    plain = title.translate(_SIGNS)  # not every disk keeps a ♭; without it A♭ major was A major
    stem = " ".join(_UNFIT.sub(" ", plain).split())[:LONGEST_STEM].strip(" .") or "without a title"
    stem = _DEVICE.sub(r"\1 -\2", stem)
    others = {name.casefold() for name in taken}
    names = (f"{stem}{'' if n == 1 else f' ({n})'}{ending}" for n in count(1))
    return next(name for name in names if name.casefold() not in others)


# === What is to be done ===


@dataclass(frozen=True, slots=True)
class Side:
    """Texts on one side: those of the works by their keys, or those of the files by their names.

    ``aside`` are those that were put aside.
    """

    texts: Mapping[str, str]
    aside: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing to be done, about a work, a file, or both.

    agree: note down that they are alike. write: the file takes the text of the work. take: the work
    takes the text of the file. new: the file is a work of its own. hide: the file is put aside.
    aside: the work is put aside. back: the work is no longer aside. forget: neither is there.
    fork: both have changed; the work gets another file, and the file is a work of its own.
    """

    what: str
    own: str = ""
    name: str = ""


def deeds(works: Side, files: Side, agreed: Mapping[str, tuple[str, str]]) -> tuple[Deed, ...]:
    """Return what makes works and files alike; no text is ever lost by it.

    ``agreed`` has for each work the name of its file and the fingerprint of the text that both had
    last.

    >>> seen = {"1": ("a.txt", fingerprint("old"))}
    >>> def done(own, file):
    ...     return [deed.what for deed in deeds(Side(own, {}), Side(file, {}), seen)]
    >>> done({"1": "new"}, {"a.txt": "old"}), done({"1": "old"}, {"a.txt": "new"})
    (['write'], ['take'])
    >>> done({"1": "new"}, {"a.txt": "newer"}), done({"1": "old"}, {})
    (['fork'], [])
    """
    known = [deed for own, row in agreed.items() for deed in _of_known(own, row, works, files)]
    named = {name for name, _ in agreed.values()}
    strange = {name: text for name, text in files.texts.items() if name not in named}
    free = {own: text for own, text in works.texts.items() if own not in agreed}
    return (*known, *_of_strange(free, strange, works.aside))


def _of_known(own: str, row: tuple[str, str], works: Side, files: Side) -> Iterator[Deed]:
    """Yield what is to be done for a work and a file that agreed once."""
    name, last = row
    mine, theirs = works.texts.get(own), files.texts.get(name)
    if mine is None:
        yield from _of_removed(own, name, theirs, last)
    elif theirs is None:
        yield from _of_missing(own, name, mine, last, name in files.aside)
    elif mine == theirs:
        if fingerprint(mine) != last:
            yield Deed("agree", own, name)
    elif fingerprint(theirs) == last:
        yield Deed("write", own, name)
    elif fingerprint(mine) == last:
        yield Deed("take", own, name)
    else:
        yield Deed("fork", own, name)


def _of_removed(own: str, name: str, theirs: str | None, last: str) -> Iterator[Deed]:
    """Yield what is to be done with the file of a work that was put aside here."""
    if theirs is None:
        yield Deed("forget", own, name)
    elif fingerprint(theirs) == last:
        yield Deed("hide", own, name)
    else:
        yield Deed("back", own, name)  # somebody goes on with it


def _of_missing(own: str, name: str, mine: str, last: str, is_aside: bool) -> Iterator[Deed]:
    """Yield what is to be done for a work whose file is not there.

    A file that was put aside takes its work along. One that is simply gone may be on its way; the
    work stays, and is written when it is changed.
    """
    if fingerprint(mine) != last:
        yield Deed("write", own, name)
    elif is_aside:
        yield Deed("aside", own, name)


def _of_strange(
    free: dict[str, str], strange: dict[str, str], aside: Mapping[str, str]
) -> Iterator[Deed]:
    """Yield what is to be done for works and files that never met: those that are alike meet."""
    left, hidden = dict(strange), dict(aside)
    for own, text in free.items():
        name = next((name for name, one in left.items() if one == text), None)
        if name is None:
            yield Deed("write", own)
        else:
            del left[name]
            yield Deed("agree", own, name)
    for name, text in left.items():
        own_again = next((own for own, one in hidden.items() if one == text), None)
        if own_again is None:
            yield Deed("new", name=name)
        else:
            del hidden[own_again]
            yield Deed("back", own_again, name)
