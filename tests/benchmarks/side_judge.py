"""Does the command read side views, and follow an edge, as the truth of made pictures has it?

    python -m tests.benchmarks.side_judge KINDS --half tune|judge --count N [--first N] [--show]
        [--keep FOLDER] [--only-make]

KINDS: names of `single_kinds.SINGLES` and `pair_kinds.PAIRS` with commas, or singles, pairs, all.
Even seeds are for tuning, odd ones for judging. ``--show`` tells of each picture what it added.
``--keep FOLDER`` keeps the made pictures there for the next time (open no folder of others: the
truths are pickled); ``--only-make`` makes them and asks nothing.
"""

import argparse
import contextlib
import io
import json
import pickle
import sys
import tempfile
import time
from copy import deepcopy
from pathlib import Path

import cv2
import numpy as np

from edgetest.cli import main
from tests.benchmarks.side_finds import Score, beginning, score_picture
from tests.benchmarks.side_follows import Followed, score_pair
from tests.benchmarks.side_pictures.pair_kinds import PAIRS, pair
from tests.benchmarks.side_pictures.single_kinds import SINGLES, single


def asked(arguments):
    """What ``edgetest`` answers as JSON, its exit code, and its processor time in ms."""
    out, err = io.StringIO(), io.StringIO()
    code = 0
    start = time.process_time()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main(arguments)
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
    spent = 1000 * (time.process_time() - start)
    text = out.getvalue().strip()
    try:
        return json.loads(text) if text else None, code, spent
    except json.JSONDecodeError:
        return None, code, spent


def made(maker, kind, seed, keep):
    """A picture or pair; from the folder of the kept ones where it is there."""
    if keep is None:
        return maker(kind, seed)
    path = keep / f"{kind}_{seed:06d}.pickle"
    if path.exists():
        return pickle.loads(path.read_bytes())
    found = maker(kind, seed)
    half = path.with_suffix(".half")
    half.write_bytes(pickle.dumps(found))
    half.rename(path)
    return found


def judged_single(kind, view, folder, score):
    """Ask about one picture and add it to the score."""
    path = folder / "side.jpg"
    path.write_bytes(view.data)
    found, code, ms = asked(
        ["profile", str(path), "--um-per-px", repr(view.told_um_per_px), "--json"]
    )
    result = found[0] if isinstance(found, list) and found else None
    if result is None and code == 2:
        result = {"status": "refused"}
    score_picture(score, kind, view, result, ms)


def judged_pair(_, both, folder, score):
    """Ask about one pair and add it to the score."""
    paths = [folder / "before.jpg", folder / "after.jpg"]
    for path, view in zip(paths, (both.before, both.after), strict=True):
        path.write_bytes(view.data)
    told = repr(both.before.told_um_per_px)
    found, code, ms = asked(
        ["profile", *map(str, paths), "--follow", "--um-per-px", told, "--json"]
    )
    # A refusal to follow is an answer; a fault of the program is none.
    result = found if isinstance(found, dict) else ({} if code == 2 else None)
    begun = (0.0, 0.0)
    if both.related:
        alone, _, _ = asked(["profile", *map(str, paths), "--um-per-px", told, "--json"])
        if isinstance(alone, list) and len(alone) == 2:
            begun = tuple(map(beginning, (both.before, both.after), alone))
    score_pair(score, both, result, ms, begun)


def percent(values):
    """Share of true values, in percent, or a dash."""
    return f"{100 * np.mean(values):.1f}" if len(values) else "–"


def ratio(part, whole):
    """A share with two decimals, or a dash."""
    return f"{part / whole:.2f}" if whole else "–"


def percent_of(part, whole):
    """A share in percent, or a dash."""
    return f"{100 * part / whole:.1f}" if whole else "–"


SINGLE_HEAD = (
    "kind", "pict.", "refused", "faults", "truth", "recall", "clear", "recall", "unsure %",
    "precision",
    "false/pict. untold", "told", "scratch", "split", "bias %", "spread %", "covers %", "kind %",
    "short untold", "untrue doubt", "share", "ms/Mpx",
)  # fmt: skip
PAIR_HEAD = (
    "kind", "pairs", "faults", "accepted", "right %", "wrong place", "false growth", "same %",
    "grown %", "new %", "invented new", "growth covers %", "bounds hold %", "ms/Mpx",
)  # fmt: skip


