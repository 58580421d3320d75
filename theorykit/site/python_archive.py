"""The archive of the kernel's Python: what is imported at its start, and what comes later."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Iterator, Mapping, Set
from pathlib import Path, PurePosixPath

PACKAGE = Path(__file__).resolve().parents[1]  # theorykit
KERNEL_WHEELS = "share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension/static/pypi/"
TAKEN = ("pyodide_kernel-", "ipykernel-", "widgetsnbextension-4")
# What no kernel imports: tests, types, pages and parts of the page that lie elsewhere.
LEFT_FOLDERS = frozenset(("tests", "test", "__pycache__", "nbextension", "labextension"))
LEFT_ENDINGS = (".pyi", ".md", ".rst", ".map", ".exe", ".c", ".pyc", ".tcss")
LEFT_ROOMS = {"pages", "command", "site"}  # of theorykit: what a terminal does
LEVEL = 9


def python_archive(wheels: Iterable[Path], kernel_wheel: Path, file: Path) -> None:
    """Write the archive of all that the kernel imports at its start, theorykit among it."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for wheel in wheels:
            _add_wheel(archive, wheel)
        with zipfile.ZipFile(kernel_wheel) as whole:
            for name in whole.namelist():
                inner = name.partition(KERNEL_WHEELS)[2]
                if inner.startswith(TAKEN):
                    with whole.open(name) as one:
                        _add_wheel(archive, one)
        for path, data in _own_files():
            archive.writestr(_dated(path), data, compresslevel=LEVEL)


def late_archive(wheel: Path, file: Path) -> None:
    """Write the archive of a package that comes when it is first imported.

    Its tests stay in it: some packages import their own.
    """
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        _add_wheel(archive, wheel, frozenset())


def _add_wheel(archive: zipfile.ZipFile, wheel: object, left: Set[str] = LEFT_FOLDERS) -> None:
    """Add what is imported of a wheel."""
    with zipfile.ZipFile(wheel) as opened:  # type: ignore[call-overload]
        for name in opened.namelist():
            if _is_imported(name, left):
                archive.writestr(_dated(name), opened.read(name), compresslevel=LEVEL)


def _is_imported(name: str, left: Set[str] = LEFT_FOLDERS) -> bool:
    """Tell whether a file of a wheel is of use in the kernel.

    >>> _is_imported("IPython/core/display.py"), _is_imported("IPython/core/tests/test_a.py")
    (True, False)
    >>> _is_imported("mido-1.3.3.dist-info/METADATA"), _is_imported("mido-1.3.3.dist-info/RECORD")
    (True, False)
    """
    path = PurePosixPath(name)
    if name.endswith("/") or ".data/" in name or left & set(path.parts):
        return False
    if path.parts[0].endswith(".dist-info"):
        return path.name in ("METADATA", "entry_points.txt")
    return not name.endswith(LEFT_ENDINGS)


def _own_files() -> Iterator[tuple[str, bytes]]:
    """Yield the files of theorykit that a kernel needs."""
    for file in sorted(PACKAGE.rglob("*")):
        path = file.relative_to(PACKAGE)
        skipped = {"__pycache__"} & set(path.parts) or path.parts[0] in LEFT_ROOMS | {"workbook"}
        if file.is_file() and not skipped and not file.name.endswith(LEFT_ENDINGS):
            yield f"theorykit/{path.as_posix()}", file.read_bytes()


def _dated(name: str) -> zipfile.ZipInfo:
    """Return an entry with the same date in every build."""
    entry = zipfile.ZipInfo(name, (2026, 1, 1, 0, 0, 0))
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = 0o644 << 16
    return entry


def late_names(wheels: Mapping[str, Path]) -> dict[str, str]:
    """Return for each name that is imported the archive of the late package that has it."""
    found: dict[str, str] = {}
    for name, wheel in wheels.items():
        with zipfile.ZipFile(wheel) as opened:
            tops = {one.partition("/")[0].removesuffix(".py") for one in opened.namelist()}
        found.update({top: name for top in tops if top.isidentifier()})
    return found
