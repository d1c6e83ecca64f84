"""How often the life interval of a wear curve holds the true life (nominal 95 %).

Run: python -m tests.benchmarks.life_coverage [studies a row, 1000] [uneven | repeats | fresh | one]
Simulated studies of known truth: wedge law, readings scatter by `cv`, every place along the edge
keeps its own factor (`place sd`) over the stages, and all places of a blade share a factor at a
stage (`stage sd`). With 'uneven', the wear itself runs faster or slower between stages, and the
true life is where the worn edge crosses. With 'repeats', the readings' uncertainty comes from a few
readings of one edge; with 'fresh', lives are to a multiple of each blade's fresh reading: both for
the lives by the law alone. With 'one', two blades of two heat treatments are read at one place a
stage, and compared. Prints tables for edgetest/guide/tables.
"""

import sys
from dataclasses import dataclass

import numpy as np
import pandas as pd

import edgetest as et
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study

FRESH, LIMIT = 2.0, 10.0


@dataclass(frozen=True)
class Case:
    """One row of the table; `reach` is the last stage over the life."""

    blades: int = 3
    stages: int = 8
    places: int = 4
    reach: float = 1.2
    power: float = 2.0
    set_power: float | None = None
    cv: float = 0.05
    place_sd: float = 0.05
    stage_sd: float = 0.0
    wear_sd: float = 0.0


CASES = [
    Case(),
    Case(set_power=2.0),
    Case(blades=1, set_power=2.0),
    Case(blades=1),
    Case(blades=6),
    Case(stages=5),
    Case(places=2),
    Case(places=1, place_sd=0.0),
    Case(places=1, place_sd=0.0, stages=5, blades=2),
    Case(cv=0.10, place_sd=0.03),
    Case(cv=0.03, place_sd=0.10),
    Case(stage_sd=0.05),
    Case(reach=0.5),
    Case(reach=0.5, power=1.4),
    Case(reach=0.5, power=3.0),
    Case(reach=0.5, power=3.0, set_power=2.0),
    Case(reach=0.25, blades=6),
    Case(blades=1, stages=4, places=1, place_sd=0.0),
    Case(blades=1, stages=6, places=1, place_sd=0.0, reach=0.7),
]

UNEVEN = [Case(places=3, reach=1.6, wear_sd=sd) for sd in (0.1, 0.2, 0.3)]


def simulate(case, rng):
    """One study's readings, the true log lives of its blades and their log readings at the last."""
    log_last = []
    log_life = np.log(300) + 0.2 * rng.standard_normal(case.blades)
    geometric = np.r_[0.0, np.geomspace(0.04, 1.0, case.stages - 1)]
    cuts = np.round(geometric * 300 * case.reach)
    blade, n, place, value = [], [], [], []
    for i, life in enumerate(np.exp(log_life)):
        grown = (LIMIT**case.power - FRESH**case.power) / life
        worn = np.diff(cuts) * grown
        if case.wear_sd:
            worn *= np.exp(case.wear_sd * rng.standard_normal(len(worn)) - case.wear_sd**2 / 2)
        worn = FRESH**case.power + np.r_[0.0, np.cumsum(worn)]
        if case.wear_sd:
            end = np.interp(LIMIT**case.power, worn, cuts, right=np.nan)
            log_life[i] = np.log(end)
        curve = np.log(worn) / case.power
        log_last.append(curve[-1])
        at_stage = case.stage_sd * rng.standard_normal(len(cuts))
        for k in range(case.places):
            own = case.place_sd * rng.standard_normal()
            noise = case.cv * rng.standard_normal(len(cuts))
            blade += [f"blade {i + 1}"] * len(cuts)
            n += cuts.tolist()
            place += [f"{10 * (k + 1)}"] * len(cuts)
            value += np.exp(curve + at_stage + own + noise).tolist()
    return (blade, n, value, place), log_life, log_last


