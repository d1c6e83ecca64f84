"""Chips and rolls: exact Poisson rates per 100 mm of edge and per 100 chops, and depths.

Blades together: Poisson-lognormal, the scatter between them integrated out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.special import bdtr

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields
from edgetest.stats.even_rates import p_of_one_rate
from edgetest.stats.rates import poisson_rate
from edgetest.stats.replicate_scatter import UsualScatter
from edgetest.stats.scattered_rates import scattered_counts, scattered_rate

# How the rates of chips or rolls of blades hardened alike scatter, sd of their log: no source;
# chosen by tests/benchmarks/damage_coverage.py, where blades scatter by 0.3 to 0.8.
DAMAGE_SCATTER = UsualScatter(median=0.5, log_sd=0.8)
SELDOM = 0.05  # blades that differ more than chance makes them this often are said to differ


@dataclass(frozen=True)
class Inspection:
    """Stretches of edge looked over for one kind of damage, one element a stretch.

    Parameters
    ----------
    kind : str
        "chips" or "rolls", as it is to be printed.
    blade : sequence of str, length n
        Blade of each stretch (a profile photograph, or a row of the log).
    count : array_like of int, shape (n,)
        Chips or rolls found on it.
    edge_length_mm : array_like, shape (n,)
        Length inspected, mm.
    when : str
        "before", "during" (what is new) or "after" the test.
    chops : mapping of str to number
        Chops each blade had made when it was inspected, where they are known.
    depth_um : array_like
        Depth of every chip or roll measured, µm.
    depth_limit_um : float, optional
        Depth above which the protocol calls the edge damaged.
    """

    kind: str
    blade: Sequence[str]
    count: Sequence[float]
    edge_length_mm: Sequence[float]
    when: str = "after"
    chops: Mapping[str, float] = field(default_factory=dict)
    depth_um: Sequence[float] = ()
    depth_limit_um: float | None = None


@dataclass(frozen=True)
class BladeDamage:
    """One blade's damage of one kind; `per_100_chops` is None where chops are not known."""

    blade: str
    count: int
    edge_length_mm: float
    per_100_mm: Estimate
    per_100_chops: Estimate | None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


@dataclass(frozen=True)
class DepthSpread:
    """Depths of the damage: median with exact interval, largest, and those over the limit."""

    depths: int
    median_um: Estimate | None
    p90_um: float | None
    largest_um: float | None
    limit_um: float | None
    over_limit: int | None
    verdict: str

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


@dataclass(frozen=True)
class Damage:
    """Damage of one kind (chips or rolls) on all blades."""

    kind: str
    blades: tuple[BladeDamage, ...]
    pooled_per_100_mm: Estimate
    depth: DepthSpread
    p_blades_differ: float | None
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def to_frame(self):
        """One row a blade."""
        import pandas as pd

        return pd.DataFrame(
            {
                "blade": blade.blade,
                "kind": self.kind,
                "count": blade.count,
                "edge_length_mm": blade.edge_length_mm,
                "per_100_mm": blade.per_100_mm.value,
                "low": blade.per_100_mm.low,
                "high": blade.per_100_mm.high,
            }
            for blade in self.blades
        )

    def summary(self):
        """The damage as a maker reads it; none seen is a bound, never 'none'."""
        lines = []
        for blade in self.blades:
            seen = f"{blade.count} on {blade.edge_length_mm:.0f} mm of edge"
            if blade.count == 0:
                bound = blade.per_100_mm.high
                figure = (
                    f"fewer than {bound:.2g} per 100 mm ({100 * blade.per_100_mm.level:g} % bound)"
                )
            else:
                figure = f"{blade.per_100_mm.summary()}"
            lines.append(f"{blade.blade}: {self.kind} {seen}, {figure}")
        return "\n".join(lines)


