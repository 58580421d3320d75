"""The player of a page, as a module for the browser, and pages that play without a kernel."""

from theorykit.show.player.page_band import PageBand, player_policy
from theorykit.show.player.player_module import cell_script, player_script, player_style

__all__ = ["PageBand", "cell_script", "player_policy", "player_script", "player_style"]
