"""Measure side views: chips and rolls along an edge, or the reason why not."""

import time
from dataclasses import dataclass, replace
from hashlib import sha256
from math import isfinite
from pathlib import Path

from edgetest.doubts import Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.photo.side.follow import follow
from edgetest.photo.side.side_view import ProfileMeasurement, measure_profile
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.study.photos.photo_result import doubts_told, fault_of_one


@dataclass(frozen=True)
class SideViewResult:
    """One back-lit side view's measurement or refusal."""

    photo: str
    path: Path
    numbers: dict
    sha256: str
    seconds: float
    measurement: ProfileMeasurement | None = None

    @property
    def measured(self):
        """Whether the photograph gave an edge."""
        return self.numbers["status"] == "measured"

    @property
    def doubts(self):
        """What speaks against the measurement, the reasons of a refusal among it."""
        return doubts_told(self.numbers, self.photo)

    def to_dict(self):
        """The JSON contract of `edgetest profile`."""
        return {"photo": self.photo, **self.numbers, "seconds": round(self.seconds, 4)}

    def summary(self):
        """The measurement as a maker reads it."""
        if self.measurement is not None:
            return self.measurement.summary()
        return "Not measured. " + " ".join(reason["text"] for reason in self.numbers["reasons"])


def measure_side_view(path, um_per_px, relative_u=0.0, *, blade="dark"):
    """Chips and rolls in one back-lit side view.

    Parameters
    ----------
    path : str or Path
    um_per_px, relative_u : float
        Scale and its relative standard uncertainty; a scale of None is taken from the
        picture's file where it has one, else refused.
    blade : {"dark", "bright"}
        Which side of the outline is the blade.

    Returns
    -------
    SideViewResult
    """
    path = Path(path)
    start = time.perf_counter()
    checksum, measurement = "", None
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=path.name)
        measurement = measure_profile(
            picture,
            um_per_px if um_per_px is not None else picture.um_per_px_in_file,
            scale_relative_u=relative_u,
            blade=blade,
        )
        doubts = placed(measurement.doubts, file=path.name)
        measurement = replace(measurement, doubts=doubts)
        numbers = measurement.to_dict()
    except UnreadablePicture as fault:
        numbers = _refused_numbers(doubt(fault.code, where=Where(file=path.name)))
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        numbers, measurement = _refused_numbers(fault_of_one(fault, path.name)), None
    seconds = time.perf_counter() - start
    return SideViewResult(path.name, path, numbers, checksum, seconds, measurement)


def _refused_numbers(reason):
    """The numbers of a picture that gave nothing to measure, and why."""
    return {**ProfileMeasurement("refused", (reason,)).to_dict(), "scale": None}


def follow_side_views(before, after, *, shift_um=None):
    """How the damage of one edge grew between two measured side views.

    Parameters
    ----------
    before, after : SideViewResult
    shift_um : float, optional
        Where a place of the first lies further on the second; else found from the damage.

    Returns
    -------
    edgetest.photo.side.follow.Following

    Raises
    ------
    UnusableInput
        If one was refused, the shift is no number, or the two outlines cannot be laid together.
    """
    if shift_um is not None and not isfinite(shift_um):
        what = f"{shift_um} is no length"
        raise UnusableInput(what, where="shift_um", mend="give µm, or leave it to be found")
    for result in (before, after):
        if not result.measured:
            raise UnusableInput(result.summary().rstrip("."), result.photo, "photograph it again")
    return follow(before.measurement, after.measurement, shift_um=shift_um)
