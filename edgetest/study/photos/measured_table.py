"""measured.csv: what the program measured, never edited by hand.

One row a photograph; where a person has corrected something, a second row beside the
automatic one, which stays.
"""

import json
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from edgetest.doubts import Doubt, told
from edgetest.errors import UnusableInput
from edgetest.store.files import locked
from edgetest.store.places import program_version
from edgetest.store.tables import read_table
from edgetest.store.workspace import write_table
from edgetest.study.photos.lamp_numbers import SHARES, SIZES, limit_of

MEASURED_FILE = "measured.csv"
WIDTHS = ("mean", "low", "high", "sd_along_edge", "p05", "p50", "p95")
ENDS = ("value", "low", "high")
FORMS = ("flat_um", "round_up_to_radius_um")
PLAIN = ("width_u_um", "below_um", "measured_length_um", "share_measured", "blur_px", "snr")
CREST_ENDS = tuple(f"crest_{size}_{name}" for size in SIZES for name in ENDS)

COLUMNS = (
    "photo",
    "status",
    "reasons",
    *(f"width_um_{name}" for name in WIDTHS),
    "light",
    *(f"w30_um_{name}" for name in ENDS),
    "w30_limit",
    *FORMS,
    "crest_form",
    *CREST_ENDS,
    *SHARES,
    "on_axis",
    *PLAIN,
    "um_per_px",
    "scale_relative_u",
    "chips",
    "doubts",
    "corrected",
    "seconds",
    "program_version",
    "sha256",
    "key",
    "seal",
)


def write_measured(folder, results, *, withdrawn=()):
    """Write measured.csv whole; other pictures' rows of an earlier run are kept.

    Parameters
    ----------
    folder : str or Path
        The study.
    results : iterable of (PhotoResult, str, bool)
        Each with the key it was measured under and whether a person had corrected it.
    withdrawn : iterable of str
        Photographs whose corrections were taken back; their corrected rows go.
    """
    folder = Path(folder)
    with locked(folder):
        rows = {which: row["cells"] for which, row in read_rows(folder).items()}
        for name in withdrawn:
            rows.pop((name, True), None)
        for result, key, corrected in results:
            rows[result.photo, corrected] = _cells(result, key, corrected)
        table = [list(COLUMNS), *([row[c] for c in COLUMNS] for _, row in sorted(rows.items()))]
        write_table(folder / MEASURED_FILE, table)


def _cells(result, key, corrected):
    """One row of measured.csv as text; blank where nothing is known."""
    numbers = result.numbers
    width = numbers["width_um"] or {}
    scale = numbers["scale"] or {}
    facing, apex = numbers["w30_um"] or {}, numbers["apex"] or {}
    values = {
        "photo": result.photo,
        "status": numbers["status"],
        "reasons": json.dumps(numbers["reasons"], ensure_ascii=False),
        **{f"width_um_{name}": width.get(name) for name in WIDTHS},
        "light": json.dumps(numbers["light"]),
        **{f"w30_um_{name}": facing.get(name) for name in ENDS},
        "w30_limit": limit_of(numbers["w30_um"]),
        **{name: apex.get(name) for name in FORMS},
        **_crest_cells(numbers["crest"] or {}),
        **{name: numbers[name] for name in PLAIN},
        "um_per_px": scale.get("um_per_px"),
        "scale_relative_u": scale.get("relative_u"),
        "chips": json.dumps(numbers["chips"]),
        "doubts": json.dumps(numbers["doubts"], ensure_ascii=False),
        "corrected": "yes" if corrected else "",
        "seconds": round(result.seconds, 4),
        "program_version": program_version(),
        "sha256": result.sha256,
        "key": key,
    }
    cells = {name: "" if values.get(name) is None else str(values[name]) for name in COLUMNS}
    return {**cells, "seal": _seal(cells)}


def _crest_cells(crest):
    """The cells of a crest; blank for a bright line."""
    ends = {
        f"crest_{size}_{name}": (crest.get(size) or {}).get(name) for size in SIZES for name in ENDS
    }
    shares = {name: crest.get(name) for name in SHARES}
    return {"crest_form": crest.get("form"), **ends, **shares, "on_axis": crest.get("on_axis")}


def read_measured(folder):
    """What is in force of each picture: numbers, checksum and key; {} if nothing was measured.

    A corrected measurement comes before the automatic one, which `read_rows` gives too.
    """
    return {name: row for (name, _), row in sorted(read_rows(folder).items())}


def read_rows(folder):
    """Every row of measured.csv by (picture, whether a person corrected it)."""
    path = Path(folder) / MEASURED_FILE
    if not path.is_file():
        return {}
    try:
        table = read_table(path)
    except UnusableInput:  # damaged: everything is measured again
        return {}
    if not set(COLUMNS) <= set(table.columns):
        return {}  # of another version of the program: everything is measured again
    found = {}
    for row in table.rows:
        cells = row.cells
        if cells["seal"] != _seal(cells):
            continue  # not as it was written: measured again
        with suppress(ValueError, KeyError, TypeError, RecursionError):  # another version's
            found[cells["photo"], cells["corrected"] == "yes"] = {
                "cells": {name: cells.get(name, "") for name in COLUMNS},
                "numbers": _numbers(cells),
                "sha256": cells["sha256"],
                "key": cells["key"],
                "seconds": float(cells["seconds"]),
            }
    return found


def _seal(cells):
    """What shows that a row stands as the program wrote it; another is not believed."""
    told = "\n".join(" ".join(cells[name].split()) for name in COLUMNS if name != "seal")
    return sha256(told.encode()).hexdigest()[:16]


def _numbers(cells):
    """The JSON contract back from a row's text."""

    def number(name):
        return float(cells[name]) if cells.get(name) else None

    width = None
    if cells.get("width_um_mean"):
        width = {name: number(f"width_um_{name}") for name in WIDTHS}
    facing, apex = None, None
    if cells.get("w30_um_low"):
        facing = {name: number(f"w30_um_{name}") for name in ENDS}
    if cells.get("flat_um"):
        apex = {name: number(name) for name in FORMS}
    scale = None
    if cells.get("um_per_px"):
        scale = {"um_per_px": number("um_per_px"), "relative_u": number("scale_relative_u")}
    return {
        "status": cells["status"],
        "reasons": json.loads(cells["reasons"]),
        "width_um": width,
        "light": json.loads(cells["light"]),
        "w30_um": facing,
        "apex": apex,
        "crest": _crest(cells, number),
        **{name: number(name) for name in PLAIN},
        "scale": scale,
        "chips": json.loads(cells["chips"]),
        **told([Doubt.from_dict(one) for one in json.loads(cells["doubts"])]),
    }


def _crest(cells, number):
    """The crest of a row; None where there is none."""
    if not cells.get("crest_form"):
        return None
    sizes = {
        size: {name: number(f"crest_{size}_{name}") for name in ENDS}
        if cells.get(f"crest_{size}_low")
        else None
        for size in SIZES
    }
    shares = {name: number(name) for name in SHARES}
    return {**sizes, **shares, "form": cells["crest_form"], "on_axis": cells["on_axis"]}
