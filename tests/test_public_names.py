"""Every public name, given what it does not want: it takes what is meant, or says what it wants."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from house import ROOT

import theorykit
from theorykit import (
    COLOURS,
    SCALES,
    Chart,
    Chord,
    Degree,
    Key,
    LeadSheet,
    Line,
    Note,
    Pitch,
    Progression,
    Scale,
    TheoryError,
    Treatment,
    Wishes,
    two_five_one,
)
from theorykit.errors import shown

G7, B9, C = Chord.parse("G7"), Degree.parse("b9"), Note.parse("C")
OVER = two_five_one("C", "short")
LINE = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", OVER)
CHART = Chart.parse("| Dm7 | G7 | C6 | % |")

# What each public name takes; a class that is no result also has its own methods tried.
GOOD: dict[str, tuple[object, ...]] = {
    "Note": ("B", -1),
    "Pitch": (C, 4),
    "Degree": (9, -1),
    "Key": (C, "major"),
    "Chord": (C, G7.kind),
    "Scale": (C, next(iter(SCALES))),
    "Progression": (OVER.key, OVER.bars),
    "Line": (OVER, LINE.notes),
    "TimedNote": (Pitch(C, 4), 0, 1),
    "Chart": (CHART.sections, CHART.key),
    "LeadSheet": (CHART, ()),
    "Treatment": ((),),
    "Wishes": (),
    "Colour": ("own", (B9,), ("major",), "by hand"),
    "colour": ("b9",),
    "agrees": ("b9", "G7"),
    "agreeing_colours": ("G7",),
    "disagreements": ("b9", "G7"),
    "evidence": ("b9",),
    "identify": ("G B D F", "G7"),
    "resolve": ("G7", "b9", "C"),
    "shortcuts": ("G7", "b9"),
    "subsets": ("C7", "F"),
    "substitutes": ("G7", "C"),
    "degrees_over": ("G7", "B D"),
    "write_chorus": (CHART,),
    "demonstration": ("C", "short", "b9"),
    "guide_tone_lines": (OVER,),
    "read_line": (LINE,),
    "write_lines": (OVER,),
    "lead_ins": (LINE,),
    "one_idea": ("C", ["b9"]),
    "cadences": (CHART,),
    "functions": (CHART,),
    "key_regions": (CHART,),
    "chart_problems": ("| C |",),
    "two_five_one": ("C", "short"),
    "question": ("degree of a note",),
    "see": ("G7",),
    "hear": ("G7",),
    "save": ("G7", "chord.txt"),
    "written_for": ("G7", "trumpet"),
    "table": ("G7",),
    "to_dict": (G7,),
    "from_dict": ({"theorykit": 1, "kind": "chord", "text": "G7"},),
    "take_down": ([(0.0, 0.4, 60), (0.5, 0.9, 62)], OVER),
    "to_mido": ("G7",),
    "to_music21": ("G7",),
    "from_music21": (C,),
}  # fmt: skip
METHODS = {
    "Note": C,
    "Pitch": Pitch(C, 4),
    "Degree": B9,
    "Key": Key.parse("C"),
    "Chord": G7,
    "Scale": Scale.parse("C dorian"),
    "Colour": COLOURS[0],
    "Progression": OVER,
    "Line": LINE,
    "Chart": CHART,
    "LeadSheet": LeadSheet(CHART),
    "Treatment": Treatment.plain(CHART),
    "Wishes": Wishes(),
}
RESULTS = frozenset(
    "Cadence Chorus Evidence Function Identification Resolution Shortcut Subset Substitute".split()
)

FILES = frozenset(("Journal", "PhraseBook"))


class Silence(RuntimeError):
    """What a value says that cannot be shown."""


class Unprintable:
    """A value that cannot even be shown."""

    def __repr__(self) -> str:
        raise Silence


HOSTILE: tuple[object, ...] = (
    *(None, 5, -1, 2.5, float("nan"), 10**30, True),
    *("", "G7", "Dm7 G7", "b9", "C", "\0", "♭", "x" * 10_000, b"G7"),
    *([], ["G7"], [None], (), {}, {"a": 1}, object(), Unprintable()),
    *(G7, B9, C, Pitch(C, 4), OVER, LINE, CHART),
)


def test_no_refusal_says_where_a_value_lies_in_memory():
    for value in (object(), iter(()), "C".join, [object()]):
        assert " at 0x" not in shown(value)
        with pytest.raises(TheoryError) as caught:
            Note.parse(value)  # type: ignore[arg-type]
        assert " at 0x" not in str(caught.value)


def calls(name: str, values: tuple[object, ...]) -> Iterator[tuple[str, Callable[[], object]]]:
    """Every call with one wrong argument, and every one with nothing but the same wrong one."""
    public = getattr(theorykit, name)
    good = GOOD[name]
    yield from _one_wrong(name, public, good, values)
    for method, _ in inspect.getmembers(public, callable):
        bound = getattr(METHODS.get(name, public), method)
        if inspect.isclass(public) and not method.startswith("_"):
            needed = [p for p in _parameters(bound) if p.default is p.empty]
            yield from _all_wrong(f"{name}.{method}", bound, len(needed), values)
    yield from _all_wrong(name, public, len(good), values)


def _parameters(function: Callable[..., object]) -> list[inspect.Parameter]:
    kinds = inspect.Parameter.VAR_POSITIONAL, inspect.Parameter.VAR_KEYWORD
    found = inspect.signature(function).parameters.values()
    return [one for one in found if one.kind not in kinds]


def _one_wrong(
    name: str, function: Callable[..., object], good: tuple[object, ...], values: tuple[object, ...]
) -> Iterator[tuple[str, Callable[[], object]]]:
    for value in values:
        for place in range(len(good)):
            given = (*good[:place], value, *good[place + 1 :])
            yield f"{name}, argument {place}", lambda given=given: function(*given)
        for one in _parameters(function)[len(good) :]:
            wish = {one.name: value}
            yield f"{name}, {one.name}", lambda wish=wish: function(*good, **wish)


def _all_wrong(
    name: str, function: Callable[..., object], count: int, values: tuple[object, ...]
) -> Iterator[tuple[str, Callable[[], object]]]:
    for value in values:
        yield f"{name}, all", lambda value=value: function(*[value] * count)


def answered(where: str, call: Callable[[], object]) -> bool:
    """Tell whether a call was taken, and can be printed; a refusal must be worth reading."""
    try:
        repr(call())
    except TheoryError as refusal:
        return not str(refusal)
    except Silence:  # it was taken as it is, where any value may stand
        return True
    except Exception as wrong:
        raise AssertionError(f"{where}: {type(wrong).__name__}: {wrong}") from wrong
    return True


@pytest.mark.parametrize("name", sorted(GOOD))
def test_a_public_name_takes_what_is_meant_or_says_what_it_wants(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    assert answered(name, lambda: getattr(theorykit, name)(*GOOD[name]))
    taken = [answered(*call) for call in calls(name, HOSTILE)]
    assert not all(taken)  # something of this was refused


def test_the_page_for_contributors_lists_the_public_names():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    part = page.partition("## Public names\n")[2].partition("\n## ")[0]
    rows = [row for row in part.splitlines() if row.startswith("|")]
    listed = re.findall(r"`(\w+)`", " ".join(rows))
    assert sorted(listed) == sorted(theorykit.__all__)


def test_help_begins_with_the_way_in():
    said = theorykit.__doc__ or ""
    missing = [name for name in theorykit.__all__ if name not in said]
    told = {"agrees", "agreeing_colours", "disagreements", "chart_problems", "Wishes", "TimedNote"}
    tables = {"COLOURS", "FORMS", "KEYS", "KINDS_OF_QUESTION", "SCALES"}
    assert set(missing) <= RESULTS | tables | told
    assert "theorykit.handout" in said
    assert max(map(len, said.splitlines())) <= 100


def test_no_public_name_is_left_out():
    tables = {"COLOURS", "FORMS", "KEYS", "KINDS_OF_QUESTION", "SCALES", "TheoryError"}
    assert set(GOOD) | RESULTS | FILES | tables == set(theorykit.__all__)


@pytest.mark.parametrize("name", sorted(RESULTS))
def test_a_result_made_by_hand_of_nonsense_is_refused_or_can_be_printed(name: str):
    public = getattr(theorykit, name)
    count = sum(p.default is p.empty for p in _parameters(public))
    for call in _all_wrong(name, public, count, (None, 5, "G7", [], G7)):
        answered(*call)


@pytest.mark.parametrize("path", [None, 5, "", "\0", "x" * 5_000, "no/such/folder.sqlite", "."])
@pytest.mark.parametrize("name", sorted(FILES))
def test_a_file_at_no_path_is_refused(
    name: str, path: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(TheoryError):
        getattr(theorykit, name)(path)


def test_what_is_wanted_is_said():
    """The calls that were met in use, and the words that help."""
    for call, words in (
        (lambda: Chord.parse("C", "m7"), "not one chord: ('C', 'm7') (want one text"),
        (lambda: theorykit.evidence(None), "not a degree: None"),
        (lambda: theorykit.degrees_over("G7", 5), "not notes: 5 (want notes or text such as"),
        (lambda: Line.parse("8th D5", "Dm7 G7"), "not a progression: 'Dm7 G7' (want a Progression"),
        (lambda: theorykit.write_chorus("| C |"), "not a chart: '| C |' (want a Chart such as"),
    ):
        with pytest.raises(TheoryError) as refusal:
            call()
        assert words in str(refusal.value)


def test_what_is_obviously_meant_is_taken():
    assert theorykit.degrees_over("G7", Note.parse("B")) == theorykit.degrees_over("G7", "B")
    assert Progression(OVER.key, list(OVER.bars)) == OVER
    assert Line(OVER, list(LINE.notes)) == LINE
    assert LeadSheet(CHART, [*LINE.notes[:2]]).melody == LINE.notes[:2]
    sung = LeadSheet(CHART, [*LINE.notes[:2]], [["la"], ["la", "lo"]])
    assert sung.words == (("la",), ("la", "lo"))
    assert theorykit.shortcuts("G7", ["b9", "13"]) == theorykit.shortcuts("G7", ("b9", "13"))
    assert hash(Chart([*CHART.sections], CHART.key)) == hash(CHART)
    bar = OVER.bars[0]
    assert type(bar)([*bar.chords], [*bar.lengths]) == bar
    section = CHART.sections[0]
    assert type(section)("", [*section.bars]) == section
    mine = theorykit.Colour("own", [B9], ["minor"], "by hand")
    assert mine == theorykit.colour("own: b9 to minor")
    assert theorykit.resolve("G7", ["b9"], "C") == theorykit.resolve("G7", [B9], "C")
    assert theorykit.colour(COLOURS[0]) is COLOURS[0]
