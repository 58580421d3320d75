"""Blocks: the entries, the section, the sounds and the words that every kind has.

A kind of block is a subclass in a file of its own. Everything that must be known of a kind is said
there; the text file, the forms, the pages, the recordings and the hints ask the class.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, ClassVar

from theorykit.errors import TheoryError, shown
from theorykit.handout.entries import About, check_entries
from theorykit.handout.file_names import file_name
from theorykit.handout.front import AsTyped, Names
from theorykit.handout.names import checked_names, checked_typed, moved_names
from theorykit.handout.own_colour import colour_from
from theorykit.handout.page import Engraver, playable
from theorykit.handout.pieces import Section, checked_line, checked_text
from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.band import STEPS
from theorykit.lines.parts import Performance
from theorykit.lines.placed import merged_chords
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart, typed_changes
from theorykit.tunes.home_key import phrase_key
from theorykit.tunes.progression import FORMS, Progression, two_five_one
from theorykit.views.sounding import Take

LONGEST_MARGIN = 600  # characters of a note in the margin
LONGEST_CHANGES = 2_000
MOST_KEYS = 12
MOST_NAMED = 5  # chords in a heading
BAR = 4  # beats
FIRST_KEY = "C"  # of what is told none
STAFF_LAYOUTS = ("wide", "beside")
SOUND_FOLDER = "sound"

# What examples are called that several kinds of block have.
WITH, WITHOUT, ANSWER = "with the line", "without the line", "with answer bars"

# Entries that several kinds of block have.
ColourName = Annotated[
    str, About(offers=tuple(row.name for row in COLOURS), reads=colour, makes=colour_from)
]
FormName = Annotated[str, About(offers=tuple(FORMS))]
StepName = Annotated[str, About(offers=tuple(STEPS), says="the way round the keys")]
StaffLayout = Annotated[str, About(offers=STAFF_LAYOUTS, says="how it stands on the page")]
KeyCount = Annotated[
    int, About(least=1, most=MOST_KEYS, says="how many, or their names with commas between them")
]
Changes = Annotated[
    str, About(says="chords between bar lines, in place of a ii-V-I", hint="Gm7 C7 | F6")
]


@dataclass(frozen=True, slots=True)
class Example:
    """One thing to hear: what it is called, and who plays what. All in concert pitch.

    ``bar`` is the length of its bars in quarters, ``pulse`` of what its tempo counts; ``even`` says
    that its eighths are even at every tempo, ``seen`` that its line is the one on the staff, and
    ``sections`` has a name, a first and a last bar for each part of its form.
    """

    label: str
    played: Performance
    bar: Fraction = Fraction(BAR)
    pulse: Fraction = Fraction(1)
    even: bool = False
    seen: bool = False
    sections: tuple[tuple[str, int, int], ...] = ()

    @property
    def take(self) -> Take:
        """The example as a page plays it."""
        return Take(
            self.label,
            self.played,
            as_players_do=not self.even,
            bar=self.bar,
            pulse=self.pulse,
            is_seen=self.seen,
            sections=self.sections,
        )

    def told(self, seconds: float) -> str:
        """Say how long its recording is, how fast it goes and how it is counted in.

        >>> from theorykit.lines.band import performance
        >>> from theorykit.tunes.progression import two_five_one
        >>> Example("x", performance(None, two_five_one("C"), tempo=92)).told(12.6)
        '0:13, 92 beats a minute, counted in for 1 bar'
        """
        minutes, rest = divmod(round(seconds), 60)
        bars = int(self.take.count / self.bar)
        counted = f", counted in for {bars} bar{'s' * (bars > 1)}" if bars else ""
        beats = self.played.tempo / float(self.pulse)
        return f"{minutes}:{rest:02}, {beats:g} beats a minute{counted}"


@dataclass(frozen=True, slots=True)
class Recording:
    """One recording of a handout, before it is made.

    ``place`` is the place of its block in the handout, from 0; ``number`` counts the blocks that
    sound, from 1; ``title`` is the name of the block's sound and ``label`` that of the example.
    """

    place: int
    number: int
    title: str
    label: str

    @property
    def name(self) -> str:
        """The name of its file, without folder and ending.

        >>> Recording(0, 1, "Over G7: why?", "with the line").name
        '01 Over G7 why - with the line'
        """
        return f"{self.number:02} {file_name(self.title, otherwise='example')} - {self.label}"

    @property
    def folder(self) -> str:
        """The folder of its file, inside the folder of the handout."""
        return SOUND_FOLDER

    @property
    def file(self) -> str:
        """The name of its file in its folder, without ending."""
        return f"{self.folder}/{self.name}"


@dataclass(frozen=True, slots=True)
class Place:
    """What a block takes from the handout in which it stands; most blocks take nothing.

    ``asked`` counts the questions that are asked before it; ``heard`` is a recording of another
    block that it speaks of; ``nth`` counts from 1 those with one heading, 0 for one alone.
    """

    asked: int = 0
    heard: Recording | None = None
    nth: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What every block has: a heading in place of its own, a note for the teacher's margin.

    The names of notes and chords in its texts are those of concert pitch and the block's key, and
    are moved for each reader: those that are found, and those in ``names``; not those in
    ``as_typed``. ``telling`` are the entries that tell a block from others
    of its kind in a list, the best first.
    """

    kind: ClassVar[str] = ""
    telling: ClassVar[tuple[str, ...]] = ()

    heading: Annotated[
        str,
        About(
            says="in place of the heading that the block gives itself",
            hint="Over the bridge",
            names=True,
        ),
    ] = ""
    margin: Annotated[
        str,
        About(says="for the margin of the teacher's edition", hint="Sing it first.", rows=2),
    ] = ""
    names: Names = ()
    as_typed: AsTyped = ()

    def __post_init__(self) -> None:
        """Check the entries."""
        checked_line(self.heading, "heading")
        checked_text(self.margin, "margin", longest=LONGEST_MARGIN)
        check_entries(self)
        checked_names(self.names)
        checked_typed(self.as_typed)
        self.check()

    def check(self) -> None:
        """Refuse what this block cannot show, beyond what its entries take one by one."""

    # On the page.

    @property
    def writes_lines(self) -> bool:
        """True where music is written for the block, which takes longer than to set it."""
        return False

    @property
    def prints_notes(self) -> bool:
        """True for a block that prints notes, not only words and empty staves."""
        return False

    @property
    def asks(self) -> int:
        """How many numbered questions it asks."""
        return 0

    def asks_about(self) -> Iterator[tuple[str, Key]]:
        """Yield the colours that a class may be asked about, each with its key; "" is none."""
        if self.prints_notes and hasattr(self, "key"):
            yield str(getattr(self, "colour", "")), self.words_key

    @property
    def tunes(self) -> tuple[Chart, ...]:
        """The tunes that it gives to play, in concert pitch."""
        return ()

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that it shows and that can be switched off."""
        found: tuple[str, ...] = getattr(self, "show", ())
        return found

    def without(self, *parts: str) -> Block:
        """Return the block without some of the parts that it shows; one that shows none as it is.

        >>> from theorykit.handout.blocks.colour_block import ColourBlock
        >>> ColourBlock(colour="b9").without("pull", "plan").show
        ('notes', 'staff', 'keyboard', 'table')
        """
        shown_now: tuple[str, ...] = getattr(self, "show", ())
        changed: dict[str, Any] = {}
        changed["show"] = left = tuple(part for part in shown_now if part not in parts)
        return self if left == shown_now else replace(self, **changed)

    def place_in(self, blocks: Sequence[Block], number: int) -> Place:
        """Return what this block takes from a handout in which it has a number, from 0."""
        return Place()

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return what the block puts on the pages of a reader; here, the heading alone."""
        return Section(self.headed(engraver), (), self.margin_notes)

    @property
    def words_key(self) -> Key:
        """The key in which the names in its texts are spelled, in concert pitch."""
        return key_of(getattr(self, "key", "C"), getattr(self, "changes", ""))

    def said(self, text: str, engraver: Engraver) -> str:
        """Return a text of the teacher's with its names moved for the reader."""
        old = self.words_key
        return moved_names(text, self.names, old, engraver.written(old), self.as_typed)

    def headed(self, engraver: Engraver, own: str = "") -> str:
        """Return the heading: the teacher's, or else its own."""
        return self.said(self.heading, engraver) or own

    @property
    def margin_notes(self) -> tuple[str, ...]:
        """The teacher's note for the margin, if there is one."""
        return (self.margin,) if self.margin.strip() else ()

    # What can be heard of it.

    @property
    def labels(self) -> tuple[str, ...]:
        """What its examples are called, in order, without making them; empty for no sound."""
        return ()

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield what can be heard; ``tempo`` in beats a minute, where a tune has no own."""
        return iter(())

    @property
    def title(self) -> str:
        """A short name for its sound, in concert pitch."""
        return self.heading if self.heading.strip() else self.own_title

    @property
    def own_title(self) -> str:
        """The name of its sound where it has no heading of the teacher's."""
        return f"{self.kind} in {str(self.words_key).removesuffix(' major')}"


