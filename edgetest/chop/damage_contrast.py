"""Chips and rolls of two heat treatments, per chop and length of edge: the ratio of their rates.

Blades are the replicates, their rates scatter about their treatment's (Poisson-lognormal).
One blade a side: the conditional exact limits, of these two tools.
"""

from dataclasses import replace

from edgetest.chop.count_results import BladeRatio
from edgetest.chop.damage_rates import DAMAGE_SCATTER
from edgetest.chop.treatment_pairs import method_between
from edgetest.doubts import Where, doubt
from edgetest.stats.rates import poisson_ratio
from edgetest.stats.scattered_rates import scattered_counts, scattered_ratio

SHARE = 100.0  # mm and chops that a rate is told for; it cancels in a ratio


def damage_compared(damage, chops, pair, level):
    """Damage of one kind that came of the test, one heat treatment over another.

    Parameters
    ----------
    damage : Damage
        New chips or rolls of each blade.
    chops : mapping of str to number
        Chops each blade made.
    pair : TreatmentPair
    level : float
        Coverage of all pairs together.

    Returns
    -------
    (BladeRatio or None, tuple of Doubt)
        None where a side was not looked at, or nothing was found on either.
    """
    seen = {one.blade: one for one in damage.blades if chops.get(one.blade)}
    pair = pair.among(seen)
    if pair is None:
        return None, ()
    first, second = (
        scattered_counts(
            [seen[blade].count for blade in own],
            [chops[blade] / SHARE * seen[blade].edge_length_mm / SHARE for blade in own],
        )
        for own in (pair.first_blades, pair.second_blades)
    )
    if first.total + second.total == 0:
        where = Where(value=f"{pair.first}, {pair.second}")
        return None, (doubt("no_damage_to_compare", kind=damage.kind, where=where),)
    each = pair.level(level)
    usual = DAMAGE_SCATTER if pair.replicated else None
    found = scattered_ratio(first, second, usual, level=each)
    ratio = replace(found.ratio, method=method_between(pair))
    if not pair.replicated:
        ratio = poisson_ratio(
            first.total, first.exposure.sum(), second.total, second.exposure.sum(), level=each
        )
    return BladeRatio(
        pair.first,
        pair.second,
        f"{damage.kind} per chop and length of edge",
        ratio,
        found.below,
        pair.scope,
        float(sum(pair.sizes) - 2) if pair.replicated else None,
        pair.sizes,
        found.scatter if pair.replicated else None,
    ), ()
