"""Is it the blade or the measuring? The same edge read again and again, from a table."""

import numpy as np

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.tables import cell_fault, read_table
from edgetest.units import Unreadable, parse_number
from edgetest.wear.repeatability import repeatability


def columns_of(source, *, name=None):
    """Names of the columns of a table, to choose from."""
    return list(read_table(source, name=name).columns)


def read_repeats(path, *, reading="edge_width_um", by="operator"):
    """Repeated readings of one edge.

    Parameters
    ----------
    path : str, Path or bytes
        CSV or XLSX with a column `reading` and, for several people or set-ups, a column `by`.
    reading, by : str
        Names of the columns.

    Returns
    -------
    (ndarray, list of str or None)

    Raises
    ------
    UnusableInput
        Naming every cell that is no number, or the column that is missing.
    """
    table = read_table(path)
    if reading not in table.columns:
        raise UnusableInput(
            f'there is no column "{reading}"',
            where=table.name,
            mend=f"name one of: {', '.join(table.columns)}",
        )
    values, people, faults = [], [], list(table.faults)
    for row in table.rows:
        cell = (row.cells.get(reading) or "").strip()
        if not cell:
            continue
        try:
            values.append(parse_number(cell))
        except Unreadable:
            faults.append(
                cell_fault(
                    table.name, row.line, reading, f'"{cell}" is not a number', "write digits"
                )
            )
            continue
        people.append((row.cells.get(by) or "").strip())
    if faults:
        raise ManyFaults(faults)
    return np.array(values), people if by in table.columns else None


def repeatability_of(path, *, reading="edge_width_um", by="operator", relative=True):
    """Repeatability and reproducibility of a table of repeated readings."""
    values, people = read_repeats(path, reading=reading, by=by)
    return repeatability(values, people, relative=relative)
