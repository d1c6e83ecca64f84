"""How many blades a side does a pooled t take, where blades share no roll, board or day?"""

from math import ceil, isfinite

import numpy as np
from scipy.special import chdtri, stdtrit

from edgetest.errors import UnusableInput
from edgetest.stats.power import noncentral_power

MOST_BLADES = 200


def power_to_tell(n, ratio, sd_log_life, *, level=0.95):
    """Power of the two-sided pooled t interval to show a true ratio of lives, n blades a side.

    The formula for blades that share no roll, board or day; any other layout has its own, see
    `edgetest.wear.plan.study_power`.

    Parameters
    ----------
    n : array_like
        Blades a side, 2 or more (fractions allowed, for solving).
    ratio : array_like
        True ratio of lives, above 0.
    sd_log_life : array_like
        True scatter of log life between blades, reading uncertainty included.
    level : float
        Of the interval that is to leave out 1.

    Returns
    -------
    ndarray
        Exact, from the noncentral t; see `edgetest.stats.power.noncentral_power`.
    """
    n = np.asarray(n, dtype=float)
    df = 2 * n - 2
    shift = np.log(ratio) / (sd_log_life * np.sqrt(2 / n))
    return noncentral_power(shift, df, stdtrit(df, 0.5 + level / 2))


def blades_to_tell(ratio, sd_log_life, *, power=0.8, level=0.95):
    """Blades a side for a chance `power` to show the ratio, as a fraction to be rounded up.

    Over several scatters the chance is averaged.

    Returns
    -------
    float
        inf where more than `MOST_BLADES` a side would be needed.

    Raises
    ------
    UnusableInput
        A ratio of 1 or not above 0, a scatter not above 0, a power not between level's error
        and 1.
    """
    if not (ratio > 0 and ratio != 1):
        raise UnusableInput(f"a ratio of {ratio:g}", "ratio", "give one above 0 that is not 1")
    if not np.min(sd_log_life) > 0:
        what = f"a scatter of {np.min(sd_log_life):g}"
        raise UnusableInput(what, "sd_log_life", "give one above 0")
    if not 1 - level < power < 1:
        raise UnusableInput(f"a power of {power:g}", "power", "give a share such as 0.8")

    def reached(n):
        return float(np.mean(power_to_tell(n, ratio, sd_log_life, level=level)))

    low, high = 2.0, float(MOST_BLADES)
    if reached(low) >= power:
        return low
    if reached(high) < power:
        return float("inf")
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if reached(middle) < power else (low, middle)
    return high


def scatter_like(curve, ratio, sd_log_life, *, level=0.95):
    """The scatter whose pooled t has a curve's chances, by weighted least squares.

    Parameters
    ----------
    curve : Curve
        Chances to show a ratio, by the number of blades.
    ratio : float
    sd_log_life : float
        A scatter that it is sought about, between 0.3 and 5 times as large.
    level : float

    Returns
    -------
    float
    """
    n = np.array(curve.blades, dtype=float)
    power = np.array([each.value for each in curve.powers])
    weight = 1 / (np.array([each.stderr for each in curve.powers]) ** 2 + 1e-4)
    scatters = np.geomspace(0.3, 5, 400) * sd_log_life
    guess = power_to_tell(n, ratio, scatters[:, None], level=level)
    return float(scatters[(weight * (guess - power) ** 2).sum(axis=1).argmin()])


def blades_by_curve(goal, curve, sd_simulated, sd):
    """Blades of each heat treatment at scatter `sd`, from chances simulated at another.

    The pooled t whose scatter is the simulated one times a factor has the simulated chances
    (weighted least squares on the factor); it tells of numbers and scatters not simulated.

    Parameters
    ----------
    goal : Goal
    curve : Curve
    sd_simulated : float
        Scatter between blades, readings included.
    sd : float or array_like
        The same; over several the chances are averaged.

    Returns
    -------
    int or None
        None where `MOST_BLADES` would not do.
    """
    like = scatter_like(curve, goal.ratio, sd_simulated, level=goal.level)
    found = blades_to_tell(goal.ratio, like / sd_simulated * sd, power=goal.power, level=goal.level)
    return ceil(found - 1e-9) if isfinite(found) else None


def interval_factor(n, sd_log_life, *, level=0.95):
    """Factor by which a ratio's interval reaches up and down with n blades a side (typical).

    1.3 stands for "from 1/1.3 to 1.3 times the ratio found".
    """
    n = np.asarray(n, dtype=float)
    df = 2 * n - 2
    typical = sd_log_life * np.sqrt(chdtri(df, 0.5) / df)  # median of the scatter that is seen
    return np.exp(stdtrit(df, 0.5 + level / 2) * typical * np.sqrt(2 / n))
