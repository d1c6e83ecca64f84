"""Whether short lines ran into a grey block beside the long marks that were found."""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.photo.scale.finer_lines import GREY

GAPS, PLACES = 24, 4  # looked at: gaps between marks, and places across each
ROOM = 0.62  # marks wider than this share of their spacing leave no clean ground between them
UNKNOWN = 0.39  # blur over spacing where the fit of their shape came to its stop and tells nothing
CLEAR = 0.75  # of the marks, by their ink: some are missing or end early
BORDERS = 5  # steps of the ground that are tried as either end of a block
SHORTEST = 0.75  # of a block, in spacings of the marks: a base line is thinner
FAINTEST = 0.008  # darkness of a block, share of the ground
MOST_GREY = 3.0  # darkness over the marks' ink: numerals and dust are no blur of such lines
SHEER = 0.6  # of that darkness comes at once at either end: light falls off by and by
PARTS, EVEN = 5, 0.8  # share of its parts that are dark: numerals leave more ground between
HELD = 0.6  # of the marks in a strip where all of them pass
BESIDE = 1.6  # strips between such a one and the end of the block that the marks come out of


@dataclass(frozen=True)
class Gaps:
    """Light at places between the marks, from side to side of the picture along them."""

    light: np.ndarray  # (n, places)
    inside: np.ndarray  # (n, places) whether the place lies in the picture
    along: np.ndarray  # (n,) pixels down the marks, from the picture's centre
    sign: int  # -1 for dark marks, 1 for bright ones
    ink: float  # of a mark at its middle, share of the ground
    spacing: int  # of the marks, pixels
    guard: int  # how far a border is blurred, pixels


def runs_together(grey, lines):
    """Whether an even grey, as dark as lines, lies between the marks' common end and the ground.

    Long marks reach past the short lines that stand between them. Where those run together
    they are a block: dark from mark to mark, clean ground at both ends, no mark seen within,
    and all of the marks come out of one end.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols), float32
        Linear light.
    lines : LineSet
        The marks that were found.

    Returns
    -------
    bool
    """
    gaps = _between(grey, lines)
    if gaps is None:
        return False
    passed, strip = _passed(lines)
    return any(
        _come_out(passed, strip, gaps.along[first], gaps.along[last])
        and _is_block(gaps, first, last)
        for first, last in _pieces(gaps)
    )


def _passed(lines):
    """Middles of the strips that all marks pass, and the height of a strip, pixels."""
    along, held = np.unique(lines.along, return_counts=True)
    strip = float(np.diff(along).min()) if along.size > 1 else 1.0
    return along[held >= HELD * held.max()], strip


def _come_out(passed, strip, low, high):
    """Whether all marks pass just outside one end, and nowhere between the two."""
    within = (passed >= low + strip / 2) & (passed <= high - strip / 2)
    if high - low < 2 * strip or within.any():  # so long that one strip or more lies within
        return False
    return bool(np.abs(passed[:, None] - [low, high]).min() < BESIDE * strip)


