"""Ways on: a line that was played in goes into the book, and to desks that are open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, Reader
from theorykit.views.line import LineDraft
from theorykit.widgets.handouts import HandoutDesk, line_block
from theorykit.widgets.lines import LineDesk
from theorykit.widgets.works import Sending

OTHER_OCTAVE = (
    "It may stand in another octave there, where a page is for all who read its key or clef."
)


@dataclass(frozen=True, slots=True)
class Sent:
    """A line with the name of its colour, who reads it, and its tempo in beats a minute."""

    line: Line
    colour: str
    reader: Reader
    tempo: float


class WaysOn(Sending):
    """Buttons for the book and for each desk; ``what`` returns what is sent, or refuses."""

    def __init__(
        self,
        keep: Callable[[], str],
        what: Callable[[], Sent],
        lines: LineDesk | None,
        handout: HandoutDesk | None,
    ) -> None:
        super().__init__()
        self._what = what
        self.to("keep it in the book", keep, "under a name of its own")
        if lines is not None:
            tip = "as a line of its own"
            self.to("put it on the desk for lines", partial(self._to_lines, lines), tip)
        if handout is not None:
            tip = "after the block chosen there"
            self.to("put it on the handout", partial(self._to_handout, handout), tip)

    def _to_lines(self, desk: LineDesk) -> str:
        """Put the line on the desk for lines, at its tempo."""
        sent = self._what()
        draft = LineDraft(sent.line.progression).taken(sent.line)
        desk.mine.take(draft.data, "This is what you played in, as a line of your own.")
        pages = [one for _, one in desk.reader.options]
        if sent.reader in pages:
            desk.reader.value = sent.reader
        desk.hearing.tempo.value = sent.tempo
        return f"It is on the desk for lines.{_other_octave(sent.reader, pages)}"

    def _to_handout(self, desk: HandoutDesk) -> str:
        """Put the line on the handout."""
        sent = self._what()
        place = desk.add(line_block(sent.line, sent.colour))
        desk.choose(place)
        told = f"It is block {place + 1} of the handout {desk.handout.title}."
        return f"{told}{_other_octave(sent.reader, READERS)}"


def _other_octave(reader: Reader, pages: Sequence[Reader]) -> str:
    """Say that the line may stand elsewhere where there is no such page as the reader's."""
    return "" if reader in pages else f" {OTHER_OCTAVE}"
