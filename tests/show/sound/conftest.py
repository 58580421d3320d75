"""The sounds that come with the library play in these tests, whatever lies on the machine."""

import pytest

from theorykit.show.sound import instruments


@pytest.fixture(autouse=True)
def no_system_sounds(monkeypatch):
    """Look through no folder of the system."""
    monkeypatch.setattr(instruments, "FOLDERS", ())
    instruments.system_soundfont.cache_clear()
    yield
    instruments.system_soundfont.cache_clear()
