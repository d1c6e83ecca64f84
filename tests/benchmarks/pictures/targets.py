"""What light comes from things of known size: a needle in the edge's place, a stage micrometer?"""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.pictures.grain import Ground, draw_grain, lognormal, scatter_dust
from tests.benchmarks.pictures.lamps import reflectance
from tests.benchmarks.pictures.profile_light import summit
from tests.benchmarks.pictures.surface import smooth_noise

NODES = 6001  # of the needle's half circle


@dataclass(frozen=True)
class NeedleTruth:
    """Diameter um, distance of the two glints before the lens um, row of the axis at mid column."""

    diameter_um: float
    glint_spacing_um: float
    axis_row: float
    tilt_deg: float
    um_per_px: float


@dataclass(frozen=True)
class RulingTruth:
    """Pitch and line width um; `places`: middles of the lines along their normal, pixels.

    Counted from the picture's middle. Of lines turned by `tilt_deg` the pitch along a row is
    longer by 1/cos.
    """

    pitch_um: float
    line_um: float
    places: np.ndarray
    tilt_deg: float
    um_per_px: float


@dataclass(frozen=True)
class Target:
    """Light (sub-pixels) float32, linear, brightest 1 on the mean; and its truth."""

    light: np.ndarray
    truth: NeedleTruth | RulingTruth


def _across(frame, tilt_deg):
    """Distances along and across a line turned by `tilt_deg` through the picture's middle, um."""
    rows, cols = frame.shape
    y = ((np.arange(rows) - (rows - 1) / 2) * frame.pitch).astype(np.float32)[:, None]
    x = ((np.arange(cols) - (cols - 1) / 2) * frame.pitch).astype(np.float32)[None, :]
    c, s = np.float32(np.cos(np.radians(tilt_deg))), np.float32(np.sin(np.radians(tilt_deg)))
    return x * c + y * s, y * c - x * s


def render_needle(diameter_um, lighting, frame, alpha, rng, tilt_deg=0.0, texture_sd=0.03):
    """Light of a round needle that lies along the edge, polished to rms slope `alpha`.

    It is drawn and polished lengthwise (grain along it). Outside it the picture is dark.
    """
    table = reflectance(replace(lighting, alpha=alpha), 0.0, tilt_deg)
    radius = diameter_um / 2
    v = radius * np.sin(np.linspace(-np.pi / 2, np.pi / 2, NODES))
    light = table.at(np.arcsin(v / radius)).astype(float)
    seen = np.abs(v) < 0.95 * radius
    light /= light[seen].max()
    integral = np.concatenate([[0], np.cumsum(np.diff(v) * (light[1:] + light[:-1]) / 2)])
    offset = rng.uniform(-0.5, 0.5) * frame.um_per_px
    _, across = _across(frame, tilt_deg)
    grid = np.arange(-radius - 2 * frame.pitch, radius + 2 * frame.pitch, frame.pitch / 6)
    mean = np.interp(grid + frame.pitch / 2, v, integral)
    mean = (mean - np.interp(grid - frame.pitch / 2, v, integral)) / frame.pitch
    picture = _read(mean.astype(np.float32), across - np.float32(offset), grid)
    if texture_sd:
        grain = draw_grain(
            np.hypot(*frame.shape) * frame.pitch, (150.0, 2.0), tilt_deg, frame.pitch, rng
        )
        picture *= grain.lay(lognormal(grain.values, texture_sd), frame.shape, frame.pitch)
    peaks = [summit(v[half], light[half]) for half in ((v < 0) & seen, (v > 0) & seen)]
    row = (frame.rows - 1) / 2 + offset / frame.um_per_px / np.cos(np.radians(tilt_deg))
    truth = NeedleTruth(
        diameter_um, float(peaks[1] - peaks[0]), float(row), tilt_deg, frame.um_per_px
    )
    return Target(picture, truth)


def _read(values, places, grid):
    """Even-grid `values` read at `places`, linear, the end values beyond the ends."""
    step = np.float32(1 / (grid[1] - grid[0]))
    k = np.clip((places - np.float32(grid[0])) * step, 0, np.float32(len(grid) - 1.01))
    low = k.astype(np.int32)
    k -= low
    rise = np.append(np.diff(values), 0).astype(np.float32)
    return values[low] + k * rise[low]


def render_ruling(pitch_um, line_um, frame, rng, tilt_deg=0.0, bright_lines=False, dust=0):
    """Light of a stage micrometer: lines across the picture's rows, chrome on glass.

    `bright_lines`: chrome lines on bare glass in reflected light; else the lines are bare glass in
    chrome (or chrome lines in light from below). Every fifth line is longer, every tenth longest;
    line edges waver by a tenth of a micrometre. `tilt_deg` turns the lines from upright.
    """
    along, across = _across(frame, 90.0 + tilt_deg)  # across: minus the place along rows
    place = -across
    half = frame.pitch / 2
    reach = np.hypot(*frame.shape) * frame.pitch / 2
    first = rng.uniform(0, pitch_um)
    count = int(reach / pitch_um) + 2
    middles = first + pitch_um * np.arange(-count, count + 1)
    index = np.rint((place - first) / pitch_um)
    away = np.abs(place - first - index * pitch_um)
    step = frame.pitch * 2
    waver = 0.1 * smooth_noise(int(2 * reach / step) + 2, step, 8.0, rng)
    edge = _read(waver.astype(np.float32), along, step * np.arange(len(waver)) - reach)
    cover = np.clip((line_um / 2 + edge - away) / (2 * half) + 0.5, 0, 1)
    order = index.astype(int) + int(rng.integers(10))
    length = np.where(order % 10 == 0, 0.45, np.where(order % 5 == 0, 0.38, 0.30))
    height = frame.rows * frame.um_per_px
    cover *= np.clip((length * height - np.abs(along)) / (2 * half) + 0.5, 0, 1)
    chrome, glass = 1.0, 0.07  # 4 to 7 percent of chrome's light: two glass faces, from memory
    light = (glass + (chrome - glass) * (cover if bright_lines else 1 - cover)).astype(np.float32)
    if dust:
        scatter_dust(light, Ground(dust=dust, dust_px=(2.0, 8.0)), frame.supersample, rng)
    inside = np.abs(middles) < frame.cols * frame.um_per_px / 2
    truth = RulingTruth(
        pitch_um, line_um, middles[inside] / frame.um_per_px, tilt_deg, frame.um_per_px
    )
    return Target(light, truth)
