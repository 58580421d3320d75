"""Chord symbols, read: the longest known kind, then marks in any order, then the bass."""

from __future__ import annotations

import re

from theorykit.errors import TheoryError, shown
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import REPLACED_BY, SPELLINGS, ChordKind
from theorykit.notes.note import Note
from theorykit.notes.slips import in_signs, mended

__all__ = ["ACCEPTED", "plain_symbol", "read_symbol"]

LONGEST_SYMBOL = 64
WITH_SEVENTH = {"": "maj7", "m": "m7", "dim": "dim7"}  # what a triad in words may stand for as well
ACCEPTED = "a root A-G with at most one b or #, then a kind such as m7, maj7, 7b9 or m7b5"

MARKS = "b5 #5 b9 #9 #11 b13, add9, sus4, no3, or a bass such as /E"

_PLAIN = str.maketrans(
    {
        **{"♭": "b", "♯": "#", "♮": " ", "△": "Δ", "∆": "Δ", "Ø": "ø", "⌀": "ø"},
        **{"°": "o", "º": "o", "−": "-", "–": "-", "⁺": "+"},
    }
)
# What some hands write in capitals throughout, with a meaning that capitals do not change.
_CAPITALS = re.compile(r"MAJ|MIN|MA(?!DD)|MI|DIM|AUG|SUS|ADD|ALT|OMIT")
_MARK = re.compile(
    r"[\s,()]+|/(?=\s*[b#+\d-])"  # what may stand between marks
    r"|(?P<major>(?:maj|Maj|ma|M|Δ)7|Δ)"
    r"|(?P<word>add|no|omit)\s*(?P<worded>[b#]?\d+)(?:rd|th)?"
    r"|(?P<sus>sus)(?P<susnumber>[24]?)"
    r"|(?P<sign>[b#+-])(?P<altered>\d+)"
    r"|(?P<natural>\d+)"
    r"|(?P<sharpfive>\+)"
)


def _meanings(pairs: str) -> dict[str, Degree]:
    """Read marks with the degrees they mean, ``b6=b13`` or just ``b9``."""
    words = (word.partition("=") for word in pairs.split())
    return {mark: Degree.parse(meant or mark) for mark, _, meant in words}


# Marks that are read, by what they mean; b6 and the like are written by some hands.
ALTERED = _meanings("b5 #5 b9 #9 #11 b13 b6=b13 #4=#11 b2=b9 #2=#9")
NATURALS = _meanings("9 11 13 6 2=9 4=11")
# A fifth is altered, not added: a player who writes a plain and a sharp 5 means the b13.
ADDABLE = (
    NATURALS
    | {name: degree for name, degree in ALTERED.items() if degree.number != 5}
    | _meanings("3 b6 7 b7")
)
DIMINISHED_SEVENTH = Degree(7, -2)  # it is the sound of a fully diminished chord alone
SEVENTH, MAJOR_SEVENTH = Degree(7, -1), Degree(7)
SUSPENDED_TRIAD = degrees("1 4 5")  # with a tension it is a dominant: Gsus(b9) is G7sus4b9
LEFT_OUT = _meanings("1 3 5 9 11")
# A known kind may not end inside a number or a word: C13 is not C1 and 3, Comit3 is not Co and
# mit3, Cmadd11 is not Cma and dd11.
_NO_BASS = re.compile(r"ma|M7|M9|[b#+-]?(?:5|9|11|13)(?!\d)")  # after a slash
_CUT_WORDS = (*"0123456789", "mit", "dd")


def plain_symbol(text: str) -> str:
    """Return a chord symbol with its signs in plain ASCII, or refuse what is no such text.

    >>> plain_symbol(" B♭△7 "), plain_symbol("AMAJ7")
    ('BbΔ7', 'Amaj7')
    """
    if not isinstance(text, str):
        raise TheoryError(f"not a chord: {shown(text)} (want text such as 'Dm7')")
    if len(text) > LONGEST_SYMBOL:
        raise TheoryError(
            f"not a chord: {shown(text)} (a symbol has at most {LONGEST_SYMBOL} characters)"
        )
    plain = text.strip().translate(_PLAIN)
    return plain[:1] + _CAPITALS.sub(lambda found: found[0].lower(), plain[1:])


def read_symbol(text: str, plain: str) -> tuple[Note, ChordKind, Note | None]:
    """Return root, kind and bass of ``plain``; ``text`` is what the reader typed, for messages.

    >>> root, kind, bass = read_symbol("A7/C#", "A7/C#")
    >>> str(root), str(kind), str(bass)
    ('A', '7', 'C#')
    """
    try:
        return _read_parts(text, plain)
    except TheoryError as wrong:
        words = _meant(plain)
        meant = "" if words else next(filter(None, map(_printed, mended(plain))), "")
        refusal = f"{str(wrong)[:-1]}; probably {meant} is meant)" if meant else str(wrong)
    if words:
        raise TheoryError(f"not a chord: {shown(text)} (a symbol, not words; want {words})")
    raise TheoryError(refusal)


