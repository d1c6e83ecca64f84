"""Focus stacks: several photographs of one place at different heights, fused into one.

Each photograph is laid on one of the sharpest (`edgetest.photo.frame_laying`: shift, turn, and
zoom where there is one); one that shows another place is left out. Every pixel of the fused
picture is a weighted mean in which the photograph that is sharpest there counts most.
Sharpness is the local energy of the Laplacian, smoothed, so a band's flank is taken from one
photograph as a whole and not patched from several.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.photo.frame_laying import SMALLEST_PX, lay
from edgetest.photo.frame_search import frame_of

SMOOTH_PX = 12.0  # wider than a flank: a side of the land comes from one photograph
POWER = 4  # of the sharpness in the weights: near to taking the sharpest, without seams
REACH = 0.12  # of a side: a photograph that lies farther off is of another place
TRIED = 4  # photographs on which the others are laid, the sharpest first
# Defocus that changes along a leaning edge passes for zooms up to 0.0026 (discs to 18 px).
ZOOMED, LEAST_ZOOM = 5.0, 0.004


@dataclass(frozen=True)
class FusedStack:
    """One sharp picture, and how its photographs lay.

    Attributes
    ----------
    picture : ndarray, shape (rows, cols), float32
    saturated : ndarray of bool, or None
        Where what it is made of stands at its upper end.
    matrices : ndarray, shape (n, 2, 3)
        From (row, column, 1) of a photograph to (row, column) of the fused picture; NaN for
        one that was left out.
    reference : int
        The photograph on which the others were laid.
    """

    picture: np.ndarray
    saturated: np.ndarray | None
    matrices: np.ndarray
    reference: int
    doubts: tuple[Doubt, ...]


def fuse_stack(lights, names):
    """One sharp picture from a focus stack.

    Parameters
    ----------
    lights : sequence of Light
        All of one size.
    names : sequence of str
        What to call them.

    Returns
    -------
    FusedStack

    Raises
    ------
    UnusableInput
        Fewer than two photographs, of different sizes, too small, or of different places.
    """
    _check_sizes([light.grey.shape for light in lights])
    pictures = [np.ascontiguousarray(light.grey, dtype=np.float32) for light in lights]
    frames = [frame_of(picture) for picture in pictures]
    order = np.argsort([-float(sharpness(picture).mean()) for picture in pictures])
    reference, laid = _laid(frames, order)
    zooms = _zooms(laid)
    if len(zooms) > len(laid) / 2:  # the reference itself is the one of another zoom
        reference, laid = _laid(frames, [number for number in order if number in zooms])
        zooms = _zooms(laid)
    matrices = np.full((len(frames), 2, 3), np.nan)
    matrices[reference] = np.eye(2, 3)
    for number, place in laid.items():
        matrices[number] = place.matrix if number in zooms else place.unzoomed
    picture, saturated = _fused(pictures, [light.saturated for light in lights], matrices)
    doubts = _doubts(names, matrices, zooms, names[reference])
    return FusedStack(picture, saturated, matrices, reference, tuple(doubts))


def _doubts(names, matrices, zooms, reference):
    """What was left out, and whether the photographs are of one magnification."""
    for name, matrix in zip(names, matrices, strict=True):
        if np.isnan(matrix).any():
            yield doubt("frame_left_out", where=Where(file=name))
    if zooms:
        ends = [1.0, *zooms.values()]
        where = Where(value=max(ends) - min(ends))
        yield doubt("frames_zoomed", where=where, which=reference)


def _check_sizes(shapes):
    """Refuse what cannot be a stack."""
    if len(shapes) < 2:
        raise UnusableInput(
            f"{len(shapes)} photograph", "focus stack", "give at least two of the same place"
        )
    if len(set(shapes)) > 1:
        said = ", ".join(f"{cols} x {rows}" for rows, cols in sorted(set(shapes)))
        raise UnusableInput(
            f"photographs of different sizes ({said} pixels)", "focus stack", "give one set-up's"
        )
    if min(shapes[0]) < SMALLEST_PX:
        raise UnusableInput(
            f"photographs of {shapes[0][1]} x {shapes[0][0]} pixels",
            where="focus stack",
            mend=f"give photographs of at least {SMALLEST_PX} x {SMALLEST_PX} pixels",
        )


def _laid(frames, order):
    """The photograph, of the sharpest, on which most others are found, and their places on it."""
    best: tuple[int, dict] = int(order[0]), {}
    for reference in order[:TRIED]:
        laid = {
            number: lay(frames[reference], frame, reach=REACH)
            for number, frame in enumerate(frames)
            if number != reference
        }
        laid = {number: place for number, place in laid.items() if place.sure}
        if len(laid) > len(best[1]):
            best = int(reference), laid
        if len(best[1]) >= (len(frames) - 1) / 2:
            return best
    if not best[1]:
        raise UnusableInput(
            "the photographs have no place in common, or their texture repeats itself",
            where="focus stack",
            mend="give photographs of one place, taken without moving blade or camera sideways",
        )
    return best


def _zooms(laid):
    """Zooms of those photographs that are of another than the one that they are laid on."""
    return {
        number: place.zoom
        for number, place in laid.items()
        if abs(place.zoom - 1) > max(ZOOMED * place.zoom_u, LEAST_ZOOM)
    }


def _fused(pictures, masks, matrices):
    """The weighted mean of the photographs that were laid, and where it is saturated."""
    shape = pictures[0].shape
    total, weights, clipped = (np.zeros(shape, np.float32) for _ in range(3))
    for picture, mask, matrix in zip(pictures, masks, matrices, strict=True):
        if np.isnan(matrix).any():
            continue
        laid = moved(picture, matrix)
        weight = sharpness(laid) ** POWER + np.float32(1e-30)
        total += weight * laid
        weights += weight
        if mask is not None:
            clipped += weight * moved(mask.astype(np.float32), matrix)
    saturated = clipped > 0.5 * weights
    return total / weights, saturated if saturated.any() else None


def moved(picture, matrix):
    """Picture resampled so that its (row, column, 1) comes to lie at `matrix` times that."""
    if np.array_equal(matrix, np.eye(2, 3)):
        return picture
    warp = matrix[::-1][:, [1, 0, 2]].astype(np.float64)  # OpenCV's order: column, row
    return cv2.warpAffine(
        picture, warp, picture.shape[::-1], flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )


def sharpness(picture):
    """Local energy of fine detail, shape as the picture."""
    detail = cv2.Laplacian(cv2.GaussianBlur(picture, (0, 0), 1.0), cv2.CV_32F)
    return cv2.GaussianBlur(detail * detail, (0, 0), SMOOTH_PX)
