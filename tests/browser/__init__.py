"""A package, so that what its tests share is put away when the last of them has run."""
