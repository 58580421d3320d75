"""Files from outside: what is refused, in words and within memory. A bench and a proof time it."""

import io
import re
import resource
import struct
import tracemalloc
import zipfile

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st
from too_long import full_score

from theorykit.errors import TheoryError
from theorykit.lines.text import Line
from theorykit.show.files import line_bytes, open_lead_sheet, open_line
from theorykit.show.files.untrusted import look_over
from theorykit.tunes.progression import two_five_one

LINE = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | whole E4", two_five_one("C", "short"))
SCORE = line_bytes(LINE, ".musicxml")
MIDI = line_bytes(LINE, ".mid")
LITTLE = 200_000_000  # bytes of memory

BOMB = b"""<?xml version="1.0"?>
<!DOCTYPE score-partwise [
<!ENTITY a "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa">
<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">
<!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">
<!ENTITY e "&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;">
]>
<score-partwise><part-list/><part id="P1"><measure>&e;</measure></part></score-partwise>"""


def external(target):
    return f"""<?xml version="1.0"?>
<!DOCTYPE score-partwise [<!ENTITY outside SYSTEM "{target}">]>
<score-partwise><work><work-title>&outside;</work-title></work></score-partwise>""".encode()


def packed(**members):
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in members.items():
            file.writestr(name, data)
    return box.getvalue()


def swelling():
    """Eighty megabytes of blanks in a small zip."""
    return packed(**{"score.xml": b"<score-partwise>" + b" " * 80_000_000 + b"</score-partwise>"})


def encrypted():
    data = bytearray(packed(**{"score.xml": SCORE}))
    at = data.rfind(b"PK\x01\x02")
    data[at + 8] |= 1
    data[6] |= 1
    return bytes(data)


def with_track_of(length):
    return MIDI[:18] + struct.pack(">I", length) + MIDI[22:]


