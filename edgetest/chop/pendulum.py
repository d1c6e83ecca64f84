"""A tool hung as a physical (compound) pendulum: inertia from its period.

The period is 2 pi sqrt(I / (m g d)), d from the pivot to the balance point.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from scipy.special import chdtrc

from edgetest.chop.balance import FAR, balance_of, not_in_the_grip
from edgetest.chop.swing_counts import Hung, bound_doubts, counted_alike, counts_in_words
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.stats.propagate import Input, draw_inputs

GRAVITY_M_S2 = 9.80665
# A hand-held stopwatch, start and stop together: common practice, no source. It counts like
# four earlier repeats when the repeats themselves are few.
WATCH_U_S, WATCH_DF = 0.10, 4.0
# Repeats that scatter more than the stopwatch does, by chance this seldom, are doubted.
SELDOM_SCATTER = 0.01
WIDE_SWING_DEG = 20
# A pivot nearer the balance point than this many standard uncertainties says little.
NEAR_PIVOT = 4
# Share of draws that must leave an inertia above zero.
MOSTLY_POSSIBLE = 0.999
DRAWS = 20_000


@dataclass(frozen=True)
class SwingTest:
    """One tool weighed, balanced and swung as a pendulum; places along x from the butt.

    `seconds` are the times of some repeats, each of `swings` full swings (there and back);
    `amplitude_deg` is the mean swing to one side; the `_u_` are standard uncertainties, the
    local gravity's covers 40 to 60 degrees of latitude or so.
    """

    mass_g: float
    balance_mm: float
    pivot_mm: float
    seconds: Sequence[float]
    swings: int
    amplitude_deg: float | None = None
    watch_u_s: float = WATCH_U_S
    mass_u_g: float = 1.0
    balance_u_mm: float = 1.0
    pivot_u_mm: float = 1.0
    gravity_m_s2: float = GRAVITY_M_S2
    gravity_u_m_s2: float = 0.01


@dataclass(frozen=True)
class Period:
    """A pendulum's period with its uncertainty, for small swings."""

    seconds: float
    u_s: float
    df: float
    repeats: int
    swings: int
    doubts: tuple[Doubt, ...] = ()


def period(seconds, swings, *, amplitude_deg=None, watch_u_s=WATCH_U_S):
    """Period of one full swing (there and back) from repeated timings of several.

    A wide swing is corrected by the pendulum's series in the amplitude.

    Parameters
    ----------
    seconds : array_like, shape (r,)
        Each repeat's time, s.
    swings : int
        Full swings timed in each.
    amplitude_deg : float, optional
        Mean swing to one side, degrees; the period is corrected to small swings.
    watch_u_s : float
        Standard uncertainty of one timing by hand, s.

    Returns
    -------
    Period
        `u_s` is a scale for Student's t with `df` degrees of freedom.

    Raises
    ------
    UnusableInput
        If a time is not above zero or the swings are not a positive count.
    """
    times = np.atleast_1d(np.asarray(seconds, dtype=float))
    if times.size == 0 or not np.all(np.isfinite(times)) or np.any(times <= 0):
        raise UnusableInput("a time is missing or not above zero", "seconds", "time it again")
    if swings < 1 or watch_u_s <= 0:
        what = f"{swings} swings, stopwatch {watch_u_s:g} s"
        raise UnusableInput(what, "swings", "count full swings; give the stopwatch above zero")
    counted = counted_alike(times, swings)
    times = counted.seconds
    r = times.size
    squares = float(np.sum((times - times.mean()) ** 2))
    df = WATCH_DF + r - 1
    one = sqrt((WATCH_DF * watch_u_s**2 + squares) / df)
    doubts = list(counted.doubts)
    if r > 1 and not doubts and chdtrc(r - 1, squares / watch_u_s**2) < SELDOM_SCATTER:
        doubts.append(doubt("period_scatter"))
    stretch = 1.0
    if amplitude_deg is not None:
        angle = np.deg2rad(amplitude_deg)
        stretch = 1 + angle**2 / 16 + 11 * angle**4 / 3072
        if amplitude_deg > WIDE_SWING_DEG:
            doubts.append(doubt("large_swing", where=Where(value=amplitude_deg)))
    scale = 1 / (swings * stretch)
    return Period(
        float(times.mean() * scale), one / sqrt(r) * scale, df, int(r), int(swings), tuple(doubts)
    )


