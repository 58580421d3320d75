"""Lines, voicings and what a rhythm section plays under them."""