def cover(case, studies, seed=20261125):
    """Coverage, error of log life, mean half-width, share beyond reach; coverage by the law.

    A life beyond reach is held where the blade outlasts its bound; its error and half-width are
    those of the law's own figure.
    """
    rng = np.random.default_rng(seed)
    hits, errors, widths, beyond, by_law = [], [], [], [], []
    for _ in range(studies):
        (blade, n, value, place), truth, _ = simulate(case, rng)
        fit = fit_study(
            wear_readings(blade, n, value, station=place),
            FitOptions(limit=LIMIT, power=case.set_power),
        )
        for curve, log_life in zip(fit.blades, truth, strict=True):
            life = curve.life
            if not np.isfinite(log_life):
                continue  # uneven wear that never reached the limit
            hits.append(life.low <= np.exp(log_life) <= life.high)
            beyond.append(life.beyond_reach)
            law = life.by_law
            by_law.append(law.low <= np.exp(log_life) <= law.high)
            shown = law if life.beyond_reach else life
            errors.append(shown.log_life - log_life)
            if np.isfinite(shown.high):
                widths.append(np.log(shown.high / shown.low) / 2)
    return tuple(map(float, (np.mean(hits), np.median(errors), np.mean(widths), np.mean(beyond),
                             np.mean(by_law))))  # fmt: skip


REPEATS = [
    Case(blades=1, stages=4, places=1, place_sd=0.0),
    Case(blades=1, stages=6, places=1, place_sd=0.0),
    Case(blades=2, stages=5, places=1, place_sd=0.0),
    Case(stages=5, places=2),
]


def repeats(studies, df=5, seed=20261125):
    """Coverage and half-width without and with a repeatability known from `df` + 1 readings."""
    print("| blades | stages | places | repeats scatter | without: coverage | half-width |", end="")
    print(" with: coverage | half-width |")
    print("| --- " * 8 + "|")
    for case in REPEATS:
        for share in (1.0, 0.7, 0.5):
            rng = np.random.default_rng(seed)
            hits, widths = ([], []), ([], [])
            for _ in range(studies):
                (blade, n, value, place), truth, _ = simulate(case, rng)
                u = share * case.cv * np.sqrt(rng.chisquare(df) / df)
                stated = wear_readings(
                    blade, n, value, station=place, relative_u=np.full(len(n), u)
                )
                plain = wear_readings(blade, n, value, station=place)
                for which, (readings, known) in enumerate(((plain, None), (stated, df))):
                    fit = fit_study(readings, FitOptions(limit=LIMIT, relative_u_df=known))
                    for curve, log_life in zip(fit.blades, truth, strict=True):
                        life = curve.life.by_law
                        hits[which].append(life.low <= np.exp(log_life) <= life.high)
                        widths[which].append(np.log(life.high / life.low) / 2)
            cells = [
                f"{np.mean(h):.1%} | {np.median(w):.1%}" for h, w in zip(hits, widths, strict=True)
            ]
            as_much = "as the readings" if share == 1 else f"{share:g} times as much"
            print(f"| {case.blades} | {case.stages} | {case.places} | {as_much} |", end=" ")
            print(" | ".join(cells), "|", flush=True)


FRESH_CASES = [  # law, psi, multiple of the fresh reading, cv
    ("wedge", [np.log(0.096), np.log(2.0)], 3.0, 0.05),
    ("wedge", [np.log(0.096), np.log(2.0)], 3.0, 0.10),
    ("saturating", [np.log(2.5), np.log(30.0)], 2.0, 0.10),
    ("saturating", [np.log(1.4), np.log(30.0)], 2.0, 0.03),
    ("saturating", [np.log(1.4), np.log(30.0)], 2.0, 0.08),
    ("saturating", [np.log(1.15), np.log(30.0)], 2.0, 0.05),
    ("falling_power", [np.log(6.0), np.log(0.5)], 0.6, 0.05),
    ("falling_exponential", [-1.0, np.log(30.0)], 0.5, 0.05),
]


