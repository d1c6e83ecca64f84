"""Does `edgetest chop` see which of two choppers dulls, and hold their ratio the while?

    python -m tests.benchmarks.folder_worlds.judge_two_tools [STUDIES, 240]

Studies of `two_tools_folder`, from seed 1 on. The command is run on each as a user runs it, and its
JSON is held against the truth: the ratio of strokes against that of this run, edges as they were;
each tool's own dulling against its own; the one figure of all tools against each tool's own, too. A
tool is said to dull where the interval of its own dulling lies above nought. A hand that tires over
the session looks like dulling, and is none. What is not answered counts as missed. Nothing was
chosen on either half of the seeds. Prints a table for edgetest/guide/tables.
"""

import sys
import tempfile

from tests.benchmarks.chop_worlds.answers import interval
from tests.benchmarks.folder_worlds.held_shares import (
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
from tests.benchmarks.folder_worlds.two_tools_drawn import TOOLS
from tests.benchmarks.folder_worlds.two_tools_folder import write_two_tools

CASES = {
    "a": "neither dulls",
    "b": "both dull alike",
    "c": "C1 alone dulls",
    "d": "T1 alone dulls",
}
TIRED = {
    "a": "none or both dull, the hand tires",
    "b": "none or both dull, the hand tires",
    "c": "one alone dulls, the hand tires",
    "d": "one alone dulls, the hand tires",
}
HEAD = (
    "case", "seeds", "studies", "ratio of strokes held", "its factor", "own dulling held",
    "dull, and said to", "do not dull, yet said to", "said to dull unlike",
    "one figure of all tools held each tool's own",
)  # fmt: skip


def case_of(truth):
    """The case of a study, as the table names it."""
    names = TIRED if truth["session_tiring_pct"] > 0 else CASES
    return names[truth["case"]]


def ratio_told(counts):
    """The interval of T1's strokes over C1's, either way round; None where none is given."""
    for one in counts["ratios"]:
        if (one["first"], one["second"]) == TOOLS:
            return one["ratio"]
        if (one["second"], one["first"]) == TOOLS:
            turned = {"value": "value", "low": "high", "high": "low"}
            return {end: 1 / one["ratio"][other] for end, other in turned.items()}
    return None


def marked_chop(truth, told):
    """What is to be counted of the answer for a study; `told` is None where there is none."""
    counts = told["counts"] if told else {"ratios": [], "dulling_by_tool": []}
    ratio = ratio_told(counts)
    marks = new_marks()
    marks["ratio"].append(span_held(ratio, truth["ratio_as_chopped"]))
    marks["width"].append(half_width_log(ratio))
    own = {one["blade"]: one["pct_per_100_chops"] for one in counts["dulling_by_tool"] or ()}
    for tool in TOOLS:
        true = truth["tools"][tool]
        span = interval(own.get(tool))
        marks["own"].append(span_held(own.get(tool), true["change_per_100_pct"]))
        marks["dull" if true["dulls"] else "sharp"].append(span is not None and span.low > 0)
        every = counts.get("dulling_pct_per_100_chops")
        marks["every"].append(span_held(every, true["change_per_100_pct"]))
    codes = [doubt["code"] for doubt in told["doubts"]] if told else []
    marks["unlike"].append("dulling_unlike" in codes)
    return marks


def judged_chop(seed, place):
    """Case, seed and marks of a study, written below a folder."""
    folder, truth = write_two_tools(seed, place)
    return case_of(truth), seed, marked_chop(truth, answer("chop", str(folder)))


def cells_of_chop(row, marks):
    """A row of the table."""
    shares = (share(marks["ratio"]), factor(marks["width"]), share(marks["own"]))
    said = (part(marks["dull"]), part(marks["sharp"]), part(marks["unlike"]))
    return [*row, len(marks["ratio"]), *shares, *said, share(marks["every"])]


def main():
    """Print the table."""
    studies = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    with tempfile.TemporaryDirectory() as place:
        judged = [judged_chop(seed, place) for seed in range(1, studies + 1)]
    print_shares(HEAD, [cells_of_chop(*row) for row in rows_of_marks(judged)])


if __name__ == "__main__":
    main()
