"""Start: set up an environment beside this folder, then open the workbook or run the tests.

It needs nothing but Python. ``python3 workbook/start.py`` opens the workbook, ``python3
workbook/start.py test`` runs the tests; what stands behind ``test`` goes to pytest.

What is installed are the versions that were tested together. ``--newest`` before all else takes
the newest ones, ``--lowest`` the oldest that may be used, each in an environment of its own.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
OLDEST = (3, 11)
EXTRAS = {  # and which set-ups bring it
    "workbook": ("workbook", "test"),
    "server": ("server", "test"),
    "test": ("test",),
}
TRIED = ["-n", "2"]
REMEDY = "on Debian and Ubuntu: apt-get install python3-venv"
ANYTHING_ELSE = (
    "want nothing to open the workbook, or test to run the tests; before it --newest or --lowest, "
    "or nothing for the versions that were tested"
)
VERSIONS = ROOT / "tests" / "versions"
# By the word that asks for them: the folder of the environment, and the list of its versions.
WAYS = {
    "": (".venv", "tested.txt"),
    "--newest": (".venv-newest", ""),
    "--lowest": (".venv-lowest", "lowest.txt"),
}


class CannotStart(Exception):
    """What is missing, and what to do about it."""


def say(text: str) -> None:
    """Print a line at once."""
    print(f"[start] {text}", flush=True)


def run(command: list[str], cwd: Path | None = None) -> int:
    """Run a program to its end and return its exit code; Ctrl+C is the program's own affair."""
    with subprocess.Popen(command, cwd=cwd) as program:
        while True:
            try:
                return program.wait()
            except KeyboardInterrupt:
                continue


def python_of(environment: Path) -> Path:
    """Return the Python of an environment."""
    return environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def answers(environment: Path) -> bool:
    """Tell whether the Python of an environment is there and works."""
    try:
        asked = [
            str(python_of(environment)),
            "-c",
            "import sys; sys.exit(sys.version_info < (3, 11))",
        ]
        return subprocess.run(asked, capture_output=True).returncode == 0
    except OSError:
        return False


def has_module(name: str, python: str = sys.executable) -> bool:
    """Tell whether a Python has a module."""
    if python == sys.executable:
        return importlib.util.find_spec(name) is not None
    asked = [python, "-c", f"import {name}"]
    return subprocess.run(asked, capture_output=True).returncode == 0


# === The environment ===


def make_environment(environment: Path) -> list[str]:
    """Make an environment where none answers, and return the command that installs into it.

    Debian may have left out ``ensurepip``, the part of Python that puts pip into environments.
    Then the pip of this Python installs into it from outside, or Debian is asked for the part.
    """
    if not answers(environment):
        say(f"Making an environment in {environment}. This takes half a minute.")
        if not has_module("ensurepip") and not has_module("pip"):
            ask_debian()
        bare = [] if has_module("ensurepip", sys.executable) else ["--without-pip"]
        if bare:
            say("This Python has no ensurepip: its own pip will install from outside.")
        made = run([sys.executable, "-m", "venv", "--clear", *bare, str(environment)])
        if made or not answers(environment):
            raise CannotStart(f"no environment could be made in {environment}")
    return installer(environment)


def installer(environment: Path) -> list[str]:
    """Return the command that installs into an environment: its pip, or that of this Python."""
    python = str(python_of(environment))
    if has_module("pip", python):
        return [python, "-m", "pip", "install"]
    if has_module("pip"):
        return [sys.executable, "-m", "pip", "--python", python, "install"]
    raise CannotStart(f"there is no pip ({REMEDY})")


def ask_debian() -> None:
    """Install the part of Python that Debian has left out, where one may; else say how."""
    told = (
        "this Python cannot make environments (on Debian and Ubuntu: apt-get install python3-venv)"
    )
    if shutil.which("apt-get") is None:
        raise CannotStart(told)
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    before = [] if is_root else ["sudo"]
    if before and shutil.which("sudo") is None:
        raise CannotStart(told)
    say("Debian has left out the part of Python that makes environments; apt-get installs it.")
    for words in (["update"], ["install", "-y", "python3-venv"]):
        if run([*before, "apt-get", *words]):
            raise CannotStart(told)
    importlib.invalidate_caches()


# === What is installed into it ===


def versions_of(way: str) -> Path | None:
    """Return the list of versions that a way takes, None for the newest and where there is none."""
    listed = VERSIONS / WAYS[way][1]
    return listed if listed.is_file() else None


def wanted(way: str) -> str:
    """Return what the environment has to fit: the packages of this repository, their versions."""
    listed = versions_of(way)
    whole = (ROOT / "pyproject.toml").read_bytes() + (listed.read_bytes() if listed else b"")
    return hashlib.sha256(whole).hexdigest()


def is_set_up(environment: Path, extra: str, way: str = "") -> bool:
    """Tell whether an environment holds what an extra brings, as it is listed today."""
    marks = (environment / f"set_up_{name}.txt" for name in EXTRAS[extra])
    found = (mark for mark in marks if mark.is_file())
    return answers(environment) and any(mark.read_text("utf-8") == wanted(way) for mark in found)


def set_up(environment: Path, extra: str, way: str = "") -> None:
    """Make the environment and install into it, unless that was done before."""
    if is_set_up(environment, extra, way):
        say("All is set up already; no network is needed.")
        return
    begun = time.monotonic()
    install = make_environment(environment)
    say("Installing packages: a few minutes and about 700 MB the first time, seconds later on.")
    listed = versions_of(way)
    versions = ["--constraint", str(listed)] if listed else []
    command = [*install, "--disable-pip-version-check", *versions]
    command += ["--editable", f"{ROOT}[{extra}]"]
    if run(command, cwd=ROOT):
        raise CannotStart("the packages could not be installed (is there a network?)")
    (environment / f"set_up_{extra}.txt").write_text(wanted(way), encoding="utf-8")
    minutes, seconds = divmod(round(time.monotonic() - begun), 60)
    say(f"Set up in {minutes} min {seconds} s.")


def command_of(environment: Path, words: list[str]) -> list[str]:
    """Return what is run once all is set up."""
    python = str(python_of(environment))
    if words[:1] == ["test"]:
        return [python, "-m", "pytest", *(words[1:] or TRIED)]
    return [python, "-m", "theorykit", "workbook", "workbook"]


def main(words: list[str]) -> int:
    """Set up, then do what is asked for; return the exit code."""
    if sys.version_info < OLDEST:
        say(f"This is Python {sys.version.split()[0]}; theorykit needs 3.11 or newer.")
        return 1
    way, words = (words[0], words[1:]) if words and words[0] in WAYS else ("", words)
    if words and words[0] != "test":
        say(f"Not known: {' '.join(words)} ({ANYTHING_ELSE}).")
        return 2
    environment = ROOT / WAYS[way][0]
    try:
        set_up(environment, "test" if words else "workbook", way)
    except (CannotStart, OSError) as problem:
        say(f"It does not work: {problem}.")
        return 1
    say("Running the tests: some minutes." if words else "Opening the workbook.")
    return run(command_of(environment, words), cwd=ROOT)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
