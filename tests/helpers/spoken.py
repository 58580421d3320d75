"""Reading explanations back: what a sentence claims, as facts that can be worked out again.

Nothing here asks the library what it meant; only note names, degrees and chord symbols are parsed.
"""

import re
from collections.abc import Iterator

from theorykit import Chord, Degree, Note

NUMBERS = "no one two three four five six seven eight nine ten".split()
STEPS = {
    "a half step": 1,
    "a whole step": 2,
    "a minor third": 3,
    "a major third": 4,
    "a fourth": 5,
    "a tritone": 6,
}
BASS = {
    "stays on": 0,
    "rises a half step to": 1,
    "rises a whole step to": 2,
    "rises a minor third to": 3,
    "rises a major third to": 4,
    "falls a fifth to": 5,
    "moves a tritone to": 6,
    "rises a fifth to": 7,
    "falls a major third to": 8,
    "falls a minor third to": 9,
    "falls a whole step to": 10,
    "falls a half step to": 11,
}
NOTE = r"[A-G][♭♯]*"
DEGREE = r"[♭♯]*(?:root|\d+(?:nd|rd|th))"
MOVE = re.compile(
    rf"(?P<note>{NOTE}) (?:stays as (?:(?P<as>{NOTE}), )?|"
    rf"(?P<way>falls|rises) (?:(?P<step>a [a-z ]+?)|through (?P<by>{NOTE})) to (?P<to>{NOTE}), )"
    rf"the (?P<degree>{DEGREE}) of (?P<whose>[^\s;.,]+)"
)
SUM = re.compile(
    r"(?P<total>\d+) half steps? of motion, (?P<pulls>\w+) half-step pulls? "
    r"and (?P<held>\w+) notes? held"
)
OVER = re.compile(
    r"(?P<chord>\S+) \((?P<notes>[^)]+)\) is (?P<over>[♭♯\d ]+) over (?P<v>\S+) "
    r"and (?P<own>[♭♯\d ]+) over its own root\."
)
BASS_STEP = re.compile(rf"({NOTE}) ({'|'.join(BASS)}) ({NOTE})")


def note(text: str) -> int:
    """The pitch class of a written note."""
    return Note.parse(text).semitone


def degree(text: str) -> Degree:
    """A degree as it stands in a sentence: root, ♭3rd, 13th."""
    return Degree.parse(text.replace("root", "1").rstrip("nrdth"))


def count(text: str) -> int:
    """A small number in words, or a larger one in figures."""
    return int(text) if text.isdigit() else NUMBERS.index(text)


def tone(chord: Chord, place: Degree) -> int:
    """The pitch class that stands on a degree of a chord."""
    return dict(zip(chord.degrees, chord.notes, strict=True))[place].semitone


def through(start: int, passing: int, goal: int, way: str) -> int:
    """The half steps of a move in one direction by way of a passing note, each part a step."""
    sign = -1 if way == "falls" else 1
    parts = [(sign * (b - a)) % 12 for a, b in ((start, passing), (passing, goal))]
    assert all(part in (1, 2) for part in parts), parts
    return sign * sum(parts)


def claimed_moves(text: str, names: dict[str, Chord]) -> Iterator[int]:
    """Check each move that a sentence tells, and yield its size in half steps, up or down.

    ``names`` are the chords by what sentences call them.
    """
    for found in MOVE.finditer(text):
        start = note(found["note"])
        goal = note(found["to"] or found["as"] or found["note"])
        size = STEPS[found["step"]] if found["step"] else 0
        size = -size if found["way"] == "falls" else size
        if found["by"]:
            size = through(start, note(found["by"]), goal, found["way"])
        assert (start + size - goal) % 12 == 0, text
        assert tone(names[found["whose"]], degree(found["degree"])) == goal, text
        yield size


def check_sum(text: str, sizes: list[int]) -> None:
    """Check motion, pulls and held notes against the moves that were told before them."""
    found = SUM.search(text)
    assert found, text
    assert int(found["total"]) == sum(map(abs, sizes)), text
    assert count(found["pulls"]) == sum(abs(size) == 1 for size in sizes), text
    assert count(found["held"]) == sizes.count(0), text


def check_over(text: str) -> None:
    """Check what notes are said to be over two roots."""
    found = OVER.fullmatch(text)
    assert found, text
    chord, original = Chord.parse(found["chord"]), Chord.parse(found["v"])
    sounds = [note(name) for name in found["notes"].split()]
    assert sounds == [one.semitone for one in chord.notes], text
    for root, said in ((original.root, found["over"]), (chord.root, found["own"])):
        places = [Degree.parse(name).semitone for name in said.split()]
        assert places == [(sound - root.semitone) % 12 for sound in sounds], text


OTHER_NAME = re.compile(
    r"(?P<one>[A-G][♭♯]*)(?P<kind>[^\s(),]*) \((?:written (?P<for>for )?)(?P<other>[A-G][♭♯]*)"
    r"(?P<as>[^\s()]*)\)"
)
BASS_GOAL = re.compile(rf" to ({NOTE}) \(({NOTE})\)")


def check_other_names(text: str) -> int:
    """Check that a name and the one it is written for sound alike; return how many there are."""
    count = 0
    for found in OTHER_NAME.finditer(text):
        assert note(found["one"]) == note(found["other"]), text
        assert found["one"] != found["other"], text
        assert found["kind"] == found["as"], text
        count += 1
    for one, other in BASS_GOAL.findall(text):
        assert note(one) == note(other), text
        assert one != other, text
        count += 1
    return count


def check_bass(text: str) -> None:
    """Check each step of a bass."""
    steps = BASS_STEP.findall(text)
    assert steps, text
    for start, way, goal in steps:
        assert (note(goal) - note(start)) % 12 == BASS[way], text
