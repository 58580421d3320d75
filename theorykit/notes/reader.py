"""Readers: players whose page is written in another key, octave or clef than what sounds.

Source of the intervals: common practice; those of trumpet, alto saxophone and horn agree with
music21's table of instruments. The guitar sounds an octave lower than it is written. Source of the
names: Samuel Adler, *The Study of Orchestration* (3rd edition, 2002), the chapters on woodwind,
brass, strings and plucked strings, from memory; short names as players say them (common practice).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import Protocol, Self, TypeVar

from theorykit.errors import TheoryError, shown

__all__ = [
    "BASSIST",
    "LOW_SAXOPHONES",
    "READERS",
    "Reader",
    "has_four_strings",
    "page_of",
    "reader",
]

MOST_SIGNS = 6  # of a key that transposing brings about
SHARPEST = 10  # on the line of fifths: A sharp, the last name before E sharp
ROUND = 12  # fifths, after which the same sound comes again


class Named(Protocol):
    """A name with a place on the line of fifths, as notes and keys have: it can be moved there."""

    @property
    def fifths(self) -> int:
        """The place on the line of fifths; of a key, its signs."""

    def along(self, places: int) -> Self:
        """Return the name so many places further."""


class Signed(Named, Protocol):
    """A key, as far as readers ask."""

    @property
    def is_minor(self) -> bool:
        """True for a minor key."""


AnyNote = TypeVar("AnyNote", bound=Named)
AnyKey = TypeVar("AnyKey", bound=Signed)


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads the page: a name, a clef, how far the page is from the sound.

    ``clef`` is ``"treble"`` or ``"bass"``; ``fifths`` is the place on the line of fifths of the
    name on the page of the C that sounds; ``octaves`` are added to that. ``players`` says in words
    whose page it is, ``names`` are all the names that ``reader`` takes, besides its own.

    >>> reader("E flat").semitones, reader("B flat").fifths
    (9, 2)
    """

    name: str
    clef: str
    fifths: int = 0
    octaves: int = 0
    players: str = ""
    names: tuple[str, ...] = field(default=(), repr=False)

    @property
    def semitones(self) -> int:
        """Half steps from the sounding to the written pitch."""
        return 7 * self.fifths % 12 + 12 * self.octaves

    @property
    def transposes(self) -> bool:
        """True where the page has other names than those that sound."""
        return self.fifths != 0

    def written_key(self, key: AnyKey) -> AnyKey:
        """Return the key on the page.

        Of two keys that sound alike, a page that transposing brings about has the kinder one: five
        signs before seven (Michael Miller, *The Complete Idiot's Guide to Music Theory*, 2005,
        chapter 18, names D flat before C sharp for what sounds in B), and E flat minor, whose V is
        B flat 7, before D sharp minor, whose V is A sharp 7 with a C double sharp.

        >>> from theorykit.notes.key import Key
        >>> concert = ("C# major", "B major", "C# minor", "E major")
        >>> [str(reader("B flat").written_key(Key.parse(key))) for key in concert]
        ['Eb major', 'Db major', 'Eb minor', 'F# major']
        """
        return key.along(_kinder(key, self.fifths))

    def sounding_key(self, key: AnyKey) -> AnyKey:
        """Return the key that sounds where the page is in ``key``: the way back.

        >>> from theorykit.notes.key import Key
        >>> str(reader("B flat").sounding_key(Key.parse("D")))
        'C major'
        """
        return key.along(_kinder(key, -self.fifths))

    def written_note(self, note: AnyNote, key: Signed | None = None) -> AnyNote:
        """Return the name on the page of a sounding note, in music that sounds in ``key``.

        Without a key, a name that moving would make E sharp, B sharp or doubly sharp is a plain
        one.
        """
        if key is not None:
            return note.along(_kinder(key, self.fifths))
        strange = self.transposes and note.fifths + self.fifths > SHARPEST
        return note.along(self.fifths - ROUND * strange)


def _kinder(key: Signed, distance: int) -> int:
    """Return how far to move along the line of fifths, so that a key has the kinder of its names.

    No distance stays none: who reads what sounds has the key that was asked for.
    """
    if not distance:
        return 0
    signs = key.fifths + distance
    few = MOST_SIGNS - 1 if key.is_minor else MOST_SIGNS
    return distance - ROUND * (signs > few) + ROUND * (signs < -MOST_SIGNS)


def _names(text: str) -> tuple[str, ...]:
    """Return the names of a row of the table."""
    return tuple(name.strip() for name in text.split(","))


READERS = (
    Reader(
        *("concert", "treble", 0, 0, "flute, violin, voice, vibraphone, piano"),
        _names(
            "c, concert pitch, flute, oboe, violin, viola, voice, vocals, singer, vibraphone, "
            "vibes, marimba, piano, keyboard, keyboards, organ, accordion, harmonica, c trumpet"
        ),
    ),
    Reader(
        *("B flat", "treble", 2, 0, "trumpet, clarinet; tenor saxophone an octave lower"),
        _names(
            "trumpet, cornet, flugelhorn, flugel, clarinet, bass clarinet, soprano saxophone, "
            "tenor saxophone, tenor"
        ),
    ),
    Reader(
        *("E flat", "treble", 3, 0, "alto saxophone"),
        _names(
            "alto saxophone, alto, baritone saxophone, bari saxophone, bari, alto clarinet, "
            "e flat clarinet, alto horn, tenor horn"
        ),
    ),
    Reader(
        *("F", "treble", 1, 0, "horn in F"),
        _names("horn, french horn, english horn, cor anglais, mellophone"),
    ),
    Reader(
        *("bass clef", "bass", 0, -1, "trombone, cello; the page is an octave down"),
        _names(
            "trombone, bass trombone, cello, bassoon, euphonium, tuba, double bass, upright bass, "
            "contrabass, bass, bass guitar, electric bass"
        ),
    ),
    Reader(
        *("guitar", "treble", 0, 1, "guitar; it sounds an octave lower than written"),
        _names("electric guitar, acoustic guitar, classical guitar, jazz guitar"),
    ),
)

