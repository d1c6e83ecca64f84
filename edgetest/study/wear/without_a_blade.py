"""Is the answer one blade's? The blade that stands out is left out, and it is made anew.

Only a blade whose life lies further off than chance explains is left out (externally
studentised residuals, Bonferroni). To leave out each blade in turn, by the scatter of all, doubts
57 % of true answers where four blades a side last 1.2 times as long, 23 % at 1.35; this
doubts under 1 %, and names five in six of the blades whose life came out at a third and
took the verdict with it (the guide on comparing has the table).
"""

from dataclasses import dataclass, replace
from math import exp

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.stats.outliers import studentised_residuals
from edgetest.study.wear.alternative_answers import Alternative, finding_of
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.replicates import BladeLives

LEAST_BLADES = 4  # of a heat treatment: three remain, fewer would say little without the fourth
ALIKE = 1e-9  # of log life; lives that differ by less differ by their last binary digits alone
ERROR = 0.05  # chance that any blade of a study without a fault is said to stand out


@dataclass(frozen=True)
class Answered:
    """An answer and what it was made from: the lives, and the options of their comparison."""

    comparison: Comparison
    lives: BladeLives
    options: ComparisonOptions

    def again(self, lives):
        """The comparison of other lives by the same options."""
        return compare_lives(lives, self.options)


def without_blade(answered, given):
    """The answer without the blade that stands out, if there is one.

    Parameters
    ----------
    answered : Answered
    given : Finding

    Returns
    -------
    list of Alternative, list of Doubt
        The other answer where the verdict is another one, else the doubt about the blade.
    """
    about = _standing_out(answered)
    if about is None:
        return [], []
    odd = [name for name in (about.where.blade, about.where.other) if name]
    groups = [group for group in answered.comparison.groups if set(odd) & set(group.blades)]
    if min(group.replicates for group in groups) < LEAST_BLADES:
        return [], [about]
    lives = taken(answered.lives, ~np.isin(np.asarray(answered.lives.blade), odd))
    other = finding_of(answered.again(lives), given.first, given.second)
    if other is None or other.verdict == given.verdict:
        return [], [about]
    what, names = "one blade" if len(odd) == 1 else "two blades", " and ".join(odd)
    return [Alternative(what, given, other, about, f"With {names}", f"Without {names}")], []


def _standing_out(answered):
    """The doubt about the blade furthest off, or the two; None where chance explains it.

    Blocks are taken out, also where a batch counts once: what a hard roll did to a blade is not
    the blade's. Of blocks that hold a pair each, both blades of a pair lie equally far off: the
    doubt is about both.
    """
    blade, treatment, block, log_life = _known(answered.lives, answered.options.control)
    columns = [treatment[:, None] == np.unique(treatment)]
    if block is not None:
        columns.append(block[:, None] == np.unique(block)[1:])
    t, p, expected = studentised_residuals(np.hstack(columns).astype(float), log_life)
    if not len(t) or not np.isfinite(p).any():
        return None
    far = int(np.nanargmin(p))
    if np.nanmax(np.abs(log_life - expected)) < ALIKE:
        return None
    if p[far] * np.isfinite(p).sum() > ERROR:
        return None
    name, life, about = str(blade[far]), exp(log_life[far]), exp(expected[far])
    where = Where(blade=name, value=life, expected=about)
    met = f"{life:.3g}"
    same = np.zeros(len(t), bool) if block is None else block == block[far]
    alike = np.flatnonzero(same & _as_far(log_life - expected, far))
    if len(alike) > 1:
        mate = next(int(i) for i in alike if i != far)
        where = replace(where, other=str(blade[mate]))
        words = {"block": block[far], "other": blade[mate], "lasted": f"{exp(log_life[mate]):.3g}"}
        return doubt("pair_stands_out", where=where, met=met, **words)
    others = "the others of its heat treatment"
    if block is not None:
        others = f"what {others} and of {block[far]} lead one to expect"
    words = {"met": met, "others": others, "expected": f"{about:.3g}"}
    return doubt("blade_stands_out", where=where, **words)


def _as_far(off, far):
    """Which blades lie as far off as one of them, but for the last digits."""
    return np.isclose(np.abs(off), np.abs(off[far]), rtol=1e-6, atol=0.0)


def _known(lives, control):
    """Blade, heat treatment, block (or None) and mean log life, of each whose life is known."""
    low, high = (np.asarray(ends, dtype=float) for ends in (lives.log_low, lives.log_high))
    names = np.asarray(lives.blade).astype(str)
    rows = np.isfinite(low) & (low == high) & (names != str(control))
    blade, first, index = np.unique(names[rows], return_index=True, return_inverse=True)
    log_life = np.bincount(index, low[rows]) / np.bincount(index)
    block = None if lives.block is None else np.asarray(lives.block).astype(str)[rows]
    if block is not None:
        several = len(set(zip(names[rows], block, strict=True))) > len(blade)
        block = None if several else block[first]
    return blade, np.asarray(lives.treatment).astype(str)[rows][first], block, log_life


def taken(lives, rows):
    """The lives of the rows marked."""

    def part(column):
        if column is None or np.ndim(column) == 0:
            return column
        return np.asarray(column)[rows]

    return replace(lives, **{name: part(column) for name, column in vars(lives).items()})
