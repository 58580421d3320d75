"""The player of a page: a control that plays takes of the band by itself."""

from theorykit.widgets.player.cell_player import cell_bundle
from theorykit.widgets.player.page_player import PICTURES, Player, tempo_slider

__all__ = ["PICTURES", "Player", "cell_bundle", "tempo_slider"]
