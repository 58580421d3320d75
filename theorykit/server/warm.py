"""Warm process: it has imported everything once, and forks a server or a kernel for who asks.

It listens on a socket of this machine. The system says who is at the other end, and nobody can say
otherwise (``SO_PEERCRED``, unix(7)). It forks at once, and the child becomes that user before it
reads a word of what is asked: root never reads what a student sends. Root alone, which is the hub,
may name another user. A child shares the memory of its parent until either writes to it.
"""

from __future__ import annotations

import ctypes
import gc
import json
import os
import pwd
import random
import resource
import select
import signal
import socket
import struct
import sys
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

from theorykit.server.limits import Limits
from theorykit.server.turns import Turns, kernel_in_turns, make_turns
from theorykit.server.warm_request import end_with

LONGEST = 1_000_000  # bytes of a request
PATIENCE = 20  # seconds that a child waits for what is asked of it
MOST_EACH = 40  # processes of one user at a time: two for each chapter that is open, and room
OUTPUTS = 2  # files that come with a request: where standard output and errors go
DOORS = 1  # and with one for a server: the socket at which it answers
RUNTIME = "JUPYTER_RUNTIME_DIR"
TURNS, NOBODY = "turns", "nobody"  # folders beside the socket: of turns, and of nobody's files
_CREDENTIALS = struct.Struct("3i")  # process, user, group: unix(7)
_SET_DUMPABLE, _SET_NO_NEW_PRIVILEGES = 4, 38  # prctl(2)

# What a class needs, imported before the first child is forked.
LIBRARIES = (
    "ipykernel.kernelapp ipykernel.ipkernel ipykernel.zmqshell ipywidgets anywidget "
    "jupyterhub.singleuser.extension jupyter_server.serverapp jupyterlab.labapp "
    "jupyterlab_server.handlers jupyter_client.provisioning theorykit.server.provisioner "
    "IPython.core.completer IPython.core.completerlib IPython.core.debugger IPython.core.oinspect "
    "IPython.extensions.storemagic matplotlib_inline.backend_inline jedi music21.stream"
).split()


@dataclass(frozen=True, slots=True)
class Warm:
    """A warm process: where it listens, and what a child may use."""

    place: Path
    limits: Limits

    def serve(self) -> None:
        """Listen until the process that began this one is gone: it holds our standard input."""
        children: dict[int, int] = {}
        make_turns(self.place.with_name(TURNS))
        with _listening(self.place) as door:
            while 0 not in (ready := select.select([0, door.fileno()], [], [], 1)[0]):
                _reap(children)
                if ready:
                    with suppress(BlockingIOError, ConnectionError):
                        self._answer(door, children)

    def _answer(self, door: socket.socket, children: dict[int, int]) -> None:
        """Fork a child for whoever is at the door, as long as it has not too many."""
        guest, _ = door.accept()
        with guest:
            asker, user, _ = _CREDENTIALS.unpack(
                guest.getsockopt(socket.SOL_SOCKET, socket.SO_PEERCRED, _CREDENTIALS.size)
            )
            if user and Counter(children.values())[user] >= MOST_EACH:
                return
            child = os.fork()
            if not child:
                door.close()
                self._be_child(guest, asker, user)
            children[child] = user

    def _be_child(self, guest: socket.socket, asker: int, user: int) -> NoReturn:
        """Become the user, do what is asked, and end."""
        code = 1
        try:
            signal.alarm(PATIENCE)
            if user:
                self._become(user)
            guest.setblocking(True)
            guest.sendall(b"%d\n" % os.getpid())
            asked, files = _request(guest)
            if not asked:
                os._exit(0)  # somebody only looked whether a warm process is there
            if not user:
                self._become(pwd.getpwnam(str(asked["user"])).pw_uid)
            signal.alarm(0)
            if asked["work"] == "kernel":
                end_with(asker)  # nobody else would: its parent is the warm process
            guest.sendall(b"ok\n")
            guest.close()
            code = _run(asked, files, self.place.with_name(TURNS))
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else bool(end.code)
        except BaseException:
            sys.excepthook(*sys.exc_info())
        finally:
            with suppress(Exception):
                sys.stdout.flush()
                sys.stderr.flush()
            os._exit(code)

    def _become(self, user: int) -> None:
        """Make this process one of the user's, for good, with limits and a folder for sockets."""
        own = self.place.parent / "of" / str(user)  # short: the path of a socket has 107 letters
        own.parent.mkdir(mode=0o711, exist_ok=True)
        own.mkdir(mode=0o700, exist_ok=True)
        os.chown(own, user, pwd.getpwuid(user).pw_gid, follow_symlinks=False)
        self.limits.enter(user)
        become(user)
        os.environ[RUNTIME] = str(own)


def _listening(place: Path) -> socket.socket:
    """Return a socket that every user of the machine may speak to."""
    place.unlink(missing_ok=True)
    door = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
    door.bind(str(place))
    place.chmod(0o666)
    door.listen(128)
    door.setblocking(False)
    return door


def _reap(children: dict[int, int]) -> None:
    """Forget the children that have ended."""
    with suppress(ChildProcessError):
        while (ended := os.waitpid(-1, os.WNOHANG)[0]) != 0:
            children.pop(ended, None)


# === The child ===


