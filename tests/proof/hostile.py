"""Hostile input: texts, bytes and values of many kinds, drawn by a seed.

Every generator takes a ``random.Random``, so that an input can be made again from its number.
"""

from __future__ import annotations

import io
import json
import re
import string
import warnings
import zipfile
from collections.abc import Callable, Sequence
from random import Random
from typing import Any
from xml.etree import ElementTree

__all__ = ["Draw", "bytes_like", "json_like", "odd_value", "several", "text_like", "xml_like"]

Draw = Callable[[Random], Any]
NASTY = (
    "\0", "\x07", "\x1b[31m", "\ud800", "\udfff", "\u202e", "\u2066", "\ufeff", "\u200d", "\u0301",
    "\u2028", "\u0085", "\u00a0", "\uffff", "\U0001f3b7", "\U0010ffff", "\u0660\u0663", "\u00b2",
    "\u2461", "\uff17", "\u2155", "\u0130", "\u0131", "\u017f", "\u212a", "\u00df", "\ufb01",
    "\u266d", "\u266f",
    "\u266e", "\U0001d12b", "\u00f8", "\u0394", "\u00b0", "\u2212", "\u2013", "\r", "\n", "\r\n",
    "\t", "\v", "\f", "%s", "{}", "${x}", "$", "\\", "\\u0000", "'", '"', '"""', "'''", "`", "<b>",
    "</script>", "<!--", "]]>", "&amp;", "&#0;", "--", ";", "/", "../", "~", "-1", "0", "00", "1e9",
    "99999999999999999999", "nan", "inf", "-0", "1_0", "0x10", "1/0", "1/3", "None", "True", "#",
    "##", "bb", "###", "bbbbbbbb", "|", "||", "|:", ":|", "%", "N.C.", "(", ")", "[", "]", "{", "}",
    "=", ":", ",", ".", "..", "+", "-", "*", "?", "!", "@", "^",
)  # fmt: skip
RANGES = ((32, 127), (0, 256), (0, 0x3000), (0x2600, 0x2700), (0xD800, 0xE000), (0, 0x110000))
LONG = (10, 100, 1_000, 5_000, 20_000)
VERY_LONG = (100_000, 400_000)  # drawn one time in a hundred of the long ones
PAIRS = ("()", "[]", "{}", "||", '""', "''", "<>", "/*", "|::|")


def random_text(rng: Random) -> str:
    """Return signs of one range."""
    low, high = rng.choice(RANGES)
    return "".join(chr(rng.randrange(low, high)) for _ in range(rng.choice((0, 1, 2, 5, 20, 200))))


def words_of(seeds: Sequence[str]) -> tuple[str, ...]:
    """Return the words and signs that some texts are made of."""
    found: dict[str, None] = {}
    for seed in seeds:
        found |= dict.fromkeys(re.findall(r"\w+|[^\w\s]|\s+", seed))
        found |= dict.fromkeys(seed.split())
    return tuple(found) or ("",)


def from_words(rng: Random, words: Sequence[str]) -> str:
    """Return words in an order of chance: nearly what is wanted."""
    between = rng.choice(("", " ", " ", "\n", " | "))
    count = rng.choice((1, 2, 3, 5, 8, 20, 60))
    return between.join(rng.choice(words) for _ in range(count))


