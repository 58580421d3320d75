"""The explorer: choose a key and a colour for V, see it, hear it, read why it works."""

from __future__ import annotations

from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.harmony.colours import colour as named_colour
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.notes.key import KEYS, Key
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html, table_html
from theorykit.show.own_reader import fingerboard_for
from theorykit.show.pictures import picture_svg
from theorykit.show.sound import CAUTION
from theorykit.tunes.progression import FORMS
from theorykit.views.explorer_view import SPELLINGS, ExplorerView, explore
from theorykit.views.fingerboard import FingerboardView
from theorykit.views.sounding import Take
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    colours,
    discard,
    guarded,
    keep_keys,
    offer,
    panel,
    picture,
    put,
    readers,
    slider,
    unwatched,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.player import Player, tempo_slider
from theorykit.widgets.works import Hands, KeptWork, place_of, put_back, told_by

__all__ = ["Explorer", "explorer"]

STAFF_SCALE, KEYBOARD_SCALE, COUNTS_SCALE = 50, 0.95, 0.9
FINGERBOARD_SCALE = 0.85
# Pixels kept free, so that nothing jumps: for a staff, a keyboard, five lines of words.
STAFF_ROOM, KEYBOARD_ROOM, WORDS_ROOM = 148, 194, 108
SIDE = {"flex": "1 1 240px", "min_width": "240px"}
SEEN = {"max_width": "100%"}
NARROW, NARROW_LABEL = "268px", "96px"
WORDS = ("key", "form", "colour", "spelling")  # what is chosen besides the shortcut
ASKED = 5  # minutes of a drill on one colour
FORM_WORDS = {
    "long": "long: a bar each",
    "short": "short: two beats each",
    "split": "split: a short ii-V inside the V bar",
}


