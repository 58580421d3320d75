"""The grid: a filled table of colours against keys, or of tensions against shapes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, Colour, colour
from theorykit.harmony.shapes import Shape
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.subsets import COLUMNS, Subset
from theorykit.notes.key import Key
from theorykit.notes.note import pretty_accidentals
from theorykit.tunes.progression import cadence_chords

__all__ = ["GridView", "colour_grid", "tension_grid"]


@dataclass(frozen=True, slots=True)
class GridView:
    """A table: what the corner says, the heads of columns and rows, and the text of each cell.

    An empty cell is one that nothing fills. ``strengths`` says of each cell how much there is in
    it, from 0 to 3, for those who see shades; without them all filled cells are alike.
    """

    corner: str
    columns: tuple[str, ...]
    rows: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    alt: str
    strengths: tuple[tuple[int, ...], ...] = ()

    def __post_init__(self) -> None:
        """Refuse a table with holes."""
        if len(self.cells) != len(self.rows) or any(
            len(row) != len(self.columns) for row in self.cells
        ):
            raise TheoryError(
                f"not a table: {len(self.cells)} rows of cells for {len(self.rows)} heads "
                f"(want one row for each, {len(self.columns)} cells long)"
            )

    @property
    def filled(self) -> int:
        """How many cells are filled."""
        return sum(bool(cell) for row in self.cells for cell in row)


def tension_grid(rows: Iterable[Subset], columns: tuple[Shape, ...] = COLUMNS) -> GridView:
    """Return tensions down, shapes across: in each cell the roots on which a shape brings them.

    >>> from theorykit.harmony.subsets import subsets
    >>> view = tension_grid(row for row in subsets("G7") if row.name in ("b9 13", "9 b13"))
    >>> view.rows, view.columns[:2], view.cells[1][:2]
    (('♭9 13', '9 ♭13'), ('major', 'm'), ('', ''))
    """
    found = tuple(rows)
    if not found:
        raise TheoryError("no rows for the table (want at least one subset)")
    cells = tuple(tuple(_roots(row, shape) for shape in columns) for row in found)
    heads = tuple(pretty_accidentals(shape.suffix).strip() or "major" for shape in columns)
    names = tuple(row.pretty for row in found)
    return _grid(f"over {found[0].chord.pretty}", heads, names, cells, "tensions", "shapes")


def _roots(row: Subset, shape: Shape) -> str:
    """Return the roots on which a shape brings the tensions."""
    return " ".join(route.root.pretty for route in row.routes if route.row == shape)


def colour_grid(keys: Iterable[Key | str], colours: Iterable[Colour | str] = COLOURS) -> GridView:
    """Return colours down, keys across: in each cell the best shortcut over the V of the key.

    A cell stays empty where the colour does not suit the mode of the key.

    >>> view = colour_grid(["C", "A minor"], ["b9 13", "b9 b13"])
    >>> view.columns, view.cells
    (('C major', 'A minor'), (('E', ''), ('A♭m', 'Fm')))
    """
    homes = [Key.parse(key) if isinstance(key, str) else key for key in keys]
    wanted = [colour(one) for one in colours]
    if not homes or not wanted:
        raise TheoryError("no table without keys and colours (want at least one of each)")
    cells = tuple(tuple(_best(one, home) for home in homes) for one in wanted)
    heads = tuple(home.pretty for home in homes)
    names = tuple(one.pretty for one in wanted)
    return _grid("over V of", heads, names, cells, "colours", "keys")


def _best(wanted: Colour, home: Key) -> str:
    """Return the best shortcut of a colour over the V of a key."""
    if not wanted.suits(home.mode):
        return ""
    _, dominant, target = cadence_chords(home)
    return shortcuts(dominant, wanted, target)[0].pretty


def _grid(
    corner: str,
    columns: tuple[str, ...],
    rows: tuple[str, ...],
    cells: tuple[tuple[str, ...], ...],
    down: str,
    across: str,
) -> GridView:
    """Return a table with words for those who cannot see it."""
    said = [
        f"{name}: {', '.join(f'{head} {cell}' for head, cell in filled)}"
        for name, row in zip(rows, cells, strict=True)
        if (filled := [(head, c) for head, c in zip(columns, row, strict=True) if c])
    ]
    listing = f" {'; '.join(said)}." if said else ""
    alt = f"Table of {len(rows)} {down} down and {len(columns)} {across} across.{listing}"
    return GridView(corner, columns, rows, cells, alt)
