"""What the page of substitutes shows agrees with the facts, in every key and for every chord."""

from __future__ import annotations

import pytest
from sweeps import SWEPT_KEYS, keys

from theorykit.errors import TheoryError
from theorykit.harmony.substitution import NAMES
from theorykit.harmony.tensions import degrees_over, role_over
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.notes.reader import READERS
from theorykit.tunes.progression import cadence_chords
from theorykit.views.substitutes_view import parallel_key, substitution


@pytest.mark.parametrize("key", keys(), ids=str)
def test_under_each_note_stand_its_degrees_over_both_chords(key):
    _, v, one = cadence_chords(key)
    for name in NAMES:
        view = substitution(key, name)
        line = view.heard.own_bass.line
        for note, written in zip(line.notes, view.staff.notes, strict=True):
            placed = line.progression.chord_at(note.start)
            place = line.progression.chords.index(placed)
            stands_in = view.heard.first <= place < view.heard.end and placed.chord != v
            over = (placed.chord, v) if stands_in else (placed.chord,)
            wanted = tuple(degrees_over(chord, [note.pitch.note])[0].pretty for chord in over)
            assert written.labels == wanted
            if stands_in:  # marked by what it is over V
                over_v = degrees_over(v, [note.pitch.note])[0]
                assert (written.mark or "chord") == role_over(v, over_v, one)
            else:
                assert written.mark in ("", "landing")
        assert view.staff.notes[-1].mark == "landing"


@pytest.mark.parametrize("key", keys(), ids=str)
def test_the_pictures_show_the_chord_that_was_asked_for(key):
    v = cadence_chords(key)[1]
    for name in NAMES:
        for place in range(len(substitution(key, name).options)):
            view = substitution(key, name, place=place)
            reading = view.found.readings[place]
            assert view.place == place
            assert view.options[place].startswith(f"{reading.chord.pretty} going to ")
            assert view.motion.titles == (reading.chord.pretty, reading.following.pretty)
            assert view.clock.rings[-1].name == reading.chord.pretty
            assert (view.clock.axis is not None) == reading.keeps_tritone
            ringed = [lit for lit in view.keyboard.lit if lit.ringed]
            assert [lit.name for lit in ringed] == [n.pretty for n in reading.chord.notes]
            assert [lit.degree for lit in ringed] == [d.pretty for d in reading.over]
            rubbing = {clash.note.pretty for clash in reading.clashes}
            assert {lit.name for lit in ringed if lit.role == "outside"} == rubbing
            plain = [lit for lit in view.keyboard.lit if not lit.ringed]
            assert [lit.name for lit in plain] == [n.pretty for n in v.notes]


def test_without_a_wish_the_pictures_show_the_last_new_dominant_or_else_the_last_new_chord():
    wanted = {
        "tritone substitute": "Db7",
        "related ii": "Dm7",
        "related ii of the tritone substitute": "Abm7",
        "ii-V of the tritone substitute": "Db7",
        "major seventh chord a half step below I": "Bmaj7",
        "backdoor dominant": "Bb7",
        "dominant a minor third above": "Bb7",
        "dominant a minor third below": "E7",
        "leading-note diminished chord": "Bdim7",
        "chain of dominants": "D7",
        "suspended version": "G9sus4",
        "side step": "Ab7",
    }
    assert {name: str(substitution("C", name).reading.chord) for name in NAMES} == wanted


# Degrees written by hand: over the substitute, then over V.
WRITTEN = {
    ("C major", "tritone substitute"): "3/♭7 1/♯11 ♭7/3 5/♭9 3/♭7",
    ("Db major", "tritone substitute"): "3/♭7 1/♯11 ♭7/3 5/♭9 3/♭7",
    ("C major", "major seventh chord a half step below I"): "3/♭13 7/♯9 1/3 3/♭13 5/7",
    ("Bb minor", "leading-note diminished chord"): "♭3/5 ♭5/♭7 ♭3/5 1/3 ♭♭7/♭9",
}


