"""Do stated intervals hold references from elsewhere (E_n score), and is there a common offset?"""

from dataclasses import dataclass
from math import ceil, log, sqrt

import numpy as np
from scipy.special import ndtri, stdtrit

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields
from edgetest.stats.agreement import LEAST_PAIRS, agreement
from edgetest.stats.rates import share

Z = float(ndtri(0.975))


@dataclass(frozen=True)
class HeldReferences:
    """How far stated values agree with references.

    Attributes
    ----------
    references : int
        References that a value or a bound was stated for.
    held : int
        Those that the stated interval holds, the reference's own uncertainty allowed for.
    held_share : Estimate
        Of the references, with the exact binomial interval.
    inside : int
        Those that lie within the stated interval as they stand.
    mean_difference : Estimate or None
        Stated less reference, with Student's interval; None under two values.
    lower, upper : Estimate or None
        Limits of agreement; None under six values.
    """

    references: int
    held: int
    held_share: Estimate
    inside: int
    mean_difference: Estimate | None
    lower: Estimate | None
    upper: Estimate | None
    level: float = 0.95

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self) | {"may_be_said": self.may_be_said()}

    @property
    def misses(self):
        """Whether fewer are held than stated, beyond chance."""
        return self.held_share.high < self.level

    def may_be_said(self):
        """What so many references may be taken to show."""
        low, high = 100 * self.held_share.low, 100 * self.held_share.high
        if self.misses:
            return (
                f"At most {high:.0f} % of such intervals hold the reference, where"
                f" {100 * self.level:.0f} % are stated: here the claim does not hold."
            )
        needed = ceil(log(1 - self.level) / log(self.level))
        if self.held_share.low >= self.level:
            return f"At least {low:.0f} % of such intervals hold the reference: the claim holds."
        return (
            f"The true share may be as low as {low:.0f} %: nothing speaks against the claim, and"
            f" this does not prove it. {needed} references, all held, would."
        )


def held_references(value, low, high, reference, reference_u, *, unit=""):
    """Stated 95 % intervals against references that carry an uncertainty of their own.

    Parameters
    ----------
    value : array_like, shape (n,)
        What was stated; nan where only the bound `high` is.
    low, high : array_like, shape (n,)
        Ends of the stated interval; -inf below where only a bound is stated.
    reference, reference_u : array_like, shape (n,)
        The reference and its standard uncertainty.
    unit : str

    Returns
    -------
    HeldReferences

    Raises
    ------
    UnusableInput
        If there is no reference.

    Notes
    -----
    A reference is held where E_n = (stated - reference) / sqrt(U1^2 + U2^2) lies from -1 to 1.
    U2 is the expanded uncertainty of the reference, U1 the distance from the stated value to
    that end of its interval which lies towards the reference.

    References
    ----------
    .. [1] ISO 13528:2015, the E_n score; from memory, the standard was not read.
    """
    value, low, high, reference, u = (
        np.asarray(each, dtype=float) for each in (value, low, high, reference, reference_u)
    )
    if not reference.size:
        raise UnusableInput("no reference", "references", "measure at least one")
    middle = np.where(np.isnan(value), high, value)
    room = np.where(reference > middle, high - middle, middle - low)
    beyond = np.where(np.isnan(value) & (reference <= high), 0.0, np.abs(reference - middle))
    held = beyond <= np.sqrt(np.where(np.isfinite(room), room, 0.0) ** 2 + (Z * u) ** 2)
    stated = ~np.isnan(value)
    difference, lower, upper = _differences(value[stated], reference[stated], unit)
    return HeldReferences(
        references=int(reference.size),
        held=int(held.sum()),
        held_share=share(int(held.sum()), int(reference.size)),
        inside=int(((low <= reference) & (reference <= high)).sum()),
        mean_difference=difference,
        lower=lower,
        upper=upper,
    )


def _differences(value, reference, unit):
    """Mean difference and limits of agreement, as far as the number of values bears them."""
    n = value.size
    if n >= LEAST_PAIRS:
        found = agreement(reference, value, unit=unit)
        return found.bias, found.lower, found.upper
    if n < 2:
        return None, None, None
    d = value - reference
    half = float(stdtrit(n - 1, 0.975)) * d.std(ddof=1) / sqrt(n)
    mean = float(d.mean())
    return Estimate(mean, mean - half, mean + half, unit, 0.95, "Student's t"), None, None


def common_ratio(value, half, reference, reference_u, shared_u=0.0):
    """Mean ratio of stated values to their references, as sure as both say they are.

    A scale that is wrong by 5 % makes every width of its set-up wrong by 5 %: the mean of the
    log ratios shows it where each width alone does not.

    Parameters
    ----------
    value, half : array_like, shape (n,)
        Stated values and half-widths of their 95 % intervals.
    reference, reference_u : array_like, shape (n,)
        References and their standard uncertainties.
    shared_u : float
        Relative standard uncertainty that all values have in common, as of one scale; it is in
        `half` too, and does not grow less with their number.

    Returns
    -------
    Estimate
        Geometric mean of value / reference; its interval allows for what is stated, or for the
        scatter where that is more.
    """
    value, half, reference, u = (
        np.asarray(each, dtype=float) for each in (value, half, reference, reference_u)
    )
    logs = np.log(value / reference)
    n = logs.size
    own = np.maximum((half / Z / value) ** 2 - shared_u**2, 0.0) + (u / reference) ** 2
    stated = own.sum() / n**2 + shared_u**2
    seen = logs.var(ddof=1) / n if n > 1 else 0.0
    mean, reach = float(logs.mean()), Z * sqrt(max(stated, seen))
    middle, low, high = np.exp([mean, mean - reach, mean + reach]).tolist()
    return Estimate(middle, low, high, "", 0.95, "geometric mean")
