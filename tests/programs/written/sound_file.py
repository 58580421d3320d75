"""A chorus over a tune as a sound file to practise with, slower and without the line's swing."""

from theorykit import Chart, Treatment, save, write_chorus

tune = Chart.of("Ab", "Bbm7", "Eb7", "Abmaj7", "%", title="Nine Chairs in the Hall")
chorus = write_chorus(tune, Treatment.proposed(tune), choruses=2, seed=4)
print(f"{len(chorus.line)} notes over {chorus.bars} bars")
print(save(chorus, "chorus.ogg", tempo=90, swing=1.5, melody="clarinet"))
print(save("Bbm7 | Eb7 | Abmaj7", "band.mp3", tempo=90))
