"""Do surface and light of the made pictures agree with closed forms? Plain script; prints figures.

Run: PYTHONPATH=. python tests/benchmarks/pictures/closed_forms.py
Exit code 1 if a figure is farther from its closed form than the limit beside it.
"""

import sys
from dataclasses import replace
from time import process_time

import numpy as np
from scipy.optimize import brentq

from tests.benchmarks.pictures.grain import Ground
from tests.benchmarks.pictures.ground_scene import render_scene
from tests.benchmarks.pictures.lamps import (
    LENS_POINTS,
    Lighting,
    cap_directions,
    facet_density,
    lamp_directions,
    reflectance,
)
from tests.benchmarks.pictures.profile_light import Frame, profile_of
from tests.benchmarks.pictures.surface import Apex, Damage, Edge
from tests.benchmarks.pictures.targets import render_needle, render_ruling

BARE = Ground(land_sd=0, bevel_sd=0, falloff=0)
FRAME = Frame(240, 320, 0.5, 2)
NARROW = Lighting(na_lamp=0.002, na_lens=0.002, alpha=0.1, diffuse=0.0, along_grain=1.0)


def facets():
    """Facets of an element, projected on it, fill its area: the integral of D cos is 1."""
    b, a = np.meshgrid(np.linspace(-1.5, 1.5, 1501), np.linspace(-1.5, 1.5, 1501), indexing="ij")
    for alpha in (0.05, 0.2):
        density = facet_density(0.0, b, a, (alpha, 0.3 * alpha), 30.0)
        area = np.cos(b) * (b[1, 0] - b[0, 0]) * (a[0, 1] - a[0, 0])
        yield (
            f"facets fill the area, alpha {alpha}",
            (density * np.cos(b) * np.cos(a) * area).sum(),
            1,
            1e-3,
        )


def direct(lighting, grain_deg, a, b):
    """Radiance by the plain double sum over lamp and lens, no table (facets only)."""
    lamps, weight = lamp_directions(lighting)
    h = lamps[:, None, :] + cap_directions(LENS_POINTS, lighting.na_lens)[0][None]
    h /= np.linalg.norm(h, axis=2, keepdims=True)
    n = np.array([np.sin(b), np.cos(b) * np.sin(a), np.cos(b) * np.cos(a)])
    t = np.array([np.cos(b), -np.sin(b) * np.sin(a), -np.sin(b) * np.cos(a)])
    facing = h @ n
    u, v = h @ t / facing, h @ np.array([0, np.cos(a), -np.sin(a)]) / facing
    c, s = np.cos(np.radians(grain_deg)), np.sin(np.radians(grain_deg))
    across, along = lighting.alpha, lighting.alpha * lighting.along_grain
    power = ((c * u + s * v) / along) ** 2 + ((c * v - s * u) / across) ** 2
    density = np.exp(-power / 2) / (2 * np.pi * across * along * facing**4)
    return float((density * weight[:, None]).sum() / LENS_POINTS / (4 * n[2]))


def tables():
    """The table against the plain sum, at leans that matter, all kinds of light."""
    made = [
        Lighting(alpha=0.05, na_lamp=0.05),
        Lighting(alpha=0.2, na_lamp=0.28, na_lens=0.28),
        Lighting(kind="ring"),
        Lighting(kind="ring", lamps=8, na_lamp=0.15),
        Lighting(kind="sectors", sector_turn_deg=15.0),
        Lighting(kind="dome", theta_deg=20.0, theta_far_deg=60.0),
    ]
    for light in made:
        for grain in (0.0, 60.0):
            table = reflectance(replace(light, diffuse=0.0), grain)
            rng = np.random.default_rng(1)
            a, b = rng.uniform(-0.7, 0.7, 60), rng.uniform(-0.15, 0.15, 60)
            plain = np.array([direct(light, grain, *lean) for lean in zip(a, b, strict=True)])
            worst = np.abs(table.at(a, b) - plain).max() / table.brightest
            what = f"{light.kind}, {light.lamps} lamps, grain {grain:.0f}: worst of brightest"
            yield (what, worst, 0, 0.03)


def half_lean(alpha):
    """Lean at which a narrow lamp and lens on the axis see half: facets over the cosine to 5."""

    def light(a):
        return np.exp(-((np.tan(a) / alpha) ** 2) / 2) / np.cos(a) ** 5 - 0.5

    return brentq(light, 0.01, 1.0)


