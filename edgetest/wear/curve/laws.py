"""Laws of wear: how a reading runs with the cuts, its slopes, and the cuts that reach a limit.

Every law is written as reading(n) = scale × shape(n; psi) with shape(0) = 1, so that the scale
(the fresh reading) is a plain mean on the log scale, and a limit L is reached at the cuts where
log shape = log(L / scale). `psi` are unbounded numbers (logs or logits), the derived parameters
are the ones a maker reads. Arrays: `n` (..., S) cuts, `psi` (..., k). In the formulas w0 and y0
are the fresh readings; p, K, G, t, b, c and the final reading f are fitted.

    wedge (width, worn area)         w = (w0^p + K n)^(1/p)
    saturating (severing force)      y = y0 (1 + G (1 - exp(-n / t)))
    falling_power (card cut)         y = y0 (1 + n / b)^(-c)
    falling_exponential (depth)      y = f + (y0 - f) exp(-n / t)
    falling_hyperbolic (depth)       y = f + (y0 - f) / (1 + n / t)

The wedge has p = 2 for a width and 1 for a worn area where every cut takes the same volume
(w² / (4 tan α) per length of an edge of 2α included; Archard 1953). No published exponent for
knife edges was found; turning tools have 1/p of 0.2 to 0.7, milling tools 0.4 to 1.2. The other
laws are empirical: common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import numpy as np


@dataclass(frozen=True)
class Law:
    """One law: `log_shape(n, psi)`, its slopes, its inverse, and what its parameters mean.

    `direction` is +1 where the reading grows with wear and the limit lies above, -1 where it
    falls and the limit lies below.
    """

    name: str
    formula: str
    direction: int
    psi_names: tuple[str, ...]
    log_shape: Callable = field(repr=False)
    slopes: Callable = field(repr=False)  # (..., S, k): d log_shape / d psi
    cuts_at: Callable = field(repr=False)  # cuts at which log_shape equals a given value
    sets: int  # place of the psi that is set where the curve is to reach a given log_shape
    meets: Callable = field(repr=False)  # its value, from that log_shape, the cuts and the others
    named: Callable = field(repr=False)  # (log_scale, psi) -> {name: (value, gradient of log)}
    grid: np.ndarray = field(repr=False)  # (G, k) psi to start from, for a span of one cut
    span_power: tuple[int, ...]  # how the psi of the grid move with the log of the span
    units: dict[str, str]  # of the named parameters; "{unit}" stands for the reading's
    valid: str
    source: str

    @property
    def clock(self):
        """Place of the psi that sets the pace, and +1 where it is a log of cuts, -1 of a rate.

        The shape depends on log n - way x clock: on nothing else of the two.
        """
        place = next(i for i, way in enumerate(self.span_power) if way)
        return place, self.span_power[place]

    def rate(self, n, psi):
        """Change of log_shape per change of log n (..., S): the clock's slope the other way."""
        place, way = self.clock
        return -way * self.slopes(n, psi)[..., place]

    def starts(self, span):
        """Start values of psi (B, G, k) for curves of `span` (B,) cuts."""
        move = np.log(np.maximum(span, 1e-12))[:, None] * np.array(self.span_power)
        return self.grid + move[:, None]

    def box(self, span):
        """Ends of psi (B, k) beyond which curves of `span` (B,) cuts do not change."""
        move = np.log(np.maximum(span, 1e-12))[:, None] * np.array(self.span_power)
        return self.grid.min(axis=0) - 1.5 + move, self.grid.max(axis=0) + 1.5 + move


def _col(psi, i):
    return psi[..., i, None]


# --- wedge: w = (w0^p + K n)^(1/p); psi = log r, log p with r = K / w0^p -------------------


def _wedge_shape(n, psi):
    # log(1 + x), not log1p: four times faster, and 1e-16 of a log is nothing here.
    return np.log(1 + np.exp(_col(psi, 0)) * n) * np.exp(-_col(psi, 1))


def _wedge_slopes(n, psi):
    grown, share = 1 + np.exp(_col(psi, 0)) * n, np.exp(-_col(psi, 1))
    out = np.empty((*grown.shape, 2))
    out[..., 0] = share - share / grown
    out[..., 1] = -np.log(grown) * share
    return out


def _wedge_cuts(target, psi):
    grown = np.expm1(np.exp(psi[..., 1]) * target)
    return np.where(grown > 0, grown * np.exp(-psi[..., 0]), 0.0)


