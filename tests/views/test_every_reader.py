"""Every page for every reader: nothing on it is wrong, in any key.

Common practice, for all of it: a name has at most two accidentals, one where the page is to be read
at sight; a tone of a chord carries the letter that its symbol counts to; what is moved back sounds
as it did.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import product

import pytest
from sweeps import KEYS_TRIED, some_and_all

from theorykit import (
    COLOURS,
    KEYS,
    Chart,
    Chorus,
    Colour,
    Key,
    Line,
    Note,
    write_chorus,
    write_lines,
)
from theorykit.harmony.substitution import NAMES
from theorykit.lines.writing import Wishes
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.progression import two_five_one
from theorykit.tunes.treatments import Treatment
from theorykit.views.explorer_view import SPELLINGS, ExplorerView, explore
from theorykit.views.identification_view import identification, identification_of_keys
from theorykit.views.line import line_view
from theorykit.views.staves import StaffView, chorus_staff
from theorykit.views.substitutes_view import substitution
from theorykit.views.tension_table import tension_table
from theorykit.views.tune import TuneDraft, cadence_view, job_rows, tune_view

BY_FUNCTION = SPELLINGS[0]
TRIED = (*KEYS_TRIED, Key.parse("G# minor"), Key.parse("D# minor"))
each_reader = pytest.mark.parametrize("who", READERS, ids=lambda who: who.name)
each_key = pytest.mark.parametrize("keys", some_and_all(TRIED, KEYS))
# Of many cases a sweep has one in so many for each reader; together the readers see all of them.
SHARE, MANY = 5, 12
TRIPLE, DOUBLE = re.compile("♭♭♭|♯♯♯"), re.compile("♭♭|♯♯")
NAME = re.compile(r"[A-G][♭♯]{0,3}")


def seen_by(
    who: Reader, keys: tuple[Key, ...], *rows: tuple[Colour, ...], share: int = SHARE
) -> list[tuple]:
    """Each key with each row; of many keys a share of that, another one for each reader."""
    return shared_by(who, keys, *rows, share=share if len(keys) > MANY else 1)


def shared_by(
    who: Reader, keys: tuple[Key, ...], *rows: tuple[Colour, ...], share: int
) -> list[tuple]:
    """One in so many of each key with each row, others for each reader."""
    return [*product(keys, *rows)][READERS.index(who) % share :: share]


def signs(notes: list[Note]) -> int:
    """The most accidentals that any of these names has."""
    return max(abs(note.alteration) for note in notes)


def letters_agree(staff: StaffView, *, by_chord: bool) -> None:
    """A tone of the chord of the moment has the chord's name; elsewhere the name for the eye."""
    for chord in (chord for _, chord in staff.chords):
        for degree, note in zip(chord.degrees, chord.notes, strict=True):
            assert (note.step - chord.root.step) % 7 == (degree.number - 1) % 7
            assert (note.semitone - chord.root.semitone - degree.semitones) % 12 == 0
    if by_chord:
        for note in staff.notes:
            chord = [one for start, one in staff.chords if start <= note.start][-1]
            for tone in chord.notes:
                if tone.semitone == note.pitch.note.semitone:
                    assert note.pitch.note == tone, (staff.alt, note)


def one_name_in_a_bar(staff: StaffView) -> None:
    """No pitch has two names in one bar."""
    start = 0
    for beats in staff.bars:
        inside = [n.pitch.note for n in staff.notes if start <= n.start < start + beats]
        assert len({n.semitone for n in inside}) == len(set(inside)), staff.alt
        start += beats


def sounds_back(staff: StaffView, midis: list[int], who: Reader) -> None:
    """What is written is as far from the sound as the reader's instrument."""
    assert [note.pitch.midi - who.semitones for note in staff.notes] == midis
    assert (staff.clef, staff.transposition) == (who.clef, who.semitones)


