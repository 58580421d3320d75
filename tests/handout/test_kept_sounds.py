"""Recordings that are made once, however often a sheet is made."""

import os
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from theorykit.handout import Handout
from theorykit.handout.blocks import ColourBlock, LineBlock
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
    own = tmp_path / "own.sf2"
    monkeypatch.setattr(kept_sounds, "own_soundfont", lambda: own)
    for number in (4, 5):  # another file, and another in the same place
        own.write_bytes(b"")
        os.utime(own, (number, number))
        made(SHEET, tmp_path / f"other sounds {number}")
        assert len(recorded) == number * count


def test_a_block_that_moves_on_the_sheet_is_not_recorded_again(recorded, tmp_path: Path):
    first = made(SHEET, tmp_path / "first")
    count = len(recorded)
    other = LineBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short")
    later = made(replace(SHEET, blocks=(other, *SHEET.blocks)), tmp_path / "later")
    assert len(recorded) == count + len(other.labels)
    sounds = [name for name in first if name.startswith("sound/01")]
    moved = [name for name in later if name.startswith("sound/02")]
    assert sounds
    assert [first[name] for name in sounds] == [later[name] for name in moved]


def test_pages_that_ask_at_the_same_time_do_not_break_each_other():
    kept, faults = KeptSounds(most=2_000), []
    jobs_of = [
        SoundJob(SHEET.blocks[0], place, ("b9",), tempo, "piano", "ogg", False, True)
        for place, tempo in enumerate(range(60, 160))
    ]

    def ask() -> None:
        try:
            for job in jobs_of * 3:
                kept.made(job, "")
                kept.keep([job], Made({"b9.ogg": bytes(100)}, place=job.place), "")
        except Exception as fault:
            faults.append(fault)

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []


def test_only_so_many_bytes_are_kept_those_used_last():
    kept = KeptSounds(most=25)
    some = [
        SoundJob(SHEET.blocks[0], place, ("b9",), 96 + place, "piano", "ogg", False, True)
        for place in range(3)
    ]
    for job in some[:2]:
        kept.keep(some, Made({"b9.ogg": bytes([job.place]) * 10}, place=job.place), "")
    assert kept.made(some[0], "") is not None
    kept.keep(some, Made({"b9.ogg": bytes([9]) * 10}, place=2), "")
    assert [kept.made(job, "") is not None for job in some] == [True, False, True]
