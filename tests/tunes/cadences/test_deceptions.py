"""What stands in the place of the I tells whether the I would have been major or minor."""

from together import together

from theorykit.notes.key import KEYS
from theorykit.tunes.cadences import cadences, dominants
from theorykit.tunes.charts import Chart

MAJOR = [key for key in KEYS if key.mode == "major"]


# The iii and the vi stand for a major I, and a plain ii is that of major. What the same V leads to
# later, here a minor seventh chord on its I that is the ii of the next key, says nothing of the
# first (common practice).
@together("key", MAJOR)
@together("instead", ["Dm7 | G7b9", "Dm7 G7 | Cm7 F7", "Gm7 | Ebm7 | Cm7 | F7", "Gbmaj7 | Cm7 F7"])
def test_a_deception_in_major_stands_for_a_major_i(key, instead):
    tune = f"key: Bb\n| Bb6 | Cm7 | F7 | {instead} | Bbm7 Eb7 | Cm7b5 F7b9 | Bb6 | % |"
    chart = Chart.parse(tune).transposed(key)
    found = cadences(chart)[0]
    assert (found.key, found.mode, found.bars, found.deceptive) == (key, "major", (2, 3), True)
    assert "in place of the I:" in found.why
    (v,) = (one for one in dominants(chart) if one.bar == 3)
    assert (v.mode, v.key) == ("major", key)


def test_in_a_minor_tune_the_same_chords_stand_for_its_i():
    chart = Chart.parse("key: Bb minor\n| Bbm6 | Cm7 | F7 | Dm7 G7 | Cm7b5 F7 | Bbm6 | % |")
    assert str(cadences(chart)[0].key) == "Bb minor"


@together("key", MAJOR)
def test_another_home_key_changes_nothing(key):
    tune = "key: Eb\n| Eb6 | % | Cm7 | F7 | Dm7 | Cm7 F7 | Bbm7 | Eb6 | % |"
    chart = Chart.parse(tune).transposed(key)
    found = cadences(chart)[0]
    assert (found.mode, found.deceptive) == ("major", True)
    assert found.key.tonic.semitone == (key.tonic.semitone + 7) % 12