def damage_rates(inspection, *, level=0.95):
    """Damage per length of edge and per chop, with exact Poisson intervals.

    Parameters
    ----------
    inspection : Inspection
    level : float
        Coverage; a count of zero gives a one-sided upper bound at this level.

    Returns
    -------
    Damage

    Raises
    ------
    UnusableInput
        If a count is no count or a length not above zero.
    """
    kind, blade = inspection.kind, np.asarray([str(name) for name in inspection.blade])
    count = np.asarray(inspection.count, dtype=float)
    length = np.asarray(inspection.edge_length_mm, dtype=float)
    if not count.shape == length.shape == blade.shape:
        what = f"{len(blade)} blades, {count.size} counts, {length.size} lengths"
        raise UnusableInput(what, "damage", "give one of each a stretch of edge")
    if not len(blade):
        raise UnusableInput("no edge was inspected", "damage", "inspect one, chipped or not")
    rows = []
    for name in dict.fromkeys(blade.tolist()):
        total, seen = count[blade == name].sum(), length[blade == name].sum()
        made, per = inspection.chops.get(name), {"level": level, "per": 100, "where": name}
        rows.append(
            BladeDamage(
                name,
                int(total),
                float(seen),
                poisson_rate(total, seen, unit=f"{kind} per 100 mm", **per),
                poisson_rate(total, made, unit=f"{kind} per 100 chops", **per) if made else None,
            )
        )
    pooled, p_differ = _pooled(rows, kind, level)
    doubts = [
        doubt("zero_seen", where=Where(blade=row.blade, value=f"0 {kind}"))
        for row in rows
        if row.count == 0
    ]
    if p_differ is not None and p_differ < SELDOM:
        doubts.append(doubt("blades_differ_in_damage", where=Where(value=f"p = {p_differ:.2g}")))
    spread = depth_spread(inspection.depth_um, limit_um=inspection.depth_limit_um, level=level)
    return Damage(kind, tuple(rows), pooled, spread, p_differ, tuple(doubts))


def _pooled(rows, kind, level):
    """Rate of the middle blade, and how seldom chance alone lets blades differ as these do.

    One rule for every number of blades: the scatter between them is integrated out with its
    prior. What chance says of it is told, and decides nothing.
    """
    count = np.array([row.count for row in rows], dtype=float)
    length = np.array([row.edge_length_mm for row in rows])
    unit = f"{kind} per 100 mm"
    if len(rows) < 2:
        return poisson_rate(count.sum(), length.sum(), unit=unit, level=level, per=100), None
    group = scattered_counts(count, length)
    rate = scattered_rate(group, DAMAGE_SCATTER, unit=unit, level=level, per=100)
    if count.sum() == 0:
        return rate, None
    return rate, p_of_one_rate(count, length)


def depth_spread(depth_um, *, limit_um=None, level=0.95):
    """Depths of chips or rolls: median with its order-statistics interval, and the largest.

    Returns
    -------
    DepthSpread
        `verdict`: "within" (all measured depths are), "over", or "not_judged" without limit.

    References
    ----------
    .. [1] H. A. David, H. N. Nagaraja, Order Statistics, 3rd ed. (2003), section 7.1.
    """
    depths = np.sort(np.asarray(depth_um, dtype=float))
    if depths.size and not (np.all(np.isfinite(depths)) and depths[0] >= 0):
        raise UnusableInput("a depth is missing or negative", "depth_um", "leave it out or mend it")
    over = None if limit_um is None else int(np.sum(depths > limit_um))
    verdict = "not_judged" if over is None else ("over" if over else "within")
    if depths.size == 0:
        return DepthSpread(0, None, None, None, limit_um, over, verdict)
    n = depths.size
    below = np.flatnonzero(bdtr(np.arange(n), n, 0.5) <= (1 - level) / 2)
    rank = int(below[-1]) if below.size else None
    low, high = (depths[rank], depths[n - 1 - rank]) if rank is not None else (0.0, np.inf)
    median = Estimate(
        float(np.median(depths)), float(low), float(high), "µm", level, "order statistics"
    )
    return DepthSpread(
        int(n),
        median,
        float(np.quantile(depths, 0.9)),
        float(depths[-1]),
        limit_um,
        over,
        verdict,
    )
