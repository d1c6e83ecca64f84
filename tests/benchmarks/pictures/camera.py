"""Which file does a camera write of an irradiance? Sensor, tone chain and encoder, in their order.

Photons follow Poisson's law (photon transfer); a mosaic of filters is interpolated; white balance
and tone curve turn counts into values; then smoothing, local contrast, sharpening and resizing.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import cv2
import numpy as np

from tests.benchmarks.pictures import tones
from tests.benchmarks.pictures.lens import edge_rise, expose

DEEP = 65535
# Weights of red, green and blue in luma (ITU-R BT.601).
LUMA = np.array((0.299, 0.587, 0.114), np.float32)
# Deviation of a box one pixel wide: what averaging into larger pixels adds to the blur.
AREA = 12**-0.5
# The halo of clipped light is made on a picture this many times smaller.
HALO_STEP = 8
# Red, green, green, blue: the first pixel of the mosaic is red.
MOSAICS = {"bilinear": cv2.COLOR_BayerRGGB2RGB, "edge-aware": cv2.COLOR_BayerRGGB2RGB_EA}
SUBSAMPLINGS = {
    "4:4:4": cv2.IMWRITE_JPEG_SAMPLING_FACTOR_444,
    "4:2:2": cv2.IMWRITE_JPEG_SAMPLING_FACTOR_422,
    "4:2:0": cv2.IMWRITE_JPEG_SAMPLING_FACTOR_420,
}


@dataclass(frozen=True)
class Camera:
    """A camera: light 1 lands at ``exposure`` times white; lengths in sensor pixels.

    Parameters
    ----------
    exposure : float
        Share of white that light 1 reaches (above 1 it is overexposed).
    colour : bool
        Whether a mosaic of filters lies on the sensor.
    response : tuple of float
        Counts of red, green and blue pixels under the lamp's white, green = 1.
    full_well, read_noise : float
        Electrons at full scale, and standard deviation of reading.
    bits : int
        Bits of the sensor's converter.
    black : float
        Dark level left in the picture, as a share of full scale.
    bloom, bloom_px : float
        Share of the light above full scale that spreads into a halo, and the halo's deviation.
    demosaic : str
        'bilinear' or 'edge-aware'.
    cast : tuple of float
        What the white balance leaves: gains of red, green and blue on white.
    saturation : float
        Distance of colours from their grey, 1 as seen.
    tone, tone_parameter : str, float
        Curve of ``tones.CURVES`` and its parameter.
    crush : float
        Encoded level that is cut to black, the rest stretched to the full range.
    local_contrast, local_px : float
        Amount and deviation of an unsharp mask with a large radius.
    denoise, denoise_strength : str, float
        '', 'median', 'bilateral' or 'means' (non-local), and the strength in encoded levels of 255.
    sharpen, sharpen_px : float
        Amount and deviation of an unsharp mask with a small radius.
    resize : float
        Pixels of the file over pixels of the sensor; above 1 they are made up by interpolation.
    file, quality, subsampling : str, int, str
        'jpeg', 'png' or 'png16'; JPEG quality; chroma '4:4:4', '4:2:2' or '4:2:0'.
    """

    exposure: float = 0.8
    colour: bool = True
    response: tuple[float, float, float] = (0.6, 1.0, 0.7)
    full_well: float = 10000.0
    read_noise: float = 8.0
    bits: int = 12
    black: float = 0.0
    bloom: float = 0.0
    bloom_px: float = 40.0
    demosaic: str = "bilinear"
    cast: tuple[float, float, float] = (1.0, 1.0, 1.0)
    saturation: float = 1.0
    tone: str = "sRGB"
    tone_parameter: float = 0.0
    crush: float = 0.0
    local_contrast: float = 0.0
    local_px: float = 40.0
    denoise: str = ""
    denoise_strength: float = 4.0
    sharpen: float = 0.0
    sharpen_px: float = 1.0
    resize: float = 1.0
    file: str = "jpeg"
    quality: int = 92
    subsampling: str = "4:2:0"

    @property
    def chain(self):
        """The tone chain in words: what a record of the picture says."""
        curve = tones.told(self.tone, self.tone_parameter)
        curve += " with crushed blacks" if self.crush else ""
        return f"{curve} with local contrast" if self.local_contrast else curve


@dataclass(frozen=True)
class Photo:
    """A file as a camera writes it, and what is known of how it came to be.

    Attributes
    ----------
    data : bytes
        The encoded file.
    blur_px : float
        Blur of lens and pixel across the edge (along y), as a Gaussian's deviation, in file pixels;
        without what the chain does to it. Of a 0.72 px edge, measured in noiseless linear files, a
        bilinear mosaic makes 1.05 px, an edge-aware one 0.90; 1.0 of sharpening at 1.6 px, 0.51.
    tone : str
        The tone chain in words.
    scale_y, scale_x : float
        File pixels over sensor pixels; middle y of the sensor lies at (y + 0.5) scale_y - 0.5.
    dark_level, land_level : float
        Encoded luma (0 to 1) of light 0 and of light 1 by exposure and tone curve alone.
    clipped : float
        Share of sensor pixels at full scale.
    """

    data: bytes
    blur_px: float
    tone: str
    scale_y: float
    scale_x: float
    dark_level: float
    land_level: float
    clipped: float


def photograph(light, ss, lens, camera, rng):
    """The file that ``camera`` writes of ``light`` (rows ss, cols ss[, 3]) through ``lens``."""
    return develop(expose(light, ss, lens), camera, rng, edge_rise(lens, max(ss, 2)))


def develop(irradiance, camera, rng, blur_px=0.0):
    """The file that ``camera`` writes of an irradiance (rows, cols[, 3]) at its sensor."""
    raw, clipped = _counted(irradiance, camera, rng)
    picture = _finished(_toned(_interpolated(raw, camera), camera), camera)
    scale_y = picture.shape[0] / raw.shape[0]
    dark, land = (float(luma(levels(value, camera))) for value in (0.0, 1.0))
    return Photo(
        data=_written(picture, camera),
        blur_px=float(np.hypot(blur_px * scale_y, AREA if scale_y < 1 else 0.0)),
        tone=camera.chain,
        scale_y=scale_y,
        scale_x=picture.shape[1] / raw.shape[1],
        dark_level=dark,
        land_level=land,
        clipped=clipped,
    )


def luma(picture):
    """Luma of encoded values (..., 3), or the values of a grey picture themselves."""
    return picture @ LUMA if picture.ndim and picture.shape[-1] == 3 else picture


def levels(light, camera):
    """Encoded values of even light by exposure, clipping, balance and tone curve alone."""
    top = tones.top(camera.tone, camera.tone_parameter)
    response = np.array(camera.response if camera.colour else (1.0,))
    counts = np.clip(light * camera.exposure / top * response + camera.black, 0.0, 1.0)
    white = _balanced(counts, camera) * top
    found = _encoded(white, camera)
    return found if camera.colour else found[0]


def _encoded(white, camera):
    """Values of balanced light by the tone curve, its blacks crushed."""
    found = tones.encoded(white, camera.tone, camera.tone_parameter)
    return np.maximum(found - camera.crush, 0.0) / (1.0 - camera.crush)


def _balanced(counts, camera):
    """White-balanced share of full scale of counts (..., 3), or of a grey sensor's counts."""
    if not camera.colour:
        return counts
    return np.minimum(counts * np.array(camera.cast) / np.array(camera.response), 1.0)


