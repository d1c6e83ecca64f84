"""What light comes from a worn edge, its damage, scratches and dust, before lens and camera?

Bevels fill the picture; the apex is laid over them in a band of rows that follows the edge's line;
then damage, burr, uneven light and dust. Light is radiance, linear; 1 is the brightest place of the
clean apex on the mean. Truth comes from geometry and the clean light's half height.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tests.benchmarks.pictures.breaks import Broken, Place, burr_light, realise
from tests.benchmarks.pictures.grain import (
    draw_grain,
    falling_light,
    glints,
    lognormal,
    scatter_dust,
)
from tests.benchmarks.pictures.lamps import reflectance
from tests.benchmarks.pictures.profile_light import (
    BRIGHTEST_GRAIN,
    glint_spacing,
    profile_of,
    scratching,
)
from tests.benchmarks.pictures.surface import edge_line, section, shaded_width

SCRATCH_LEAN = 0.35  # rad, spread of the leans of the walls of scratches that glint


@dataclass(frozen=True)
class SceneTruth:
    """What the picture shows.

    Widths um, before the lens, mean over the columns that have an edge; `width_um` is NaN where
    the bevels are as bright as the apex. `y1`, `y2` (cols,): rows of the clean borders at each
    column's middle, pixels (the middle of the top row is 0), NaN where there is no edge; they
    follow rolls no more than other damage. Across the edge they lie closer by cos(tilt).
    `bevels`: light of the bevels at smaller and at larger rows. `texture_sd`: relative SD of light
    over the middle of the land, sub-pixels, from scratches alone.
    """

    width_um: float
    w30_um: float
    flat_um: float
    radius_um: float
    glint_spacing_um: float
    y1: np.ndarray
    y2: np.ndarray
    damages: tuple[Broken, ...]
    texture_sd: float
    bevels: tuple[float, float]
    tilt_deg: float
    um_per_px: float


@dataclass(frozen=True)
class Scene:
    """Light (rows x supersample, columns x supersample), float32, linear; and its truth."""

    light: np.ndarray
    truth: SceneTruth


def _picture_line(line, edge, frame):
    """Columns and rows (pixels) of the line of the edge and of its normal there, on `line.u`."""
    c, s = np.cos(np.radians(edge.tilt_deg)), np.sin(np.radians(edge.tilt_deg))

    def at(v):
        x = (line.u * c - v * s) / frame.um_per_px + (frame.cols - 1) / 2
        y = (line.u * s + v * c) / frame.um_per_px + (frame.rows - 1) / 2
        return x, y

    return at


def _bevel_picture(frame, edge, ground, levels, tables, sections, rng):
    """Light of both bevels over the whole picture, as if the apex had no width."""
    shape, pitch = frame.shape, frame.pitch
    picture = np.empty(shape, np.float32)
    diagonal = np.hypot(*shape) * pitch
    x = np.arange(shape[1])
    middle = np.clip(sections, 0, shape[0])
    low, high = int(middle.min()), int(np.ceil(middle.max()))
    rows = ((0, high), (low, shape[0]))
    laid = []
    for k, (first, last) in enumerate(rows):
        turn = ground.bevel_grain_deg[k]
        grain = draw_grain(diagonal, ground.bevel_grain_um, edge.tilt_deg + turn, pitch, rng, True)
        table, lean, alpha = tables[k]
        marks = scratching(table, turn, lean, ground.bevel_sd, alpha, grain.values)
        at_lean = int(np.argmin(np.abs(marks.leans - lean)))
        factor = np.interp(grain.values, marks.depths, marks.factor[at_lean]).astype(np.float32)
        # A field of its own: scratches' slopes and patches in step would add up on one side and
        # cancel each other on the other.
        patchy = draw_grain(diagonal, ground.bevel_grain_um, edge.tilt_deg + turn, pitch, rng)
        factor *= lognormal(patchy.values, marks.gain_sd)
        factor = np.float32(levels[k]) * np.minimum(factor, BRIGHTEST_GRAIN)
        laid.append(grain.lay(factor, shape, pitch, (first, max(last, first + 1))))
    picture[:low] = laid[0][:low]
    picture[high:] = laid[1][high - low :]
    if high > low:
        below = np.arange(low, high)[:, None] >= middle[None, x]
        picture[low:high] = np.where(below, laid[1][: high - low], laid[0][low:high])
    return picture


def _scratch(picture, ground, edge, frame, steel, profile, rng):
    """Lay single glinting scratches on the bevels, in place: at most half as bright as the land."""

    def brightness(rng):
        wall = np.abs(rng.normal(0, SCRATCH_LEAN))
        return 0.5 * float(steel.at(wall)) / profile.scale

    marks = glints(frame.shape, frame.pitch, ground, edge.tilt_deg, brightness, rng)
    np.maximum(picture, marks, out=picture)


def _band(sections, reach, shape):
    """Row and column numbers (2k+1, columns) of a band about the line, and which are inside."""
    half = int(np.ceil(reach)) + 2
    rows = np.round(sections).astype(np.int32)[None, :] + np.arange(-half, half + 1)[:, None]
    return rows, (rows >= 0) & (rows < shape[0])


def _land_texture(place, profile, table, lighting, ground, turn_deg, rng):
    """Factor that scratches put on the apex's light, over the band."""
    frame, v = place.frame, place.v / place.widening
    diagonal = np.hypot(*frame.shape) * frame.pitch
    turn = ground.land_grain_deg
    grain = draw_grain(diagonal, ground.land_grain_um, turn_deg + turn, frame.pitch, rng, True)
    along, across = grain.places(place.x, place.y)

    def sampled(values):
        """A field of the grain over the band, its spread on the land (as it is laid) 1."""
        laid = cv2.remap(values, along, across, cv2.INTER_LINEAR, None, cv2.BORDER_REFLECT_101)
        part = laid[land] if land.sum() > 100 else laid
        return (laid - part.mean()) / part.std(), part

    land = np.abs(v - sum(profile.borders) / 2) < 0.35 * np.ptp(profile.borders)
    land &= place.inside
    deep, part = sampled(grain.values)
    places = sum(profile.borders) / 2 + np.linspace(-0.35, 0.35, 9) * np.ptp(profile.borders)
    leans = profile.lean_at(places)
    part = (part - part.mean()) / part.std()
    marks = scratching(table, turn, leans, ground.land_sd, lighting.alpha, part)
    lean = profile.lean_at(v)
    step_a, step_g = marks.leans[1] - marks.leans[0], marks.depths[1] - marks.depths[0]
    factor = cv2.remap(
        marks.factor,
        ((deep - marks.depths[0]) / step_g).astype(np.float32),
        ((lean - marks.leans[0]) / step_a).astype(np.float32),
        cv2.INTER_LINEAR,
        None,
        cv2.BORDER_REPLICATE,
    )
    patchy = draw_grain(diagonal, ground.land_grain_um, turn_deg + turn, frame.pitch, rng)
    factor *= lognormal(sampled(patchy.values)[0], marks.gain_sd)
    sd = float(factor[land].std() / factor[land].mean()) if land.any() else float("nan")
    return factor, sd


