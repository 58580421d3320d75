"""The course: what each chapter asks at its end, and what a reader can do who got it right."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.tensions import TENSION_NAMES
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.study.questions import kind_named

__all__ = ["CHAPTERS", "chapter", "reached", "taught_in"]

FEWEST_OWN = 2  # questions that make a chapter one that was read
FREE, FOUR, TWO = 3, 2, 1  # the level: nothing is offered, four answers, two answers


@dataclass(frozen=True, slots=True)
class Exercise:
    """One question of a chapter: a kind, the colour or fact it is about, and the level.

    >>> str(Exercise("shortcut over V", "b9 13", 3))
    'shortcut over V: b9 13'
    """

    kind: str
    topic: str
    level: int

    def __str__(self) -> str:
        return f"{self.kind}: {self.topic}"

    def fits(self, key: Key) -> bool:
        """Tell whether it can be asked in a key."""
        return kind_named(self.kind).fits(self.topic, key)


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter: its number, its question as the title, what it asks, and what that is good for.

    ``asked`` are four to eight exercises on the chapter's one idea; ``can_do`` is a sentence on
    who got them right; ``modes`` are those of the keys in which it asks; ``shown`` are colours that
    it teaches besides.
    """

    number: int
    title: str
    asked: tuple[Exercise, ...]
    can_do: str
    modes: tuple[str, ...] = MODES
    shown: tuple[str, ...] = ()

    @property
    def keys(self) -> tuple[Key, ...]:
        """The keys in which the chapter asks.

        >>> len(chapter(4).keys), {key.mode for key in chapter(8).keys}
        (30, {'minor'})
        """
        return tuple(key for key in KEYS if key.mode in self.modes)

    def __str__(self) -> str:
        return f"chapter {self.number}"


def chapter(number: int) -> Chapter:
    """Return a chapter of the course by its number.

    >>> fourth = chapter(4)
    >>> fourth.title
    'Which of the triads you know can you play over V?'
    >>> [exercise.topic for exercise in fourth.asked][:3]
    ['b9 13', 'b9 b13', 'b9 #11']
    >>> chapter(14)
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such chapter: 14 (want 0 to 13)
    """
    if isinstance(number, bool) or not isinstance(number, int) or number not in _BY_NUMBER:
        raise TheoryError(f"no such chapter: {shown(number)} (want 0 to {max(_BY_NUMBER)})")
    return _BY_NUMBER[number]


def _exercises(*rows: tuple[str, str, int]) -> tuple[Exercise, ...]:
    """Return rows of a kind, topics with commas between them, and a level as exercises."""
    return tuple(
        Exercise(kind, topic.strip(), level)
        for kind, topics, level in rows
        for topic in topics.split(",")
    )


