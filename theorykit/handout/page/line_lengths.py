"""Lengths of lines: how many bars stand on each line of a staff, and how large the staff is.

Lines are balanced as an engraver balances them: a section begins a line, sections are cut into
fours, else into lines about as full as each other, and the staves of one block are alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from math import ceil

from theorykit.notes.chord import Chord
from theorykit.views.staves import StaffNote, StaffView

# Sizes of staves, the largest first: 6.9, 6.5 and 6.1 mm from the lowest line to the highest, which
# is what parts have that are read from a stand (common practice: 6 to 7 mm).
STAFF_SIZES = (36.0, 34.0, 32.0)
IN_FOURS = 4  # bars on a line
# The smallest staves may stand a little closer, for the sake of fours: 7 % more was looked at, and
# nothing touched.
CLOSER = 1.06
# About how wide music is at the size of 40, in pixels, found by measuring.
MEASURED = 40.0
HEAD, SIGN, BAR, NOTE, LONG = 58.0, 8.0, 16.0, 21.0, 18.0
ACCIDENTAL, LETTER, GAP = 7.0, 6.4, 8.0
REST, EIGHTHS = 21.0, 2
WORD = 9.0  # of what a word in a second row takes up, such as "appr", more than a degree
EMPTY, CHORD_LETTER = 64.0, 8.6


def staff_lines_of(
    views: Sequence[StaffView], width: float, sizes: Sequence[float] = STAFF_SIZES
) -> tuple[float, tuple[tuple[int, ...], ...]]:
    """Return the size in which staves are engraved, and the bars on each line of each of them.

    The size is the largest of ``sizes`` in which they take as few lines as in any; the smallest
    stand a little closer where that gives lines of four bars. Staves of equally many bars with the
    same sections have the same lines.

    >>> from theorykit.views.explorer_view import explore
    >>> staff_lines_of([explore("C").staff, explore("Db").staff], 567)
    (36.0, ((3,), (3,)))
    """
    ways = [(scale, _lines_at(views, width * MEASURED / scale)) for scale in sizes]
    closer = _lines_at(views, CLOSER * width * MEASURED / sizes[-1])
    if all(max(lines) >= IN_FOURS for lines in closer):
        ways.append((sizes[-1], closer))
    return min(ways, key=lambda way: (sum(map(len, way[1])), -way[0]))


def _lines_at(views: Sequence[StaffView], width: float) -> tuple[tuple[int, ...], ...]:
    """Return the lines of each staff, alike where the bars and their sections are."""
    kinds: dict[tuple[str, ...], list[StaffView]] = {}
    for view in views:
        kinds.setdefault(_sections(view), []).append(view)
    found = {kind: _common_lines(alike, width) for kind, alike in kinds.items()}
    return tuple(found[_sections(view)] for view in views)


def _sections(view: StaffView) -> tuple[str, ...]:
    """Return the section that begins with each bar, empty where none does."""
    return tuple(view.mark(place).section for place in range(len(view.bars)))


def _common_lines(views: Sequence[StaffView], width: float) -> tuple[int, ...]:
    """Return lines that hold every one of several staves of equally many bars."""
    widths = [max(bars) for bars in zip(*map(bar_widths, views), strict=True)]
    free = width - HEAD - SIGN * max(abs(view.key.fifths) for view in views)
    sections = _sections(views[0])
    begins = [at for at, name in enumerate(sections) if name and at] + [len(widths)]
    return tuple(
        count
        for start, end in zip([0, *begins], begins, strict=False)
        for count in _lines(widths[start:end], free)
    )


def bars_per_line(view: StaffView, width: float) -> tuple[int, ...]:
    """Return how many bars stand on each line of ``width`` pixels; a section begins a line.

    Each section is cut into as few lines as hold it, of the same number of bars, or into fours, and
    pairs where four are too wide, if that takes at most one line more; else into lines about as
    full as each other. No line of several has more than four bars, where the section is cut into
    fours. One bar more, on which a chorus lands, stands on the last of them, so that every line
    begins as on the grid.

    >>> from theorykit.views.explorer_view import explore
    >>> bars_per_line(explore("C").staff, 567), bars_per_line(explore("C").staff, 240)
    ((3,), (1, 1, 1))
    """
    return _common_lines([view], width)


def _lines(widths: Sequence[float], free: float) -> list[int]:
    """Cut the bars of a section into lines."""
    fewest = len(_filled(widths, free))
    if len(widths) % IN_FOURS == 0:
        fewest = max(fewest, len(widths) // IN_FOURS)
    fours = [IN_FOURS] * (len(widths) // IN_FOURS)
    if len(widths) == sum(fours) + 1 and len(fours) == fewest > 1:  # the landing of a chorus
        fours[-1] += 1
        if all(used <= free for used in _sums(widths, fours)):
            return fours
    each = ceil(len(widths) / fewest)
    alike = [each] * (len(widths) // each)
    for counts, most in ((alike, fewest), (_pairs(widths, free), fewest + 1)):
        whole = sum(counts) == len(widths) and len(counts) <= most
        if whole and all(used <= free for used in _sums(widths, counts)):
            return counts
    return _even(widths, free, fewest)


def _pairs(widths: Sequence[float], free: float) -> list[int]:
    """Cut a section into pairs of bars, one of fours into fours where most of its lines hold them.

    >>> _pairs([100.0] * 8 + [150.0] * 4, 500.0), _pairs([100.0] * 4 + [150.0] * 4, 500.0)
    ([4, 4, 2, 2], [2, 2, 2, 2])
    """
    if len(widths) % IN_FOURS:
        return [2] * (len(widths) // 2)
    fours = _sums(widths, [IN_FOURS] * (len(widths) // IN_FOURS))
    if 2 * sum(used <= free for used in fours) <= len(fours):
        return [2] * (len(widths) // 2)
    return [count for used in fours for count in ([IN_FOURS] if used <= free else [2, 2])]


def _sums(widths: Sequence[float], counts: Sequence[int]) -> list[float]:
    """Return how wide the music of each line is."""
    ends = list(accumulate(counts))
    return [sum(widths[end - count : end]) for end, count in zip(ends, counts, strict=True)]


def _even(widths: Sequence[float], free: float, lines: int) -> list[int]:
    """Return the lines whose music is most alike in width, the fuller ones first."""
    best: dict[int, tuple[float, list[int]]] = {0: (0.0, [])}
    for _ in range(lines):
        longer: dict[int, tuple[float, list[int]]] = {}
        for at, (cost, counts) in best.items():
            for end in _ends(widths, at, free):
                way = (cost + (free - sum(widths[at:end])) ** 2, [*counts, at - end])
                longer[end] = min(longer.get(end, way), way)
        best = longer
    return [-count for count in best[len(widths)][1]]


def _ends(widths: Sequence[float], at: int, free: float) -> list[int]:
    """Return the bars before which a line may end that begins with bar ``at``."""
    ends = range(at + 1, len(widths) + 1)
    return [end for end in ends if end == at + 1 or sum(widths[at:end]) <= free]


def _filled(widths: Sequence[float], free: float) -> list[int]:
    """Put as many bars on each line as it holds."""
    lines = [0]
    used = 0.0
    for width in widths:
        if lines[-1] and used + width > free:
            lines.append(0)
            used = 0.0
        lines[-1] += 1
        used += width
    return lines


def bar_widths(view: StaffView) -> list[float]:
    """Return about how wide each bar is, in pixels; a pickup counts with the first."""
    starts = [sum(view.bars[:place], start=view.bars[0] * 0) for place in range(len(view.bars))]
    widths = []
    for place, (start, beats) in enumerate(zip(starts, view.bars, strict=True)):
        lowest = start if place else None
        notes = [
            n
            for n in view.notes
            if (lowest is None or n.start >= lowest) and n.start < start + beats
        ]
        symbols = [chord for at, chord in view.chords if start <= at < start + beats]
        played = _notes_width(notes) + _rests_width(notes, start, start + beats)
        widths.append(BAR + max(played, _chords_width(symbols), EMPTY))
    return widths


def _notes_width(notes: Sequence[StaffNote]) -> float:
    """Return about how wide notes with their labels are."""
    return sum(
        max(
            NOTE + ACCIDENTAL * bool(note.pitch.note.alteration),
            _labels_width(note.labels),
        )
        + LONG * (note.beats >= 2)
        for note in notes
    )


def _labels_width(labels: Sequence[str]) -> float:
    """Return about how wide the labels of a note are, with the space beside them."""
    return GAP + LETTER * max(map(len, labels), default=0) + WORD * (len(labels) > 1)


def _rests_width(notes: Sequence[StaffNote], start: Fraction, end: Fraction) -> float:
    """Return about how wide the rests between the notes of a bar are, one for each value."""
    if not notes:
        return 0.0
    ends = [min(start, notes[0].start), *(note.start + note.beats for note in notes)]
    starts = [*(note.start for note in notes), end]
    silent = (max(begin - stop, Fraction(0)) for begin, stop in zip(starts, ends, strict=True))
    return sum(REST * int(beats * EIGHTHS).bit_count() for beats in silent)


def _chords_width(chords: Sequence[Chord]) -> float:
    """Return about how wide chord symbols are."""
    return sum(GAP + CHORD_LETTER * len(chord.pretty) for chord in chords)