class Explorer(Page):
    """The explorer as a widget; its controls are attributes.

    >>> box = Explorer()
    >>> box.colour.value = "altered"
    >>> box.view.shortcut.shape
    'Ab melodic minor'
    """

    def __init__(
        self,
        key: str = "C major",
        colour: str = "b9 13",
        form: str = "long",
        *,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        key, colour = str(Key.parse(key)), str(named_colour(colour))
        self.key = choice("key", [(k.pretty, str(k)) for k in KEYS], key)
        self.form = choice("form", [(FORM_WORDS[name], name) for name in FORMS], form)
        self.colour = colours(colour)
        self.shortcut = choice("think of it as", [("", 0)], 0)
        self.spelling = choice("spelling", SPELLINGS, SPELLINGS[0])
        self.reader = readers()
        self.tempo = tempo_slider(100)
        self.swing = slider("swing", 2.0, 1.0, 3.0, 0.1, "long eighth to short eighth")
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.problem, self.sentence = picture(), picture(WORDS_ROOM)
        self.staff, self.keyboard = picture(STAFF_ROOM), picture(KEYBOARD_ROOM)
        self.fingerboard = picture()
        self.table, self.counts = picture(), picture()
        self.player = Player(travel=self._travel)
        self.player.follow(self.tempo)
        self.ask = button("ask me about this", self._ask, "a drill on this colour in this key")
        self.asking = ipw.VBox()
        self._add_menus()
        self.view: ExplorerView = explore(key, form, colour)
        place = place_of("explorer", draft, {"key": key, "colour": colour, "form": form})
        setting = {"written for": self.reader, "tempo": self.tempo, "swing": self.swing}
        setting |= {"melody": self.melody, "player": self.player.standing}
        hands = Hands(lambda: told_by(self._chosen), self._bring, setting=setting)
        self.mine = KeptWork("explorer", place, hands, path)
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        self.mine.begin()

    @property
    def _chosen(self) -> dict[str, ipw.Dropdown]:
        """What is chosen, by name."""
        chosen = {"key": self.key, "form": self.form, "colour": self.colour}
        return {**chosen, "shortcut": self.shortcut, "spelling": self.spelling}

    def _bring(self, kept: dict[str, Any]) -> None:
        """Show what was chosen once."""
        with (
            unwatched(self._new_sound, self.key, self.form, self.colour),
            unwatched(self._answer_change, self.spelling),
        ):
            put_back({name: self._chosen[name] for name in WORDS}, kept)
        place = kept.get("shortcut")
        number = place if isinstance(place, int) else 0
        offer(self.shortcut, [("", number)], number, self._answer_change)  # until all are offered
        self._answer()

    def _add_menus(self) -> None:
        """Add the menus that save the pictures."""

        def title() -> str:
            return f"{self.view.dominant} {self.view.colour.name}"

        keyboard, counts = lambda: self.view.keyboard, lambda: self.view.counts
        self.staff_saving = Saving(
            "staff", self.staff, lambda: f"{title()} {self.reader.value.name}"
        )
        self.keyboard_saving = Saving("keyboard", self.keyboard, title, keyboard)
        self.fingerboard_saving = Saving(
            "fingerboard", self.fingerboard, title, self._on_fingerboard
        )
        self.counts_saving = Saving("counts", self.counts, title, counts)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one reads them."""
        chosen = (self.key, self.colour, self.form, self.shortcut, self.spelling, self.reader)
        controls = (*chosen, self.swing, self.melody, self.tempo)
        for control in controls:  # three in a row beside the browser of files
            control.layout.width, control.style.description_width = NARROW, NARROW_LABEL
        above = panel(*controls)
        caution = picture()
        caution.value = sentences_html("", CAUTION)
        told = ipw.VBox([caution, self.table], layout=SIDE)
        saved = panel(self.staff_saving, self.keyboard_saving)  # below, so that all fits one view
        seen = [self.staff, self.keyboard, saved]
        return [
            above,
            self.mine,
            self.problem,
            self.sentence,
            self.player,
            panel(ipw.VBox(seen, layout=SEEN), told),
            self.fingerboard,
            self.fingerboard_saving,
            self.counts,
            self.counts_saving,
            panel(self.ask),
            self.asking,
        ]

    def _watch(self) -> None:
        """Answer every change of a control."""
        for control in (self.key, self.colour, self.form):
            control.observe(self._new_sound, "value")
        for control in (self.shortcut, self.spelling, self.reader):
            control.observe(self._answer_change, "value")
        for control in (self.swing, self.melody):
            control.observe(self._play_change, "value")

    @answer
    def _new_sound(self, _: object) -> None:
        """Another key or colour: the list of shortcuts starts anew, at its best."""
        self.mine.later()
        offer(self.shortcut, self.shortcut.options, 0, self._answer_change)
        self._answer()

    @answer
    def _answer_change(self, _: object) -> None:
        """Another shortcut, spelling or reader."""
        self.mine.later()
        self._answer()

    @answer
    def _play_change(self, _: object) -> None:
        """Another swing or melody sound: only the player changes."""
        guarded(self.problem, self._play)

    def _answer(self) -> None:
        """Show everything for the present choice; the page asks for sounds while it is drawn."""
        guarded(self.problem, self._decide, self._play, self._draw)

    def _decide(self) -> None:
        """Decide what is shown and heard."""
        self.view = explore(
            self.key.value,
            self.form.value,
            self.colour.value,
            choice=self.shortcut.value or 0,
            spelling=self.spelling.value,
            reader=self.reader.value,
        )
        self._offer(self.view)

    def _draw(self) -> None:
        """Show it."""
        view = self.view
        said = (view.names, view.summary, view.advice, view.written)
        put(self.sentence, sentences_html(view.sentence, *said))
        put(self.staff, staff_svg(view.staff, scale=STAFF_SCALE))
        put(self.keyboard, picture_svg(view.keyboard, scale=KEYBOARD_SCALE))
        self._put_fingerboard()
        put(self.table, table_html(view.caption, view.heads, view.cells))
        put(self.counts, picture_svg(view.counts, scale=COUNTS_SCALE))

    def _on_fingerboard(self) -> FingerboardView | None:
        """Return the shape on the fingerboard of the reader, who may have none."""
        return fingerboard_for(self.reader.value, self.view.keyboard)

    def _put_fingerboard(self) -> None:
        """Show the fingerboard and its menu to readers who have one."""
        board = self._on_fingerboard()
        drawn = "" if board is None else picture_svg(board, scale=FINGERBOARD_SCALE)
        put(self.fingerboard, drawn)
        self.fingerboard_saving.layout.display = "" if drawn else "none"

    @answer
    def _ask(self, _: object) -> None:
        """Ask about the colour and the key of the moment, below; what was asked before goes."""
        guarded(self.problem, self._open_drill)

    def _open_drill(self) -> None:
        """Open a drill on the page's key, with the focus on its first answer."""
        from theorykit.widgets.drills import drill  # when it is wanted: a start does not wait

        reader = self.reader.value
        key = str(reader.written_key(Key.parse(self.key.value)))
        made = drill(self.colour.value, keys=key, minutes=ASKED, written_for=reader.name)
        before = self.asking.children
        self.asking.children = (made,)
        for one in before:
            discard(one)
        made.page.focus_answer()

    def _offer(self, view: ExplorerView) -> None:
        """Fill the list of shortcuts, if it is another one."""
        offered = tuple((option.pretty, place) for place, option in enumerate(view.options))
        offer(self.shortcut, offered, self.shortcut.value or 0, self._answer_change)

    def _play(self) -> None:
        """Hand the player what is heard."""
        takes = self.view.takes(self.tempo.value, self.swing.value)
        self.player.show(takes, self.melody.value)

    def _travel(self, place: int, step: str) -> tuple[Take, ...]:
        """Return what is heard in every key."""
        return self.view.travels(place, step, self.tempo.value, self.swing.value)


def explorer(
    key: str = "C major",
    colour: str = "b9 13",
    form: str = "long",
    *,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> Explorer:
    """Return the explorer, opened on a key, a colour and a form.

    What is chosen is there again when the cell is run again: ``draft`` names the explorer, so that
    two with the same choice each have their own, and ``path`` is the file, by default the reader's.

    >>> explorer("E♭", "lydian dominant").view.sentence
    'Over B♭7 think F melodic minor scale on the 5th of V, which is the 2nd of I.'
    """
    return Explorer(key, colour, form, draft=draft, path=path)
