"""Asking: a question of a kind, in one of some keys, the same for the same seed."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.notes.key import KEYS, Key
from theorykit.study.questions.do_kinds import DO_KINDS
from theorykit.study.questions.hear_kinds import HEAR_KINDS
from theorykit.study.questions.question import (
    LEVELS,
    MISSES_AT,
    Draft,
    Question,
    QuestionKind,
    Spot,
)
from theorykit.study.questions.recall_kinds import RECALL_KINDS
from theorykit.study.questions.see_kinds import SEE_KINDS
from theorykit.tunes.progression import cadence_chords

KINDS_OF_QUESTION = (*RECALL_KINDS, *SEE_KINDS, *HEAR_KINDS, *DO_KINDS)
_BY_NAME = {kind.name: kind for kind in KINDS_OF_QUESTION}
MOST_MISSES = 3


def question(
    kind: QuestionKind | str,
    *,
    level: int = 2,
    keys: Iterable[Key | str] = KEYS,
    seed: int = 0,
    topic: str | None = None,
) -> Question:
    """Return a question of a kind, made from the theory, in one of some keys.

    At level 1 the answer and one near miss are offered, at level 2 three of them, at level 3 none,
    or all there are where something is heard. ``topic`` is the colour or fact that is asked for;
    without one any is drawn that can be asked in the keys.

    >>> asked = question("degree of a note", level=2, keys=["Db"], seed=3, topic="#11")
    >>> asked.prompt, asked.answer, asked.choices
    ('Which degree of A♭7 is D?', '#11', ('11', '5', '3', '#11'))
    >>> asked.judge("11").words
    'The 11 of A♭7 is D♭. D is the ♯11 of A♭7.'
    >>> question("riddle")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such kind of question: 'riddle' (want shortcut over V, \
shortcut to I, colour of a shape, degree of a note, note of a degree, guide tones, where a note \
goes, substitute, ii of a V, colour in a picture, target note, wrong note, colour by ear, plain or \
coloured, major or minor target, top note, landing by ear, line by ear, form by ear, substitute by \
ear, bar of a colour, guide tones over the loop)
    """
    row = kind_named(kind)
    if level not in LEVELS or isinstance(level, bool):
        raise TheoryError(f"no such level: {shown(level)} (want 1, 2 or 3)")
    rng = Random(f"{seed} {row.name} {level} {topic}")
    about, key = _drawn(row, topic, _keys(keys), rng)
    ii, v, i = cadence_chords(key)
    draft = row.make(Spot(about, key, level, ii, v, i, rng))
    return _finished(row, about, level, key, draft, rng)


def kind_named(kind: QuestionKind | str) -> QuestionKind:
    """Return a kind of question by its name."""
    if isinstance(kind, QuestionKind):
        return kind
    found = _BY_NAME.get(kind) if isinstance(kind, str) else None
    if found is None:
        raise TheoryError(f"no such kind of question: {shown(kind)} (want {', '.join(_BY_NAME)})")
    return found


def _keys(keys: Iterable[Key | str]) -> list[Key]:
    """Read the keys to draw from."""
    given = [keys] if isinstance(keys, (str, Key)) else keys
    if not isinstance(given, Iterable):
        raise TheoryError(f"not keys: {shown(given)} (want some such as ['Db', 'F minor'])")
    found = [key if isinstance(key, Key) else Key.parse(key) for key in given]
    if not found:
        raise TheoryError("no key to ask in (want at least one, such as 'Db')")
    return found


def _drawn(kind: QuestionKind, topic: str | None, keys: list[Key], rng: Random) -> tuple[str, Key]:
    """Draw a topic and a key that go together."""
    if topic is not None and topic not in kind.topics:
        raise TheoryError(
            f"no such topic of {kind.name}: {shown(topic)} (want {', '.join(kind.topics)})"
        )
    topics = kind.topics if topic is None else (topic,)
    pairs = [(one, key) for key in keys for one in topics if kind.fits(one, key)]
    if not pairs:
        raise TheoryError(
            f"{kind.name}, {topic or 'any topic'}: not in {', '.join(map(str, keys))} "
            "(want a key of the other mode among the keys)"
        )
    return rng.choice(pairs)


def _finished(
    kind: QuestionKind, topic: str, level: int, key: Key, draft: Draft, rng: Random
) -> Question:
    """Return a draft with its near misses, and what the level offers to choose from."""
    count = MISSES_AT[level]
    everything = draft.is_report or (draft.all_offered and not count)
    misses = _misses(draft, len(draft.misses) if everything else MOST_MISSES)
    offered = misses if everything else misses[:count]
    choices = [draft.answer, *offered] if offered else []
    if not draft.is_report:
        rng.shuffle(choices)
    return Question(
        kind.name, kind.way, topic, level, key, draft.prompt, draft.hint, draft.answer,
        misses, tuple(choices), draft.judging, draft.shown, draft.heard,
        tuple(pair for pair in draft.sounds if pair[0] in (draft.answer, *misses)), draft.is_report,
    )  # fmt: skip


def _misses(draft: Draft, most: int) -> tuple[str, ...]:
    """Return the nearest misses that are wrong indeed, each once."""
    found: list[str] = []
    for miss in draft.misses:
        if len(found) == most:
            break
        if miss not in found and miss != draft.answer and not draft.judging.judge(miss).right:
            found.append(miss)
    return tuple(found)