def explored(view: ExplorerView, who: Reader, key: Key, spelling: str) -> None:
    page = who.written_key(key)
    assert view.staff.key == page
    assert [chord for _, chord in view.staff.chords][-1] == view.target
    assert view.dominant in [chord for _, chord in view.staff.chords]
    assert view.dominant.pretty in view.sentence
    assert all(view.dominant.pretty in name for name in view.names_of_takes)
    assert ("sounds in" in view.names_of_takes[0]) == who.transposes
    assert bool(view.written) == who.transposes
    sounds_back(view.staff, [note.pitch.midi for note in view.coloured.notes], who)
    rows = [row.note for row in view.rows]
    shown = [*rows, *(note.pitch.note for note in view.staff.notes)]
    keys = " ".join(key.name for key in view.keyboard.lit)
    for text in (keys, view.sentence, view.names, view.staff.alt, view.keyboard.alt, view.caption):
        assert not TRIPLE.search(text), text
    assert signs(shown) <= 2
    if spelling != BY_FUNCTION:
        assert signs(shown) <= 1
        assert not DOUBLE.search(keys)
        assert not DOUBLE.search(view.keyboard.alt)
    elif signs(shown) == 2:
        assert "by function every note keeps the letter of its degree" in view.names
    letters_agree(view.staff, by_chord=spelling == BY_FUNCTION)
    if spelling == "readable":
        one_name_in_a_bar(view.staff)
    assert all(row.note.pretty in keys for row in view.rows)


@each_reader
@pytest.mark.parametrize(
    ("keys", "share"),
    [
        pytest.param(TRIED, SHARE, id="some"),
        pytest.param(TRIED, 1, id="all of some", marks=pytest.mark.sweep),
        pytest.param(KEYS, SHARE, id="all", marks=pytest.mark.sweep),
    ],
)
@pytest.mark.parametrize("spelling", SPELLINGS)
def test_the_explorer(who, keys, share, spelling):
    for key, row in shared_by(who, keys, COLOURS, share=share):
        forms = ("long", "short", "split") if row in COLOURS[::6] else ("long",)
        for form in forms:
            view = explore(key, form, row, spelling=spelling, reader=who)
            explored(view, who, key, spelling)
        for choice in range(1, len(view.options), 5):
            view = explore(key, form, row, spelling=spelling, reader=who, choice=choice)
            explored(view, who, key, spelling)


@each_reader
@each_key
def test_the_explorer_offers_the_same_ways_to_every_reader(who, keys):
    for key, row in seen_by(who, keys, COLOURS):
        here, there = explore(key, "long", row), explore(key, "long", row, reader=who)
        assert [(one.row, one.place, one.second) for one in here.options] == [
            (one.row, one.place, one.second) for one in there.options
        ]
        moved = here.shortcut.written_for(who)
        assert (moved.chord, moved.words) == (there.dominant, there.shortcut.words)


@each_reader
@each_key
def test_the_page_of_substitutes(who, keys):
    for key, name in product(keys, NAMES):
        view = substitution(key, name, reader=who)
        page = who.written_key(key)
        assert view.staff.key == page
        written = [placed.chord for placed in view.page.own_bass.chords.chords]
        assert [chord for _, chord in view.staff.chords] == written
        for chord in view.found.chords:
            assert chord in written
            assert chord.pretty in view.summary
        line = view.heard.own_bass.line
        sounds_back(view.staff, [note.pitch.midi for note in line.notes], who)
        letters_agree(view.staff, by_chord=True)
        names = [note.pitch.note for note in view.staff.notes]
        texts = [view.sentence, view.summary, view.staff.alt, view.keyboard.alt, *view.options]
        texts += [view.motion.alt, view.clock.alt, *view.names_of_takes]
        texts += [text for _, told in view.sections for text in told]
        assert not any(map(TRIPLE.search, texts)), (str(key), name)
        assert signs(names) <= 2
        if signs(names) == 2:
            assert view.doubled
        concert = substitution(key, name)
        for mine, theirs in zip(view.found.chords, concert.found.chords, strict=True):
            assert mine.kind == theirs.kind
            assert (mine.root.semitone - theirs.root.semitone - who.semitones) % 12 == 0


@each_reader
@each_key
def test_what_a_player_brings(who, keys):
    for key in keys:
        view = explore(key, "long", "altered", reader=who)
        v, one = str(view.dominant), str(view.target)
        typed = " ".join(str(note) for note in view.shortcut.function_notes)
        found = identification(typed, v, one, reader=who)
        tapped = identification_of_keys((61, 63, 66, 68, 70), v, one, reader=who)
        for page in (found, tapped):
            heard = [note.pitch.midi for note in page.heard.line.notes]
            sounds_back(page.staff, heard, who)
            assert str(page.staff.chords[0][1]) == v
            assert page.found.over == view.dominant
            back = page.heard.chords.chords[0].chord.root.semitone
            assert (view.dominant.root.semitone - back - who.semitones) % 12 == 0
            assert bool(page.written) == who.transposes
            assert not TRIPLE.search(page.staff.alt + page.keyboard.alt + page.sentence)
        assert signs([note.pitch.note for note in tapped.staff.notes]) <= 1
        one_name_in_a_bar(tapped.staff)


