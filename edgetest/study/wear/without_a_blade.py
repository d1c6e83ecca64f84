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
    found = _standing_out(answered)
    if found is None:
        return [], []
    blade, about = found
    treatment = next(group for group in answered.comparison.groups if blade in group.blades)
    if treatment.replicates < LEAST_BLADES:
        return [], [about]
    lives = taken(answered.lives, np.asarray(answered.lives.blade) != blade)
    other = finding_of(answered.again(lives), given.first, given.second)
    if other is None or other.verdict == given.verdict:
        return [], [about]
    return [Alternative("one blade", given, other, about, f"With {blade}", f"Without {blade}")], []


def _standing_out(answered):
    """The blade furthest off, and the doubt about it; None where chance explains it."""
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
    return name, doubt("blade_stands_out", where=where, met=f"{life:.3g}", expected=f"{about:.3g}")


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
