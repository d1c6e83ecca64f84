"""How well the apex view is measured: photographs of known truth, one table row a kind.

    python tests/benchmarks/apex_accuracy.py [SEED] [--n 120] [--only plain,hard] [--verbose]

Every picture is rendered, written as PNG or JPEG, read back by `edgetest.store.images` and
measured. Two seeds, pooled by hand or by giving them as `1,2`, make the tables in
edgetest/guide/width_accuracy.md.
"""

import argparse
import itertools
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import srgb_decode, srgb_encode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import UnreadablePicture, read_picture

SIZES = [(240, 320), (480, 640), (600, 800), (720, 1280), (960, 1280)]


def encode(picture, *, jpeg=None, cast=None):
    """File bytes of a 16-bit grey picture: PNG or JPEG of 8 bits, tinted where asked."""
    picture = picture / 65535.0
    if cast is not None:
        light = srgb_decode(picture)
        picture = srgb_encode(np.stack([light * c for c in cast], axis=2))
    picture = np.rint(255 * picture).astype(np.uint8)
    if jpeg:
        return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, int(jpeg)])[1].tobytes()
    return cv2.imencode(".png", picture)[1].tobytes()


def size_of(rng, width_px):
    """Picture size that leaves bevel on both sides of the land."""
    fit = [size for size in SIZES if size[0] > 3.2 * width_px + 80]
    return fit[rng.integers(len(fit))]


def base(rng, width_px):
    """Settings that every kind shares."""
    land = rng.uniform(0.35, 0.8)
    return {
        "shape": size_of(rng, width_px),
        "width_um": width_px,
        "land": land,
        "bevels": tuple(land * rng.uniform(0.03, 0.3, 2)),
        "blur_px": rng.uniform(0.8, 2.2),
        "noise": rng.uniform(0.003, 0.015),
        "supersample": 2,
    }


def plain(rng):
    """Straight or tilted edge, even light, white noise."""
    case = base(rng, np.exp(rng.uniform(np.log(4), np.log(60))))
    case |= {"tilt_deg": rng.uniform(-30, 30), "bow_px": rng.uniform(-8, 8)}
    return case, {}


def hard(rng):
    """Everything a bench photograph suffers from at once."""
    case = base(rng, np.exp(rng.uniform(np.log(8), np.log(50))))
    rows = case["shape"][0]
    case |= {
        "tilt_deg": rng.uniform(-30, 30),
        "bow_px": rng.uniform(-0.06, 0.06) * rows,
        "recurve_px": rng.uniform(-0.05, 0.05) * rows,
        "offset_px": rng.uniform(-0.1, 0.1) * rows,
        "width_sd": rng.uniform(0, 0.06),
        "width_grain_um": rng.uniform(30, 120),
        "land_grain": rng.uniform(0.02, 0.15),
        "land_grain_um": rng.uniform(10, 80),
        "bevel_grain": rng.uniform(0.05, 0.4),
        "uneven_light": rng.uniform(-0.4, 0.4),
        "dust": int(rng.integers(0, 15)),
        "scratches": int(rng.integers(0, 7)),
        "label": "x50  100 um" if rng.uniform() < 0.5 else "",
    }
    return case, {"jpeg": rng.choice([75, 85, 95]), "cast": _cast(rng)}


def _cast(rng):
    """Colour of the light (blue, green, red), or none."""
    return tuple(rng.uniform(0.6, 1.0, 3)) if rng.uniform() < 0.4 else None


def wide(rng):
    """Lands of 50 to 200 pixels."""
    case = base(rng, rng.uniform(50, 200))
    case |= {"tilt_deg": rng.uniform(-20, 20)}
    return case, {}


def narrow(rng):
    """Lands of 0.8 to 3 pixels."""
    case = base(rng, rng.uniform(0.8, 3.0))
    case |= {"tilt_deg": rng.uniform(-30, 30), "noise": rng.uniform(0.003, 0.01)}
    return case, {}


def narrow_known(rng):
    """As narrow, with the blur known from elsewhere to 2 %."""
    case, file = narrow(rng)
    total = np.sqrt(case["blur_px"] ** 2 + 1 / 12)
    return case, file | {"blur_px": total * (1 + 0.02 * rng.standard_normal())}


def saturated(rng):
    """Overexposed up to 1.7 times full scale."""
    case = base(rng, np.exp(rng.uniform(np.log(6), np.log(60))))
    land = rng.uniform(1.05, 1.7)
    case |= {
        "land": land,
        "bevels": tuple(land * rng.uniform(0.03, 0.2, 2)),
        "tilt_deg": rng.uniform(-30, 30),
        "land_grain": rng.uniform(0.0, 0.05),
    }
    return case, {}


def blown(rng):
    """Overexposed 1.7 to 4 times: never a confident wrong number."""
    case, file = saturated(rng)
    land = rng.uniform(1.7, 4.0)
    case |= {"land": land, "bevels": tuple(land * rng.uniform(0.03, 0.15, 2))}
    return case, file


def defocus(rng):
    """Soft, and softer at one end than at the other."""
    case = base(rng, np.exp(rng.uniform(np.log(15), np.log(80))))
    blur = rng.uniform(2, case["width_um"] / 4)
    blur = min(blur, 9)
    case |= {"tilt_deg": rng.uniform(-30, 30), "blur_px": blur}
    if rng.uniform() < 0.6:
        case["blur_px"] = (blur, blur * rng.uniform(0.3, 0.9))
    return case, {}