@each_reader
@pytest.mark.parametrize("keys", some_and_all(TRIED[:2], KEYS))
def test_the_table_of_tensions(who, keys):
    for key in keys:
        table = tension_table(key, reader=who)
        assert table.chord == explore(key, reader=who).dominant
        assert table.chord.pretty in table.caption
        for cells in table.cells:
            assert not any(map(TRIPLE.search, cells)), cells
            assert not any(map(DOUBLE.search, cells[1:-1])), cells


@cache
def written_line(key: Key, row: Colour) -> Line:
    """One line, which all readers see."""
    (line,) = write_lines(two_five_one(key, "short"), row, count=1, seed=3, wishes=Wishes())
    return line


@each_reader
@pytest.mark.parametrize("keys", some_and_all(TRIED[:3], KEYS))
def test_a_line_that_is_written_and_read(who, keys):
    for key, row in seen_by(who, keys, COLOURS if len(keys) > MANY else COLOURS[::7]):
        line = written_line(key, row)
        for one in (line, line.readable):
            view = line_view(one, row, reader=who)
            sounds_back(view.staff, [note.pitch.midi for note in one.notes], who)
            names = [note.pitch.note for note in view.staff.notes]
            assert [read.note.pitch.note for read in view.reading.notes] == names
            assert not TRIPLE.search(view.staff.alt)
            assert bool(view.written) == who.transposes
            chords = {chord.pretty for _, chord in view.staff.chords}
            for cells in view.cells:
                assert cells[2].split("\u00a0of\u00a0")[-1] in chords
        assert signs(names) <= 1
        one_name_in_a_bar(line_view(line.readable, row).staff)


TUNE = """
title: The Ladder Under the Window

| Cmaj7 | Bm7b5 E7 | Am7 | Gm7 C7 |
| Fmaj7 | Fm7 Bb7  | Em7 Eb7 | Dm7 G7 |
| C6    | Ab7 | Dm7b5 G7 | Cm6 |
"""


MAJOR_KEYS = some_and_all(*([k for k in keys if not k.is_minor] for keys in (TRIED, KEYS)))


@each_reader
@pytest.mark.parametrize("keys", MAJOR_KEYS)
def test_a_tune(who, keys):
    for (key,) in seen_by(who, keys, share=2):
        chart = Chart.parse(TUNE).transposed(key)
        state = TuneDraft().typed(str(chart)).proposed("second", 4)
        view = tune_view(state, reader=who)
        page = chart.written_for(who)
        assert view.page == page
        concert = tune_view(state)
        assert [mark.bars for mark in view.grid.marks] == [m.bars for m in concert.grid.marks]
        texts = [*view.plan, view.grid.alt, *(text for text, _ in view.options)]
        for number in range(1, len(view.options) + 1):
            found = cadence_view(state, view, number)
            texts.append(found.sentence)
            if found.staff is not None:
                texts += [found.staff.alt, found.keyboard.alt]
                sounds_back(found.staff, [n.pitch.midi for n in found.line.notes], who)
                in_page = {
                    placed.chord for placed in view.treatment.over(page).applied(page).played
                }
                assert {chord for _, chord in found.staff.chords} <= in_page
        texts += [row.words for row in job_rows(chart, who)]
        assert not any(map(TRIPLE.search, texts))
        letters = {chord.root for chord in (placed.chord for placed in page.played)}
        assert signs(list(letters)) <= 1


SEEDS = 4


@cache
def written_chorus(key: Key, seed: int) -> Chorus:
    """One chorus over the tune, which all readers see."""
    chart = Chart.parse(TUNE).transposed(key)
    treatment = Treatment.proposed(chart, level="second", variety=4)
    return write_chorus(chart, treatment, seed=seed)


@each_reader
@pytest.mark.parametrize("keys", MAJOR_KEYS)
def test_a_chorus_is_read_at_sight(who, keys):
    """No double accidental, and no pitch by two names in a bar.

    Every reader meets every key, and each key all seeds, one reader after the other.
    """
    for number, key in enumerate(keys, READERS.index(who)):
        chorus = written_chorus(key, number % SEEDS)
        staff = chorus_staff(chorus, reader=who)
        sounds_back(staff, [note.pitch.midi for note in chorus.line.notes], who)
        assert signs([note.pitch.note for note in staff.notes]) <= 1
        one_name_in_a_bar(staff)
        letters_agree(staff, by_chord=False)
