"""Two voices on one staff: stems up and stems down, each with its degrees in a row of its own."""

from __future__ import annotations

from dataclasses import replace

from theorykit.errors import TheoryError
from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, Reader
from theorykit.views.staves.phrase_staves import phrase_staff
from theorykit.views.staves.staff import StaffView


def duet_staff(upper: Line, lower: Line, *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of two lines over one progression, the second with its stems down.

    The nearer row of degrees is that of the first line, the other that of the second.

    >>> from theorykit.lines.guide_tones import guide_tone_lines
    >>> from theorykit.tunes.progression import two_five_one
    >>> view = duet_staff(*guide_tone_lines(two_five_one("C"), longest=4))
    >>> [str(note.pitch) for note in view.second], [note.labels for note in view.second][0]
    (['C5', 'B4', 'B4'], ('', '♭7'))
    """
    if upper.progression != lower.progression:
        raise TheoryError("two lines over two progressions (want both over the same chords)")
    one, other = (phrase_staff(line, reader=reader) for line in (upper, lower))
    second = tuple(replace(note, labels=("", *note.labels)) for note in other.notes)
    words = ", ".join(f"{n.pitch.pretty} ({' '.join(filter(None, n.labels))})" for n in second)
    alt = f"{one.alt.removesuffix('.')}; second voice {words}."
    return replace(one, second=second, alt=alt)