def become(user: int) -> None:
    """Make this process one of the user's, for good."""
    person = pwd.getpwuid(user)
    os.setsid()
    os.initgroups(person.pw_name, person.pw_gid)
    os.setresgid(person.pw_gid, person.pw_gid, person.pw_gid)
    os.setresuid(user, user, user)
    if os.getresuid() != (user, user, user):
        raise PermissionError("still another user")
    own = ctypes.CDLL(None).prctl
    own(_SET_NO_NEW_PRIVILEGES, 1, 0, 0, 0)  # nothing that it starts is ever more than the user
    own(_SET_DUMPABLE, 1, 0, 0, 0)  # its own /proc is its own again
    os.umask(0o077)


def _request(guest: socket.socket) -> tuple[dict[str, Any], list[int]]:
    """Return what is asked, and the files that came with it; nothing where nobody asks."""
    data, files, _, _ = socket.recv_fds(guest, 65536, OUTPUTS + DOORS)
    if not data:
        return {}, []
    while not data.endswith(b"\n"):
        more = guest.recv(65536)
        if not more or len(data) > LONGEST:
            raise ValueError("no request")
        data += more
    asked = json.loads(data)
    if not isinstance(asked, dict):
        raise ValueError("no request")
    return asked, files


def _run(asked: Mapping[str, Any], files: list[int], turns: Path) -> int:
    """Run a server or a kernel in this process and return its exit code."""
    for at, file in enumerate(files[:OUTPUTS], 1):
        os.dup2(file, at)
        os.close(file)
    with open(os.devnull, "rb") as nothing:
        os.dup2(nothing.fileno(), 0)
    runtime = os.environ[RUNTIME]
    os.environ.clear()
    os.environ.update({str(name): str(value) for name, value in asked["env"].items()})
    os.environ[RUNTIME] = runtime
    os.chdir(asked["folder"])
    for one in (signal.SIGCHLD, signal.SIGINT, signal.SIGTERM, signal.SIGALRM):
        signal.signal(one, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    _draw_anew()
    _move_home()
    sys.argv = [str(one) for one in asked["arguments"]]
    sys.path[0:1] = [""] if asked["work"] == "kernel" else []
    _WORKS[asked["work"]](turns, files[OUTPUTS:])
    return 0


def _draw_anew() -> None:
    """Let chance begin anew, so that no two children draw alike."""
    random.seed()
    if (numbers := sys.modules.get("numpy")) is not None:
        numbers.random.seed()


def _move_home() -> None:
    """Let what was noted of the home at import be the student's: there alone a cache is written."""
    caches = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    if (completions := sys.modules.get("jedi.settings")) is not None:
        vars(completions)["cache_directory"] = str(caches / "jedi")


def _kernel(place: Path, doors: list[int]) -> object:
    """Run a kernel that answers in its turn, and at no door."""
    for one in doors:
        os.close(one)
    kernel = kernel_in_turns(Turns(place))
    return import_module("ipykernel.kernelapp").launch_new_instance(kernel_class=kernel)


def _server(_: Path, doors: list[int]) -> object:
    """Make the student's folder ready, then run the student's server with warm kernels."""
    if doors:
        _answer_at(socket.socket(fileno=doors[0]))
    import_module("theorykit.server.readying").make_ready()
    import_module("theorykit.server.provisioner").register()
    return import_module("jupyterhub.singleuser").main()


def _answer_at(door: socket.socket) -> None:
    """Let the server answer at a socket that is bound: no other user can have come first.

    Where the library no longer asks in these two places, it finds the port taken and ends.
    """
    door.setblocking(False)
    server = import_module("jupyter_server.serverapp").ServerApp
    server._find_http_port = lambda _: None
    server._bind_http_server_tcp = lambda self: self.http_server.add_socket(door) or True


_WORKS: dict[str, Callable[[Path, list[int]], object]] = {"kernel": _kernel, "server": _server}


# === Getting warm ===


def leave_home(place: Path) -> None:
    """Take a home that holds nothing: libraries note where it is, and root's own is closed to all.

    Everybody reads it and root alone writes there.
    """
    place.mkdir(mode=0o755, parents=True, exist_ok=True)
    os.umask(0o022)
    for name in [one for one in os.environ if one.startswith(("XDG_", "JUPYTER", "IPYTHON"))]:
        del os.environ[name]
    os.environ["HOME"] = str(place)


def get_warm() -> None:
    """Import what a class needs and use it once, so that children find it in memory."""
    sys.modules["debugpy"] = None  # type: ignore[assignment]  # 25 MB a kernel, for no reader of ours
    for name in LIBRARIES:
        import_module(name)
    import_module("theorykit.server.warming").use_once()
    _check_alone()
    gc.collect()
    gc.freeze()  # the collector would write to every page that it looks at


def _check_alone() -> None:
    """Refuse to fork where children would not be apart: held locks, memory that all may write."""
    threads = os.listdir("/proc/self/task")
    if len(threads) > 1:  # what a thread held would stay held in every child
        raise RuntimeError(f"{len(threads)} threads before the first fork (want one)")
    maps = Path("/proc/self/maps").read_text(encoding="utf-8").splitlines()
    shared = [row for row in maps if row.split()[1].endswith("s") and "w" in row.split()[1]]
    if shared:  # one student would hear what another has written there
        raise RuntimeError(f"memory that children would share: {shared}")


def main() -> int:
    """Run a warm process: ``python -m theorykit.server.warm SOCKET``."""
    place = Path(sys.argv[1])
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    leave_home(place.with_name(NOBODY))
    get_warm()
    Warm(place, Limits.from_environment()).serve()
    return 0


if __name__ == "__main__":
    sys.exit(main())
