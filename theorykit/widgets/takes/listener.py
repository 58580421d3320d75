"""The listener: a recording is taken down beside the page, which goes on answering."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from theorykit.errors import TheoryError
from theorykit.harmony.wording import sentence
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import button, guarded, in_notebook, panel, picture, put, safely
from theorykit.widgets.faults import Page
from theorykit.widgets.side_work import SideWork
from theorykit.widgets.takes.recordings import Recording, Round

PATIENCE = "A minute of sound takes a few seconds, and longer on a busy machine."
AGAIN = "the take that is held, with the tempo, the instrument and the chords of the moment"
LONGEST = 240.0  # seconds that it may take


def _refuse(wrong: Exception) -> None:
    """Refuse, as a sentence."""
    raise TheoryError(sentence(str(wrong)))


class Listener(Page):
    """What is heard, in words; ``find`` listens, and ``take`` is given what it found.

    ``busy`` is told when it begins and ends. ``lost`` is called where no note was heard, and
    returns what is to be said besides; ``again`` is called at the press of a button. Without a page
    to answer it is waited for.
    """

    def __init__(
        self,
        find: Callable[[Recording], tuple[Round, ...]],
        take: Callable[[tuple[Round, ...]], None],
        busy: Callable[[bool], None],
        lost: Callable[[], str] = str,
        again: Callable[[], None] = lambda: None,
    ) -> None:
        self._find, self._take, self._busy, self._lost = find, take, busy, lost
        self._work: SideWork[tuple[Round, ...]] | None = None
        self._turn, self._holds, self._hear_again = 0, False, again
        self.stop = button("stop listening", self._stop, "leave everything as it is")
        self.stop.layout.display = "none"
        self.again = button("listen again", self._again, AGAIN)
        self.again.layout.display = "none"
        self.told, self.problem = picture(), picture()
        super().__init__([self.problem, panel(self.told, self.stop, self.again)])

    def hear(self, recording: Recording) -> None:
        """Begin to listen to a recording; one that is being listened to is left."""
        self._stop(None)
        put(self.problem, "")
        put(self.told, sentences_html("", f"Listening to {recording.words}. {PATIENCE}"))
        self.stop.layout.display, self.again.layout.display = "", "none"
        self._holds = True
        self._busy(True)
        self._turn += 1
        mine = partial(self._in_turn, self._turn)
        self._work = SideWork(
            partial(self._find, recording),
            mine(self._found),
            mine(self._failed),
            mine(lambda why: put(self.told, sentences_html("", why))),
            mine(self._ended),
            LONGEST,
        )
        self._work.begin()
        if not in_notebook():
            self._work.wait()

    def _in_turn(self, turn: int, act: Callable[..., None]) -> Callable[..., None]:
        """Return an act that is left out once another recording is listened to."""
        return lambda *given: act(*given) if turn == self._turn else None

    def forget(self) -> None:
        """Leave what is being listened to, and let its sound go."""
        self._holds = False
        self._stop(None)
        self._work = None
        self.again.layout.display = "none"

    def _found(self, rounds: tuple[Round, ...]) -> None:
        """Hand on what was found, in turn with the answers to controls."""
        put(self.told, "")
        guarded(self.problem, lambda: self._take(rounds))

    def _failed(self, wrong: Exception) -> None:
        """Say why nothing was found, as it is said of every answer."""

        def again() -> None:
            raise wrong

        put(self.told, "")
        is_refusal = isinstance(wrong, TheoryError)
        safely(self.problem, partial(_refuse, wrong) if is_refusal else again)(self.stop)
        if is_refusal:
            told = self._lost()
            put(self.told, sentences_html("", told) if told else "")

    def _stop(self, _: object) -> None:
        """Leave what is being listened to."""
        if self._work is not None:
            self._work.stop()

    def _ended(self) -> None:
        """Take the button away again."""
        self.stop.layout.display = "none"
        self.again.layout.display = "" if self._holds else "none"
        self._busy(False)

    def _again(self, _: object) -> None:
        """Hear the take that is held once more; no lock of the page is held, as none was before."""
        try:
            self._hear_again()
        except TheoryError as wrong:
            guarded(self.problem, partial(_refuse, wrong))

    def wait(self) -> None:
        """Wait until nothing is being listened to."""
        if self._work is not None:
            self._work.wait()
