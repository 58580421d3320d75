"""Making: which files come to be, where, whole or not at all, by one process or two."""

import errno
import os
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest
from failing import Failing, Slow
from house import ROOT
from hypothesis import given, strategies as st
from sheets import read, ready

import theorykit.handout.files.disk as disk
from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Edition, Handout, summary_of
from theorykit.handout.blocks import LineBlock, TextBlock
from theorykit.handout.file_names import DEVICES, LONGEST_NAME, file_name
from theorykit.handout.files import making, too_long, write_whole
from theorykit.handout.files.kept_sounds import KeptSounds
from theorykit.handout.files.making import Work, _jobs
from theorykit.handout.files.order import Order, page_name
from theorykit.handout.files.pool import Stopped, results
from theorykit.handout.front import AUDIENCES, chosen_editions
from theorykit.notes.reader import READERS

WORDS = Handout("Warm-up", blocks=(TextBlock(text="Sing first."),))
LINE_SHEET = Handout("Way home", blocks=(LineBlock(line="", form="short", key="Db"),))
QUIET = {"progress": False}


def below(folder: Path) -> set[str]:
    """The names of all files in a folder."""
    return {str(file.relative_to(folder)) for file in folder.rglob("*") if file.is_file()}


def test_one_colour_gives_pages_music_sound_and_a_web_page(tmp_path):
    files = ready("one_colour").make(tmp_path, ["concert", "B flat, teacher"], **QUIET)
    names = [str(file.relative_to(tmp_path)) for file in files]
    assert names == [
        "concert/Over G7 think E - concert - student - A4.pdf",
        "B flat/Over G7 think E - B flat - teacher - A4.pdf",
        "concert/Over G7 think E - concert.musicxml",
        "B flat/Over G7 think E - B flat.musicxml",
        *(
            f"sound/01 One triad, two tensions - {label}.{form}"
            for label in ("plain chord", "with the line", "without the line", "with answer bars")
            for form in ("mp3", "mid")
        ),
        "sound/02 Now you write your own way home - without the line.mp3",
        "sound/02 Now you write your own way home - without the line.mid",
        "Over G7 think E - student.html",
        "Over G7 think E - teacher.html",
        "Over G7 think E.toml",
        "Over G7 think E - contents - student.html",
        "Over G7 think E - contents - teacher.html",
    ]
    assert below(tmp_path) == set(names)
    assert Handout.read(tmp_path / "Over G7 think E.toml") == ready("one_colour")
    assert all(file.stat().st_size > 300 for file in files)


@pytest.fixture(scope="module")
def everyone(tmp_path_factory) -> tuple[Path, list[Path]]:
    """The six colours for everyone in the room, without the sound, which others test."""
    folder = tmp_path_factory.mktemp("everyone")
    kinds = ("pages", "MusicXML", "web page", "text", "contents")
    return folder, ready("six_colours").make(folder, "everyone", files=kinds, **QUIET)


@pytest.mark.sweep
def test_everyone_in_the_room_finds_a_page(everyone):
    _, files = everyone
    pages = [file for file in files if file.suffix == ".pdf"]
    assert len(pages) == len(EVERYONE) == 6 * 2 * 2 * 2
    assert {page.parent.name for page in pages} == {who.name for who in READERS}
    for page in pages:
        reader, audience, paper, *size = page.stem.split(" - ")[1:]
        assert str(Edition(reader, audience, paper, *size)) == ", ".join(
            part for part in page.stem.split(" - ")[1:]
        )
        assert read(page.read_bytes()).metadata.keywords.startswith(reader)
    assert len({page.read_bytes() for page in pages}) == len(pages)


@pytest.mark.sweep
def test_the_zip_holds_every_other_file_as_it_lies_there(everyone):
    folder, files = everyone
    zips = {file.name.split(" - ")[1]: file for file in files if file.suffix == ".zip"}
    assert list(zips) == ["for the teacher.zip", "for students.zip"]
    others = below(folder) - {file.name for file in zips.values()}
    theirs = {name for name in others if " - teacher" in name or name.endswith(".toml")}
    for packed, expected in zip(zips.values(), (others, others - theirs), strict=True):
        with zipfile.ZipFile(packed) as opened:
            assert opened.testzip() is None
            assert set(opened.namelist()) == expected
            for name in opened.namelist():
                assert opened.read(name) == (folder / name).read_bytes()


@pytest.mark.sweep
def test_the_summary_counts_what_was_made(everyone):
    _, files = everyone
    found = summary_of(files)
    assert found.counts == {
        **{".pdf": 48, ".musicxml": 6, ".html": 2, ".toml": 1},
        **{"contents": 2, ".zip": 2},
    }
    assert found.bytes == sum(file.stat().st_size for file in files)
    papers = [file for file in files if file.suffix == ".pdf"]
    assert found.pages == sum(len(read(file.read_bytes()).pages) for file in papers) > 48
    said = f"61 files (48 files to print with {found.pages} pages, 6 music files, 2 web pages"
    assert found.words.startswith(said)


