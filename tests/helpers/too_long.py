"""What is too long to be read, for the tests that it is refused and the benches that time it."""

from theorykit.show.files.untrusted import LARGEST_FILE

LONGEST_SYMBOLS = (
    *("C" * 10**6, "C7" + "(" * 62, "C" + "#" * 63),
    *("C" + "sus" * 21, "C7" + "(b9" * 20),
)


def full_score() -> bytes:
    """Return a score of rests: as many bytes as are read, and more elements than are."""
    rest = b"<note><rest/><duration>1</duration></note>"
    return (
        b"<score-partwise><part-list/><part id='P1'><measure>"
        + rest * ((LARGEST_FILE - 400) // len(rest))
        + b"</measure></part></score-partwise>"
    )
