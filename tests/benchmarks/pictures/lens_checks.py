"""Do lens and camera keep the closed forms of optics and of photon counting?

    python -m tests.benchmarks.pictures.lens_checks

Each line tells what was found, what the closed form says, and how far apart they may lie. The
closed forms: the image of a point and the transfer function of a round pupil, the transfer of a
disc, a ring and a straight path (Goodman; Born and Wolf), Poisson's law of counts.
"""

import io
import sys
from dataclasses import replace

import cv2
import numpy as np
import scipy.fft as sf
from PIL import Image
from scipy.special import j1, jn_zeros, ndtr

from tests.benchmarks.pictures import tones
from tests.benchmarks.pictures.camera import Camera, develop, levels, luma
from tests.benchmarks.pictures.greysteps import CAMERAS, TONES, grey_steps
from tests.benchmarks.pictures.lens import Lens, bent_points, edge_rise, expose
from tests.benchmarks.pictures.pupil import APERTURES, RISE, of_one_wave, transfer

CELLS, SS = 160, 4


def profile(lens, disc=0.0):
    """Transfer at frequencies along +x of one wavelength, in cycles a pixel."""
    found = of_one_wave(lens, disc, 0.55, CELLS, SS)[0]
    return np.fft.rfftfreq(CELLS * SS, 1 / SS), found


def first_zero(frequency, values):
    """Where values first cross zero, by a straight line between neighbours."""
    i = int(np.argmax(values <= 0))
    share = values[i - 1] / (values[i - 1] - values[i])
    return frequency[i - 1] + share * (frequency[i] - frequency[i - 1])


def diffraction():
    """A round pupil in best focus."""
    airy = 5.0
    lens = Lens(airy_px=airy)
    # Marechal: peak over perfect peak is exp(-variance of phase); that of rho^4 - rho^2 is 1/180.
    peaks = [of_one_wave(replace(lens, spherical=w), 0.0, 0.55, CELLS, SS).sum() for w in (0, 0.6)]
    strehl = np.exp(-((2 * np.pi * 0.6) ** 2) / 180)
    yield "spherical 0.6 waves: peak over perfect peak", peaks[1] / peaks[0], strehl, 0.01
    frequency, found = profile(lens)
    s = np.clip(frequency * airy / 1.21967, 0, 1)
    closed = 2 / np.pi * (np.arccos(s) - s * np.sqrt(1 - s**2))
    yield "round pupil: largest error of transfer", np.abs(found - closed).max(), 0, 0.01
    image = sf.irfft2(of_one_wave(lens, 0.0, 0.55, CELLS, SS))[0, : 10 * SS]
    r = np.arange(10 * SS) / SS
    v = np.maximum(np.pi * 1.21967 * r / airy, 1e-9)
    yield (
        "point image: largest error, peak 1",
        np.abs(image / image[0] - (2 * j1(v) / v) ** 2).max(),
        0,
        0.01,
    )
    wave = np.sqrt(np.maximum(image, 0))[: 8 * SS]
    wave[np.argmin(wave) :] *= -1
    yield "first dark ring, px", first_zero(r, wave), airy, 0.05


def defocus():
    """Large discs against geometry."""
    disc = 12.0
    sharp = Lens(airy_px=0.35)  # geometry holds where waves are short
    # The argument of J1 is 2 pi disc f (1 - f / cutoff): Hopkins' transfer function of defocus.
    zero = jn_zeros(1, 1)[0] / (2 * np.pi * disc)
    zero *= 1 + zero * sharp.airy_px / 1.21967
    yield (
        "disc: first zero of transfer, c/px",
        first_zero(*profile(sharp, disc)),
        zero,
        0.02 * zero,
    )
    ring = replace(sharp, aperture="annular", stop=0.5)
    f = np.linspace(1e-4, 0.1, 4000)
    closed = j1(2 * np.pi * f * disc) - 0.5 * j1(np.pi * f * disc)
    zero = first_zero(f, closed)
    yield (
        "ring: first zero of transfer, c/px",
        first_zero(*profile(ring, disc)),
        zero,
        0.03 * zero,
    )
    for aperture in APERTURES:
        lens = Lens(airy_px=0.7, aperture=aperture, stop=0.5, disc_px=disc)
        image = sf.irfft2(of_one_wave(lens, disc, 0.55, CELLS, SS))
        axis = np.fft.fftfreq(CELLS * SS, 1 / CELLS)
        found = np.sqrt((image.sum(axis=1) * axis**2)[np.abs(axis) < 1.5 * disc].sum())
        u = np.linspace(-1, 1, 801)
        if aperture == "hexagon":
            corners = np.sqrt(5 / 24) * disc
            closed = corners
        elif aperture == "gaussian":
            weight = np.exp(-(u**2) / (2 * 0.4**2)) * np.abs(u)
            closed = disc * np.sqrt((weight * u**2).sum() / weight.sum() / 2)
        else:
            closed = disc / 2 * (np.sqrt(1.25) if aperture == "annular" else 1)
        yield f"{aperture}: second moment of its blur, px", found, closed, 0.06 * closed


