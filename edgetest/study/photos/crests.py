"""Measure crests between two lamps: photograph, needle and, where there is one, on-axis picture."""

import time
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from edgetest.doubts import Doubt, Where, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import FacingWidth, Lighting
from edgetest.photo.glints.crest_size import CrestSize, OnAxisLine, size_crest
from edgetest.photo.glints.needle_light import Needle, SideSetup
from edgetest.photo.glints.pair_spacing import LineSpacing, pair_spacing
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.study.photos.photo_result import PhotoResult, doubts_told, fault_of_one


@dataclass(frozen=True)
class CrestResult:
    """One photograph's crest or refusal; `numbers` are its plain values."""

    photo: str
    path: Path
    numbers: dict
    sha256: str
    seconds: float
    measurement: CrestSize

    @property
    def measured(self):
        """Whether the photograph gave a size or a bound of it."""
        return self.numbers["status"] == "measured"

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """What speaks against the size, the reasons of a refusal among it."""
        return doubts_told(self.numbers, self.photo)

    def to_dict(self):
        """The JSON contract of `edgetest crest`."""
        return {"photo": self.photo, **self.numbers, "seconds": round(self.seconds, 4)}

    def summary(self):
        """The size as a maker reads it."""
        return self.measurement.summary()


@dataclass(frozen=True)
class SideLight:
    """A set-up of two lamps with its needle.

    Attributes
    ----------
    needle : Needle or None
    lines : LineSpacing or None
        Of the needle's picture.
    setup : SideSetup
    """

    needle: Needle | None
    lines: LineSpacing | None
    setup: SideSetup


@dataclass(frozen=True)
class LampTask:
    """What a photograph between two lamps is measured by.

    Attributes
    ----------
    needle_path : Path or None
        Picture of the needle in the same light; without one the photograph is refused.
    needle : Needle or None
    setup : SideSetup
    on_axis : Task or None
        The same place at the same stage in light through the lens.
    needle_date, taken : str
        Days of the needle's picture and of the photograph; blank where nobody noted them.
    lines : LineSpacing or None
        What the needle's picture shows, where it was looked at elsewhere and has no path here.
    """

    needle_path: Path | None
    needle: Needle | None
    setup: SideSetup
    on_axis: Any = None
    needle_date: str = ""
    taken: str = ""
    lines: LineSpacing | None = None

    def doubts(self, photo):
        """What of the set-up speaks against a photograph."""
        if not self.needle_date or not self.taken or self.needle_date == self.taken:
            return ()
        days = {"needle": self.needle_date, "taken": self.taken}
        return (doubt("needle_of_another_day", where=Where(file=photo), **days),)


def lit_by(lamps, tone):
    """The set-up of a task with its needle's picture looked at, once a process.

    Raises
    ------
    UnusableInput
        If the needle's picture cannot be read.
    """
    if lamps.needle_path is None:
        return SideLight(lamps.needle, lamps.lines, lamps.setup)
    found = lamps.needle_path.stat()
    lines = _needle_lines(lamps.needle_path, found.st_mtime_ns, found.st_size, tone)
    return SideLight(lamps.needle, lines, lamps.setup)


@lru_cache(maxsize=16)
def _needle_lines(path, _changed_ns, _size, tone):
    return pair_spacing(read_picture(path, tone=tone))


def side_light(needle_path, needle, setup):
    """A set-up with its needle's picture looked at, once for all photographs.

    Parameters
    ----------
    needle_path : str, Path or None
    needle : Needle or None
    setup : SideSetup

    Returns
    -------
    SideLight

    Raises
    ------
    UnusableInput
        If the needle's picture cannot be read, or comes without the needle's thickness.
    """
    if needle_path is None:
        return SideLight(needle, None, setup)
    if needle is None:
        mend = "measure the needle with a micrometer; give its diameter in mm, such as 0.4"
        raise UnusableInput("a needle of unknown thickness", Path(needle_path).name, mend)
    return SideLight(needle, pair_spacing(read_picture(needle_path)), setup)


def measure_crest(path, lit, on_axis=None, tone=None, *, name=None):
    """The crest in one photograph.

    Parameters
    ----------
    path : str, Path or anything with `name` and `read_bytes`
    lit : SideLight
        Its scale, where it is None, is taken from the picture's file where that has one.
    on_axis : PhotoResult, optional
        The same place in on-axis light, measured.
    tone : str, float or tuple, optional
        The camera's curve, where it is known.
    name : str, optional
        What the photograph is called in the result; its file's name by default.

    Returns
    -------
    CrestResult
        A photograph that cannot be measured is a result, too.

    Raises
    ------
    UnusableInput
        If needle or set-up cannot be.
    """
    path = Path(path) if isinstance(path, str) else path
    name = name or path.name
    start = time.perf_counter()
    checksum = ""
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=name, tone=tone)
        setup = lit.setup
        if setup.um_per_px is None and picture.um_per_px_in_file:
            setup = replace(setup, um_per_px=picture.um_per_px_in_file)
        line, doubts = _bright_line(on_axis)
        size = size_crest(pair_spacing(picture), lit.lines, lit.needle, setup, line)
        size = replace(size, doubts=(*placed(size.doubts, file=name), *doubts))
    except UnreadablePicture as fault:
        size = _refused(doubt(fault.code, where=Where(file=name)), lit)
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        size = _refused(fault_of_one(fault, name), lit)
    seconds = time.perf_counter() - start
    return CrestResult(name, path, size.to_dict(), checksum, seconds, size)


def _refused(reason, lit):
    """A photograph that gave nothing to measure, and why."""
    light = Lighting(lit.setup.direction)
    return CrestSize("refused", LineSpacing("none"), lit.lines, (reason,), light=light)


def _bright_line(on_axis: PhotoResult | None):
    """The bright line of an on-axis picture and its light, or the doubts why there is none."""
    if on_axis is None:
        return None, ()
    numbers = on_axis.numbers
    width, light = numbers["width_um"], Lighting(**numbers["light"])
    if width is None or light.direction != "on-axis":
        why = " ".join(one["text"] for one in numbers["reasons"]) or on_axis.summary()
        unused = doubt(
            "on_axis_unused", picture=on_axis.photo, why=why, where=Where(file=on_axis.photo)
        )
        return None, (unused,)
    return OnAxisLine(FacingWidth(width["low"], width["high"], width["mean"]), light), ()