def _wedge_meets(target, n, psi):
    return np.log(np.expm1(np.exp(psi[..., 1]) * target) / n)


def _wedge_named(log_scale, psi):
    p = np.exp(psi[1])
    return {
        "w0": (np.exp(log_scale), np.array([1.0, 0, 0])),
        "K": (np.exp(psi[0] + p * log_scale), np.array([p, 1.0, p * log_scale])),
        "p": (p, np.array([0, 0, 1.0])),
    }


# --- saturating: F = F0 (1 + G (1 - exp(-n / t))); psi = log G, log t -----------------------


def _saturating_shape(n, psi):
    return np.log1p(-np.exp(_col(psi, 0)) * np.expm1(-n * np.exp(-_col(psi, 1))))


def _saturating_slopes(n, psi):
    gain, x = np.exp(_col(psi, 0)), n * np.exp(-_col(psi, 1))
    shape = 1 - gain * np.expm1(-x)
    return np.stack([-gain * np.expm1(-x) / shape, -gain * x * np.exp(-x) / shape], axis=-1)


def _saturating_cuts(target, psi):
    share = np.expm1(target) / np.exp(psi[..., 0])
    inside = np.clip(share, 0, 1 - 1e-16)
    return np.where(share >= 1, np.inf, -np.log1p(-inside) * np.exp(psi[..., 1]))


def _saturating_meets(target, n, psi):
    return np.log(np.expm1(target) / -np.expm1(-n * np.exp(-psi[..., 1])))


def _saturating_named(log_scale, psi):
    return {
        "fresh": (np.exp(log_scale), np.array([1.0, 0, 0])),
        "gain": (np.exp(psi[0]), np.array([0, 1.0, 0])),
        "cuts_scale": (np.exp(psi[1]), np.array([0, 0, 1.0])),
    }


# --- falling power: y = y0 (1 + n / b)^(-c); psi = log b, log c -----------------------------


def _power_shape(n, psi):
    return -np.exp(_col(psi, 1)) * np.log1p(n * np.exp(-_col(psi, 0)))


def _power_slopes(n, psi):
    x, c = n * np.exp(-_col(psi, 0)), np.exp(_col(psi, 1))
    return np.stack([c * x / (1 + x), -c * np.log1p(x)], axis=-1)


def _power_cuts(target, psi):
    grown = np.expm1(-target / np.exp(psi[..., 1]))
    return np.where(grown > 0, grown * np.exp(psi[..., 0]), 0.0)


def _power_meets(target, n, psi):
    return np.log(-target / np.log1p(n * np.exp(-psi[..., 0])))


def _power_named(log_scale, psi):
    return {
        "fresh": (np.exp(log_scale), np.array([1.0, 0, 0])),
        "cuts_scale": (np.exp(psi[0]), np.array([0, 1.0, 0])),
        "exponent": (np.exp(psi[1]), np.array([0, 0, 1.0])),
    }


# --- falling to a floor: y = y0 (f + (1 - f) g(n / t)); psi = logit f, log t ----------------
# g(x) is what is left of the falling part, `fade` -x g'(x), `time` the x at which so much is left.


def _floor(psi):
    return 1 / (1 + np.exp(-_col(psi, 0)))


def _falling_shape(left, n, psi):
    floor = _floor(psi)
    return np.log(floor + (1 - floor) * left(n * np.exp(-_col(psi, 1))))


def _falling_slopes(left, fade, n, psi):
    floor, x = _floor(psi), n * np.exp(-_col(psi, 1))
    shape = floor + (1 - floor) * left(x)
    d_floor = (1 - left(x)) * floor * (1 - floor)
    return np.stack([d_floor / shape, (1 - floor) * fade(x) / shape], axis=-1)


def _falling_cuts(time, target, psi):
    floor = _floor(psi)[..., 0]
    left = (np.exp(target) - floor) / (1 - floor)  # at or below 0 it is never reached
    return np.where(left <= 0, np.inf, time(np.clip(left, 1e-300, 1.0)) * np.exp(psi[..., 1]))


def _falling_meets(left, target, n, psi):
    """Logit of the floor at which a reading is met with `left` of the falling part left."""
    share = left(n * np.exp(-psi[..., 1]))
    return np.log((np.exp(target) - share) / -np.expm1(target))