def extreme(rng: Random, words: Sequence[str]) -> str:
    """Return one thing very often, or nested very deep, or both."""
    many = rng.choice(VERY_LONG) if not rng.randrange(100) else rng.choice(LONG)
    kind = rng.randrange(5)
    word = rng.choice(words) if rng.random() < 0.7 else rng.choice(NASTY)
    if kind == 0:
        return word * min(many, 1 + 500_000 // max(1, len(word)))
    if kind == 1:
        left, right = rng.choice(PAIRS)[0], rng.choice(PAIRS)[-1]
        return left * many + word + right * rng.choice((0, many))
    if kind == 2:
        pair = f"{rng.choice(words)}{rng.choice(words)} "
        return pair * min(many, 1 + 500_000 // len(pair))
    if kind == 3:
        return rng.choice(words) + rng.choice(string.digits) * many
    return rng.choice((" ", "\n", "\t", "\0", ".", "b", "#", "|")) * many + rng.choice(words)


def mutated_text(rng: Random, seeds: Sequence[str]) -> str:
    """Return a good text with some places spoiled."""
    text = rng.choice(seeds)
    for _ in range(rng.choice((1, 1, 1, 2, 3, 6))):
        at = rng.randint(0, len(text))
        to = min(len(text), at + rng.choice((0, 1, 1, 2, 5, 30)))
        piece = text[at:to]
        text = text[:at] + _spoiled(rng, piece, seeds) + text[to:]
    return text


def _spoiled(rng: Random, piece: str, seeds: Sequence[str]) -> str:
    """Return another piece of text for one."""
    kind = rng.randrange(8)
    if kind == 0:
        return ""
    if kind == 1:
        return piece * rng.choice((2, 3, 10, 300))
    if kind == 2:
        return piece.swapcase()
    if kind == 3:
        return piece[::-1]
    if kind == 4:
        other = rng.choice(seeds)
        at = rng.randint(0, len(other))
        return other[at : at + rng.choice((1, 4, 30))]
    return rng.choice(NASTY) + (piece if rng.random() < 0.5 else "")


def odd_value(rng: Random) -> object:
    """Return what is no text at all."""
    return rng.choice(
        (
            *(None, True, False, 0, -1, 7, 10**30, 1.5, float("nan"), float("inf"), 3j),
            *(b"C", bytearray(b"C"), [], ["C"], (), ("C", 1), {}, {"C": 1}, {1, 2}, object()),
            *(range(3), len, str, iter(()), Ellipsis, memoryview(b"C"), [None], [["C"]], "C".join),
        )
    )


def text_like(*seeds: str, words: Sequence[str] = (), odd: bool = True) -> Draw:
    """Return what draws texts that are more or less like good ones; ``odd`` values besides."""
    known = (*words_of(seeds), *words)

    def draw(rng: Random) -> object:
        kind = rng.randrange(100)
        if kind < 45:
            return mutated_text(rng, seeds)
        if kind < 72:
            return from_words(rng, known)
        if kind < 80:
            return random_text(rng)
        if kind < 84:
            return extreme(rng, known)
        if kind < 88 and odd:
            return odd_value(rng)
        if kind < 93:
            return from_words(rng, (*known, *NASTY))
        return rng.choice(seeds)

    return draw


def several(*kinds: tuple[Draw, Sequence[object]]) -> Draw:
    """Return what draws a tuple: for each place a draw and good ones; one place is spoiled."""

    def draw(rng: Random) -> tuple[Any, ...]:
        spoiled = rng.randrange(2 * len(kinds))
        return tuple(
            one(rng) if place == spoiled or rng.random() < 0.1 else rng.choice(good)
            for place, (one, good) in enumerate(kinds)
        )

    return draw


# === Bytes ===

MAGIC = (
    b"PK\x03\x04",
    b"MThd",
    b"MTrk",
    b"<?xml ",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"SQLite format 3\0",
)
ENCODINGS = ("utf-16", "utf-16-le", "utf-32", "latin-1", "utf-8-sig", "cp037", "utf-7")


def random_bytes(rng: Random) -> bytes:
    """Return bytes of chance, some of them with a beginning that promises something."""
    start = rng.choice(MAGIC) if rng.random() < 0.5 else b""
    return start + rng.randbytes(rng.choice((0, 1, 7, 40, 500, 20_000)))


def mutated_bytes(rng: Random, seeds: Sequence[bytes]) -> bytes:
    """Return a good file with bytes changed, cut out, doubled or cut off."""
    data = bytearray(rng.choice(seeds))
    for _ in range(rng.choice((1, 1, 2, 4, 12))):
        at, kind = rng.randint(0, len(data)), rng.randrange(7)
        to = at + rng.choice((1, 1, 2, 4, 16, 300))
        if kind <= 1:
            data[at:to] = rng.randbytes(len(data[at:to]))
        elif kind == 2:
            del data[at:to]
        elif kind == 3:
            data[at:at] = data[at:to] * rng.choice((1, 2, 50))
        elif kind == 4:
            data[at:to] = rng.choice((b"\xff", b"\0", b"\x80")) * len(data[at:to])
        elif kind == 5 and at < len(data):
            data[at] ^= 1 << rng.randrange(8)
        elif rng.random() < 0.2:
            del data[at:]
    return bytes(data)


def recoded(rng: Random, seeds: Sequence[bytes]) -> bytes:
    """Return a good text in another code."""
    text = rng.choice(seeds).decode("utf-8", "replace")
    return text.encode(rng.choice(ENCODINGS), "replace")


def bytes_like(*seeds: bytes, also: Sequence[Draw] = ()) -> Draw:
    """Return what draws files that are more or less like good ones; ``also`` is drawn as often."""

    def draw(rng: Random) -> bytes:
        if also and rng.random() < 0.5:
            return bytes(rng.choice(also)(rng))
        kind = rng.randrange(100)
        if kind < 62:
            return mutated_bytes(rng, seeds)
        if kind < 80:
            return random_bytes(rng)
        if kind < 86:
            return recoded(rng, seeds)
        if kind < 90:
            return zipped(rng, rng.choice(seeds))
        return rng.choice(seeds)

    return draw


def zipped(rng: Random, data: bytes) -> bytes:
    """Return a file in a zip, under a name that may be odd."""
    box = io.BytesIO()
    name = rng.choice(
        ("score.xml", "a.musicxml", "../x.xml", "/x.xml", "META-INF/container.xml", "")
    )
    how = rng.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))
    with zipfile.ZipFile(box, "w", how) as file, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # two files of one name are meant
        for _ in range(rng.choice((0, 1, 1, 1, 2))):
            file.writestr(zipfile.ZipInfo(name or "x"), data)
    return box.getvalue()


