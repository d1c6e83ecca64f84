"""Which irradiance does a lens throw on the sensor? Incoherent imaging by a finite pupil.

The light of the subject is convolved with the point image of its place and colour, averaged over
square pixels, bent by distortion, dimmed by vignetting and veiled by glare.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
import scipy.fft as sf

from tests.benchmarks.pictures.pupil import RISE, kernel, reach

# Two neighbouring point images of a leaning blade differ by at most this share of the mean disc,
# or by a pixel (chosen; a quarter of a disc is told apart by hardly any picture).
NODE_SHARE = 0.2
MOST_NODES = 9


@dataclass(frozen=True)
class Lens:
    """A lens: lengths in sensor pixels, angles in degrees from +x (columns) towards +y (rows).

    Parameters
    ----------
    airy_px : float
        Radius of the first dark ring of the point image in best focus, at 0.55 um.
    disc_px : float
        Radius of the geometric disc of defocus (middle of the picture); its sign tells the side.
        Beside a hexagon it is the distance of the corners.
    aperture : str
        'disc', 'annular', 'hexagon' or 'gaussian'.
    stop : float
        Radius of the central stop of an annular aperture, as a share of the rim.
    spherical : float
        Balanced spherical aberration W (rho^4 - rho^2) in waves at 0.55 um.
    defocus_ratio : float
        Disc at the right border over disc at the left; in between it runs straight.
    lateral_px, lateral_deg : float
        Distance of the red from the blue image, and its direction. Green stays.
    axial_px : float
        Red's disc is larger, blue's smaller than green's by this (with the sign of ``disc_px``).
    vignetting : float
        Loss of light in the corners, as a share.
    distortion : float
        Radial stretch in the corners, as a share; above 0 is a pincushion, below 0 a barrel.
    glare : float
        Share of the mean irradiance that lies over the whole picture.
    motion_px, motion_deg : float
        Length and direction of the straight path of the subject in the exposure.
    """

    airy_px: float = 1.5
    disc_px: float = 0.0
    aperture: str = "disc"
    stop: float = 0.0
    spherical: float = 0.0
    defocus_ratio: float = 1.0
    lateral_px: float = 0.0
    lateral_deg: float = 0.0
    axial_px: float = 0.0
    vignetting: float = 0.0
    distortion: float = 0.0
    glare: float = 0.0
    motion_px: float = 0.0
    motion_deg: float = 0.0

    @property
    def coloured(self):
        """Whether the three colours are blurred each in its own way."""
        return self.lateral_px != 0 or self.axial_px != 0


def expose(light, ss, lens):
    """Irradiance of each pixel (rows, cols[, 3]), float32, of light (rows ss, cols ss[, 3]).

    Each cell of ``light`` is the mean radiance over the cell. A coloured lens gives three
    channels (red, green, blue) of one.
    """
    light = np.asarray(light, np.float32)
    if light.shape[0] % ss or light.shape[1] % ss:
        raise ValueError(f"light {light.shape[:2]}: not a whole number of pixels of {ss} cells")
    image = _blurred(_bent(light, lens), ss, lens)
    if lens.vignetting:
        fall = 1 - np.float32(lens.vignetting) * _from_middle(image.shape)[2]
        image *= fall if image.ndim == 2 else fall[..., None]
    if lens.glare:
        image += np.float32(lens.glare) * image.mean(axis=(0, 1))
    return np.maximum(image, 0.0, out=image)


def _from_middle(shape):
    """Distances y and x of each cell from the middle, and their squared sum, 1 in the corners."""
    y = np.arange(shape[0], dtype=np.float32)[:, None] - np.float32((shape[0] - 1) / 2)
    x = np.arange(shape[1], dtype=np.float32)[None, :] - np.float32((shape[1] - 1) / 2)
    return y, x, (y**2 + x**2) / (y[0, 0] ** 2 + x[0, 0] ** 2)


def bent_points(points, shape, lens):
    """Where points x, y (n, 2) of the subject, in pixels, come to lie in the picture.

    Pixel (0, 0) has its middle at 0, 0. The scale in the middle of the picture is unchanged.
    """
    middle = (np.array(shape[1::-1], float) - 1) / 2
    from_middle = np.asarray(points, float) - middle
    square = (from_middle**2).sum(axis=-1, keepdims=True) / (middle**2).sum()
    return middle + from_middle * (1 + lens.distortion * square)


def _bent(light, lens):
    """The light with the lens's distortion: each cell looks up where it came from."""
    if not lens.distortion:
        return light
    y, x, square = _from_middle(light.shape)
    bend = np.float32(lens.distortion) * square
    # r (1 + k r^2) = r' turned round as a series; the next term is 55 k^4.
    shrink = 1 - bend * (1 - 3 * bend * (1 - 4 * bend))
    return cv2.remap(
        light,
        x * shrink - x[0, 0],
        y * shrink - y[0, 0],
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REFLECT,
    )


