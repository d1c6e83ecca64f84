"""How often is a difference claimed that the rolls of the medium made? Prints a table.

python -m tests.benchmarks.roll_worlds [studies] [even|odd] [lives|readings]

Steels alike, unless a ratio is named. An edge wears in worn area by its cuts, each times the
roll's factor; the log of the factor has the SD that the program assumes of lives, or twice that.
`lives` compares the blades' lives as they are, `readings` reads widths and goes the whole way. What
decides was chosen on even seeds; odd ones judge.
"""

import sys
import tempfile
from pathlib import Path
from types import SimpleNamespace

import numpy as np

from edgetest.store.log_rows import LogRow
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.unshared_rolls import WHAT, rolls_of_lives
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import AS_USUAL, compare_lives
from edgetest.wear.compare.replicates import lives_known
from edgetest.wear.compare.roll_shares import ASSUMED_SD_BLOCKS

STAGES = (0, 50, 100, 160, 220, 280, 340, 400)
FRESH_UM, LIMIT_UM, LIFE_CUTS = 3.0, 12.0, 230.0
SD_BLADES, SD_READING, NEVER = 0.08, 0.03, 10_000
# Cuts after which each heat treatment goes over to the second roll; or a name of its own.
WORLDS = {
    "all change after 160": (160, 160),
    "each blade changes by lot": "lot",
    "half the blades of each on each roll": "halves",
    "a roll for each blade": "own",
    "changed after 160 and 100": (160, 100),
    "changed after 220 and 100": (220, 100),
    "changed after 280 and 100": (280, 100),
    "never changed, and after 160": (NEVER, 160),
    "never changed, and after 100": (NEVER, 100),
    "a roll for each heat treatment": (NEVER, 0),
}
# Blades a side, SD of rolls as a multiple of that assumed, true ratio.
CASES = ((4, 1, 1.0), (4, 2, 1.0), (4, 1, 1.35), (3, 1, 1.0))
OPTIONS = AnalysisOptions(reading="edge_width_um", limit=LIMIT_UM)


def changes(world, blades, rng):
    """First and second roll of each blade, and the cuts between them."""
    sides = [side for side in "AB" for _ in range(blades)]
    if world == "lot":
        return [(0, 1, int(rng.choice(STAGES[2:6]))) for _ in sides]
    if world == "halves":
        return [(i % 2, i % 2, 0) for i in range(len(sides))]
    if world == "own":
        return [(i, i, 0) for i in range(len(sides))]
    return [(0, 1, world["AB".index(side)]) for side in sides]


def invented(world, blades, sd_rolls, ratio, rng):
    """Heat treatment, life on a middling roll, rolls and their factors of each blade."""
    rolls = np.exp(sd_rolls * rng.standard_normal(2 * blades))
    for i, (one, two, after) in enumerate(changes(world, blades, rng)):
        life = LIFE_CUTS * np.exp(SD_BLADES * rng.standard_normal()) * (ratio if i >= blades else 1)
        yield "AB"[i // blades], life, (one, two, after), rolls


def log_text(studied, rng):
    """A log of invented blades and the widths of their edges."""
    lines = ["blade,heat_treatment,cuts,edge_width_um,batch"]
    grown = LIMIT_UM**2 - FRESH_UM**2
    for i, (side, life, (one, two, after), rolls) in enumerate(studied):
        for cuts in STAGES:
            worn = min(cuts, after) * rolls[one] + max(0, cuts - after) * rolls[two]
            width = np.sqrt(FRESH_UM**2 + grown * worn / life)
            width *= np.exp(SD_READING * rng.standard_normal())
            roll = one if cuts <= after else two
            lines.append(f"{side}{i},{side},{cuts},{width:.2f},roll {roll}")
    return "\n".join(lines) + "\n"


def by_readings(studied, rng, path):
    """Whether a difference is claimed, whether it stays once the rolls count, whether told."""
    path.write_text(log_text(studied, rng), encoding="utf-8")
    result = analyse(open_source(path), OPTIONS)
    claim = result.comparison.practical.verdict in ("longer", "shorter")
    settled = any(one.what == WHAT and one.decides for one in result.compared.alternatives)
    told = any(one.code == "rolls_not_shared" for one in result.doubts)
    return claim, claim and not settled, told


def by_lives(studied, _, __):
    """As `by_readings`, of the lives as they are."""
    rows, sides, lives = [], [], []
    for i, (side, life, (one, two, after), rolls) in enumerate(studied):
        first = min(life / rolls[one], after)
        lives.append(first + (life - first * rolls[one]) / rolls[two])
        sides.append(side)
        rows += [
            LogRow(len(rows), f"{side}{i}", cuts, readings={"w": 1}, heat_treatment=side,
                   batch=f"roll {one if cuts <= after else two}")
            for cuts in STAGES
        ]  # fmt: skip
    names = list(dict.fromkeys(row.blade for row in rows))
    columns = lives_known(names, sides, np.log(lives))
    found = compare_lives(columns)
    used = [SimpleNamespace(line=r.line, run=r.blade, blade=r.blade, block="") for r in rows]
    log = SimpleNamespace(rows=rows)
    others, told = rolls_of_lives(log, used, names, Answered(found, columns, AS_USUAL), {})
    claim = found.practical.verdict in ("longer", "shorter")
    return claim, claim and not others, bool(told)


def main(studies=200, which="even", by="lives"):
    """Print the table."""
    print(
        "| rolls | blades a side | SD of rolls | true ratio | claims before | claims now | told |"
    )
    print("| --- | --- | --- | --- | --- | --- | --- |")
    first, answered = {"even": 0, "odd": 1}[which], {"lives": by_lives, "readings": by_readings}[by]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.csv"
        for name, world in WORLDS.items():
            for blades, times, ratio in CASES:
                seen = []
                for seed in range(first, first + 2 * studies, 2):
                    rng = np.random.default_rng([seed, blades])
                    of = list(invented(world, blades, times * ASSUMED_SD_BLOCKS, ratio, rng))
                    seen.append(answered(of, rng, path))
                shares = " | ".join(f"{100 * each:.1f}" for each in np.mean(seen, axis=0))
                sd = times * ASSUMED_SD_BLOCKS
                print(f"| {name} | {blades} | {sd:g} | {ratio:g} | {shares} |", flush=True)


if __name__ == "__main__":
    main(*(int(sys.argv[1]),) if len(sys.argv) > 1 else (), *sys.argv[2:])
