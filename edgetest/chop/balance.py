"""How a tool balances and swings: from a scale, a balance point and a pendulum's period.

x runs from the butt towards the tip, mm. The hand is a pivot at `grip_mm`; the blow falls at
`strike_mm`. A pendulum gives the inertia because its period is 2 pi sqrt(I / (m g d)).
"""

from dataclasses import dataclass, field
from math import pi, sqrt

import numpy as np
from scipy.special import chdtrc

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.propagate import Input, draw_inputs, interval

GRAVITY_M_S2 = 9.80665
# A hand-held stopwatch, start and stop together: common practice, no source. It counts like
# four earlier repeats when the repeats themselves are few.
WATCH_U_S, WATCH_DF = 0.10, 4.0
DRAWS = 20_000
FIGURES = {
    "mass_g": "g",
    "balance_mm": "mm",
    "inertia_balance_kg_cm2": "kg cm²",
    "inertia_grip_kg_cm2": "kg cm²",
    "percussion_mm": "mm",
    "effective_mass_free_g": "g",
    "effective_mass_gripped_g": "g",
}


@dataclass(frozen=True)
class Period:
    """A pendulum's period with its uncertainty, for small swings."""

    seconds: float
    u_s: float
    df: float
    repeats: int
    swings: int
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True)
class Reaction:
    """Impulse at the grip per unit of impulse of the blow, along x; zero = no kick.

    Negative (a blow nearer than the centre of percussion): the handle is driven back into the
    palm. Positive (a blow beyond it): the handle is thrown on with the swing, into the fingers.
    """

    x_mm: np.ndarray
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    level: float

    def to_dict(self):
        """Plain lists for JSON."""
        arrays = {"x_mm": self.x_mm, "value": self.value, "low": self.low, "high": self.high}
        return {**{key: a.tolist() for key, a in arrays.items()}, "level": self.level}


@dataclass(frozen=True)
class Balance:
    """Balance, inertia, percussion centre and effective masses, measured or predicted.

    `effective_mass_free_g` is what a target feels of the tool flying free at the strike
    point; `effective_mass_gripped_g` of the tool turning about the grip.
    """

    source: str
    mass_g: Estimate
    balance_mm: Estimate
    inertia_balance_kg_cm2: Estimate
    inertia_grip_kg_cm2: Estimate
    percussion_mm: Estimate
    effective_mass_free_g: Estimate
    effective_mass_gripped_g: Estimate
    reaction: Reaction
    grip_mm: float
    strike_mm: float
    handle_front_mm: float | None
    doubts: tuple[Doubt, ...]
    draws: np.ndarray = field(repr=False, compare=False)

    @property
    def balance_from_handle_mm(self):
        """Balance point as makers give it: ahead (+) of the front of the handle, or None."""
        if self.handle_front_mm is None:
            return None
        one, front = self.balance_mm, self.handle_front_mm
        return Estimate(
            one.value - front, one.low - front, one.high - front, "mm", one.level, one.method
        )

    def to_dict(self):
        """Plain values for JSON."""
        ahead = self.balance_from_handle_mm
        return {
            "source": self.source,
            **{name: getattr(self, name).to_dict() for name in FIGURES},
            "balance_from_handle_mm": ahead.to_dict() if ahead else None,
            "reaction": self.reaction.to_dict(),
            "grip_mm": self.grip_mm,
            "strike_mm": self.strike_mm,
            "handle_front_mm": self.handle_front_mm,
            **told(self.doubts),
        }

    def summary(self):
        """The swing in a sentence."""
        ahead = self.balance_from_handle_mm
        where = f"{ahead.summary()} ahead of the handle" if ahead else self.balance_mm.summary()
        return (
            f"{self.source}: {self.mass_g.summary()}, balance {where}, inertia about the grip"
            f" {self.inertia_grip_kg_cm2.summary()}, no kick when it strikes at"
            f" {self.percussion_mm.summary()} from the butt; the blow at {self.strike_mm:.0f} mm"
            f" has {self.effective_mass_free_g.summary()} behind it"
        )


