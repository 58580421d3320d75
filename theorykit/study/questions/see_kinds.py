"""Kinds of question that show a chord, a shape or a line and ask what it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.harmony.colours import CHORD_TONES, Colour, colour
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import ordinal, sentence
from theorykit.lines.demonstration import demonstration
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, written_above
from theorykit.notes.note import Note
from theorykit.study.questions.colour_judges import ColourJudge, WrongNoteJudge
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
from theorykit.study.questions.recall_kinds import COLOUR_TOPICS
from theorykit.study.questions.typed import note_typed


def colour_seen(spot: Spot) -> Draft:
    """Show a V with the notes of a colour over it, and ask for its name."""
    row = colour(spot.topic)
    notes = row.notes(spot.v)
    return Draft(
        f"Which colour do these notes give {spot.v.pretty}: {_listed(notes)}?",
        f"Name each note as a degree of {spot.v.pretty}; the tones of the chord do not count.",
        row.name,
        ColourJudge(spot.v, row, "these notes are"),
        tuple(other.name for other in colours_apart(row, spot.key.mode)),
        Shown(spot.v, notes),
    )


def _listed(notes: tuple[Note, ...]) -> str:
    """Write notes one after the other."""
    return " ".join(note.pretty for note in notes)


@dataclass(frozen=True, slots=True)
class TargetJudge:
    """Judges the note on which a line lands: a tone of I as near as the one that it lands on.

    The note on which it stops is none, though it may be a tone of I.
    """

    i: Chord
    last: Note
    goal: Note

    def judge(self, given: Given) -> Judgement:
        """Return whether the line may land there, and what the given note is."""
        note = note_typed(given)
        (own,) = degrees_over(self.i, [note])
        (wanted,) = degrees_over(self.i, [self.goal])
        held = (
            f"The line lands on {self.goal.pretty}, the {ordinal(wanted)} of {self.i.pretty}, "
            f"{_far(self.last, self.goal)} from {self.last.pretty}."
        )
        place = f"{note.pretty} is the {ordinal(own)} of {self.i.pretty}"
        tones = {tone.semitone for tone in self.i.notes}
        if note.semitone == self.goal.semitone:
            return Judgement(True, held)
        if note.semitone == self.last.semitone:
            return Judgement(False, f"{place}, but there the line stands already. {held}")
        if note.semitone in tones and _way(note, self.last) <= _way(self.goal, self.last):
            return Judgement(True, f"{place} and lies as near. {held}")
        far = f", {_far(self.last, note)} from {self.last.pretty}" * (note.semitone in tones)
        apart = "" if note.semitone in tones else " and no tone of the chord"
        return Judgement(False, f"{place}{apart}{far}. {held}")


def _way(one: Note, other: Note) -> int:
    """Return how many half steps apart two notes are, the nearer way."""
    way = (one.semitone - other.semitone) % 12
    return min(way, 12 - way)


def _far(one: Note, other: Note) -> str:
    """Say how far apart two notes are."""
    steps = _way(one, other)
    return "a half step" if steps == 1 else f"{steps} half steps"


def target_note(spot: Spot) -> Draft:
    """Show a line up to the end of V, and ask on which note it lands."""
    line = demonstration(spot.key, "long", spot.topic)
    *before, goal = line.notes
    last = before[-1].pitch.note
    shown = replace(line, notes=tuple(before))
    tones = sorted(spot.i.notes, key=lambda note: -_way(note, last))
    other = "other " * (last.semitone in {note.semitone for note in tones})
    names = [
        str(note)
        for note in (*tones, *(above(spot.i.root, Degree(number)) for number in (4, 9)))
        if note.semitone != last.semitone
    ]
    return Draft(
        f"This line over {spot.way} spells {colour(spot.topic).spoken} and stops on "
        f"{last.pretty}. "
        f"Which {other}tone of {spot.i.pretty} is nearest to land on?",
        f"The tones of {spot.i.pretty} are its {_degrees(spot.i)}.",
        str(goal.pitch.note),
        TargetJudge(spot.i, last, goal.pitch.note),
        tuple(names),
        Shown(spot.i, (), (shown,)),
    )


def _degrees(chord: Chord) -> str:
    """Write the degrees of a chord."""
    return " ".join(degree.pretty for degree in chord.degrees)


def wrong_note(spot: Spot) -> Draft:
    """Show the notes of a colour, one of them moved by a half step, and ask which it is."""
    row = colour(spot.topic)
    place, moved = _moved(row, spot)
    notes = list(row.notes(spot.v))
    meant = row.degrees[place]
    notes[place] = written_above(spot.v.root, moved)
    shown = tuple(sorted(notes, key=lambda note: (note.semitone - spot.v.root.semitone) % 12))
    return Draft(
        f"These notes are meant to be {row.spoken} over {spot.v.pretty}, and one is wrong: "
        f"{_listed(shown)}. Which one?",
        f"{sentence(row.spoken)[:-1]} is {' '.join(degree.pretty for degree in row.degrees)}.",
        str(notes[place]),
        WrongNoteJudge(spot.v, row, shown, notes[place], meant),
        tuple(str(note) for note in shown if note != notes[place]),
        Shown(spot.v, shown),
    )


def _moved(row: Colour, spot: Spot) -> tuple[int, Degree]:
    """Choose a tension of a colour and the degree a half step aside that it has not."""
    held = {degree.semitone for degree in (*row.degrees, *row.passing, *CHORD_TONES)}
    aside = [
        (place, Degree(degree.number, degree.alteration + step))
        for place, degree in enumerate(row.degrees)
        if degree in row.tensions
        for step in (1, -1)
        if (degree.semitone + step) % 12 not in held
    ]
    return spot.rng.choice(aside)


SEE_KINDS = (
    QuestionKind(
        "colour in a picture", "see", "the colour of notes on a staff or a keyboard",
        COLOUR_TOPICS, suits, colour_seen,
    ),
    QuestionKind(
        "target note", "see", "the note on which a line lands",
        COLOUR_TOPICS, suits, target_note,
    ),
    QuestionKind(
        "wrong note", "see", "the note that does not belong to a colour",
        COLOUR_TOPICS, suits, wrong_note,
    ),
)  # fmt: skip
