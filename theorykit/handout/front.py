"""The front of a handout: title, note, names; and its editions: for whom, on which paper."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date as Date
from itertools import product
from typing import Annotated

from theorykit.errors import TheoryError, shown
from theorykit.handout.entries import About
from theorykit.handout.file_names import day_in, file_name
from theorykit.handout.names import checked_names, checked_typed, moved_names
from theorykit.handout.pieces import checked_line, checked_text
from theorykit.handout.web_address import checked_address, page_address
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.notes.key import KEYS, Key
from theorykit.notes.reader import READERS, Reader, reader

__all__ = [
    "AUDIENCES",
    "EVERYONE",
    "PAPERS",
    "SIZES",
    "WEB_QUESTIONS",
    "AsTyped",
    "ChangesKey",
    "Edition",
    "Front",
    "KeyName",
    "Names",
    "chosen_editions",
    "reader_words",
]

# === Editions ===

AUDIENCES = ("student", "teacher")
# Width and height in millimetres. Sources: ISO 216; ANSI/ASME Y14.1, size A.
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
SIZES = {"normal": 1.0, "large print": 1.5}
# How long the pages may be, and how many pages that is; 0 for any number.
FITS = {"any number of pages": 0, "1 page": 1, "2 pages": 2, "3 pages": 3, "4 pages": 4}

# Whether the web page asks about what stands on it.
WEB_QUESTIONS = ("for the week", "none")

_PARTS = {
    "reader": tuple(one.name for one in READERS),
    "audience": AUDIENCES,
    "paper": tuple(PAPERS),
    "size": tuple(SIZES),
}


SLOWEST, FASTEST = 40, 300  # beats a minute of what a class practises


@dataclass(frozen=True, slots=True)
class Edition:
    """One way to print a handout.

    ``reader`` is any name that players use, kept as that of ``READERS``; ``audience`` is student or
    teacher, ``paper`` A4 or Letter, ``size`` normal or large print.

    >>> one = Edition("B flat", "teacher")
    >>> str(one), Edition.parse("large print, E flat").size
    ('B flat, teacher, A4', 'large print')
    """

    reader: str = "concert"
    audience: str = "student"
    paper: str = "A4"
    size: str = "normal"

    def __post_init__(self) -> None:
        """Refuse what is not offered."""
        with suppress(TheoryError):
            object.__setattr__(self, "reader", reader(self.reader).name)
        for name, offered in _PARTS.items():
            value = getattr(self, name)
            if value not in offered:
                raise TheoryError(f"no such {name}: {shown(value)} (want {_listed(offered)})")

    @classmethod
    def parse(cls, text: str) -> Edition:
        """Read an edition; what is not named stays concert, student, A4, normal.

        >>> str(Edition.parse("alto sax, teacher"))
        'E flat, teacher, A4'
        >>> Edition.parse("kazoo")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no such edition: 'kazoo' (want names such as 'B flat, \
teacher, A4, large print')
        """
        if not isinstance(text, str):
            raise TheoryError(f"not an edition: {shown(text)} (want text such as 'B flat')")
        found: dict[str, str] = {}
        for word in filter(None, (" ".join(part.split()) for part in text.split(","))):
            name, value = _part(word)
            if name in found:
                raise TheoryError(f"two {name}s in one edition: {shown(text)} (want one)")
            found[name] = value
        return cls(**found)

    @property
    def who(self) -> Reader:
        """The reader, with clef and transposition.

        >>> Edition("trombone").who.name
        'bass clef'
        """
        return reader(self.reader)

    @property
    def factor(self) -> float:
        """How large the print is, 1 being the normal size.

        >>> Edition.parse("B flat, large print").factor
        1.5
        """
        return SIZES[self.size]

    def most_pages(self, fits: str) -> int:
        """Return how many pages there are to be for a target, 0 for any number.

        Large print takes more than twice the room, and is to have twice the pages: one sheet of
        paper, printed on both sides, for one page.

        >>> Edition().most_pages("1 page"), Edition(size="large print").most_pages("1 page")
        (1, 2)
        """
        return FITS[fits] * (1 if self.size == "normal" else 2)

    def longest(self, fits: str) -> int:
        """Return how many pages there may be before anything is left out.

        Large print takes half as many again rather than that: its reader is to have what the others
        have, in letters that can be read.

        >>> Edition().longest("2 pages"), Edition(size="large print").longest("2 pages")
        (2, 6)
        """
        return FITS[fits] * (1 if self.size == "normal" else 3)

    def __str__(self) -> str:
        size = "" if self.size == "normal" else f", {self.size}"
        return f"{self.reader}, {self.audience}, {self.paper}{size}"


EVERYONE = tuple(Edition(*parts) for parts in product(*_PARTS.values()))


def _listed(names: Iterable[str]) -> str:
    """List what is offered."""
    *most, last = names
    return f"{', '.join(most)} or {last}"


def _part(word: str) -> tuple[str, str]:
    """Return which part of an edition a word names."""
    for name, offered in _PARTS.items():
        for value in offered:
            if value.casefold() == word.casefold():
                return name, value
    with suppress(TheoryError):
        return "reader", reader(word).name
    raise TheoryError(
        f"no such edition: {shown(word)} (want names such as 'B flat, teacher, A4, large print')"
    )


def chosen_editions(wanted: object) -> tuple[Edition, ...]:
    """Return the editions that were asked for, each once, in the order in which they were named.

    ``wanted`` is ``"everyone"``, an edition or its text, or several of them.

    >>> [str(one) for one in chosen_editions(["concert", "B flat, teacher"])]
    ['concert, student, A4', 'B flat, teacher, A4']
    >>> len(chosen_editions("everyone"))
    48
    """
    if isinstance(wanted, str) and wanted.strip().casefold() == "everyone":
        return EVERYONE
    many = [wanted] if isinstance(wanted, str | Edition) else wanted
    if not isinstance(many, Iterable):
        raise TheoryError(f"not editions: {shown(wanted)} (want 'everyone' or a list of editions)")
    found = [one if isinstance(one, Edition) else Edition.parse(one) for one in many]
    if not found:
        raise TheoryError("no edition (want at least one, such as 'concert', or 'everyone')")
    return tuple(dict.fromkeys(found))


# What a written note does to the ear, by half steps from the sounding to the written pitch.
_DISTANCES = {
    2: "a whole step above",
    7: "a fifth above",
    9: "a major sixth above",
    12: "an octave above",
    -12: "an octave below",
}


def distance_words(who: Reader) -> str:
    """Return how far what is written stands from concert pitch; empty text for no distance.

    >>> distance_words(reader("F"))
    'a fifth above'
    """
    return _DISTANCES.get(who.semitones, "")


def reader_words(who: Reader) -> str:
    """Return what an edition's page says of its reader.

    >>> reader_words(reader("E flat"))
    'For E♭ instruments: alto saxophone. Written a major sixth above concert pitch.'
    >>> reader_words(reader("concert"))
    'For instruments in concert pitch: flute, violin, voice, vibraphone, piano.'
    """
    name = {
        "concert": "instruments in concert pitch",
        "B flat": "B♭ instruments",
        "E flat": "E♭ instruments",
        "F": "horn in F",
        "bass clef": "readers of the bass clef",
        "guitar": "guitar",
    }[who.name]
    players = who.players.partition(";")[0]
    distance = distance_words(who)
    first = f"For {name}" if name == players else f"For {name}: {who.players.replace(';', ',')}"
    if who.name == "guitar":
        return f"{first}, written {distance} where it sounds."
    if who.clef == "bass":
        return f"For {name}: {players}. Written, and sounding, an octave below the concert page."
    return f"{first}. Written {distance} concert pitch." if distance else f"{first}."


LONGEST_NOTE = 3_000

# Entries that the front has in common with blocks.
_KEYS = tuple(str(key).removesuffix(" major") for key in KEYS)
KeyName = Annotated[str, About(offers=_KEYS, reads=Key.parse)]
ChangesKey = Annotated[
    str,
    About(
        offers=_KEYS,
        reads=Key.parse,
        says="empty: the key that the changes point to; without any that of the sheet's tune, or C",
    ),
]
Names = Annotated[
    tuple[str, ...],
    About(
        says="names beside those that are found in the text: they are written for each reader",
        hint="G7, Eb",
    ),
]
AsTyped = Annotated[
    tuple[str, ...],
    About(
        says="words that look like names of notes or chords and are none: they stay as typed",
        hint="B, Am",
    ),
]


@dataclass(frozen=True, slots=True)
class Front:
    """What stands above and below the blocks of a handout, and how its recordings sound.

    ``teacher``, ``date`` and ``licence`` stand at the foot of the pages where they are given;
    ``tempo`` (beats a minute) and ``melody`` are for the sound that goes with the pages. The
    names of notes and chords in the title and the note are those of concert pitch and ``key``, and
    are moved for each reader: those that are found, and those in ``names``; not those in
    ``as_typed``. ``fits`` is the target for the length of the pages, ``web_address`` where the
    students' web page will lie, ``web_questions`` whether it asks about what stands on it.
    """

    title: Annotated[str, About(hint="One colour over the five", names=True)]
    note: Annotated[str, About(hint="Play the shape first, then the line.", rows=4, names=True)] = (
        ""
    )
    teacher: Annotated[str, About(hint="Ida")] = ""
    date: Annotated[Date | str, About(says="a day, or any words", hint="5 March 2026")] = ""
    licence: Annotated[
        str,
        About(says="a line at the foot: what it covers, and what not", hint="for our band only"),
    ] = ""
    tempo: Annotated[int, About(says="beats a minute, of the recordings")] = 100
    melody: Annotated[
        str, About(offers=tuple(MELODY_SOUNDS), says="the sound of the recordings")
    ] = "tenor saxophone"
    names: Names = ()
    as_typed: AsTyped = ()
    key: KeyName = "C"
    fits: Annotated[
        str,
        About(
            offers=tuple(FITS),
            says="how long the pages may be: they are set closer, then show less, until they fit",
        ),
    ] = next(iter(FITS))
    web_address: Annotated[
        str,
        About(
            says="where the students' web page will lie, its folder with / at the end; "
            "a link and a code to scan are then printed for each instrument",
            hint="https://example.org/thursday/",
        ),
    ] = ""
    web_questions: Annotated[
        str,
        About(offers=WEB_QUESTIONS, says="asked at the end of the web page, answers folded away"),
    ] = WEB_QUESTIONS[0]

    def __post_init__(self) -> None:
        """Check every entry."""
        if not checked_line(self.title, "title").strip():
            raise TheoryError("a handout without a title (want a title of one line)")
        checked_text(self.note, "note", longest=LONGEST_NOTE)
        checked_line(self.teacher, "teacher")
        checked_line(self.licence, "licence", longest=300)
        if not isinstance(self.date, Date):
            checked_line(self.date, "date", longest=40)
        if not isinstance(self.tempo, int) or not SLOWEST <= self.tempo <= FASTEST:
            raise TheoryError(
                f"no such tempo: {shown(self.tempo)} (want {SLOWEST} to {FASTEST} beats a minute)"
            )
        for what, value, offered in (
            ("melody", self.melody, MELODY_SOUNDS),
            ("length", self.fits, FITS),
            ("questions", self.web_questions, WEB_QUESTIONS),
        ):
            if value not in offered:
                raise TheoryError(f"no such {what}: {shown(value)} (want {', '.join(offered)})")
        checked_address(self.web_address)
        Key.parse(self.key)
        checked_names(self.names)
        checked_typed(self.as_typed)

    def web_file(self, audience: str) -> str:
        """Return the name of the file of a web page.

        >>> from theorykit.handout.front import Front
        >>> Front("Over G7: why?").web_file("student")
        'Over G7 why - student.html'
        """
        return f"{file_name(self.title)} - {audience}.html"

    @property
    def week_folder(self) -> str:
        """The name of a folder for this handout alone; those of a term stand in their order.

        >>> from datetime import date
        >>> from theorykit.handout.front import Front
        >>> Front("Over G7", date=date(2026, 3, 5)).week_folder
        '2026-03-05 Over G7'
        >>> Front("Over G7", date="5 March 2026").week_folder
        '2026-03-05 Over G7'
        """
        day = day_in(self.date)
        return file_name(f"{day} {self.title}" if day is not None else self.title)

    def link(self, who: Reader) -> str:
        """Return the address at which the students' page opens for a reader; empty for none.

        >>> from theorykit.handout.front import Front
        >>> from theorykit.notes.reader import reader
        >>> Front("Warm-up", web_address="https://example.org/x/").link(reader("F"))
        'https://example.org/x/Warm-up%20-%20student.html#F'
        """
        return page_address(self.web_address, self.web_file(AUDIENCES[0]), who)

    def said_to(self, who: Reader) -> tuple[str, str]:
        """Return title and note, the names in them moved for a reader.

        >>> from theorykit.handout.front import Front
        >>> from theorykit.notes.reader import reader
        >>> Front("Over G7").said_to(reader("E flat"))
        ('Over E7', '')
        """
        old = Key.parse(self.key)
        new = who.written_key(old)
        title, note = (
            moved_names(text, self.names, old, new, self.as_typed)
            for text in (self.title, self.note)
        )
        return title, note
