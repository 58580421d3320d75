"""The building of a site: what is refused before anything is fetched, and what a failure leaves."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from house import ROOT

from theorykit import TheoryError
from theorykit.site import assembling, build_site, building


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


def test_what_is_fetched_early_lies_where_the_pages_ask_for_it(tmp_path: Path):
    kernel = tmp_path / assembling.KERNEL
    kernel.mkdir(parents=True)
    for name in ("python.zip", "pyodide.asm.wasm", "start.mjs"):
        (kernel / name).write_bytes(bytes(2_000_000 if name != "start.mjs" else 1))
    for app in assembling.APPS:
        (tmp_path / app).mkdir(parents=True)
        (tmp_path / app / "index.html").write_text("<html><head></head><body></body></html>")
    assembling.fetch_early(tmp_path)
    for app in assembling.APPS:
        text = (tmp_path / app / "index.html").read_text(encoding="utf-8")
        told = json.loads(re.search(r"EARLY = (\[.*?\]);", text)[1])
        way = re.search(r"href: `(.*?)\$\{name\}`", text)[1]  # from the folder of the page
        assert told
        assert all((tmp_path / app / f"{way}{name}").is_file() for name in told)
