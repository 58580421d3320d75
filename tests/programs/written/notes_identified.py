"""Notes that somebody played over a chord, named."""

from theorykit import TheoryError, identify

for notes, chord in (("E G# B", "G7"), ("Ab", "Db7"), ("F#", "Cmaj7")):
    found = identify(notes, chord)
    print(notes, "over", chord, "are", [str(degree) for degree in found.degrees])
    print("  ", found.words_ascii.splitlines()[0])

try:
    identify("H", "G7")
except TheoryError as problem:
    print(problem)
