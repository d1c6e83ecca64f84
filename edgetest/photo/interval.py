"""How well the mean width is known: texture, noise, tone, and the length not measured."""

import numpy as np

from edgetest.photo.smooth import local_line


def independent_share(values, used):
    """Effective number of independent values over their number, from the autocorrelation.

    Sum of the autocorrelation up to the first lag where it falls below 0.05 (initial
    positive sequence), neighbours counted only where both are used.
    """
    values = np.where(used, values - values[used].mean(), 0.0)
    total = float((values**2).sum())
    if total <= 0:
        return 1.0
    length = 1 << (2 * values.size - 1).bit_length()
    power = np.abs(np.fft.rfft(values, length)) ** 2
    pairs = np.abs(np.fft.rfft(used.astype(float), length)) ** 2
    most = max(2, values.size // 4)
    auto = np.fft.irfft(power, length)[:most]
    count = np.fft.irfft(pairs, length)[:most]
    rho = (auto / np.maximum(count, 1)) / (auto[0] / count[0])
    small = np.flatnonzero(rho < 0.05)
    stop = int(small[0]) if small.size else most
    return float(1 / (1 + 2 * rho[1:stop].sum()))


def mean_uncertainty(width, used, block):
    """Standard uncertainty of the mean width from its scatter along the edge."""
    if used.sum() < 8:
        return float(np.std(width[used]) + 0.1)
    trend = local_line(width, max(6.0, 40.0 / block), weight=used.astype(float) + 1e-9)
    off = width - trend
    share = independent_share(off, used)
    return float(off[used].std() / np.sqrt(used.sum() * share))
