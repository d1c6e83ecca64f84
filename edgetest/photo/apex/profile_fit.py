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
LEAST_BLUR_PX = 0.25
MOSTLY = 0.8  # of the most that land or ground has of any sample: there its own noise is met
STILL_PX = 5e-4  # a step by less ends the fit
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
        Standard error of right - left (band) or of the place (step) for the noise of
        land and grounds that does not know its neighbours (Eicker-Huber-White).
    blur_px : ndarray, shape (profiles,)
    residual : ndarray, shape (profiles, n), float32
    weight : ndarray, shape (profiles, n), float32
        Weights that the last step used, robust ones included.
    noise : float
        Robust standard deviation of the residuals.
    shared_u : float
        Standard error of the mean width through the blur that the profiles share.
    """

    params: np.ndarray
    stderr_width: np.ndarray
    blur_px: np.ndarray
    residual: np.ndarray
    weight: np.ndarray
    noise: float
    shared_u: float


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


@dataclass(frozen=True)
class Terms:
    """What a fit holds.

    `fix_blur` keeps the blur. `hold_width` keeps the distance between the sides (band model), as
    where it is less than the blur and could not be told from the land's level. `steps` is the most
    Gauss-Newton steps, `clip` the light above which the camera cuts off.
    """

    fix_blur: bool = False
    hold_width: bool = False
    steps: int = 8
    clip: float = CLIP


def fit_profiles(model, x, y, weight, start, blur_px, *, basis=None, terms=Terms()):
    """Gauss-Newton least squares of many profiles with a shared blur (Schur complement).

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
    terms : Terms

    Returns
    -------
    ProfileFit
    """
    x, y, weight = (np.asarray(a, dtype=np.float32) for a in (x, y, weight))
    params = np.array(start, dtype=float)
    basis = np.ones((len(params), 1)) if basis is None else np.asarray(basis, dtype=float)
    theta = np.broadcast_to(np.asarray(blur_px, dtype=float), (basis.shape[1],)).copy()
    is_band = model is band_model
    width_of = np.array([-1.0, 1, 0, 0, 0] if is_band else [1.0, 0, 0])
    places = 2 if is_band else 1
    contrast = float(np.median(np.abs(params[:, 2] - params[:, 3 if is_band else 1])))
    used, done = weight, False
    for step in range(terms.steps + 1):
        blur = np.maximum(basis @ theta, LEAST_BLUR_PX)
        value, slope, by_blur = _clipped(model(x, params, blur), terms.clip)
        residual = (y - value) * (weight > 0)
        noise = _robust_sd(residual, weight)
        if step >= 2:
            scale = _scale(residual, weight, slope, params)
            used = weight * _calm(residual, np.maximum(scale, CALM_SHARE * contrast + 1e-9))
        weighted = slope * used[:, None, :]
        normal = _normal_matrix(weighted, slope, width_of, terms)
        if done or step == terms.steps:
            break
        change, follow, gain, pull = _eliminated(normal, weighted, by_blur, residual, used)
        move, spread = _shared_step(gain, pull, basis, terms.fix_blur)
        most = 0.3 * float(np.mean(blur))
        move = np.clip(move, -most, most)
        theta = theta + move
        change = change - follow * (basis @ move)[:, None]
        reach = np.maximum(blur, 1.0)[:, None]
        moved = np.clip(change[:, :places], -reach, reach)
        params[:, :places] += moved
        params[:, places:] += np.clip(change[:, places:], -0.5, 0.5)
        done = step >= 3 and float(np.median(np.abs(moved))) < STILL_PX
    shared_u = _shared_u(gain, follow, spread, basis, width_of)
    follows = np.linalg.solve(normal, np.broadcast_to(width_of, params.shape)[..., None])
    follows = (weighted * follows.astype(np.float32)).sum(axis=1)  # the width, every sample
    stderr = np.sqrt((follows**2 * scale**2).sum(axis=1).astype(float))
    return ProfileFit(params, stderr, blur, residual, used, noise, shared_u * noise)


def _clipped(modelled, clip):
    """A model's value and derivatives where the camera cuts the light off above `clip`."""
    value, slope, by_blur = modelled
    over = value > clip
    if not over.any():
        return modelled
    return np.minimum(value, clip), slope * ~over[:, None, :], by_blur * ~over


