"""Recordings that are made once, however often a sheet is made."""

from dataclasses import replace
from pathlib import Path

import pytest

from theorykit.handout import Handout
from theorykit.handout.blocks import ColourBlock
from theorykit.handout.files import jobs, kept_sounds, making
from theorykit.handout.files.jobs import Made, SoundJob
from theorykit.handout.files.kept_sounds import KeptSounds

SHEET = Handout("Over G7", blocks=(ColourBlock(colour="b9", form="short", show=("notes",)),))
FILES = ("MIDI", "sound", "contents")


@pytest.fixture
def recorded(monkeypatch) -> list[int]:
    """The tempos of what is recorded from here on, with nothing kept."""
    found: list[int] = []
    render = jobs.render

    def counted(played, **wishes):
        found.append(played.tempo)
        return render(played, **wishes)

    monkeypatch.setattr(jobs, "render", counted)
    monkeypatch.setattr(making, "SOUNDS", KeptSounds())
    return found


def made(handout: Handout, folder: Path) -> dict[str, bytes]:
    """Make a sheet; return its files."""
    files = handout.make(folder, files=FILES, sound="ogg", progress=False, processes=1)
    return {str(file.relative_to(folder)): file.read_bytes() for file in files}


def test_a_sheet_that_is_made_again_is_not_recorded_again(recorded, tmp_path: Path):
    first = made(SHEET, tmp_path / "first")
    count = len(recorded)
    assert count == len(SHEET.blocks[0].labels)
    assert made(SHEET, tmp_path / "second") == first
    made(replace(SHEET, note="Softly."), tmp_path / "third")
    assert len(recorded) == count


def test_what_sounds_otherwise_is_recorded(recorded, tmp_path: Path, monkeypatch):
    made(SHEET, tmp_path / "first")
    count = len(recorded)
    made(replace(SHEET, tempo=SHEET.tempo + 8), tmp_path / "faster")
    assert len(recorded) == 2 * count
    made(replace(SHEET, melody="trumpet"), tmp_path / "trumpet")
    assert len(recorded) == 3 * count
    monkeypatch.setattr(kept_sounds, "own_soundfont", lambda: Path("another.sf2"))
    made(SHEET, tmp_path / "other sounds")
    assert len(recorded) == 4 * count


def test_only_so_many_bytes_are_kept_those_used_last():
    kept = KeptSounds(most=25)
    some = [
        SoundJob(SHEET.blocks[0], place, ("b9",), 96, "piano", "ogg", False, True)
        for place in range(3)
    ]
    for job in some[:2]:
        kept.keep(some, Made({"b9.ogg": b"x" * 10}, place=job.place))
    assert kept.made(some[0]) is not None
    kept.keep(some, Made({"b9.ogg": b"x" * 10}, place=2))
    assert [kept.made(job) is not None for job in some] == [True, False, True]
