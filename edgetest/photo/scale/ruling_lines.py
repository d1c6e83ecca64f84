"""The lines of a ruling: which way they run, how far apart they lie, each below one pixel."""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from edgetest.photo.scale.finer_lines import SLIM, divided, finer_parts, grey_beyond
from edgetest.photo.scale.line_spacing import (
    LineShape,
    find_lattice,
    fit_lines,
    fit_shape,
    windows_about,
)
from edgetest.photo.scale.line_strips import flatten, strips

MIN_LINES = 4
MIN_FILLED = 0.5  # share of the places of a ruling that hold a line
MOST_LEAN_DEG = 1.5  # against the strips
MAX_MISFIT = 0.03  # spread of the lines about even spacing, share of the pitch


@dataclass(frozen=True)
class LineSet:
    """Positions of one family of lines, by line and strip.

    Lengths are pixels from the picture's centre: `across` along the normal of the lines
    (at `angle_deg` from the rows, clockwise), `along` down the lines.
    """

    angle_deg: float
    index: np.ndarray  # (n,) whole number of the line
    across: np.ndarray  # (n,) position of the line's middle
    along: np.ndarray  # (n,) middle of the strip
    sd: np.ndarray  # (n,) standard deviation of `across` from noise
    pitch_px: float
    bright: bool  # bright lines on dark ground
    line_px: float  # width of a line
    blur_px: float | None  # of the picture, where the lines are wide enough to tell it
    fitted_blur_px: float  # of the lines in the strips
    filled: float  # share of the lattice places that hold a line
    misfit: float  # robust spread about the lattice, share of the pitch
    evenness: float  # ink of the faintest tenth of the lines over that of the strongest
    hidden: bool  # closer lines stand between these but run into each other
    stubs: bool  # hardly longer than wide: numerals rather than lines
    sections: bool  # part of the ruling holds every tenth (or fifth) line only
    weight: float  # points times ink squared: the true family outweighs a chance one


def extremes(flat, noise, sign):
    """Lines standing out of the ground: strip and place (columns) of each, and their height.

    `sign` is -1 for dark lines, 1 for bright ones.
    """
    from scipy.signal import find_peaks  # slow to import, and few want a ruling

    signal = sign * np.where(np.isfinite(flat), flat, 0)
    signal = cv2.GaussianBlur(signal.astype(np.float32), (0, 0), sigmaX=0.8, sigmaY=0.01)
    found = [
        find_peaks(row, prominence=max(4 * level, 1e-4), width=0.5)[1]
        for row, level in zip(signal, noise, strict=True)
    ]
    height = np.concatenate([peaks["prominences"] for peaks in found])
    if not height.size:
        return np.zeros(0, int), np.zeros(0), 0.0
    band = np.repeat(np.arange(len(found)), [peaks["prominences"].size for peaks in found])
    # The middle between the flanks: the summit of a wide line is anywhere on its flat top.
    place = np.concatenate([(peaks["left_ips"] + peaks["right_ips"]) / 2 for peaks in found])
    usual = float(np.quantile(height, 0.95))
    tall = height > 0.25 * usual
    return band[tall], place[tall], usual


def find_lines(grey, angle_deg):
    """Lines of the family square to `angle_deg`, or None where there is no ruling.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols), float32
        Linear light.
    angle_deg : float
        Direction across the lines, degrees from the rows, clockwise; within about a degree.

    Returns
    -------
    LineSet or None
    """
    strip_set, lattices, inks, sign, angle_deg = _lattices(grey, angle_deg)
    if sign == 0 or lattices[sign].score < 0.5:
        return None
    lines = _finest(strip_set, lattices[sign], inks[sign], sign, angle_deg)
    other = lattices[-sign]
    if lines is not None and lines.line_px > 0.5 * lines.pitch_px and other is not None:
        # What was found is wider than what is between: the gaps, if the others fit as well.
        turned = _finest(strip_set, other, inks[-sign], -sign, angle_deg)
        if is_even(turned) and turned.line_px < 0.5 * turned.pitch_px:
            return turned
    return lines


def _lattices(grey, angle_deg):
    """Strips square to the lines, lattices and ink of dark and bright ones, sign and angle.

    The sign is -1 where the lines are dark, 1 where bright, 0 where there are none.
    """
    for turn in range(3):
        profiles, across, along, noise = strips(grey, angle_deg)
        if len(along) < 2:
            break
        flat, noise = flatten(profiles, noise)
        strip_set = flat, noise, profiles, across, along
        seen = {sign: extremes(flat, noise, sign) for sign in (-1, 1)}
        found = {sign: find_lattice(band, place, along) for sign, (band, place, _) in seen.items()}
        merit = {sign: _merit(lattice) for sign, lattice in found.items()}
        # The gaps between lines are a lattice too; lines are the narrower of the two.
        narrow = -1 if _skewness(flat) < 0 else 1
        sign = narrow if merit[narrow] > 0.7 * merit[-narrow] else -narrow
        if found[sign] is None:
            break
        slope = found[sign].slope
        lean = np.rad2deg(np.arctan(slope))
        if turn == 2 or abs(slope) * (along[1] - along[0]) < 0.25:
            inks = {each: ink for each, (_, _, ink) in seen.items()}
            return strip_set, found, inks, sign if abs(lean) <= MOST_LEAN_DEG else 0, angle_deg
        # The lines lean against the strips: turn the strips and look again.
        angle_deg = angle_deg - lean
    return None, {}, {}, 0, angle_deg