def _counted(irradiance, camera, rng):
    """What the sensor counts, (rows, cols) uint16, and the share of pixels at full scale."""
    top = tones.top(camera.tone, camera.tone_parameter)
    seen = irradiance * np.float32(camera.exposure / top)
    if camera.bloom:
        seen = seen + np.float32(camera.bloom) * _halo(seen, camera.bloom_px)
    if camera.colour:
        seen = _mosaic(seen, camera.response)
    elif seen.ndim == 3:
        seen = seen.mean(axis=2)
    counts = rng.poisson(seen * np.float32(camera.full_well)).astype(np.float32)
    counts += np.float32(camera.read_noise) * rng.standard_normal(seen.shape, np.float32)
    counts *= np.float32(1 / camera.full_well)
    counts += np.float32(camera.black)
    np.clip(counts, 0.0, 1.0, out=counts)
    clipped = float((counts >= 1.0).mean())
    steps = 2**camera.bits - 1
    return (np.rint(counts * steps) * np.float32(DEEP / steps)).astype(np.uint16), clipped


def _halo(seen, deviation):
    """Light above full scale, spread by a wide Gaussian."""
    over = np.where(seen > 1.0, seen, np.float32(0.0))
    small = tuple(max(n // HALO_STEP, 1) for n in seen.shape[1::-1])
    over = cv2.resize(over, small, interpolation=cv2.INTER_AREA)
    over = cv2.GaussianBlur(over, (0, 0), deviation / HALO_STEP)
    return cv2.resize(over, seen.shape[1::-1], interpolation=cv2.INTER_LINEAR)


def _mosaic(seen, response):
    """Each pixel behind its own filter: red, green / green, blue."""
    red, green, blue = (np.float32(r) for r in response)
    channels = [seen] * 3 if seen.ndim == 2 else [seen[..., i] for i in range(3)]
    found = channels[1] * green
    found[0::2, 0::2] = channels[0][0::2, 0::2] * red
    found[1::2, 1::2] = channels[2][1::2, 1::2] * blue
    return found


def _interpolated(raw, camera):
    """Counts of all colours at all pixels, or the counts of a grey sensor."""
    return cv2.demosaicing(raw, MOSAICS[camera.demosaic]) if camera.colour else raw


@lru_cache(maxsize=32)
def _tables(camera):
    """Value of each of 65536 counts by channel: balanced, or balanced and toned if no mixing."""
    counts = np.linspace(0.0, 1.0, DEEP + 1)
    counts = np.stack([counts] * 3, axis=-1) if camera.colour else counts
    white = _balanced(counts, camera)
    curve = _encoded(white * tones.top(camera.tone, camera.tone_parameter), camera)
    return white.astype(np.float32), curve.astype(np.float32)


def _toned(counts, camera):
    """Encoded values 0 to 1, float32, of counts: white balance, saturation, tone curve."""
    white, curve = _tables(camera)
    if not camera.colour:
        return curve[counts]
    if camera.saturation == 1.0:
        return np.stack([curve[:, i][counts[..., i]] for i in range(3)], axis=-1)
    seen = np.stack([white[:, i][counts[..., i]] for i in range(3)], axis=-1)
    mix = np.float32(camera.saturation) * np.eye(3, dtype=np.float32)
    mix += np.float32(1 - camera.saturation) * LUMA[None, :]
    seen = np.clip(cv2.transform(seen, mix), 0.0, 1.0)
    grey = _tables(replace(camera, colour=False))[1]
    return grey[np.rint(seen * DEEP).astype(np.uint16)]


def _finished(picture, camera):
    """Smoothed, locally contrasted, sharpened and resized values, 0 to 1."""
    picture = _smoothed(picture, camera)
    if camera.local_contrast:
        picture = _masked(picture, camera.local_contrast, camera.local_px)
    if camera.sharpen:
        picture = _masked(picture, camera.sharpen, camera.sharpen_px)
    if camera.resize != 1.0:
        size = tuple(max(round(n * camera.resize), 1) for n in picture.shape[1::-1])
        way = cv2.INTER_AREA if camera.resize < 1.0 else cv2.INTER_CUBIC
        picture = cv2.resize(picture, size, interpolation=way)
    return np.clip(picture, 0.0, 1.0)


def _smoothed(picture, camera):
    """The picture less its noise, and less some of its detail."""
    strength = camera.denoise_strength / 255
    if not camera.denoise:
        return picture
    if camera.denoise == "bilateral":
        return cv2.bilateralFilter(picture, 5, 3 * strength, 1.5)
    if camera.denoise not in ("median", "means"):
        raise ValueError(f"denoise {camera.denoise!r}: '', 'median', 'bilateral' or 'means'")
    if camera.denoise == "median":
        whole = np.rint(picture * DEEP).astype(np.uint16)
        return cv2.medianBlur(whole, 3).astype(np.float32) / DEEP
    whole = np.rint(picture * 255).astype(np.uint8)
    return cv2.fastNlMeansDenoising(whole, None, camera.denoise_strength, 3, 9) / np.float32(255)


def _masked(picture, amount, deviation):
    """Unsharp mask: the luma's distance from its own blur, added to every channel."""
    grey = luma(picture)
    step = HALO_STEP if deviation > 2 * HALO_STEP else 1
    if step > 1:
        small = tuple(max(n // step, 1) for n in grey.shape[1::-1])
        soft = cv2.resize(grey, small, interpolation=cv2.INTER_AREA)
        soft = cv2.GaussianBlur(soft, (0, 0), deviation / step)
        soft = cv2.resize(soft, grey.shape[1::-1], interpolation=cv2.INTER_LINEAR)
    else:
        soft = cv2.GaussianBlur(grey, (0, 0), deviation)
    added = np.float32(amount) * (grey - soft)
    return np.clip(picture + (added if picture.ndim == 2 else added[..., None]), 0.0, 1.0)


def _written(picture, camera):
    """The encoded file."""
    picture = picture if picture.ndim == 2 else picture[..., ::-1]
    full, kind = (DEEP, np.uint16) if camera.file == "png16" else (255, np.uint8)
    whole = np.rint(picture * full).astype(kind)
    if camera.file == "jpeg":
        options = [cv2.IMWRITE_JPEG_QUALITY, int(camera.quality)]
        if camera.colour:
            options += [cv2.IMWRITE_JPEG_SAMPLING_FACTOR, SUBSAMPLINGS[camera.subsampling]]
        return cv2.imencode(".jpg", whole, options)[1].tobytes()
    return cv2.imencode(".png", whole, [cv2.IMWRITE_PNG_COMPRESSION, 1])[1].tobytes()