def test_two_processes_give_the_same_as_one(tmp_path, monkeypatch):
    line = LineBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short")
    handout = Handout("Over G7", tempo=240, blocks=(line,))  # short recordings, pages and music
    kinds = ("pages", "MusicXML", "MIDI", "sound")
    editions = ["concert", "B flat", "E flat, large print"]
    made = []
    for n in (1, 2):
        monkeypatch.setattr(making, "SOUNDS", KeptSounds())  # nothing from the time before
        made.append(handout.make(tmp_path / str(n), editions, files=kinds, processes=n, **QUIET))
    assert {file.suffix for file in made[0]} == {".pdf", ".musicxml", ".mid", ".mp3"}
    for one, other in zip(*made, strict=True):
        assert one.relative_to(tmp_path / "1") == other.relative_to(tmp_path / "2")
        if one.suffix in (".mid", ".musicxml"):
            assert one.read_bytes() == other.read_bytes()
        else:
            assert one.stat().st_size == pytest.approx(other.stat().st_size, rel=0.02)


def test_progress_is_shown_where_it_is_wanted(tmp_path, capsys):
    WORDS.make(tmp_path / "quiet", files="pages", **QUIET)
    assert capsys.readouterr().err == ""
    WORDS.make(tmp_path / "told", ["concert", "F"], files="pages")
    assert "2/2" in capsys.readouterr().err


# What is refused, before anything is written.


def test_files_that_are_there_are_kept_unless_told(tmp_path):
    (file,) = WORDS.make(tmp_path, files="pages", **QUIET)
    file.write_text("mine")
    with pytest.raises(TheoryError, match=r"files are there already .* overwrite=True"):
        WORDS.make(tmp_path, ["F", "concert"], files="pages", **QUIET)
    assert below(tmp_path) == {str(file.relative_to(tmp_path))}
    assert file.read_text() == "mine"
    WORDS.make(tmp_path, files="pages", overwrite=True, **QUIET)
    assert file.read_bytes()[:5] == b"%PDF-"


def test_a_letter_without_a_glyph_is_refused_before_anything_is_written(tmp_path):
    handout = Handout("x", blocks=(TextBlock(text="a", heading="日"), *ready("one_colour").blocks))
    with pytest.raises(TheoryError, match=r"cannot print '日'"):
        handout.make(tmp_path / "new", **QUIET)
    assert not (tmp_path / "new").exists()


def test_wishes_that_cannot_be_met_are_refused(tmp_path):
    (tmp_path / "file").write_text("x")
    for words, wishes in {
        "no such edition: 'kazoo'": {"editions": "kazoo"},
        "no edition (want at least one": {"editions": []},
        "not editions: 7": {"editions": 7},
        "two readers in one edition": {"editions": "F, guitar"},
        "no such kind of file: 'video'": {"files": ("video",)},
        "no such format of sound: 'wav'": {"sound": "wav"},
    }.items():
        with pytest.raises(TheoryError) as caught:
            WORDS.make(tmp_path / "new", **wishes, **QUIET)
        assert words in str(caught.value)
    with pytest.raises(TheoryError, match="is a file"):
        WORDS.make(tmp_path / "file", **QUIET)
    assert below(tmp_path) == {"file"}


def test_no_link_leads_out_of_the_folder(tmp_path):
    (tmp_path / "room").mkdir()
    (tmp_path / "elsewhere").mkdir()
    try:
        (tmp_path / "room" / "concert").symlink_to(tmp_path / "elsewhere", True)
    except OSError:
        pytest.skip("this system makes no links")
    with pytest.raises(TheoryError, match="would lie outside"):
        WORDS.make(tmp_path / "room", files="pages", **QUIET)
    assert below(tmp_path / "elsewhere") == set()


TITLES = (
    "../../x",
    "C:\\Users\\x",
    "a/b",
    ".hidden",
    "CON",
    "x" * 150,
    "שלום",
    "??",
    "é́ 😀",
    "a\tb",
)


@pytest.mark.parametrize("title", TITLES)
def test_any_title_makes_files_inside_the_folder(title, tmp_path):
    files = Handout(title).make(tmp_path / "room", files=("pages", "text"), **QUIET)
    assert below(tmp_path) == {str(file.relative_to(tmp_path)) for file in files}
    assert all(file.is_relative_to(tmp_path / "room") for file in files)


