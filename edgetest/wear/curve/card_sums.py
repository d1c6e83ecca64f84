"""Card cut per cycle, and the sums that ISO 8442-5 makes of it.

Each to-and-fro cycle against a pack of abrasive card cuts some millimetres of it. The first three
cycles together are the initial cutting performance, all cycles together the total card cut. The
sums are arithmetic; the standard's limits are not part of this module (its text was not seen).
"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput

INITIAL_CYCLES = 3  # from memory of ISO 8442-5:2004, not verified against its text


@dataclass(frozen=True)
class CardSums:
    """`icp_mm`, sum of the first three cycles; `tcc_mm`, of all; `cumulative_mm` (n,)."""

    icp_mm: float
    tcc_mm: float
    cycles: int
    cumulative_mm: np.ndarray

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "icp_mm": self.icp_mm,
            "tcc_mm": self.tcc_mm,
            "cycles": self.cycles,
            "cumulative_mm": self.cumulative_mm.tolist(),
        }

    def summary(self):
        """The sums as a maker reads them."""
        return (
            f"{self.icp_mm:.1f} mm in the first {INITIAL_CYCLES} cycles,"
            f" {self.tcc_mm:.1f} mm in all {self.cycles}"
        )


def card_sums(card_cut_mm):
    """Initial cutting performance and total card cut of one blade.

    Parameters
    ----------
    card_cut_mm : array_like, shape (n,)
        Card cut in every cycle, mm, in the order cut.

    Returns
    -------
    CardSums

    Raises
    ------
    UnusableInput
        With fewer than three cycles, a cycle missing or below zero.
    """
    cut = np.asarray(card_cut_mm, dtype=float)
    if cut.size < INITIAL_CYCLES:
        what = f"{cut.size} cycles"
        raise UnusableInput(what, where="card_cut_mm", mend="the first three cycles are the least")
    bad = np.flatnonzero(~np.isfinite(cut) | (cut < 0))
    if len(bad):
        what = f"cycle {bad[0] + 1} reads {cut[bad[0]]:g}"
        mend = "a sum needs every cycle; write what was cut, 0 or more"
        raise UnusableInput(what, where="card_cut_mm", mend=mend)
    cumulative = np.cumsum(cut)
    icp = float(cumulative[INITIAL_CYCLES - 1])
    return CardSums(icp, float(cumulative[-1]), int(cut.size), cumulative)
