"""The building of a site: what is refused before anything is fetched, and what a failure leaves."""

from __future__ import annotations

from pathlib import Path

import pytest
from house import ROOT

from theorykit import TheoryError
from theorykit.site import build_site, building


@pytest.fixture(autouse=True)
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(building, "fetched", lambda package, place: place / package.name)


def test_a_folder_without_chapters_and_a_file_are_refused_before_anything_comes(tmp_path: Path):
    with pytest.raises(TheoryError, match="no chapters in"):
        next(build_site(tmp_path / "new", tmp_path / "nowhere"))
    (tmp_path / "file").write_text("")
    with pytest.raises(TheoryError, match="is a file"):
        next(build_site(tmp_path / "file", ROOT / "workbook"))
    assert not (tmp_path / "new").exists()


def test_half_a_site_is_not_in_the_way_of_the_next_try(tmp_path: Path, monkeypatch):
    def breaks(_files: object, _source: object, home: Path, _work: object) -> None:
        home.mkdir()
        (home / "half.html").write_text("half")
        raise OSError("no room")

    monkeypatch.setattr(building, "_lay_application", breaks)
    for _ in range(2):  # the second try is not told that the folder is not empty
        with pytest.raises(OSError, match="no room"):
            list(build_site(tmp_path / "new", ROOT / "workbook", store=tmp_path))
        assert not (tmp_path / "new").exists()