def _printed(symbols: str) -> str:
    """Return symbols, one or more with spaces between them, as we print them; else nothing.

    >>> _printed("C-7"), _printed("Dm7 G7"), _printed("H7")
    ('Cm7', 'Dm7 and then G7', '')
    """
    try:
        parts = [_read_parts(symbol, symbol) for symbol in symbols.split()]
    except TheoryError:
        return ""
    return " and then ".join(
        f"{root}{kind}{f'/{bass}' if bass else ''}" for root, kind, bass in parts
    )


def _read_parts(text: str, plain: str) -> tuple[Note, ChordKind, Note | None]:
    """Return root, kind and bass of a symbol."""
    root, at = _read_root(text, plain)
    body, bass = _read_bass(text, plain, at)
    kind = SPELLINGS.get(body)
    return root, kind if kind is not None else _read_kind(text, body, at), bass


def _meant(plain: str) -> str:
    """Return the symbols that a chord in words may stand for; the empty text for no such chord.

    >>> _meant("C minor"), _meant("B flat 7"), _meant("C7b10")
    ('Cm or Cm7', 'Bb7', '')
    """
    signs = in_signs(plain)
    try:
        root, kind, bass = _read_parts(signs, signs)
    except TheoryError:
        return ""
    below = f"/{bass}" if bass else ""
    seventh = WITH_SEVENTH.get(kind.symbol, "")
    return f"{root}{kind}{below}" + f" or {root}{seventh}{below}" * bool(seventh)


def _refuse(text: str, place: int, reason: str, want: str) -> TheoryError:
    """Word the refusal of a symbol with the place (counted from 1) and what would be accepted."""
    place += len(text) - len(text.lstrip())
    return TheoryError(f"not a chord: {shown(text)} (at character {place}: {reason}; want {want})")


def _read_root(text: str, plain: str) -> tuple[Note, int]:
    """Return the root and where the kind begins."""
    if not plain:
        raise TheoryError(f"not a chord: {shown(text)} (it is empty; want {ACCEPTED})")
    if plain[0] not in "ABCDEFG":
        raise _refuse(text, 1, f"{shown(plain[0])} is no root", ACCEPTED)
    at = 2 if plain[1:2] in ("b", "#") else 1
    if at == 2 and plain[2:3] == plain[1]:
        raise _refuse(text, 3, "a chord root has at most one accidental", ACCEPTED)
    return Note.parse(plain[:at]), at


def _read_bass(text: str, plain: str, at: int) -> tuple[str, Note | None]:
    """Split the kind from the bass; the slash of 6/9, m/maj7 and b9/b13 belongs to the kind."""
    slash = plain.rfind("/", at)
    if slash < 0 or plain[at:] in SPELLINGS:
        return plain[at:], None
    name = plain[slash + 1 :].strip()
    inside = plain.count("(", at, slash) > plain.count(")", at, slash)
    if inside or _NO_BASS.match(name):
        return plain[at:], None
    try:
        return plain[at:slash].rstrip(), Note.parse(name)
    except TheoryError:
        reason = f"{shown(name)} is no bass note"
        raise _refuse(text, slash + 2, reason, "a note name A-G") from None


def _read_kind(text: str, body: str, at: int) -> ChordKind:
    """Read a kind that is no single row: the longest row that starts it, then marks."""
    lead = len(body) - len(body.lstrip())
    for end in range(len(body), lead - 1, -1):
        kind = SPELLINGS.get(body[lead:end])
        if kind is not None and (end == lead or not body[end:].startswith(_CUT_WORDS)):
            return ChordKind.of(_Pile(text, kind).read(body, end, at))
    raise AssertionError("the empty kind begins every symbol")