@pytest.mark.parametrize(("place", "degrees"), WRITTEN.items())
def test_degrees_of_both_rows_written_by_hand(place, degrees):
    notes = substitution(*place).staff.notes
    shown = ["/".join(note.labels) for note in notes if len(note.labels) > 1]
    assert " ".join(shown) == degrees


def test_the_sentence_that_stands_first_is_not_said_again():
    for name in NAMES:
        view = substitution("Eb", name)
        said = [text for _, texts in view.sections for text in texts]
        assert (view.sentence, *said) == view.found.words
        assert all(texts for _, texts in view.sections)


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_the_players_are_told_apart_by_name_and_chords(keys):
    for key in keys:
        for name in NAMES:
            players = substitution(key, name).names_of_takes
            assert len(set(players)) == 3
            assert players[0].startswith("original: ")
    same = substitution("C", "suspended version").names_of_takes[2]
    assert same == "substitute over its own bass, which is the same: Dm7 | G9sus4 | Cmaj7"


def test_another_reader_changes_the_page_and_not_the_degrees():
    first, *others = [substitution("Db", NAMES[0], reader=r).staff for r in READERS]
    for other in others:
        assert [n.labels for n in other.notes] == [n.labels for n in first.notes]
        distance = {
            a.pitch.midi - b.pitch.midi for a, b in zip(other.notes, first.notes, strict=True)
        }
        assert distance == {other.transposition}


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_the_staff_prints_the_chords_that_are_explained(keys):
    for key in keys:
        for name in NAMES:
            view = substitution(key, name)
            placed = view.heard.own_bass.chords.chords
            assert [chord for _, chord in view.staff.chords] == [one.chord for one in placed]


def test_the_leading_note_of_a_minor_key_stays_a_root_for_other_readers_too():
    readers = {reader.name: reader for reader in READERS}
    for key, reader, wanted in (
        ("F# minor", "concert", "E#dim7"),
        ("E minor", "B flat", "E#dim7"),
        ("A minor", "E flat", "E#dim7"),
        ("D# minor", "concert", "Ddim7"),  # its leading note has two sharps, which no root has
    ):
        staff = substitution(key, "leading-note diminished chord", reader=readers[reader]).staff
        assert str(staff.chords[1][1]) == wanted


def test_parallel_keys_share_their_tonic_and_prefer_its_name():
    for key in KEYS:
        for mode in MODES:
            found = parallel_key(key, mode)
            assert found.mode == mode
            assert found.tonic.semitone == key.tonic.semitone
            if any(k.mode == mode and k.tonic == key.tonic for k in KEYS):
                assert found.tonic == key.tonic
    assert str(parallel_key("Db", "minor")) == "C# minor"
    assert str(parallel_key(Key.parse("A# minor"), "major")) == "Bb major"


def test_what_there_is_not_is_refused():
    with pytest.raises(TheoryError, match="no such substitute"):
        substitution("C", "side door")
    with pytest.raises(TheoryError, match="no chord 4"):
        substitution("C", "chain of dominants", place=4)
    with pytest.raises(TheoryError, match="no such mode"):
        parallel_key("C", "dorian")


def test_words_and_picture_call_the_next_chord_the_same():
    """A chord whose root is no fifth above I goes to I all the same."""
    view = substitution("Bb minor", "dominant a minor third below")
    assert "the ♭3rd of i" in view.motion.alt
    assert "of B♭m6" not in view.motion.alt
    told = " ".join(text for _, texts in view.sections for text in texts)
    assert "F♯ falls a half step to F, the 5th of i" in told


def test_a_note_that_stays_waits_and_does_not_pass():
    view = substitution("Gb", "suspended version")
    told = " ".join(text for _, texts in view.sections for text in texts)
    assert "It may wait as G♭, the 4th of D♭9sus4: it stays as the root of I." in told