def placed(blocks: Iterable[Block]) -> Iterator[tuple[Block, Place]]:
    """Yield the blocks of a handout, each with what it takes from the others.

    Raises ``TheoryError`` for a block that speaks of another one that is not there.
    """
    found = keyed(tuple(blocks))
    for number, block in enumerate(found):
        yield block, block.place_in(found, number)


@lru_cache(maxsize=64)  # every setting of a page asks again
def keyed(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Return blocks, those without key and changes in that of the first tune, or first changes.

    >>> from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
    >>> both = GuideToneBlock(), GuideToneBlock(changes="Gm7 C7 | F6")
    >>> [one.key for one in keyed(both)]
    ['F major', '']
    """
    own: dict[str, Any] = {"key": told_key(blocks)}
    return tuple(
        one if getattr(one, "key", "C") or getattr(one, "changes", "") else replace(one, **own)
        for one in blocks
    )


def told_key(blocks: Sequence[Block]) -> str:
    """Return the key of blocks without key and changes, as text; empty where nothing tells it.

    >>> from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
    >>> told_key([GuideToneBlock(changes="Gm7 C7 | F6")]), told_key([GuideToneBlock()])
    ('F major', '')
    """
    telling = [one for one in blocks if one.tunes]
    telling += [one for one in blocks if getattr(one, "changes", "")]
    return str(telling[0].words_key) if telling else ""


def section_of(block: Block, place: Place, engraver: Engraver) -> Section:
    """Return what a block puts on the pages of a reader, its music where it is played with ease."""
    return playable(block.section(engraver, place), engraver.reader)


def sections_of(blocks: Iterable[Block], engraver: Engraver) -> tuple[Section, ...]:
    """Return what blocks put on the pages of a reader; questions are numbered through.

    >>> from theorykit.handout.blocks.text_block import TextBlock
    >>> sections_of([TextBlock(text="Sing it first.")], Engraver())[0].pieces
    (Para(text='Sing it first.', small=False),)
    """
    return tuple(section_of(block, place, engraver) for block, place in placed(blocks))


def recordings(blocks: Iterable[Block]) -> dict[int, tuple[Recording, ...]]:
    """Return what can be heard of a handout's blocks, by the places of the blocks that sound.

    >>> from theorykit.handout.blocks.colour_block import ColourBlock
    >>> from theorykit.handout.blocks.text_block import TextBlock
    >>> found = recordings([TextBlock(text="Listen."), ColourBlock(colour="b9 13", key="Eb")])
    >>> [one.name for one in found[1]][:2]
    ['01 b9 13 in Eb - plain chord', '01 b9 13 in Eb - with the line']
    """
    sounding = [(place, block) for place, block in enumerate(blocks) if block.labels]
    return {
        place: tuple(Recording(place, number, block.title, label) for label in block.labels)
        for number, (place, block) in enumerate(sounding, 1)
    }


def key_of(key: str, changes: str = "") -> Key:
    """Return the key that a block is told, or else the one that its changes point to.

    >>> str(key_of("", "Gm7 C7 | F6")), str(key_of("Bb", "Gm7 C7 | F6")), str(key_of(""))
    ('F major', 'Bb major', 'C major')
    """
    if key or not changes:
        return Key.parse(key or FIRST_KEY)
    placed = _changed(Key.parse(FIRST_KEY), changes).chords
    return phrase_key([(one.chord, one.beats) for one in placed])


def progression_of(key: str, form: str, changes: str = "") -> Progression:
    """Return the progression a block stands over: its changes if it has any, else a ii-V-I.

    >>> str(progression_of("F", "short")), str(progression_of("", "long", "Gm7 C7 | F6").key)
    ('Gm7 C7 | Fmaj7', 'F major')
    """
    found = key_of(key, changes)
    return _changed(found, changes) if changes else two_five_one(found, form)


def _changed(key: Key, changes: str) -> Progression:
    """Return changes as a progression in a key."""
    checked_text(changes, "changes", longest=LONGEST_CHANGES)
    try:
        return typed_changes(changes, key)
    except TheoryError as error:
        raise TheoryError(f"changes {shown(changes)}: {error}") from None


def first_changes(progression: Progression) -> str:
    """Name the chords of a short progression; of a long one the first ones and how many bars.

    >>> first_changes(progression_of("F", "short"))
    'Gm7 C7 Fmaj7'
    >>> first_changes(progression_of("F", "", "Fmaj7 D7 | Gm7 C7 | Am7 D7 | Gm7 C7"))
    'Fmaj7 D7 Gm7 C7 … (4 bars)'
    """
    names = [one.chord.pretty for one in merged_chords(progression)]
    if len(names) <= MOST_NAMED:
        return " ".join(names)
    return f"{' '.join(names[: MOST_NAMED - 1])} … ({len(progression.bars)} bars)"
