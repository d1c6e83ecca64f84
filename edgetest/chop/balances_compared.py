"""Two balances of a tool side by side: measured and predicted, or before and after a change."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from edgetest.chop.balance import FIGURES, figures
from edgetest.doubts import Doubt, Where, doubt
from edgetest.estimate import json_fields


@dataclass(frozen=True)
class SideBySide:
    """Two balances, figure by figure: {figure, unit, first, second, difference, low, high,
    agree}, the interval being the difference's.
    """

    first: str
    second: str
    rows: tuple[dict, ...]
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def to_frame(self):
        """One row a figure."""
        import pandas as pd

        return pd.DataFrame(list(self.rows))


def side_by_side(measured, predicted):
    """Measured beside predicted, the two taken as independent; a warning where they differ."""
    rows = []
    for name in FIGURES:
        a, b = getattr(measured, name), getattr(predicted, name)
        low = sqrt((b.value - b.low) ** 2 + (a.high - a.value) ** 2)
        high = sqrt((b.high - b.value) ** 2 + (a.value - a.low) ** 2)
        rows.append(_row(name, a, b, low, high))
    apart = ", ".join(row["figure"] for row in rows if not row["agree"])
    doubts = (doubt("measured_and_predicted_differ", where=Where(value=apart)),) if apart else ()
    return SideBySide(measured.source, predicted.source, tuple(rows), doubts)


def apart_share(compared):
    """How far two balances stand apart, as a share of the second: of the figures that differ.

    Parameters
    ----------
    compared : SideBySide or None

    Returns
    -------
    float
        The most of any figure; 0 where all agree, or nothing is compared.
    """
    rows = compared.rows if compared is not None else ()
    apart = [abs(row["difference"] / row["second"]) for row in rows if not row["agree"]]
    return max(apart, default=0.0)


def widened(compared, share):
    """A change that may be off by a share of itself, with intervals so much wider.

    What a shape misses in one figure it may miss in another: a blade drawn half as thick as it is
    gives up half the steel.
    """
    rows = []
    for row in compared.rows:
        more = share * abs(row["difference"])
        low, high = row["low"] - more, row["high"] + more
        rows.append({**row, "low": low, "high": high, "agree": bool(low <= 0 <= high)})
    return replace(compared, rows=tuple(rows))


def before_after(before, after):
    """A tool before and after a change; their draws must be paired, as `what_if` makes them."""
    level = before.mass_g.level
    spread = [figures(one.draws[:3], *one.draws[3:]) for one in (before, after)]
    rows = []
    for name in FIGURES:
        a, b = getattr(before, name), getattr(after, name)
        gap = b.value - a.value
        low, high = np.quantile(
            spread[1][name] - spread[0][name], [(1 - level) / 2, (1 + level) / 2]
        )
        rows.append(_row(name, a, b, gap - float(low), float(high) - gap))
    return SideBySide("before", "after", tuple(rows), ())


def _row(name, a, b, down, up):
    """One figure of two balances and the interval of their difference."""
    gap = b.value - a.value
    return {
        "figure": name,
        "unit": FIGURES[name],
        "first": a.value,
        "second": b.value,
        "difference": gap,
        "low": gap - down,
        "high": gap + up,
        "agree": bool(gap - down <= 0 <= gap + up),
    }
