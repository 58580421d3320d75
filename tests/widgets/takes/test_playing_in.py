"""The page for playing in, without a browser: what it is sent, what stands there, where it goes."""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import mido
import numpy as np
import pytest
import soundfile
from uploads import uploaded

from theorykit import Line, TheoryError, take_down, two_five_one
from theorykit.lines.taking import WAYS, HeardNote, taken_line
from theorykit.notes.reader import reader
from theorykit.show.listening import own_delay
from theorykit.show.own_reader import own_files_in
from theorykit.show.sound import Samples
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import handout_desk, line_desk, play_in
from theorykit.widgets.takes.recordings import Recording, Round, recording_of

RATE, TEMPO, START = 44100, 120, 1.0
TEXTS = {
    "C": "8th F4 A4 C5 E5 D5 B4 Ab4 F4 | half E4 rest",
    "Db": "8th Gb4 Bb4 Db5 F5 Eb5 C5 A4 Gb4 | half F4 rest",
    "F#": "8th B4 D#5 F#5 A#5 G#5 E#5 D5 B4 | half A#4 rest",
    "Bb minor": "8th Eb4 Gb4 Bb4 C5 A4 Gb4 F4 Eb4 | half Db4 rest",
}


def line_in(key: str) -> Line:
    return Line.parse(TEXTS[key], two_five_one(key, "short"))


def rows(line: Line) -> list[tuple[float, float, int]]:
    """A line as a keyboard would play it."""
    beat = 60 / TEMPO
    return [(float(n.start) * beat, float(n.end) * beat - 0.02, n.pitch.midi) for n in line.notes]


def tones(line: Line) -> np.ndarray:
    """A line as plain tones of six partials."""
    wave = np.zeros(int((START + 5) * RATE))
    for begins, ends, midi in rows(line):
        time = np.arange(int((ends - begins) * RATE)) / RATE
        phase = 2 * np.pi * 440 * 2 ** ((midi - 69) / 12) * time
        tone = sum(np.sin(k * phase) / k**1.3 for k in range(1, 7))
        edge = np.minimum(1, np.minimum(time / 0.012, (ends - begins - time) / 0.02))
        wave[int((START + begins) * RATE) :][: len(time)] += 0.15 * edge * tone
    return wave


