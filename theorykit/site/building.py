"""Building: the browser edition in a folder, from the packages of the list and the workbook."""

from __future__ import annotations

import json
import shutil
import tempfile
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.pages import stored_chapter
from theorykit.show.own_reader import own_folder
from theorykit.show.sound import NoteStock
from theorykit.show.typesetting import page_fonts
from theorykit.site.assembling import (
    KERNEL,
    fetch_early,
    hide_code,
    lay_engines,
    lite_app,
    settle_kernel,
    unpacked_wheels,
)
from theorykit.site.compiling import compile_modules
from theorykit.site.front_page import front_html, licences_html
from theorykit.site.offline import lay_worker
from theorykit.site.packages import Package, fetched, locked
from theorykit.site.python_archive import late_archive, late_names, python_archive

__all__ = ["build_site"]

READER_FILES = ("*.ipynb", "tunes/*.txt", "handouts/*.toml")
KERNEL_WHEEL = "jupyterlite-pyodide-kernel"


def build_site(
    folder: str | Path,
    workbook: str | Path,
    *,
    store: Path | None = None,
    melodies: Iterable[str] = tuple(MELODY_SOUNDS),
) -> Iterator[str]:
    """Yield what is being done while a site is built in a folder, which must not be there yet.

    ``store`` is where fetched packages are kept, by default among the reader's own files;
    ``melodies`` are the sounds that a line can have on the site.
    """
    home, source = Path(folder).resolve(), Path(workbook).resolve()
    if not any(source.glob("*.ipynb")):
        raise TheoryError(
            f"no chapters in {shown(str(workbook))} (want the folder of the workbook)"
        )
    if home.exists() and not home.is_dir():
        raise TheoryError(f"{shown(str(folder))} is a file (want a new folder)")
    if home.exists() and any(home.iterdir()):
        raise TheoryError(f"{shown(str(folder))} is not empty (want a new folder)")
    files: dict[Package, Path] = {}
    place = store or own_folder() / "packages"
    for package in locked():
        yield f"package {package.words}"
        files[package] = fetched(package, place)
    try:
        yield from _laid_out(files, source, home, melodies)
    except BaseException:
        shutil.rmtree(home, ignore_errors=True)  # half a site would be in the way of the next try
        raise


def _laid_out(
    files: dict[Package, Path], source: Path, home: Path, melodies: Iterable[str]
) -> Iterator[str]:
    """Yield what is being done while the site is laid out of its packages."""
    with tempfile.TemporaryDirectory(prefix="theorykit-site-") as work:
        yield "the application"
        _lay_application(files, source, home, Path(work))
        yield "the kernel"
        _lay_kernel(files, home / KERNEL)
        yield "the sounds"
        _lay_sounds(home / KERNEL / "sounds", melodies)
    settle_kernel(home)
    hide_code(home)
    fetch_early(home)
    (home / "licences.html").write_text(licences_html(files), encoding="utf-8")
    books = sorted(source.glob("*.ipynb"))
    (home / "index.html").write_text(front_html(books), encoding="utf-8")
    yield "the list of files"
    lay_worker(home)


def _used(files: dict[Package, Path], use: str, kind: str) -> dict[Package, Path]:
    """Return the packages of one use and kind."""
    return {one: file for one, file in files.items() if (one.use, one.kind) == (use, kind)}


def _lay_application(files: dict[Package, Path], source: Path, home: Path, work: Path) -> None:
    """Lay the application and the reader's files."""
    contents = work / "contents"
    for pattern in READER_FILES:
        for file in sorted(source.glob(pattern)):
            place = contents / file.relative_to(source)
            place.parent.mkdir(parents=True, exist_ok=True)
            if file.suffix == ".ipynb":
                place.write_text(stored_chapter(file), encoding="utf-8")
            else:
                shutil.copy(file, place)
    tools = unpacked_wheels(_used(files, "build", "wheel").values(), work / "tools")
    lite_app(tools, _used(files, "page", "wheel").values(), contents, home, work)


def _lay_kernel(files: dict[Package, Path], kernel: Path) -> None:
    """Lay Python, its packages and its engines."""
    lay_engines(_used(files, "kernel", "npm"), kernel)
    page = {one.name: file for one, file in _used(files, "page", "wheel").items()}
    wheels = [*_used(files, "kernel", "wheel").values(), page["anywidget"]]
    archive = kernel / "python.zip"
    python_archive(wheels, page[KERNEL_WHEEL], archive)
    late = {one.name: file for one, file in _used(files, "late", "wheel").items()}
    with zipfile.ZipFile(archive, "a", zipfile.ZIP_DEFLATED) as opened:
        opened.writestr("theorykit_late.json", json.dumps(late_names(late)))
    compile_modules(kernel)
    (kernel / "fonts").mkdir()  # not copied as a folder: that one is closed to others
    for font in page_fonts().iterdir():
        shutil.copyfile(font, kernel / "fonts" / font.name)
    (kernel / "late").mkdir()
    for name, file in late.items():
        late_archive(file, kernel / "late" / f"{name}.zip")


def _lay_sounds(folder: Path, melodies: Iterable[str]) -> None:
    """Lay the sounds of the band."""
    folder.mkdir(parents=True)
    told = NoteStock.files(folder, melodies)
    (folder / "index.json").write_text(json.dumps(told, separators=(",", ":")), encoding="utf-8")
