"""What looks save: `python -m tests.benchmarks.looks_table`.

Simulated studies that grow by a blade a side; false claims where nothing differs, blades in all
and claims where something does. Rope at 8 m a blade (stages to 400 cuts, 20 mm of rope a cut).
"""

import sys
from math import log

import numpy as np

from edgetest.stats.group_sequential import (
    SHAPE,
    growing_studies,
    look_bounds,
    normal_deviate,
)
from edgetest.wear.compare.verdict_on_ratio import Seen, blades_to_settle

MOST, SCATTER, ROPE_M = 8, 0.15, 8.0
RATIOS = (1.0, 1.2, 1.5)
LAYOUTS = {
    "groups": {},
    "groups, one scatters twice as much": {"scatter": (1.0, 2.0)},
    "groups, one scatters three times as much": {"scatter": (1.0, 3.0)},
    "blocks": {"layout": "blocks"},
    "blocks, one scatters three times as much": {"layout": "blocks", "scatter": (1.0, 3.0)},
}


def run_looks(bounds, ratio, studies, layout="groups", scatter=(1.0, 1.0)):
    """Share of studies that claim a difference, if futility binds nobody, if it does; blades."""
    sizes = np.array(bounds.sizes)
    # The larger scatter stays at SCATTER: a wilder group, not a wilder shop.
    shift = log(ratio) / SCATTER * max(scatter)
    t, df = growing_studies(
        bounds.sizes, studies, np.random.default_rng(6), layout=layout, scatter=scatter,
        difference=shift,
    )  # fmt: skip
    z = normal_deviate(t, df)
    crossed = z > bounds.bounds()[:, None]
    ends = crossed | bounds.futile(z)
    ends[-1] = True
    at = ends.argmax(axis=0)
    claims = crossed[at, np.arange(studies)]
    return crossed.any(axis=0).mean(), claims.mean(), 2 * sizes[at].mean()


def following(studies, first=3, most=12, looks=False):
    """False claims of studies that cannot tell at first, and then go to the number named once.

    With looks: the number named is the greatest of a plan with looks at every blade a side.
    """
    rng = np.random.default_rng(8)
    false = 0
    for _ in range(studies):
        one, other = rng.normal(0, SCATTER, (2, most))

        def t_at(n, one=one, other=other):
            variance = (one[:n].var(ddof=1) + other[:n].var(ddof=1)) / 2
            return (other[:n].mean() - one[:n].mean()) / np.sqrt(variance * 2 / n), variance

        t, variance = t_at(first)
        stderr = np.sqrt(variance * 2 / first)
        if normal_deviate(t, 2 * first - 2) > 1.96:
            false += not looks or crosses(t_at, first, first, most)
            continue
        seen = Seen(t * stderr, stderr, np.sqrt(variance), 2 * first - 2)
        named = blades_to_settle(seen, 0.10).per_side
        n = min(max(named or most, first + 1), most)
        false += (
            crosses(t_at, first, n, n) if looks else normal_deviate(t_at(n)[0], 2 * n - 2) > 1.96
        )
    return false / studies


def crosses(t_at, first, last, most):
    """Whether a study crosses at any look from `first` to `last` of a plan up to `most`."""
    bounds = look_bounds(tuple(range(first, most + 1)))
    return any(
        normal_deviate(t_at(n)[0], 2 * n - 2) > bounds.bounds()[n - first]
        for n in range(first, last + 1)
    )


def main(studies=20_000):
    """Print the tables."""
    for most in (6, MOST, 12):
        every, some = tuple(range(3, most + 1)), tuple(sorted({3, (3 + most) // 2, most}))
        for name, how in LAYOUTS.items():
            for sizes in (every, some):
                bounds = look_bounds(sizes, layout=how.get("layout", "groups"))
                cells = [run_looks(bounds, ratio, studies, **how) for ratio in RATIOS]
                said = [f"{100 * p:.0f} %, {n:.1f}, {n * ROPE_M:.0f} m" for _, p, n in cells]
                false = f"{100 * cells[0][0]:.1f} %"
                print("", name, ", ".join(map(str, sizes)), false, *said, "", sep=" | ")
    for shape in (0.0, SHAPE, 0.5):
        bounds = look_bounds(tuple(range(3, MOST + 1)), shape=shape)
        cells = [run_looks(bounds, ratio, studies) for ratio in RATIOS]
        print("shape", shape, *(f"{p:.3f}, {n:.1f}" for _, p, n in cells), sep=" | ")
    small = studies // 10
    print(f"going once to the number named: {100 * following(small):.1f} %")
    print(f"the number named as a plan with looks: {100 * following(small, looks=True):.1f} %")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
