"""The cadences of a tune, saved for a spreadsheet."""

from theorykit import Chart, cadences, save

tune = Chart.parse(
    """
    title: Wet Gloves by the Door
    key: F

    | Gm7 | C7 | Fmaj7 | Am7b5 D7 |
    | Gm7 | C7 | F6    | %        |
    """
)
for cadence in cadences(tune):
    print(cadence)
print(save(cadences(tune), "cadences.csv"))
