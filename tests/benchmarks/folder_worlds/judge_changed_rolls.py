"""Does the ratio of lives hold where rolls of rope ran out within the blades' runs?

    python -m tests.benchmarks.folder_worlds.judge_changed_rolls [STUDIES, 720]

Studies of `changed_rolls_folder`, from seed 1 on. `edgetest compare` is run on each as a user runs
it, and its JSON is held against the truth: the ratio of median blades on one and the same rope. An
interval that leaves out 1 parts the treatments; one is said to last longer where, besides, the
answer hangs on nothing (`practical.hangs_on`). Either is false where the treatments are alike or
the other one lasts longer. Rolls were unevenly shared where the treatments' shares of the first
roll, of as many cuts as their median blades last on the mean, differ by a tenth or more. What is
not answered counts as missed. Nothing was chosen on either half of the seeds. Prints a table for
edgetest/guide/tables; its last rows are by the columns in which the log named the rolls.
"""

import sys
import tempfile
from math import nan

from tests.benchmarks.chop_worlds.answers import interval
from tests.benchmarks.folder_worlds.changed_rolls_folder import write_changed_rolls
from tests.benchmarks.folder_worlds.held_shares import (
    EVERY,
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

FELL = {
    "alike": "all changed alike",
    "parted": "a roll mostly to each treatment",
    "one": "one blade alone changed",
}
HEAD = (
    "SD of rolls, how they fell", "seeds", "studies", "ratio of lives held", "its factor",
    "missed, and told of the rolls", "intervals that leave out 1", "of these false",
    "one said to last longer", "of those false", "unevenly shared, and told",
    "shared alike or nearly, yet told",
)  # fmt: skip
NAMED = {
    "batch": "all, rolls in batch",
    "block": "all, the first roll in block",
    "both": "all, rolls in both",
}
UNEVEN = 0.1  # of the cuts
UNSHARED = "rolls_not_shared"


def row_of_rolls(truth):
    """The row of a study."""
    return f"{truth['sd_rolls']:.2f}, {FELL[truth['fall']]}"


def ratio_span(ratio):
    """The ratio as the judge reads intervals: one without a middle, open at an end, is one too."""
    if ratio is None or ratio["low"] is ratio["high"] is None:
        return None
    middle = nan if ratio["estimate"] is None else ratio["estimate"]
    return {"value": middle, "low": ratio["low"], "high": ratio["high"]}


def rolls_marks(truth, told):
    """What is to be counted of what `compare` tells; None where it has no answer."""
    told = told or {"ratio": None, "practical": None, "first": "A", "doubts": []}
    ratio = ratio_span(told["ratio"])
    true = truth["ratio_median_lives"]  # B over A; `compare` tells the second over the first
    if told["first"] == "B":
        true = 1 / true
    marks = new_marks()
    marks["ratio"].append(span_held(ratio, true))
    marks["width"].append(half_width_log(ratio))
    span = interval(ratio)
    parts = span is not None and not span.holds(1.0)
    false = parts and (true <= 1 if span.low > 1 else true >= 1)
    said = parts and not told["practical"]["hangs_on"]
    for name, counted in (("parts", parts), ("said", said)):
        marks[name].append(counted)
        if counted:
            marks[f"{name} falsely"].append(false)
    first = truth["share_on_first_roll"]
    uneven = abs(first["A"] - first["B"]) >= UNEVEN
    told_so = UNSHARED in [doubt["code"] for doubt in told["doubts"]]
    marks["uneven" if uneven else "even"].append(told_so)
    if not marks["ratio"][0]:
        marks["missed"].append(told_so)
    return marks


def judged_rolls(seed, place):
    """Row, row by the log's columns, seed and marks of a study, written below a folder."""
    folder, truth = write_changed_rolls(seed, place)
    told = answer("compare", str(folder), "--workers", "1")
    return row_of_rolls(truth), NAMED[truth["written"]], seed, rolls_marks(truth, told)


def rows_of_rolls(judged):
    """Rows by scatter and fall, the worst first, then all, then by the log's columns."""
    by_case = rows_of_marks((case, seed, marks) for case, _, seed, marks in judged)
    by_column = rows_of_marks((named, seed, marks) for _, named, seed, marks in judged)
    return by_case + [row for row in by_column if row[0][0] != EVERY]


def cells_of_rolls(row, marks):
    """A row of the table."""
    ratio = (share(marks["ratio"]), factor(marks["width"]), part(marks["missed"]))
    said = [part(marks[name]) for name in ("parts", "parts falsely", "said", "said falsely")]
    unshared = [part(marks[name]) for name in ("uneven", "even")]
    return [*row, len(marks["ratio"]), *ratio, *said, *unshared]


def main():
    """Print the table."""
    studies = int(sys.argv[1]) if len(sys.argv) > 1 else 720
    with tempfile.TemporaryDirectory() as place:
        judged = [judged_rolls(seed, place) for seed in range(1, studies + 1)]
    print_shares(HEAD, [cells_of_rolls(*row) for row in rows_of_rolls(judged)])


if __name__ == "__main__":
    main()
