"""The counts as JSON. Run ``python -m theorykit.harmony.counts.counts_data``.

The licence of the database asks that whoever is shown what was counted may also have the tables
(Open Database License 1.0, 4.6). This is the offer.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator

from theorykit.harmony.counts.solo_counts import DEGREE_COUNTS, LICENCE, SOLOS, SOURCE, DegreeCounts
from theorykit.harmony.counts.tallies import TALLIES, Tally
from theorykit.harmony.tensions import TENSION_NAMES

NOTICE = (
    f"Contains information from the {SOURCE}, which is made available here under the {LICENCE} "
    "(ODbL), https://opendatacommons.org/licenses/odbl/1-0/."
)


def counts_text() -> str:
    """Return every table of counts as JSON, with its source and its licence.

    >>> found = json.loads(counts_text())
    >>> found["solos"], found["tables"]["degrees, major"]["counts"]["b9"]
    (456, 852)
    """
    data = {"notice": NOTICE, "solos": SOLOS, "tables": dict(_tables())}
    return json.dumps(data, indent=1, ensure_ascii=False)


def _tables() -> Iterator[tuple[str, dict[str, object]]]:
    """Yield each table under its name."""
    for row in DEGREE_COUNTS:
        yield f"degrees, {row.going}", _degrees(row)
    for one in TALLIES:
        yield one.name, _tally(one)


def _degrees(row: DegreeCounts) -> dict[str, object]:
    """Return the notes over one kind of dominant."""
    names = [str(degree) for degree in TENSION_NAMES]
    return {
        "what": f"notes over {row.words}",
        "chords": row.chords,
        "total": row.notes,
        "counts": dict(zip(names, row.counts, strict=True)),
        "low end of the share": dict(zip(names, row.low, strict=True)),
        "high end of the share": dict(zip(names, row.high, strict=True)),
    }


def _tally(one: Tally) -> dict[str, object]:
    """Return one tally."""
    counts = dict(zip(one.labels, one.counts, strict=True))
    return {"what": one.noun, "total": one.total, "counts": counts}


if __name__ == "__main__":
    sys.stdout.write(counts_text() + "\n")