def _finest(strip_set, lattice, ink, sign, angle_deg):
    """Lines of the lattice, or of the finer one that stands between its lines."""
    flat, noise, profiles, across, along = strip_set
    finest = lattice
    for _ in range(2):  # the long marks alone, then the medium ones alone
        parts = finer_parts(flat, noise, finest.pitch, ink)
        if parts == 1:
            break
        finest = divided(finest, parts)
    lines = _fit_all(flat, noise, across, along, finest, sign, angle_deg)
    if finest.pitch < lattice.pitch and not is_even(lines):
        lines = _fit_all(flat, noise, across, along, lattice, sign, angle_deg)
        return lines and replace(lines, hidden=True)
    if lines is None:
        return None
    return replace(lines, hidden=_ends_in_grey(profiles, across, along, lines, ink))


def is_even(lines):
    """Whether lines were found, and evenly spaced ones."""
    if lines is None or lines.stubs:
        return False
    return lines.filled >= MIN_FILLED and lines.misfit < MAX_MISFIT


def _ends_in_grey(profiles, across, along, lines, ink):
    """Whether lines too close to be seen singly darken the ground where the long ones end."""
    if lines.line_px + 2.35 * lines.fitted_blur_px > SLIM * lines.pitch_px:
        return False
    held = np.array([np.count_nonzero(lines.along == v) for v in along])
    index = np.unique(lines.index)
    coef = np.linalg.lstsq(
        np.stack([np.ones(lines.index.size), lines.index, lines.along], axis=-1), lines.across
    )[0]
    gaps = index[:-1][np.diff(index) == 1] + 0.5
    place = coef[0] + coef[1] * gaps[None, :] + coef[2] * along[:, None] - across[0]
    sign = 1 if lines.bright else -1
    return grey_beyond(profiles, along, held, np.rint(place).astype(int), ink, sign)


def _merit(lattice):
    """How well and how often a lattice was met."""
    return lattice.score * np.sqrt(lattice.points) if lattice else 0.0


def _skewness(flat):
    """Third moment of the strips: below zero where the dark parts are the narrow ones."""
    values = flat[np.isfinite(flat)]
    values = values - values.mean()
    return float(np.mean(values**3) / max(float(np.mean(values**2)) ** 1.5, 1e-12))


def _expected(flat, along, predict, indices):
    """Strip, line number and expected column of every line that a strip can hold."""
    band, index = (
        part.ravel() for part in np.meshgrid(np.arange(len(along)), indices, indexing="ij")
    )
    place = predict(index, along[band])
    column = np.clip(np.rint(place), 0, flat.shape[1] - 1).astype(int)
    inside = (place >= 0) & (place <= flat.shape[1] - 1) & np.isfinite(flat[band, column])
    return band[inside], index[inside], place[inside]


def _common_shape(flat, band, place, pitch, sign, width, blur):
    """Width and blur of the lines, from the clearest half of them."""
    reach = int(np.clip(pitch / 2, 2, 400))
    column = np.rint(place).astype(int)
    values, offsets, inside = windows_about(flat, band, column, reach)
    if inside.sum() < 8:
        return width, blur, np.inf
    values, x = sign * values[inside], (offsets[None, :] - (place - column)[:, None])[inside]
    ground = np.quantile(values, 0.1, axis=1, keepdims=True)
    ink = values.max(axis=1, keepdims=True) - ground
    clear = (ink[:, 0] >= np.median(ink)) & (ink[:, 0] > 0)
    if not clear.any():
        return width, blur, np.inf
    return fit_shape((values - ground)[clear] / ink[clear], x[clear], pitch)


def _basis(index, along, span, height, terms):
    """Smooth lattice: even spacing, lean, and where lines suffice what a lens adds."""
    u, v = index / span, along / height
    columns = [np.ones_like(u), u, v]
    if terms > 3:
        columns += [u * u, u**3, v * v, u * v, u * v * v]
    return np.stack(columns, axis=-1)


def smooth_lattice(index, along, place, sd):
    """Robust smooth map from line number and strip to position; returns a function of both."""
    span, height = max(1.0, np.abs(index).max()), max(1.0, np.abs(along).max())
    terms = 8 if np.unique(index).size >= 9 and np.unique(along).size >= 4 else 3
    design = _basis(index, along, span, height, terms)
    weight = 1 / sd**2
    weight = weight / np.maximum(weight, 1e-12).max()
    trust = np.ones_like(place)
    for _ in range(8):
        weighed = design * (weight * trust)[:, None]
        normal = weighed.T @ design
        normal += 1e-9 * np.trace(normal) * np.eye(len(normal))
        coef = np.linalg.solve(normal, weighed.T @ place)
        miss = place - design @ coef
        scale = 4.685 * max(1.4826 * np.median(np.abs(miss)), 1e-3)
        trust = np.clip(1 - (miss / scale) ** 2, 0, None) ** 2
    return (lambda k, v: _basis(k, v, span, height, terms) @ coef), miss