def period(seconds, swings, *, amplitude_deg=None, watch_u_s=WATCH_U_S):
    """Period of one full swing (there and back) from repeated timings of several.

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
        raise UnusableInput("a time is missing or not above zero", "pendulum", "time it again")
    if swings < 1 or watch_u_s <= 0:
        what = f"{swings} swings, stopwatch {watch_u_s:g} s"
        raise UnusableInput(what, "pendulum", "count full swings; give the stopwatch above zero")
    r = times.size
    squares = float(np.sum((times - times.mean()) ** 2))
    df = WATCH_DF + r - 1
    one = sqrt((WATCH_DF * watch_u_s**2 + squares) / df)
    doubts = []
    if r > 1 and chdtrc(r - 1, squares / watch_u_s**2) < 0.01:
        doubts.append(doubt("period_scatter"))
    stretch = 1.0
    if amplitude_deg is not None:
        angle = np.deg2rad(amplitude_deg)
        stretch = 1 + angle**2 / 16 + 11 * angle**4 / 3072
        if amplitude_deg > 20:
            doubts.append(doubt("large_swing", where=Where(value=amplitude_deg)))
    scale = 1 / (swings * stretch)
    return Period(
        float(times.mean() * scale), one / sqrt(r) * scale, df, int(r), int(swings), tuple(doubts)
    )


def measured_balance(
    mass_g,
    balance_mm,
    pivot_mm,
    period,
    *,
    grip_mm,
    strike_mm,
    rng,
    mass_u_g=1.0,
    balance_u_mm=1.0,
    pivot_u_mm=1.0,
    gravity_m_s2=GRAVITY_M_S2,
    gravity_u_m_s2=0.01,
    handle_front_mm=None,
    length_mm=None,
    draws=DRAWS,
    level=0.95,
):
    """Everything the swing test says of a tool, with the uncertainty of each figure.

    Parameters
    ----------
    mass_g, balance_mm, pivot_mm : float
        Mass, balance point and pendulum pivot along x.
    period : Period
        From `period`.
    grip_mm, strike_mm : float
        Where the hand turns the tool and where the blow falls.
    rng : numpy.random.Generator
        Source of the draws.
    mass_u_g, balance_u_mm, pivot_u_mm : float
        Standard uncertainties.
    gravity_m_s2, gravity_u_m_s2 : float
        Local gravity; 0.01 covers 40 to 60 degrees of latitude or so.
    handle_front_mm, length_mm : float, optional
        Front of the handle and whole length, along x.
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
    if not (mass_g > 0 and strike_mm > grip_mm):
        what = f"mass {mass_g:g} g, grip {grip_mm:g} mm, strike {strike_mm:g} mm"
        raise UnusableInput(what, "balance", "give a mass, and x from the butt to the tip in mm")
    inputs = {
        "mass_kg": Input(mass_g / 1000, mass_u_g / 1000),
        "balance_m": Input(balance_mm / 1000, balance_u_mm / 1000),
        "pivot_m": Input(pivot_mm / 1000, pivot_u_mm / 1000),
        "period_s": Input(period.seconds, period.u_s, "t", period.df),
        "gravity": Input(gravity_m_s2, gravity_u_m_s2),
    }
    best = _swing(**{name: one.value for name, one in inputs.items()})
    if not best[2] > 0:
        what = f"{period.seconds:.4g} s is too short a period for a pivot {pivot_mm:g} mm from the"
        what += f" butt and a balance point at {balance_mm:g} mm"
        mend = "check both places, and count a swing as there and back"
        raise UnusableInput(what, "pendulum", mend)
    many = np.array(_swing(**draw_inputs(inputs, rng, draws)))
    doubts = list(period.doubts)
    possible = many[2] > 0
    if np.mean(possible) < 0.999:
        doubts.append(doubt("impossible_pendulum", where=Where(value=period.seconds)))
        many = many[:, possible]
    if abs(balance_mm - pivot_mm) < 4 * sqrt(balance_u_mm**2 + pivot_u_mm**2):
        doubts.append(doubt("short_pendulum", where=Where(value=pivot_mm)))
    return balance_of(
        best,
        many,
        source="measured",
        grip_mm=grip_mm,
        strike_mm=strike_mm,
        handle_front_mm=handle_front_mm,
        length_mm=length_mm,
        level=level,
        doubts=tuple(doubts),
    )


def _swing(mass_kg, balance_m, pivot_m, period_s, gravity):
    """Mass, balance point and inertia about it from a pendulum."""
    arm = np.abs(balance_m - pivot_m)
    about_pivot = mass_kg * gravity * arm * period_s**2 / (4 * pi**2)
    return mass_kg, balance_m, about_pivot - mass_kg * arm**2


