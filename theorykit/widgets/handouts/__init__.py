"""The desk for handouts."""

from theorykit.widgets.handouts.handing_out import HandoutDesk, handout_desk
from theorykit.widgets.handouts.handout_opening import handout_title
from theorykit.widgets.handouts.sources import line_block

__all__ = ["HandoutDesk", "handout_desk", "handout_title", "line_block"]