def _nodes(lens):
    """Places along x (0 left to 1 right) with the disc of each."""
    if lens.defocus_ratio == 1:
        return np.array([0.5]), np.array([lens.disc_px])
    left = 2 * lens.disc_px / (1 + lens.defocus_ratio)
    right = left * lens.defocus_ratio
    step = max(1.0, NODE_SHARE * abs(lens.disc_px))
    count = int(np.clip(np.ceil(abs(right - left) / step) + 1, 2, MOST_NODES))
    return np.linspace(0, 1, count), np.linspace(left, right, count)


def _kernels(lens, disc, channels, cells, ss):
    """Point images of the channels at one disc."""
    if channels == 1:
        return [kernel(lens, disc, "white", cells, ss)]
    discs = (disc + lens.axial_px, disc, disc - lens.axial_px)
    bands = ("red", "green", "blue")
    return [kernel(lens, d, b, cells, ss) for d, b in zip(discs, bands, strict=True)]


def _blurred(light, ss, lens):
    """Blur and pixel mean; light beyond the picture is its mirror image.

    Each pixel gathers light through its own disc, so even light stays even on a leaning blade.
    """
    rows, cols = light.shape[0] // ss, light.shape[1] // ss
    channels = 3 if lens.coloured or light.ndim == 3 else 1
    half = reach(lens)
    padded = cv2.copyMakeBorder(light, *[half * ss] * 4, cv2.BORDER_REFLECT)
    padded = padded.reshape(*padded.shape[:2], -1)
    places, discs = _nodes(lens)
    middles = places * (cols - 1)
    out = np.zeros((rows, cols, channels), np.float32)
    for i, disc in enumerate(discs):
        kernels = _kernels(lens, float(disc), channels, 2 * half, ss)
        low = 0 if i == 0 else int(middles[i - 1])
        high = cols if i + 1 == len(discs) else int(middles[i + 1]) + 1
        strip = padded[:, low * ss : (high + 2 * half) * ss]
        seen = _convolved(strip, kernels, ss)[half : half + rows, half : half + high - low]
        if len(discs) > 1:
            share = np.interp(np.arange(low, high), middles, np.eye(len(discs))[i])
            seen = seen * share[None, :, None].astype(np.float32)
        out[:, low:high] += seen
    return out[..., 0] if channels == 1 else out


def _convolved(light, kernels, ss):
    """Pixels of light convolved with each kernel, round a torus, one phase of cells after another.

    Pixel j is the sum over phases a of (cells ss j + a) convolved with (weights ss q - a).
    """
    rows, cols = light.shape[0] // ss, light.shape[1] // ss
    size = [sf.next_fast_len(n, real=True) for n in (rows, cols)]
    sums = [np.zeros((size[0], size[1] // 2 + 1), np.complex64) for _ in kernels]
    for a in range(ss):
        for b in range(ss):
            spectra = [
                sf.rfft2(light[a::ss, b::ss, c], s=size, workers=1) for c in range(light.shape[2])
            ]
            for i, weights in enumerate(kernels):
                phase = _spectrum(np.roll(weights, (a, b), axis=(0, 1))[::ss, ::ss], size)
                phase *= spectra[i if len(spectra) > 1 else 0]
                sums[i] += phase
    images = [sf.irfft2(s, s=size, workers=1, overwrite_x=True)[:rows, :cols] for s in sums]
    return np.stack(images, axis=-1)


def _spectrum(weights, size):
    """Real transform of weights around zero on a larger torus; rows of nothing are not worked."""
    half = weights.shape[0] // 2
    wide = np.zeros((2 * half, size[1]), np.float32)
    wide[:, :half], wide[:, -half:] = weights[:, :half], weights[:, half:]
    wide = sf.rfft(wide, axis=1, workers=1)
    large = np.zeros((size[0], wide.shape[1]), np.complex64)
    large[:half], large[-half:] = wide[:half], wide[half:]
    return sf.fft(large, axis=0, workers=1, overwrite_x=True)


def edge_rise(lens, ss=2, across_deg=90.0):
    """Blur of lens and pixel in the middle of the picture, as a Gaussian's standard deviation.

    The standard deviation, in pixels, of the Gaussian whose blurred edge rises from 10 to 90 %
    over the same distance as that of an edge crossed in direction ``across_deg``. (The second
    moment of a diffraction image has no end, so it cannot serve.) Of a coloured lens: of green.
    """
    band = "green" if lens.coloured else "white"
    lens = replace(lens, defocus_ratio=1.0, lateral_px=0.0)
    cells = 2 * reach(lens)
    weights = kernel(lens, lens.disc_px, band, cells, ss)
    along = np.fft.fftfreq(cells * ss, 1 / (cells * ss)) / ss
    angle = np.deg2rad(across_deg)
    cosine, sine = np.cos(angle), np.sin(angle)
    place = along[None, :] * cosine + along[:, None] * sine
    fine = 16 * ss
    bins = np.rint((place - place.min()) * fine).astype(int)
    spread = np.bincount(bins.ravel(), weights.ravel())
    wide = max(round(16 * max(abs(cosine), abs(sine))), 1)
    rise = np.cumsum(np.convolve(spread, np.ones(wide) / wide))
    rise = np.maximum.accumulate(rise / rise[-1])
    low, high = np.interp((0.1, 0.9), rise, np.arange(len(rise)))
    return float((high - low) / fine / RISE)
