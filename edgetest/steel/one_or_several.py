"""Are the pieces of a lot, or the coupons of a piece, one steel or several?"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from scipy.special import logsumexp

from edgetest.steel.alike_heats import made_alike
from edgetest.steel.piece_likelihood import LIFE_W, HeatChances
from edgetest.steel.reading_likelihood import BIAS_W
from edgetest.steel.steel_seen import HeatSeen

ONE_ODD = 0.5  # share of lots not of one steel that are so by one piece alone; our choice


@dataclass(frozen=True)
class PieceUnit:
    """All that speaks of one piece: log likelihood as found, and each heat's."""

    found: np.ndarray  # (nodes,)
    heats: tuple[HeatChances, ...]
    lives: bool
    seen: bool

    @property
    def heats_seen(self):
        """Its heats as they were noted."""
        return [one.heat for one in self.heats]

    def coupons(self):
        """Log likelihood of each coupon on its own, (nodes, biases, lives)."""
        names = dict.fromkeys(one.heat.coupon for one in self.heats)
        return [
            sum(one.log_total for one in self.heats if one.heat.coupon == name) for name in names
        ]

    @property
    def log_l(self):
        """Log likelihood of all of it, were it one steel."""
        return self.found[:, None, None] + sum((one.log_total for one in self.heats), 0.0)

    def log_once(self, among: Sequence[HeatSeen]):
        """The same, but that coupons made alike, which came out so, say together what one says.

        How far a steel lies from the mean of its kind is the same in all its coupons, so another
        one tells no more of the kind; tempers and trials count each. `among` are the heats of
        that steel.
        """
        log_l = self.found[:, None, None] + 0.0
        for one in self.heats:
            over = 1 - 1 / made_alike(one.heat, among)
            log_l = log_l + one.log_total
            if over:
                log_l = log_l - over * np.log(one.quenched)[:, :, None]
        return log_l


def one_or_several(units: Sequence[PieceUnit], log_prior, tables):
    """Posterior (unnormalised logs) of the piece asked about, and the chance of a mixed lot."""
    first, rest = units[0], units[1:]
    bare = log_prior - (np.log(LIFE_W) if first.lives else 0.0)
    own, every = first.heats_seen, [heat for unit in units for heat in unit.heats_seen]
    once = [first.log_once(every), *(_without_lives(unit.log_once(every)) for unit in rest)]
    if rest:
        chance = tables.row("mixed", "lot")["chance"]
        parts = [_without_lives(unit.log_l) for unit in rest]
        one_steel = log_prior + first.log_l + sum(parts)
        mixed = log_prior + _not_one(first.log_l, parts, bare)
        alone = log_prior + _not_one(first.log_once(own), parts, bare)
    else:
        chance = tables.row("mixed", "piece")["chance"]
        coupons = first.coupons()
        one_steel = log_prior + first.log_l
        if len(coupons) < 2:
            return log_prior + once[0], chance
        mixed = alone = log_prior + first.found[:, None, None] + _any_of(coupons, bare)
    odds = np.log(chance) - np.log1p(-chance) + log_sum(mixed) - log_sum(one_steel)
    share = float(1 / (1 + np.exp(-np.clip(odds, -500, 500))))
    together = log_prior + sum(once)
    both = np.logaddexp(
        together - log_sum(together) + np.log(max(1 - share, 1e-300)),
        alone - log_sum(alone) + np.log(max(share, 1e-300)),
    )
    return both, share


def _not_one(own, parts, bare):
    """Log likelihood of a lot that is not one steel: each its own, or all but one of one steel.

    Which of the pieces is the odd one is not known, and no order counts. Of two both ways are one.
    """
    apart = [_anew(part, bare) for part in parts]
    each_its_own = own + sum(apart)
    if len(parts) == 1:
        return each_its_own
    odd = [own + _anew(sum(parts), bare)]
    odd += [own + sum([*parts[:k], one, *parts[k + 1 :]]) for k, one in enumerate(apart)]
    one_odd = reduce(np.logaddexp, odd) - np.log(len(odd))
    return np.logaddexp(np.log1p(-ONE_ODD) + each_its_own, np.log(ONE_ODD) + one_odd)


def _anew(part, bare):
    """By bias: a part that is a steel of its own, drawn anew from the prior."""
    return log_sum(bare + part, axis=0) - np.log(BIAS_W)[:, None]


def _any_of(coupons, bare):
    """Each coupon in turn is the piece, the others are steels of their own; no order counts."""
    apart = [_anew(_without_lives(one), bare) for one in coupons]
    turns = [one + (sum(apart) - apart[k]) for k, one in enumerate(coupons)]
    return reduce(np.logaddexp, turns) - np.log(len(turns))


def log_sum(a, axis=None, keepdims=False):
    """SciPy's `logsumexp` of real numbers to the last bit, without what it costs to call."""
    most = a.max(axis=axis, keepdims=True)
    top = a == most
    count = top.sum(axis=axis, keepdims=True, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):  # SciPy settles what is not finite
        rest = np.exp(np.where(top, -np.inf, a) - most).sum(axis=axis, keepdims=True)
        found = np.log1p(rest / count) + np.log(count) + most
    if not np.isfinite(found).all():
        return logsumexp(a, axis=axis, keepdims=keepdims)
    return found if keepdims else np.squeeze(found, axis=axis)[()]


def _without_lives(log_l):
    """A sister's likelihood with its own blade's life summed out."""
    log_l = np.asarray(log_l)
    if log_l.shape[-1] == 1:
        return log_l
    return log_sum(log_l + np.log(LIFE_W), axis=-1, keepdims=True)
