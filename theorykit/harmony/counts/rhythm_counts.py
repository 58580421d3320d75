"""Published counts of rhythm and shape: when improvisers play, for how long, and when they rest.

Source: Weimar Jazz Database (Jazzomat Research Project; Pfleiderer, Frieler, Abesser and Zaddach,
eds., *Inside the Jazzomat*, Schott Campus 2017), 437 transcribed solos in 4/4, read from the R data
package jazzodata (MIT, 2022, Frieler, Pfleiderer, Zaddach, Abesser). A floor is the median
Jensen-Shannon divergence, base 2, of one half of the solos from the other: nothing that is written
can be expected to come nearer.
"""

from __future__ import annotations

from dataclasses import dataclass

RHYTHM_SOLOS = 437


@dataclass(frozen=True, slots=True)
class RhythmCounts:
    """Things counted in solos: what they are, their labels, how often each came, and the floor."""

    name: str
    noun: str
    labels: tuple[str, ...]
    counts: tuple[int, ...]
    floor: float


def _row(name: str, noun: str, labels: str, counts: str, floor: float) -> RhythmCounts:
    """Read one table."""
    named = tuple(label.strip() for label in labels.split(","))
    return RhythmCounts(name, noun, named, tuple(map(int, counts.split())), floor)


# A place is a beat of the bar. "2&" is off the beat: the second of two notes in a beat, the third
# of three or of four; "triplet" the second of three.
_PLACES = "1, 1&, 2, 2&, 3, 3&, 4, 4&, triplet, sixteenth, other"

RHYTHM_COUNTS = (
    _row(
        "places in the bar",
        "notes",
        _PLACES,
        "15615 13147 14405 14194 16036 13702 14845 14362 22314 33390 17092",
        0.0004,
    ),
    # From one note to the next inside a phrase; swing eighths count as eighths.
    _row(
        "lengths inside phrases",
        "moves",
        "shorter than a triplet, triplet eighth, eighth, dotted eighth or quarter triplet, "
        "quarter, up to a half, longer",
        "58651 22881 60593 16661 11572 6809 1626",
        0.00026,
    ),
    _row(
        "notes in a phrase",
        "phrases",
        "1-2, 3-4, 5-8, 9-12, 13-16, 17-24, 25-40, 41+",
        "264 727 1975 1773 1300 1758 1616 898",
        0.00198,
    ),
    # From the first to the last note that begins.
    _row(
        "beats of a phrase",
        "phrases",
        "0-2, 2-4, 4-6, 6-8, 8-12, 12-16, 16+",
        "1501 1848 1792 1193 1537 997 1443",
        0.00215,
    ),
    # From the beginning of the last note to that of the first note of the next phrase.
    _row(
        "beats between phrases",
        "phrases",
        "up to 1, 1-2, 2-3, 3-4, 4-6, 6-8, 8+",
        "724 2704 2568 1644 1488 527 219",
        0.00155,
    ),
    _row(
        "places of first notes",
        "phrases",
        _PLACES,
        "1001 962 870 752 1108 628 600 695 1048 1928 719",
        0.00143,
    ),
    _row(
        "places of last notes",
        "phrases",
        _PLACES,
        "1278 880 719 972 1079 891 906 954 682 1660 290",
        0.00119,
    ),
    # What comes after a leap of a fifth and more: back the other way, or on the same way.
    _row(
        "after a wide leap",
        "moves",
        "step back, skip back, leap back, step on, skip on, leap on, repeat",
        "2243 1675 1776 1035 358 179 424",
        0.00147,
    ),
)

# Shares in the same solos, of 178,793 moves inside phrases and of 10,311 phrases.
SHARES = {
    "moves that repeat a note": 8160 / 178793,
    "leaps of a fifth and more": 8605 / 178793,
    "leaps of a minor seventh and more": 1955 / 178793,
    "phrases that end on a repeated note": 892 / 10311,
}
