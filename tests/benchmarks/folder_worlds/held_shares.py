"""How often was something so? Marks by row, their shares with counts, and the table of them."""

import json
import sys
from collections import defaultdict
from math import exp, inf
from statistics import fmean, median

from tests.benchmarks.chop_worlds.answers import interval, run

HALVES = ("even", "odd")  # seeds by their remainder
EVERY = "all"


def answer(*words):
    """What a command tells with --json; None where it ends in a fault, which is printed."""
    code, out, err = run([*words, "--json"])
    if code:
        print(" ".join(words), (err or out).strip(), file=sys.stderr)
        return None
    return json.loads(out)


def span_held(told, truth):
    """Whether an interval holds the truth; one that is not given does not."""
    span = interval(told)
    return span is not None and span.holds(truth)


def half_width_log(told):
    """Half the width of an interval on the log scale; infinite where it is open or not given."""
    span = interval(told)
    return inf if span is None else span.half_width()


def new_marks():
    """A row's marks by column."""
    return defaultdict(list)


def added_marks(rows):
    """The marks of several studies in one row."""
    total = new_marks()
    for marks in rows:
        for name, each in marks.items():
            total[name] += each
    return total


def share(marks):
    """A share with its count, as "93.8 % of 80"."""
    return f"{100 * sum(marks) / len(marks):.1f} % of {len(marks)}" if marks else "–"


def part(marks):
    """So many of so many, as "7 of 80"."""
    return f"{sum(marks)} of {len(marks)}" if marks else "–"


def factor(widths):
    """Median factor either side of the middle of intervals, whose log half-widths are given."""
    return f"{exp(median(widths)):.2f}" if widths and median(widths) < inf else "–"


def rows_of_marks(judged):
    """Rows ((name, half), marks) of (name, seed, marks): the worst ratio first, then all names."""
    found = {}
    for name, seed, marks in judged:
        for row in (name, EVERY):
            found.setdefault((row, HALVES[seed % 2]), []).append(marks)
    rows = [(row, added_marks(each)) for row, each in sorted(found.items())]
    return sorted(rows, key=lambda row: (row[0][0] == EVERY, fmean(row[1]["ratio"])))


def print_shares(head, rows):
    """Print Markdown: the heads, then rows of cells."""
    print("|", " | ".join(head), "|")
    print("| --- " * len(head) + "|")
    for cells in rows:
        print("|", " | ".join(map(str, cells)), "|", flush=True)