def _place(frame, edge, line, at, reach):
    """Where each pixel of the band about the line lies: in the picture and across the edge."""
    x_mid, y_mid = at(line.middle)
    s = frame.supersample
    columns = (np.arange(frame.shape[1]) + 0.5) / s - 0.5
    sections = (np.interp(columns, x_mid, y_mid) + 0.5) * s - 0.5
    c, sn = np.cos(np.radians(edge.tilt_deg)), np.sin(np.radians(edge.tilt_deg))
    rows, inside = _band(sections, reach / frame.pitch / c, frame.shape)
    x = ((np.arange(frame.shape[1]) - (frame.shape[1] - 1) / 2) * frame.pitch)[None, :]
    y = (rows - (frame.shape[0] - 1) / 2) * frame.pitch
    u = x * c + y * sn
    k = (u - line.u[0]) / (line.u[1] - line.u[0])
    low = np.clip(k.astype(np.int32), 0, len(line.u) - 2)
    share = k - low

    def along(values):
        return values[low] + share * (values[low + 1] - values[low])

    v = (y * c - x * sn - along(line.middle)) * along(line.cosine)
    if edge.ragged_um:
        # A shift of one border leaves the middle of the land where it is.
        near = np.clip(np.abs(v) / (4 * edge.ragged_um), 0, 1)
        v -= near * np.where(v > 0, along(line.ragged[1]), -along(line.ragged[0]))
    place = Place(frame, rows, inside, np.broadcast_to(x, y.shape), y, u, v, along(line.widening))
    return place, sections


def _end(picture, edge, frame):
    """Darken the columns beyond the ends of the edge, in place."""
    if edge.span == (0.0, 1.0):
        return
    first, last = (share * frame.shape[1] for share in edge.span)
    x = np.arange(frame.shape[1]) + 0.5
    cover = np.clip(x - first + 0.5, 0, 1) * np.clip(last - x + 0.5, 0, 1)
    picture *= cover.astype(np.float32)
    picture += np.float32(edge.beyond) * (1 - cover).astype(np.float32)