def single_row(kind, score):
    """One line of the table of single pictures."""
    told = [share for share in score.shares if isinstance(share, int | float)]
    measured = max(score.pictures - score.refused - score.faults, 1)
    errors = 100 * np.array(score.errors)
    bias = f"{np.median(errors):+.1f}" if len(errors) else "–"
    spread = f"{1.4826 * np.median(np.abs(errors - np.median(errors))):.1f}" if len(errors) else "–"
    return (
        kind, score.pictures, score.refused, score.faults, score.truths,
        ratio(score.found, score.truths), score.clear, ratio(score.clear_found, score.clear),
        percent_of(score.found - score.sure, score.found),
        ratio(score.matched + score.split, score.reported), f"{score.false_untold / measured:.2f}",
        f"{score.false_told / measured:.2f}", f"{score.scratches / measured:.2f}",
        f"{score.split / measured:.2f}",
        bias, spread, percent(score.covered), percent_of(score.kind_right, score.sure),
        score.short_untold, score.untrue, f"{np.mean(told):.2f}" if told else "not told",
        f"{np.median(score.ms):.0f}",
    )  # fmt: skip


def pair_row(kind, score):
    """One line of the table of pairs."""
    possible = score.related - score.short
    return (
        kind, score.pairs, score.faults, score.accepted,
        percent_of(score.right, possible), score.wrong, score.false_growth,
        percent(score.same), percent(score.grown), percent(score.new), score.invented_new,
        percent(score.growth_covered), percent(score.bounds), f"{np.median(score.ms):.0f}",
    )  # fmt: skip


def told_row(cells):
    """A line of a table."""
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def judge(kinds, seeds, show=False, keep=None):
    """Print the tables of the kinds over the seeds."""
    for names, maker, head, start, one, row in (
        (SINGLES, single, SINGLE_HEAD, Score, judged_single, single_row),
        (PAIRS, pair, PAIR_HEAD, Followed, judged_pair, pair_row),
    ):
        chosen = [kind for kind in kinds if kind in names]
        if not chosen:
            continue
        print(told_row(head))
        print(told_row(["---"] * len(head)), flush=True)
        for kind in chosen:
            score = start()
            with tempfile.TemporaryDirectory() as folder:
                for seed in seeds:
                    before = deepcopy(score)
                    one(kind, made(maker, kind, seed, keep), Path(folder), score)
                    if show:
                        _shown(kind, seed, before, score)
            print(told_row(row(kind, score)), flush=True)


def _shown(kind, seed, before, score):
    """Name the counts that one picture changed, on the side."""
    changed = [
        f"{name} {value}"
        for name in vars(score)
        if isinstance(value := getattr(score, name), int)
        and (value := value - getattr(before, name))
    ]
    print(f"{kind} {seed}: {', '.join(changed)}", file=sys.stderr, flush=True)


def ran():
    """Read the command line and judge."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kinds")
    parser.add_argument("--half", choices=("tune", "judge"), default="tune")
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--show", action="store_true")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--only-make", action="store_true")
    given = parser.parse_args()
    groups = {"singles": list(SINGLES), "pairs": list(PAIRS), "all": [*SINGLES, *PAIRS]}
    kinds = groups.get(given.kinds) or given.kinds.split(",")
    unknown = [kind for kind in kinds if kind not in groups["all"]]
    if unknown:
        parser.error(f"no kind {', '.join(unknown)}; there are {', '.join(groups['all'])}")
    cv2.setNumThreads(1)
    first = 2 * given.first + (given.half == "judge")
    seeds = range(first, first + 2 * given.count, 2)
    if given.keep:
        given.keep.mkdir(parents=True, exist_ok=True)
    if given.only_make:
        for seed in seeds:
            for kind in kinds:
                made(single if kind in SINGLES else pair, kind, seed, given.keep)
        return
    judge(kinds, seeds, given.show, given.keep)


if __name__ == "__main__":
    ran()
