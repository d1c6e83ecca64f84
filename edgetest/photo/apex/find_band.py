"""Where the bright band runs: ridge response over scales and the best path through it.

All of it works on a reduced picture (longest side about 600 pixels), so the time hardly
grows with the size of the photograph. Bars brighter than both their sides answer to the
second derivative of a Gaussian whose standard deviation is half their width; dyadic
scales find any width. The path that gathers most of that response from one border of
the picture to the other is found by dynamic programming, which bridges gaps, dust and
labels and is not led astray by short scratches.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.photo.smooth import local_line

LONGEST_PX = 600


@dataclass(frozen=True)
class BandPath:
    """A candidate band, coordinates in pixels of the full picture.

    Attributes
    ----------
    centre_rc : ndarray, shape (n, 2)
        Path from the left (upper) to the right (lower) border.
    strength : ndarray, shape (n,)
        Ridge response along it, in linear light.
    sigma_px : float
        Scale that answers best: about half the width.
    reward : float
        Mean compressed response, 0 to 1.
    upright : bool
        The path runs down the picture, not across it.
    reduction : int
        Pixels of the full picture to one of the reduced.
    """

    centre_rc: np.ndarray
    strength: np.ndarray
    sigma_px: float
    reward: float
    upright: bool
    reduction: int


def reduce(grey):
    """Picture shrunk by a whole factor (area mean) and that factor."""
    factor = max(1, int(np.ceil(max(grey.shape) / LONGEST_PX)))
    factor = min(factor, max(1, min(grey.shape) // 24))
    if factor == 1:
        return grey, 1
    rows, cols = grey.shape[0] // factor, grey.shape[1] // factor
    whole = grey[: rows * factor, : cols * factor]
    return cv2.resize(whole, (cols, rows), interpolation=cv2.INTER_AREA), factor


def ridges(small):
    """Ridge filter over dyadic scales (scale space): responses of bright and of dark bars.

    Parameters
    ----------
    small : ndarray, shape (rows, cols), float32

    Returns
    -------
    bright, dark : list of ndarray, shape (rows, cols), float32
        One a scale; a bar of contrast C and matching width answers with about 0.35 C.
    sigmas : list of float
        The scales, pixels of `small`.
    """
    bright, dark, sigmas = [], [], []
    level, step = small, 1
    size = small.shape[1], small.shape[0]
    while min(level.shape) >= 6 and step <= 64:
        smooth = cv2.GaussianBlur(level, (0, 0), 1.0, borderType=cv2.BORDER_REPLICATE)
        padded = cv2.copyMakeBorder(smooth, 1, 1, 1, 1, cv2.BORDER_REPLICATE)
        middle = padded[1:-1, 1:-1]
        ixx = padded[1:-1, 2:] + padded[1:-1, :-2] - 2 * middle
        iyy = padded[2:, 1:-1] + padded[:-2, 1:-1] - 2 * middle
        ixy = (padded[2:, 2:] + padded[:-2, :-2] - padded[2:, :-2] - padded[:-2, 2:]) / 4
        trace = ixx + iyy
        spread = cv2.magnitude(ixx - iyy, 2 * ixy)
        # |smaller eigenvalue| - |larger one|: lines answer, blobs and corners do not.
        up = np.maximum(np.minimum(-trace, spread), 0)
        down = np.maximum(np.minimum(trace, spread), 0)
        if step > 1:
            up = cv2.resize(up, size, interpolation=cv2.INTER_LINEAR)
            down = cv2.resize(down, size, interpolation=cv2.INTER_LINEAR)
        bright.append(up)
        dark.append(down)
        sigmas.append(1.1 * step)
        half = level.shape[1] // 2, level.shape[0] // 2
        level = cv2.resize(level[: 2 * half[1], : 2 * half[0]], half, interpolation=cv2.INTER_AREA)
        step *= 2
    return bright, dark, sigmas


def best_path(reward):
    """Dynamic programming: rows of the path across all columns that gathers most reward.

    Steps are of at most one row.

    Parameters
    ----------
    reward : ndarray, shape (rows, cols), non-negative

    Returns
    -------
    path : ndarray of int, shape (cols,)
    mean : float
        Reward per column.
    """
    rows, cols = reward.shape
    by_column = np.ascontiguousarray(reward.T)
    # Gathered reward of the best path to every place; the rims keep the path inside.
    total = np.full((cols, rows + 2), -np.inf, dtype=by_column.dtype)
    total[0, 1:-1] = by_column[0]
    for before, after, here in zip(total[:-1], total[1:], by_column[1:], strict=True):
        inner = after[1:-1]
        np.maximum(before[:-2], before[2:], out=inner)
        np.maximum(inner, before[1:-1], out=inner)
        inner += here
    path = [int(np.argmax(total[-1]))]
    for before in total[-2::-1]:
        last = path[-1]
        above, same, below = before[last - 1 : last + 2].tolist()
        if above > same and above >= below:
            last -= 1
        elif below > same:
            last += 1
        path.append(last)
    return np.array(path[::-1]) - 1, float(total[-1].max() / cols)


def _most(responses):
    """Strongest response of any scale at every place."""
    most = responses[0].copy()
    for response in responses[1:]:
        np.maximum(most, response, out=most)
    return most


def strongest_possible(responses, share=0.75):
    """No path's response has a larger quantile than this; `responses` of one polarity."""
    most = _most(responses)
    return max(float(np.quantile(most.max(axis=axis), share)) for axis in (0, 1))


def find_band(factor, responses, sigmas, *, share=0.25):
    """Best band through the reduced picture, whichever way it runs (dynamic programming).

    Parameters
    ----------
    factor : int
        Reduction of the picture.
    responses, sigmas : list
        One polarity of `ridges`.
    share : float
        Least part of the picture's length that the band runs through.

    Returns
    -------
    BandPath
    """
    strongest = _most(responses)
    # Compressed, so that a glint or a scratch is worth no more than the band itself. A high
    # quantile: the band may run through only a part of the picture.
    usual = max(float(np.quantile(strongest.max(axis=axis), 1 - share)) for axis in (0, 1))
    half = 0.4 * usual + 1e-6
    reward = strongest
    reward /= strongest + half
    # No path gathers more than the largest of every column.
    most = [float(reward.max(axis=axis).mean()) for axis in (0, 1)]
    mean, upright, path = -1.0, False, np.zeros(0, dtype=int)
    for way in sorted((False, True), key=lambda way: -most[way]):
        if most[way] > mean:
            tried, gathered = best_path(reward.T if way else reward)
            if gathered > mean:
                mean, upright, path = gathered, way, tried
    along = np.arange(path.size)
    at = (along, path) if upright else (path, along)
    by_scale = np.stack([response[at] for response in responses])
    strength = by_scale.max(axis=0)
    scale = int(np.argmax(np.minimum(by_scale, np.median(strength)).sum(axis=1)))
    trust = strength / (strength + 0.3 * np.median(strength) + 1e-9) + 1e-3
    smooth = local_line(path, 7.0, weight=trust)
    row, col = (along, smooth) if upright else (smooth, along)
    centre = np.stack([row, col], axis=1).astype(float)
    return BandPath(
        centre_rc=(centre + 0.5) * factor - 0.5,
        strength=strength,
        sigma_px=sigmas[scale] * factor,
        reward=mean,
        upright=upright,
        reduction=factor,
    )
