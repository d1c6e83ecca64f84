"""How far do the blades of one heat treatment scatter, where lives are known to intervals?"""

import numpy as np

from edgetest.stats.interval_likelihood import highest


def own_scatter(log_low, log_high):
    """The scatter of log life between replicates of one group, by their own lives alone.

    The greatest likelihood with the divisor of a sample's standard deviation, which it is where
    all lives are known. What is smaller than the stages alone would make it (the standard
    deviation of a place within them) they do not tell: then it is the greatest that lives can
    have between these ends, which holds of these replicates for sure.

    Parameters
    ----------
    log_low, log_high : array_like, shape (n,)
        Natural logs of what each life lies between; equal where known, -inf and inf where open.

    Returns
    -------
    sd : float or None
        None where fewer than two lives have both ends, and where nothing but the stages tells it
        and one life has no end: then it may be any.
    at_most : bool
        Whether the stages tell no more than that it is no greater.
    """
    low, high = (np.asarray(end, dtype=float) for end in (log_low, log_high))
    of = len(low)
    told = np.isfinite(low) | np.isfinite(high)
    low, high = low[told], high[told]
    closed = np.isfinite(low) & np.isfinite(high)
    n = int(closed.sum())
    if n < 2:
        return None, False
    if np.ptp([low, high]) == 0:  # lives that are the same to all digits
        return None, False
    _, params = highest(np.ones((len(low), 1)), low[None], high[None])
    likeliest = float(np.sqrt(n / (n - 1)) / params[0, 0])
    if likeliest >= (high - low)[closed].mean() / np.sqrt(12):
        return likeliest, False
    return (_greatest(low, high), True) if n == of else (None, False)


def _greatest(low, high):
    """The greatest standard deviation of places between ends; ddof 1.

    It is met where each place lies at an end of its own: those whose middles lie to the left at
    their low ends, the others at their high ones, parted somewhere.
    """
    order = np.argsort(low + high)
    low, high = low[order], high[order]
    parted = (np.concatenate([low[:k], high[k:]]) for k in range(len(low) + 1))
    return float(max(places.std(ddof=1) for places in parted))
