"""Is a picture that shows no width refused for what is wrong with it? True cause by reason told.

    python -m tests.benchmarks.reasons_table --half judge --count 30 [--kept DIR] [--verbose]

Pictures of `tests.benchmarks.pictures` whose maker names a cause, the first world's refusals
(`apex_kinds.refusals`) and crops of everyday pictures. A picture counts as rightly told where
the first reason is one that fits its cause (`FITTING`), or where its width was measured and the
interval holds the truth, or misses it by 2 % at most: then the cause did no harm. Even seeds
choose, odd seeds report.
"""

import os
import sys

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.store.images import UnreadablePicture, read_picture
from tests.benchmarks.apex_kinds import refusals
from tests.benchmarks.pictures.broken_kinds import BROKEN
from tests.benchmarks.pictures.everyday import everyday
from tests.benchmarks.second_world import (
    FAR_OFF,
    judging_options,
    measured,
    pictures_of,
    seeds_of,
)

LITTLE = 0.02  # of the width, and within three half-intervals: no harm is done
DRAWN_PX = 14.0  # lands of the first world's refusals
LIT_WRONGLY = ["ring", "dome", "wrong lamps"]
# Reasons whose words name the cause, or the sight that it gives, and how to mend it.
NOTHING = {"no_band", "glints_only", "no_contrast", "too_noisy", "too_dark"}
WRONG_LIGHT = {"two_bands", "inverted", "land_fills_frame", "no_contrast"}
FITTING = {
    "out of focus": {"out_of_focus"},
    "motion": {"motion_blur"},
    "overexposed": {"saturated"},
    "too dark": {"too_dark", "too_noisy"},
    "noise": {"too_noisy", "too_dark"},
    "edge leaves the picture": {"land_fills_frame", "too_short"},
    "edge ends in the picture": {"too_short"},
    "no contrast": {"no_contrast"},
    "inverted": {"inverted", "two_bands"},  # the bright bevels to both sides of it are two bands
    "several edges": {"two_bands"},
    "glints": {"glints_only", "no_band"},
    "no edge": NOTHING,
    "ruling": {"ruling"},
    "ring light": WRONG_LIGHT,
    "dome light": WRONG_LIGHT,
    "one lamp dark": WRONG_LIGHT,
    "lamps along the edge": WRONG_LIGHT,
    "everyday": NOTHING | WRONG_LIGHT | {"ruling", "out_of_focus", "too_short", "saturated"},
}
FIRST_WORLD = {
    "no edge": "no edge",
    "step only": "no edge",
    "glints": "glints",
    "noise": "noise",
    "smooth noise": "no edge",
    "out of focus": "out of focus",
    "out of focus, disc": "out of focus",
    "two bands": "several edges",
    "two bands, far": "several edges",
    "no contrast": "no contrast",
    "black": "too dark",
    "white": "no contrast",
    "land fills the frame": "no contrast",  # nothing else is in the picture
    "land over one border": "edge leaves the picture",
    "inverted": "inverted",
    "dark band": "inverted",
    "ramp": "no edge",
}


def second_world(kinds, *which):
    """Rows of pictures with a cause: kind, seed, cause, code told, and the width."""
    for kind in kinds:
        for seed, one in pictures_of(kind, *which):
            if one.cause in FITTING:
                yield {"kind": kind, "seed": seed} | measured(one, "known")


def first_world(seed):
    """Rows of the pictures of the first world that must be refused."""
    for name, picture in refusals(np.random.default_rng([seed, 99])):
        cause = "ruling" if name.startswith("micrometer") else FIRST_WORLD.get(name)
        if cause:
            row = _told(cv2.imencode(".png", picture)[1].tobytes())
            truth = DRAWN_PX if cause == "out of focus" else np.nan
            yield row | {"kind": name, "seed": seed, "cause": cause, "truth": truth}


def everyday_rows(half, count, first=0):
    """Rows of crops of everyday pictures."""
    for seed in seeds_of(half, count, first):
        data, name = everyday(seed)
        yield {"kind": name, "seed": seed, "cause": "everyday"} | _told(data)


def _told(data):
    try:
        result = measure_apex(read_picture(data), 1.0)
    except UnreadablePicture as fault:
        return {"status": "refused", "codes": [fault.code], "truth": np.nan}
    codes = [each.code for each in (*result.reasons, *result.doubts)]
    row = {"status": result.status, "codes": codes, "truth": np.nan, "below": result.below_um}
    if result.width_um is not None:
        width = result.width_um
        row |= {"mean": width.mean, "low": width.low, "high": width.high}
    return row


def told(row):
    """What is told: the first reason, 'right width', 'wrong width' or 'bound'."""
    if row["status"] == "refused":
        return row["codes"][0]
    if "mean" in row:
        off, half = abs(row["mean"] - row["truth"]), (row["high"] - row["low"]) / 2
        harmless = off <= max(half, min(FAR_OFF * half, LITTLE * row["truth"]))
        return "right width" if harmless else "wrong width"
    return "right width" if row["below"] >= row["truth"] else "wrong width"


def is_right(row):
    """The reason fits the cause, or the width is right in spite of it."""
    return told(row) == "right width" or told(row) in FITTING[row["cause"]]


def table(rows):
    """Lines of the confusion table, a cause each, worst first."""
    causes = {row["cause"] for row in rows}
    lines = []
    for cause in causes:
        mine = [row for row in rows if row["cause"] == cause]
        count: dict[str, int] = {}
        for row in mine:
            count[told(row)] = count.get(told(row), 0) + 1
        right = sum(map(is_right, mine))
        said = ", ".join(f"{code} {n}" for code, n in sorted(count.items(), key=lambda c: -c[1]))
        lines.append((right / len(mine), f"| {cause} | {len(mine)} | {right} | {said} |"))
    return [line for _, line in sorted(lines)]


def main():
    """Print the table, the share on its diagonal and the wrong widths."""
    parser = judging_options(__doc__.splitlines()[0], 30)
    parser.add_argument("--everyday", type=int, default=100, help="crops of everyday pictures")
    parser.add_argument("--kinds", default="", help="kinds with commas; all broken ones by default")
    args = parser.parse_args()
    cv2.setNumThreads(1)
    versions = f"numpy {np.__version__}, opencv {cv2.__version__}, python {sys.version.split()[0]}"
    print(f"true cause by reason told, half '{args.half}'; {versions}")
    kinds = args.kinds.split(",") if args.kinds else [*BROKEN, *LIT_WRONGLY]
    rows = list(second_world(kinds, args.half, args.count, args.kept, args.first))
    if not args.kinds:
        rows += [row for turn in range(6) for row in first_world(2 * turn + (args.half == "judge"))]
        rows += everyday_rows(args.half, args.everyday, args.first)
    print("| true cause | pictures | rightly told | told |")
    print("\n".join(["| --- | --- | --- | --- |", *table(rows)]))
    print(f"on the diagonal: {100 * np.mean([is_right(row) for row in rows]):.1f} % of {len(rows)}")
    for row in rows:
        if told(row) == "wrong width" or (args.verbose and not is_right(row)):
            print(f"  {row['kind']} {row['seed']}, {row['cause']}: truth {row['truth']:.2f}, told "
                  f"{row.get('mean', np.nan):.2f} ({row.get('low', 0):.2f} to "
                  f"{row.get('high', row.get('below') or np.nan):.2f}) {row['codes']}")  # fmt: skip


if __name__ == "__main__":
    main()
