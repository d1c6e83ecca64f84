"""What is the life of one heat treatment's blades, and what can a customer rely on?"""

from dataclasses import replace
from math import inf, nan

import numpy as np
from scipy.special import ndtri

from edgetest.estimate import Estimate, plain
from edgetest.stats.contrast import contrast
from edgetest.wear.compare.comparison_result import BETWEEN_ENDS, Group, exp_or_open
from edgetest.wear.compare.layout import SINGLE
from edgetest.wear.compare.own_scatter import own_scatter
from edgetest.wear.compare.reliable_life import KnownScatter, reliable_life
from edgetest.wear.compare.what_counts import counted_of


def group_of(design, name, level, *, shared_se=0.0, history=None):
    """A heat treatment's blades, their median life, and what nine of ten last at least.

    Parameters
    ----------
    design : Layout
    name : str
    level : float
    shared_se : float
        Standard uncertainty of log life that all blades share.
    history : ShopHistory, optional

    Returns
    -------
    Group
    """
    group = _group(design, name, level, shared_se)
    return replace(group, reliable=_reliable(design, name, history))


def _group(design, name, level, shared_se):
    """A heat treatment's median life: scatter by the design."""
    lives, own = design.lives(name), design.replicates.own_ends(name)
    n, shared = len(lives), np.hypot(shared_se, np.linalg.norm(design.law_u(name)))
    by_shared = ndtri(0.5 + level / 2) * shared
    if n == 1 and not design.exact(name):
        rows = design.replicates.of(name)
        ends = float(design.replicates.log_low[rows][0]), float(design.replicates.log_high[rows][0])
        found = _named_group(design, name, ends, level, BETWEEN_ENDS, None)
        if not np.isfinite(ends).all():  # one end alone is a bound, and no life
            return replace(found, life=replace(found.life, value=nan))
        return found
    if not design.exact(name):
        found = design.level_of(name).widened(shared**2)
        ends = found.limits(level, SINGLE)
        rows = design.replicates.of(name)
        sd, at_most = own_scatter(design.replicates.log_low[rows], design.replicates.log_high[rows])
        method = "median, lives known to intervals"
        found = _named_group(design, name, ends, level, method, sd)
        taken = plain(np.sqrt(design.variance(name)))
        found = replace(found, sd_at_most=at_most, sd_taken=taken)
        if found.life.low == 0 and found.life.high == inf:  # a middle of bounds is no life
            return replace(found, life=replace(found.life, value=nan))
        return found
    if own is not None:
        return _named_group(design, name, own, level, "one blade, its own interval", None)
    if n == 1:
        reading = np.sqrt(design.measurement(name))
        half_width = ndtri(0.5 + level / 2) * reading if reading > 0 else inf
        sd, method = None, "one blade, reading uncertainty"
    else:
        sd = float(lives.std(ddof=1))
        variance, df = sd**2, n - 1
        if design.balanced and design.exact(*design.names):
            variance = np.mean([design.variance(k) for k in design.names])
            df = (n - 1) * len(design.names)
        half_width = float(contrast(lives.mean(), variance / n, df, level, "t").half_width)
        method = "median, t on log lives"
        by_readings = ndtri(0.5 + level / 2) * np.sqrt(design.measurement(name))
        if by_readings > half_width:
            half_width, method = by_readings, "median, reading uncertainty alone"
    half_width = np.hypot(half_width, by_shared)
    ends = lives.mean() - half_width, lives.mean() + half_width
    return _named_group(design, name, ends, level, method, sd)


def _reliable(design, name, history):
    """What nine of ten of a heat treatment's blades last at least, where enough is known."""
    blades = len(design.replicates.blades[name]) == len(design.lives(name))
    if not design.exact(name) or design.replicates.shared or not blades:
        return None
    pooled = None
    if history is not None:
        pooled = KnownScatter(history.sd_log_life, history.df, "the shop's earlier studies")
    elif len(design.names) > 1:
        others = [k for k in design.names if k != name and len(design.lives(k)) > 1]
        df = float(sum(len(design.lives(k)) - 1 for k in others))
        squares = sum((len(design.lives(k)) - 1) * design.variance(k) for k in others)
        if df and np.isfinite(squares) and squares > 0:
            sd = float(np.sqrt(squares / df))
            pooled = KnownScatter(sd, df, "this study's other heat treatments")
    return reliable_life(design.lives(name), pooled)


def _named_group(design, name, ends, level, method, sd):
    """Group from the ends of its interval."""
    log_life = design.mean(name)
    value, low, high = exp_or_open(log_life, *ends)
    blades = design.replicates.blades[name]
    return Group(
        treatment=name,
        blades=blades,
        n=len(blades),
        replicates=len(design.lives(name)),
        life=Estimate(value, low, high, "cuts", level, method),
        sd_log_life=sd,
        sd_taken=sd,
        log_life=float(log_life),
        counted=counted_of(design.replicates),
        parts=design.replicates.parts.get(name, 1),
    )