def slanted(lens):
    """Rise of a slanted edge in a picture, 10 to 90 %, as a Gaussian's deviation in pixels."""
    rows, cols, lean = 160, 300, 0.05
    y = (np.arange(rows * 3)[:, None] + 0.5) / 3 - rows / 2
    x = (np.arange(cols * 3)[None, :] + 0.5) / 3 - cols / 2
    image = expose(np.clip((y - lean * x) * 3 + 0.5, 0, 1), 3, lens)
    across = np.arange(rows)[:, None] + 0.5 - rows / 2 - lean * (np.arange(cols) + 0.5 - cols / 2)
    bins = np.rint(10 * across).astype(int) + 700
    inside = (bins >= 0) & (bins < 1400)
    total = np.bincount(bins[inside], image[inside], 1400)
    rise = np.maximum.accumulate(total / np.bincount(bins[inside], minlength=1400))
    low, high = np.interp((0.1, 0.9), rise, np.arange(1400) / 10)
    return (high - low) * np.cos(np.arctan(lean)) / RISE


def places():
    """Energy, sub-pixel places, lateral colour, motion, distortion, defocus along x."""
    rng = np.random.default_rng(1)
    light = rng.random((240, 320), np.float32)
    for aperture in APERTURES:
        lens = Lens(aperture=aperture, stop=0.4, disc_px=4, defocus_ratio=2, spherical=0.3)
        flat = expose(np.ones_like(light), 2, lens)
        yield f"{aperture}: even light stays even, largest error", np.abs(flat - 1).max(), 0, 1e-4
        yield f"{aperture}: energy kept", expose(light, 2, lens).mean() / light.mean(), 1, 0.002
    for ss in (1, 2, 3):
        point = np.zeros((60 * ss, 80 * ss), np.float32)
        point[25 * ss + ss - 1, 40 * ss] = 1
        image = expose(point, ss, Lens(airy_px=1.5, disc_px=2))
        y = (image.sum(axis=1) * np.arange(60)).sum() / image.sum()
        x = (image.sum(axis=0) * np.arange(80)).sum() / image.sum()
        yield f"{ss} cells a pixel: place of a point along y", y, 25 + (ss - 1) / (2 * ss), 0.01
        yield f"{ss} cells a pixel: place of a point along x", x, 40 - (ss - 1) / (2 * ss), 0.01
    image = expose(point, 3, Lens(lateral_px=0.8, lateral_deg=30, axial_px=0.5, disc_px=1))
    x = (image.sum(axis=0) * np.arange(80)[:, None]).sum(axis=0) / image.sum(axis=(0, 1))
    yield "red less blue along x, px", x[0] - x[2], 0.8 * np.cos(np.pi / 6), 0.01
    moved = transfer(Lens(airy_px=1.0, motion_px=8), 0.0, "one", CELLS, SS)[0]
    zero = first_zero(np.fft.rfftfreq(CELLS * SS, 1 / SS), moved)
    yield "motion: first zero of transfer, c/px", zero, 1 / 8, 0.002
    bend = Lens(distortion=0.01)
    point = np.zeros((480, 640), np.float32)
    point[40:44, 600:604] = 1
    image = expose(point, 2, bend)
    x = (image.sum(axis=0) * np.arange(320)).sum() / image.sum()
    yield (
        "distortion: place of a point, px",
        x,
        bent_points([[300.5, 20.5]], (240, 320), bend)[0, 0],
        0.03,
    )
    veiled = expose(light, 2, Lens(glare=0.05)) - expose(light, 2, Lens())
    yield "glare over mean light, least", veiled.min() / light.mean(), 0.05, 1e-4
    dimmed = expose(np.ones((240, 320)), 2, Lens(vignetting=0.3))
    yield "vignetting: light in a corner", dimmed[0, 0], 0.7, 1e-3
    yield "vignetting: light half-way to a corner", dimmed[30, 40], 1 - 0.3 / 4, 3e-3
    half = np.zeros((480, 640), np.float32)
    half[240:] = 1
    image = expose(half, 2, Lens(airy_px=0.5, disc_px=6, defocus_ratio=3))
    for column, disc in ((0, 3.0), (-1, 9.0)):
        slope = image[120, column] - image[119, column]
        yield f"leaning blade: slope at disc {disc:g}, 1/px", slope, 2 / np.pi / disc, 0.06 / disc
    for lens in (Lens(), Lens(airy_px=4.0), Lens(disc_px=5.0), Lens(motion_px=9, motion_deg=80)):
        told = edge_rise(lens, 3)
        yield f"slanted edge seen: rise at {told:.2f} px", slanted(lens), told, 0.03 * told + 0.02
    for disc in (2.0, 8.0):
        rise = edge_rise(Lens(airy_px=0.7, disc_px=disc))
        yield f"edge rise of disc {disc:g}, px", rise, 0.536 * disc, 0.06 * disc