def _truth(apex, profile, lighting, line, at, edge, frame):
    """Widths and borders of the clean edge, as keywords of `SceneTruth`."""
    columns = np.arange(frame.cols)
    borders = []
    for border in profile.borders:
        x, y = at(line.middle + border * line.widening / line.cosine)
        borders.append(np.interp(columns, x, y))
    first, last = (share * frame.cols - 0.5 for share in edge.span)
    without = (columns < first) | (columns > last)
    y1, y2 = (np.where(without, np.nan, y) for y in borders)
    x, y = at(line.middle)
    seen = (x > max(first, 0)) & (x < min(last, frame.cols - 1)) & (y > 0) & (y < frame.rows - 1)
    widening = float(line.widening[seen].mean()) if seen.any() else 1.0
    glints = glint_spacing(profile) if lighting.kind == "sectors" else float("nan")
    return {
        "width_um": profile.width_um * widening,
        "w30_um": shaded_width(section(apex)) * widening,
        "flat_um": (0.0 if apex.form == "round" else apex.flat_um) * widening,
        "radius_um": (0.0 if apex.form == "flat" else apex.radius_um) * widening,
        "glint_spacing_um": glints * widening,
        "y1": y1,
        "y2": y2,
        "tilt_deg": edge.tilt_deg,
        "um_per_px": frame.um_per_px,
    }


def render_scene(apex, edge, damages, ground, lighting, frame, rng):
    """Light of a worn edge and its truth.

    Parameters
    ----------
    apex, edge, damages, ground, lighting, frame
        Descriptions (see their classes); `damages` is a sequence of `Damage`.
    rng : numpy.random.Generator
        Every chance comes from it.

    Returns
    -------
    Scene
    """
    table = reflectance(lighting, ground.land_grain_deg, edge.tilt_deg)
    profile = profile_of(apex, table)
    tables, levels = [], []
    for k, lean in enumerate(section(apex).bevels):
        own = reflectance(lighting, ground.bevel_grain_deg[k], edge.tilt_deg)
        tables.append((own, lean, lighting.alpha))
        levels.append(float(own.at(lean) / profile.scale))
    width = frame.cols * frame.um_per_px
    half = np.hypot(*frame.shape) * frame.pitch * 0.6
    line = edge_line(edge, half, width, frame.pitch, rng)
    at = _picture_line(line, edge, frame)
    widest = float(line.widening.max())
    reach = max(-profile.v[0], profile.v[-1]) * widest + frame.pitch * 3
    reach += 2.2 * max((abs(d.depth_um) for d in damages), default=0.0)
    if apex.burr:
        reach += abs(apex.burr.offset_um) + 2 * apex.burr.width_um
    place, sections = _place(frame, edge, line, at, reach)
    picture = _bevel_picture(frame, edge, ground, levels, tables, sections, rng)
    if ground.scratches:
        _scratch(picture, ground, edge, frame, tables[0][0], profile, rng)
    broken = realise(damages, place, profile, line, at, rng)
    v = broken.v / place.widening
    texture, sd = _land_texture(place, profile, table, lighting, ground, edge.tilt_deg, rng)
    rows = np.clip(place.rows, 0, frame.shape[0] - 1)
    columns = np.broadcast_to(np.arange(frame.shape[1]), rows.shape)
    cover, ground_steel = profile.bevel_cover(v, frame.pitch), picture[rows, columns]
    for k, side in enumerate((-1, 1)):
        if apex.micro_um[k]:  # ground like the bevel behind it
            on_it = side * v > side * profile.v[-k] - apex.micro_um[k]
            texture[on_it] = np.clip(ground_steel[on_it] / levels[k], 0, BRIGHTEST_GRAIN)
    light = profile.apex(v, frame.pitch) * texture * broken.shine + sum(cover) * ground_steel
    light = broken.scarred(light, table, profile)
    if apex.burr:
        light = burr_light(light, apex.burr, place, profile, table, rng)
    picture[rows[place.inside], columns[place.inside]] = light[place.inside]
    _end(picture, edge, frame)
    if ground.falloff or ground.oil:
        picture *= falling_light(frame.shape, ground, rng)
    if ground.dust:
        scatter_dust(picture, ground, frame.supersample, rng)

    truth = _truth(apex, profile, lighting, line, at, edge, frame)
    return Scene(
        picture, SceneTruth(**truth, damages=broken.told, texture_sd=sd, bevels=tuple(levels))
    )