def balance_of(
    best,
    draws,
    *,
    source,
    grip_mm,
    strike_mm,
    handle_front_mm=None,
    length_mm=None,
    level=0.95,
    doubts=(),
):
    """All figures from mass (kg), balance point (m) and inertia about it (kg m²).

    Parameters
    ----------
    best : sequence of 3 floats
        The three at their best values.
    draws : array_like, shape (3, n)
        The three, drawn together.
    source : str
        "measured" or "predicted".
    grip_mm, strike_mm, handle_front_mm, length_mm, level, doubts
        As in `measured_balance`.

    Returns
    -------
    Balance
    """
    grip, strike = grip_mm / 1000, strike_mm / 1000
    draws = np.asarray(draws, dtype=float)
    if abs(best[1] - grip) < 1e-6:
        what = f"the balance point lies in the grip, {grip_mm:g} mm"
        raise UnusableInput(what, "grip_mm", "give the middle of the hand")
    value, spread = _figures(best, grip, strike), _figures(draws, grip, strike)
    method = f"Monte Carlo, {draws.shape[1]} draws"
    estimates = {
        name: interval(spread[name], value[name], unit, level=level, method=method)
        for name, unit in FIGURES.items()
    }
    end = length_mm if length_mm is not None else max(strike_mm, 2 * best[1] * 1000)
    stations = np.linspace(grip_mm, end, 41)
    kick = _reaction(draws, grip, stations[:, None] / 1000)
    low, high = np.quantile(kick, [(1 - level) / 2, (1 + level) / 2], axis=1)
    centre = _reaction(best, grip, stations / 1000)
    return Balance(
        source=source,
        **estimates,
        reaction=Reaction(stations, centre, low, high, level),
        grip_mm=float(grip_mm),
        strike_mm=float(strike_mm),
        handle_front_mm=handle_front_mm,
        doubts=tuple(doubts),
        draws=draws,
    )


def _figures(body, grip_m, strike_m):
    """The figures by name; `body` is mass, balance point and inertia, scalar or drawn."""
    mass_kg, balance_m, inertia = body
    arm = balance_m - grip_m
    about_grip = inertia + mass_kg * arm**2
    return {
        "mass_g": 1e3 * mass_kg,
        "balance_mm": 1e3 * balance_m,
        "inertia_balance_kg_cm2": 1e4 * inertia,
        "inertia_grip_kg_cm2": 1e4 * about_grip,
        "percussion_mm": 1e3 * (grip_m + about_grip / (mass_kg * arm)),
        "effective_mass_free_g": 1e3 * effective_mass_kg(mass_kg, balance_m, inertia, strike_m),
        "effective_mass_gripped_g": 1e3 * about_grip / (strike_m - grip_m) ** 2,
    }


def effective_mass_kg(mass_kg, balance_m, inertia, strike_m):
    """Mass that a blow at `strike_m` feels of a free rigid tool: 1 / (1/m + b²/I)."""
    return 1 / (1 / mass_kg + (strike_m - balance_m) ** 2 / inertia)


def _reaction(body, grip_m, x_m):
    """Impulse at a fixed grip per unit impulse at x: m d (x - grip) / I_grip - 1."""
    mass_kg, balance_m, inertia = body
    arm = balance_m - grip_m
    return mass_kg * arm * (x_m - grip_m) / (inertia + mass_kg * arm**2) - 1


@dataclass(frozen=True)
class SideBySide:
    """Two balances, figure by figure: {figure, unit, first, second, difference, low, high,
    agree}, the interval being the difference's.
    """

    first: str
    second: str
    rows: tuple[dict, ...]
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "first": self.first,
            "second": self.second,
            "rows": [dict(row) for row in self.rows],
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a figure."""
        import pandas as pd

        return pd.DataFrame(list(self.rows))


def side_by_side(measured, predicted):
    """Measured beside predicted, the two taken as independent; a warning where they differ."""
    rows = []
    for name in FIGURES:
        a, b = getattr(measured, name), getattr(predicted, name)
        low = sqrt((b.value - b.low) ** 2 + (a.high - a.value) ** 2)
        high = sqrt((b.high - b.value) ** 2 + (a.value - a.low) ** 2)
        rows.append(_row(name, a, b, low, high))
    apart = ", ".join(row["figure"] for row in rows if not row["agree"])
    doubts = (doubt("measured_and_predicted_differ", where=Where(value=apart)),) if apart else ()
    return SideBySide(measured.source, predicted.source, tuple(rows), doubts)


def before_after(before, after):
    """A tool before and after a change; their draws must be paired, as `what_if` makes them."""
    level = before.mass_g.level
    spread = [
        _figures(one.draws, one.grip_mm / 1e3, one.strike_mm / 1e3) for one in (before, after)
    ]
    rows = []
    for name in FIGURES:
        a, b = getattr(before, name), getattr(after, name)
        gap = b.value - a.value
        low, high = np.quantile(
            spread[1][name] - spread[0][name], [(1 - level) / 2, (1 + level) / 2]
        )
        rows.append(_row(name, a, b, gap - float(low), float(high) - gap))
    return SideBySide("before", "after", tuple(rows), ())


def _row(name, a, b, down, up):
    """One figure of two balances and the interval of their difference."""
    gap = b.value - a.value
    return {
        "figure": name,
        "unit": FIGURES[name],
        "first": a.value,
        "second": b.value,
        "difference": gap,
        "low": gap - down,
        "high": gap + up,
        "agree": bool(gap - down <= 0 <= gap + up),
    }
