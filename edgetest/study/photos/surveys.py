"""Several photographs of one edge: a focus stack fused, overlapping frames joined heel to tip."""

import time
from dataclasses import dataclass, replace
from hashlib import sha256
from math import hypot
from pathlib import Path

import numpy as np

from edgetest.doubts import Doubt, joined, told
from edgetest.errors import UnusableInput
from edgetest.estimate import format_estimate, plain
from edgetest.photo.apex.apex_light import (
    NOT_NOTED,
    ApexForms,
    Lighting,
    facing_width,
    in_light,
    line_words,
    wrong_light,
)
from edgetest.photo.apex.apex_result import damage_words, refused
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.focus_stack import fuse_stack
from edgetest.photo.frame_joining import StripWidth, join_widths, walk_along
from edgetest.photo.linear_light import Light
from edgetest.store.images import read_picture
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.photo_result import PhotoResult

NORMAL_95 = 1.96


def measure_stack(paths, um_per_px, relative_u=0.0, *, lighting=NOT_NOTED):
    """Fuse photographs of one place taken at different heights, and measure the result.

    Parameters
    ----------
    paths : sequence of path
        Two or more, of one size.
    um_per_px, relative_u : float
    lighting : Lighting

    Returns
    -------
    (PhotoResult, ndarray)
        The measurement and the fused picture, linear light.

    Raises
    ------
    UnusableInput
        If one cannot be read, or they cannot be laid together.
    """
    start = time.perf_counter()
    paths = [Path(path) for path in paths]
    pictures = [read_picture(path) for path in paths]
    fused = fuse_stack(pictures, [path.name for path in paths])
    tone_known = all(picture.tone_known for picture in pictures)
    named = all(picture.tone_named for picture in pictures)
    tone = pictures[0].tone
    light = Light(fused.picture, fused.saturated, tone, tone_known, tone_named=named)
    unlit = wrong_light(lighting)
    if unlit is None:
        measured = measure_apex(light, um_per_px, scale_relative_u=relative_u)
    else:
        measured = refused(unlit, um_per_px=um_per_px, scale_relative_u=relative_u)
    measured = in_light(measured, lighting)
    measured = replace(measured, doubts=joined(fused.doubts, measured.doubts))
    checksum = sha256("".join(picture.sha256 for picture in pictures).encode()).hexdigest()
    name = " + ".join(path.name for path in paths)
    seconds = time.perf_counter() - start
    task = Task(paths[0], um_per_px, relative_u, lighting=lighting)
    result = PhotoResult(name, paths[0], measured.to_dict(), checksum, seconds, task, measured)
    return result, fused.picture


@dataclass(frozen=True)
class Survey:
    """Width along a whole edge from overlapping photographs, in the order heel to tip."""

    frames: tuple[PhotoResult, ...]
    strip: StripWidth
    mean_um: float
    low_um: float
    high_um: float
    chips: tuple[dict, ...]
    doubts: tuple[Doubt, ...] = ()
    light: Lighting = NOT_NOTED

    @property
    def w30_um(self):
        """W30 of the mean edge as the light brackets it; None where the light is not noted."""
        blurs = [frame.numbers["blur_px"] or 0.0 for frame in self.frames if frame.measured]
        scales = [frame.numbers["scale"]["um_per_px"] for frame in self.frames if frame.measured]
        blur_um = max(blur * scale for blur, scale in zip(blurs, scales, strict=True))
        return facing_width(self.low_um, self.high_um, self.light, blur_um)

    @property
    def apex(self):
        """The flat, and the round crests, that show the mean bright line."""
        facing = self.w30_um
        return ApexForms(self.mean_um, facing.high) if facing else None

    @property
    def length_um(self):
        """From the first place measured to the last."""
        return float(np.ptp(self.strip.position_um))

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "frames": [frame.to_dict() for frame in self.frames],
            "offsets_rc": [[plain(place) for place in corner] for corner in self.strip.offsets_rc],
            "length_um": plain(self.length_um),
            "width_um": {
                "mean": plain(self.mean_um),
                "low": plain(self.low_um),
                "high": plain(self.high_um),
                "sd_along_edge": plain(float(self.strip.width_um.std())),
            },
            "light": self.light.to_dict(),
            "w30_um": self.w30_um.to_dict() if self.w30_um else None,
            "apex": self.apex.to_dict() if self.apex else None,
            "position_um": np.round(self.strip.position_um, 3).tolist(),
            "edge_width_um": np.round(self.strip.width_um, 4).tolist(),
            "chips": list(self.chips),
            **told(self.doubts),
        }

    def summary(self):
        """The survey as a maker reads it."""
        refused = [frame.photo for frame in self.frames if not frame.measured]
        line = (
            f"{format_estimate(self.mean_um, self.low_um, self.high_um)} µm, from "
            f"{np.percentile(self.strip.width_um, 5):.3g} to "
            f"{np.percentile(self.strip.width_um, 95):.3g} µm along it (5th to 95th percentile)"
        )
        words = (
            f"{self.length_um / 1000:.2f} mm of edge from {len(self.frames)} photographs: "
            f"{line_words(line, self.apex, self.light)}"
        )
        if self.chips:
            words += f"; {damage_words(self.chips)}"
        return words + (f"; not measured: {', '.join(refused)}" if refused else "")