ROUGH, APERTURES = (0.03, 0.1, 0.2), (0.03, 0.1, 0.2, 0.28)


def crest_widths():
    """Half-height widths of a crest of 20 um, um: by alpha (rows) and NA of both (columns)."""
    crest = Apex("round", radius_um=20.0)
    made = [[Lighting(na_lamp=na, na_lens=na, alpha=a) for na in APERTURES] for a in ROUGH]
    return np.array([[profile_of(crest, reflectance(m)).width_um for m in row] for row in made])


def crests():
    """Print the widths of a crest."""
    print("crest of radius 20 um, half-height width in um; NA " + " ".join(map(str, APERTURES)))
    for alpha, row in zip(ROUGH, crest_widths(), strict=True):
        print(f"  alpha {alpha:.2f} " + " ".join(f"{w:6.2f}" for w in row))


def widths():
    """Width at half height: the land's own; of a crest by the closed form of a narrow pupil."""
    for flat in (2.0, 20.0, 60.0):
        profile = profile_of(Apex(flat_um=flat), reflectance(Lighting()))
        yield (f"sharp land of {flat:g} um: half-height width", profile.width_um, flat, 1e-9)
    for alpha in (0.05, 0.1, 0.2):
        for radius in (5.0, 40.0):
            table = reflectance(replace(NARROW, alpha=alpha))
            width = profile_of(Apex("round", radius_um=radius), table).width_um
            expected = 2 * radius * np.sin(half_lean(alpha))
            yield (f"crest of radius {radius:g} um, alpha {alpha}: width", width, expected, 0.01)
    grown = crest_widths()
    yield ("crests look wider by NA", float(np.diff(grown, axis=1).min() > 0), 1, 0)
    yield ("crests look wider by roughness", float(np.diff(grown, axis=0).min() > 0), 1, 0)
    rng = np.random.default_rng(0)
    for apex, expected in (
        (Apex("round", radius_um=25.0), 25.0),
        (Apex("corners", flat_um=20.0, radius_um=4.0), 24.0),
        (Apex(flat_um=20.0), 20.0),
        (Apex("round", radius_um=25.0, leans_deg=(60.0, 80.0)), 25.0),
    ):
        truth = render_scene(apex, Edge(), (), BARE, Lighting(), FRAME, rng).truth
        yield (f"W30 of {apex.form}", truth.w30_um, expected, 1e-4)


def areas():
    """Light above the bevels, summed down each column, is the land's width, wherever it lies."""
    rng = np.random.default_rng(2)
    for tilt in (0.0, 3.0, 30.0):
        worst = 0.0
        for offset in np.linspace(0, 0.5, 7):
            edge = Edge(tilt_deg=tilt, offset_um=offset)
            light = Lighting(diffuse=0.0)
            scene = render_scene(Apex(flat_um=10.0), edge, (), BARE, light, FRAME, rng)
            middle = scene.light[:, 280:360].astype(float)
            width = middle.sum(axis=0).mean() * FRAME.pitch * np.cos(np.radians(tilt))
            worst = max(worst, abs(width - 10.0))
        yield (f"area under a land of 10 um, tilt {tilt:g}: worst, um", worst, 0, 0.01)
    scene = render_scene(Apex(flat_um=10.0), Edge(2.0, 1.3), (), BARE, Lighting(), FRAME, rng)
    # Sub-column 200 lies a quarter of a pixel left of column 100.
    rows = (np.arange(200, 280) + 0.5) / 2 - 0.5
    bare = scene.light[200:280, 200] - scene.light[200, 200]
    found = (bare * rows).sum() / bare.sum()
    expected = (scene.truth.y1[100] + scene.truth.y2[100]) / 2 - 0.25 * np.tan(np.radians(2))
    yield ("middle of light, rows off", found - expected, 0, 2e-3)


