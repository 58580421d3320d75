"""Which SoundFont plays: the reader's own, one of the system, the built-in one."""

import platformdirs
import pytest
from small_soundfont import sine_soundfont

from theorykit.errors import TheoryError
from theorykit.show.sound import instruments, keep_soundfont, own_soundfont, soundfont_words
from theorykit.show.sound.instruments import chosen_soundfont, system_soundfont


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """A folder for the own files of a reader who has none yet."""
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda *_, **__: str(tmp_path / "own"))
    return tmp_path / "own"


def test_without_a_setting_the_built_in_one_plays():
    assert chosen_soundfont() is None
    assert soundfont_words() == "the built-in sounds"


def test_a_file_of_the_readers_own_is_kept_until_it_is_forgotten(tmp_path):
    path = sine_soundfont(tmp_path / "mine.sf2", program=66)
    assert keep_soundfont(str(path)) == "mine.sf2 (your own)"
    assert chosen_soundfont() == own_soundfont() == path.resolve()
    assert keep_soundfont(None) == "the built-in sounds"
    assert own_soundfont() is None


def test_a_file_that_is_gone_is_passed_over(tmp_path):
    path = sine_soundfont(tmp_path / "mine.sf2", program=66)
    keep_soundfont(path)
    path.unlink()
    assert chosen_soundfont() is None


def test_what_cannot_be_played_is_refused_and_the_setting_stays(tmp_path):
    good = sine_soundfont(tmp_path / "mine.sf2", program=66)
    keep_soundfont(good)
    bad = tmp_path / "bad.sf2"
    bad.write_bytes(b"no sounds at all")
    with pytest.raises(TheoryError, match=r"not a SoundFont that can be played: 'bad\.sf2'"):
        keep_soundfont(bad)
    compressed = tmp_path / "small.sf3"
    compressed.write_bytes(good.read_bytes())
    with pytest.raises(TheoryError, match=r"'small\.sf3'"):
        keep_soundfont(compressed)
    assert own_soundfont() == good.resolve()


def test_one_of_the_system_is_found_by_its_name_and_said(tmp_path, monkeypatch):
    folder = tmp_path / "sf2"
    folder.mkdir()
    (folder / "default-GM.sf2").write_bytes(b"a broken file is passed over")
    path = sine_soundfont(folder / "FluidR3_GM.sf2", program=66)
    monkeypatch.setattr(instruments, "FOLDERS", (str(tmp_path / "nowhere"), str(folder)))
    system_soundfont.cache_clear()
    assert chosen_soundfont() == path
    assert soundfont_words() == "FluidR3_GM.sf2 (found on this system)"
    own = sine_soundfont(tmp_path / "mine.sf2", program=66)
    assert keep_soundfont(own) == "mine.sf2 (your own)"
