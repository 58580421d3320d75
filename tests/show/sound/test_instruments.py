"""Which SoundFont plays: the reader's own, one of the system, the built-in one."""

from fractions import Fraction

import platformdirs
import pytest
from listening import frequency, mono
from small_soundfont import compressed, sine_soundfont

from theorykit.errors import TheoryError
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.show.sound import (
    instruments,
    keep_soundfont,
    own_soundfont,
    render,
    soundfont_words,
)
from theorykit.show.sound.instruments import chosen_soundfont, system_soundfont
from theorykit.show.sound.soundfont import open_soundfont


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
    assert own_soundfont() == good.resolve()


def rich(path):
    """A SoundFont as large as a rich one: on disk it is small all the same."""
    sine_soundfont(path, program=66)
    with path.open("r+b") as file:
        file.truncate(instruments.POORER + 1)
    return path


def looked_through(monkeypatch, *folders):
    """Let these be the usual folders."""
    monkeypatch.setattr(instruments, "FOLDERS", tuple(map(str, folders)))
    system_soundfont.cache_clear()


def test_a_compressed_file_of_the_readers_own_plays(tmp_path):
    path = compressed(sine_soundfont(tmp_path / "mine.sf2", program=66), tmp_path / "mine.sf3")
    assert keep_soundfont(path) == "mine.sf3 (your own)"
    note = Sounding(Fraction(0), Fraction(1), 69, 90)
    sound = render(Performance((Part("line", (note,)),), Fraction(2), tempo=120))
    assert frequency(mono(sound)[4000:20000], sound.rate, 441) == pytest.approx(440, abs=2)


def test_one_of_the_system_is_found_by_its_name_and_said(tmp_path, monkeypatch):
    folder = tmp_path / "sf2"
    folder.mkdir()
    (folder / "default-GM.sf2").write_bytes(b"a broken file is passed over")
    path = rich(folder / "FluidR3_GM.sf2")
    looked_through(monkeypatch, tmp_path / "nowhere", folder)
    assert chosen_soundfont() == path
    assert soundfont_words() == "FluidR3_GM.sf2 (found on this system)"
    own = sine_soundfont(tmp_path / "mine.sf2", program=66)
    assert keep_soundfont(own) == "mine.sf2 (your own)"


def test_a_name_that_stands_for_another_file_says_which(tmp_path, monkeypatch):
    real = rich(tmp_path / "Large.sf2")
    (tmp_path / "default-GM.sf2").symlink_to(real)
    looked_through(monkeypatch, tmp_path)
    assert soundfont_words() == "Large.sf2 (found on this system)"


def test_the_built_in_sounds_once_more_are_not_found_on_the_system(tmp_path, monkeypatch):
    # Debian's default-GM.sf2 is the built-in SoundFont where nothing richer is installed.
    (tmp_path / "default-GM.sf2").symlink_to(open_soundfont().path)
    looked_through(monkeypatch, tmp_path)
    assert soundfont_words() == "the built-in sounds"


def test_a_compressed_one_of_the_system_is_found(tmp_path, monkeypatch):
    plain = sine_soundfont(tmp_path / "sine.sf2", program=66)
    path = compressed(plain, tmp_path / "default-GM.sf3")
    looked_through(monkeypatch, tmp_path)
    assert chosen_soundfont() == path
