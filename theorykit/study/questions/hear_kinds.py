"""Kinds of question that are heard: a ii-V-I with the band, and what was special about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from theorykit.harmony.colours import BOTH, COLOURS, colour
from theorykit.harmony.substitution import substitute
from theorykit.harmony.wording import counted
from theorykit.lines.demonstration import demonstration
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.study.questions.colour_judges import ColourJudge, names
from theorykit.study.questions.heard import Heard, landed
from theorykit.study.questions.judges import DegreeJudge, WordJudge
from theorykit.study.questions.near_misses import near_colours, near_degrees
from theorykit.study.questions.question import Draft, QuestionKind, Shown, Spot, anywhere, suits
from theorykit.study.questions.recall_kinds import COLOUR_TOPICS, in_mode, moves_well
from theorykit.tunes.progression import FORMS, cadence_chords, two_five_one

PLAIN, COLOURED = "plain", "coloured"
ORIGINAL, SUBSTITUTE = "original", "tritone substitute"
LETTERED = "ABCD"
FREE_TARGETS = tuple(row.name for row in COLOURS if row.targets == BOTH)
TOPS = ("b9", "9", "#9", "#11", "b13", "13")
LANDINGS = {"major": degrees("1 3 5 7 9"), "minor": degrees("1 b3 5 6 9")}
LANDING_TOPICS = ("1", "3", "b3", "5", "6", "7", "9")


def colour_heard(spot: Spot) -> Draft:
    """Play a colour in a ii-V-I, and ask which it was."""
    row = colour(spot.topic)
    others = [other.name for other in near_colours(row, spot.key.mode)]
    sounds = tuple((name, Heard(spot.key, colour=name)) for name in (row.name, *others))
    return Draft(
        f"A ii-V-I to {spot.key.pretty}. Which colour has the V?",
        f"It adds {counted(len(row.tensions), 'note')} to the V.",
        row.name,
        ColourJudge(spot.v, row, "what you heard is"),
        tuple(others),
        Shown(spot.v),
        sounds[0][1],
        sounds,
        all_offered=True,
    )


def plain_or_coloured(spot: Spot) -> Draft:
    """Play a ii-V-I with the plain V or with a colour, and ask which."""
    row = colour(spot.topic)
    sounds = ((PLAIN, Heard(spot.key)), (COLOURED, Heard(spot.key, colour=row.name)))
    tones = {PLAIN: "1, 3, 5 and ♭7 of {v}", COLOURED: f"{names(row.degrees)} of {{v}}"}
    would = tuple(
        f"{word.capitalize()} is {tones[word].format(v=spot.v.pretty)}." for word, _ in sounds
    )
    return _of_words(
        f"A ii-V-I to {spot.key.pretty}. Is the V plain or coloured?",
        "Sing the root of V, and listen for what rubs or shines above it.",
        spot.rng.choice(sounds)[0],
        sounds,
        would,
        spot.v,
    )


def _of_words(
    prompt: str,
    hint: str,
    right: str,
    sounds: Sequence[tuple[str, Heard]],
    would: Sequence[str],
    chord: Chord,
    aliases: Sequence[tuple[str, ...]] = (),
) -> Draft:
    """Ask for one of some words, each of which has a sound and a sentence on it."""
    words = [word for word, _ in sounds]
    other = aliases or [()] * len(words)
    place = words.index(right)
    judging = WordJudge(
        right,
        tuple(zip(words, other, strict=True)),
        f"You heard: {right}. {would[place]}",
        tuple(would),
    )
    misses = tuple(word for word in words if word != right)
    return Draft(
        prompt, hint, right, judging, misses, Shown(chord), dict(sounds)[right], tuple(sounds), True
    )


def parallel(key: Key) -> Key:
    """Return the key of the other mode on the same tonic, however it is spelled.

    >>> str(parallel(Key.parse("C"))), str(parallel(Key.parse("Db")))
    ('C minor', 'C# minor')
    """
    same = [k for k in KEYS if k.mode != key.mode and k.tonic.semitone == key.tonic.semitone]
    return min(same, key=lambda k: (k.tonic != key.tonic, abs(k.fifths)))


def mode_of_target(spot: Spot) -> Draft:
    """Play a ii-V-I to a major or a minor I, and ask which."""
    keys = sorted((spot.key, parallel(spot.key)), key=lambda key: MODES.index(key.mode))
    sounds = tuple((key.mode, Heard(key, colour=spot.topic)) for key in keys)
    thirds = {"major": "the 3rd of I lies four half steps above its root",
              "minor": "the 3rd of i lies three half steps above its root"}  # fmt: skip
    would = tuple(
        f"{key.mode.capitalize()} is {two_five_one(key).pretty}: {thirds[key.mode]}."
        for key in keys
    )
    return _of_words(
        f"A V on {spot.v.root.pretty} with {colour(spot.topic).spoken}. "
        "Does it go to a major or to a minor chord?",
        "Wait for the last chord, and sing its 3rd.",
        spot.key.mode,
        sounds,
        would,
        spot.v,
        [("maj",), ("min",)],
    )


def top_note(spot: Spot) -> Draft:
    """Play a V with one degree held on top, and ask which."""
    degree = Degree.parse(spot.topic)
    others = [str(one) for one in near_degrees(degree) if moves_well(str(one), spot.key)]
    near = [one for one in others if one in TOPS]
    sounds = tuple((name, Heard(spot.key, top=name)) for name in (spot.topic, *near))
    return Draft(
        f"A ii-V-I to {spot.key.pretty}. Which degree of V is held on top?",
        f"The tone of {spot.i.pretty} nearest to it is {_goal(spot)}.",
        spot.topic,
        DegreeJudge(spot.v, degree, "the top note"),
        tuple(near),
        Shown(spot.v),
        sounds[0][1],
        sounds,
        all_offered=True,
    )


def _goal(spot: Spot) -> str:
    """Return the tone of I that lies nearest to the topic's note."""
    note = above(spot.v.root, Degree.parse(spot.topic))

    def apart(tone_semitone: int) -> int:
        way = (tone_semitone - note.semitone) % 12
        return min(way, 12 - way)

    near = min(spot.i.notes, key=lambda tone: apart(tone.semitone))
    return near.pretty