def sensor():
    """Counts, mosaic, resizing, files."""
    rng = np.random.default_rng(2)
    plain = Camera(colour=False, tone="linear", file="png16", bits=16, exposure=1.0, read_noise=10)
    for light in (0.05, 0.4, 0.8):
        data = develop(np.full((400, 400), light, np.float32), plain, rng).data
        found = np.asarray(Image.open(io.BytesIO(data)), float) / 65535 * 10000
        yield (
            f"photon transfer: variance at {light:g} of the well, e2",
            found.var(),
            light * 1e4 + 100,
            0.03 * (light * 1e4 + 100),
        )
        yield f"photon transfer: mean at {light:g} of the well, e", found.mean(), light * 1e4, 5
    for demosaic in ("bilinear", "edge-aware"):
        camera = Camera(tone="linear", file="png16", demosaic=demosaic, exposure=1.0)
        colour = np.array((0.3, 0.6, 0.45), np.float32)
        data = develop(np.broadcast_to(colour, (200, 200, 3)).copy(), camera, rng).data
        found = cv2.imdecode(np.frombuffer(data, np.uint8), -1)[..., ::-1].mean(axis=(0, 1)) / 65535
        yield f"{demosaic}: largest error of a colour", np.abs(found - colour).max(), 0, 0.003
    ramp = np.repeat(np.linspace(0.1, 0.9, 300, dtype=np.float32)[:, None], 200, axis=1)
    quiet = replace(plain, full_well=1e7, read_noise=0, resize=0.7)
    photo = develop(ramp, quiet, rng)
    found = cv2.imdecode(np.frombuffer(photo.data, np.uint8), -1).mean(axis=1) / 65535
    row = np.interp(0.5, found, np.arange(len(found)))
    yield "resized: row of the middle light", row, 150 * photo.scale_y - 0.5, 0.03
    for subsampling, share in (("4:4:4", 1), ("4:2:0", 2)):
        data = develop(ramp, Camera(subsampling=subsampling), rng).data
        layer = Image.open(io.BytesIO(data)).layer[0]
        yield f"JPEG {subsampling}: luma samples a chroma sample, each way", layer[1], share, 0


def finish():
    """Halo and unsharp masks: an added Gaussian, by its energy, its width and its overshoot."""
    rng = np.random.default_rng(4)
    quiet = Camera(
        colour=False,
        tone="linear",
        file="png16",
        bits=16,
        full_well=1e7,
        read_noise=0,
        exposure=1.0,
    )

    def seen(light, **words):
        data = develop(light, replace(quiet, **words), rng).data
        return cv2.imdecode(np.frombuffer(data, np.uint8), -1) / 65535

    spot = np.zeros((800, 800), np.float32)
    spot[400:408, 400:408] = 2000
    halo = seen(spot, bloom=0.05, bloom_px=50.0)
    halo[400:408, 400:408] = halo[399, 400]
    away = np.arange(800) - 403.5
    yield "halo: its light over clipped light", halo.sum() / (64 * 2000), 0.05, 0.002
    moment = (halo.sum(axis=0) * away**2).sum() / halo.sum()
    yield "halo: deviation, px", np.sqrt(moment), 50, 1.5
    step = np.full((300, 300), 0.3, np.float32)
    step[150:] = 0.6
    for words in ({"sharpen": 0.6, "sharpen_px": 2.0}, {"local_contrast": 0.3, "local_px": 30.0}):
        amount, deviation = words.values()
        found = seen(step, **words)[150, 150] - 0.6
        closed = amount * 0.3 * ndtr(-0.5 / deviation)
        yield f"unsharp mask of {deviation:g} px: overshoot of a step", found, closed, 0.003


def chains():
    """Tone curves and the staircase of greys."""
    rng = np.random.default_rng(3)
    for name, camera in {**TONES, **CAMERAS}.items():
        top = tones.top(camera.tone, camera.tone_parameter)
        curve = tones.encoded(np.linspace(0, top, 4001), camera.tone, camera.tone_parameter)
        rises = np.diff(curve).min()
        yield f"{name}: least rise of the curve is above 0", float(rises > 0), 1, 0
        data, light, boxes = grey_steps(replace(camera, local_contrast=0.0), rng)
        picture = cv2.imdecode(np.frombuffer(data, np.uint8), -1)
        picture = (
            luma(picture[..., ::-1] if camera.colour else picture) / np.iinfo(picture.dtype).max
        )
        yield f"{name}: light falls from step to step", float((np.diff(light) < 0).all()), 1, 0
        found = [picture[a:b, c:d].mean() for a, b, c, d in boxes]
        closed = [float(luma(levels(x, camera))) for x in light]
        yield (
            f"{name}: worst step of the staircase, of 255",
            255 * np.abs(np.subtract(found, closed)).max(),
            0,
            1.0,
        )


GROUPS = (diffraction, defocus, places, sensor, finish, chains)


def main():
    """Print every check; 1 if one lies outside."""
    outside = 0
    for group in GROUPS:
        print(group.__doc__)
        for name, found, closed, spare in group():
            good = abs(found - closed) <= spare
            outside += not good
            print(
                f"  {'  ' if good else '! '}{name:55} {found:10.4f} {closed:10.4f}  +-{spare:.4f}"
            )
    print(f"{outside} outside")
    return int(outside > 0)


if __name__ == "__main__":
    sys.exit(main())
