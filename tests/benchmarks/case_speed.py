"""How long one case takes: a three-heat schedule, 200 nodes, 1,000 samples, all diffusivities.

Run: python tests/benchmarks/case_speed.py
"""

import os
import platform
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from edgetest.steel.carburised_case import case_result
from edgetest.steel.heat_schedule import PUBLISHED, Heat
from edgetest.steel.pack import hours_through

SCHEDULE = (Heat(900, 8, "carburising"), Heat(870, 0.25), Heat(810, 0.2))


def best_of_three(act):
    times = []
    for _ in range(3):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return min(times)


def case(names):
    return case_result(
        SCHEDULE, 6.0, core_pct=0.2, removed_mm=(0.2, 0.2), diffusivities=names, samples=1000,
        nodes=200, rng=np.random.default_rng(1),
    )  # fmt: skip


if __name__ == "__main__":
    print(f"Python {platform.python_version()}, numpy {np.__version__}, {platform.machine()}")
    print(f"all six diffusivities        {best_of_three(lambda: case(PUBLISHED)):.2f} s")
    constant = tuple(name for name in PUBLISHED if name != "agren")
    print(f"the five without carbon      {best_of_three(lambda: case(constant)):.2f} s")
    print(f"carbon-dependent alone       {best_of_three(lambda: case(('agren',))):.2f} s")
    hours = best_of_three(
        lambda: hours_through(1.0, 900, core_pct=0.2, target_pct=0.44, rng=np.random.default_rng(1))
    )
    print(f"hours to harden through      {hours:.2f} s")