def survey(paths, um_per_px, relative_u=0.0, *, lighting=NOT_NOTED, progress=None):
    """Measure overlapping photographs along an edge and join them into one strip.

    Parameters
    ----------
    paths : sequence of path
        Two or more frames in the order in which they lie along the edge, overlapping by a
        tenth at least.
    um_per_px, relative_u : float
        Scale of the first (frames of another zoom are brought to its), and its relative
        standard uncertainty.
    lighting : Lighting
        The same for all.
    progress : callable(done, total), optional

    Returns
    -------
    Survey
        The interval of the mean takes the frames' own uncertainties as shared, as the scale's:
        most of them come of camera, light and lens.

    Raises
    ------
    UnusableInput
        If frames cannot be read or joined, none could be measured, or the light is not on-axis.
    """
    paths = [Path(path) for path in paths]
    if len(paths) < 2:
        raise UnusableInput(f"{len(paths)} photograph", "edge strip", "give two frames or more")
    if um_per_px is None:
        raise UnusableInput("the scale is missing", "edge strip", "give --um-per-px")
    if wrong_light(lighting) is not None:
        what = f"{lighting.direction} light shows no bright line that could be followed"
        raise UnusableInput(what, "edge strip", "light the edge through the lens")
    names = [path.name for path in paths]
    walk = walk_along((read_picture(path).grey for path in paths), names)
    frames = []
    for number, path in enumerate(paths, 1):
        frames.append(measure_photo(Task(path, um_per_px, relative_u, lighting=lighting)))
        if progress:
            progress(number, len(paths))
    strip = join_widths([frame.measurement for frame in frames], walk, um_per_px)
    mean = float(strip.width_um.mean())
    shares = np.bincount(strip.frame, minlength=len(frames)) / strip.frame.size
    # One camera, one light, one lens: what errs in one frame errs alike in the others.
    own = float(shares @ [frame.numbers["width_u_um"] or 0.0 for frame in frames])
    u = hypot(own, mean * relative_u, mean * walk.zoom_u)
    return Survey(
        tuple(frames),
        strip,
        mean,
        mean - NORMAL_95 * u,
        mean + NORMAL_95 * u,
        tuple(_chips(frames, walk, um_per_px)),
        joined(walk.doubts, *(frame.doubts for frame in frames if frame.measured)),
        lighting,
    )


def _chips(frames, walk, um_per_px):
    """Every frame's damage on the strip's positions; what two frames see is told once."""
    found: list[dict] = []
    for number, frame in enumerate(frames):
        measured = frame.measurement
        if measured is None or not measured.chips or np.isnan(walk.matrices[number]).any():
            continue
        for chip in measured.chips:
            at = [np.interp(chip.position_um, measured.position_um, line)
                  for line in measured.centre_rc.T]  # fmt: skip
            place = float(walk.to_strip(np.array(at), number) @ walk.along) * um_per_px
            sizes = chip.to_dict()
            lengths = [
                key
                for key in ("length_um", "depth_um", "length_u_um", "depth_u_um")
                if sizes[key] is not None
            ]
            sizes |= {key: round(sizes[key] * walk.zooms[number], 3) for key in lengths}
            known = any(
                abs(each["position_um"] - place) < chip.length_um
                and (each["kind"], each["side"]) == (chip.kind, chip.side)
                for each in found
            )
            if known:
                continue
            found.append({**sizes, "position_um": round(place, 2), "frame": frame.photo})
    return sorted(found, key=lambda chip: chip["position_um"])
