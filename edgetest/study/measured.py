"""measured.csv: what the program measured, one row a photograph; never edited by hand."""

import json
from importlib.metadata import version
from pathlib import Path

from edgetest.tables import read_table
from edgetest.workspace import write_table

MEASURED_FILE = "measured.csv"
WIDTHS = ("mean", "low", "high", "sd_along_edge", "p05", "p50", "p95")
PLAIN = ("width_u_um", "below_um", "measured_length_um", "share_measured", "blur_px", "snr")

COLUMNS = (
    "photo",
    "status",
    "reasons",
    *(f"width_um_{name}" for name in WIDTHS),
    *PLAIN,
    "um_per_px",
    "scale_relative_u",
    "chips",
    "warnings",
    "corrected",
    "seconds",
    "program_version",
    "sha256",
    "key",
)


def write_measured(folder, results):
    """Write measured.csv whole; other pictures' rows of an earlier run are kept.

    Parameters
    ----------
    folder : str or Path
        The study.
    results : iterable of (PhotoResult, str, bool)
        Each with the key it was measured under and whether a person had corrected it.
    """
    folder = Path(folder)
    rows = {name: row["cells"] for name, row in read_measured(folder).items()}
    for result, key, corrected in results:
        rows[result.photo] = _cells(result, key, corrected)
    table = [list(COLUMNS), *([row[c] for c in COLUMNS] for _, row in sorted(rows.items()))]
    write_table(folder / MEASURED_FILE, table)


def _cells(result, key, corrected):
    """One row of measured.csv as text; blank where nothing is known."""
    numbers = result.numbers
    width = numbers["width_um"] or {}
    scale = numbers["scale"] or {}
    values = {
        "photo": result.photo,
        "status": numbers["status"],
        "reasons": json.dumps(numbers["reasons"], ensure_ascii=False),
        **{f"width_um_{name}": width.get(name) for name in WIDTHS},
        **{name: numbers[name] for name in PLAIN},
        "um_per_px": scale.get("um_per_px"),
        "scale_relative_u": scale.get("relative_u"),
        "chips": json.dumps(numbers["chips"]),
        "warnings": json.dumps(numbers["warnings"], ensure_ascii=False),
        "corrected": "yes" if corrected else "",
        "seconds": round(result.seconds, 4),
        "program_version": version("edgetest"),
        "sha256": result.sha256,
        "key": key,
    }
    return {name: "" if values[name] is None else str(values[name]) for name in COLUMNS}


def read_measured(folder):
    """What was measured before, by picture: numbers, checksum and key; {} if nothing was."""
    path = Path(folder) / MEASURED_FILE
    if not path.is_file():
        return {}
    table = read_table(path)
    if not set(COLUMNS) <= set(table.columns):
        return {}  # of another version of the program: everything is measured again
    found = {}
    for row in table.rows:
        cells = row.cells
        found[cells["photo"]] = {
            "cells": {name: cells.get(name, "") for name in COLUMNS},
            "numbers": _numbers(cells),
            "sha256": cells["sha256"],
            "key": cells["key"],
            "seconds": float(cells["seconds"]),
        }
    return found


def _numbers(cells):
    """The JSON contract back from a row's text."""

    def number(name):
        return float(cells[name]) if cells.get(name) else None

    width = None
    if cells.get("width_um_mean"):
        width = {name: number(f"width_um_{name}") for name in WIDTHS}
    scale = None
    if cells.get("um_per_px"):
        scale = {"um_per_px": number("um_per_px"), "relative_u": number("scale_relative_u")}
    return {
        "status": cells["status"],
        "reasons": json.loads(cells["reasons"]),
        "width_um": width,
        **{name: number(name) for name in PLAIN},
        "scale": scale,
        "chips": json.loads(cells["chips"]),
        "warnings": json.loads(cells["warnings"]),
    }
