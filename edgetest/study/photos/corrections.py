"""What a person has set right on a photograph: kept with who, when, before and after."""

import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_line, locked, read_json_lines
from edgetest.store.study_paths import file_named

CORRECTIONS_FILE = "corrections.jsonl"
KINDS = ("region", "struck_out", "um_per_px")
LARGEST = 1e9  # of a number in a correction, far above any pixel or µm of a picture
TAKE_OUT = "take that line out; corrections are made in the app"


@dataclass(frozen=True)
class Correction:
    """All corrections of one photograph taken together.

    `region` is (row, column, row, column) in pixels of the picture, `struck_out` are
    stretches (from, to) in µm along the edge, `um_per_px` a scale of this picture alone.
    """

    region: tuple[float, float, float, float] | None = None
    struck_out: tuple[tuple[float, float], ...] = ()
    um_per_px: float | None = None
    relative_u: float = 0.0

    def key(self):
        """Text that differs where the corrections differ; empty for none."""
        return "" if self == NO_CORRECTION else json.dumps(asdict(self))


NO_CORRECTION = Correction()


@dataclass(frozen=True)
class CorrectionEntry:
    """One line of the record: who set what, when, before and after."""

    photo: str
    kind: str
    before: object
    after: object
    who: str
    when: str

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self)


def read_entries(folder):
    """Every correction ever made in a study, oldest first."""
    entries = []
    for number, entry in read_json_lines(Path(folder) / CORRECTIONS_FILE):
        if entry.keys() != CorrectionEntry.__dataclass_fields__.keys():
            raise UnusableInput(
                "this line is no correction",
                where=f"{CORRECTIONS_FILE}, line {number}",
                mend=TAKE_OUT,
            )
        where = f"{CORRECTIONS_FILE}, line {number}"
        if not all(isinstance(entry[key], str) for key in ("photo", "kind", "who", "when")):
            raise UnusableInput("photo, kind, who and when are texts", where, TAKE_OUT)
        file_named("photos", entry["photo"], where)
        entries.append(CorrectionEntry(**entry))
    return tuple(entries)


def corrections(folder):
    """The corrections in force, by photograph."""
    found: dict[str, Correction] = {}
    for entry in read_entries(folder):
        found[entry.photo] = applied(found.get(entry.photo, NO_CORRECTION), entry)
    return found


def applied(correction, entry):
    """A photograph's corrections after one more entry."""
    after, where = entry.after, f"{CORRECTIONS_FILE}, {entry.photo}"
    if entry.kind not in KINDS:
        mend = f"one of {', '.join(KINDS)}"
        raise UnusableInput(f'"{entry.kind}" is not a kind of correction', where, mend)
    holds, words = _SAYS[entry.kind]
    if after and not holds(after):
        raise UnusableInput(words, where, TAKE_OUT)
    if entry.kind == "region":
        return replace(correction, region=tuple(after) if after else None)
    if entry.kind == "struck_out":
        return replace(correction, struck_out=tuple(tuple(pair) for pair in after or ()))
    um_per_px, relative_u = after if _numbers(after, 2) else (after or None, 0.0)
    return replace(correction, um_per_px=um_per_px, relative_u=relative_u)


def _numbers(values, count):
    """Whether these are so many finite numbers."""
    return (
        isinstance(values, list | tuple)
        and len(values) == count
        and all(type(each) in (int, float) and abs(each) < LARGEST for each in values)
    )


def _stretches(after):
    return isinstance(after, list | tuple) and all(_numbers(pair, 2) for pair in after)


def _scale(after):
    pair = after if _numbers(after, 2) else (after, 0.0)
    return _numbers(pair, 2) and pair[0] > 0 and 0 <= pair[1] < 1


_SAYS = {
    "region": (
        lambda after: _numbers(after, 4), "a region is four numbers: top, left, bottom, right"
    ),
    "struck_out": (_stretches, "a stretch is two numbers: its beginning and its end"),
    "um_per_px": (_scale, "a scale is a number above zero, µm per pixel"),
}  # fmt: skip


def correct(folder, photo, kind, after, *, who, when):
    """Record a correction and return the photograph's corrections now in force.

    Parameters
    ----------
    folder : str or Path
        The study.
    photo : str
        Name of the photograph.
    kind : str
        "region", "struck_out" or "um_per_px".
    after : list, float or None
        The new setting; None takes the correction back. A scale is a number, or the number
        and its relative standard uncertainty.
    who, when : str
        Kept with it.

    Notes
    -----
    Stretches are counted in µm from the start of the edge that was measured, so another
    region or scale would move them: they are taken back then, in an entry of their own.
    """
    with locked(folder):
        current = corrections(folder).get(photo, NO_CORRECTION)
        settings = [(kind, after)]
        if kind != "struck_out" and current.struck_out:
            settings.insert(0, ("struck_out", None))
        for name, value in settings:
            before = getattr(current, name, None) if name in KINDS else None
            entry = CorrectionEntry(photo, name, before, value, who, when)
            current = applied(current, entry)
            append_json_line(Path(folder) / CORRECTIONS_FILE, entry.to_dict())
    return current


def stretch_between(measurement, a_rc, b_rc):
    """The stretch of a measured edge that lies between two points of the picture.

    Parameters
    ----------
    measurement : ApexMeasurement or ProfileMeasurement
        With the arrays of its edge.
    a_rc, b_rc : (float, float)
        Row and column, pixels of the picture.

    Returns
    -------
    (float, float)
        Positions along the edge, µm, as `struck_out` holds them.

    Raises
    ------
    UnusableInput
        If both points meet the edge at the same place.
    """
    along = "centre_rc" if hasattr(measurement, "centre_rc") else "reference_rc"
    path = np.asarray(getattr(measurement, along), dtype=float)
    nearest = [int(np.argmin(((path - point) ** 2).sum(axis=1))) for point in (a_rc, b_rc)]
    first, last = sorted(float(measurement.position_um[index]) for index in nearest)
    if last - first <= 0:
        raise UnusableInput(
            "both ends lie at the same place of the edge", "stretch", "drag along the edge"
        )
    return first, last
