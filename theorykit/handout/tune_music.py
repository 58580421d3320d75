"""The lines through the tune of a block, in concert pitch."""

from __future__ import annotations

from theorykit.handout.tune_block import TuneBlock
from theorykit.lines.chorus import Chorus, write_chorus
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.text import Line

__all__ = ["chorus_of", "guides_of"]


def chorus_of(block: TuneBlock) -> Chorus:
    """Return the chorus that a block writes through its tune, in concert pitch."""
    tune, laid = block.music()
    return write_chorus(tune, laid, seed=block.seed)


def guides_of(block: TuneBlock) -> tuple[Line, ...]:
    """Return the guide-tone lines through the tune of a block, in concert pitch."""
    tune, laid = block.music()
    return guide_tone_lines(laid.applied(tune).progression, longest=4)