def _floor_named(log_scale, psi):
    floor = _floor(psi)[0]
    return {
        "fresh": (np.exp(log_scale), np.array([1.0, 0, 0])),
        "floor": (np.exp(log_scale) * floor, np.array([1.0, 1 - floor, 0])),
        "cuts_scale": (np.exp(psi[1]), np.array([0, 0, 1.0])),
    }


def _mesh(*axes):
    return np.stack([a.ravel() for a in np.meshgrid(*axes, indexing="ij")], axis=-1)


WEDGE = Law(
    name="wedge",
    formula="w = (w0^p + K n)^(1/p)",
    direction=1,
    psi_names=("log_rate", "log_power"),
    log_shape=_wedge_shape,
    slopes=_wedge_slopes,
    cuts_at=_wedge_cuts,
    sets=0,
    meets=_wedge_meets,
    named=_wedge_named,
    grid=_mesh(np.linspace(-6, 14, 21), np.log([0.7, 1.4, 2.0, 2.8, 5.0])),
    span_power=(-1, 0),
    units={"w0": "{unit}", "K": "{unit}^p per cut", "p": ""},
    valid="n >= 0, w0 > 0, K > 0, p > 0; limit above w0",
    source=(
        "p = 2: a wedge worn flat loses w²/(4 tan α) per length of edge, at a constant rate"
        " (Archard 1953); other p: an empirical bend of the same curve"
    ),
)
SATURATING = Law(
    name="saturating",
    formula="y = y0 (1 + G (1 - exp(-n / t)))",
    direction=1,
    psi_names=("log_gain", "log_cuts_scale"),
    log_shape=_saturating_shape,
    slopes=_saturating_slopes,
    cuts_at=_saturating_cuts,
    sets=0,
    meets=_saturating_meets,
    named=_saturating_named,
    grid=_mesh(np.linspace(-3, 3, 9), np.linspace(-3, 2, 8)),
    span_power=(0, 1),
    units={"fresh": "{unit}", "gain": "", "cuts_scale": "cuts"},
    valid="n >= 0, y0, G, t > 0; limit between y0 and y0 (1 + G)",
    source="empirical: severing force that grows and levels off; common practice, no source",
)
FALLING_POWER = Law(
    name="falling_power",
    formula="y = y0 (1 + n / b)^(-c)",
    direction=-1,
    psi_names=("log_cuts_scale", "log_exponent"),
    log_shape=_power_shape,
    slopes=_power_slopes,
    cuts_at=_power_cuts,
    sets=1,
    meets=_power_meets,
    named=_power_named,
    grid=_mesh(np.linspace(-6, 2, 9), np.linspace(-3, 2, 9)),
    span_power=(1, 0),
    units={"fresh": "{unit}", "cuts_scale": "cuts", "exponent": ""},
    valid="n >= 0, y0, b, c > 0; limit below y0",
    source="empirical: card cut per cycle; common practice, no source",
)


def _falling(name, formula, left, fade, time):
    """The law that falls to a floor as `left` says."""
    return Law(
        name=name,
        formula=formula,
        direction=-1,
        psi_names=("logit_floor", "log_cuts_scale"),
        log_shape=partial(_falling_shape, left),
        slopes=partial(_falling_slopes, left, fade),
        cuts_at=partial(_falling_cuts, time),
        sets=0,
        meets=partial(_falling_meets, left),
        named=_floor_named,
        grid=_mesh(np.linspace(-4, 3, 8), np.linspace(-4, 2, 9)),
        span_power=(0, 1),
        units={"fresh": "{unit}", "floor": "{unit}", "cuts_scale": "cuts"},
        valid="n >= 0, 0 < floor < y0, t > 0; limit between the floor and y0",
        source="empirical: depth of a chop falling to a floor; common practice, no source",
    )


FALLING_EXPONENTIAL = _falling(
    "falling_exponential",
    "y = floor + (y0 - floor) exp(-n / t)",
    left=lambda x: np.exp(-x),
    fade=lambda x: x * np.exp(-x),
    time=lambda left: -np.log(left),
)
FALLING_HYPERBOLIC = _falling(
    "falling_hyperbolic",
    "y = floor + (y0 - floor) / (1 + n / t)",
    left=lambda x: 1 / (1 + x),
    fade=lambda x: x / (1 + x) ** 2,
    time=lambda left: 1 / left - 1,
)

LAWS = {
    law.name: law
    for law in (WEDGE, SATURATING, FALLING_POWER, FALLING_EXPONENTIAL, FALLING_HYPERBOLIC)
}
