"""How well two lines and a needle tell the size of a crest: pictures of the second world.

    python -m tests.benchmarks.side_light KIND,KIND --half judge --count 60

Even seeds are for choosing (`--half tune`), odd ones for judging (`--half judge`). 'sides' are the
pairs of `tests.benchmarks.pictures.kinds`; the other kinds change one thing of them:

* across: lamps straight across the edge; turned: 10 to 25 degrees off, and told so
* small: crests of radius 1 to 10 pixels; rough needle: slopes 0.10 to 0.20 on the needle
* rolled: a round crest, the blade turned about its edge by 15 to 25 degrees
* pitched: the edge runs uphill by 2 to 6 degrees, the needle does not
* both: flats with corners, with an on-axis picture of the same place
* uneven: one lamp 2 to 3.8 times as bright; burr: with a burr
* ring: the whole ring open; one lamp: a lamp covered; both refused or bounded, never a value

The truth of a radius is the mean of what was drawn, that of W30 comes from the geometry.
"""

import argparse
import os
import time
from dataclasses import replace
from zlib import crc32

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.apex_light import FacingWidth, Lighting
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.glints.crest_size import OnAxisLine, size_crest
from edgetest.photo.glints.needle_light import Needle, SideSetup
from edgetest.photo.glints.pair_spacing import pair_spacing
from edgetest.store.images import read_picture
from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.draws import between, either
from tests.benchmarks.pictures.keep import kept
from tests.benchmarks.pictures.kinds import _needle, picture
from tests.benchmarks.pictures.recipe import made
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.surface import Apex, Burr


def recipe_of(kind, rng):
    """A recipe as that of 'sides', with one thing changed."""
    recipe = plain_recipe(rng, 30.0)
    pitch = recipe.bench.um_per_px
    light = replace(draws.sectors(rng, recipe.bench), sector_turn_deg=0.0)
    radius = (between(rng, 1, 10) if kind == "small" else between(rng, 10, 40)) * pitch
    flat = 0.0 if either(rng, 0.5) else radius * rng.uniform(0.3, 2.0)
    apex = Apex("corners" if flat else "round", float(flat), float(radius), draws.leans(rng))
    if kind == "rolled":
        roll = float(rng.choice([-1, 1]) * rng.uniform(15, 25))
        low, high = apex.leans_deg
        apex = replace(apex, form="round", flat_um=0.0, leans_deg=(low - roll, high + roll))
    if kind == "pitched":
        light = replace(light, pitch_deg=float(rng.choice([-1, 1]) * rng.uniform(2, 6)))
    if kind == "both" and not flat:
        apex = replace(apex, form="corners", flat_um=float(radius * rng.uniform(0.3, 2.0)))
    if kind == "turned":
        turn = float(rng.choice([-1, 1]) * rng.uniform(10, 25))
        light = replace(light, sector_turn_deg=turn)
    if kind == "uneven":
        light = replace(light, sector_ratio=float(rng.uniform(2, 3.8) ** rng.choice([-1, 1])))
    if kind == "ring":
        light = replace(light, kind="ring", lamps=0 if either(rng, 0.5) else 8)
    if kind == "one lamp":
        light = replace(light, sector_closed=int(rng.choice([-1, 1])))
    if kind == "burr":
        ridge = Burr(
            side=int(rng.choice([-1, 1])),
            width_um=between(rng, 1.5, 6) * pitch,
            offset_um=float(rng.uniform(-3, 4)) * pitch,
            lean_deg=float(rng.uniform(0, 60)),
            from_=(start := float(rng.uniform(0, 0.7))),
            to=float(min(1.0, start + rng.uniform(0.15, 0.5))),
        )
        apex = replace(apex, burr=ridge)
    return replace(recipe, apex=apex, lighting=light, metered=True)


def pair_of(kind, seed):
    """Picture of an edge with that of its needle as `partner`, and the on-axis one or None."""
    rng = np.random.default_rng([seed, crc32(kind.encode())])
    recipe = recipe_of(kind, rng)
    subject = made(recipe, rng)
    shine = (0.10, 0.20) if kind == "rough needle" else (0.02, 0.10)
    level = replace(recipe, lighting=replace(recipe.lighting, pitch_deg=0.0))
    pair = replace(subject, partner=_needle(level, rng, shine), kind=kind, seed=seed)
    if kind != "both":
        return pair, None
    through = replace(draws.on_axis(rng, recipe.bench), alpha=recipe.lighting.alpha)
    return pair, made(replace(recipe, lighting=through), rng)


def pairs(kind, half, count, folder):
    """The pairs of a kind."""
    parity = {"tune": 0, "judge": 1}[half]
    if kind == "sides":
        made = (picture(kind, 2 * number + parity) for number in range(count))
        for _, one in zip(
            range(count), kept(folder, kind, parity) if folder else made, strict=False
        ):
            yield one, None
        return
    for number in range(count):
        yield pair_of(kind, 2 * number + parity)


