"""Jobs: the role of each span of a tune, and the span that it leads to.

Dominants come first, then the ii of each, then diminished and passing chords; what is left is told
by its degree in the key around it (common practice).
"""

from __future__ import annotations

from typing import NamedTuple

from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.targets import rests, target_of
from theorykit.tunes.dominant_moves import BACKDOOR, TRITONE
from theorykit.tunes.families import (
    DIM_TRIAD,
    DIMINISHED,
    DOMINANT,
    HALF,
    LEADS,
    MAJOR,
    MINOR,
    MINOR_7,
    PEDAL,
    SUBDOMINANT,
    SUS_TRIAD,
    SUSPENDED,
)
from theorykit.tunes.home_key import fits

TONIC, SUBDOMINANT_ROLE, II_OF, V_OF = "tonic", "subdominant", "the ii of", "the V of"
TRITONE_OF, BACK_DOOR, AT_REST = "tritone substitute for the V of", "backdoor", "dominant at rest"
PASSING, LEADING_NOTE, COMMON_TONE = "passing", "leading-note diminished", "common-tone diminished"
OVER_PEDAL, BORROWED, LINE, SILENCE = "pedal", "borrowed", "line", "silent"
ROLES = (
    *(TONIC, SUBDOMINANT_ROLE, II_OF, V_OF, TRITONE_OF, BACK_DOOR, AT_REST, PASSING),
    *(LEADING_NOTE, COMMON_TONE, OVER_PEDAL, BORROWED, LINE, SILENCE),
)
DOMINANT_ROLES = frozenset((V_OF, TRITONE_OF, BACK_DOOR))

_WAY_BY_STEP = {
    (2, MAJOR): BACKDOOR,
    **{(11, family): TRITONE for family in (MINOR_7, MINOR, HALF, DOMINANT)},
}
_WAYS = {TRITONE: TRITONE_OF, BACKDOOR: BACK_DOOR}
_NONE = -1
_CHORDS_OF_MINOR = frozenset((MINOR, MINOR_7))


class Job(NamedTuple):
    """The role of a span, and the span that it leads to, or -1."""

    role: str
    target: int = _NONE


# By how far the next root stands above that of a diminished seventh, counted in minor thirds: the
# four notes of the chord are alike, so that only the rest decides (common practice).
_DIMINISHED_ROLES = COMMON_TONE, LEADING_NOTE, PASSING

# Half steps above the tonic; what is not named is borrowed in major, subdominant in minor.
_MAJOR_TONICS = {MAJOR: (0,), MINOR_7: (4, 9), MINOR: (4, 9)}
_MAJOR_SUBDOMINANTS = {MAJOR: (5,), MINOR_7: (2,), MINOR: (2,), HALF: (6, 11)}
_MINOR_TONICS = {MINOR: (0,), MINOR_7: (0,), MAJOR: (3,)}
_MINOR_BORROWED = {MAJOR: (0,)}


def jobs_of(found: Analysis) -> list[Job]:
    """Return the job of every span."""
    return [_job(found, n) for n in range(len(found.spans))]


def _job(found: Analysis, n: int) -> Job:
    """Return the job of one span."""
    family = found.spans[n].family
    if family == PEDAL:
        return Job(OVER_PEDAL)
    if family in LEADS:
        return _dominant_job(found, n)
    if found.moves.ii[n] != _NONE or found.moves.landing[n] is not None:
        return Job(V_OF, target_of(found, n))
    v = _v_of(found, n)
    if v != _NONE:
        return Job(II_OF, v)
    if family in (DIMINISHED, DIM_TRIAD):
        return _diminished_job(found, n)
    return _passing(found, n) or _triad_as_v(found, n) or _by_degree(found, n)


def _v_of(found: Analysis, n: int) -> int:
    """Return the V of a ii, also of one that goes on to the same ii in another form."""
    v = found.v_of.get(n, _NONE)
    if v != _NONE or found.spans[n].family not in SUBDOMINANT:
        return v
    for one in (found.after(n, -1), found.after(n)):
        other = found.v_of.get(one, _NONE)
        if other != _NONE and found.up(one, n) == 0 and _is_between(found, one, n, other):
            return other
    return _NONE


def _is_between(found: Analysis, ii: int, n: int, v: int) -> bool:
    """Tell whether a span stands between a ii and its V, or is a m7 before its m7b5."""
    if n == found.after(ii):
        return n != v
    return found.spans[n].family == MINOR_7 and found.spans[ii].family == HALF


def _dominant_job(found: Analysis, v: int) -> Job:
    """Return the job of a dominant seventh, suspended or not, or of an augmented triad."""
    if found.is_at_rest(v) and found.moves.ii[v] == _NONE:
        return Job(AT_REST)
    target = target_of(found, v)
    way = _way(found, v)
    if target == _NONE:
        return _without_target(found, v, way)
    if _is_chromatic_step(found, v) and found.up(v, target) == 1:
        return Job(PASSING, target)
    is_alone = found.moves.ii[v] == _NONE and found.moves.landing[v] is None
    if is_alone and found.links[v] == _NONE and found.again[v] == v:
        way = _WAY_BY_STEP.get((found.up(v, target), found.spans[target].family), way)
    return Job(_WAYS.get(way, V_OF), target)


