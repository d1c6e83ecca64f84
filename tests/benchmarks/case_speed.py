"""Processor time of one case: a three-heat schedule, 200 nodes, 1,000 samples, all diffusivities.

Run: python -m tests.benchmarks.case_speed
"""

import os
import platform
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from edgetest.steel.carburised_case import solve_case
from edgetest.steel.heat_schedule import PUBLISHED, Heat, Plate
from edgetest.steel.hours_through import hours_through
from edgetest.steel.pack import PackKnowledge

SCHEDULE = (Heat(900, 8, "carburising"), Heat(870, 0.25), Heat(810, 0.2))


def best_of_three(act):
    times = []
    for _ in range(3):
        start = time.process_time()
        act()
        times.append(time.process_time() - start)
    return min(times)


def case(names):
    return solve_case(
        SCHEDULE, Plate(6.0, 0.2, (0.2, 0.2)), known=PackKnowledge(names), samples=1000, nodes=200,
        rng=np.random.default_rng(1),
    )  # fmt: skip


if __name__ == "__main__":
    print(f"Python {platform.python_version()}, numpy {np.__version__}, {platform.machine()}")
    print(f"all six diffusivities        {best_of_three(lambda: case(PUBLISHED)):.2f} s")
    constant = tuple(name for name in PUBLISHED if name not in ("agren", "tibbetts"))
    print(f"the four without carbon      {best_of_three(lambda: case(constant)):.2f} s")
    print(f"carbon-dependent alone       {best_of_three(lambda: case(('agren',))):.2f} s")
    hours = best_of_three(
        lambda: hours_through(
            Plate(1.0, 0.2), 900, target_pct=0.48, surface_pct=1.0, rng=np.random.default_rng(1)
        )
    )
    print(f"hours to harden through      {hours:.2f} s")
