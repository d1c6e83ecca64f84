"""Fit of blurred bands and blurred steps to many profiles at once.

Every profile has its own sides and levels; the blur belongs to the picture and changes
slowly along the edge where the focus does. The blur parameters are eliminated profile by
profile (Schur complement), so one Gauss-Newton step costs a batch of small systems.
Light above the clip level is cut off in the model as it is in the camera.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

CLIP = 1.0
CALM_SHARE = 0.01  # of the contrast: what pixels and lenses differ from the model anyway
ROOT_TWO_PI = float(np.sqrt(2 * np.pi))


@dataclass(frozen=True)
class ProfileFit:
    """Fitted profiles.

    Attributes
    ----------
    params : ndarray, shape (profiles, p)
        band: left, right, land, background left, background right;
        step: place, background, land.
    stderr_width : ndarray, shape (profiles,)
        Standard error of right - left (band) or of the place (step) for noise of
        standard deviation 1 that does not know its neighbours.
    blur_px : ndarray, shape (profiles,)
    residual : ndarray, shape (profiles, n), float32
    weight : ndarray, shape (profiles, n), float32
        Weights that the last step used, robust ones included.
    noise : float
        Robust standard deviation of the residuals.
    """

    params: np.ndarray
    stderr_width: np.ndarray
    blur_px: np.ndarray
    residual: np.ndarray
    weight: np.ndarray
    noise: float


def band_model(x, params, blur_px):
    """Blurred band, its derivatives by the five parameters and by the blur.

    Parameters
    ----------
    x : ndarray, shape (profiles, n)
        Distance from the track, pixels.
    params : ndarray, shape (profiles, 5)
    blur_px : ndarray, shape (profiles,)

    Returns
    -------
    value, slope : ndarray, shapes (profiles, n) and (profiles, 5, n)
    by_blur : ndarray, shape (profiles, n)
    """
    left, right, land, below, above = (params[:, i : i + 1].astype(np.float32) for i in range(5))
    blur = blur_px[:, None].astype(np.float32)
    z0, z1 = (x - left) / blur, (x - right) / blur
    in0, in1 = ndtr(z0), ndtr(z1)
    bell = 1 / (ROOT_TWO_PI * blur)
    d0 = (land - below) * bell * np.exp(-0.5 * z0 * z0)
    d1 = (land - above) * bell * np.exp(-0.5 * z1 * z1)
    value = below + (land - below) * in0 - (land - above) * in1
    slope = np.stack([-d0, d1, in0 - in1, 1 - in0, in1], axis=1)
    return value, slope, d1 * z1 - d0 * z0


def step_model(x, params, blur_px):
    """Blurred step up from background to land; shapes as `band_model`, three parameters."""
    place, below, land = (params[:, i : i + 1].astype(np.float32) for i in range(3))
    blur = blur_px[:, None].astype(np.float32)
    z = (x - place) / blur
    up = ndtr(z)
    d = (land - below) * np.exp(-0.5 * z * z) / (ROOT_TWO_PI * blur)
    return below + (land - below) * up, np.stack([-d, 1 - up, up], axis=1), -d * z


def fit_profiles(
    model,
    x,
    y,
    weight,
    start,
    blur_px,
    *,
    basis=None,
    fix_blur=False,
    steps=8,
    robust=True,
    clip=CLIP,
):
    """Least squares of many profiles with a shared blur.

    Parameters
    ----------
    model : callable
        `band_model` or `step_model`.
    x, y, weight : ndarray, shape (profiles, n)
        Places, linear light and weights.
    start : ndarray, shape (profiles, p)
    blur_px : ndarray, shape (k,) or float
        Start of the blur's coefficients on `basis`.
    basis : ndarray, shape (profiles, k), optional
        How the blur changes along the edge; one common value by default.
    fix_blur : bool
        Keep the blur.
    steps : int
        Most Gauss-Newton steps.
    robust : bool
        Down-weight residuals beyond three standard deviations (Tukey-like).

    Returns
    -------
    ProfileFit
    """
    x, y, weight = (np.asarray(a, dtype=np.float32) for a in (x, y, weight))
    params = np.array(start, dtype=float)
    basis = np.ones((len(params), 1)) if basis is None else np.asarray(basis, dtype=float)
    theta = np.broadcast_to(np.asarray(blur_px, dtype=float), (basis.shape[1],)).copy()
    width_of = np.zeros(params.shape[1])
    if model is band_model:
        width_of[:2] = -1, 1
    else:
        width_of[0] = 1
    eye = 1e-9 * np.eye(params.shape[1])
    places = 2 if model is band_model else 1
    contrast = float(np.median(np.abs(params[:, 2] - params[:, 3 if places == 2 else 1])))
    used, done = weight, False
    for step in range(steps + 1):
        blur = np.maximum(basis @ theta, 0.25)
        value, slope, by_blur = model(x, params, blur)
        over = value > clip
        if over.any():
            value = np.minimum(value, clip)
            slope = slope * ~over[:, None, :]
            by_blur = by_blur * ~over
        residual = (y - value) * (weight > 0)
        noise = _robust_sd(residual, weight)
        if robust and step >= 2:
            used = weight * _calm(residual, max(noise, CALM_SHARE * contrast))
        weighted = slope * used[:, None, :]
        normal = (weighted @ slope.transpose(0, 2, 1)).astype(float)
        normal += eye * (np.trace(normal, axis1=1, axis2=2)[:, None, None] + 1e-12)
        if done or step == steps:
            break
        score = (weighted @ residual[:, :, None]).astype(float)
        cross = (weighted @ by_blur[:, :, None]).astype(float)
        solved = np.linalg.solve(normal, np.concatenate([score, cross], axis=2))
        change = solved[..., 0]
        if not fix_blur:
            gain = (used * by_blur * by_blur).sum(1) - (cross[..., 0] * solved[..., 1]).sum(1)
            pull = (used * by_blur * residual).sum(1) - (cross[..., 0] * change).sum(1)
            hessian = (basis * np.maximum(gain, 0)[:, None]).T @ basis
            hessian += (1e-9 * np.trace(hessian) + 1e-15) * np.eye(len(theta))
            most = 0.3 * float(np.mean(blur))
            move = np.clip(np.linalg.solve(hessian, basis.T @ pull), -most, most)
            theta = theta + move
            change = change - solved[..., 1] * (basis @ move)[:, None]
        reach = np.maximum(blur, 1.0)[:, None]
        moved = np.clip(change[:, :places], -reach, reach)
        params[:, :places] += moved
        params[:, places:] += np.clip(change[:, places:], -0.5, 0.5)
        done = step >= 3 and float(np.median(np.abs(moved))) < 1e-4
    covariance = np.linalg.solve(normal, np.broadcast_to(width_of, params.shape)[..., None])
    stderr = np.sqrt(np.maximum(covariance[..., 0] @ width_of, 0))
    return ProfileFit(params, stderr, blur, residual, used, noise)


def _robust_sd(residual, weight):
    """Standard deviation from the median absolute residual of what counts."""
    counted = np.abs(residual[weight > 0])
    return float(1.4826 * np.median(counted[:: max(1, counted.size // 20000)]) + 1e-6)


def _calm(residual, noise):
    """Weight 1 within three standard deviations, falling to 0 at six."""
    size = np.abs(residual) / noise
    return np.clip(2 - size / 3, 0, 1).astype(np.float32)
