"""Which keys a sheet gives: those of its cadences, landed or not (the rule that the term says)."""

from datetime import date

from together import together

from theorykit.handout.handout import Handout
from theorykit.handout.term_sheet import sheet_of, term_of
from theorykit.notes.key import KEYS, Key

TUNE = "| Bb6 | Dm7 G7 | Cm7 F7 | Bbm7 Eb7 | F7 | Cm7b5 F7b9 | Bb6 | Em7b5 A7 | Dm7b5 G7 | % |"
# Read by hand: C minor, B flat minor and A flat are pointed to and never come; D minor neither.
GIVEN = {"Bb major", "C minor", "Bb minor", "Ab major", "D minor"}


def sheet(key):
    chart = f"key: {key}\\n{TUNE}"
    text = f'title = "A"\ndate = 2026-11-26\n[[block]]\nkind = "tune"\nchart = "{chart}"\n'
    return text


def test_a_cadence_gives_its_key_whether_it_lands_or_not():
    found = sheet_of(Handout.parse(sheet("Bb")), date(2026, 11, 26))
    assert set(found.keys) == GIVEN


@together("key", KEYS)
def test_what_is_not_given_yet_is_the_rest(key):
    term = term_of([(sheet("Bb"), date(2026, 11, 26))])
    (_, keys, _) = term.not_yet([], [key], [])
    heard = {(k.tonic.semitone, k.mode) for k in map(Key.parse, GIVEN)}
    assert ("none" in keys) == ((key.tonic.semitone, key.mode) in heard)
