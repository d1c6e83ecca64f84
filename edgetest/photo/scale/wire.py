"""Scale from a wire, feeler gauge or drill shank of known diameter lying in the picture."""

import numpy as np
from scipy.special import ndtr

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import grey_of
from edgetest.photo.scale.line_directions import levels, line_directions
from edgetest.photo.scale.line_strips import strips
from edgetest.photo.scale.pitch import two_sided_t
from edgetest.photo.scale.ruling_scale import checked, scale_of

MIN_WIDTH_PX = 6.0


def scale_from_wire(light, diameter_um, diameter_u_um):
    """Scale from the two sides of a straight body of known width.

    Parameters
    ----------
    light : Light
        The picture; the body dark on bright ground or bright on dark.
    diameter_um, diameter_u_um : float
        Its diameter and the standard uncertainty of that, µm.

    Returns
    -------
    Scale
        `lines_used` is the number of strips along the body that were used; `blur_px` the
        blur of its sides.

    Raises
    ------
    UnusableInput
        If no body with two straight parallel sides is found, or the picture is no `Light`.
    """
    checked(diameter_um, "diameter_um", "µm")
    if not 0 <= diameter_u_um < 0.2 * diameter_um:
        what = f"uncertainty {diameter_u_um:g} µm of a diameter of {diameter_um:g} µm"
        raise UnusableInput(what, where="diameter_u_um", mend="give the gauge's own, in µm")
    grey = grey_of(light)
    body = _find_body(grey) if grey.ndim == 2 and min(grey.shape) >= 48 else None
    if body is None:
        raise UnusableInput(
            "no body with two straight, parallel sides runs through it",
            where="picture",
            mend="lay one wire or gauge across the picture, in focus, on a plain ground",
        )
    angle, width, width_u, strips_used, blur, df = body
    relative = np.hypot(width_u / width, diameter_u_um / diameter_um)
    # Few strips widen the interval only for the part that they carry.
    t_share = two_sided_t(df) / 1.96 if width_u / width > diameter_u_um / diameter_um else 1.0
    return scale_of(diameter_um / width, relative * t_share, "wire", rotation_deg=angle,
                  lines_used=strips_used, blur_px=blur)  # fmt: skip


def _find_body(grey):
    """Angle across the body, width and its uncertainty, strips used, blur, df; or None."""
    for level in levels(grey):
        for angle in line_directions(level):
            body = _measure(grey, angle)
            if body is not None:
                return body
    return None


def _measure(grey, angle):
    """The body's width across `angle`, from strips along it."""
    for turn in range(3):
        profiles, across, along, _ = strips(grey, angle, count=24)
        sides = [_two_sides(row) for row in profiles]
        kept = np.array([number for number, side in enumerate(sides) if side is not None])
        if kept.size < 5:
            return None
        found = np.array([sides[number] for number in kept])  # first, second, blur, sd
        found[:, :2] += across[0]
        middle = found[:, :2].mean(axis=1)
        lean, start = _robust_line(along[kept], middle)
        if turn == 2 or abs(lean) * (along[1] - along[0]) < 0.1:
            break
        angle = angle - np.rad2deg(np.arctan(lean))
    off = np.abs(middle - start - lean * along[kept])
    good = off < max(4 * 1.4826 * np.median(off), 0.2)
    width = found[:, 1] - found[:, 0]
    spread = 1.4826 * np.median(np.abs(width - np.median(width[good])))
    good &= np.abs(width - np.median(width[good])) < max(4 * spread, 0.05)
    count = int(good.sum())
    typical = float(np.median(width[good])) if count else 0.0
    if count < 5 or typical < MIN_WIDTH_PX or np.median(off) > 0.05 * typical:
        return None
    if np.ptp(along[kept[good]]) < 1.5 * typical and count < 0.6 * len(along):
        return None
    sd = max(float(np.std(width[good], ddof=1)), float(np.median(found[good, 3])))
    # Sides that bend alike in neighbouring strips tell less than their number.
    mean, u = float(width[good].mean()), sd / np.sqrt(count) * _alike(width[good])
    blur = float(np.median(found[good, 2]))
    turned = (angle - np.rad2deg(np.arctan(lean)) + 90) % 180 - 90
    cosine = np.cos(np.arctan(lean))
    return float(turned), mean * cosine, u, count, blur, count - 1


def _alike(values):
    """Factor by which neighbours that err alike widen the mean's uncertainty."""
    miss = values - values.mean()
    share = float(np.sum(miss[1:] * miss[:-1]) / max(float(np.sum(miss**2)), 1e-18))
    share = float(np.clip(share + 1 / values.size, 0, 0.8))
    return np.sqrt((1 + share) / (1 - share))


def _robust_line(x, y):
    """Slope and start of a line by medians of slopes, refined without outliers."""
    steps = np.subtract.outer(y, y)[np.triu_indices(x.size, 1)]
    runs = np.subtract.outer(x, x)[np.triu_indices(x.size, 1)]
    slope = float(np.median(steps / runs))
    miss = y - slope * x
    near = np.abs(miss - np.median(miss)) <= max(3 * np.median(np.abs(miss - np.median(miss))), 0.1)
    if near.sum() >= 3:
        slope, start = np.polyfit(x[near], y[near], 1)
        return float(slope), float(start)
    return slope, float(np.median(miss))


def _two_sides(row):
    """First and second side, blur and noise of the body in one strip; None if it has none."""
    valid = np.flatnonzero(np.isfinite(row))
    if valid.size < 24:
        return None
    first, y = valid[0], row[valid[0] : valid[-1] + 1].astype(float)
    low, high = np.quantile(y, [0.02, 0.98])
    if high - low < 0.05:
        return None
    above = y > (low + high) / 2
    cross = np.flatnonzero(np.diff(above.astype(int)))
    if cross.size != 2:
        return None
    sign = 1.0 if above[(cross[0] + cross[1]) // 2 + 1] else -1.0
    return _fit_sides(y, cross, sign, first)


def _fit_sides(y, cross, sign, first):
    """Both sides as blurred steps with a ground of its own slope on each: least squares."""
    from scipy.optimize import least_squares

    width = cross[1] - cross[0]
    reach = int(min(width // 2, 40))
    sides, blurs, noise = [], [], []
    for place, way in ((cross[0], sign), (cross[1], -sign)):
        low, high = max(0, place - reach), min(y.size, place + reach + 2)
        if high - low < 10 or place - low < 4 or high - place < 5:
            return None
        x, part = np.arange(low, high, dtype=float), y[low:high]

        def residuals(p, x=x, part=part, way=way):
            step = ndtr(way * (x - p[0]) / np.exp(np.clip(p[1], -3, 5)))
            off = x - p[0]
            return p[2] + (p[3] + p[4] * off) * step - part

        lift = max(float(np.ptp(part)), 1e-3)
        start = [place + 0.5, np.log(1.5), float(part.min()), lift, 0.0]
        fit = least_squares(residuals, start, method="lm", max_nfev=200)
        rms = np.sqrt(2 * fit.cost / max(1, x.size - 5))
        if rms > 0.08 * lift or not low < fit.x[0] < high:
            return None
        jac = np.asarray(fit.jac)
        cov = np.linalg.pinv(jac.T @ jac) * rms**2
        sides.append(fit.x[0] + first)
        blurs.append(float(np.exp(np.clip(fit.x[1], -3, 5))))
        noise.append(np.sqrt(max(cov[0, 0], 0)))
    return sides[0], sides[1], float(np.mean(blurs)), float(np.hypot(*noise))