def lands_in(topic: str, key: Key) -> bool:
    """Tell whether a phrase may land on a degree of the I of a key."""
    return Degree.parse(topic) in LANDINGS[key.mode]


def landing(spot: Spot) -> Draft:
    """Play a phrase that lands on a degree of I, and ask which."""
    degree = Degree.parse(spot.topic)
    others = near_degrees(degree, LANDINGS[spot.key.mode])
    sounds = tuple(
        (str(one), Heard(spot.key, colour="b9", landing=str(one))) for one in (degree, *others)
    )
    return Draft(
        f"A phrase in {spot.key.pretty}. On which degree of the last chord does it land?",
        "Sing down from the last note to the root, and count.",
        spot.topic,
        DegreeJudge(spot.i, degree, "the last note"),
        tuple(map(str, others)),
        Shown(spot.i),
        sounds[0][1],
        sounds,
        all_offered=True,
    )


def line_heard(spot: Spot) -> Draft:
    """Show lines, play one of them, and ask which."""
    own = demonstration(spot.key, "long", spot.topic)
    lines = _lines_near(own, spot, 2 if spot.level == 1 else 4)
    spot.rng.shuffle(lines)
    sounds = tuple(
        (letter, Heard(spot.key, colour=spot.topic, line=line))
        for letter, line in zip(LETTERED, lines, strict=False)
    )
    would = [f"Line {letter} ends with {_ending(sound.line)}." for letter, sound in sounds]
    right = next(letter for letter, sound in sounds if sound.line == own)
    found = _of_words(
        f"Which of these lines in {spot.key.pretty} do you hear?",
        "Follow where the line goes up and where it goes down over V.",
        right,
        sounds,
        would,
        spot.v,
        [(f"line {letter}",) for letter, _ in sounds],
    )
    return replace(found, shown=Shown(spot.v, (), tuple(lines)))


def _lines_near(own: Line, spot: Spot, count: int) -> list[Line]:
    """Return a line, those of neighbouring colours, and one that lands elsewhere, all different."""
    found = [own]
    for line in _others(own, spot):
        if _sound(line) not in [_sound(one) for one in found]:
            found.append(line)
        if len(found) == count:
            break
    return found


