"""Do the readings of one level (a day, a spool of thread) lie off their curves together?"""

from dataclasses import dataclass

import numpy as np

OWN = 1e-6  # share of a level's column below which the design already holds it


@dataclass(frozen=True)
class LevelShift:
    """A common shift of log readings, its standard error, and the residuals' degrees of freedom."""

    log_shift: float
    stderr: float
    df: int

    @property
    def probability(self):
        """Student's t, two-sided: chance of so large a shift where there is none."""
        from scipy.special import stdtr

        if self.stderr <= 0:
            return float(self.log_shift == 0)
        return float(2 * stdtr(self.df, -abs(self.log_shift) / self.stderr))

    def ratio(self, level=0.95):
        """Readings of the level over those expected: the ratio and the ends of its interval."""
        from scipy.special import stdtrit

        half = float(stdtrit(self.df, 0.5 + level / 2)) * self.stderr
        value, low, high = np.exp(self.log_shift + half * np.array([0.0, -1.0, 1.0])).tolist()
        return value, low, high


def level_shift(residuals, design, inside):
    """The shift that the readings of one level share, each curve free to follow it.

    The added-variable regression (theorem of Frisch, Waugh and Lovell): the residuals and the
    level's indicator are both cleared of the design, here the curves linearised at their fit,
    and the shift is the slope of the one on the other. So a curve that bent towards shifted
    readings hides nothing of them.

    Parameters
    ----------
    residuals : array_like, shape (n,)
        Log reading minus curve, a stage mean of a blade each.
    design : array_like, shape (n, k)
        Slopes of the log readings by what was fitted or is to be cleared.
    inside : array_like of bool, shape (n,)
        Which of them belong to the level.

    Returns
    -------
    LevelShift or None
        None where the design holds the level already (all of a blade, or all of a stage), or
        where no degree of freedom is left.

    References
    ----------
    .. [1] M. C. Lovell, "Seasonal adjustment of economic time series and multiple regression
       analysis", Journal of the American Statistical Association 58 (1963) 993-1010.
    """
    inside = np.asarray(inside, dtype=float)
    both = np.column_stack([np.asarray(residuals, dtype=float), inside])
    held, _, rank, _ = np.linalg.lstsq(design, both)
    left, own = (both - np.asarray(design) @ held).T
    size, df = float(own @ own), len(left) - int(rank) - 1
    if df < 1 or size <= OWN * float(inside @ inside):
        return None
    shift = float(own @ left) / size
    rest = left - shift * own
    return LevelShift(shift, float(np.sqrt(rest @ rest / df / size)), df)
