"""How well the apex view is measured in pictures that another hand made: a row a kind, worse first.

    python -m tests.benchmarks.second_world plain,hard --half judge --count 60 [--kept DIR]

The pictures come from `tests.benchmarks.pictures`, a world of surfaces, lamps, lenses and cameras
that shares no line with `edgetest.photo.render`. Even seeds are for choosing thresholds (`--half
tune`), odd seeds for judging (`--half judge`). The truth of a width is the full width at half
height of the light across the clean land, before lens and sensor. `--tone known` tells the
measurement the curve of the camera where it has a name, `--tone unknown` tells it nothing,
`--tone steps` what a picture of grey steps by the same camera shows (kind 'tones'). `--first 121`
takes no picture below that seed: fresh ones, where earlier ones were looked at.
"""

import argparse
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.tone_steps import patches_in, tone_of_steps
from edgetest.store.images import UnreadablePicture, read_picture, stored_grey
from tests.benchmarks.pictures import tones
from tests.benchmarks.pictures.keep import kept_one
from tests.benchmarks.pictures.kinds import KINDS, picture

FAR_OFF = 3.0  # half-intervals from the truth: a confident error
GROSS = 0.15  # of the width: what no user should be told


def judging_options(description, count):
    """The options that every judge of the second world has."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("--half", choices=("tune", "judge"), default="judge")
    parser.add_argument("--count", type=int, default=count, help="pictures of each kind")
    parser.add_argument("--first", type=int, default=0, help="lowest seed")
    parser.add_argument(
        "--kept", default="", help="folder filled by tests.benchmarks.pictures.keep"
    )
    parser.add_argument("--verbose", action="store_true")
    return parser


def seeds_of(half, count, first):
    """The seeds of one half, from the first on."""
    parity = {"tune": 0, "judge": 1}[half]
    begin = first + (first + parity) % 2
    return range(begin, begin + 2 * count, 2)


def pictures_of(kind, half, count, folder, first=0):
    """The pictures of a kind with their seeds, kept where a folder is given."""
    for seed in seeds_of(half, count, first):
        yield seed, kept_one(folder, kind, seed) if folder else picture(kind, seed)


def tone_told(one, mode):
    """The camera's true curve as evenly spaced values, as a calibration holds it, or nothing."""
    if mode == "unknown" or one.camera is None:
        return None
    if mode == "steps":
        return curve_of_steps(one.grey_steps)
    name, parameter = one.camera.tone, one.camera.tone_parameter
    if name in ("sRGB", "linear"):
        return name.lower()
    if name == "gamma":
        return float(parameter)
    light = np.linspace(0, tones.top(name, parameter), 20001)
    stored = tones.encoded(light, name, parameter)
    return np.interp(np.linspace(0, 1, 1025), stored / stored[-1], light / light[-1])


def curve_of_steps(steps):
    """The curve that the grey steps of a picture's camera show, or nothing where none are seen."""
    if steps is None:
        return None
    try:
        values = patches_in(stored_grey(steps.data), len(steps.luminances))
        return tone_of_steps(values, steps.luminances).curve
    except UnusableInput:
        return None


def true_width_um(one):
    """Width of the clean land where the picture shows it, as the lens's distortion shows it."""
    if one.truth is None:
        return np.nan
    upper, lower = one.borders()
    straight = [(np.column_stack([np.arange(len(y)), y, np.ones(len(y))]) @ one.to_file.T)[:, :2]
                for y in (one.truth.y1, one.truth.y2)]  # fmt: skip
    straight = [points[np.isfinite(points[:, 1])] for points in straight]
    if min(map(len, (*straight, upper, lower))) == 0:
        return one.truth.width_um
    seen = ((upper + lower) / 2 >= 0).all(axis=1)
    seen &= ((upper + lower) / 2 <= np.array(one.file_shape[::-1]) - 1).all(axis=1)
    seen = seen if seen.any() else slice(None)
    apart, shown = np.hypot(*(straight[1] - straight[0]).T), np.hypot(*(lower - upper).T)
    return one.truth.width_um * shown[seen].mean() / apart[seen].mean()


def measured(one, mode):
    """One row: what was measured of a picture, and its truth."""
    row = {"cause": one.cause, "truth": true_width_um(one)}
    start = time.perf_counter()
    try:
        light = read_picture(one.data, tone=tone_told(one, mode))
        row["decode"] = time.perf_counter() - start
        start = time.perf_counter()
        result = measure_apex(light, one.um_per_px)
    except UnreadablePicture as fault:
        return row | {"status": "refused", "codes": [fault.code], "seconds": 0.0, "mp": np.nan}
    row |= {"seconds": time.perf_counter() - start, "mp": light.grey.size / 1e6}
    row |= {"status": result.status, "below": result.below_um}
    row["codes"] = [each.code for each in (*result.reasons, *result.doubts)]
    if result.width_um is not None:
        width = result.width_um
        row |= {"mean": width.mean, "low": width.low, "high": width.high}
    if result.status == "measured":
        row |= matched(one, result.chips)
    return row


