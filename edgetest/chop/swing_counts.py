"""Were the swings of a pendulum counted right? Repeats against each other, and physical bounds.

A body of mass m, balance point c from its butt and length L has an inertia about the balance
point between 0 and m c (L - c), all of its weight at the two ends.
"""

from dataclasses import dataclass
from math import ceil, floor, pi, sqrt

import numpy as np

from edgetest.doubts import Doubt, Where, doubt

# Radius of gyration about the balance point, by length, below which a tool is asked about: a plain
# bar has 0.29, a heavy head on a light handle about 0.22 (two masses and a rod); own choice.
LEAST_GYRATION = 0.16


@dataclass(frozen=True)
class Timings:
    """Times of the repeats that count alike, s, and what is to be said of the others."""

    seconds: np.ndarray
    doubts: tuple[Doubt, ...] = ()


def counted_alike(seconds, swings):
    """Repeats without those that are off by whole swings from the middle one.

    Parameters
    ----------
    seconds : ndarray, shape (r,)
        Times of the repeats, s.
    swings : int
        Swings that each is said to have.

    Returns
    -------
    Timings
        The odd ones are left out where more than half agree; else all stand, and are doubted.
    """
    middle = float(np.median(seconds))
    off = np.rint((seconds - middle) / (middle / swings)).astype(int)
    if len(seconds) == 2:  # the middle is neither: held against the first
        off = np.rint((seconds - seconds[0]) / (seconds[0] / swings)).astype(int)
    if not off.any():
        return Timings(seconds)
    told = [
        f"timing {i + 1}, {one:.4g} s, fits {swings + by} swings"
        for i, (one, by) in enumerate(zip(seconds, off, strict=True))
        if by
    ]
    most = int(np.sum(off == 0)) > len(seconds) / 2
    code = "swing_miscounted" if most else "swings_not_alike"
    said = doubt(code, told="; ".join(told), swings=swings, where=Where(value=", ".join(told)))
    return Timings(seconds[off == 0] if most else seconds, (said,))


@dataclass(frozen=True)
class Hung:
    """A tool hung as a pendulum: mass, balance point, pivot and length, kg and m from the butt.

    Where its length is not known, `length_m` is the longest that it may be.
    """

    mass_kg: float
    balance_m: float
    pivot_m: float
    length_m: float
    gravity_m_s2: float
    length_known: bool = True

    @property
    def most_inertia(self):
        """Largest inertia about the balance point that a tool of this length can have, kg m²."""
        return self.mass_kg * self.balance_m * (self.length_m - self.balance_m)

    def period(self, inertia):
        """Period with an inertia about the balance point, s."""
        arm = abs(self.balance_m - self.pivot_m)
        return 2 * pi * sqrt((inertia / self.mass_kg + arm**2) / (self.gravity_m_s2 * arm))

    def counts(self, seconds):
        """Fewest and most swings that such a tool can make in a time."""
        most = max(floor(seconds / self.period(0.0)), 1)
        if self.most_inertia <= 0:
            return 1, most
        return max(ceil(seconds / self.period(self.most_inertia)), 1), most


def counts_in_words(hung, seconds):
    """How many swings would fit the time, in words; empty where none does."""
    fewest, most = hung.counts(seconds)
    if fewest > most:
        return "no count of swings fits: check the places and the weight"
    return f"{fewest} swings fit" if fewest == most else f"{fewest} to {most} swings fit"


def outline_doubts(hung, measured, predicted, swings):
    """Whether one swing more or fewer would agree with the inertia that the outline gives.

    Parameters
    ----------
    hung : Hung
    measured, predicted : Estimate
        Inertia about the balance point, kg cm², from the swings as counted and from the outline.
    swings : int
        As counted.

    Yields
    ------
    Doubt
    """
    if measured.low <= predicted.high and predicted.low <= measured.high:
        return
    shift = 1e4 * hung.mass_kg * (hung.balance_m - hung.pivot_m) ** 2
    half = (measured.high - measured.low) / 2
    for other in (swings - 1, swings + 1):
        if other < 1:
            continue
        inertia = (measured.value + shift) * (swings / other) ** 2 - shift
        if predicted.low - half <= inertia <= predicted.high + half:
            yield doubt(
                "swing_count_by_outline", fits=other, swings=swings, where=Where(value=inertia)
            )


def bound_doubts(hung, inertia, seconds, swings):
    """Whether the inertia is more than a tool of this length can have, or less than one has.

    Parameters
    ----------
    hung : Hung
    inertia : float
        About the balance point, as the swings as counted give it, kg m².
    seconds : float
        Mean time of a repeat, s.
    swings : int
        As counted.

    Yields
    ------
    Doubt
    """
    most, least = max(hung.most_inertia, 0.0), hung.mass_kg * (LEAST_GYRATION * hung.length_m) ** 2
    if hung.length_known and inertia < min(least, most):
        yield doubt(
            "inertia_below_usual", inertia=_three_digits(1e4 * inertia),
            long=f"{1e3 * hung.length_m:.0f} mm long", least=_three_digits(1e4 * least),
            where=Where(value=1e4 * inertia),
        )  # fmt: skip
    if inertia <= most:
        return
    long = f"{1e3 * hung.length_m:.0f} mm long"
    if not hung.length_known:
        long = f"taken to be at most {long}, half as far again as it strikes"
    yield doubt(
        "inertia_beyond_bound",
        inertia=_three_digits(1e4 * inertia),
        most=_three_digits(1e4 * most),
        long=long,
        swings=swings,
        seconds=f"{seconds:.4g}",
        fits=counts_in_words(hung, seconds),
        where=Where(value=1e4 * inertia),
    )


def _three_digits(number):
    """Three digits and no power of ten: 2230."""
    return f"{float(f'{number:.3g}'):g}"
