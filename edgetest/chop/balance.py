"""How a tool balances and swings: its figures from mass, balance point and inertia.

x runs from the butt towards the tip, mm. The hand is a pivot at `grip_mm`; the blow falls at
`strike_mm`.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields
from edgetest.stats.propagate import Input, draw_inputs, interval

FIGURES = {
    "mass_g": "g",
    "balance_mm": "mm",
    "inertia_balance_kg_cm2": "kg cm²",
    "inertia_grip_kg_cm2": "kg cm²",
    "percussion_mm": "mm",
    "effective_mass_free_g": "g",
    "effective_mass_gripped_g": "g",
}


# Standard uncertainty of the middle of a hand, and of the middle of the blows, found by eye and
# read from a rule: no source.
HAND_U_MM = 3.0
FAR = 1.5  # of the strike point: so far no tool reaches beyond it; common practice, no source


@dataclass(frozen=True)
class Hold:
    """Where a tool is held and where it strikes, along x from the butt, mm; the `_u_` are
    standard uncertainties.
    """

    grip_mm: float
    strike_mm: float
    handle_front_mm: float | None = None
    length_mm: float | None = None
    grip_u_mm: float = HAND_U_MM
    strike_u_mm: float = HAND_U_MM

    def drawn_m(self, rng, draws):
        """Draws of grip and strike point, shape (2, draws), m."""
        places = {
            "grip": Input(self.grip_mm / 1e3, self.grip_u_mm / 1e3),
            "strike": Input(self.strike_mm / 1e3, self.strike_u_mm / 1e3),
        }
        return np.array(list(draw_inputs(places, rng, draws).values()))


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
        return json_fields(self)


def counted_behind(one):
    """An estimate counted the other way: so far behind, of so far ahead."""
    return replace(one, value=-one.value, low=-one.high, high=-one.low)


@dataclass(frozen=True)
class Balance:
    """Balance, inertia, percussion centre and effective masses, measured or predicted.

    `effective_mass_free_g` is what a target feels of the tool flying free at the strike
    point; `effective_mass_gripped_g` of the tool turning about the grip. `percussion_off` says
    where the percussion centre lies if that is no place on the tool: then nothing shows it.
    `length_mm` is the tool's, None where it is not known.
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
    percussion_off: str = ""
    length_mm: float | None = None

    @property
    def percussion_at_tip(self):
        """Whether the percussion centre may lie at the very tip, or past it: no place to strike.

        A blow is aimed there by eye, so the tip lies as much nearer as a strike point is unsure.
        """
        if self.length_mm is None or self.percussion_off:
            return False
        return self.percussion_mm.high + 2 * HAND_U_MM >= self.length_mm

    @property
    def blow_apart_mm(self):
        """How far the blow as given falls from the percussion centre, mm; below 0: nearer the
        hand.
        """
        return self.strike_mm - self.percussion_mm.value

    def at_tip_words(self):
        """That the percussion centre is no place to strike with, and how far off the blow is.

        Returns
        -------
        str
            "" where it lies short of the tip, or is nowhere on the tool.
        """
        if not self.percussion_at_tip:
            return ""
        side = "nearer the hand" if self.blow_apart_mm < 0 else "nearer the tip"
        return (
            f"at the tip ({self.length_mm:.0f} mm) or past it; the blow as given, at"
            f" {self.strike_mm:.0f} mm, falls {abs(self.blow_apart_mm):.0f} mm {side}"
        )

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
            **json_fields(self, without=("draws",)),
            "balance_from_handle_mm": ahead.to_dict() if ahead else None,
        }

    def summary(self):
        """The swing in a sentence."""
        ahead = self.balance_from_handle_mm
        where = self.balance_mm.summary()
        if ahead is not None:
            where = f"{ahead.summary()} ahead of the handle"
            if ahead.value < 0:
                where = f"{counted_behind(ahead).summary()} behind the front of the handle"
        kick = f"no kick when it strikes at {self.percussion_mm.summary()} from the butt"
        if self.percussion_at_tip:
            kick = f"percussion centre {self.percussion_mm.summary()} from the butt,"
            kick += f" {self.at_tip_words()}"
        if self.percussion_off:
            kick = f"a kick wherever it strikes (percussion centre {self.percussion_off})"
        return (
            f"{self.source}: {self.mass_g.summary()}, balance {where}, inertia about the grip"
            f" {self.inertia_grip_kg_cm2.summary()}, {kick}; the blow at {self.strike_mm:.0f} mm"
            f" has {self.effective_mass_free_g.summary()} behind it"
        )