def chips(rng):
    """One to four lips, notches and rolls, 2 to 20 pixels deep."""
    case = base(rng, np.exp(rng.uniform(np.log(8), np.log(40))))
    case["shape"] = [(480, 640), (600, 800), (960, 1280)][rng.integers(3)]
    cols = case["shape"][1]
    count = int(rng.integers(1, 5))
    slots = np.linspace(0.1, 0.9, count + 1) * cols
    found = []
    for first, last in itertools.pairwise(slots):
        length = rng.uniform(15, 60)
        place = rng.uniform(first + length, max(first + length + 1, last - length))
        kind, side = rng.choice(["lip", "notch", "roll"]), rng.choice([-1, 1])
        depth = rng.uniform(2, 20)
        if kind != "lip":
            depth = -min(depth, 0.8 * case["width_um"])
        found.append((place, length, depth, side))
        if kind == "roll":
            found.append((place, length, -depth, -side))
    case |= {
        "tilt_deg": rng.uniform(-20, 20),
        "width_sd": rng.uniform(0, 0.02),
        "land_grain": rng.uniform(0, 0.05),
        "bevel_grain": rng.uniform(0, 0.2),
        "chips": tuple(found),
    }
    return case, {}


def turned(rng):
    """Upright, or any other direction."""
    case = base(rng, np.exp(rng.uniform(np.log(4), np.log(40))))
    case |= {"tilt_deg": 90.0 if rng.uniform() < 0.3 else rng.uniform(-180, 180)}
    return case, {}


def partial(rng):
    """The edge covers only a part of the picture's length."""
    case = base(rng, np.exp(rng.uniform(np.log(6), np.log(40))))
    first = rng.uniform(0, 0.4)
    case |= {"tilt_deg": rng.uniform(-20, 20), "span": (first, first + rng.uniform(0.45, 0.6))}
    case |= {"bevel_grain": rng.uniform(0, 0.2)}
    return case, {}


KINDS = {
    f.__name__: f
    for f in (
        plain, hard, wide, narrow, narrow_known, saturated, blown, defocus, chips, turned, partial,
    )
}  # fmt: skip


def refusals(rng):
    """Name and picture of everything that must be refused."""

    def edge(**more):
        return render_apex(rng=rng, **({"width_um": 14.0, "bevel_grain": 0.2} | more))[0]

    rows, cols = 480, 640
    yield "no edge", edge(land=0.08, bevels=(0.08, 0.08))
    step = np.where(np.arange(rows)[:, None] + 0.1 * np.arange(cols) < 250, 0.1, 0.6)
    step = cv2.GaussianBlur(step.astype(np.float32), (0, 0), 1.3)
    step = np.clip(step + 0.01 * rng.standard_normal(step.shape), 0, 1)
    yield "step only", np.uint8(255 * step ** (1 / 2.2))
    spots = np.full((rows, cols), 0.1, np.float32)
    for _ in range(25):
        centre = int(rng.uniform(0, cols)), int(rng.uniform(0, rows))
        cv2.circle(spots, centre, int(rng.uniform(2, 9)), 0.8, -1)
    yield "glints", np.uint8(255 * cv2.GaussianBlur(spots, (0, 0), 1.3) ** (1 / 2.2))
    yield "noise", rng.integers(0, 256, (rows, cols)).astype(np.uint8)
    yield (
        "smooth noise",
        np.uint8(
            np.clip(
                128 + 400 * cv2.GaussianBlur(rng.standard_normal((rows, cols)), (0, 0), 3), 0, 255
            )
        ),
    )
    yield "out of focus", edge(blur_px=14.0)
    yield "out of focus, disc", edge(blur_px=16.0, disc=True)
    yield "two bands", edge(second_band=(rng.uniform(25, 60), 10.0, 0.5))
    yield "two bands, far", edge(second_band=(rng.uniform(90, 140), 14.0, 0.6))
    yield "no contrast", edge(land=0.3, bevels=(0.3, 0.3), bevel_grain=0.0)
    yield "black", np.zeros((rows, cols), np.uint8)
    yield "white", np.full((rows, cols), 255, np.uint8)
    yield "land fills the frame", edge(width_um=700.0)
    yield "land over one border", edge(width_um=200.0, offset_px=190.0)
    yield "inverted", 255 - edge()
    yield "dark band", edge(land=0.05, bevels=(0.6, 0.6))
    for pitch, wide_lines in ((8, 2), (20, 4), (40, 6)):
        x = (np.arange(cols) + 0.37 * np.arange(rows)[:, None]) % pitch
        ruled = np.where(x < wide_lines, 0.1, 0.7).astype(np.float32)
        light = cv2.GaussianBlur(ruled, (0, 0), 1.3)
        light = light + 0.01 * rng.standard_normal(light.shape)
        yield f"micrometer, pitch {pitch}", np.uint8(255 * np.clip(light, 0, 1) ** (1 / 2.2))
    yield "ramp", np.uint8(np.broadcast_to(np.linspace(20, 230, cols), (rows, cols)))
    yield "1 x 1", np.full((1, 1), 99, np.uint8)
    yield "3 x 2000", np.full((3, 2000), 99, np.uint8)


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
            said = [r.code for r in result.reasons] or f"MEASURED {result.width_um}"
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
