"""How well does `edgetest chop` judge shops that it has never seen?

    python -m tests.benchmarks.chop_judge KIND,KIND|all|swings --half tune|judge --count N

Each shop of `tests.benchmarks.chop_worlds` is written into a folder of its own, the command is run
on it as a user runs it, and its JSON is held against the truth. Even seeds (`--half tune`) are for
choosing, odd ones (`--half judge`) for telling. What is not in the JSON counts as 'not given'.
`x/1.30` is the median half-width: the interval runs from value / 1.30 to value x 1.30.
`--misses` lists what was missed.
"""

import argparse
import tempfile
from collections import Counter
from pathlib import Path
from statistics import median

from tests.benchmarks.chop_worlds import answers, chop_folder, scores, swings
from tests.benchmarks.chop_worlds.long_run import worked
from tests.benchmarks.chop_worlds.shop_kinds import KINDS, shop

EXACT = 1e-6  # relative, for bodies measured without error
SWING_WORDS = ("swing", "count", "inertia", "percussion", "timing", "seconds")


def judged(kind, seeds):
    """Tally, seconds and faults of the shops of one kind."""
    tally, seconds, faults = scores.Tally(), [], Counter()
    for seed in seeds:
        made = shop(kind, seed)
        truth = worked(made)
        with tempfile.TemporaryDirectory() as folder:
            chop_folder.write(made, truth.rows, Path(folder))
            answer = answers.ask(folder, chop_folder.wish_text(made))
        seconds.append(answer.seconds)
        for fault in (answer.fault, answer.wish_fault):
            if fault:
                faults[fault[:200].replace(folder, "FOLDER")] += 1
        if answer.fault:
            tally.missing["the whole answer"] += 1
            continue
        for score in (
            scores.strokes,
            scores.wishes,
            scores.treatments,
            scores.doubts,
            scores.worst_damage,
            scores.rates,
        ):
            score(tally, made, truth, answer)
    return tally, seconds, faults


def swing_of(tally, told, answer, where, *, exact=False):
    """Percussion centre and inertia of one timed body, and the doubt where one was due."""
    tools = [t for t in answer.told.get("tools") or () if t.get("measured")]
    measured = tools[0]["measured"] if tools else {}
    grip, thing = told.grip, told.body
    truths = {
        "percussion_mm": thing.percussion(grip) * 1000,
        "inertia_balance_kg_cm2": thing.inertia * 1e4,
        "inertia_grip_kg_cm2": thing.about(grip) * 1e4,
    }
    if told.miscounted == "no":
        for name, truth in truths.items():
            span = answers.interval(measured.get(name))
            if exact and span:
                off = abs(span.value / truth - 1)
                tally.fact(f"{name} of exact bodies", off < EXACT, f"{where}: off by {off:.1e}")
            elif not exact:
                tally.span(name, span, truth, where)
    due = swings.impossible(told.handling) or swings.apart(told.handling)
    asked = [c for c, _ in answers.codes(answer) if any(w in c for w in SWING_WORDS)]
    asked = [c for c in asked if c != "assumed_swing"]
    if due and told.miscounted != "no":
        tally.fact("doubt on a miscounted swing where it shows", asked, where)
    elif told.miscounted == "no" and not due:
        tally.fact("no doubt on swings well counted", not asked, f"{where} {asked}")


def swung(seeds):
    """Tally of the timed bodies."""
    tally, seconds, faults = scores.Tally(), [], Counter()
    for seed in seeds:
        for kind in swings.BODIES:
            for exact in (False, True):
                told = swings.timed(kind, seed, exact=exact)
                with tempfile.TemporaryDirectory() as folder:
                    Path(folder, "study.toml").write_text(swings.swing_text(told), "utf-8")
                    Path(folder, "chops.csv").write_text("blade,kind\nT1,inspection\n", "utf-8")
                    answer = answers.ask(folder)
                seconds.append(answer.seconds)
                if answer.fault:
                    faults[answer.fault[:200].replace(folder, "FOLDER")] += 1
                    tally.missing["the whole answer"] += 1
                    continue
                swing_of(tally, told, answer, f"{kind} {seed}", exact=exact)
    return tally, seconds, faults


def show(kind, result, *, misses):
    """Print one kind's table, the worst line first."""
    tally, seconds, faults = result
    print(f"\n## {kind}: {len(seconds)} studies, {median(seconds):.2f} s each", flush=True)
    for _, name, share, tries, missing, wide, open_ends in tally.lines():
        held = f"{100 * share:5.1f} % of {tries}" if tries else "not given"
        gone = f", not given {missing}" if missing and tries else ""
        ends = f", open ends {open_ends}" if open_ends else ""
        print(f"  {name:42s} {held}{gone}  {wide}{ends}")
        if misses:
            print("".join(f"      {word}\n" for word in tally.words[name][:12]), end="")
    for fault, count in faults.most_common(3):
        print(f"  told {count} times: {fault}")


def main():
    """Read the command line, judge, print."""
    told = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    told.add_argument("kinds", help="kinds with commas between, all, or swings")
    told.add_argument("--half", choices=("tune", "judge"), default="judge")
    told.add_argument("--count", type=int, default=20)
    told.add_argument("--misses", action="store_true")
    options = told.parse_args()
    first = 0 if options.half == "tune" else 1
    seeds = range(first, first + 2 * options.count, 2)
    kinds = [*KINDS, "swings"] if options.kinds == "all" else options.kinds.split(",")
    for kind in kinds:
        result = swung(seeds) if kind == "swings" else judged(kind, seeds)
        show(kind, result, misses=options.misses)


if __name__ == "__main__":
    main()