class _Pile:
    """The marks after a kind, gathered in any order and applied at the end."""

    def __init__(self, text: str, kind: ChordKind) -> None:
        self.text = text
        self.base = kind.degrees
        self.replaced: set[Degree] = set()
        self.added: set[Degree] = set()
        self.dropped: set[Degree] = set()
        self.suspended: Degree | None = None
        self.hung = self.base == SUSPENDED_TRIAD

    def read(self, body: str, start: int, at: int) -> set[Degree]:
        """Return the degrees of the whole symbol."""
        _check_brackets(self.text, body, at)
        here = start
        while here < len(body):
            match = _MARK.match(body, here)
            place = at + here + 1
            if match is None:
                reason = f"{shown(body[here:])} is no mark that can follow"
                raise _refuse(self.text, place, reason, MARKS)
            if not self.take(match.groupdict(), place):
                reason = f"{shown(match[0])} does not fit this chord"
                raise _refuse(self.text, place, reason, MARKS)
            here = match.end()
        found = self.result()
        if not found:
            raise _refuse(self.text, at + start + 1, "no note is left", "at least one")
        return found

    def take(self, mark: dict[str, str | None], place: int) -> bool:
        """Note one mark down; False where it means nothing here."""
        if mark["word"]:
            return self.take_word(mark["word"], mark["worded"] or "", place)
        if mark["major"]:
            return self.take_major_seventh()
        if mark["sus"]:
            return self.take_suspension(Degree(2 if mark["susnumber"] == "2" else 4))
        if mark["sign"]:
            sign = {"+": "#", "-": "b"}.get(mark["sign"], mark["sign"])
            return self.take_alteration(sign + (mark["altered"] or ""))
        if mark["natural"]:
            return self.take_natural(mark["natural"])
        return self.take_alteration("#5") if mark["sharpfive"] else True

    def take_suspension(self, degree: Degree) -> bool:
        """Note down what stands for the third, once."""
        if self.suspended not in (None, degree):
            return False
        self.suspended = degree
        return any(d.number == 3 for d in self.base) and DIMINISHED_SEVENTH not in self.base

    def take_major_seventh(self) -> bool:
        """Note down a major seventh: over a minor third it takes the place of the minor one."""
        sevenths = [degree for degree in self.base if degree.number == 7]
        minor = Degree(3, -1) in self.base
        if sevenths and (not minor or sevenths != [SEVENTH]):
            return False
        self.dropped.update(sevenths)
        self.added.add(MAJOR_SEVENTH)
        return True

    def take_word(self, word: str, number: str, place: int) -> bool:
        """Note down an added degree or one that is left out."""
        if word == "add":
            return number in ADDABLE and self.take_added(ADDABLE[number], place)
        if number not in LEFT_OUT:
            return False
        if LEFT_OUT[number] not in self.base:
            have = " ".join(str(d) for d in self.base if str(d) in LEFT_OUT)
            raise _refuse(
                self.text, place, f"there is no plain {number} to leave out", f"one of {have}"
            )
        self.dropped.add(LEFT_OUT[number])
        return True

    def take_added(self, degree: Degree, place: int) -> bool:
        """Note down an added degree; a chord has one third and one seventh."""
        for other in (*self.base, *self.added):
            if other.number == degree.number in (3, 7) and other != degree:
                reason = f"the chord has its {other}, and cannot have the {degree} as well"
                raise _refuse(self.text, place, reason, "one third and one seventh")
        self.added.add(degree)
        return True

    def take_alteration(self, name: str) -> bool:
        """Note down an altered degree."""
        if name not in ALTERED or (name == "#5" and DIMINISHED_SEVENTH in self.base):
            return False
        if self.hung and ALTERED[name].number in (9, 13):
            self.replaced.add(SEVENTH)
        self.replaced.add(ALTERED[name])
        return True

    def take_natural(self, number: str) -> bool:
        """Note down a plain tension; on a bare triad it needs the word add."""
        tall = self.hung or any(degree.number in (6, 7) for degree in (*self.base, *self.added))
        if number not in NATURALS or not tall:
            return False
        if self.hung:
            self.replaced.add(SEVENTH)
        self.added.add(NATURALS[number])
        return True

    def result(self) -> set[Degree]:
        """Apply the marks: what is altered goes first, what is added stays."""
        gone = {REPLACED_BY.get(degree, degree) for degree in self.replaced} | self.dropped
        kept = {degree for degree in self.base if degree not in gone}
        if self.suspended is not None:
            kept = {degree for degree in kept if degree.number != 3} | {self.suspended}
        found = kept | self.replaced | self.added
        if any(degree.number == 3 for degree in found):  # a 4 beside a third is an added 11
            found = {Degree(d.number + 7) if d.number in (2, 4) else d for d in found}
        return found


def _check_brackets(text: str, body: str, at: int) -> None:
    """Refuse brackets that do not match."""
    if "(" not in body and ")" not in body:
        return
    depth = 0
    for place, sign in enumerate(body, at + 1):
        depth += (sign == "(") - (sign == ")")
        if depth < 0:
            raise _refuse(text, place, "a bracket closes that was not opened", "( before )")
    if depth:
        raise _refuse(text, at + 1 + body.index("("), "a bracket stays open", "a closing )")
