"""Progressions and tunes."""