def of_fresh(studies, seed=20261125):
    """Coverage of lives to a multiple of the fresh reading: two blades, eight stages, one place."""
    print("| law | levels off at | life at | cv | coverage | half-width | no upper end |")
    print("| --- " * 7 + "|")
    stages = np.array([0, 2, 6, 14, 30, 60, 90, 126.0])
    blade, n = np.repeat(["A", "B"], len(stages)), np.tile(stages, 2)
    for name, psi, multiple, cv in FRESH_CASES:
        law, rng = LAWS[name], np.random.default_rng(seed)
        psi = np.array(psi)
        truth = float(law.cuts_at(np.log(multiple), psi))
        hits, widths, open_ends = [], [], []
        for _ in range(studies):
            value = np.exp(law.log_shape(n, psi) + cv * rng.standard_normal(len(n)))
            fit = fit_study(
                wear_readings(blade, n, value), FitOptions(law=name, limit_of_fresh=multiple)
            )
            for life in (curve.life.by_law for curve in fit.blades if curve.life is not None):
                hits.append(life.low <= truth <= life.high)
                open_ends.append(not np.isfinite(life.high))
                if np.isfinite(life.high):
                    widths.append(np.log(life.high / life.low) / 2)
        end = np.exp(law.log_shape(np.array([1e6]), psi)[0])
        level = "never" if "wedge" in name or "power" in name else f"{end:.2f} × fresh"
        print(
            f"| {name} | {level} | {multiple:g} × fresh | {cv:.0%} | {np.mean(hits):.1%} | "
            f"{np.median(widths):.1%} | {np.mean(open_ends):.1%} |",
            flush=True,
        )


ONE_PLACE = [
    Case(blades=2, stages=stages, places=1, place_sd=0.0, cv=0.03, wear_sd=sd)
    for stages in (3, 4, 5, 7, 11)
    for sd in (0.0, 0.2)
]


def of_one_place(studies, seed=20261125):
    """Coverage of the curve's band at the last stage, and of the ratios of blade to blade."""
    print("| stages | wear differs between stages by | band at the last | ", end="")
    print("ratio at equal cuts | half-width | ratio of lives | half-width |")
    print("| --- " * 7 + "|")
    for case in ONE_PLACE:
        rng = np.random.default_rng(seed)
        bands, hits, widths = [], ([], []), ([], [])
        for _ in range(studies):
            (blade, n, value, _), log_life, log_last = simulate(case, rng)
            log = pd.DataFrame({"blade": blade, "cuts": n, "edge_width_um": value})
            found = et.compare(log.assign(heat_treatment=log["blade"]), limit=LIMIT)
            for curve, truth in zip(found.fit.blades, log_last, strict=True):
                band = curve.predict([max(n)])
                bands.append(band.low[0] <= np.exp(truth) <= band.high[0])
            answers = (found.compared.at_cuts, log_last), (found.comparison, log_life)
            for which, (answer, truths) in enumerate(answers):
                if answer is None or not np.isfinite(truths).all():
                    continue
                low, high = np.log(max(answer.ratio.low, 1e-12)), np.log(answer.ratio.high)
                hits[which].append(low <= truths[1] - truths[0] <= high)
                widths[which].append((high - low) / 2)
        cells = [
            f"{np.mean(h):.1%} | {np.expm1(np.median(w)):.1%}"
            for h, w in zip(hits, widths, strict=True)
        ]
        row = [case.stages, f"{case.wear_sd:.0%}", f"{np.mean(bands):.1%}", *cells]
        print("| " + " | ".join(map(str, row)) + " |", flush=True)


def main():
    """Print the table."""
    studies = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    if sys.argv[2:] == ["repeats"]:
        repeats(studies)
        return
    if sys.argv[2:] == ["fresh"]:
        of_fresh(studies)
        return
    if sys.argv[2:] == ["one"]:
        of_one_place(studies)
        return
    if sys.argv[2:] == ["uneven"]:
        print("| wear differs between stages by | coverage | median error | half-width |")
        print("| --- | --- | --- | --- |")
        for case in UNEVEN:
            hit, error, width, *_ = cover(case, studies)
            print(f"| {case.wear_sd:.0%} | {hit:.1%} | {error:+.1%} | {width:.1%} |", flush=True)
        return
    print(
        "| blades | stages | places | last stage / life | true p | p | cv | place sd | stage sd |"
        " coverage | median error | half-width | beyond reach | coverage by the law alone |"
    )
    print("| --- " * 14 + "|")
    for case in CASES:
        hit, error, width, beyond, by_law = cover(case, studies)
        p = "estimated" if case.set_power is None else f"set to {case.set_power:g}"
        row = [case.blades, case.stages, case.places, f"{case.reach:g}", f"{case.power:g}", p]
        row += [f"{x:.0%}" for x in (case.cv, case.place_sd, case.stage_sd)]
        row += [f"{hit:.1%}", f"{error:+.1%}", f"{width:.1%}", f"{beyond:.0%}", f"{by_law:.1%}"]
        print("| " + " | ".join(map(str, row)) + " |", flush=True)


if __name__ == "__main__":
    main()
