"""The head of a chapter: what keeps a reader there when all of its cells are run at once."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["from_the_top"]

# Run one by one, cells make the next cell the active one. Run all at once, the notebook goes to its
# last cell before the first one has answered; only then is the reader taken back. The output is
# put into the page after it has run, so it waits for that.
FROM_THE_TOP = """requestAnimationFrame(() => {
  const book = element.closest(".jp-Notebook");
  if (!book) return;
  const cells = [...book.querySelectorAll(".jp-Cell")];
  const own = cells.indexOf(element.closest(".jp-Cell"));
  const active = cells.findIndex((cell) => cell.classList.contains("jp-mod-active"));
  if (active !== cells.length - 1 || active <= own + 1) return;
  cells[0].focus();
  (book.querySelector(".jp-WindowedPanel-outer") ?? book).scrollTo(0, 0);
});"""


@dataclass(frozen=True, slots=True)
class Script:
    """What a notebook does instead of showing something; ``words`` say it where there is no page.

    >>> Script("alert(1)", "a greeting")
    a greeting
    """

    code: str
    words: str

    def _repr_javascript_(self) -> str:
        """What the page of a notebook runs when the cell has run."""
        return self.code

    def __repr__(self) -> str:
        return self.words


def from_the_top() -> Script:
    """Return what keeps a chapter at its top when all of its cells are run at once.

    >>> from_the_top()
    Run all cells, and the page stays at its top.
    """
    return Script(FROM_THE_TOP, "Run all cells, and the page stays at its top.")