def breaks():
    """Depth of notches and lips by the light they take and give, column by column."""
    light = Lighting(diffuse=0.0)
    for kind, side in (("notch", 1), ("notch", -1), ("lip", 1), ("lip", -1), ("chip", 1)):
        for shape in ("bump", "v", "box"):
            depth = {"notch": -6.0, "lip": 5.0, "chip": -14.0}[kind]
            damage = Damage(kind, side, 80.0, 40.0, depth, shape, asymmetry=0.3, shine=1.0)
            rng = np.random.default_rng(3)
            scene = render_scene(Apex(flat_um=20.0), Edge(), (damage,), BARE, light, FRAME, rng)
            sums = np.minimum(scene.light, 1).astype(float)
            if kind != "lip":  # facets of the scar that glint are not land
                sums = np.where(scene.light > 0.98, 1.0, 0.0)
            across = sums.sum(axis=0) * FRAME.pitch - 20.0
            found = across.min() if depth < 0 else across.max()
            told = scene.truth.damages[0]
            yield (f"{kind} {shape}, side {side}: depth, um", found, told.depth_um, 0.08)


def glints():
    """Two glints of a crest lie about 2 R sin(theta / 2) apart; of a needle too."""
    for theta in (50.0, 60.0, 75.0):
        for alpha in (0.03, 0.1):
            light = Lighting(kind="sectors", theta_deg=theta, alpha=alpha, na_lamp=0.05)
            frame, rng = Frame(240, 320, 0.5, 2), np.random.default_rng(4)
            apex = Apex("round", radius_um=25.0)
            truth = render_scene(apex, Edge(), (), BARE, light, frame, rng).truth
            expected = 50 * np.sin(np.radians(theta / 2))
            yield (
                f"glints of a crest, theta {theta:g}, alpha {alpha}",
                truth.glint_spacing_um,
                expected,
                0.05,
            )
            needle = render_needle(100.0, light, frame, alpha, rng).truth
            yield (
                "  of a needle",
                needle.glint_spacing_um,
                100 * np.sin(np.radians(theta / 2)),
                0.05,
            )


def textures():
    """Unevenness asked for and had, and that scratches leave the mean light alone."""
    for sd in (0.02, 0.06, 0.15):
        found, means = [], []
        for seed in range(12):
            rng = np.random.default_rng(seed)
            ground = Ground(land_sd=sd, falloff=0)
            scene = render_scene(Apex(), Edge(), (), ground, Lighting(), FRAME, rng)
            found.append(scene.truth.texture_sd)
            means.append(float(scene.light[204:276].mean()))
        yield (f"unevenness of the land, asked {sd}", float(np.mean(found)), sd, 0.15)
        yield ("  its mean light", float(np.mean(means)), 1, 0.02)


def rulings():
    """Stage micrometer: share of bright lines, and their pitch by the places told."""
    frame = Frame(240, 640, 0.5, 2)
    target = render_ruling(20.0, 5.0, frame, np.random.default_rng(5), bright_lines=True)
    share = (target.light[220:260].mean() - 0.07) / 0.93
    yield ("share of lines in a stage micrometer", float(share), 0.25, 0.03)
    yield ("pitch, pixels", float(np.diff(target.truth.places).mean()), 40, 1e-9)


def speed():
    """Processor time of a large picture, table kept."""
    frame, spent = Frame(960, 1280, 0.5, 2), []
    damages = (Damage("notch", 1, 200.0, 20.0, -5.0),)
    for seed in range(4):
        start = process_time()
        ground = Ground(dust=30, scratches=40, oil=0.1)
        edge = Edge(tilt_deg=20.0, wander_um=0.5)
        render_scene(Apex(), edge, damages, ground, Lighting(), frame, np.random.default_rng(seed))
        spent.append(process_time() - start)
    print(
        f"960 by 1280 pixels of 2 by 2: {min(spent):.2f} s; the first, tables too: {spent[0]:.2f} s"
    )


GROUPS = (facets, tables, widths, areas, breaks, glints, textures, rulings)


def off(found, closed):
    """Difference from the closed form: relative, or plain where that is 0."""
    return abs(found - closed) / (abs(closed) or 1.0)


def main():
    """Print every check; 1 if one is farther off than its limit."""
    missed = 0
    print(f"{'':60} {'found':>11} {'closed form':>11} {'off':>8} {'limit':>8}")
    for group in GROUPS:
        print(group.__doc__)
        for what, found, closed, limit in group():
            good = off(found, closed) <= limit
            missed += not good
            figures = f"{found:11.5g} {closed:11.5g} {off(found, closed):8.1e} {limit:8.1e}"
            print(f"{'  ' if good else '! '}{what:58} {figures}")
    crests()
    speed()
    print(f"{missed} missed")
    return int(missed > 0)


if __name__ == "__main__":
    sys.exit(main())