def _others(own: Line, spot: Spot) -> Iterator[Line]:
    """Run through lines near one."""
    near = near_colours(colour(spot.topic), spot.key.mode)
    yield demonstration(spot.key, "long", near[0])
    yield from (landed(own, degree) for degree in LANDINGS[spot.key.mode][:2])
    yield from (demonstration(spot.key, "long", other) for other in near[1:])


def _sound(line: Line) -> tuple[int, ...]:
    """Return what a line sounds."""
    return tuple(note.pitch.midi for note in line.notes)


def _ending(line: Line | None) -> str:
    """Write the last five notes of a line."""
    notes = line.notes[-5:] if line is not None else ()
    return " ".join(note.pitch.note.pretty for note in notes)


def form_heard(spot: Spot) -> Draft:
    """Play a long, short or split ii-V-I, and ask which; none is known by how long it lasts."""
    forms = FORMS if spot.level > 1 else tuple(dict.fromkeys((spot.topic, *FORMS)))[:2]
    bars = {form: len(two_five_one(spot.key, form)) for form in FORMS}
    sounds = tuple(
        (form, Heard(spot.key, form, more=max(bars.values()) - bars[form]))
        for form in FORMS
        if form in forms
    )
    would = [f"{form.capitalize()} is {two_five_one(spot.key, form).pretty}." for form, _ in sounds]
    return _of_words(
        f"A ii-V-I to {spot.key.pretty}. Is it {_or([form for form, _ in sounds])}?",
        "Count the beats until the bass leaves the ii.",
        spot.topic,
        sounds,
        would,
        spot.i,
    )


def _or(words: Sequence[str]) -> str:
    """List words to choose from: ``long, short or split``."""
    *others, last = words
    return f"{', '.join(others)} or {last}"


def substituted_or_not(spot: Spot) -> Draft:
    """Play a ii-V-I with its V or with the tritone substitute, and ask which."""
    ii, v, i = cadence_chords(spot.key)
    sub = substitute(SUBSTITUTE, v, i).chords[0]
    sounds = (
        (ORIGINAL, Heard(spot.key, line=Line(two_five_one(spot.key), ()))),
        (SUBSTITUTE, Heard(spot.key, is_substituted=True)),
    )
    would = (
        f"The original is {v.pretty}: its root lies a fifth below that of {ii.pretty}.",
        f"The substitute is {sub.pretty}: its root lies a half step above that of {i.pretty}.",
    )
    return _of_words(
        f"A ii-V-I to {spot.key.pretty}. Is the middle chord the original or its tritone "
        "substitute?",
        "Listen to the bass: does it leap, or does it go down by half steps?",
        spot.rng.choice(sounds)[0],
        sounds,
        would,
        spot.i,
        [("v", "the original", "plain"), ("substitute", "sub", "tritone", "tritone sub")],
    )


HEAR_KINDS = (
    QuestionKind(
        "colour by ear", "hear", "which colour the V has",
        COLOUR_TOPICS, suits, colour_heard,
    ),
    QuestionKind(
        "plain or coloured", "hear", "whether the V is plain or coloured",
        COLOUR_TOPICS, suits, plain_or_coloured,
    ),
    QuestionKind(
        "major or minor target", "hear", "whether the V goes to major or to minor",
        FREE_TARGETS, anywhere, mode_of_target,
    ),
    QuestionKind(
        "top note", "hear", "which degree is held on top",
        TOPS, moves_well, top_note,
    ),
    QuestionKind(
        "landing by ear", "hear", "the degree on which a phrase lands",
        LANDING_TOPICS, lands_in, landing,
    ),
    QuestionKind(
        "line by ear", "hear", "which of the lines that are shown is played",
        COLOUR_TOPICS, suits, line_heard,
    ),
    QuestionKind(
        "form by ear", "hear", "whether a ii-V-I is long, short or split",
        FORMS, anywhere, form_heard,
    ),
    QuestionKind(
        "substitute by ear", "hear", "the tritone substitute or the original",
        MODES, in_mode, substituted_or_not,
    ),
)  # fmt: skip