# The order is the order of the chapter. What is recalled is asked without anything to choose from,
# what is heard among all there is, what asks for words that nobody types alike among four.
CHAPTERS = (
    Chapter(
        0,
        "Does everything work on your machine, and where do you begin?",
        _exercises(
            ("note of a degree", "3, b7, b9, 13", FOUR),
            ("degree of a note", "b9, 13", FOUR),
        ),
        "You can say what a note is over a V chord, and that is all that the first chapter needs.",
    ),
    Chapter(
        1,
        "How does a line keep moving while the V bar stands still?",
        _exercises(
            ("ii of a V", "major", FREE),
            ("shortcut over V", "b9 13", FREE),
            ("shortcut to I", "b9 13", FREE),
            ("colour of a shape", "b9 13", FOUR),
            ("where a note goes", "b9", FREE),
            ("form by ear", "long, short, split", FOUR),
        ),
        "You can hear a V bar as a short ii-V, and put one triad into its second half that leads "
        "to I.",
        ("major",),
    ),
    Chapter(
        2,
        "Which two notes tell the whole progression?",
        _exercises(
            ("guide tones", "major, minor", FREE),
            ("where a note goes", "3, b7", FREE),
            ("note of a degree", "3, b7", FREE),
            ("guide tones over the loop", "major", FREE),
        ),
        "You can name the 3rds and 7ths of a ii-V-I in any key, and play them from chord to chord "
        "without a leap.",
    ),
    Chapter(
        3,
        "What does one lowered note do to the V chord?",
        _exercises(
            ("note of a degree", "b9", FREE),
            ("shortcut over V", "b9", FREE),
            ("where a note goes", "b9", FREE),
            ("substitute", "leading-note diminished chord", FREE),
            ("plain or coloured", "b9", FOUR),
            ("top note", "b9", FOUR),
        ),
        "You can find the diminished chord on the 3rd of any V, and you know where its ♭9 goes.",
    ),
    Chapter(
        4,
        "Which of the triads you know can you play over V?",
        _exercises(
            (
                "shortcut over V",
                "b9 13, b9 b13, b9 #11, b9 #11 13, 9 #11 13, #9, #9 b13, #9 #11",
                FREE,
            ),
        ),
        "You can name a triad for each of the eight colours over any V, because you know on which "
        "degree each of them stands.",
        shown=("suspended",),
    ),
    Chapter(
        5,
        "What happens when a scale looks the same from several roots?",
        _exercises(
            ("shortcut over V", "half-whole diminished, whole tone", FREE),
            ("colour of a shape", "half-whole diminished, whole tone", FOUR),
            ("substitute", "dominant a minor third above, dominant a minor third below", FREE),
            ("substitute", "tritone substitute", FREE),
        ),
        "You can play the half-whole and the whole tone scale over any V, and name the four "
        "dominants that share one diminished chord.",
        ("major",),
    ),
    Chapter(
        6,
        "How can one scale you know give every altered note?",
        _exercises(
            ("shortcut over V", "altered, lydian dominant", FREE),
            ("shortcut to I", "altered", FREE),
            ("colour of a shape", "altered, lydian dominant", FOUR),
            ("where a note goes", "b13, #11", FREE),
            ("colour by ear", "altered", FOUR),
        ),
        "You can name the melodic minor scale that makes any V altered, and the one that makes it "
        "a lydian dominant.",
    ),
    Chapter(
        7,
        "Why can a chord as far away as possible stand in for V?",
        _exercises(
            (
                "substitute",
                "tritone substitute, related ii of the tritone substitute, "
                "ii-V of the tritone substitute, major seventh chord a half step below I",
                FREE,
            ),
            ("shortcut over V", "tritone substitute, its related ii", FREE),
            ("substitute by ear", "major", FOUR),
        ),
        "You can name the tritone substitute of any V and its ii, and hear whether it was played.",
    ),
    Chapter(
        8,
        "What changes when I is minor?",
        _exercises(
            ("ii of a V", "minor", FREE),
            ("guide tones", "minor", FREE),
            ("shortcut over V", "minor's own, b9 b13, suspended b9", FREE),
            ("where a note goes", "b9", FREE),
            ("substitute", "backdoor dominant", FREE),
            ("major or minor target", "b9 b13", FOUR),
        ),
        "You can play a ii-V into any minor tonic with the notes of its own key, and hear a minor "
        "one coming.",
        ("minor",),
    ),
    Chapter(
        9,
        "How do you write a line that does what you want?",
        _exercises(
            ("target note", "b9 13, altered", FREE),
            ("wrong note", "b9 #11 13", FOUR),
            ("line by ear", "b9", FOUR),
            ("landing by ear", "5", FOUR),
            ("bar of a colour", "b9, b9 13", FREE),
        ),
        "You can write a bar over V that spells the colour you chose, and land on a tone of I in "
        "time.",
    ),
    Chapter(
        10,
        "Where in a tune can you use all this?",
        _exercises(
            ("ii of a V", "major, minor", FREE),
            ("shortcut to I", "b9", FREE),
            ("substitute", "tritone substitute, backdoor dominant", FREE),
            ("form by ear", "long, short", FOUR),
            ("colour by ear", "b9 b13", FOUR),
        ),
        "You can find the ii-Vs of a tune by their chords, say where each of them goes, and choose "
        "what to play there.",
    ),
    Chapter(
        11,
        "How do you take one phrase through all twelve keys?",
        _exercises(
            ("shortcut to I", "b9 13", FREE),
            ("shortcut over V", "b9 13", FREE),
            ("note of a degree", "13, b9", FREE),
            ("colour of a shape", "b9 13", FREE),
            ("bar of a colour", "b9 13", FREE),
        ),
        "You can name one shortcut in whatever key is called, and play a bar with it, without "
        "going through C.",
        ("major",),
    ),
    Chapter(
        12,
        "How do you hand this out on Thursday?",
        _exercises(
            ("shortcut over V", "b9, b9 13, 9 #11 13, b9 b13, #9 b13, altered", FREE),
        ),
        "You can answer, in any key that somebody in the room reads, what the page of six colours "
        "asks.",
        ("major",),
    ),
    Chapter(
        13,
        "How do you write down what you heard?",
        _exercises(
            ("form by ear", "long", FOUR),
            ("landing by ear", "3, 5", FOUR),
            ("line by ear", "b9, b9 13", FOUR),
            ("bar of a colour", "b9", FREE),
        ),
        "You can say where a phrase lands and which colour it has over V, before you look for a "
        "note on the instrument.",
        ("major",),
    ),
)
_BY_NUMBER = {row.number: row for row in CHAPTERS}