def _fit_all(flat, noise, across, along, lattice, sign, angle_deg):
    """Every line of the lattice in every strip: the middle first, then out to the ends."""
    pitch, middle = lattice.pitch, (flat.shape[1] - 1) / 2
    first = round((middle - lattice.origin) / pitch)  # line nearest the centre becomes 0
    start = lattice.origin + first * pitch
    reach = int(flat.shape[1] / 2 / pitch) + 2
    width, blur, blur_sd = 0.2 * pitch, min(1.2, pitch / 5), np.inf
    result = None

    def predict(index, v):
        return start + pitch * index + lattice.slope * v

    for share in (0.4, 1.0):
        indices = np.arange(-int(np.ceil(share * reach)), int(np.ceil(share * reach)) + 1)
        band, index, place = _expected(flat, along, predict, indices)
        if band.size < 8:
            continue
        width, blur, blur_sd = _common_shape(flat, band, place, pitch, sign, width, blur)
        shape = LineShape(width, blur, pitch, sign)
        fitted, sd, ink, good = fit_lines(flat, noise, band, place, shape)
        if good.sum() < 8:
            continue
        good &= ink > 0.2 * np.median(ink[good])
        good &= _several_strips(index, good)
        if pitch / 2 < width / 2 + 5 * blur:
            good &= _not_at_the_ends(index, good)
        if good.sum() < 8:
            return None
        points = index[good], along[band[good]], fitted[good], sd[good]
        predict, miss = smooth_lattice(*points)
        result = (index[good], fitted[good], along[band[good]], sd[good], miss)
        strength = float(np.median(ink[good]))
        evenness = _evenness(index[good], ink[good])
    if result is None:
        return None
    index, place, v, sd, miss = result
    spread = 1.4826 * np.median(np.abs(miss))
    kept = np.abs(miss) < 5 * max(spread, 1e-3)
    if kept.sum() < 8:
        return None
    filled, sections = _filled(np.unique(index[kept]))
    return LineSet(
        angle_deg=float(angle_deg),
        index=index[kept],
        across=place[kept] + across[0],
        along=v[kept],
        sd=sd[kept],
        pitch_px=pitch,
        bright=sign > 0,
        line_px=width,
        blur_px=_without_sampling(blur, blur_sd, angle_deg),
        fitted_blur_px=blur,
        filled=filled,
        hidden=False,
        stubs=_are_stubs(index[kept], v[kept], width),
        sections=sections,
        misfit=float(spread / pitch),
        evenness=evenness,
        weight=float(kept.sum() * strength**2),
    )


def _are_stubs(index, along, width):
    """Whether most lines reach over few strips and are hardly longer than wide."""
    strips = np.bincount(index - index.min())
    usual = float(np.median(strips[strips > 0]))
    places = np.unique(along)
    height = float(np.diff(places).min()) if places.size > 1 else 0.0
    return usual <= 3 and usual * height < 4 * width


def _filled(lines):
    """Share of the places that hold a line, and whether a part holds every tenth or fifth only."""
    whole = lines.size / (np.ptp(lines) + 1)
    for every in (10, 5):
        phase = np.bincount(lines % every).argmax()
        coarse, fine = lines[lines % every == phase], lines[lines % every != phase]
        alone = np.count_nonzero(np.diff(lines) == every)
        if alone < 2 or fine.size < 3:
            continue
        cells = np.unique((fine - phase) // every).size
        share = min(coarse.size / (np.ptp(coarse) / every + 1), fine.size / ((every - 1) * cells))
        if share >= MIN_FILLED:
            return max(whole, share), True
    return whole, False


def _evenness(index, ink):
    """Ink of the faintest tenth of the lines over that of the strongest, each at its best."""
    best = np.zeros(int(np.ptp(index)) + 1)
    np.maximum.at(best, index - index.min(), ink)
    low, high = np.quantile(best[best > 0], [0.1, 0.9])
    return float(low / high)


def _without_sampling(blur, blur_sd, angle_deg):
    """Blur of the picture: what the strips' interpolation added is taken out; or None."""
    added = 1 / 6 if min(abs(angle_deg) % 90, 90 - abs(angle_deg) % 90) > 0.02 else 0.0
    if blur_sd > 0.1 * blur or blur**2 <= 2 * added:
        return None
    return float(np.sqrt(blur**2 - added))


def _not_at_the_ends(index, good):
    """True but for the first and last line, where lines so close are fitted as if among others."""
    met = np.unique(index[good])
    return (index > met[0]) & (index < met[-1]) if met.size >= 12 else np.ones_like(good)


def _several_strips(index, good):
    """True for lines that hold in at least two strips: a speck is not a line."""
    low = index.min()
    return np.bincount(index[good] - low, minlength=np.ptp(index) + 1)[index - low] >= 2
