"""Why D flat 7 may stand in for G7: words, a picture of the clock, and how it sounds."""

from theorykit import hear, save, see, substitutes

for found in substitutes("G7", "C"):
    print(f"{found:<40}{found.total:>3} half steps")

tritone = substitutes("G7", "C")[0]
print(tritone.words[0])
print(see(tritone).words.split(".")[0])
print(hear(tritone))
print(save(tritone, "clock.svg"))
