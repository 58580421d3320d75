"""Notes, degrees, spelling, chords, scales, keys: what everything else is made of."""
