"""Is a ratio of lives the heat treatment's or the grind's? The answer judged by worn wedges.

Run:  python -m tests.benchmarks.grind_worlds --studies 60 [--seeds even] [part of a name ...]

Studies of `worlds.ground` are written as a maker would write them (study.toml with the angles and
thicknesses as noted, log.csv) and go the way of `edgetest compare`. A claim is a verdict "longer"
or "shorter" that the answer gives, of the leading pair or of any pair; it is false where the
steels at one grind do not differ that way. It is doubted where a doubt about the grind that
decides the answer names that pair. Prints Markdown, the worst cell first. "even" seeds are there
to choose by, "odd" to report by.
"""

import argparse
import os
import tempfile
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from math import inf, log
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of
from tests.benchmarks.worlds.ground import CELLS, ground_study, law_of

NOT_KNOWN = ("edge_angle_not_noted", "thickness_half_known")


def written(study, folder):
    """The study's folder, as a maker would have it."""
    blades = []
    for one in study.blades:
        facts = {
            "angle_per_side_deg": one.angle_deg,
            "angle_u_deg": one.angle_u_deg,
            "thickness_behind_edge_mm": one.thickness_mm,
            "thickness_behind_edge_u_mm": one.thickness_u_mm,
        }
        noted = {name: value for name, value in facts.items() if value is not None}
        blades.append({"id": one.name, "heat_treatment": one.treatment} | noted)
    treatments = [{"id": name} for name in dict.fromkeys(one.treatment for one in study.blades)]
    made = new_study(folder, "sisal_rope", "invented", blades=blades, heat_treatments=treatments)
    rows = [",".join(map(str, row)) for row in study.rows]
    text = "\n".join(["blade,cuts,station_mm,edge_width_um", *rows, ""])
    (made.folder / "log.csv").write_text(text, encoding="utf-8")
    return made.folder


def answered(study):
    """What `edgetest compare` finds."""
    with tempfile.TemporaryDirectory() as place:
        source = open_source(written(study, Path(place) / "study"))
        return comparison_of(source, AnalysisOptions(limit=study.limit_um), workers=1)


def verdicts(comparison):
    """Verdict, ratio's ends by (first, second): of the leading pair, and of all where given."""
    lead = (comparison.first, comparison.second)
    found = {lead: (comparison.practical.verdict, comparison.ratio)}
    for pair in sorted(comparison.pairs, key=lambda pair: pair.family == "all pairs"):
        found.setdefault((pair.first, pair.second), (pair.verdict, pair.ratio))
    return found


def without_grind(result):
    """By pair the range with the grind taken out, as the answer states it."""
    return {(one.first, one.second): (one.low, one.high) for one in result.compared.grinds}


def doubted_pairs(result):
    """The pairs of which a doubt that decides the answer says that the grind may be all of it."""
    if not any(one.code == "geometry_may_explain" for one in result.study_doubts):
        return set()
    return {frozenset((g.first, g.second)) for g in result.compared.grinds if g.may_be_all}


def judged(job):
    """What is to be counted of the study of a cell and a seed."""
    return counted(ground_study(*job))


def counted(study):
    """What is to be counted of a study's answer; refused where it has none."""
    try:
        result = answered(study)
        return marks(study, result) if result.comparison else ({"refused"}, [])
    except UnusableInput:
        return {"refused"}, []


def marks(study, result):
    """What is to be counted of an answer, and the log half-widths of its ranges."""
    unsettled = any(one.decides for one in result.compared.alternatives)
    doubted, ranges = doubted_pairs(result), without_grind(result)
    said = any(one.code in NOT_KNOWN for one in result.study_doubts)
    kinds, widths = {"range"}, []
    for pair, (verdict, ratio) in verdicts(result.comparison).items():
        first, second = pair
        true = study.true_steel.get((second, first)) or 1 / study.true_steel[first, second]
        low, high = ranges.get(pair, (ratio.low, ratio.high))
        if not low <= true <= high:
            kinds.add("missed")
        if not ratio.low <= true <= ratio.high:
            kinds.add("off")
        if low > 0 and high < inf:
            widths.append(log(high / low) / 2)
        if verdict not in ("longer", "shorter") or unsettled:
            continue
        claim = "true" if (true > 1 if verdict == "longer" else true < 1) else "false"
        kinds |= {
            f"{claim} claim",
            f"{claim} {'doubted' if frozenset(pair) in doubted else 'told'}",
        }
    if said and "false told" in kinds:
        kinds.add("false limited")
    return kinds, widths


def table(tallies, head):
    """Markdown, most false claims told first."""
    print(
        f"| {head} | studies | false claim told | a limit said with it | false claim doubted "
        "| true claim | of these doubted | steel's ratio outside the interval as it stands "
        "| range without the grind holds it | its factor |"
    )
    print("| --- " * 10 + "|")
    rows = sorted(tallies.items(), key=lambda kv: -kv[1]["false told"] / kv[1]["studies"])
    for name, t in rows:
        n = t["studies"] - t["refused"]
        holds = (t["range"] - t["missed"]) / t["range"] if t["range"] else 0.0
        doubted = f"{t['true doubted']} of {t['true claim']}" if t["true claim"] else "–"
        factor = f"{np.exp(np.median(t['width'])):.2f}" if t["width"] else "–"
        parts = (t["false told"], t["false limited"], t["false doubted"], t["true claim"])
        shares = " | ".join(f"{100 * part / n:.0f} %" for part in parts)
        print(f"| {name} | {n} | {shares} | {doubted} | {100 * t['off'] / n:.0f} % "
              f"| {100 * holds:.0f} % | {factor} |", flush=True)  # fmt: skip


def new_tally():
    tally = Counter()
    tally["width"] = []
    return tally


def tallied(jobs, workers):
    """The tallies by cell, and by law those of the cells whose grinds are apart and noted."""
    by_cell, by_law = defaultdict(new_tally), defaultdict(new_tally)
    with ProcessPoolExecutor(workers) as pool:
        for (name, seed), (kinds, widths) in zip(jobs, pool.map(judged, jobs), strict=True):
            apart = CELLS[name].apart[-1] != (0.0, 0.0) and CELLS[name].noted != "none"
            laws = [by_law[law_of(seed)]] if apart and not CELLS[name].mixed else []
            for tally in [by_cell[name], *laws]:
                tally["studies"] += 1
                tally["width"] += widths
                for kind in kinds:
                    tally[kind] += 1
    return by_cell, by_law


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("cells", nargs="*")
    parser.add_argument("--studies", type=int, default=60)
    parser.add_argument("--seeds", choices=("even", "odd"), default="odd")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    names = [c for c in CELLS if not given.cells or any(part in c for part in given.cells)]
    seeds = range(given.seeds == "odd", 2 * given.studies, 2)
    by_cell, by_law = tallied([(c, seed) for c in names for seed in seeds], given.workers)
    table(by_cell, "cell")
    print()
    table(by_law, "law of wear, grinds apart and noted")


if __name__ == "__main__":
    main()