def midi_file(line: Line) -> bytes:
    """A line as a MIDI file at its tempo."""
    file, track = mido.MidiFile(ticks_per_beat=480), mido.MidiTrack()
    track.append(mido.MetaMessage("set_tempo", tempo=60_000_000 // TEMPO))
    file.tracks.append(track)
    at = 0
    for note in line.notes:
        begins, ends = round(note.start * 480), round(note.end * 480) - 10
        track.append(mido.Message("note_on", note=note.pitch.midi, time=begins - at))
        track.append(mido.Message("note_off", note=note.pitch.midi, time=ends - begins))
        at = ends
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def freely_played(seconds: list[float]) -> bytes:
    """Notes from C4 on at any time, in a file that says 120 as keyboards write it."""
    file, track = mido.MidiFile(ticks_per_beat=480), mido.MidiTrack()
    track.append(mido.MetaMessage("set_tempo", tempo=500_000))
    file.tracks.append(track)
    at = 0
    for number, second in enumerate(seconds):
        begins = round(second * 960)
        track.append(mido.Message("note_on", note=60 + number, time=begins - at))
        track.append(mido.Message("note_off", note=60 + number, time=90))
        at = begins + 90
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def played(page, line: Line) -> None:
    page.put_down(take_down(rows(line), progression=line.progression, tempo=TEMPO, start=0))


def told(page, message: dict, *files: bytes) -> list[tuple[dict, list[bytes]]]:
    """What the page answers to a message of its browser."""
    answers: list[tuple[dict, list[bytes]]] = []
    page.recorder.send = lambda content, buffers=(): answers.append((content, list(buffers)))
    page.recorder._handle_custom_msg(message, list(files))
    return answers


def catch(page, wave: np.ndarray, *, start: float | None = START, late: float = 0.0) -> list:
    """What the browser sends of a take, the pieces in no order and the end before the last."""
    data = np.asarray(wave * 32767, "<i2").tobytes()
    cuts = [0, len(data) // 4 * 2, len(data) // 8 * 6, len(data)]
    pieces = [data[a:b] for a, b in pairwise(cuts)]
    end = {"take": 1, "pieces": 3, "frames": len(data) // 2, "rate": RATE, "late": late}
    answers = told(page, {"take": 1, "piece": 2}, pieces[2])
    answers += told(page, {"take": 1, "piece": 0}, pieces[0])
    answers += told(page, {**end, "start": start, "tempo": start and TEMPO})
    return answers + told(page, {"take": 1, "piece": 1}, pieces[1])


@pytest.fixture
def page(tmp_path):
    return play_in(form="short", book=tmp_path / "thursday")


@pytest.mark.parametrize("key", ["Db", "Bb minor"])
def test_a_take_of_the_microphone_becomes_a_line_with_its_report(key):
    page = play_in(key, form="short")
    assert catch(page, tones(line_in(key))) == []
    assert page.line.text == line_in(key).text
    assert page.listener.problem.value == page.problem.value == ""
    assert (page.recorder.has > 0, page.recorder.goes_together) == (True, True)
    assert page.player.shown[page.player.chosen].label == "your line with the band"


def test_how_late_the_browser_hears_is_taken_off(page):
    late = 0.11  # more than a sixteenth at this tempo is .125 s
    wave = np.concatenate([np.zeros(int(late * RATE)), tones(line_in("C"))])
    catch(page, wave, late=late)
    assert page.line.text == line_in("C").text
    assert "throughout" not in page.told.value


def test_the_delay_that_was_measured_goes_before_what_the_browser_says(page, tmp_path):
    clicks = [0.5 + 0.6 * n for n in range(8)]
    claps = np.zeros(int(6 * RATE))
    for click in clicks:
        claps[int((click + 0.11) * RATE) :][:500] = 0.5
    data = np.asarray(claps * 32767, "<i2").tobytes()
    end = {"take": 7, "pieces": 1, "frames": len(claps), "rate": RATE, "clicks": clicks}
    with own_files_in(tmp_path / "own"):
        assert told(page, end) == []
        ((said, _),) = told(page, {"take": 7, "piece": 0}, data)
        assert said["told"].startswith("This machine hears 1")
        assert own_delay() == pytest.approx(0.11, abs=0.003)
        assert page.recorder.recording is None
        assert page.recorder.delay == round(1000 * own_delay())
        catch(page, np.concatenate([np.zeros(int(0.11 * RATE)), tones(line_in("C"))]), late=0.01)
    assert page.line.text == line_in("C").text
    assert "throughout" not in page.told.value
    with own_files_in(tmp_path / "own"):
        assert play_in(form="short").recorder.delay == page.recorder.delay
        ((said, _),) = told(page, {"forget": True})
        assert "Forgotten" in said["told"]
        assert page.recorder.delay is own_delay() is None


def test_the_page_asks_whether_python_is_there_and_learns_that_a_take_has_come(page):
    assert told(page, {"there": 17}) == [({"there": 17}, [])]
    catch(page, tones(line_in("C")))
    assert page.recorder.got == 1
    told(page, {"take": 44, "sent": [], "end": 0, "start": None, "tempo": None})
    assert page.recorder.got == 44


def test_a_take_without_the_band_finds_its_start_or_its_tempo_too(page):
    page.way.value = "alone, at this tempo"
    assert page.recorder.over == "alone"
    page.tempo.value = TEMPO
    catch(page, tones(line_in("C")), start=None)
    assert page.line.text == line_in("C").text
    assert "No start was given" in page.told.value
    assert "No tempo was given" not in page.told.value
    page.way.value = "alone, the tempo is found"
    catch(page, tones(line_in("C")), start=None)
    assert "No tempo was given" in page.told.value
    # Even eighths may as well be quarters, twice as fast.
    assert page.tempo.value / TEMPO in (pytest.approx(1, abs=0.02), pytest.approx(2, abs=0.02))


def test_a_recording_is_heard_kept_and_thrown_away(page):
    wave = tones(line_in("C"))
    catch(page, wave)
    ((heard, (data,)),) = told(page, {"hear": True})
    assert (heard["rate"], heard["tempo"], heard["heard"]) == (RATE, TEMPO, page.recorder.has)
    assert heard["start"] == pytest.approx(START, abs=0.05)
    assert np.abs(np.frombuffer(data, "<i2") / 32767 - wave).max() < 1e-3
    ((saved, (file,)),) = told(page, {"keep": True})
    assert saved["saved"].endswith(".wav")
    assert soundfile.info(io.BytesIO(file)).frames == len(wave)
    assert told(page, {"drop": True}) == []
    assert (page.recorder.has, page.recorder.recording) == (0, None)
    assert page.line.text == line_in("C").text  # the line stays
    ((refused, _),) = told(page, {"keep": True})
    assert "no recording" in refused["problem"]


def test_a_take_that_does_not_arrive_whole_is_refused(page):
    end = {"take": 1, "pieces": 1, "frames": 9, "rate": RATE, "start": None, "tempo": None}
    told(page, end)
    ((refused, _),) = told(page, {"take": 1, "piece": 0}, b"\0\0")
    assert "did not arrive whole" in refused["problem"]
    assert page.recorder.recording is None


def test_a_silent_take_is_told_and_the_line_stays(page):
    played(page, line_in("C"))
    catch(page, np.zeros(RATE))
    assert "The take is silent" in page.listener.problem.value
    assert page.line.text == line_in("C").text


def test_noise_and_notes_after_the_last_bar_leave_the_line(page):
    played(page, line_in("C"))
    said = page.told.value
    catch(page, np.random.default_rng(1).normal(0, 0.1, 3 * RATE))
    assert "No melody was heard" in page.listener.problem.value
    sent = [[40.0, 0x90, 60, 80], [40.4, 0x80, 60, 0]]
    told(page, {"take": 2, "sent": sent, "end": 41.0, "start": START, "tempo": TEMPO})
    assert "The only note came after the last bar" in page.listener.problem.value
    assert (page.line.text, page.told.value) == (line_in("C").text, said)


def test_a_take_without_a_note_leaves_the_one_before_with_its_recording(page):
    line = line_in("C")
    taken = take_down(rows(line), progression=line.progression, tempo=TEMPO, start=0)
    good = Recording(Samples(np.asarray(tones(line), np.float32), RATE), TEMPO, START)
    page.rounds.take((Round(good, taken),))
    said = page.told.value
    catch(page, np.zeros(RATE))
    assert page.recorder.goes_together
    assert page.recorder.recording.samples is good.samples
    assert "are those of the take before" in page.listener.told.value
    assert page.told.value == said
    told(page, {"drop": True})
    catch(page, np.zeros(RATE))
    assert page.recorder.recording.samples.seconds == 1  # thrown away is thrown away
    page.mine.new.click()
    catch(page, np.zeros(RATE))
    assert "take before" not in page.listener.told.value


@pytest.mark.parametrize("key", TEXTS)
def test_a_midi_file_is_another_way_in(key):
    page = play_in(key, form="short")
    page.opening.file.value = uploaded("take.mid", midi_file(line_in(key)))
    assert page.line.text == line_in(key).text
    assert page.recorder.has == 0  # there is nothing to be heard
    assert "take.mid was opened" in page.opening.told.value


def test_a_file_that_names_another_tempo_leaves_the_slider_alone_and_both_are_tried(page):
    page.tempo.value = 100
    eighths = [1.9 + n * 0.3 + 0.007 * (n * n % 5) for n in range(12)]
    page.opening.file.value = uploaded("free.mid", freely_played(eighths))
    assert "The file says 120 beats a minute, the slider 100: 100 suits it" in page.told.value
    assert len(page.line.notes) == 12
    assert {one.beats for one in page.line.notes[:-1]} == {Fraction(1, 2)}
    assert page.tempo.value == 100
    assert page.offered.accept.layout.display == "none"
    page.opening.file.value = uploaded("take.mid", midi_file(line_in("C")))  # by the clock of 120
    assert "the slider 100: 120 suits it" in page.told.value
    assert page.line.text == line_in("C").text
    assert (page.tempo.value, page.offered.accept.layout.display) == (100, "")
    page.offered.accept.click()
    assert (page.tempo.value, page.offered.accept.layout.display) == (120, "none")


def test_where_no_tempo_suits_the_time_of_the_player_is_not_judged(page):
    page.tempo.value = 90
    times = [0.3 * n**1.2 for n in range(12)]  # slower and slower
    page.opening.file.value = uploaded("slower.mid", freely_played(times))
    assert "beats a minute badly" in page.told.value
    assert "throughout" not in page.told.value
    assert page.timing.value == ""
    page.opening.file.value = uploaded("take.mid", midi_file(line_in("C")))
    assert "badly" not in page.told.value
    assert "in time" in page.timing.value


def test_a_recording_that_is_opened_goes_the_same_way(page):
    data = io.BytesIO()
    soundfile.write(data, tones(line_in("C")), RATE, format="FLAC")
    page.opening.clocked.value, page.opening.start.value = True, str(START)
    page.opening.file.value = uploaded("take.flac", data.getvalue())
    assert page.line.text == line_in("C").text
    assert "No " not in page.told.value
    page.opening.file.value = uploaded("take.flac", b"nothing of the kind")
    assert "take.flac is no recording" in page.opening.problem.value
    assert page.line.text == line_in("C").text


def test_a_doubtful_note_is_told_where_it_is_mended(page):
    line = line_in("C")
    taken = take_down(rows(line), progression=line.progression, tempo=TEMPO, start=0)
    unsure = [
        type(one)(one.note, 0.2 if place == 3 else one.confidence, one.late)
        for place, one in enumerate(taken.notes)
    ]
    fields = {n: getattr(taken, n) for n in ("line", "left_out", "tempo", "start", "swing")}
    doubted = type(taken)(
        **fields, notes=tuple(unsure), tuning=0.0, report=("Doubtful: E, bar 1, the and of 2.",)
    )
    page.put_down(doubted)
    assert page.notes.note.options[3][0] == "E5, bar 1, the and of 2 (doubtful)"
    assert [is_so for _, is_so in page.notes.pointer.notes].index(True) == 3
    assert "Doubtful: E, bar 1" in page.told.value
    page.notes.note.value = 3
    page.notes.buttons["half step up"].click()
    assert page.notes.note.options[3][0] == "F5, bar 1, the and of 2"


@pytest.mark.parametrize("way", WAYS)
def test_each_way_to_mend_is_a_step_that_is_taken_back_alone(page, way):
    played(page, line_in("C"))
    page.notes.note.value = 8 if way == "later" else 0
    steps = [page.state.text]
    for _ in range(2 if way != "split" else 1):
        page.notes.buttons[way].click()
        steps.append(page.state.text)
        assert page.notes.problem.value == page.problem.value == ""
    assert len(set(steps)) == len(steps)
    for text in reversed(steps[:-1]):
        page.notes.pointer._handle_custom_msg({"way": "undo", "at": 0}, [])
        assert page.state.text == text


def test_a_refusal_has_the_reader_s_names_and_goes_with_the_next_action(page):
    played(page, line_in("C"))
    page.reader.value = reader("B flat")
    page.notes.note.value = 0
    page.notes.buttons["later"].click()
    assert "no room: B4, bar 1, the and of 1, follows at once" in page.notes.problem.value
    page.notes.note.value = 1
    assert page.notes.problem.value == ""
    page.notes.buttons["later"].click()
    assert "no room" in page.notes.problem.value
    played(page, line_in("C"))
    assert page.notes.problem.value == ""


def test_a_line_half_a_beat_late_is_told_and_moved_as_one(page):
    text = "8th D5 C5 quarter A4 G4 8th B4 F4 | half E4 rest"
    line = Line.parse(text, two_five_one("C", "short"))
    played(page, line)
    assert "more plainly" not in page.told.value
    page.notes.buttons["whole line later"].click()
    late = page.state.text
    assert "more plainly an eighth earlier" in page.told.value
    page.notes.buttons["whole line earlier"].click()
    assert page.line.text == line.text
    assert "more plainly" not in page.told.value
    page.mine.undo.click()
    assert page.state.text == late


def test_the_picture_of_early_and_late_notes_has_no_note_that_was_taken_out(page):
    played(page, line_in("C"))
    assert "9 of 9 notes are in time" in page.timing.value
    page.notes.note.value = 3
    page.notes.buttons["delete"].click()
    assert "8 of 8 notes are in time" in page.timing.value


def test_a_new_line_stands_over_the_chords_of_the_moment(tmp_path):
    page = play_in("Eb", form="short", path=tmp_path / "drafts.sqlite")
    page.key.value, page.form.value = "C major", "long"
    played(page, Line.parse("whole F4", page.over))
    page.mine.new.click()
    assert (page.over.pretty, page.state.text) == ("Dm7 | G7 | Cmaj7", "")
    assert (page.key.value, page.form.value) == ("C major", "long")


def test_what_is_said_of_recording_is_of_the_way_that_is_chosen(page):
    assert "the band counts in a bar" in page.how.value
    page.way.value = "alone, at this tempo"
    assert "the band counts in a bar" not in page.how.value
    assert "stop recording" in page.how.value


def test_a_note_that_is_joined_away_is_told(page):
    played(page, line_in("C"))
    page.notes.note.value = 0
    page.notes.buttons["join with the next"].click()
    assert "A4, bar 1, the and of 1, is gone" in page.told.value


def test_keys_on_the_staff_and_the_list_choose_the_same_note(page):
    played(page, line_in("C"))
    page.notes.pointer.chosen = 4
    assert page.notes.note.value == 4
    page.notes.note.value = 2
    assert page.notes.pointer.chosen == 2
    page.notes.pointer._handle_custom_msg({"way": "octave down", "at": 2}, [])
    assert page.line.notes[2].pitch.midi == line_in("C").notes[2].pitch.midi - 12
    page.notes.pointer._handle_custom_msg({"way": "octave down", "at": 99}, [])
    assert "no such note" in page.notes.problem.value


@pytest.mark.parametrize("key", ["Db major", "F# major"])
def test_the_line_moves_with_its_chords(page, key):
    played(page, line_in("C"))
    page.key.value = key
    assert page.line.text == line_in("C").transposed(page.over.key).text
    assert page.told.value.count("oved to") == 1


def test_it_goes_into_the_book_onto_the_desk_and_onto_the_handout(tmp_path):
    lines, sheet = line_desk(form="short"), handout_desk(path=tmp_path / "drafts.sqlite")
    page = play_in(form="short", book=tmp_path / "thursday", lines=lines, handout=sheet)
    page.sending.buttons["keep it in the book"].click()
    assert "no line yet" in page.sending.problem.value
    played(page, line_in("C"))
    page.tempo.value = 96
    for one in page.sending.buttons.values():
        one.click()
        assert page.sending.problem.value == ""
    book = PhraseBook(tmp_path / "thursday.sqlite")
    assert book.phrase(book.names[0]).line.text == line_in("C").text
    assert (lines.text.value, lines.hearing.tempo.value) == (line_in("C").text, 96)
    assert sheet.handout.blocks[-1].line == line_in("C").text


def test_what_was_played_is_there_again(tmp_path):
    page = play_in(form="short", path=tmp_path / "drafts.sqlite")
    played(page, line_in("C"))
    page.tempo.value = 90
    page.mine.write()
    again = play_in(form="short", path=tmp_path / "drafts.sqlite")
    assert (again.line.text, again.tempo.value) == (line_in("C").text, 90)


def test_what_is_no_take_is_refused():
    with pytest.raises(TheoryError, match="is no recording"):
        recording_of("x.mp3", b"\xff\xfb")
    with pytest.raises(TheoryError, match="no instrument"):
        play_in(instrument="kazoo")


def test_the_line_is_judged_as_an_answer_and_its_timing_is_shown(page):
    line = line_in("C")
    late = [(a + 0.09 * (n == 8), b, midi) for n, (a, b, midi) in enumerate(rows(line))]
    page.colour.value = "b9"
    page.put_down(take_down(late, progression=line.progression, tempo=TEMPO, start=0))
    assert "♭9 over V: spelled, and I is reached." in page.told.value
    assert "bar 2, beat 1" in page.timing.value
    assert "<svg" in page.timing.value
    page.colour.value = "altered"
    assert "altered over V: not there yet." in page.told.value
    page.mine.new.click()
    assert page.timing.value == ""


def test_a_take_of_a_keyboard_becomes_a_line_in_time_with_the_band(page):
    line, sent = line_in("C"), []
    for start, end, midi in rows(line):
        sent += [[START + start, 0x90, midi, 80], [START + end, 0x90, midi, 0]]
    told(page, {"take": 1, "sent": sorted(sent), "end": 6.0, "start": START, "tempo": TEMPO})
    assert page.line.text == line.text
    assert "No " not in page.told.value
    told(page, {"take": 2, "sent": [], "end": 0, "start": None, "tempo": None})
    assert "No note was played" in page.listener.problem.value
    ((refused, _),) = told(page, {"take": 3, "sent": [[0, 1, 2]], "end": 0})
    assert "no MIDI message" in refused["problem"]
    assert page.line.text == line.text


def strike(page, line: Line, *places: float) -> None:
    """Play a line on the keys once at each place, in seconds; what the browser then sends."""
    sent = [
        [place + at, kind, midi, 80]
        for place in places
        for start, end, midi in rows(line)
        for at, kind in ((start, 0x90), (end, 0x80))
    ]
    end = {"end": 40.0, "start": START, "tempo": TEMPO}
    told(page, {"take": 1, "sent": sorted(sent), **end})


def test_rounds_are_taken_down_one_by_one_and_compared(page):
    page.rounds.count.value = 3
    assert len(page.player.shown[0].bars) == 6
    line, long = line_in("C"), 8 * 60 / TEMPO
    strike(page, line, START, START + 2 * long)  # nothing in the second round
    assert [one.taken and one.taken.line.text for one in page.rounds.rounds] == [
        *(line.text, None, line.text),
    ]
    assert page.rounds.chosen.options == (("round 1", 0), ("round 3", 2))
    assert "no note was heard" in page.rounds.compared.value
    assert "Your rounds" in page.rounds.compared.value
    page.notes.buttons["octave up"].click()
    page.rounds.chosen.value = 0
    assert page.line.text == line.text
    page.mine.new.click()
    assert (page.rounds.compared.value, page.rounds.chosen.layout.display) == ("", "none")


def test_the_line_of_each_round_is_among_the_earlier_states(tmp_path):
    page = play_in(form="short", path=tmp_path / "drafts.sqlite")
    page.rounds.count.value = 3
    line, long = line_in("C"), 8 * 60 / TEMPO
    texts = ["whole C5", line.text, "whole D5"]
    lines = [Line.parse(text, line.progression) for text in texts]
    sent = []
    for number, one in enumerate(lines):
        for start, end, midi in rows(one):
            at = START + number * long
            sent += [[at + start, 0x90, midi, 80], [at + end, 0x80, midi, 0]]
    told(page, {"take": 1, "sent": sorted(sent), "end": 40.0, "start": START, "tempo": TEMPO})
    page.mine.write()
    assert "among the earlier states" in page.rounds.compared.value
    again = play_in(form="short", path=tmp_path / "drafts.sqlite")
    played_then = [one.taken.line.text for one in page.rounds.rounds]
    assert again.line.text == played_then[2]
    states = again.mine.drafts.states(again.mine.keeper.opened.work)
    earlier = [one.data["text"] for one in states]
    assert set(played_then[:2]) <= set(earlier)


def test_a_line_asks_and_the_answers_after_it_are_taken_down(page):
    page.rounds.answers.value = True
    assert "no line that could ask" in page.rounds.problem.value
    assert page.rounds.answers.value is False
    asks, answers = (
        line_in("C"),
        Line.parse("quarter D5 F5 Ab5 B5 | whole C6", line_in("C").progression),
    )
    played(page, asks)
    page.rounds.answers.value, page.rounds.count.value = True, 2
    assert page.player.shown[0].label == "the question, and room for your answer"
    assert len(page.player.shown[0].bars) == 8
    long = 8 * 60 / TEMPO
    strike(page, answers, START + long, START + 3 * long)
    assert [one.taken.line.text for one in page.rounds.rounds] == [answers.text] * 2
    assert page.line.text == answers.text
    assert page.rounds.question.text == asks.text  # it asks the next time as well
    page.key.value = "Db major"
    assert page.player.shown[0].label == "the band alone"


# === What a page may send, and what goes when it is thrown away ===


def test_what_is_thrown_away_is_nowhere_any_more(page):
    line = line_in("C")
    page.rounds.count.value = 2
    catch(page, np.concatenate([tones(line), tones(line)]))
    assert any(one.recording.samples is not None for one in page.rounds.rounds)
    told(page, {"drop": True})
    assert page.recorder.recording is None
    assert all(one.recording.samples is None for one in page.rounds.rounds)
    page._put_round(page.rounds.rounds[0])
    assert page.recorder.has == 0  # its line is there, and no sound


@pytest.mark.parametrize(
    "message",
    [{"take": "x"}, {"take": 2, "sent": 5}, {"take": 4, "piece": 0}, {"take": 1, "pieces": None}],
)
def test_a_message_that_the_page_does_not_send_is_told(page, message):
    ((answer, _),) = told(page, message)
    assert "want another take" in answer["problem"]


def test_pieces_of_a_take_that_never_ended_are_no_part_of_the_next(page):
    told(page, {"take": 7, "piece": 0}, bytes(100))
    told(page, {"take": 8, "piece": 0}, bytes(100))
    assert set(page.recorder._pieces) == {8}
    told(page, {"drop": True})
    assert page.recorder._pieces == {}


def test_horns_read_their_own_names_in_all_that_is_told(page):
    line = line_in("C")
    taken = take_down(rows(line), progression=line.progression, tempo=TEMPO, start=0)
    page.put_down(replace(taken, notes=tuple(replace(n, confidence=0.1) for n in taken.notes),
                          report=("Doubtful: A, bar 1, beat 1.",)))  # fmt: skip
    page.reader.value = reader("B flat")
    first = line.written_for("B flat").notes[0].pitch.note.pretty
    assert f"Doubtful: {first}, bar 1" in page.told.value
    assert "A7" in page.told.value
    assert "G7" not in page.told.value


def test_no_line_asks_over_other_chords_and_no_recording_goes_with_another_line(page):
    played(page, line_in("C"))
    page.recorder.hold(Recording(Samples(np.zeros(9, np.float32), 44100)), together=True)
    page.rounds.answers.value = True
    page.key.value = "G major"
    assert not page.rounds.answers.value
    assert page.rounds.question is None
    assert not page.recorder.goes_together


def test_rounds_and_levels_are_among_what_is_kept(page):
    assert {"rounds", "player"} <= set(page._settings)


# === The take that is held is heard again, otherwise ===


def test_a_take_is_heard_again_at_another_tempo_and_over_other_chords(page):
    again = page.listener.again
    assert again.layout.display == "none"
    page.way.value, page.tempo.value = "alone, at this tempo", 2 * TEMPO
    wave = tones(line_in("C"))
    catch(page, wave, start=None)
    assert "quarter" in page.line.text
    assert again.layout.display == ""
    page.tempo.value = TEMPO
    again.click()
    assert page.line.text == line_in("C").text
    page.way.value, page.tempo.value = "alone, the tempo is found", 90
    again.click()
    assert "No tempo was given" in page.told.value
    page.key.value, page.way.value, page.tempo.value = "Db major", "alone, at this tempo", TEMPO
    again.click()
    assert page.line.progression == two_five_one("Db", "short")
    assert [n.pitch.midi for n in page.line] == [n.pitch.midi for n in line_in("C")]
    told(page, {"drop": True})
    assert again.layout.display == "none"
    again.click()
    assert "No take is held" in page.listener.problem.value


def test_what_came_too_late_at_one_tempo_is_heard_again_at_another(page):
    line = line_in("C")
    played(page, line)
    late = [(9.0 + a, 9.0 + b, midi) for a, b, midi in rows(line)]
    sent = [[s, k, m, 80] for a, b, m in late for s, k in ((a, 0x90), (b, 0x80))]
    told(page, {"take": 2, "sent": sorted(sent), "end": 14.0, "start": 0.0, "tempo": TEMPO})
    assert "All 9 notes came after the last bar" in page.listener.problem.value
    assert "hears the new one" in page.listener.told.value
    page.opening.start.value = "9"
    page.listener.again.click()
    assert page.line.text == line.text
    assert page.listener.told.value == page.listener.problem.value == ""


def test_a_file_is_heard_again_with_what_is_told_for_it(page):
    page.opening.file.value = uploaded("free.mid", freely_played([0.3 * n for n in range(12)]))
    page.tempo.value, page.opening.clocked.value = 200, True
    page.listener.again.click()
    assert [one.start for one in page.line.notes] == [*range(8)]
    assert "4 heard notes are left out: after the last bar" in page.told.value
    assert page.recorder.has == 0  # there is nothing to be heard


def test_a_take_over_the_band_keeps_its_first_bar_when_it_is_heard_again(page):
    catch(page, tones(line_in("C")))
    page.instrument.value = "trumpet"
    page.listener.again.click()
    assert page.line.text == line_in("C").text
    assert "No " not in page.told.value


# === What is said, and what is not said any more ===


def test_a_typing_error_in_changes_is_pointed_at_and_nothing_old_is_said(page):
    played(page, line_in("C"))
    page.changes.value = "Gm7 C7 | Fmaj7"
    assert "notes stayed" in page.told.value
    page.changes.value = "Gm7 Cq7 | Fmaj7"
    assert page.problem.value.count("Cq7") == 2  # in what was typed, and by itself
    assert "not a chord" in page.problem.value
    assert "line 5" not in page.problem.value
    assert "notes stayed" not in page.told.value


def test_notes_that_went_into_another_form_did_not_stay(page):
    page.put_down(take_down([(0, 0.9, 65), (2.0, 3.9, 64)], page.over, tempo=TEMPO, start=0))
    page.changes.value = "Dm7 G7 | Em7"
    page.form.value = "long"
    assert "notes stayed" in page.told.value  # over chords of no form they cannot move
    page.form.value = "short"
    assert "notes stayed" not in page.told.value


def test_what_was_played_is_told_as_such_until_it_is_there_again(tmp_path):
    page = play_in(form="short", path=tmp_path / "drafts.sqlite")
    played(page, line_in("C"))
    assert "What you played is kept" in page.mine.told.value
    page.mine.write()
    again = play_in(form="short", path=tmp_path / "drafts.sqlite")
    assert "as you left it" in again.mine.told.value
    again.mine.undo.click()
    assert "What you played" not in again.mine.told.value


def test_an_empty_midi_file_is_refused_under_its_own_name(page):
    file = mido.MidiFile()
    file.tracks.append(mido.MidiTrack())
    data = io.BytesIO()
    file.save(file=data)
    page.opening.file.value = uploaded("ida.mid", data.getvalue())
    assert "ida.mid" in page.listener.problem.value
    assert "was opened" not in page.opening.told.value


def test_a_name_that_is_taken_is_refused_in_the_words_of_the_page(page):
    played(page, line_in("C"))
    for _ in range(2):
        page.keeping.name.value = "Ida's turn"
        page.keeping.keep.click()
    assert "replace the phrase of this name\u201d ticked" in page.keeping.problem.value


def test_rounds_are_told_as_text_at_concert_pitch_on_every_page(page):
    page.rounds.count.value = 2
    strike(page, line_in("C"), START, START + 8 * 60 / TEMPO)
    assert "what was played" in page.rounds.compared.value
    page.instrument.value, page.reader.value = "baritone saxophone", reader("E flat")
    assert page.reads.semitones == 21  # a major thirteenth (common practice)
    assert "at concert pitch" in page.rounds.compared.value
    assert page.rounds.compared.value.count(line_in("C").text) == 2


# === Ghost notes ===


@pytest.mark.parametrize("is_mended", [False, True])
def test_a_faint_note_is_named_and_put_back_by_one_press(page, is_mended):
    line = line_in("C")
    heard = [HeardNote(*row) for row in rows(line)]
    ghost = heard.pop(2)  # C5
    over = line.progression
    page.put_down(taken_line(heard, over, tempo=TEMPO, start=0, faint=[ghost]))
    page.reader.value = reader("trumpet")
    assert "Left out as faint: D5, bar 1, beat 2." in page.told.value
    assert "ghost note" in page.told.value
    assert page.ghosts.back.layout.display == ""
    without = page.line
    if is_mended:
        page.notes.note.value = 0
        page.notes.buttons["octave down"].click()
        without = page.line
    page.ghosts.back.click()
    assert [n.pitch.midi for n in page.line][2] == ghost.midi
    assert [n.start for n in page.line] == [n.start for n in line]
    assert page.line.notes[0] == without.notes[0]
    assert "faint" not in page.told.value
    assert page.ghosts.back.layout.display == "none"
    page.mine.undo.click()
    assert page.line == without
    assert page.ghosts.back.layout.display == ""
    page.notes.buttons["whole line later"].click()
    page.ghosts.back.click()  # it goes where the line went
    assert page.line.notes[2].pitch.midi == ghost.midi
    assert page.line.notes[2].start == line.notes[2].start + Fraction(1, 2)
    page.mine.new.click()
    assert page.ghosts.back.layout.display == "none"
