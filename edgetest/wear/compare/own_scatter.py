"""How far do the blades of one heat treatment scatter, where lives are known to intervals?"""

import numpy as np

from edgetest.stats.censored_regression import censored_contrast
from edgetest.stats.interval_likelihood import highest


def own_scatter(log_low, log_high):
    """The scatter of log life between replicates of one group, by their own lives alone.

    The greatest likelihood with the divisor of a sample's standard deviation, which it is where
    all lives are known. What is smaller than the stages alone would make it (the standard
    deviation of a place within them) they do not tell: then it is what they leave possible.

    Parameters
    ----------
    log_low, log_high : array_like, shape (n,)
        Natural logs of what each life lies between; equal where known, -inf and inf where open.

    Returns
    -------
    sd : float or None
        None where fewer than two lives have both ends.
    at_most : bool
        Whether the stages tell no more than that it is no greater.
    """
    low, high = (np.asarray(end, dtype=float) for end in (log_low, log_high))
    told = np.isfinite(low) | np.isfinite(high)
    low, high = low[told], high[told]
    closed = np.isfinite(low) & np.isfinite(high)
    n = int(closed.sum())
    if n < 2:
        return None, False
    design = np.ones((len(low), 1))
    found = censored_contrast(design, low, high, [1.0])
    if not np.isfinite(found.stderr):  # lives that are the same to all digits, or no limits
        return None, False
    _, params = highest(design, low[None], high[None])
    likeliest = float(np.sqrt(n / (n - 1)) / params[0, 0])
    if likeliest < (high - low)[closed].mean() / np.sqrt(12):
        return float(found.stderr * np.sqrt(len(low))), True
    return likeliest, False
