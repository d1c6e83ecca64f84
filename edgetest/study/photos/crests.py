"""Measure crests between two lamps: photograph, needle and, where there is one, on-axis picture."""

import time
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

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


def measure_crest(path, lit, on_axis=None):
    """The crest in one photograph.

    Parameters
    ----------
    path : str or Path
    lit : SideLight
        Its scale, where it is None, is taken from the picture's file where that has one.
    on_axis : PhotoResult, optional
        The same place in on-axis light, measured.

    Returns
    -------
    CrestResult
        A photograph that cannot be measured is a result, too.

    Raises
    ------
    UnusableInput
        If needle or set-up cannot be.
    """
    path = Path(path)
    start = time.perf_counter()
    checksum = ""
    try:
        data = path.read_bytes()
        checksum = sha256(data).hexdigest()
        picture = read_picture(data, name=path.name)
        setup = lit.setup
        if setup.um_per_px is None and picture.um_per_px_in_file:
            setup = replace(setup, um_per_px=picture.um_per_px_in_file)
        line, doubts = _bright_line(on_axis)
        size = size_crest(pair_spacing(picture), lit.lines, lit.needle, setup, line)
        size = replace(size, doubts=(*placed(size.doubts, file=path.name), *doubts))
    except UnreadablePicture as fault:
        size = _refused(doubt(fault.code, where=Where(file=path.name)), lit)
    except UnusableInput:
        raise
    except Exception as fault:  # one photograph does not end those after it
        size = _refused(fault_of_one(fault, path.name), lit)
    seconds = time.perf_counter() - start
    return CrestResult(path.name, path, size.to_dict(), checksum, seconds, size)


def _refused(reason, lit):
    """A photograph that gave nothing to measure, and why."""
    light = Lighting(lit.setup.direction)
    return CrestSize("refused", LineSpacing("none"), lit.lines, (reason,), light=light)


def _bright_line(on_axis: PhotoResult | None):
    """The bright line of an on-axis picture and its light, or the doubts why there is none."""
    if on_axis is None:
        return None, ()
    width, light = on_axis.numbers["width_um"], Lighting(**on_axis.numbers["light"])
    if width is None or light.direction != "on-axis":
        return None, placed(on_axis.doubts, file=on_axis.photo)
    return OnAxisLine(FacingWidth(width["low"], width["high"], width["mean"]), light), ()
