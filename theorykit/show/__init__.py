"""Drawing, sound and files: one third-party library a file, no theory."""