def measured_balance(test, hold, *, rng, draws=DRAWS, level=0.95):
    """Everything the swing test says of a tool, by Monte Carlo propagation (JCGM 101).

    Parameters
    ----------
    test : SwingTest
    hold : Hold
        Where the hand turns the tool and where the blow falls.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int
        Monte Carlo draws.
    level : float
        Coverage.

    Returns
    -------
    Balance

    Raises
    ------
    UnusableInput
        If the masses and places cannot be, or the period is too short for them.
    """
    timed, best = as_swung(test, hold)
    inputs = _inputs(test, timed)
    hung = hung_as(test, hold)
    many = np.vstack([_swing(**draw_inputs(inputs, rng, draws)), hold.drawn_m(rng, draws)])
    doubts = list(timed.doubts)
    doubts += bound_doubts(hung, best[2], timed.seconds * timed.swings, timed.swings)
    possible = many[2] > 0
    if np.mean(possible) < MOSTLY_POSSIBLE:
        doubts.append(doubt("impossible_pendulum", where=Where(value=timed.seconds)))
        many = many[:, possible]
    arm_mm = abs(test.balance_mm - test.pivot_mm)
    if arm_mm < NEAR_PIVOT * sqrt(test.balance_u_mm**2 + test.pivot_u_mm**2):
        doubts.append(doubt("short_pendulum", where=Where(value=arm_mm)))
    return balance_of(best, many, hold, source="measured", level=level, doubts=doubts)


def as_swung(test, hold):
    """The period, and mass (kg), balance point (m) and inertia about it (kg m²) at their best.

    Parameters
    ----------
    test : SwingTest
    hold : Hold

    Returns
    -------
    (Period, tuple of 3 floats)

    Raises
    ------
    UnusableInput
        If the masses and places cannot be, or the period is too short for them; its `where` is
        the quantity.
    """
    timed = period(
        test.seconds, test.swings, amplitude_deg=test.amplitude_deg, watch_u_s=test.watch_u_s
    )
    if not (test.mass_g > 0 and hold.strike_mm > hold.grip_mm):
        what = f"mass {test.mass_g:g} g, grip {hold.grip_mm:g} mm, strike {hold.strike_mm:g} mm"
        raise UnusableInput(what, "balance", "give a mass, and x from the butt to the tip in mm")
    best = _swing(**{name: one.value for name, one in _inputs(test, timed).items()})
    if not best[2] > 0:
        raise _too_short(test, hold, timed)
    not_in_the_grip(best[1], hold)
    return timed, best


def _too_short(test, hold, timed):
    """The refusal of a period in which no body of these places swings."""
    wide = also = ""
    if (test.amplitude_deg or 0) > WIDE_SWING_DEG:
        wide = f" (told {test.amplitude_deg:g}° wide, worked out for a small one)"
        also = " and the amplitude"
    what = (
        f"{timed.seconds:.4g} s a swing{wide} is too short a period for a pivot"
        f" {test.pivot_mm:g} mm from the butt and a balance point at {test.balance_mm:g} mm"
    )
    made_s = timed.seconds * timed.swings
    fits = f"in {made_s:.4g} s {counts_in_words(hung_as(test, hold), made_s)}, not {timed.swings}"
    mend = f"check both places{also}, and count a swing as there and back ({fits})"
    return UnusableInput(what, "swings", mend)


def _inputs(test, timed):
    """What the swing is worked out from, with standard uncertainties."""
    return {
        "mass_kg": Input(test.mass_g / 1000, test.mass_u_g / 1000),
        "balance_m": Input(test.balance_mm / 1000, test.balance_u_mm / 1000),
        "pivot_m": Input(test.pivot_mm / 1000, test.pivot_u_mm / 1000),
        "period_s": Input(timed.seconds, timed.u_s, timed.df),
        "gravity": Input(test.gravity_m_s2, test.gravity_u_m_s2),
    }


def hung_as(test, hold):
    """How the tool hung, for what a count of swings may be; without a length its longest."""
    known = hold.length_mm is not None
    length_mm = hold.length_mm if known else FAR * hold.strike_mm
    places = test.mass_g / 1e3, test.balance_mm / 1e3, test.pivot_mm / 1e3
    return Hung(*places, length_mm / 1e3, test.gravity_m_s2, length_known=known)


def _swing(mass_kg, balance_m, pivot_m, period_s, gravity):
    """Mass, balance point and inertia about it from a pendulum."""
    arm = np.abs(balance_m - pivot_m)
    about_pivot = mass_kg * gravity * arm * period_s**2 / (4 * pi**2)
    return mass_kg, balance_m, about_pivot - mass_kg * arm**2
