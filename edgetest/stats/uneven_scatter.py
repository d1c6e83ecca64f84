"""Two groups that may scatter unequally: by what factor, before anything is seen of them.

Of unequal numbers the smaller group's scatter is hardly known, and with one scatter for both a
95 % interval covers 75 % where the smaller group scatters most. So each of the two has its own.
"""

import numpy as np

# Logs of the one SD over the other's, as far as REACH either way. Where a group has two, those
# far from 0 weigh more: else two blades that agree by luck pass for even ones. Own choice by
# simulation (tests/benchmarks/rolls_unequal.py), no source; the table stands among the guide's.
REACH, RATIOS = 3.0, 11
# How much more; most where blades of one block alone tell of the scatters.
LEAN, LEAN_WITHIN = 0.75, 1.0


def ratios_of_scatter(within, smallest):
    """Logs of one group's SD over the other's that are tried, and their mass, shape (11,) each.

    `within`: whether blades of one block alone tell of the scatters; `smallest`: the size of the
    smaller group. Of three and more all ratios weigh the same.
    """
    log_ratio = np.linspace(-REACH, REACH, RATIOS)
    lean = 0.0 if smallest > 2 else LEAN_WITHIN if within else LEAN
    mass = np.exp(lean * np.abs(log_ratio))
    return log_ratio, mass / mass.sum()


def part_of_scatter(log_ratio):
    """A group's SD over the root mean square of the two, where it is e**log_ratio the other's."""
    return np.sqrt(2 / (1 + np.exp(-2 * log_ratio)))


def df_of_sizes(sizes, most):
    """Degrees of freedom that the two groups' sizes give a t interval with a scatter each.

    As `contrast.welch_t` has them of groups that scatter alike, or `contrast.guarded_t` where a
    group has two; at least 1, never above `most`.
    """
    n1, n2 = (int(n) for n in sizes)
    share = n2 / (n1 + n2)  # of the variance of the difference: that of the first group
    power = 1 if min(n1, n2) <= 2 else 2
    parts = share**power / max(n1 - 1, 1) + (1 - share) ** power / max(n2 - 1, 1)
    return float(max(min(1 / parts, most), 1.0))
