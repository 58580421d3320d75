"""Kinds of question that are played or sung: a bar of a colour, guide tones over a loop."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.wording import sentence
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.reading import SpelledColour, read_line
from theorykit.lines.text import Line
from theorykit.notes.key import MODES
from theorykit.study.questions.colour_judges import tensions_of
from theorykit.study.questions.heard import Heard
from theorykit.study.questions.judges import WordJudge
from theorykit.study.questions.model_bars import model_bar
from theorykit.study.questions.near_misses import colours_apart
from theorykit.study.questions.question import (
    Draft,
    Given,
    Judgement,
    QuestionKind,
    Shown,
    Spot,
    suits,
)
from theorykit.study.questions.recall_kinds import COLOUR_TOPICS, in_mode
from theorykit.tunes.progression import Bar, Progression, two_five_one

CHOOSING = 2  # the highest level at which bars are offered
CLEAN, SLIPS, LOST = "clean", "with slips", "lost"
MISSING = "not there yet"


@dataclass(frozen=True, slots=True)
class LineJudge:
    """Judges a bar over V and its landing, as ``read_line`` reads it."""

    over: Progression
    colour: Colour

    def judge(self, given: Given) -> Judgement:
        """Return whether a line spells the colour and lands on a tone of I in time, unmarred."""
        return self.headed(given)[1]

    def headed(self, given: Given) -> tuple[str, Judgement]:
        """Return the judgement, with what it says in a few words before it.

        >>> judge = LineJudge(two_five_one("C", "short"), colour("b9"))
        >>> for landing in ("whole G4", "8th Eb4 D4 dotted half C4"):
        ...     judge.headed(f"half F4 quarter B3 Ab4 | {landing}")[0]
        'spelled, and I is reached'
        'spelled, but the landing clashes'
        """
        reading = read_line(self._line(given))
        if not reading.dominants:
            return MISSING, Judgement(False, "The bar of V is empty.")
        found, change = reading.dominants[0], reading.changes[-1]
        said, landed = f"{_capital(found.words)}.", f"{_capital(change.words)}."
        if self._spells(found) and change.meets and not change.clashes:
            return "spelled, and I is reached", Judgement(True, f"{said} {landed}")
        if not self._spells(found):
            head, why = MISSING, self._wanted
            if self._passes(found):
                head, why = "only in passing", f"{_capital(found.advice)}."
        elif not change.meets:
            head = "spelled, but I is not reached in time"
            why = f"{landed} No tone of I comes in time."
        else:
            head, why = "spelled, but the landing clashes", f"{_capital(change.clash_words)}."
        return head, Judgement(False, f"{said} {why}")

    def _passes(self, found: SpelledColour) -> bool:
        """Tell whether the colour that was asked for is there, but only passes."""
        return bool(found.passing) and set(found.passing) == set(self.colour.tensions)

    def _line(self, given: Given) -> Line:
        """Return the line that was written or played."""
        if isinstance(given, str):
            return Line.parse(given, self.over)
        if not isinstance(given, Line):
            raise TheoryError("not a line (want a Line, or text such as '8th B4 Ab4 F4 D4')")
        if given.progression.beats != self.over.beats:
            raise TheoryError(
                f"a line of {given.progression.beats} beats (want one over {self.over.pretty})"
            )
        return Line(self.over, given.notes)

    def _spells(self, found: SpelledColour) -> bool:
        """Tell whether the line spells the colour that was asked for, exactly."""
        row = found.colour
        if row is None or not found.is_exact:
            return False
        return tensions_of(row.degrees) == tensions_of(self.colour.degrees)

    @property
    def _wanted(self) -> str:
        """Say what was asked for."""
        degrees = " ".join(degree.pretty for degree in self.colour.tensions)
        return f"{sentence(self.colour.spoken)[:-1]} adds {degrees} and nothing else."


def _capital(text: str) -> str:
    """Return a clause with a capital in front."""
    return text[:1].upper() + text[1:]


def bar_of_colour(spot: Spot) -> Draft:
    """Ask for a bar over V that spells a colour and lands on I."""
    row = colour(spot.topic)
    over = _bars(spot)
    verb = "Write" if spot.level > CHOOSING else "Choose, or write,"
    near = (model_bar(over, other).text for other in colours_apart(row, spot.key.mode)[:4])
    return Draft(
        f"{verb} a bar over {spot.v.pretty} that spells {row.spoken} and lands on {spot.i.pretty}.",
        f"Its degrees over {spot.v.pretty} are {' '.join(d.pretty for d in row.degrees)}.",
        model_bar(over, row).text,
        LineJudge(over, row),
        tuple(near),
        Shown(spot.v),
        Heard(spot.key, line=Line(two_five_one(spot.key), ())),
    )


def _bars(spot: Spot) -> Progression:
    """Return a bar of V and a bar of I."""
    return Progression(spot.key, (Bar.even(spot.v), Bar.even(spot.i)))


def guide_tone_loop(spot: Spot) -> Draft:
    """Ask to sing or play the guide tones over the loop, and to say how it went."""
    over = two_five_one(spot.key)
    first, second = guide_tone_lines(over, longest=4)
    options = (
        (CLEAN, ("right", "good", "well", "yes")),
        (SLIPS, ("slips", "nearly", "almost", "some slips")),
        (LOST, ("wrong", "no", "bad", "not yet")),
    )
    notes = " ".join(note.pitch.note.pretty for note in first.notes)
    others = " ".join(note.pitch.note.pretty for note in second.notes)
    because = f"One line is {notes}, the other {others}."
    would = (
        "Clean is how it should go.",
        "With slips, it comes again soon.",
        "Lost, it comes again today; take a slower tempo.",
    )
    return Draft(
        f"Sing or play the guide tones over {over.pretty}, round and round. How did it go?",
        because,
        CLEAN,
        WordJudge(CLEAN, options, because, would),
        (SLIPS, LOST),
        Shown(spot.ii, (), (first, second)),
        Heard(spot.key, line=Line(over, ())),
        all_offered=True,
        is_report=True,
    )


DO_KINDS = (
    QuestionKind(
        "bar of a colour", "do", "a bar that spells a colour and lands",
        COLOUR_TOPICS, suits, bar_of_colour,
    ),
    QuestionKind(
        "guide tones over the loop", "do", "the guide tones, sung or played",
        MODES, in_mode, guide_tone_loop,
    ),
)  # fmt: skip
