"""Names of files: what a text is called where every system can write it."""

from __future__ import annotations

import re
import unicodedata

from theorykit.notes.note import ascii_accidentals

LONGEST_NAME = 120  # bytes of a name, so that what is added to it still fits any file system
# Names that Windows keeps for devices, with any ending.
PORTS = (f"{name}{number}" for name in ("com", "lpt") for number in range(10))
DEVICES = {"con", "prn", "aux", "nul", *PORTS}
_UNFIT = re.compile(r"[^\w ().,'#+-]")


def file_name(text: str, *, otherwise: str = "handout") -> str:
    """Return a text as the name of a file, without an ending.

    Letters of any script, figures, spaces and a few signs stay. No name leads to another folder, is
    hidden, ends in a dot or belongs to a device.

    >>> file_name("♭9 13 over G7: why?"), file_name("../../etc/passwd"), file_name("???")
    ('b9 13 over G7 why', 'etc passwd', 'handout')
    >>> file_name("CON"), len(file_name("x" * 10_000))
    ('CON handout', 120)
    """
    plain = unicodedata.normalize("NFC", ascii_accidentals(text))
    words = " ".join(_UNFIT.sub(" ", plain.replace("/", " ")).split())
    name = words.encode("utf-8")[:LONGEST_NAME].decode("utf-8", "ignore").strip(" .-,'")
    if not any(letter.isalnum() for letter in name):
        name = otherwise
    head, dot, rest = name.partition(".")
    return f"{head} {otherwise}{dot}{rest}" if head.strip().casefold() in DEVICES else name
