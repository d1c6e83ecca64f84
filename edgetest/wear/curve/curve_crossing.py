"""Where does a predicted curve cross its limit, and between which cuts, read monotonically?

An interval is the test inverted: the cuts at which the limit lies within the curve's own interval.
Where the wear never turns back and the curve's interval at the true life holds the limit in 95 % of
cases, so does this one hold the life, however the curve bends.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.predicted_curve import PredictedCurves

NEAREST, FURTHEST = 1e-5, 30.0  # of a blade's last cuts: the range in which a crossing is sought
COARSE, FINE = 96, 25
LEAST_STEP = 0.01  # log reading over which a curve's slope is taken at the least


@dataclass(frozen=True)
class Crossings:
    """Log cuts (B,): `life` (inf where none), `low` and `high` ends, `slope` of log reading by
    log cuts about the life, and the parts of the standard error of the log reading there.
    """

    life: np.ndarray
    low: np.ndarray
    high: np.ndarray
    slope: np.ndarray
    own_se: np.ndarray
    by_power: np.ndarray


@dataclass(frozen=True)
class CrossingsSought:
    """Curves and their limits: `curves`, `log_limit` (B,), `last` stage (B,), `of_fresh`."""

    curves: PredictedCurves
    log_limit: np.ndarray
    last: np.ndarray
    of_fresh: bool = False

    def worn(self, cuts, quantile):
        """Log reading beyond the limit, in the direction of wear, plus `quantile` (B,) errors."""
        with np.errstate(all="ignore"):  # far from all readings a law may overflow: no crossing
            value, stderr = self.curves.with_error(cuts, of_fresh=self.of_fresh)
        sign = self.curves.law.direction
        return sign * (value - self.log_limit[:, None]) + quantile[:, None] * stderr

    def grid(self):
        """Cuts (B, COARSE) at which crossings are looked for, each blade's last among them."""
        steps = np.geomspace(NEAREST, FURTHEST, COARSE)
        steps[np.argmin(np.abs(np.log(steps)))] = 1.0
        return self.last[:, None] * steps

    def lives(self):
        """Log cuts (B,) at which the curves cross their limits, inf where they never do."""
        cuts, none = self.grid(), np.zeros(len(self.last))
        worn = self.worn(cuts, none)
        first = self._refined(cuts, none, _first(worn))
        last = self._refined(cuts, none, _last_within(worn, cuts, self.last))
        both = np.isfinite(last) & np.isfinite(first)
        with np.errstate(invalid="ignore"):
            return np.where(both, (first + last) / 2, first)

    def ends(self, log_life, quantile):
        """Ends (B,) of log life: the nearest cuts to it that are surely short, surely beyond.

        Wear does not turn back: where the curve is surely short of the limit, it was so before.
        """
        cuts = self.grid()
        near = np.exp(np.minimum(log_life, np.log(self.last)) + 1e-9)[:, None]
        short = (self.worn(cuts, quantile) < 0) & (cuts <= near)
        count = cuts.shape[1]
        before = np.where(short.any(axis=1), count - 1 - short[:, ::-1].argmax(axis=1), -1)
        beyond = (self.worn(cuts, -quantile) >= 0) & (cuts >= near)
        after = np.where(beyond.any(axis=1), beyond.argmax(axis=1) - 1, count - 1)
        low = self._refined(cuts, quantile, before)
        return low, self._refined(cuts, -quantile, after)

    def slope(self, log_life, stderr):
        """Slope (B,) of log reading by log cuts, over the curve's own error about the life."""
        step = np.maximum(stderr, LEAST_STEP)
        moved = [self._moved(sign * step).lives() for sign in (-1.0, 1.0)]
        with np.errstate(all="ignore"):
            both = 2 * step / (moved[1] - moved[0])
            one = step / (log_life - moved[0])
        law = np.abs(self._law_rate(log_life))
        slope = np.where(np.isfinite(both) & (both > 0), both, np.maximum(one, law))
        return np.where(np.isfinite(slope) & (slope > 0), slope, law)

    def _law_rate(self, log_life):
        cuts = np.exp(np.minimum(log_life, np.log(self.last) + 5.0))[:, None]
        return self.curves.law.rate(cuts, self.curves.psi)[:, 0]

    def _moved(self, step):
        limit = self.log_limit + self.curves.law.direction * step
        return CrossingsSought(self.curves, limit, self.last, self.of_fresh)

    def _refined(self, cuts, quantile, place):
        """Log cuts of the crossing after grid point `place` (B,), -1 where it lies before all."""
        rows, found = np.arange(len(place)), (place >= 0) & (place < cuts.shape[1] - 1)
        at = np.clip(place, 0, cuts.shape[1] - 2)
        log_from, log_to = np.log(cuts[rows, at]), np.log(cuts[rows, at + 1])
        for _ in range(2):
            share = np.linspace(0.0, 1.0, FINE)
            inside = log_from[:, None] + (log_to - log_from)[:, None] * share
            values = self.worn(np.exp(inside), quantile)
            k = np.clip(_first(values), 0, FINE - 2)
            log_from, log_to = inside[rows, k], inside[rows, k + 1]
        a, b = values[rows, k], values[rows, k + 1]
        with np.errstate(all="ignore"):
            part = np.clip(np.where(b > a, -a / (b - a), 0.0), 0.0, 1.0)
        out = log_from + part * (log_to - log_from)
        return np.where(found, out, np.where(place < 0, -np.inf, np.inf))


def _first(worn):
    """Place of the last grid point before the first one that is worn; the last of all if none."""
    beyond = worn >= 0
    return np.where(beyond.any(axis=1), beyond.argmax(axis=1) - 1, worn.shape[1] - 1)


def _last_within(worn, cuts, last):
    """Place of the last grid point up to `last` that is not worn, or of the last before one is."""
    inside = cuts <= last[:, None] * (1 + 1e-12)
    short = (worn < 0) & inside
    place = np.where(short.any(axis=1), worn.shape[1] - 1 - short[:, ::-1].argmax(axis=1), -1)
    # From there on, the first that is worn.
    after = np.arange(worn.shape[1]) > place[:, None]
    beyond = (worn >= 0) & after
    return np.where(beyond.any(axis=1), beyond.argmax(axis=1) - 1, worn.shape[1] - 1)


def crossings(sought, quantile_of):
    """Crossings of curves with their limits.

    Parameters
    ----------
    sought : CrossingsSought
    quantile_of : callable
        Quantile (B,) of the curves' errors, from the log lives (B,).

    Returns
    -------
    Crossings
    """
    life = sought.lives()
    low, high = sought.ends(life, quantile_of(life))
    place = np.where(np.isfinite(life), life, np.log(sought.last))
    _, own_se, by_power = sought.curves.at(np.exp(place)[:, None], of_fresh=sought.of_fresh)
    power_sd = np.sqrt(sought.curves.power_var)
    stderr = np.hypot(own_se[:, 0], by_power[:, 0] * power_sd)
    low, high = np.minimum(low, life), np.maximum(high, life)
    return Crossings(life, low, high, sought.slope(place, stderr), own_se[:, 0], by_power[:, 0])
