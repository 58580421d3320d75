"""Harmony over a dominant: colours, shapes, shortcuts, resolution."""