def _normal_matrix(weighted, slope, width_of, terms):
    """Normal matrix of every profile's own parameters, what is held made stiff."""
    normal = (weighted @ slope.transpose(0, 2, 1)).astype(float)
    eye = 1e-9 * np.eye(width_of.size)
    normal += eye * (np.trace(normal, axis1=1, axis2=2)[:, None, None] + 1e-12)
    if terms.hold_width:
        stiff = 1e6 * np.trace(normal, axis1=1, axis2=2)[:, None, None]
        normal += stiff * np.outer(width_of, width_of)
    return normal


def _eliminated(normal, weighted, by_blur, residual, used):
    """Schur complement: own change, how it follows the blur, the blur's information and score."""
    score = (weighted @ residual[:, :, None]).astype(float)
    cross = (weighted @ by_blur[:, :, None]).astype(float)
    solved = np.linalg.solve(normal, np.concatenate([score, cross], axis=2))
    change, follow = solved[..., 0], solved[..., 1]
    pulled = (by_blur * used)[:, None, :]
    gain = (pulled @ by_blur[:, :, None]).astype(float)[:, 0, 0]
    gain -= (cross[..., 0] * follow).sum(axis=1)
    pull = (pulled @ residual[:, :, None]).astype(float)[:, 0, 0]
    pull -= (cross[..., 0] * change).sum(axis=1)
    return change, follow, gain, pull


def _shared_u(gain, follow, spread, basis, width_of):
    """Standard error of the mean width through the shared blur, for noise 1."""
    if not (gain > 0).any():
        return 0.0
    pull_on = (-(follow @ width_of)[:, None] * basis).mean(axis=0)
    return float(np.sqrt(max(pull_on @ spread @ pull_on, 0)))


def _shared_step(gain, pull, basis, fix_blur):
    """Gauss-Newton step of the blur's knots and their covariance for noise 1."""
    hessian = (basis * np.maximum(gain, 0)[:, None]).T @ basis
    size = len(hessian)
    if fix_blur:
        hessian += 1e12 * np.eye(size)
    hessian += (1e-9 * np.trace(hessian) / size + 1e-15) * np.eye(size)
    spread = np.linalg.inv(hessian)
    return spread @ (basis.T @ pull), spread


def _scale(residual, weight, slope, params):
    """Residual scale of every sample: noise of land and grounds, by their shares of its light.

    The land's unevenness (ground steel, scratches along the grind) goes with its light.
    On the flanks comes what the lens differs from the model by.
    """
    # A model's slopes by its levels are the shares of land and grounds; the land's first.
    shares = slope[:, 2:] if params.shape[1] == 5 else slope[:, :0:-1]
    variance, inner = np.zeros_like(residual), np.zeros(residual.shape, dtype=bool)
    mixed = np.ones_like(residual)
    for number, share in enumerate(shares.transpose(1, 0, 2)):
        own = share > MOSTLY * float(share.max(axis=1).mean())
        spread = _robust_sd(residual, weight * own)
        if number == 0:
            level = params[:, 2:3] / max(float(np.median(params[:, 2])), 1e-6)
            spread = spread * np.clip(level, 0.2, 5.0).astype(np.float32)
        share = np.clip(share, 0, 1)
        variance += share * spread**2
        mixed -= share**2
        inner |= own
    flanks = weight * ~inner
    if flanks.any():
        excess = _robust_sd(residual, flanks) ** 2 - float(np.median(variance[flanks > 0]))
        variance += 2 * np.clip(mixed, 0, 0.5) * max(excess, 0)
    samples = residual.shape[1]
    return np.sqrt(variance * samples / max(samples - params.shape[1], 1))


def _robust_sd(residual, weight):
    """Standard deviation from the median absolute residual of what counts."""
    counted = np.abs(residual[weight > 0])
    if not counted.size:
        return 1e-6
    return float(1.4826 * np.median(counted[:: max(1, counted.size // 20000)]) + 1e-6)


def _calm(residual, noise):
    """Weight 1 within three standard deviations, falling to 0 at six."""
    size = np.abs(residual) / noise
    return np.clip(2 - size / 3, 0, 1).astype(np.float32)