# Who reads the bass clef off four strings: the page is the same, and there is a fingerboard.
BASSIST = replace(
    READERS[4],
    players="double bass, bass guitar; with a fingerboard",
    names=_names("double bass, upright bass, contrabass, bass, bass guitar, electric bass"),
)

# The pages of saxophones that sound low, as they are read for what was played on them: a major
# ninth and a major thirteenth up (common practice; music21's table). What is printed for many, such
# as a handout in B flat, is read an octave lower on them. Lists that have no such page would refuse
# it, so no name of a reader finds them, but the instrument on which something was played does.
LOW_SAXOPHONES = (
    Reader("tenor a ninth up", "treble", 2, 1, "tenor saxophone, in its own octave"),
    Reader("baritone a thirteenth up", "treble", 3, 1, "baritone saxophone, in its own octave"),
)

# Whose page lies elsewhere once the instrument is told (common practice: a trombone is written as
# it sounds, and so is a keyboard or a marimba in either clef; a double bass an octave up).
_PAGES = {
    ("B flat", "tenor saxophone"): LOW_SAXOPHONES[0],
    ("E flat", "baritone saxophone"): LOW_SAXOPHONES[1],
    **{
        ("bass clef", name): replace(READERS[4], octaves=0, players=f"{name}, as it sounds")
        for name in ("trombone", "piano", "electric piano", "marimba")
    },
    ("bass clef", "double bass"): replace(
        BASSIST, octaves=1, players="double bass; it sounds an octave lower than written"
    ),
}

# Ways to say one thing, as whole words: what players write, and what the table has.
_SAID = (
    (r"♭", "b"),
    (r"[-_]", " "),
    (r"\bbb\b", "b flat"),
    (r"\beb\b", "e flat"),
    (r"\bsax\b|\bsaxes\b|\bsaxophones\b", "saxophone"),
    (r"\bin\b|\bthe\b|\binstruments?\b|\bplayers?\b|\breaders?\b", " "),
)
_KEYS = {"b flat": "B flat", "e flat": "E flat", "f": "F", "c": "concert"}
_BY_NAME = {name: one for one in READERS for name in (one.name.lower(), *one.names)}


def reader(who: Reader | str) -> Reader:
    """Return a reader by any name that players use: that of the key, the clef, the instrument.

    >>> [reader(name).name for name in ("Bb", "B♭", "alto sax", "horn in F", "double bass")]
    ['B flat', 'B flat', 'E flat', 'F', 'bass clef']
    >>> reader("kazoo")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such reader: 'kazoo' (want concert, B flat, E flat, F, \
bass clef or guitar, or an instrument such as tenor saxophone)
    """
    if isinstance(who, Reader):
        return who
    found = _named(_plain(who)) if isinstance(who, str) and len(who) < 60 else None
    if found is None:
        *most, last = (one.name for one in READERS)
        raise TheoryError(
            f"no such reader: {shown(who)} (want {', '.join(most)} or {last}, "
            "or an instrument such as tenor saxophone)"
        )
    return found


def page_of(who: Reader, instrument: str | None) -> Reader:
    """Return the page of a reader who has played something on an instrument.

    Its notes stand in the octave in which they are read on that instrument.

    >>> page_of(reader("B flat"), "tenor saxophone").semitones, page_of(reader("B flat"), None).name
    (14, 'B flat')
    """
    return _PAGES.get((who.name, instrument or ""), who)


def has_four_strings(who: Reader | str) -> bool:
    """Tell whether a reader of the bass clef is a bass player.

    >>> has_four_strings("Double bass"), has_four_strings("trombone"), has_four_strings(BASSIST)
    (True, False, True)
    """
    if isinstance(who, Reader):
        return who == BASSIST
    plain = _plain(who)
    return plain in BASSIST.names or plain.removesuffix("es") in BASSIST.names


def _plain(text: str) -> str:
    """Return a name in the words of the table."""
    plain = text.lower()
    for said, meant in _SAID:
        plain = re.sub(said, meant, plain)
    return " ".join(plain.split())


def _named(plain: str) -> Reader | None:
    """Return the reader with a name, an instrument with its own key before or behind it too."""
    found = _BY_NAME.get(plain) or _BY_NAME.get(plain.removesuffix("s"))
    if found is not None:
        return found
    for said, name in _KEYS.items():
        for rest in (plain.removeprefix(f"{said} "), plain.removesuffix(f" {said}")):
            one = _BY_NAME.get(rest) if rest != plain else None
            if one is not None and one.name == name:
                return one
    return None
