"""A list wherever the library keeps a tuple: for type checkers, and run as it stands."""

from fractions import Fraction

from theorykit import (
    Chart,
    Chord,
    Colour,
    Degree,
    LeadSheet,
    Line,
    Progression,
    Treatment,
    degrees_over,
    disagreements,
    identify,
    one_idea,
    question,
    resolve,
    shortcuts,
    two_five_one,
)

over = two_five_one("Db", "long")
bars = list(over.bars)
line = Line.parse("quarter Eb5 Db5 8th Cb5 Ab4 Gb4 Eb4 | whole D4 | whole Db4", over)
chart = Chart.parse("| Ebm7 | Ab7 | Dbmaj7 | % |")
section = chart.sections[0]
degrees = [Degree.parse("b9"), Degree.parse("13")]

print(Progression(over.key, bars) == over)
print(Line(over, list(line.notes)) == line)
print(Chart(list(chart.sections), chart.key) == chart)
print(type(section)(section.name, list(section.bars)) == section)
print(type(bars[0])([Chord.parse("Ebm7")], [Fraction(4)]) == bars[0])
print(Treatment(list(Treatment.plain(chart).choices)) == Treatment.plain(chart))
print(Colour("own", degrees, ["major"], "by hand", passing=[], aliases=["mine"]).aliases)
print(LeadSheet(chart, list(line.notes[:2]), [["la"], ["lo"]]).words)
print(shortcuts("Ab7", degrees)[0].shape, shortcuts("Ab7", ["b9", "13"])[0].shape)
print(resolve("Ab7", degrees, "Db") == resolve("Ab7", ["b9", "13"], "Db"))
print(identify(["F", "A", "C"], "Ab7").degrees == tuple(degrees_over("Ab7", ["F", "A", "C"])))
print(disagreements(degrees, "Ab7"))
print([str(one) for one in one_idea("Db", ["b9", "b9 13"]).colours])
print(question("degree of a note", keys=["Db", "Gb"]).kind)