# === Trees ===

NUMBERS = (
    "0", "1", "-1", "2", "3", "7", "12", "64", "127", "255", "1000", "99999", "1e9", "1e400", "nan",
    "inf", "-0.5", "0.333", "1/3", "", " 4 ", "four", "\u0664", "99999999999999999999999", "0x10",
)  # fmt: skip


def xml_like(*seeds: bytes) -> Draw:
    """Return what draws XML whose elements are gone, doubled, moved, emptied or said otherwise."""

    def draw(rng: Random) -> bytes:
        root = ElementTree.fromstring(rng.choice(seeds))
        for _ in range(rng.choice((1, 1, 2, 3, 8))):
            _spoil_element(rng, root)
        return ElementTree.tostring(root, encoding=rng.choice(("utf-8", "utf-8", "us-ascii")))

    return draw


def _spoil_element(rng: Random, root: ElementTree.Element) -> None:
    """Spoil one place of a tree."""
    everything = [one for one in root.iter()]
    parents = [one for one in everything if len(one)]
    one, parent = rng.choice(everything), rng.choice(parents) if parents else root
    kind = rng.randrange(9)
    if kind == 0 and len(parent):
        parent.remove(rng.choice(list(parent)))
    elif kind == 1 and len(parent):
        child = rng.choice(list(parent))
        for _ in range(rng.choice((1, 1, 2, 40))):
            parent.append(child)
    elif kind == 2 and one is not parent and parent not in one.iter():
        parent.insert(rng.randint(0, len(parent)), one)
    elif kind == 3:
        one.text = None
    elif kind == 4:
        one.text = rng.choice(NUMBERS)
    elif kind == 5:
        one.text = rng.choice(everything).text
    elif kind == 6 and one.attrib:
        one.set(rng.choice(list(one.attrib)), rng.choice((*NUMBERS, "start", "stop", "continue")))
    elif kind == 7 and one.attrib:
        del one.attrib[rng.choice(list(one.attrib))]
    else:
        one.tag = rng.choice(everything).tag


def json_like(*seeds: str) -> Draw:
    """Return what draws JSON text whose values are gone, doubled or others."""

    def draw(rng: Random) -> str:
        data = json.loads(rng.choice(seeds))
        for _ in range(rng.choice((1, 1, 2, 5))):
            data = _spoil_value(rng, data)
        return json.dumps(data, ensure_ascii=rng.random() < 0.5)

    return draw


def _spoil_value(rng: Random, data: Any) -> Any:
    """Return plain data with one place spoiled."""
    if isinstance(data, dict) and data and rng.random() < 0.85:
        name = rng.choice(list(data))
        if rng.random() < 0.1:
            return {key: value for key, value in data.items() if key != name}
        return {**data, name: _spoil_value(rng, data[name])}
    if isinstance(data, list) and data and rng.random() < 0.8:
        at = rng.randrange(len(data))
        if rng.random() < 0.1:
            return data[:at] + data[at : at + 1] * rng.choice((0, 2, 30)) + data[at + 1 :]
        return [*data[:at], _spoil_value(rng, data[at]), *data[at + 1 :]]
    if isinstance(data, str) and rng.random() < 0.6:
        return mutated_text(rng, (data,))
    return rng.choice(
        (
            None,
            True,
            0,
            -1,
            1.5,
            1e308,
            float("nan"),
            "",
            "C",
            [],
            [[]],
            {},
            {"name": "x"},
            "x" * 999,
        )
    )