def balance_of(best, draws, hold, *, source, level=0.95, doubts=()):
    """All figures from mass (kg), balance point (m) and inertia about it (kg m²).

    Parameters
    ----------
    best : sequence of 3 floats
        The three at their best values.
    draws : array_like, shape (5, n)
        The three, and grip and strike point (m), drawn together.
    hold : Hold
        Where the hand turns the tool and where the blow falls.
    source : str
        "measured" or "predicted".
    level : float
        Coverage.
    doubts : sequence of Doubt
        Of the three.

    Returns
    -------
    Balance

    Raises
    ------
    UnusableInput
        If the balance point lies in the grip.
    """
    grip, strike = hold.grip_mm / 1000, hold.strike_mm / 1000
    draws = np.asarray(draws, dtype=float)
    not_in_the_grip(best[1], hold)
    value, spread = figures(best, grip, strike), figures(draws[:3], *draws[3:])
    method = f"Monte Carlo, {draws.shape[1]} draws"
    estimates = {
        name: interval(spread[name], value[name], unit, level=level, method=method)
        for name, unit in FIGURES.items()
    }
    end, said = hold.length_mm, list(doubts)
    off = _off_the_tool(estimates["percussion_mm"], hold)
    if off:
        met = Where(value=estimates["percussion_mm"].value)
        said.append(doubt("no_kickless_point", place=off, where=met))
    if end is None:
        end = max(hold.strike_mm, 2 * best[1] * 1000)
    stations = np.linspace(hold.grip_mm, end, 41)
    kick = _reaction(draws[:3], draws[3], stations[:, None] / 1000)
    low, high = np.quantile(kick, [(1 - level) / 2, (1 + level) / 2], axis=1)
    centre = _reaction(best, grip, stations / 1000)
    return Balance(
        source=source,
        **estimates,
        reaction=Reaction(stations, centre, low, high, level),
        grip_mm=float(hold.grip_mm),
        strike_mm=float(hold.strike_mm),
        handle_front_mm=hold.handle_front_mm,
        doubts=tuple(said),
        draws=draws,
        percussion_off=off,
        length_mm=hold.length_mm,
    )


def not_in_the_grip(balance_m, hold):
    """Refuse a tool that would turn about its own balance point."""
    if abs(balance_m - hold.grip_mm / 1000) < 1e-6:
        what = f"the balance point lies in the grip, {hold.grip_mm:g} mm"
        raise UnusableInput(what, "grip_mm", "give the middle of the hand")


def _off_the_tool(percussion, hold):
    """Where a percussion centre lies that is no place on the tool; "" where it may be one."""
    if percussion.value < 0:
        return "behind the butt"
    far = percussion.value > FAR * (hold.length_mm or hold.strike_mm)
    if hold.length_mm is not None:
        return "beyond the tip" if far or percussion.value > hold.length_mm else ""
    return "far beyond the strike point" if far else ""


def figures(body, grip_m, strike_m):
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
    """Effective mass at `strike_m` of a free rigid body: 1 / (1/m + b²/I)."""
    return 1 / (1 / mass_kg + (strike_m - balance_m) ** 2 / inertia)


def _reaction(body, grip_m, x_m):
    """Impulse at a fixed pivot per unit impulse at x: m d (x - grip) / I_grip - 1."""
    mass_kg, balance_m, inertia = body
    arm = balance_m - grip_m
    return mass_kg * arm * (x_m - grip_m) / (inertia + mass_kg * arm**2) - 1
