"""A class on this machine: each student has their own, and what one breaks harms no other.

The hub is the real one, with real users of the system, who are gone afterwards. What one user may
learn of another is tried as that user, by a program that the user runs.
"""

from __future__ import annotations

import ast
import os
import pwd
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from classroom import Classroom, classroom, refusal
from server_seat import Seat

NAMES = ("tktest-ida", "tktest-bo", "tktest-cleo")
IDA, BO, CLEO = NAMES
TEACHER = "tktest-otto"  # whose own group is that of the teachers
CONNECTED = "import json; from ipykernel.connect import get_connection_info"
COMPLETED = "import jedi; found = jedi.Script('pri').complete()"
PATH = "from pathlib import Path"
SMALL = 3_000_000  # bytes of the disk that fills


pytestmark = [
    pytest.mark.proof,
    pytest.mark.skipif(bool(refusal()), reason=refusal() or "there is one"),
]


@pytest.fixture(scope="module")
def room() -> Iterator[Classroom]:
    """A class of three; the disk of the last is small."""
    small = (
        f"mount -t tmpfs -o size={SMALL},mode=700 none $HOMES/{CLEO}; chown {CLEO} $HOMES/{CLEO}"
    )
    settings = {"THEORYKIT_TEACHERS": TEACHER}
    with classroom((*NAMES, TEACHER), mounts=[small], settings=settings) as made:
        for name in NAMES:
            made.start(name)
        yield made


