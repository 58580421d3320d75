"""Lines: values, text, reading, writing, the band, choruses."""
