"""Keep in a study what was found on pictures that its log does not name."""

from pathlib import Path

from edgetest.store.files import csv_text
from edgetest.store.workspace import save_photograph, write_table

FOLDER = "findings"


def keep_findings(folder, pictures, tables):
    """Put pictures among a study's photographs and tables into its folder `findings`.

    Parameters
    ----------
    folder : path-like
        The study.
    pictures : mapping of str to bytes
        By file name; one that is there already with the same content stays.
    tables : mapping of str to list of list of str
        Heading and rows by name; where another table has the name, a number is put behind it.

    Returns
    -------
    list of str
        What was kept, as paths within the study.

    Raises
    ------
    UnusableInput
        If another picture of a name is there.
    """
    folder = Path(folder)
    kept = [f"photos/{save_photograph(folder, name, data).name}" for name, data in pictures.items()]
    (folder / FOLDER).mkdir(exist_ok=True)
    for name, records in tables.items():
        records = [["" if cell is None else str(cell) for cell in record] for record in records]
        path = _free(folder / FOLDER, name, csv_text(records).encode())
        kept.append(f"{FOLDER}/{write_table(path, records).name}")
    return kept


def _free(folder, name, data):
    """The first path of a name that is free, or holds the same already."""
    number = 1
    while True:
        path = folder / f"{name}{'' if number == 1 else f'_{number}'}.csv"
        if not path.exists() or path.read_bytes() == data:
            return path
        number += 1