REFUSED = {
    "an entity bomb": (BOMB, "declares"),
    "an external entity": (external("/etc/passwd"), "declares"),
    "an entity from the network": (external("http://localhost:9/x"), "declares"),
    "a foreign document type": (
        b'<!DOCTYPE score-partwise SYSTEM "file:///etc/passwd"><score-partwise/>',
        "points to",
    ),
    "no music": (b"Dear Ida,\nthe band meets on Thursday.\n", "no music"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(500), "no music"),
    "nothing": (b"", "no music"),
    "a page": (b"<html><body>Hello</body></html>", "not a score"),
    "half a score": (SCORE[: len(SCORE) // 2], "well-formed"),
    "a deep score": (b"<a>" * 100_000 + b"</a>" * 100_000, "deep"),
    "a score without notes": (
        b"<score-partwise><part-list/><part id='P1'><measure/></part></score-partwise>",
        "no part has a note",
    ),
    "a wrong encoding": (b'<?xml version="1.0" encoding="klingon"?><score-partwise/>', "XML"),
    "a path out of the zip": (packed(**{"../../home.xml": SCORE}), "odd path"),
    "an absolute path": (packed(**{"/score.xml": SCORE}), "odd path"),
    "a path with a drive": (packed(**{"C:score.xml": SCORE}), "odd path"),
    "a path with backslashes": (packed(**{"..\\score.xml": SCORE}), "odd path"),
    "a zip of many files": (packed(**{f"{n}.xml": b"" for n in range(300)}), "files in its zip"),
    "a zip without a score": (packed(**{"readme.txt": b"hello"}), "no score"),
    "a swelling zip": (swelling(), "unfolds"),
    "half a zip": (packed(**{"score.xml": SCORE})[:400], "zip"),
    "an encrypted zip": (encrypted(), "zip"),
    "a bomb in a zip": (packed(**{"score.xml": BOMB}), "declares"),
    "a bomb as container": (
        packed(**{"META-INF/container.xml": BOMB, "score.xml": SCORE}),
        "declares",
    ),
    "a cut MIDI": (MIDI[: len(MIDI) - 20], "cut off"),
    "a MIDI header": (MIDI[:14], "cut off"),
    "half a MIDI header": (MIDI[:9], "cut off"),
    "a MIDI track that is too long": (with_track_of(10**9), "cut off"),
    "a MIDI without beats": (MIDI[:12] + b"\x00\x00" + MIDI[14:], "no beats"),
    "a MIDI without notes": (
        b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xe0MTrk\x00\x00\x00\x04\x00\xff\x2f\x00",
        "no part has a note",
    ),
    "a MIDI of nonsense": (MIDI[:22] + b"\xff" * (len(MIDI) - 22), ""),
}


@pytest.mark.parametrize("what", REFUSED)
def test_a_file_that_cannot_be_trusted_is_refused_in_words(tmp_path, what):
    data, words = REFUSED[what]
    file = tmp_path / "tune.mxl"
    file.write_bytes(data)
    tracemalloc.start()
    with pytest.raises(TheoryError) as caught:
        open_line(file)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert words in str(caught.value)
    assert len(str(caught.value)) < 500
    assert "root:" not in str(caught.value)
    assert peak < LITTLE


def test_a_hundred_megabytes_are_refused_unread(tmp_path):
    file = tmp_path / "tune.musicxml"
    with file.open("wb") as stream:
        stream.truncate(100_000_000)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(TheoryError, match="too many"):
        open_line(file)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 50_000  # kilobytes


def test_the_largest_score_that_is_read_is_looked_over(tmp_path):
    file = tmp_path / "tune.musicxml"
    file.write_bytes(full_score())
    with pytest.raises(TheoryError, match="too many elements"):
        look_over(file)


@pytest.mark.parametrize("path", [None, 7])
def test_what_is_no_path_is_refused(path):
    with pytest.raises(TheoryError, match="path"):
        open_line(path)


def test_a_score_whose_notes_last_no_time_has_no_music(tmp_path):
    file = tmp_path / "tune.musicxml"
    file.write_bytes(re.sub(rb"<duration>\d+", b"<duration>", SCORE))
    with pytest.raises(TheoryError, match="no part has a note that lasts"):
        open_line(file)


def test_a_fifth_of_a_whole_note_is_no_beat(tmp_path):
    """What such a bar holds could not be written again; it is told, and the time before goes on."""
    file = tmp_path / "tune.musicxml"
    file.write_bytes(SCORE.replace(b"<beat-type>4", b"<beat-type>5"))
    found = open_line(file)
    told = "The time signature of bar 1 cannot be read; the time before goes on."
    assert (found.line, found.report) == (LINE, (told,))
    assert told in open_lead_sheet(file).report


def test_a_missing_file_is_told(tmp_path):
    with pytest.raises(TheoryError, match="no such file"):
        open_line(tmp_path / "nowhere.mid")


def test_the_usual_document_type_and_a_byte_order_mark_are_let_through(tmp_path):
    file = tmp_path / "tune.xml"
    file.write_bytes(b"\xef\xbb\xbf" + SCORE)
    assert open_line(file).line == LINE
    file.write_bytes(
        SCORE.decode().replace('encoding="UTF-8"', 'encoding="UTF-16"').encode("utf-16")
    )
    assert open_line(file).line == LINE


@given(st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_damaged_file_is_read_or_refused_and_nothing_else(tmp_path, data):
    """Some bytes changed, some cut out, at chance."""
    whole = data.draw(st.sampled_from([SCORE, MIDI, packed(**{"score.xml": SCORE})]))
    spoiled = bytearray(whole)
    for _ in range(data.draw(st.integers(1, 6))):
        at = data.draw(st.integers(0, len(spoiled) - 1))
        spoiled[at] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(spoiled)))
    gone = data.draw(st.integers(0, 20))
    file = tmp_path / "tune.mid"
    file.write_bytes(bytes(spoiled[:cut] + spoiled[cut + gone :]))
    try:
        found = open_line(file)
    except TheoryError:
        return
    assert found.line.notes