def measured(one, through):
    """The size of a crest by the pictures of a pair, as a maker would note the set-up."""
    start = time.perf_counter()
    lines = [pair_spacing(read_picture(each.data, tone="srgb")) for each in (one, one.partner)]
    light = one.lighting
    setup = SideSetup(
        direction="ring" if light.kind == "ring" else "two sectors",
        um_per_px=one.um_per_px,
        turned_deg=max(5.0, abs(light.sector_turn_deg)),
        lens_distance_mm=10_000,  # lamps and lens of this world are far off
        lamp_distance_mm=10_000,
    )
    on_axis = None if through is None else bright_line(through)
    size = size_crest(*lines, Needle(one.partner.needle.diameter_um, 0.0), setup, on_axis)
    return size, time.perf_counter() - start


def bright_line(one):
    """The on-axis picture's bright line, its lens's aperture noted; None where it is refused."""
    width = measure_apex(read_picture(one.data, tone="srgb"), one.um_per_px).width_um
    light = Lighting("on-axis", round(one.lighting.na_lens, 2), round(one.lighting.na_lamp, 2))
    return width and OnAxisLine(FacingWidth(width.low, width.high, width.mean), light)


def row_of(one, size):
    """What a size is off by, relative, and by its own interval; or the reason it was refused."""
    truth = one.truth
    row = {"seed": one.seed, "form": "round" if truth.flat_um == 0 else "flat"}
    if size.status == "refused":
        return row | {"refused": size.reasons[0].code}
    w30, radius = size.w30_um, size.radius_um
    row |= {"held": w30.low <= truth.w30_um <= (w30.high or np.inf), "bound": w30.value is None}
    if w30.value is None:
        return row | {"room": (w30.high or w30.low) / truth.w30_um}
    row |= {"w30": w30.value / truth.w30_um - 1, "half": (w30.high - w30.low) / 2 / truth.w30_um}
    if row["form"] == "round":
        off, half = radius.value - truth.radius_um, (radius.high - radius.low) / 2
        held = radius.low <= truth.radius_um <= radius.high
        row |= {"off": off / truth.radius_um, "half": half / truth.radius_um, "held": held}
        return row
    if size.land_um is not None:
        land, corner = size.land_um, size.corner_um
        row |= {
            "land": land.value / truth.flat_um - 1,
            "corner": corner.value / truth.radius_um - 1,
            "land_held": land.low <= truth.flat_um <= land.high
            and corner.low <= truth.radius_um <= corner.high,
        }
    line = truth.flat_um + 2 * truth.radius_um * np.sin(np.radians(one.lighting.theta_deg / 2))
    return row | {"off": size.flat_um.value / line - 1}


def line_of(kind, rows):
    """The row of the table."""
    refused = [row["refused"] for row in rows if "refused" in row]
    bounds = [row for row in rows if row.get("bound")]
    said = f"| {kind} | {sum('off' in row for row in rows)} / {len(bounds)} / {len(refused)} |"
    for form in ("round", "flat"):
        off = 100 * np.array([row["off"] for row in rows if "off" in row and row["form"] == form])
        if off.size:
            said += f" {off.mean():+.2f}, {np.sqrt(np.mean(off**2)):.2f}, {np.abs(off).max():.2f} |"
        else:
            said += " |"
    w30 = 100 * np.array([row["w30"] for row in rows if "w30" in row])
    said += f" {np.sqrt(np.mean(w30**2)):.2f}, {np.abs(w30).max():.2f} |" if w30.size else " |"
    held = [row["held"] for row in rows if "held" in row]
    half = [row["half"] for row in rows if "half" in row]
    said += f" {100 * np.mean(held):.0f} |" if held else " |"
    said += f" {100 * np.median(half):.1f} |" if half else " |"
    both = [row for row in rows if "land" in row]
    if both:
        rms = [
            100 * np.sqrt(np.mean([row[key] ** 2 for row in both])) for key in ("land", "corner")
        ]
        held = 100 * np.mean([row["land_held"] for row in both])
        said += f" land RMS {rms[0]:.1f}, corner {rms[1]:.1f}, held {held:.0f};"
    codes = {code: refused.count(code) for code in sorted(set(refused))}
    return said + f" {', '.join(f'{n} {code}' for code, n in codes.items())} |"


def main():
    """Print a row a kind."""
    told = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    told.add_argument("kinds")
    told.add_argument("--half", choices=("tune", "judge"), default="tune")
    told.add_argument("--count", type=int, default=30)
    told.add_argument("--kept", help="folder of kept pictures")
    told.add_argument("--each", action="store_true", help="a line a picture")
    given = told.parse_args()
    cv2.setNumThreads(1)
    for kind in given.kinds.split(","):
        rows = []
        seconds = []
        for one, through in pairs(kind, given.half, given.count, given.kept):
            size, spent = measured(one, through)
            seconds.append(spent)
            rows.append(row_of(one, size))
            if given.each:
                print({k: round(v, 4) if isinstance(v, float) else v for k, v in rows[-1].items()})
        print(line_of(kind, rows), f"{np.median(seconds):.2f} s a pair", flush=True)


if __name__ == "__main__":
    main()