@given(st.text(max_size=300))
def test_a_file_name_is_safe_anywhere(text: str):
    name = file_name(text)
    assert name
    assert len(name.encode()) <= LONGEST_NAME + len(" handout")
    assert not set(name) & set('/\\:*?"<>|\0\n\r\t')
    assert name[0] not in ". "
    assert name[-1] not in ". "
    assert name.split(".")[0].casefold() not in DEVICES


# Whole files or none.


def test_a_full_disk_leaves_no_half_file(tmp_path, monkeypatch):
    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    write_whole(tmp_path / "kept.pdf", b"old")
    monkeypatch.setattr(disk.os, "fsync", full)
    for name in ("kept.pdf", "new.pdf"):
        with pytest.raises(TheoryError, match=r"cannot write .*(No space|space)"):
            write_whole(tmp_path / name, b"half", overwrite=True)
    assert below(tmp_path) == {"kept.pdf"}
    assert (tmp_path / "kept.pdf").read_bytes() == b"old"


def test_a_folder_that_may_not_be_written_to_is_told(tmp_path):
    (tmp_path / "there").write_text("a file where a folder is wanted")
    with pytest.raises(TheoryError, match=r"cannot write"):
        write_whole(tmp_path / "there" / "page.pdf", b"x")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGKILL")
def test_a_kill_leaves_whole_files_or_none(tmp_path):
    """Whatever stands under its name when the process dies is whole."""
    script = (
        "from theorykit.handout import Handout\n"
        f"h = Handout.read({str(ROOT / 'workbook/handouts/six_colours.toml')!r})\n"
        f"h.make({str(tmp_path)!r}, 'everyone', files=('pages', 'text'), processes=1)\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until = time.monotonic() + 60
    while len(list(tmp_path.rglob("*.pdf"))) < 3 and time.monotonic() < until:
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.wait(10)
    pages = list(tmp_path.rglob("*.pdf"))
    assert 3 <= len(pages) < 48
    for page in pages:
        assert len(read(page.read_bytes()).pages) >= 2
    # The same folder can be used again, and what was left of a file goes when it is old.
    left = tmp_path / "F" / ".1.2.part"
    left.parent.mkdir(exist_ok=True)
    left.write_bytes(b"half")
    os.utime(left, (1, 1))
    again = ready("six_colours").make(tmp_path, files="pages", overwrite=True, **QUIET)
    assert read(again[0].read_bytes()).pages
    assert not left.exists()


# Processes.


@pytest.mark.parametrize("processes", [1, 2])
def test_what_a_job_refuses_is_refused_here(processes: int):
    jobs = [Failing("prints"), Failing("refuses")]
    with pytest.raises(TheoryError, match=r"no such tune \(want one\)"):
        list(results(jobs, processes=processes))


def test_a_process_that_prints_or_fails_or_dies_is_told_apart():
    assert list(results([Failing("prints"), Failing("works")], processes=2)) == [1, 1]
    with pytest.raises(RuntimeError, match="ZeroDivisionError"):
        list(results([Failing("breaks"), Failing("works")], processes=2))
    with pytest.raises(RuntimeError, match="ended in its work"):
        list(results([Failing("dies"), Failing("works")], processes=2))


def test_this_process_works_beside_the_others():
    done = list(results([Slow(0.2)] * 40, processes=3))  # the others take a while to start
    assert len(done) == 40
    assert os.getpid() in done
    assert 2 <= len(set(done)) <= 3


def is_there(process: int) -> bool:
    """Whether a process still runs; what has ended and was not yet fetched does not."""
    state = Path(f"/proc/{process}/stat")
    return state.exists() and state.read_text().rpartition(")")[2].split()[0] != "Z"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are read from /proc")
def test_whoever_stops_waits_for_no_other_process_and_leaves_none():
    """The other process does the first job at once and is then busy for five minutes."""
    done = results([Slow(), Slow(300), *[Slow(0.1)] * 200], processes=2)
    other = next(number for number in done if number != os.getpid())
    assert is_there(other)
    began = time.monotonic()
    done.close()
    assert time.monotonic() - began < 150
    assert not is_there(other)


def once(calls: int):
    """Return what is called between the parts of a job: so many times it goes on, then it stops."""
    left = iter(range(calls))

    def between() -> None:
        if next(left, None) is None:
            raise Stopped

    return between


def test_who_waits_for_another_process_can_stop():
    """This process has done its jobs; the other one is busy for a minute."""
    with pytest.raises(Stopped):
        list(results([Slow(60), Slow(), Slow()], processes=2, between=once(0)))


@pytest.mark.parametrize("kinds", [["pages", "MusicXML"], ["sound"]])
def test_a_job_can_be_stopped_between_two_pages_or_recordings(kinds):
    sheet = LINE_SHEET
    editions = [Edition("concert", audience) for audience in AUDIENCES]
    order = Order.of(sheet, sheet.blocks, str(sheet), editions, kinds, "mp3")
    (job,) = _jobs(order)
    calls: list[None] = []
    made = job.run(between=lambda: calls.append(None))
    assert len(calls) >= len(made.files) > 1
    for more in (0, len(calls) - 1):
        with pytest.raises(Stopped):
            job.run(between=once(more))


def test_files_that_nobody_wants_any_more_are_not_made(tmp_path):
    sheet = LINE_SHEET
    order = Order.of(sheet, sheet.blocks, str(sheet), EVERYONE, ["pages", "web page", "zip"], "mp3")
    wanted = iter([False] * 3)
    work = Work(order, tmp_path, stopped=lambda: next(wanted, True))
    made = list(work.steps())
    assert len(made) < len(work.files)
    assert {str(file.relative_to(tmp_path)) for file in made} == below(tmp_path)
    assert list(Work(order, tmp_path / "none", stopped=lambda: True).steps()) == []


KILLED = """
import os, signal
from failing import Slow
from theorykit.handout.files.pool import results
for number in results([Slow(), Slow(3), *[Slow(0.1)] * 200], processes=2):
    if number != os.getpid():
        print(number, flush=True)
        os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are read from /proc")
def test_no_process_outlives_one_that_was_killed(tmp_path):
    """The other process was busy for three seconds more."""
    found = run(tmp_path, KILLED)
    assert found.returncode == -signal.SIGKILL
    until = time.monotonic() + 25
    while is_there(int(found.stdout)) and time.monotonic() < until:
        time.sleep(0.2)
    assert not is_there(int(found.stdout))


SCRIPT = """
print("run")
from failing import Slow
from theorykit.handout.files.pool import results
print(len(set(results([Slow(0.3)] * 12, processes=2))))
"""


def _heeds_ctrl_c() -> None:
    """Take Ctrl+C again, which a run in the background of a shell ignores and hands on."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def run(folder: Path, script: str, seconds: float = 0) -> subprocess.CompletedProcess[str]:
    """Run a script as a teacher does; after so many seconds press Ctrl+C."""
    file = folder / "script.py"
    file.write_text(script)
    places = [ROOT, ROOT / "tests" / "helpers"]
    process = subprocess.Popen(
        [sys.executable, str(file)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, places))},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        preexec_fn=_heeds_ctrl_c,
    )
    if seconds:
        time.sleep(seconds)
        os.killpg(process.pid, signal.SIGINT)
    said, complained = process.communicate(timeout=60)
    return subprocess.CompletedProcess(file, process.returncode, said, complained)


