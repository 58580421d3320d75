"""Assembling: JupyterLite, the kernel's engines and the workbook laid together in a folder."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.site.packages import Package

WORDS = "notebooks"  # the application for one document, which shows no code here
APPS = ("lab", WORDS)
EARLY = 100_000  # bytes from which on a file of the kernel is worth it
KERNEL = "kernel"  # the folder of what starts with the kernel
START = "start.mjs"
BROWSER, PAGE = (Path(__file__).with_name(name) for name in ("browser", "page"))
_TITLE = re.compile("<title>.*?</title>")
LONGEST_WORDS = 600  # letters of what the builder complained of

# The files that are taken out of npm packages, and what they are called in the folder of the
# kernel. A module that asks for another by its name is told where it lies.
ENGINES: Mapping[str, Mapping[str, str]] = {
    "pyodide": {
        "pyodide.mjs": "pyodide.mjs",
        "pyodide.asm.mjs": "pyodide.asm.mjs",
        "pyodide.asm.wasm": "pyodide.asm.wasm",
        "python_stdlib.zip": "python_stdlib.zip",
    },
    "verovio": {
        "dist/verovio-module.mjs": "verovio-module.mjs",
        "dist/verovio.mjs": "verovio.mjs",
    },
    "stb-vorbis": {"dist/index.js": "vorbis.mjs"},
    "wasm-media-encoders": {"dist/esnext/index.mjs": "encoders.mjs"},
}
# Settings of the lab: nothing is asked from a network, and all cells are drawn at once.
OVERRIDES = {
    "@jupyterlab/apputils-extension:themes": {"adaptive-theme": True},  # light or dark
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false"},
}
_PLUGIN = "@jupyterlite/pyodide-kernel-extension:kernel"
# What the kernel's own installer would fetch; our start has brought it.
BROUGHT = ("micropip", "piplite", "ipykernel", "comm", "pyodide-kernel", "jedi", "ipython")


def unpacked_wheels(files: Iterable[Path], folder: Path) -> Path:
    """Unpack wheels into a folder, as an installer would lay them, and return it."""
    for file in files:
        with zipfile.ZipFile(file) as wheel:
            wheel.extractall(folder)
    return folder


def lite_app(
    tools: Path, extensions: Iterable[Path], contents: Path, home: Path, work: Path
) -> None:
    """Let JupyterLite lay its application and the reader's files into the folder of the site.

    ``tools`` is where its builder was unpacked; ``extensions`` are the wheels of the parts of the
    page; nothing that is installed on this machine is put in.
    """
    lite = work / "lite"
    lite.mkdir(parents=True)
    (lite / "overrides.json").write_text(json.dumps(OVERRIDES), encoding="utf-8")
    wishes = {
        **{"lite_dir": str(lite), "output_dir": str(home), "cache_dir": str(work / "cache")},
        **{"contents": [str(contents)], "apps": APPS, "settings_overrides": ["overrides.json"]},
        **{"federated_extensions": [str(file) for file in extensions]},
        **{"ignore_sys_prefix": True, "no_sourcemaps": True, "no_unused_shared_packages": True},
    }
    told = json.dumps({"LiteBuildConfig": wishes})
    (lite / "jupyter_lite_config.json").write_text(told, encoding="utf-8")
    command = [sys.executable, "-m", "jupyterlite_core", "build"]
    path = os.pathsep.join(filter(None, (str(tools), os.environ.get("PYTHONPATH"))))
    run = subprocess.run(
        command, cwd=lite, env={**os.environ, "PYTHONPATH": path}, capture_output=True, text=True
    )
    if run.returncode:
        said = (run.stderr or run.stdout).strip()[-LONGEST_WORDS:]
        raise TheoryError(f"JupyterLite could not be laid out: {shown(said)}")


def settle_kernel(home: Path) -> None:
    """Tell the application that its kernel is started by our module."""
    for file in (home / "jupyter-lite.json",):
        told: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
        data = told["jupyter-config-data"]
        data["appName"] = "theorykit"
        data["exposeAppInBrowser"] = True
        data.setdefault("litePluginSettings", {})[_PLUGIN] = {
            "pyodideUrl": f"./{KERNEL}/{START}",
            "disablePyPIFallback": True,
            "loadPyodideOptions": {"packages": list(BROUGHT)},
        }
        file.write_text(json.dumps(told, indent=1), encoding="utf-8")


def hide_code(home: Path) -> None:
    """Let the application for one document show a chapter without its code, and run it at once."""
    file = home / WORDS / "index.html"
    text = file.read_text(encoding="utf-8")
    style = (PAGE / "words.css").read_text(encoding="utf-8")
    script = (PAGE / "words.js").read_text(encoding="utf-8")
    head, end, rest = text.partition("</head>")
    body, close, after = rest.rpartition("</body>")
    if not end or not close:
        raise TheoryError(f"no page in {WORDS}/{file.name} (want another builder)")
    head = _TITLE.sub("<title>theorykit</title>", head)
    file.write_text(
        f'{head}<style>{style}</style>{end}{body}<script type="module">{script}</script>'
        f"{close}{after}",
        encoding="utf-8",
    )


def fetch_early(home: Path) -> None:
    """Let both applications fetch what the kernel needs, which lies there, while they begin."""
    large = [one for one in sorted((home / KERNEL).iterdir()) if _is_early(one)]
    names = json.dumps([f"{KERNEL}/{one.name}" for one in large])
    script = (PAGE / "early.js").read_text(encoding="utf-8")
    for app in APPS:
        file = home / app / "index.html"
        head, begins, rest = file.read_text(encoding="utf-8").partition("<head>")
        if not begins:
            raise TheoryError(f"no page in {app}/{file.name} (want another builder)")
        early = f"<script>const EARLY = {names};\n{script}</script>"
        file.write_text(f"{head}{begins}{early}{rest}", encoding="utf-8")


def _is_early(file: Path) -> bool:
    """Tell whether a file is one that takes long to come, and with which a kernel begins."""
    return file.is_file() and file.stat().st_size > EARLY


def lay_engines(packages: Mapping[Package, Path], kernel: Path) -> None:
    """Lay the engines of the kernel beside its start; ``packages`` are those of npm."""
    kernel.mkdir(parents=True, exist_ok=True)
    for package, file in packages.items():
        wanted = ENGINES[package.name]
        with tarfile.open(file) as archive:
            for inside, name in wanted.items():
                member = archive.extractfile(f"package/{inside}")
                if member is None:
                    raise TheoryError(f"{package.words} has no {inside} (want another version)")
                (kernel / name).write_bytes(member.read())
            if package.name == "pyodide":
                _without_packages(archive, kernel)
    for file in sorted(BROWSER.iterdir()):
        (kernel / file.name.removesuffix(".txt")).write_bytes(file.read_bytes())


def _without_packages(archive: tarfile.TarFile, kernel: Path) -> None:
    """Write pyodide's list of packages without any: none is to be fetched from elsewhere."""
    member = archive.extractfile("package/pyodide-lock.json")
    told = json.loads(member.read()) if member else {}
    text = json.dumps({"info": told["info"], "packages": {}})
    (kernel / "pyodide-lock.json").write_text(text, encoding="utf-8")
