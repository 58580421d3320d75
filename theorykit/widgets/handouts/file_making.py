"""Making the files of a handout while the page goes on answering."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from itertools import product
from pathlib import Path
from threading import Event, Thread
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.class_week import class_files
from theorykit.handout.files import (
    FILES,
    Order,
    Work,
    left_out,
    summary_of,
    too_long,
    with_earlier,
)
from theorykit.handout.front import AUDIENCES, PAPERS, SIZES, Edition
from theorykit.handout.handout import Handout
from theorykit.notes.reader import READERS, Reader
from theorykit.show.html_text import problem_html, sentences_html
from theorykit.show.own_reader import own_reader
from theorykit.widgets.controls import (
    answer,
    button,
    guarded,
    panel,
    picture,
    put,
    tick,
    typed,
    watch,
)
from theorykit.widgets.faults import Page, fault_said, lasting
from theorykit.widgets.handouts.made_files import MadeFiles
from theorykit.widgets.own_files import ITS_OWN, OwnFiles

WIDE = "700px"
PLAIN = ("student", "A4", "normal", "pages", "text", "contents")
PARTS = {
    "readers": [one.name for one in READERS],
    "for": list(AUDIENCES),
    "paper": list(PAPERS),
    "print": list(SIZES),
    "files": list(FILES),
}
ALL, SOUND = "everyone", "mp3"
OWN_CHOICE = ("paper", "files")  # what is chosen for everyone in the room as well
FOR_ALL = "For every reader, students and teacher, in normal and in large print; and zips."
# Who looks for a page of their own and reads one of these.
ALSO = {"E flat": "baritone saxophone an octave lower", "bass clef": "double bass, bass guitar"}


def _players(one: Reader) -> str:
    """Say whose page a reader's is.

    >>> _players(READERS[2])
    'E flat: alto saxophone, baritone saxophone an octave lower.'
    """
    who, _, how = one.players.partition("; ")
    told = ", ".join(filter(None, (who, ALSO.get(one.name, ""), how)))
    return f"{one.name[:1].upper()}{one.name[1:]}: {told}."


PLAYERS = " ".join(map(_players, READERS))
FOR_CLASS = (
    "Students put both beside their chapters and open the notebook. Put what they hand back into "
    "one folder. Two lines in a cell of any notebook show it as a table: from theorykit.widgets "
    "import class_answers, and below it class_answers with the questions' file and that folder."
)
GONE = "Old recordings of blocks that are others now, made here and taken away:"
BEFORE = (
    "Zips and contents hold the files of this sheet that were made before as well, as they are."
)
FOLDER = "thursday"
UNNAMED = f"left empty, a folder {FOLDER} beside this page"
STOPPING = "Stopping after the page or recording in hand; on a busy machine that takes seconds."
GO_ON = "Press make to make all of them."


class Making(Page):
    """Boxes to tick, a folder and a button; ``what`` returns the handout of the moment.

    ``left_out`` returns a sentence about what is not in the handout yet, or nothing; ``news`` what
    is new in it since the sheet before; ``own`` knows the files that were made here, which are made
    anew without a question. Files are made in a thread of their own, which ``stop`` ends after the
    page or recording in hand; ``wait`` waits for it.
    """

    def __init__(
        self,
        what: Callable[[], Handout],
        left_out: Callable[[], str],
        news: Callable[[Handout], str],
        folder: str,
        own: OwnFiles,
    ) -> None:
        self._what, self._left_out, self._news, self._own = what, left_out, news, own
        plain = (own_reader().name, *PLAIN)
        self.parts = {
            part: {name: tick(name, name in plain) for name in names}
            for part, names in PARTS.items()
        }
        self.files = self.parts["files"]
        self.everyone = tick("everyone in the room", tip=FOR_ALL)
        self.folder = typed(
            "folder", folder, f"where the files go; left empty, {FOLDER}", example=UNNAMED
        )
        self.folder.layout.width, self.folder.layout.max_width = WIDE, "98%"
        self.weekly = tick(
            "a folder of its own for the week", True, "named by the handout's date and title"
        )
        self.overwrite = tick("replace other files of these names", tip=ITS_OWN)
        self.make = button("make", self._press, "make the files into the folder")
        self.ask = button(
            "questions for the class",
            self._ask,
            "a file of questions and a notebook that asks them",
        )
        self.stop = button("stop", self._stop, "stop after what is in hand; whole files stay")
        self.stop.disabled = True
        self.bar = ipw.IntProgress(description="files made", layout={"display": "none"})
        self.problem, self.told, self.players = picture(), picture(), picture()
        self.rows = {
            part: panel(ipw.Label(part), *boxes.values()) for part, boxes in self.parts.items()
        }
        self.links = MadeFiles()
        self._new = ""
        self._thread: Thread | None = None
        self._stopped = Event()
        super().__init__(self._laid_out())

    def _laid_out(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        readers, *rows = self.rows.values()
        put(self.players, sentences_html("", PLAYERS))
        pressed = panel(self.make, self.stop, self.overwrite, self.ask)
        end = [
            self.folder,
            panel(self.weekly),
            pressed,
            self.bar,
            self.problem,
            self.told,
            self.links,
        ]
        return [panel(self.everyone), readers, self.players, *rows, *end]

    def watch(self, answer: Callable[[object], None]) -> None:
        """Let an answer follow every choice of editions and files, and of the folder."""
        boxes = [box for part in self.parts.values() for box in part.values()]
        watch([*boxes, self.everyone, self.folder, self.weekly], answer)

    # What is ticked.

    def arrange(self) -> None:
        """For everyone all readers' editions are made; what was ticked of them comes back later."""
        for part, row in self.rows.items():
            if part not in OWN_CHOICE:
                row.layout.display = "none" if self.everyone.value else None
        put(self.players, sentences_html("", *[FOR_ALL] * self.everyone.value, PLAYERS))
        packs = self.files["zip"]
        packs.value, packs.disabled = packs.value or self.everyone.value, self.everyone.value

    @property
    def ticked(self) -> dict[str, list[str]]:
        """What is ticked, to be kept."""
        found = {
            part: [name for name, box in boxes.items() if box.value]
            for part, boxes in self.parts.items()
        }
        return found | {ALL: [ALL] if self.everyone.value else []}

    @property
    def controls(self) -> dict[str, Any]:
        """What is ticked and typed, by name, to be kept."""
        boxes = {
            f"{part} {name}": box for part, row in self.parts.items() for name, box in row.items()
        }
        return {**boxes, ALL: self.everyone, "folder": self.folder, "weekly": self.weekly}

    @property
    def editions(self) -> tuple[Edition, ...]:
        """The editions that are ticked."""
        chosen = {part: names for part, names in self.ticked.items() if part not in ("files", ALL)}
        if self.everyone.value:
            chosen = {part: list(PARTS[part]) for part in chosen} | {"paper": chosen["paper"]}
        for part, names in chosen.items():
            if not names:
                raise TheoryError(f"nothing ticked under {part!r} (want at least one edition)")
        return tuple(Edition(*one) for one in product(*chosen.values()))

    # The work.

    @answer
    def _press(self, _: object) -> None:
        """Begin to make the files; what was said before is no longer true."""
        if self._thread is not None and self._thread.is_alive():
            return
        put(self.told, "")
        guarded(self.problem, self._begin)

    def _begin(self) -> None:
        """Look for what is amiss, then let the work begin."""
        work = self._work()
        self._new = self._news(self._what())
        self.links.show(())
        self._stopped.clear()
        self.make.disabled, self.stop.disabled = True, False
        self.bar.value, self.bar.max = 0, len(work.files)
        self.bar.layout.display = ""
        self._thread = Thread(target=self._run, args=(work,), daemon=True)
        self._thread.start()

    @answer
    def _ask(self, _: object) -> None:
        """Write the questions of the week into the folder, and the notebook that asks them."""
        put(self.told, "")
        guarded(self.problem, self._write_questions)

    def _write_questions(self) -> None:
        """Write both files, and say what students do with them."""
        what = self._what()
        place = self._place(what)
        try:
            own = self._own.in_folder(place)
            made = class_files(what, place, overwrite=self.overwrite.value, own=own)
        except TheoryError as error:
            raise TheoryError(_in_words(error)) from None
        lasting(f"{made[0]} and {made[1].name} are written.")
        self._own.note(place, made)
        self.overwrite.value = False
        put(self.told, sentences_html(f"{made[0].name} and {made[1].name}.", FOR_CLASS))
        self.links.show(made)

    def _work(self) -> Work:
        """Return the work that is asked for, or say why it cannot be done."""
        kinds, what = self.ticked["files"], self._what()
        place = self._place(what)
        if not kinds:
            raise TheoryError("nothing ticked under 'files' (want at least one kind of file)")
        order = Order.of(what, what.blocks, str(what), self.editions, kinds, SOUND)
        try:
            own, stopped = self._own.in_folder(place), self._stopped.is_set
            order = with_earlier(order, place, self._own.made_in(place), own)
            return Work(order, place, self.overwrite.value, own=own, stopped=stopped)
        except TheoryError as error:
            raise TheoryError(_in_words(error)) from None

    def _place(self, what: Handout) -> Path:
        """Return the folder for the files of a handout."""
        place = Path(self.folder.value.strip() or FOLDER).expanduser().absolute()
        return place / what.week_folder if self.weekly.value else place

    def _run(self, work: Work) -> None:
        """Make the files and say what was made: what runs beside the page."""
        made: list[Path] = []
        try:
            told = self._make(work, made)
        except Exception as error:  # in a thread nobody else would tell the reader
            told = sentences_html("", _count(made, work))
            put(self.problem, problem_html(_in_words(error)))
            fault_said(self.problem)  # without threads the work is a part of the answer to *make*
        self._own.note(work.folder, made)
        self.bar.layout.display = "none"
        self.make.disabled, self.stop.disabled = False, True
        put(self.told, told)  # last: who reads it may press *make* again

    def _make(self, work: Work, made: list[Path]) -> str:
        """Make one file after another until all are done or *stop*; return what to say of them."""
        for file in work.steps():
            made.append(file)
            self.bar.value = len(made)
            if self._stopped.is_set():
                break
            put(self.told, sentences_html("", f"{_count(made, work)} The last: {file.name}."))
        if self._stopped.is_set() and len(made) < len(work.files):
            return sentences_html("Stopped.", _count(made, work), GO_ON)
        self.overwrite.value = False
        self.links.show(made)
        is_alone = self.weekly.value and "sound" in work.order.files
        is_alone = is_alone and set(work.folder.glob("*.html")) <= set(made)  # they link to them
        gone = self._own.clear(work.folder, made, {f".{SOUND}"}) if is_alone else 0
        old = f"{GONE} {gone}." if gone else ""
        packs = {"zip", "contents"} & set(work.order.files)
        before = BEFORE if packs and work.order.kept else ""
        long = too_long(work.order.front, made)
        more = filter(None, [old, before, long, left_out(work.gone), self._new, self._left_out()])
        return sentences_html(summary_of(made).words, *more)

    @answer
    def _stop(self, _: object) -> None:
        """Stop after what is in hand."""
        self._stopped.set()
        self.stop.disabled = True
        put(self.told, sentences_html(STOPPING))

    def stale(self) -> None:
        """Take away what was said of a handout that is another one now."""
        if self._thread is None or not self._thread.is_alive():
            put(self.problem, "")
            put(self.told, "")
            self.links.show(())

    def show_made(self) -> None:
        """Show links to what was made before of the handout that is on the desk now."""
        if self._thread is None or not self._thread.is_alive():
            with suppress(TheoryError):  # a handout that cannot be read has no files
                self.links.show(self._own.made_in(self._place(self._what())))

    def wait(self) -> None:
        """Wait until nothing is being made any more."""
        if self._thread is not None:
            self._thread.join()


def _count(made: list[Path], work: Work) -> str:
    """Say how many files are there."""
    return f"{len(made)} of {len(work.files)} files made, in {work.folder}."


def _in_words(error: Exception) -> str:
    """Return what went wrong as it is said on a page."""
    if isinstance(error, TheoryError):
        return str(error).replace("overwrite=True", "replace ticked")
    return f"the work broke off: {error} (want it tried again; whole files stay)"
