"""A teacher's words: checked when they come in, moved where they name notes, printed as they stand.

They are data and never markup.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from datetime import date

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import ascii_accidentals

__all__ = [
    "capital",
    "checked_line",
    "checked_names",
    "checked_text",
    "day_in_words",
    "direction",
    "file_name",
    "moved_names",
    "names_in",
    "paragraphs",
    "with_breaks",
]

LONGEST_TITLE, LONGEST_TEXT = 160, 20_000  # characters
UNBROKEN, PIECE = 24, 12  # a longer word may be broken after so many letters
SOFT_BREAK = "\u200b"  # the zero width space
MOST_NAMES = 60
LONGEST_NAME = 120  # bytes of a name, so that what is added to it still fits any file system
# Names that Windows keeps for devices, with any ending.
PORTS = (f"{name}{number}" for name in ("com", "lpt") for number in range(10))
DEVICES = {"con", "prn", "aux", "nul", *PORTS}

_UNFIT = re.compile(r"[^\w ().,'#+-]")
# A letter with its sign, alone or with what makes it a chord; "A" alone is more often a word.
_NAME = re.compile(
    r"(?<![\w♭♯#'’.-])(?!A(?![\w♭♯#]))"
    r"[A-G][b#♭♯]?(?:(?:m|maj|min|dim|aug|sus|add)?\d[\w♭♯#()]*|maj7?|m|dim|aug|sus|ø7?|°7?|\+)?"
    r"(?![\w♭♯#'’-]|\.\w)"
)
_LONG_WORD = re.compile(rf"[^\s{SOFT_BREAK}]{{{UNBROKEN + 1},}}")


def checked_line(text: object, name: str, *, longest: int = LONGEST_TITLE) -> str:
    """Return a text of one line, or refuse what is none; ``name`` is what the message calls it.

    >>> checked_line("The #1 way to <b>think</b>", "title")
    'The #1 way to <b>think</b>'
    >>> checked_line("x" * 10_000, "title")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: title is too long: 10000 characters (want at most 160)
    """
    line = checked_text(text, name, longest=longest)
    if "\n" in line:
        raise TheoryError(f"{name} has a line break: {shown(line)} (want one line)")
    return line


def checked_text(text: object, name: str, *, longest: int = LONGEST_TEXT) -> str:
    """Return a text of any number of lines, or refuse what no page can show.

    >>> checked_text("bell \\x07", "note")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: note holds a character that no page shows: U+0007 (want letters, \
signs, spaces and line breaks)
    """
    if not isinstance(text, str):
        raise TheoryError(f"{name} is no text: {shown(text)} (want text in quotes)")
    if len(text) > longest:
        raise TheoryError(f"{name} is too long: {len(text)} characters (want at most {longest})")
    for letter in text:
        if letter not in "\n\t" and unicodedata.category(letter) in ("Cc", "Cs", "Co", "Cn"):
            raise TheoryError(
                f"{name} holds a character that no page shows: U+{ord(letter):04X} "
                "(want letters, signs, spaces and line breaks)"
            )
    return text


def paragraphs(text: str) -> tuple[str, ...]:
    """Return the paragraphs of a text; an empty line parts two of them.

    >>> paragraphs("Listen first.\\n\\nThen sing,\\nthen play.\\n")
    ('Listen first.', 'Then sing,\\nthen play.')
    """
    parts = re.split(r"\n[ \t]*\n", text)
    return tuple(part.strip("\n") for part in parts if part.strip())


def with_breaks(text: str) -> str:
    """Return a text in which a very long word may be broken, so that it stays on the page.

    >>> with_breaks("short words"), with_breaks("a" * 26).count("\\u200b")
    ('short words', 2)
    """
    return _LONG_WORD.sub(lambda match: SOFT_BREAK.join(_pieces(match[0])), text)


def _pieces(word: str) -> list[str]:
    """Cut a word, and leave signs that belong to the letter before them with it."""
    pieces = [""]
    for letter in word:
        joined = unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Cf")
        if len(pieces[-1]) >= PIECE and not joined:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def direction(text: str) -> str:
    """Return the way a text runs, ``"ltr"`` or ``"rtl"``, after its first letter that has one.

    Source of the rule: Unicode Standard Annex 9, *Unicode Bidirectional Algorithm*, P2 and P3.

    >>> direction("12 bars"), direction("(שלום)")
    ('ltr', 'rtl')
    """
    for letter in text:
        kind = unicodedata.bidirectional(letter)
        if kind in ("L", "R", "AL"):
            return "ltr" if kind == "L" else "rtl"
    return "ltr"


_MONTHS = (
    "January February March April May June July August September October November December"
).split()


def day_in_words(day: date | str) -> str:
    """Return a day as it is printed; what was typed as text stays as typed.

    >>> day_in_words(date(2026, 3, 5)), day_in_words("in spring")
    ('5 March 2026', 'in spring')
    """
    return day if isinstance(day, str) else f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def capital(text: str) -> str:
    """Return a text with a capital letter at its beginning.

    >>> capital("altered over G7"), capital("♭9 over G7")
    ('Altered over G7', '♭9 over G7')
    """
    return text[:1].upper() + text[1:]


def checked_names(names: Sequence[str]) -> None:
    """Refuse names that name no note and no chord.

    >>> checked_names(["G7", "the"])
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no name of a note or chord: 'the' (want names such as 'E' or 'G7')
    """
    if len(names) > MOST_NAMES:
        raise TheoryError(f"too many names: {len(names)} (want at most {MOST_NAMES})")
    for name in names:
        _chord(name)


def _chord(name: str) -> Chord:
    """Read a name; a note alone reads as the chord on it, whose print is the note."""
    try:
        return Chord.parse(name)
    except TheoryError:
        raise TheoryError(
            f"no name of a note or chord: {shown(name)} (want names such as 'E' or 'G7')"
        ) from None


def moved_names(text: str, names: Sequence[str], old: Key, new: Key) -> str:
    """Return a text with the names in it moved from one key to another and set with ♭ and ♯.

    Only whole words that were listed are moved; every other letter stays as it was typed.

    >>> concert, trumpet = Key.parse("C"), Key.parse("D")
    >>> moved_names("Over G7 think E. A good idea!", ["G7", "E"], concert, trumpet)
    'Over A7 think F♯. A good idea!'
    """
    if not names:
        return text
    held = new.notes
    found = {
        name: _chord(name).transposed(old.tonic, new.tonic, held).pretty
        for name in sorted(names, key=len, reverse=True)
    }
    words = "|".join(map(re.escape, found))
    pattern = re.compile(rf"(?<![\w♭♯#])(?:{words})(?![\w♭♯#])")
    return pattern.sub(lambda match: found[match[0]], text)


def names_in(text: str) -> tuple[str, ...]:
    """Return the words of a text that look like names of notes and chords, in order.

    >>> names_in("A triad on E. Go on to Am7!")
    ('E', 'Am7')
    """
    return tuple(word[0] for word in _NAME.finditer(text) if _is_name(word[0]))


def _is_name(word: str) -> bool:
    """Tell whether a word names a note or a chord."""
    try:
        Chord.parse(word)
    except TheoryError:
        return False
    return True


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
    return f"{name} {otherwise}" if name.split(".")[0].strip().casefold() in DEVICES else name
