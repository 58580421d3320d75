"""The desk for handouts."""

from theorykit.widgets.handouts.handing_out import HandoutDesk, handout_desk

__all__ = ["HandoutDesk", "handout_desk"]
