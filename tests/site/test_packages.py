"""The packages of a site: what is taken, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from theorykit import TheoryError
from theorykit.site.packages import LIST, fetched, locked


def test_a_package_that_is_not_the_one_that_was_chosen_is_refused(tmp_path: Path):
    small = replace(locked()[2], sha256="0" * 64)
    folder = tmp_path / f"{small.name} {small.version}"
    folder.mkdir()
    (folder / "another.whl").write_bytes(b"not the one")
    with pytest.raises(TheoryError, match="is not the file that was chosen"):
        fetched(small, tmp_path)
    assert list(folder.iterdir()) == []


def test_every_package_of_the_list_is_named_once_with_its_hash_and_its_licence():
    rows = locked()
    assert len({row.name for row in rows}) == len(rows)
    assert all(len(row.sha256) == 64 and row.licence and row.version for row in rows)
    assert "//" not in LIST.read_text(encoding="utf-8")
