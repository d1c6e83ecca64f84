"""Measure side views: chips and rolls along an edge, or the reason why not."""

import time
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from edgetest.doubts import Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.photo.side.follow import follow
from edgetest.photo.side.side_view import ProfileMeasurement, measure_profile
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.study.photos.corrections import NO_CORRECTION, Correction
from edgetest.study.photos.photo_result import doubts_told, fault_of_one


@dataclass(frozen=True)
class SideViewResult:
    """One back-lit side view's measurement or refusal.

    `automatic` are the numbers without the `correction` that a person made.
    """

    photo: str
    path: Path
    numbers: dict
    sha256: str
    seconds: float
    measurement: ProfileMeasurement | None = None
    correction: Correction = NO_CORRECTION
    automatic: dict | None = None

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


def measure_side_view(
    path, um_per_px, relative_u=0.0, *, blade="dark", correction=NO_CORRECTION, name=None
):
    """Chips and rolls in one back-lit side view.

    Parameters
    ----------
    path : str or Path
    um_per_px, relative_u : float
        Scale and its relative standard uncertainty; a scale of None is taken from the
        picture's file where it has one, else refused.
    blade : {"dark", "bright"}
        Which side of the outline is the blade.
    correction : Correction
        What a person has set right: a region, stretches of edge struck out, a scale.
    name : str, optional
        What the photograph is called in the result; its file's name by default.

    Returns
    -------
    SideViewResult
    """
    path = Path(path)
    name = name or path.name
    start = time.perf_counter()
    if correction.um_per_px is not None:
        um_per_px, relative_u = correction.um_per_px, correction.relative_u
    checksum, measurement = "", None
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=name)
        measurement = measure_profile(
            picture,
            um_per_px if um_per_px is not None else picture.um_per_px_in_file,
            scale_relative_u=relative_u,
            blade=blade,
            region=_whole_pixels(correction.region, picture.grey.shape),
        )
        measurement = without_stretches(measurement, correction.struck_out)
        doubts = placed(measurement.doubts, file=name)
        measurement = replace(measurement, doubts=doubts)
        numbers = measurement.to_dict()
    except UnreadablePicture as fault:
        numbers = _refused_numbers(doubt(fault.code, where=Where(file=name)))
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        numbers, measurement = _refused_numbers(fault_of_one(fault, name)), None
    seconds = time.perf_counter() - start
    return SideViewResult(
        name, path, numbers, checksum, seconds, measurement, correction=correction
    )


def without_stretches(measurement, struck_out):
    """A side view without the damage, and the length of edge, of stretches that were struck out.

    Parameters
    ----------
    measurement : ProfileMeasurement
    struck_out : sequence of (float, float)
        From and to, µm along the edge.
    """
    if measurement.status != "measured" or not struck_out:
        return measurement

    def kept(found):
        return tuple(
            one for one in found
            if not any(low <= one.position_um <= high for low, high in struck_out)
        )  # fmt: skip

    first, last = float(measurement.position_um[0]), float(measurement.position_um[-1])
    spans = sorted((max(low, first), min(high, last)) for low, high in struck_out)
    lost, reached = 0.0, first
    for low, high in spans:
        lost += max(0.0, high - max(low, reached))
        reached = max(reached, high)
    return replace(
        measurement,
        chips=kept(measurement.chips),
        rolls=kept(measurement.rolls),
        edge_length_um=max(0.0, measurement.edge_length_um - lost),
    )


@dataclass(frozen=True)
class SideViewTask:
    """One side view of a study, with its scale and what a person has set right."""

    path: Path
    um_per_px: float | None
    relative_u: float = 0.0
    correction: Correction = NO_CORRECTION
    photo: str = ""  # its path below the study's photos, by which the log names it

    def key(self):
        """What changes when the measurement would."""
        state = self.path.stat()
        return self, state.st_mtime_ns, state.st_size


MOST_KEPT = 256
_kept: dict[tuple, SideViewResult] = {}


def kept_side_view(task):
    """The side view of a task, measured once as long as nothing changes.

    A corrected one holds the automatic numbers beside its own.
    """
    key = task.key()
    if key not in _kept:
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)), None)
        scale = (task.um_per_px, task.relative_u)
        found = measure_side_view(
            task.path, *scale, correction=task.correction, name=task.photo or None
        )
        if task.correction != NO_CORRECTION:
            automatic = kept_side_view(replace(task, correction=NO_CORRECTION))
            found = replace(found, automatic=automatic.numbers)
        _kept[key] = found
    return _kept[key]


def waiting_side_views(tasks):
    """Those of the tasks that were not measured yet."""
    return [task for task in tasks if task.key() not in _kept]


def _whole_pixels(region, shape):
    """A region dragged on the picture, as rows and columns that lie in it; None for all of it."""
    if region is None:
        return None
    top, left, bottom, right = (round(value) for value in region)
    return max(0, top), max(0, left), min(shape[0], bottom), min(shape[1], right)


def _refused_numbers(reason):
    """The numbers of a picture that gave nothing to measure, and why."""
    return {**ProfileMeasurement("refused", (reason,)).to_dict(), "scale": None}


def follow_side_views(before, after, *, shift_um=None):
    """How the damage of one edge grew between two measured side views.

    Parameters
    ----------
    before, after : SideViewResult
    shift_um : float, optional
        Where a place of the first lies further on the second; else found from the edge's roughness.

    Returns
    -------
    edgetest.photo.side.follow.Following

    Raises
    ------
    UnusableInput
        If one was refused, or the shift is no number or leaves no edge on both.
    """
    for result in (before, after):
        if not result.measured:
            raise UnusableInput(result.summary().rstrip("."), result.photo, "photograph it again")
    return follow(before.measurement, after.measurement, shift_um=shift_um)
