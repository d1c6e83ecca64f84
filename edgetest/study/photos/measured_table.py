"""measured.csv: what the program measured, never edited by hand.

One row a photograph; where a person has corrected something, a second row beside the
automatic one, which stays. While photographs are measured each is added at the end, and the
last row of a photograph holds; when the run ends the file is put in order.
"""

import csv
import io
import json
import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from edgetest.doubts import Doubt, told
from edgetest.store.files import append_line, csv_text, locked, whole_file, write_atomic
from edgetest.store.places import program_version
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


HEADING = csv_text([COLUMNS])


def append_measured(folder, results):
    """Add results at the end of measured.csv; they are on disk when this returns.

    The last row of a photograph holds, so nothing before it is written again. Two programs may
    append at once, and a row that a crash cut short spoils only itself.

    Parameters
    ----------
    folder : str or Path
        The study.
    results : iterable of (PhotoResult, str, bool)
        Each with the key it was measured under and whether a person had corrected it.
    """
    path = Path(folder) / MEASURED_FILE
    rows = [[*_cells(*each).values()] for each in results]
    with locked(folder):
        if not _has_heading(path):  # none yet, damaged, or of another version of the program
            write_atomic(path, HEADING)
        append_line(path, csv_text(rows).removesuffix("\n"))


def _has_heading(path):
    """Whether a file begins as a measured.csv of this version does."""
    if not path.is_file():
        return False
    with open(path, "rb") as file:
        return file.read(len(HEADING)) == HEADING.encode()


def tidy_measured(folder, *, withdrawn=()):
    """Put measured.csv in order: photographs by name, of each its last row alone.

    Parameters
    ----------
    folder : str or Path
        The study.
    withdrawn : iterable of str
        Photographs whose corrections were taken back; their corrected rows go.
    """
    path, gone = Path(folder) / MEASURED_FILE, {(name, True) for name in withdrawn}
    with locked(folder):
        with _opened(path) as file:
            places = {_which(cells): place for place, cells in _sealed_rows(file)}
            kept = [place for which, place in sorted(places.items()) if which not in gone]
            if _follow_on(kept, file):
                return
        with whole_file(path) as tidied, _opened(path) as file:
            tidied.write(HEADING.encode())
            for start, length in kept:
                file.seek(start)
                tidied.write(file.read(length).rstrip(b"\r\n") + b"\n")


def _follow_on(places, file):
    """Whether the file holds its heading and then these lines alone, one behind the other."""
    file.seek(0)
    due = len(HEADING.encode()) if file.readline() == HEADING.encode() else -1
    for start, length in places:
        if start != due:
            return False
        due += length
    return due == file.seek(0, os.SEEK_END)


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
    return dict(each_row(folder))


def each_row(folder):
    """The rows of measured.csv one by one, as `read_rows` has them; the last of a picture holds.

    Yields
    ------
    ((str, bool), dict)
    """
    with _opened(Path(folder) / MEASURED_FILE) as file:
        for _, cells in _sealed_rows(file):
            with suppress(ValueError, KeyError, TypeError, RecursionError):  # another version's
                row = {
                    "numbers": _numbers(cells),
                    "sha256": cells["sha256"],
                    "key": cells["key"],
                    "seconds": float(cells["seconds"]),
                }
                yield _which(cells), row


def _which(cells):
    """Which measurement a row holds."""
    return cells["photo"], cells["corrected"] == "yes"


def _opened(path):
    """The file's bytes; none where there is no file, or one that cannot be read."""
    try:
        return open(path, "rb")
    except OSError:
        return io.BytesIO()


def _sealed_rows(file):
    """Start and length of every row that stands as the program wrote it, and its cells, in order.

    Each line is read by itself: one that was cut short takes no other with it.
    """
    at = 0
    for line in file:
        start, at = at, at + len(line)
        text = line.decode("utf-8-sig" if start == 0 else "utf-8", "replace").rstrip("\r\n")
        if start == 0:
            if text != HEADING.rstrip():
                return  # damaged, or another version's: everything is measured again
            continue
        with suppress(csv.Error):
            cells = next(csv.reader([text], strict=True), [])
            named = dict(zip(COLUMNS, cells, strict=False))
            if len(cells) == len(COLUMNS) and named["seal"] == _seal(named):
                yield (start, len(line)), named


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
