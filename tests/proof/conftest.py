"""What pytest looks at here: the tests, and not the parts of the proof, which take long to load."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from theorykit.show.own_reader import own_files_in

collect_ignore_glob = ["[!t]*.py", "texts_*.py"]


@pytest.fixture(autouse=True)
def own_files(tmp_path: Path) -> Iterator[None]:
    """Keep what walks choose, such as an instrument, from the tests that come after."""
    with own_files_in(tmp_path / "own"):
        yield
