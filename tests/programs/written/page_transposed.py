"""A chart as the alto player reads it, printed and saved as a picture and a score."""

from theorykit import Chart, save, written_for

concert = Chart.of("Bb", "Cm7", "F7", "Bbmaj7", "Bb6", title="Two Umbrellas Left")
page = written_for(concert, "alto saxophone")
print(page)
print([str(bar) for bar in page])
print(save(concert, "alto.pdf", written_for="alto saxophone"))
print(save(concert, "alto.musicxml", written_for="alto saxophone"))