# === What was taught by when ===


def taught_in(kind: str, topic: str) -> int:
    """Return the number of the chapter by which a reader has met a kind of question and its topic.

    It is the later one of the chapters that first ask such a question and first ask about such a
    thing, 0 where none does.

    >>> taught_in("shortcut over V", "b9"), taught_in("note of a degree", "b9")
    (3, 0)
    >>> taught_in("colour in a picture", "altered"), taught_in("wrong note", "b9")
    (6, 9)
    """
    return max(_FIRST.get((kind, ""), 0), _FIRST.get((_about(kind), topic), 0))


def reached(asked: Collection[tuple[str, str]]) -> int:
    """Return the last chapter of whose own questions most were asked, 13 where there is none.

    Its own are those that no chapter before it has made possible; a chapter without two does not
    count.

    >>> reached([("note of a degree", "3"), ("ii of a V", "major")])
    13
    >>> reached([(one.kind, one.topic) for one in chapter(3).asked])
    3
    """
    done = (number for number, own in _OWN.items() if 2 * len(own.intersection(asked)) > len(own))
    return max(done, default=CHAPTERS[-1].number)


def _about(kind: str) -> str:
    """Return what the topics of a kind are: colours, degrees of V, or what it alone asks about."""
    topics = kind_named(kind).topics
    return next((name for name, all_ in _TOPICS.items() if all_.issuperset(topics)), kind)


def _owns() -> Iterable[tuple[int, frozenset[tuple[str, str]]]]:
    """Yield the numbers of chapters with what they are the first to ask."""
    for row in CHAPTERS:
        cards = ((one.kind, one.topic) for one in row.asked)
        own = frozenset(card for card in cards if taught_in(*card) == row.number)
        if len(own) >= FEWEST_OWN:
            yield row.number, own


def _firsts() -> Iterable[tuple[tuple[str, str], int]]:
    """Yield what each chapter asks, shows and how, the last chapter first."""
    for row in reversed(CHAPTERS):
        yield from ((("colours", name), row.number) for name in row.shown)
        for one in row.asked:
            yield (one.kind, ""), row.number
            yield (_about(one.kind), one.topic), row.number


_TOPICS = {
    "colours": frozenset(row.name for row in COLOURS),
    "degrees": frozenset(map(str, TENSION_NAMES)),
}
_FIRST = dict(_firsts())
_OWN = dict(_owns())