def _way(found: Analysis, v: int) -> str:
    """Return the way of a V; of one that is said again, that of the last."""
    landing = found.moves.landing[v]
    return found.ways[found.again[v]] if landing is None else landing.way


def _without_target(found: Analysis, v: int, way: str) -> Job:
    """Return the job of a dominant that leads to no chord of the tune."""
    if found.moves.ii[v] != _NONE:  # what its ii points to is known, though it does not come
        return Job(_WAYS.get(way, V_OF))
    span = found.spans[v]
    if rests(found, v) or span.family == SUSPENDED:
        return Job(AT_REST)
    if _is_chromatic_step(found, v):
        return Job(PASSING, found.after(v))
    if way == BACKDOOR:
        return Job(BACK_DOOR)
    degree = (span.root - found.path[v]) % 12
    if degree == 8:
        return _flat_six(found, v)
    is_flat_two = 1 in (degree, (span.root - found.home) % 12)
    return Job(TRITONE_OF if is_flat_two and span.family == DOMINANT else V_OF)


def _flat_six(found: Analysis, v: int) -> Job:
    """Return the job of a flat VI7: to I over the fifth it falls to the bass, else it is borrowed.

    An augmented sixth resolves so (common practice).
    """
    then = found.after(v)
    bass = found.spans[then].chord.bass
    falls = bass is not None and (bass.semitone - found.spans[v].root) % 12 == 11
    return Job(TRITONE_OF, then) if falls else Job(BORROWED)


def _is_chromatic_step(found: Analysis, n: int) -> bool:
    """Tell whether a chord of one family stands between two, up or down in half steps."""
    before, then = found.after(n, -1), found.after(n)
    family = found.spans[n].family
    is_alike = found.spans[before].family == family == found.spans[then].family
    steps = found.up(before, n), found.up(n, then)
    falls = steps == (11, 11) and family != DOMINANT  # falling dominants are substitutes
    return is_alike and (falls or steps == (1, 1))


def _diminished_job(found: Analysis, n: int) -> Job:
    """Return the job of a diminished chord, by where the next one stands."""
    then = found.after(n)
    return Job(_DIMINISHED_ROLES[found.up(n, then) % 3], then)


def _passing(found: Analysis, n: int) -> Job | None:
    """Return the job of a minor or half-diminished chord that only goes by."""
    span, then = found.spans[n], found.after(n)
    if span.family == HALF and found.up(n, then) in (1, 11):
        return Job(LEADING_NOTE if found.up(n, then) == 1 else PASSING, then)
    is_strange = fits(span.root, MAJOR)[found.path[n] % 12] < _AT_HOME
    goes_by = span.family in _CHORDS_OF_MINOR and is_strange and _is_chromatic_step(found, n)
    return Job(PASSING, then) if goes_by else None


_AT_HOME = 0.5


def _triad_as_v(found: Analysis, n: int) -> Job | None:
    """Return the job of a major triad, or of a suspended one, that is the V of what follows."""
    span, then = found.spans[n], found.after(n)
    if span.family not in (MAJOR, SUS_TRIAD) or not span.bare:
        return None
    degree = (span.root - found.path[n]) % 12
    is_v = degree == 7
    is_v_of_other = degree in (2, 4, 9, 11) and found.path[n] < 12
    falls = found.up(n, then) == 5
    if falls and (is_v or is_v_of_other):
        return Job(V_OF, then)
    return Job(V_OF) if is_v else None


def _by_degree(found: Analysis, n: int) -> Job:
    """Return the job of a chord by its place in the key around it."""
    span = found.spans[n]
    if _is_place_of_its_own(found, n):
        return Job(TONIC)
    degree, family = (span.root - found.path[n]) % 12, _plain_family(span.family)
    if found.path[n] >= 12:
        if degree in _MINOR_TONICS.get(family, ()):
            return Job(TONIC)
        return Job(BORROWED if degree in _MINOR_BORROWED.get(family, ()) else SUBDOMINANT_ROLE)
    if degree in _MAJOR_TONICS.get(family, ()):
        return Job(TONIC)
    if (family, degree) == (MAJOR, 7) and not span.chord.kind.has(_LEADING_NOTE_OF_I):
        return Job(V_OF)
    return Job(SUBDOMINANT_ROLE if degree in _MAJOR_SUBDOMINANTS.get(family, ()) else BORROWED)


_LEADING_NOTE_OF_I = "7"  # a chord with the major seventh pulls nowhere


def _is_place_of_its_own(found: Analysis, n: int) -> bool:
    """Tell whether a minor chord foreign to the tune lasts two bars and more, as modal tunes do."""
    span = found.spans[n]
    bar = float(found.bars[found.chart.played[span.first].written].metre.beats)
    is_strange = fits(span.root, span.family)[found.home] < _AT_HOME
    return span.family in _CHORDS_OF_MINOR and is_strange and span.beats >= 2 * bar


def _plain_family(family: str) -> str:
    """Return the family that a chord without a third is taken for."""
    return family if family in (MAJOR, MINOR, MINOR_7, HALF) else MAJOR
