"""Which mutants of a room do its tests kill?

    python -m tests.mutants stats --count 60 --seed 1
    python -m tests.mutants all --count 300 --seed 2
    python -m tests.mutants --at edgetest/stats/rates.py:40

`pip install -e '.[test,mutation]'` first. Survivors are judged in tests/mutants.md: one that is
listed there as equivalent is told apart.
"""

import argparse
import re
import sys
import time
from collections import Counter

from tests.mutants.forks import warm
from tests.mutants.places import ROOMS, ROOT, at_line, drawn

OUTCOMES = ("killed", "timed out", "survived", "equivalent", "not covered")


def arguments():
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("rooms", nargs="*", help=f"{', '.join(ROOMS)}, all, or one module's path")
    parser.add_argument("--count", type=int, default=60, help="mutants of each room")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--at", metavar="MODULE:LINE", action="append", default=[])
    parser.add_argument(
        "--tests", action="append", help="a folder or file below tests/, in place of the usual ones"
    )
    parser.add_argument("--fresh", action="store_true", help="map lines to tests again")
    return parser.parse_args()


def judged():
    """{(module, line as changed)} of the mutants that tests/mutants.md calls equivalent."""
    found, module = set(), ""
    for line in (ROOT / "tests" / "mutants.md").read_text(encoding="utf-8").splitlines():
        if heading := re.fullmatch(r"#+ `(\S+)`", line):
            module = f"edgetest/{heading[1]}"
        elif entry := re.match(r"- `(.+?)` · equivalent", line):
            found.add((module, entry[1]))
    return found


def tell(trial, number, count, seconds):
    mutant = trial.mutant
    some = "" if trial.tests == trial.of else f" (of {trial.of}, the quickest)"
    print(
        f"[{number}/{count}] {trial.outcome}: {mutant.module}:{mutant.line}, "
        f"{trial.tests} tests{some}, {seconds:.1f} s"
    )
    if trial.outcome not in ("killed", "timed out"):
        print(trial.diff)
    sys.stdout.flush()


def try_all(mutants, lines, known):
    """Try them one after another; how many had which end."""
    from tests.mutants.trial import Copy, Trial

    ends = Counter()
    with Copy() as copy:
        for number, mutant in enumerate(mutants, 1):
            begun = time.perf_counter()
            trial = copy.trial(mutant, lines.of_line(mutant.module, mutant.line))
            added = [line[1:].strip() for line in trial.diff.split("\n") if line.startswith("+")]
            changed = next((line for line in reversed(added) if line), "")
            if trial.outcome == "survived" and (mutant.module, changed) in known:
                trial = Trial(mutant, "equivalent", trial.tests, trial.of, trial.diff)
            ends[trial.outcome] += 1
            tell(trial, number, len(mutants), time.perf_counter() - begun)
    return ends


def main():
    asked = arguments()
    warm()
    from tests.mutants.line_tests import LineTests

    known = judged()
    ends = {}
    for place in asked.at:
        module, _, line = place.partition(":")
        lines = LineTests(module, asked.tests, asked.fresh)
        ends[place] = try_all(at_line(module, int(line)), lines, known)
    rooms = ROOMS if asked.rooms == ["all"] else asked.rooms
    for room in rooms:
        lines = LineTests(room, asked.tests, asked.fresh)
        ends[room] = try_all(drawn(room, asked.count, asked.seed), lines, known)
    print(f"\n| room | {' | '.join(OUTCOMES)} | killed of all | of those not equivalent |")
    print(f"| --- |{' ---: |' * (len(OUTCOMES) + 2)}")
    for room, counts in ends.items():
        told = " | ".join(str(counts[outcome]) for outcome in OUTCOMES)
        dead, every = counts["killed"] + counts["timed out"], sum(counts.values())
        real = every - counts["equivalent"]
        print(f"| {room} | {told} | {dead / max(every, 1):.0%} | {dead / max(real, 1):.0%} |")


if __name__ == "__main__":
    main()