def test_a_script_without_a_guard_is_run_once(tmp_path):
    """The standard library's pool runs it once more for every process, or breaks (from memory)."""
    found = run(tmp_path, SCRIPT)
    assert (found.stdout, found.stderr) == ("run\n2\n", "")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGINT for a group of processes")
def test_control_c_ends_all_processes_at_once(tmp_path):
    script = SCRIPT.replace("* 12", "* 1000").replace('print("run")', 'print("run", flush=True)')
    began = time.monotonic()
    found = run(tmp_path, script, seconds=6)
    assert time.monotonic() - began < 30  # the jobs would take 150
    assert found.returncode == -signal.SIGINT
    assert found.stdout == "run\n"
    assert found.stderr.rstrip().endswith("KeyboardInterrupt")


@pytest.mark.parametrize("first", [True, False])
def test_without_room_for_locks_this_process_does_all_the_work(monkeypatch, first):
    """A full /dev/shm gives ENOSPC, where loky asks for its first lock or for a later one."""

    class Full:
        def __init__(self, *_: object, **__: object) -> None:
            if first:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        def submit(self, *_: object) -> None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("joblib.externals.loky.ProcessPoolExecutor", Full)
    assert list(results([Slow()] * 4, processes=2)) == [os.getpid()] * 4


def test_editions_are_named_as_they_are_printed():
    for edition in EVERYONE:
        assert Edition.parse(str(edition)) == edition
    assert chosen_editions("everyone") == EVERYONE
    assert chosen_editions(Edition()) == (Edition(),)


def test_editions_that_are_longer_than_asked_for_are_named_and_many_are_counted(tmp_path):
    made = [tmp_path / page_name(Handout("Long"), one) for one in EVERYONE]
    for file in made:
        file.write_bytes(b"/Type /Page " * 3 + b"/Type /Pages")
    normal = [file for file in made if "large" not in file.name]
    said = too_long(Handout("Long", fits="2 pages"), made)
    assert said.startswith("Longer than asked for: concert, student, A4 (3 pages); ")
    assert said.endswith(f" and {len(normal) - 4} more.")  # large print may have four pages
    assert too_long(Handout("Long", fits="3 pages"), made) == ""
    assert too_long(Handout("Long"), made) == ""
    assert too_long(Handout("Other", fits="1 page"), made) == ""