def as_user(room: Classroom, name: str, program: str) -> str:
    """Run a program as a student, where the class is, and return what it printed."""
    assert room.process is not None
    person = pwd.getpwnam(name)
    done = subprocess.run(
        ["nsenter", "--mount", f"--target={room.process.pid}", "setpriv",
         f"--reuid={person.pw_uid}", f"--regid={person.pw_gid}", "--clear-groups",
         sys.executable, "-c", program],
        capture_output=True, text=True, timeout=120, env={"HOME": person.pw_dir},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_every_student_has_the_chapters_in_a_folder_of_their_own(room: Classroom):
    for name in (IDA, BO):
        home = room.home(name)
        assert (home / "workbook" / "01_motion_over_the_five.ipynb").is_file()
        assert home.stat().st_mode & 0o777 == 0o700
        assert home.stat().st_uid == pwd.getpwnam(name).pw_uid


def test_no_student_reads_the_files_of_another(room: Classroom):
    theirs = [pwd.getpwnam(IDA).pw_dir, room.folder / "state", room.run / "of" / str(uid(IDA))]
    tried = (
        "import os\nfor one in %r:\n try: print(os.listdir(one))\n except PermissionError: print(0)"
    )
    assert as_user(room, BO, tried % [str(one) for one in theirs]).split() == ["0", "0", "0"]
    own = [pwd.getpwnam(BO).pw_dir]
    assert "workbook" in as_user(room, BO, tried % own)  # the same program sees what it may


def uid(name: str) -> int:
    """Return the number of a student."""
    return pwd.getpwnam(name).pw_uid


def test_no_student_reads_what_another_process_knows(room: Classroom):
    mine = room.processes(IDA)
    assert mine
    tried = (
        "for one in %r:\n for name in ('environ', 'mem', 'maps'):\n"
        "  try: print(len(open(f'/proc/{one}/{name}', 'rb').read(100)))\n"
        "  except (PermissionError, OSError): print(0)"
    ) % [int(one.name) for one in mine]
    assert set(as_user(room, BO, tried).split()) == {"0"}
    assert int(as_user(room, BO, "print(len(open('/proc/self/environ').read(100)))")) > 0


def test_no_token_stands_in_a_command_line_or_in_the_surroundings_of_the_warm_process(
    room: Classroom,
):
    secret = [room.token, (room.folder / "state" / "proxy_token").read_text(encoding="utf-8")]
    secret.append((room.folder / "state" / "cookie_secret").read_text(encoding="utf-8"))
    for one in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            text = one.read_bytes().decode(errors="replace")
        except OSError:
            continue
        assert not [word for word in secret if word in text]
    for one in room.processes(IDA):
        text = (one / "environ").read_bytes().decode(errors="replace")
        assert not [word for word in [*secret, "TOKEN"] if word in text]


def test_files_that_hold_a_token_are_root_s_alone(room: Classroom):
    state = room.folder / "state"
    assert state.stat().st_mode & 0o777 == 0o700
    for name in ("token", "proxy_token", "cookie_secret"):
        assert (state / name).stat().st_mode & 0o777 == 0o600
        assert (state / name).stat().st_uid == 0


def test_the_server_of_another_answers_only_to_its_own_token(room: Classroom):
    port = room.listens(IDA)
    tried = (
        "import urllib.request, urllib.error\n"
        "for path in ('/api/contents', '/api/kernels', '/api/sessions'):\n"
        f" try: print(urllib.request.urlopen('http://127.0.0.1:{port}/user/{IDA}' + path).status)\n"
        " except urllib.error.HTTPError as wrong: print(wrong.code)"
    )
    assert set(as_user(room, BO, tried).split()) == {"403"}
    assert room.ask("GET", f"/user/{IDA}/api/contents")[0] == 200


def test_nobody_answers_in_the_place_of_another_even_when_that_server_has_died(room: Classroom):
    """The hub holds the port from before the server is there until after the server is gone."""
    port = room.listens(BO)
    taken = (
        "import socket, errno\none = socket.socket()\n"
        "for name in ('SO_REUSEADDR', 'SO_REUSEPORT'):\n"
        " one.setsockopt(socket.SOL_SOCKET, getattr(socket, name), 1)\n"
        f"try: one.bind(('127.0.0.1', {port})); one.listen(); print('came first')\n"
        "except OSError as wrong: print(errno.errorcode[wrong.errno])"
    )
    assert as_user(room, IDA, taken) == "EADDRINUSE"
    for one in room.processes(BO):
        os.kill(int(one.name), signal.SIGKILL)
    room.wait(lambda: not room.processes(BO))
    assert as_user(room, IDA, taken) == "EADDRINUSE"
    room.stop(BO)
    room.start(BO)
    with Seat(room, BO) as seat:
        assert seat.run("1 + 1") == "2"


def test_what_a_kernel_answers_goes_through_files_of_the_student_s_own(room: Classroom):
    """On a port everybody could listen: what a kernel publishes asks for no key (zeromq: SUB)."""
    with Seat(room, IDA) as seat:
        told = seat.run("json.loads(get_connection_info())", CONNECTED)
    found = ast.literal_eval(told)
    assert found["transport"] == "ipc"
    assert found["ip"].startswith(f"{room.run}/of/{uid(IDA)}/")


def test_kernels_answer_in_turns_that_no_student_can_change(room: Classroom):
    tried = (
        "found = {os.readlink(f'/proc/self/fd/{one}') for one in os.listdir('/proc/self/fd')"
        " if os.path.exists(f'/proc/self/fd/{one}')}\n"
        "mine, = (one for one in found if '/turns/' in one)\n"
        "print(type(get_ipython().kernel).__name__, os.access(mine, os.W_OK), mine)"
    )
    with Seat(room, BO) as seat:
        seat.run(tried, "import os")
    kind, writes, file = seat.printed.split()
    assert (kind, writes) == ("KernelInTurns", "False")
    assert Path(file).parent == room.run / "turns"


def test_kernels_are_the_student_s_and_never_more(room: Classroom):
    with Seat(room, BO) as seat:
        seat.run(
            "status = open('/proc/self/status').read().splitlines()\n"
            "marks = ('NoNewPrivs', 'CapEff', 'CapPrm')\n"
            "print(*os.getresuid(), os.getgroups(), oct(os.umask(0o077)))\n"
            "print(*(int(row.split()[1], 16) for row in status if row.startswith(marks)))",
            "import os",
        )
    user, group = uid(BO), pwd.getpwnam(BO).pw_gid
    assert seat.printed == f"{user} {user} {user} [{group}] 0o77\n0 0 1\n"


def test_no_student_gets_a_process_of_another(room: Classroom):
    """The warm process asks the system who is there, and listens to a name from root alone."""
    asked = {"place": str(room.run / "warm"), "user": IDA, "folder": "/", "work": "kernel"}
    tried = (
        f"import os, sys; sys.path.insert(0, {str(room.root)!r})\n"
        "from theorykit.server.warm_request import ask\n"
        "home = os.environ['HOME']\n"
        f"child = ask(**{asked!r}, arguments=['x', '-f', home + '/c.json'], env={{'HOME': home}})\n"
        "print(os.stat(f'/proc/{child.pid}').st_uid)\n"
        "child.send(9)"
    )
    assert int(as_user(room, BO, tried).split()[-1]) == uid(BO)


def test_what_a_library_or_the_page_keeps_lies_in_the_student_s_own_home(room: Classroom):
    """What is imported as root must not look into root's home, which nobody else enters."""
    left = {"data": {"layout-restorer:data": {}}, "metadata": {"id": "default"}}
    assert room.ask("PUT", f"/user/{IDA}/lab/api/workspaces/default", left)[0] == 204
    setting = {"raw": '{"theme": "JupyterLab Dark"}'}
    theme = f"/user/{IDA}/lab/api/settings/@jupyterlab/apputils-extension:themes"
    assert room.ask("PUT", theme, setting)[0] == 204
    kept = room.home(IDA) / ".jupyter" / "lab"
    assert list((kept / "workspaces").glob("default*"))
    assert list(kept.glob("user-settings/@jupyterlab/apputils-extension/themes*"))
    with Seat(room, IDA) as seat:
        seat.run("import matplotlib.pyplot")
        assert seat.run("any(one.name == 'print' for one in found)", COMPLETED) == "True"
        assert seat.run(f"os.access({str(room.run / 'nobody')!r}, os.W_OK)", "import os") == "False"
    assert (room.home(IDA) / ".cache" / "jedi").is_dir()


def test_no_two_kernels_draw_alike(room: Classroom):
    draw = "import random, numpy; [random.random(), numpy.random.random()]"
    with Seat(room, IDA) as one, Seat(room, BO) as other:
        first, second = one.run(draw), other.run(draw)
    assert first != second
    assert ast.literal_eval(first)[0] != ast.literal_eval(second)[0]


def test_a_stopped_server_comes_back_with_its_work(room: Classroom):
    with Seat(room, BO) as seat:
        seat.run("from pathlib import Path; Path('turn.txt').write_text('A4 C5 F5')")
    room.stop(BO)
    room.wait(lambda: not room.processes(BO))
    room.start(BO)
    with Seat(room, BO) as seat:
        assert seat.run("Path('turn.txt').read_text()", PATH) == "'A4 C5 F5'"


def test_the_kernels_of_a_server_end_with_it(room: Classroom):
    """A chapter that is open when the server is ended for idleness must not stay in memory."""
    assert room.ask("POST", f"/user/{BO}/api/kernels", {"name": "python3"})[0] == 201
    room.wait(lambda: len(room.processes(BO)) >= 2)
    room.stop(BO)
    room.wait(lambda: not room.processes(BO))
    room.start(BO)


def test_a_full_disk_of_one_harms_no_other(room: Classroom):
    fill = "try: Path('big').write_bytes(bytes(10**8))\nexcept OSError as w: print(w.strerror)"
    with Seat(room, CLEO) as seat:
        seat.run(fill, PATH)
        assert "No space left" in seat.printed
        assert seat.run("1 + 1") == "2"  # and the kernel of that student goes on
    with Seat(room, IDA) as seat:
        kept = "Path('kept_too.txt').write_text('x' * 100_000)"
        assert seat.run(kept, PATH) == "100000"
    assert (room.home(IDA) / "kept_too.txt").stat().st_size == 100_000


def test_no_file_grows_beyond_what_a_student_may_write(room: Classroom):
    with Seat(room, IDA) as seat:
        huge = "try: open('huge', 'wb').truncate(10**9)\nexcept OSError as w: print(w.strerror)"
        seat.run(huge)
        assert "File too large" in seat.printed


def test_no_process_takes_more_memory_than_a_student_may_have(room: Classroom):
    with Seat(room, IDA) as seat:
        seat.run("try: bytearray(2 * 10**9)\nexcept MemoryError: print('too much')")
        assert seat.printed == "too much\n"
        assert seat.run("len(bytearray(10**8))") == "100000000"


def test_what_is_given_is_there_at_the_next_start_and_what_is_handed_in_is_private(room: Classroom):
    given = room.folder / "class" / "given" / "2026-12-03_one_colour"
    given.mkdir(parents=True)
    (given / "sheet.txt").write_text("Thursday")
    room.stop(BO)
    room.start(BO)
    taken = room.home(BO) / "workbook" / "given" / given.name / "sheet.txt"
    assert taken.read_text(encoding="utf-8") == "Thursday"
    assert taken.stat().st_uid == uid(BO)
    with Seat(room, BO) as seat:
        assert BO in seat.run("hand_in()", "from theorykit.command import hand_in")
    handed = room.folder / "class" / "handed"
    file = handed / BO / "summary.json"
    assert (file.stat().st_uid, file.stat().st_mode & 0o777) == (uid(BO), 0o640)
    tried = (
        "import os\n"
        f"for one in ({str(handed)!r}, {str(file.parent)!r}):\n"
        " try: print(os.listdir(one))\n"
        " except PermissionError: print(0)"
    )
    assert as_user(room, IDA, tried).split() == ["0", "0"]
    as_user(room, BO, f"print(open({str(file)!r}).read())")
    table = (
        f"import sys; sys.path.insert(0, {str(room.root)!r})\n"
        "from theorykit.command import ClassFolder; from theorykit.errors import TheoryError\n"
        f"try: print([row[0] for row in ClassFolder({str(handed.parent)!r}).term().rows])\n"
        "except TheoryError as wrong: print(wrong)"
    )
    assert as_user(room, TEACHER, table) == f"[{BO!r}]"
    assert as_user(room, IDA, table).startswith("cannot read")
