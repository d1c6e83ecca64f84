"""Do lives and their ratio hold where the edge width is read once a stage?

    python -m tests.benchmarks.folder_worlds.judge_read_once [STUDIES, 160]

Studies of `read_once_folder`, from seed 1 on. `edgetest compare` and `edgetest fit` are run on each
as a user runs them, and their JSON is held against the truth: the ratio against that of the median
blades, each life against the cuts at which that edge reached the limit on that roll. One is said to
last longer where the interval of the ratio leaves out 1: right where the longer one is named. What
is not answered counts as missed. Nothing was chosen on either half of the seeds. Prints a table
for edgetest/guide/tables.
"""

import sys
import tempfile
from math import inf

from tests.benchmarks.chop_worlds.answers import interval
from tests.benchmarks.folder_worlds.held_shares import (
    added_marks,
    answer,
    factor,
    half_width_log,
    new_marks,
    part,
    print_shares,
    rows_of_marks,
    share,
    span_held,
)
from tests.benchmarks.folder_worlds.read_once_folder import write_read_once

LAWS = {
    "two_stage": "levels off, then a power",
    "log": "logarithm",
    "power": "power",
    "hill": "power that levels off",
}
HEAD = (
    "law of wear", "seeds", "studies", "ratio of lives held", "its factor",
    "one said to last longer", "of these right", "lives within the stages held",
    "lives beyond the last stage held",
)  # fmt: skip


def span_of(told, middle):
    """An {`middle`, low, high} as the judge reads intervals."""
    return told and {"value": told[middle], "low": told["low"], "high": told["high"]}


def ratio_marks(truth, told):
    """What is to be counted of the ratio that `compare` tells; None where it has no answer."""
    ratio = span_of(told["ratio"], "estimate") if told else None
    true = truth["ratio_median_lives"]  # B over A; `compare` tells the second over the first
    if told and told["first"] == "B":
        true = 1 / true
    marks = new_marks()
    marks["ratio"].append(span_held(ratio, true))
    marks["width"].append(half_width_log(ratio))
    span = interval(ratio)
    said = span is not None and not span.holds(1.0)
    marks["said"].append(said)
    if said:
        marks["right"].append(true > 1 if span.low > 1 else true < 1)
    return marks


def true_cuts(truth, name):
    """Cuts at which a blade, or its run on one roll, reached the limit."""
    blade, _, roll = name.partition(" · ")
    known = truth["blades"][blade]
    cuts = (known["runs"][roll] if roll else known)["cuts_to_limit"]
    return inf if cuts is None else cuts


def life_marks(truth, fits):
    """What is to be counted of the lives that `fit` tells; None where it has no answer."""
    marks = new_marks()
    if fits is None:
        runs = sum(len(blade["runs"]) for blade in truth["blades"].values())
        marks["inside"] += [False] * runs
        return marks
    for one in fits:
        life = one["life"]
        beyond = life is not None and (life["extrapolated"] or life["censored"])
        held = span_held(span_of(life, "cuts"), true_cuts(truth, one["blade"]))
        marks["beyond" if beyond else "inside"].append(held)
    return marks


def judged_wear(seed, place):
    """Law of wear, seed and marks of a study, written below a folder."""
    folder, truth = write_read_once(seed, place)
    compared, fits = (answer(verb, str(folder), "--workers", "1") for verb in ("compare", "fit"))
    marks = added_marks([ratio_marks(truth, compared), life_marks(truth, fits)])
    return LAWS[truth["law"]["kind"]], seed, marks


def cells_of_wear(row, marks):
    """A row of the table."""
    ratio = (share(marks["ratio"]), factor(marks["width"]))
    said = (part(marks["said"]), part(marks["right"]))
    lives = (share(marks["inside"]), share(marks["beyond"]))
    return [*row, len(marks["ratio"]), *ratio, *said, *lives]


def main():
    """Print the table."""
    studies = int(sys.argv[1]) if len(sys.argv) > 1 else 160
    with tempfile.TemporaryDirectory() as place:
        judged = [judged_wear(seed, place) for seed in range(1, studies + 1)]
    print_shares(HEAD, [cells_of_wear(*row) for row in rows_of_marks(judged)])


if __name__ == "__main__":
    main()
