"""Where in a table does a fault stand: which file, row and column?"""

from edgetest.errors import UnusableInput

MOST_ROWS = 200_000
MANY_ROWS_MEND = "make several studies of it, each with the rows of its own blades"


class CellFault(UnusableInput):
    """A fault of one cell or row of a table; `row` and `column` are where it stands."""

    def __init__(
        self, what: str, where: str, mend: str, row: int | None = None, column: str | None = None
    ):
        super().__init__(what, where, mend)
        self.row, self.column = row, column


def cell_fault(name: str, row: int | None, column: str | None, what: str, mend: str) -> CellFault:
    """A fault whose `where` reads "log.csv, row 14, edge_width_um"."""
    parts = [name, f"row {row}" if row is not None else "", column or ""]
    return CellFault(what, ", ".join(part for part in parts if part), mend, row, column)
