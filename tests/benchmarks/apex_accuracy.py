"""How well the apex view is measured: photographs of known truth, one table row a kind.

    python -m tests.benchmarks.apex_accuracy [SEED] [--n 120] [--only plain,hard] [--verbose]

Every picture is rendered, written as PNG or JPEG, read back by `edgetest.store.images` and
measured. Two seeds, pooled by hand or by giving them as `1,2`, make the tables in
edgetest/guide/tables.
"""

import argparse
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import UnreadablePicture, read_picture
from tests.benchmarks.apex_kinds import KINDS, encode, refusals


def run(kind, seed, n, verbose):
    """Errors, half-widths and flags of `n` pictures of a kind."""
    rng = np.random.default_rng([seed, sorted(KINDS).index(kind)])
    rows = []
    for number in range(n):
        case, file = KINDS[kind](rng)
        picture, truth = render_apex(rng=rng, um_per_px=1.0, bits=16, **case)
        data = encode(picture, jpeg=file.get("jpeg"), cast=file.get("cast"))
        loaded = read_picture(data, tone="srgb")
        start = time.perf_counter()
        result = measure_apex(loaded, 1.0, blur_px=file.get("blur_px"))
        seconds = time.perf_counter() - start
        row = {"seconds": seconds, "truth": truth["width_um"], "status": result.status}
        row["codes"] = [r.code for r in result.reasons + result.doubts]
        row["below"] = result.below_um
        if result.width_um is not None:
            width = result.width_um
            row |= {"mean": width.mean, "low": width.low, "high": width.high}
        row |= match_chips(truth["chips"], result.chips)
        rows.append(row)
        if verbose:
            told = {k: v for k, v in case.items() if k not in ("noise", "chips")}
            off = row.get("mean", np.nan) - row["truth"]
            print(
                number,
                f"truth {row['truth']:.3f} off {off:+.4f} ({100 * off / row['truth']:+.2f} %)",
                f"half {(row.get('high', np.nan) - row.get('low', np.nan)) / 2:.4f}",
                "below", row["below"], row["codes"],
                {k: np.round(v, 2) if not isinstance(v, str) else v for k, v in told.items()}, file,
            )  # fmt: skip
    return rows


def damage_of(chips):
    """Drawn chips as (place, length, depth, kind): two sides that move together are one roll."""
    told: dict[float, tuple] = {}
    for chip in chips:
        place, depth = chip["position_um"], chip["depth_um"]
        kind = "roll" if place in told else "lip" if depth > 0 else "notch"
        told[place] = (place, chip["length_um"], abs(depth), kind)
    return list(told.values())


def match_chips(chips, found):
    """Damage found, missed and invented, and depth errors, matched by place and kind."""
    free, true = list(found), damage_of(chips)
    depth, held = [], []
    for place, length, deep, kind in true:
        near = [c for c in free if abs(c.position_um - place) < length and c.kind == kind]
        if near:
            best = min(near, key=lambda c: abs(c.position_um - place))
            free.remove(best)
            depth.append(best.depth_um / deep - 1)
            held.append(abs(best.depth_um - deep) < 1.96 * best.depth_u_um)
    return {"chips": len(true), "hits": len(depth), "extra": len(free), "depth": depth,
            "held": held}  # fmt: skip


def report(kind, rows):
    """One line of the table."""
    measured = [r for r in rows if "mean" in r]
    bounds = [r for r in rows if "mean" not in r and r["below"]]
    refused = sum(r["status"] == "refused" for r in rows)
    line = f"{kind:13s} n {len(rows):4d} measured {len(measured):4d} "
    line += f"bound {len(bounds):3d} refused {refused:3d} "
    if measured:
        mean, truth, low, high = (
            np.array([r[k] for r in measured]) for k in ("mean", "truth", "low", "high")
        )
        off = mean - truth
        rel = 100 * off / truth
        cover = 100 * np.mean((low <= truth) & (truth <= high))
        half = 100 * (high - low) / 2 / truth
        line += (
            f"| bias {rel.mean():+.3f}% rms {np.sqrt(np.mean(rel**2)):.3f}% "
            f"{np.sqrt(np.mean(off**2)):.4f} px worst {np.abs(rel).max():.2f}% "
            f"| covers {cover:.1f}% half median {np.median(half):.3f}% max {half.max():.2f}% "
        )
    if bounds:
        right = np.mean([r["below"] > r["truth"] for r in bounds])
        ratio = np.median([r["below"] / r["truth"] for r in bounds])
        line += f"| bounds right {100 * right:.0f}% median ratio {ratio:.2f} "
    true = sum(r["chips"] for r in rows)
    if true or sum(r["extra"] for r in rows):
        hits, extra = (sum(r[k] for r in rows) for k in ("hits", "extra"))
        depth = 100 * np.concatenate([r["depth"] for r in rows])
        line += f"| chips {true} extra {extra} "
        if hits:
            line += f"recall {hits / true:.3f} precision {hits / (hits + extra):.3f} "
            line += f"depth bias {depth.mean():+.1f}% rms {np.sqrt(np.mean(depth**2)):.1f}% "
            line += f"held {100 * np.mean(np.concatenate([r['held'] for r in rows])):.0f}% "
    line += f"| {1e3 * np.mean([r['seconds'] for r in rows]):.0f} ms"
    print(line, flush=True)


def report_refusals(seed):
    """What every picture that must be refused is told."""
    rng = np.random.default_rng([seed, 99])
    for name, picture in refusals(rng):
        start = time.perf_counter()
        try:
            loaded = read_picture(cv2.imencode(".png", picture)[1].tobytes())
            result = measure_apex(loaded, 1.0)
            found = result.width_um or result.below_um
            said = [r.code for r in result.reasons] or f"MEASURED {found}"
        except UnreadablePicture as error:
            said = [error.code]
        print(f"  {name:24s} {1e3 * (time.perf_counter() - start):5.0f} ms  {said}")


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("seed", nargs="?", default="1", help="one seed or several: 1,2")
    parser.add_argument("--n", type=int, default=60, help="pictures of each kind and seed")
    parser.add_argument("--only", default="", help="kinds, comma-separated; 'refusals' too")
    parser.add_argument("--verbose", action="store_true")
    args = parser.parse_args()
    cv2.setNumThreads(1)
    seeds = [int(seed) for seed in args.seed.split(",")]
    kinds = args.only.split(",") if args.only else [*KINDS, "refusals"]
    print(f"numpy {np.__version__}, opencv {cv2.__version__}, python {sys.version.split()[0]}")
    for kind in kinds:
        if kind == "refusals":
            report_refusals(seeds[0])
        else:
            report(kind, [r for seed in seeds for r in run(kind, seed, args.n, args.verbose)])


if __name__ == "__main__":
    main()
