"""How far may a round crest lean and still shine? Microfacets summed over both pupils, and fitted.

Prints the fit of `edgetest.photo.apex.apex_light`, its constants and its worst error:

    python -m tests.benchmarks.shining_lean

The reflectance is that of Torrance and Sparrow (J. Opt. Soc. Am. 57 (1967) 1105-1114, from
memory), Gaussian slopes, Fresnel term constant, nothing shadowed. Every pair of a direction in
the lamp's pupil and one in the lens's is summed as it stands: no small angle, no formula of
a profile. The crest shines where it sends half as much light into the lens as its top does.
"""

import itertools

import numpy as np
from scipy.optimize import brentq, least_squares

POINTS = 300  # of a pupil; 1200 move no case by more than 1 %
APERTURES = (0.02, 0.03, 0.05, 0.07, 0.1, 0.14, 0.2, 0.28)
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # the smaller aperture over the larger
SLOPES = (0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.16, 0.2)  # rms, along one direction


def pupil(na, turned=0.0):
    """Directions that fill a pupil evenly in their sines, shape (points, 3): Fibonacci's spiral."""
    if na == 0:
        return np.array([[0.0, 0.0, 1.0]])
    k = np.arange(POINTS) + 0.5
    sine, around = na * np.sqrt(k / POINTS), np.pi * (1 + np.sqrt(5)) * k + turned
    return np.stack([sine * np.cos(around), sine * np.sin(around), np.sqrt(1 - sine**2)], axis=1)


def radiance(lean, lamp, lens, slope, along=1.0):
    """Light into the lens from a surface that leans so far, up to a factor.

    Parameters
    ----------
    lean : float
        Radians, about the edge.
    lamp, lens : ndarray, shape (n, 3)
        Directions of both pupils, evenly spread in their sines.
    slope : float
        Root mean square slope of the facets across the edge.
    along : float
        The same along the edge, as a share of it.
    """
    normal = np.array([0.0, np.sin(lean), np.cos(lean)])
    across = np.array([0.0, np.cos(lean), -np.sin(lean)])
    half = lamp[:, None, :] + lens[None, :, :]
    half /= np.linalg.norm(half, axis=2, keepdims=True)
    up = half @ normal
    slopes2 = (half @ across) ** 2 + (half[..., 0] / along) ** 2
    facets = np.exp(-slopes2 / (2 * slope**2 * up**2)) / up**4
    seen = np.maximum(lens @ normal, 1e-9)[None, :]
    lit = lamp[:, None, 2]  # an even spread of sines is a solid angle times this cosine
    return float((facets / (4 * seen * lit)).sum())


def shining_sine(lamp_na, lens_na, slope, along=1.0):
    """Sine of the lean at which half the light of the crest's top is left."""
    lamp, lens = pupil(lamp_na), pupil(lens_na, 1.0)
    top = radiance(0.0, lamp, lens, slope, along)
    lean = brentq(lambda a: radiance(a, lamp, lens, slope, along) - top / 2, 0.0, 1.0, xtol=1e-5)
    return np.sin(lean)


def model(params, na, slope):
    """The formula that is fitted: the aperture's share and the roughness's, joined by a power."""
    pupil_share, rough_share, power = params
    return ((pupil_share * na) ** power + (rough_share * slope) ** power) ** (1 / power)


def main():
    """Print the constants and the worst error, and what unlike slopes along the edge change."""
    cases = np.array(list(itertools.product(APERTURES, SHARES, SLOPES)))
    na, share, slope = cases.T
    true = np.array([shining_sine(each, each * part, rough) for each, part, rough in cases])
    fit = least_squares(lambda params: np.log(model(params, na, slope) / true), (0.5, 1.0, 2.5))
    error = model(fit.x, na, slope) / true - 1
    print("sin a = [(p NA)^n + (q slope)^n]^(1/n), NA the larger of lamp's and lens's")
    print("p, q, n:", np.round(fit.x, 3))
    print("| smaller aperture over the larger | cases | RMS | worst |\n| --- | --- | --- | --- |")
    for name, off in [(f"{part:g}", error[share == part]) for part in SHARES] + [("all", error)]:
        rms = np.sqrt(np.mean(off**2))
        low, high = 100 * off.min(), 100 * off.max()
        print(f"| {name} | {off.size} | {100 * rms:.1f} % | {low:+.1f} to {high:+.1f} % |")
    print("slopes along the edge 0.3, 1 and 3 times those across: sin a")
    for one, rough in ((0.05, 0.03), (0.1, 0.1), (0.28, 0.1)):
        sines = [shining_sine(one, one, rough, along) for along in (0.3, 1.0, 3.0)]
        print(f"  both apertures {one:g}, slope {rough:g}:", np.round(sines, 4))


if __name__ == "__main__":
    main()