def _between(grey, lines):
    """Light between the marks, or None where there is no room or too little is in the picture."""
    sign, width, shift = (1 if lines.bright else -1), lines.line_px, 0.0
    if width - lines.fitted_blur_px > lines.pitch_px / 2:  # the ground was taken for the lines
        sign, width, shift = -sign, lines.pitch_px - width, 0.5
    unknown = lines.fitted_blur_px > UNKNOWN * lines.pitch_px
    if width + 2.35 * lines.fitted_blur_px > ROOM * lines.pitch_px and not unknown:
        return None
    # Beyond the last marks single specks are taken for lines.
    passed, strip = _passed(lines)
    number, held = np.unique(lines.index[np.isin(lines.along, passed)], return_counts=True)
    number = number[held >= np.median(held) / 2]
    first = np.arange(number.min(), number.max())
    if first.size < 3:
        return None
    first = first[np.unique(np.linspace(0, first.size - 1, GAPS).astype(int))]
    margin = min(0.4, (width / 2 + 2 * lines.fitted_blur_px) / lines.pitch_px)
    # The mark itself, and the places between it and the next one.
    share = np.concatenate([[0.0], np.linspace(margin, 1 - margin, PLACES)])
    place = (first[:, None] + shift + share).ravel()
    down, x, y = _places(grey.shape, lines, place)
    inside = (x >= 0) & (x <= grey.shape[1] - 1) & (y >= 0) & (y <= grey.shape[0] - 1)
    seen = np.flatnonzero(inside.mean(axis=1) > 0.7)
    if not seen.size:
        return None
    part = slice(seen[0], seen[-1] + 1)
    light = cv2.remap(grey, x[part], y[part], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    mark = np.arange(light.shape[1]) % (PLACES + 1) == 0
    beside = (np.abs(down[part, None] - passed) < strip / 2).any(axis=1)
    if not beside.any():
        return None
    ground = np.median(light[beside][:, ~mark], axis=1, keepdims=True)
    ink = (sign * (light[beside][:, mark] / np.maximum(ground, 1e-4) - 1)).mean(axis=0)
    return Gaps(
        light=light[:, ~mark],
        inside=inside[part][:, ~mark],
        along=down[part],
        sign=sign,
        ink=float(np.quantile(ink, CLEAR)),
        spacing=round(lines.pitch_px),
        guard=int(np.clip(2 * lines.fitted_blur_px, 2, lines.pitch_px / 4)),
    )


def _places(shape, lines, number):
    """Distances down the lines, and column and row of the place at each, by (broken) number."""
    fit = np.stack([np.ones(lines.index.size), lines.index, lines.along], axis=-1)
    coef = np.linalg.lstsq(fit, lines.across)[0]
    rows, cols = shape
    c, s = np.cos(np.deg2rad(lines.angle_deg)), np.sin(np.deg2rad(lines.angle_deg))
    half = int((abs(s) * cols + abs(c) * rows) / 2)
    down = np.arange(-half, half + 1.0)
    across = coef[0] + coef[1] * number + coef[2] * down[:, None]
    x = (cols - 1) / 2 + across * c - down[:, None] * s
    y = (rows - 1) / 2 + across * s + down[:, None] * c
    return down, x.astype(np.float32), y.astype(np.float32)


def _pieces(gaps):
    """First and last place along the marks of all that may be a block."""
    reach = max(4, round(gaps.spacing / 4))
    if len(gaps.along) < 4 * reach:
        return
    # The median over all places: what stands in a few gaps alone, like dust, makes no border.
    usual = np.median(gaps.light / np.maximum(np.median(gaps.light, axis=0), 1e-4), axis=1)
    usual = usual - np.polyval(np.polyfit(gaps.along, usual, 2), gaps.along)
    # Numerals are darker by far, and would leave no border of a block among the highest.
    usual = np.clip(usual, -MOST_GREY * gaps.ink, MOST_GREY * gaps.ink)
    mean = np.convolve(usual, np.ones(reach) / reach, mode="valid")
    step = gaps.sign * (mean[reach:] - mean[:-reach])
    ends = _highest(-step, reach)
    for first in _highest(step, reach):
        for last in ends:
            if last - first >= SHORTEST * gaps.spacing + 2 * gaps.guard:
                yield first + reach, last + reach


def _highest(step, reach):
    """Places of the highest steps, none within reach of a higher one."""
    left, found = step.copy(), []
    for _ in range(BORDERS):
        top = int(np.argmax(left))
        if left[top] <= 0:
            break
        found.append(top)
        left[max(0, top - reach) : top + reach + 1] = 0
    return found


def _is_block(gaps, first, last):
    """Whether what lies between is evenly dark, and sheer against the ground at both ends."""
    low, high = first + gaps.guard, last - gaps.guard
    top, bottom = first - gaps.guard, last + gaps.guard
    wing = min(max(6, (last - first) // 3), top, len(gaps.along) - bottom)
    if wing < 6:
        return False
    whole = gaps.inside[top - wing : bottom + wing].all(axis=0)
    if whole.sum() < max(3 * PLACES, whole.size / 2):
        return False
    light = gaps.light[:, whole]
    before, behind = (light[one : one + wing].mean(axis=0) for one in (top - wing, bottom))
    parts = np.array_split(light[low:high], max(2, min(PARTS, (high - low) // 7)))
    # Where the light falls off along the marks it does so through the block.
    share = (np.arange(len(parts)) + 0.5)[:, None] / len(parts) - 0.5
    share = share * (high - low) / (bottom - top + wing)
    ground = np.maximum((before + behind) / 2 + share * (behind - before), 1e-4)
    dark = gaps.sign * (np.stack([part.mean(axis=0) for part in parts]) / ground - 1)
    level = float(np.median(dark))
    near = min(wing, max(4, gaps.spacing // 4))
    steps = [
        np.median((light[one : one + near] - light[other : other + near]).mean(axis=0) / base)
        for one, other, base in ((low, top - near, before), (high - near, bottom, behind))
    ]
    return bool(
        max(GREY * gaps.ink, FAINTEST) < level < MOST_GREY * gaps.ink
        and gaps.sign * min(steps, key=lambda step: gaps.sign * step) > SHEER * level
        and np.mean(dark > level / 2) > EVEN
    )
