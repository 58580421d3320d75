"""The substitutes of a dominant: one row a substitute, everything else derived.

Where the rows come from: Wikibooks contributors, *Music Theory / Dominant substitute*, undated (the
shared tritone); Wikipedia contributors, *Backdoor progression*, undated, and Nettles and Graf, *The
Chord Scale Theory and Jazz Harmony*, 1997 (a dominant and its substitute may each follow the
related ii of either), both from memory; the others are `common practice`. Diminished sevenths are
told apart as Edward Aldwell and Carl Schachter do, *Harmony and Voice Leading* (1978, from memory):
on the leading note of the chord that follows, with the work of its V, or passing, which has no such
work.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, shown

PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class SubstituteRow:
    """One row: its name, its chords by mode, and what is said of it.

    ``major`` and ``minor`` list the chords, each as the degree of its root above the root of V and
    its symbol; ``what`` and ``common`` are sentences with places for the chords ``{c[0]}``, their
    roots ``{r[0]}``, the dominant ``{v}`` and its root ``{root}``, the note ``{home}`` a fifth
    below, and other notes named by where they stand: those of ``Facts.names``.
    """

    name: str
    major: str
    minor: str
    what: str
    common: str
    source: str


ROWS = (
    SubstituteRow(
        "tritone substitute",
        "b5 7",
        "b5 7",
        "{c[0]} stands in for {v}: the dominant seventh chord a tritone away",
        "Before {one}, most of all after the ii, so that the bass falls in half steps: {ii}, "
        "{r[0]}, {home}",
        "Wikibooks contributors, Music Theory / Dominant substitute, undated",
    ),
    SubstituteRow(
        "related ii",
        "5 m7, 1 7",
        "5 m7b5, 1 7",
        "{c[0]} goes before {v}: the two are the ii-V of {key}",
        "In a bar of {v}, or wherever a dominant lasts long enough to be halved",
        PRACTICE,
    ),
    SubstituteRow(
        "related ii of the tritone substitute",
        "b9 m7, 1 7",
        "b9 m7, 1 7",
        "{c[0]} goes before {v} itself: it is the ii that belongs to {sub}, the tritone "
        "substitute, and its root lies a half step above {root}",
        "Either ii may go before either dominant: before {v} this one falls into it by a half step",
        "Nettles and Graf, from memory",
    ),
    SubstituteRow(
        "ii-V of the tritone substitute",
        "b9 m7, b5 7",
        "b9 m7, b5 7",
        "{c[0]} and {c[1]} are the tritone substitute with its own ii: a ii-V that points to "
        "{far} and goes {goes}",
        "In the V bar of a slow or medium tune, and in turnarounds",
        PRACTICE,
    ),
    SubstituteRow(
        "major seventh chord a half step below I",
        "3 maj7",
        "3 maj7",
        "{c[0]} over {v}: a major seventh chord on {on_third}, a half step below {home}",
        "As a shape for a line or for the right hand over the last beats of {v}, before it slides "
        "up a half step to {home}",
        PRACTICE,
    ),
    SubstituteRow(
        "backdoor dominant",
        "b7 m7, b3 7",
        "b7 m7, b3 7",
        "{seven} stands a whole step below {home}, as its ♭VII7, and comes with its own ii, "
        "{four}, which is the iv of {home} minor; {c[1]} may also come alone",
        "Into {home} major, most of all after its IV has turned minor; before {home} minor both "
        "chords belong to the natural minor scale",
        "Wikipedia contributors, Backdoor progression, undated, from memory",
    ),
    SubstituteRow(
        "dominant a minor third above",
        "b3 7",
        "b3 7",
        "{above} has its root a minor third above {root}; it is the chord of the backdoor, a whole "
        "step below {home}",
        "As one of the four dominants of a diminished seventh chord, in lines over the half-whole "
        "diminished scale",
        PRACTICE,
    ),
    SubstituteRow(
        "dominant a minor third below",
        "6 7",
        "6 7",
        "{below} has its root a minor third below {root}; it is also the V of {sixth}, a major "
        "sixth above {home}",
        "As one of the four dominants of a diminished seventh chord, in lines over the half-whole "
        "diminished scale",
        PRACTICE,
    ),
    SubstituteRow(
        "leading-note diminished chord",
        "3 dim7",
        "3 dim7",
        "{c[0]} is {plain} with its ♭9 and without its root; it stands on {on_third}, a half step "
        "below {home}",
        "Where the bass climbs by half steps into the chord that it leads to: {under}, {r[0]}, "
        "{home}, as from I to ii, where it stands for the dominant of ii",
        PRACTICE,
    ),
    SubstituteRow(
        "chain of dominants",
        "6 7, 9 7, 5 7, 1 7",
        "6 7, 9 7, 5 7, 1 7",
        "{chain} are dominants a fifth apart: each is the V of the next",
        "In the bridge of many thirty-two-bar tunes, two bars to each chord, and in turnarounds",
        PRACTICE,
    ),
    SubstituteRow(
        "suspended version",
        "1 9sus4",
        "1 7sus4b9",
        "{c[0]} keeps the root and holds {fourth}, the 4th, in the place of {third}, the 3rd; "
        "{v} may follow it, or {goal} at once",
        "In tunes that stand still on one chord, in vamps, and to take the push out of a cadence",
        PRACTICE,
    ),
    SubstituteRow(
        "side step",
        "b6 m7, b9 7, 5 m7, 1 7",
        "b6 m7b5, b9 7, 5 m7b5, 1 7",
        "{c[0]} and {c[1]} are the ii-V a half step above {c[2]} and {v}; then the line goes {end}",
        "In solos, as a short way outside that the ear follows because the same shape comes back "
        "a half step lower",
        PRACTICE,
    ),
)

NAMES = tuple(row.name for row in ROWS)
# Names that older texts have. A passing diminished chord is another thing: it stands for no V.
OLDER_NAMES = {"passing diminished chord": "leading-note diminished chord"}


def substitute_name(name: str) -> str:
    """Return the name of a substitute as the table has it; one of an older text is read too.

    >>> substitute_name("passing diminished chord")
    'leading-note diminished chord'
    """
    found = OLDER_NAMES.get(name, name) if isinstance(name, str) else name
    if found not in NAMES:
        raise TheoryError(f"no such substitute: {shown(name)} (want one of {', '.join(NAMES)})")
    return found
