"""Bounds and coverage behind the guide to mystery steel: invented truths, seeded.

Run: python -m tests.benchmarks.steel_bounds
"""

import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))
os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from edgetest.steel.carburised_case import solve_case
from edgetest.steel.diffusion import DIFFUSIVITIES
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.heat_schedule import Heat, Plate
from edgetest.steel.hours_through import hours_through
from edgetest.steel.martensite import RELATION_SD_HRC
from edgetest.steel.pack import PackKnowledge, calibrate, of_samples
from edgetest.steel.pack_potential import U_PCT, pack_potential
from edgetest.steel.phase_limits import graphite_pct, most_austenite_pct
from edgetest.steel.retained_austenite import MS_SD_C, after_quench
from edgetest.steel.temper_softening import CaseTemper
from edgetest.steel.wanted_edge import USUAL_EDGE, WantedEdge
from tests.steel.closed_forms import harris_depth_mm

PACK = PackKnowledge(surface_sd_pct=U_PCT)
FILES = np.arange(40, 70, 5.0)


def heats(temperature_c, hours):
    return (Heat(temperature_c, hours, "carburising"), Heat(820, 0.2))


def facts():
    print(
        f"Pack of 0.20 % C steel, charcoal not described, thermometer ± 10 °C: {USUAL_EDGE.words()}"
    )
    print("°C   h   1 mm through, hard   6 mm through   ground 2.5 mm hard   case mm   edge HRC")
    for t in (870, 900, 925, 950):
        for h in (2, 4, 8, 12):
            thin, thick = (
                solve_case(heats(t, h), Plate(mm, 0.2, off), known=PACK,
                           rng=np.random.default_rng(1))
                for mm, off in ((1.0, (0, 0)), (6.0, (2.5, 2.5)))
            )  # fmt: skip
            print(
                f"{t}  {h:2d}  {thin.probability_through:8.0%} {thin.probability_edge_hard:6.0%}"
                f" {thick.probability_through:12.0%} {thick.probability_faces_hard:16.0%}        "
                f" {thick.case_depth_mm.summary():26s} {thin.edge_tempered_hrc.summary():26s}"
                f" Harris total {harris_depth_mm(t, h):.2f}"
            )


def packs():
    print("\nCarbon that charcoal holds, %: alone, not described, energised; Acm, graphite")
    for t in (850, 875, 900, 925, 950):
        each = [pack_potential(t, kind).surface_pct for kind in (False, None, True)]
        print(t, *(f"{pct:.2f}" for pct in each), f"{most_austenite_pct(t):.2f}",
              f"{graphite_pct(t):.2f}", f"± {U_PCT}")  # fmt: skip


def austenite():
    print("\nStraight from the quench, all carbon dissolved: retained austenite, %, and HRC")
    rng = np.random.default_rng(1)
    shift, steel = MS_SD_C * rng.standard_normal(4000), RELATION_SD_HRC * rng.standard_normal(4000)
    for carbon in (0.5, 0.6, 0.8, 0.9, 1.0, 1.1, 1.2, 1.4):
        hrc, share, _ = after_quench(np.full(4000, carbon), np.full(4000, 1140.0), shift, steel)
        print(carbon, of_samples(100 * share, "%", 0.95).summary(),
              of_samples(hrc, "HRC", 0.95).summary())  # fmt: skip


def tempers():
    print("\nA temper takes off, HRC (two hours in all), and asks for, of 57 HRC after it")
    for celsius in (120, 150, 180, 200, 220, 240):
        temper = CaseTemper(celsius, 60, 2)
        middle, sd = temper.softening_hrc()
        wanted = WantedEdge(57, temper)
        print(celsius, f"{middle:.1f} ± {sd:.1f}", f"{wanted.quenched_hrc:.0f} HRC",
              f"{wanted.carbon_pct:.2f} % C")  # fmt: skip


def pack_hours():
    wanted = USUAL_EDGE.carbon_pct
    print(f"\nHours at 900 °C until the middle holds {wanted:.2f} % C ({USUAL_EDGE.words()})")
    held = pack_potential(900).surface_pct
    for mm in (0.5, 1.0, 1.5, 2.0, 3.0, 6.0):
        found = hours_through(
            Plate(mm, 0.2), 900, target_pct=wanted, surface_pct=held, known=PACK,
            rng=np.random.default_rng(1),
        )  # fmt: skip
        each = " ".join(f"{found.by_diffusivity[name]:.3g}" for name in DIFFUSIVITIES)
        print(f"{mm:3.1f} mm  {found.hours.summary():32s} by set: {each}")
    print("sets:", ", ".join(DIFFUSIVITIES))


def coupon_worth():
    """The case after 8 h at 900 °C by the published sets, and with one coupon of the pack."""
    own = calibrate((Heat(900, 4, "carburising"),), 6.0, 0.60, 0.05, core_pct=0.2)
    for use in (None, own):
        known = PackKnowledge(calibration=use, surface_sd_pct=U_PCT)
        found = solve_case(
            heats(900, 8), Plate(6.0, 0.2), known=known, rng=np.random.default_rng(1)
        )
        yield found.case_depth_mm


def coupon():
    print("\nWhat a coupon is worth: 6 mm, 900 °C, 4 h, 0.40 % C found at 0.60 ± 0.05 mm")
    for name, case in zip(("published sets", "own coupon"), coupon_worth(), strict=True):
        print(f"{name:16s} case after 8 h: {case.summary()}")


def bracket(truth, off, rng):
    felt = truth + rng.normal()
    softer = FILES + off < felt
    return (
        FILES[softer].max() if softer.any() else -np.inf,
        FILES[~softer].min() if (~softer).any() else np.inf,
    )


def hardness_coverage(runs=1000):
    print(f"\nHardness: share of {runs} 95 % intervals that hold the truth, mean width")
    rng = np.random.default_rng(2)
    for name, numbers, brackets in (
        ("one number", 1, 0),
        ("three numbers", 3, 0),
        ("one file bracket", 0, 1),
        ("three file brackets", 0, 3),
        ("number and bracket", 1, 1),
    ):
        hit, width = 0, 0.0
        for _ in range(runs):
            truth, off = rng.uniform(45, 64), rng.normal()
            value = np.full(numbers + brackets, np.nan)
            value[:numbers] = truth + rng.normal(size=numbers)
            low, high = np.full_like(value, np.nan), np.full_like(value, np.nan)
            for i in range(numbers, value.size):
                low[i], high[i] = bracket(truth, off, rng)
            found = fit_hardness(value=value, lower=low, upper=high).hardness
            hit += found.low <= truth <= found.high
            width += (found.high - found.low) / runs
        print(f"{name:20s} {hit / runs:.1%}  {width:.1f} HRC")
    for pieces in (2, 3, 5):
        hit, width = 0, 0.0
        for _ in range(runs):
            lot, spread = rng.uniform(50, 62), abs(rng.normal(0, 1.5))
            truth = lot + spread * rng.normal(size=pieces)
            value = np.clip(np.repeat(truth, 2) + rng.normal(size=2 * pieces), 20, 70)
            further = lot + spread * rng.normal()
            found = fit_hardness(
                value=value, piece=np.repeat(np.arange(pieces), 2).astype(str)
            ).hardness
            hit += found.low <= further <= found.high
            width += (found.high - found.low) / runs
        print(f"further piece, {pieces} read  {hit / runs:.1%}  {width:.1f} HRC")


if __name__ == "__main__":
    facts()
    packs()
    austenite()
    tempers()
    pack_hours()
    coupon()
    hardness_coverage()