def matched(one, found):
    """Damage found, missed and invented, with the errors of depth, matched by place and kind."""
    free, depth, held = list(found), [], []
    true = one.truth.damages if one.truth is not None else ()
    px = one.um_per_px
    for each in true:
        column = (one.to_file @ [each.col, each.row, 1.0])[0]
        place_um = column * px / np.cos(np.deg2rad(one.truth.tilt_deg))
        room = max(each.length_um, 6 * px)
        near = [c for c in free if abs(c.position_um - place_um) < room and _alike(c, each)]
        if near:
            best = min(near, key=lambda c: abs(c.position_um - place_um))
            free.remove(best)
            off = best.depth_um - abs(each.depth_um)
            depth.append(off / abs(each.depth_um))
            held.append(abs(off) <= 1.96 * best.depth_u_um)
    return {"damage": len(true), "hits": len(depth), "extra": len(free), "depth": depth,
            "depth_held": held}  # fmt: skip


def _alike(chip, true):
    """A notch is no lip; a roll or a chip may be told as either."""
    kind = getattr(chip, "kind", None)
    return kind is None or true.kind not in ("notch", "lip") or kind == true.kind


def line_of(kind, rows):
    """The row of the table."""
    with_width = [row for row in rows if "mean" in row]
    bounds = [row for row in rows if row["status"] == "measured" and "mean" not in row]
    refused = [row for row in rows if row["status"] == "refused"]
    said = f"{kind:14s} n {len(rows):4d} measured {len(with_width):4d} bound {len(bounds):3d}"
    said += f" refused {len(refused):3d}"
    if with_width:
        said += _widths(with_width)
    if bounds:
        right = np.mean([row["below"] >= row["truth"] for row in bounds])
        said += f" | bounds right {100 * right:.0f} %"
    damage = [row for row in rows if "damage" in row]
    true, extra = (sum(row[key] for row in damage) for key in ("damage", "extra"))
    if true:
        hits = sum(row["hits"] for row in damage)
        depth = np.concatenate([row["depth"] for row in damage])
        held = np.mean(np.concatenate([row["depth_held"] for row in damage])) if hits else np.nan
        said += f" | damage {true} recall {hits / true:.3f}"
        said += f" precision {hits / max(hits + extra, 1):.3f}"
        said += f" depth rms {100 * np.sqrt(np.mean(depth**2)):.1f} % held {100 * held:.0f} %"
    elif damage:
        said += f" | invented {extra / len(damage):.3f} a picture"
    megapixels = np.nansum([row["mp"] for row in rows])
    said += f" | {1e3 * sum(row['seconds'] for row in rows) / max(megapixels, 1e-9):.0f} ms/MP"
    codes: dict[str, int] = {}
    for row in refused:
        codes[row["codes"][0]] = codes.get(row["codes"][0], 0) + 1
    if codes:
        said += f" | refused as {codes}"
    return said


def _widths(rows):
    """Errors of the width and what its interval is worth."""
    mean, truth, low, high = (
        np.array([row[key] for row in rows]) for key in ("mean", "truth", "low", "high")
    )
    off, half = mean - truth, (high - low) / 2
    inside = (low <= truth) & (truth <= high)
    share = 100 * off / truth
    far = np.abs(off) > FAR_OFF * np.maximum(np.maximum(half, high - mean), mean - low)
    return (
        f" | bias {share.mean():+.2f} rms {np.sqrt(np.mean(share**2)):.2f}"
        f" worst {np.abs(share).max():.1f} % gross {np.mean(np.abs(share) > 100 * GROSS):.3f}"
        f" | covers {100 * inside.mean():.1f} % half {np.median(100 * half / truth):.2f} %"
        f" far {far.sum()}"
    )


def main():
    """Print the table."""
    parser = judging_options(__doc__.splitlines()[0], 60)
    parser.add_argument("kinds", nargs="?", default="", help="kinds with commas; all by default")
    parser.add_argument("--tone", choices=("known", "unknown", "steps"), default="known")
    args = parser.parse_args()
    cv2.setNumThreads(1)
    versions = f"numpy {np.__version__}, opencv {cv2.__version__}, python {sys.version.split()[0]}"
    print(f"second world, half '{args.half}', tone {args.tone}; {versions}")
    for kind in args.kinds.split(",") if args.kinds else KINDS:
        rows = []
        for seed, one in pictures_of(kind, args.half, args.count, args.kept, args.first):
            rows.append(measured(one, args.tone))
            if args.verbose:
                row = rows[-1]
                width = f"{row['mean']:.3f} ({row['low']:.3f} to {row['high']:.3f})" if (
                    "mean" in row) else f"below {row.get('below')}"  # fmt: skip
                print(f"  {kind} {seed}: truth {row['truth']:.3f}, {row['status']} {width}, "
                      f"{row['codes']}, cause '{row['cause']}'")  # fmt: skip
        print(line_of(kind, rows), flush=True)


if __name__ == "__main__":
    main()
