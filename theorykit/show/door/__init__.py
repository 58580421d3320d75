"""Door: see, hear and save anything, and take it to other libraries.

Nothing is brought in before it is needed, so that the names can be had where nothing is installed.
"""

from theorykit.show.door.verbs import (
    bundle,
    from_music21,
    hear,
    save,
    see,
    take_down,
    to_mido,
    to_music21,
)

__all__ = ["bundle", "from_music21", "hear", "save", "see", "take_down", "to_mido", "to_music21"]
