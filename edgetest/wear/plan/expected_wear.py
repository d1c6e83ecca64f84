"""How surely would readings at given stages tell one blade's life?"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.wear.curve.laws import LAWS

# Weak knowledge beside the data of a law's bend (the wedge's power, else its pace): SD of log.
BEND_SD = 0.5
# SD of the log reading's departure from the law by the expected life; the wear curves' own
# deviation, no source: such a departure hardly shows beside readings good to 5 %.
DEVIATION_SD = 0.05
# Bend that a law is thought to have: the power of the wedge; else its scale of cuts over the
# life. No source; the plan allows for a factor of 1.5 either way.
BENDS = {"wedge": 2.0, "saturating": 1.0, "falling_power": 0.5}
# Of what is left at the limit, the share that the falling part still holds: the rest is floor.
FALLING_SHARE = 0.5


@dataclass(frozen=True)
class ExpectedWear:
    """What is thought beforehand of a blade's wear and of one reading of it.

    Attributes
    ----------
    life : float
        Cuts to the limit.
    fresh, limit : float
        Reading of a fresh edge and of one that counts as dull, in the reading's unit.
    reading_cv : float
        Relative standard uncertainty of one reading.
    law : str
        One of `edgetest.wear.curve.laws.LAWS`.
    bend : float, optional
        The wedge's power p; for other laws their scale of cuts as a share of the life. Known
        beforehand to a factor of about e^±0.5; default: see `BENDS`.
    deviation : float
        Standard deviation, by the expected life, of the log reading's departure from the law
        (a Brownian path in cuts).
    """

    life: float
    fresh: float = 1.0
    limit: float = 10.0
    reading_cv: float = 0.05
    law: str = "wedge"
    bend: float | None = None
    deviation: float = DEVIATION_SD

    @property
    def usual_bend(self):
        """The bend given, or what the law is thought to have."""
        if self.bend is not None:
            return self.bend
        if self.law in BENDS:
            return BENDS[self.law]
        left = FALLING_SHARE * self.limit / self.fresh  # of the falling part, at the limit
        return 1 / (-np.log(left) if self.law == "falling_exponential" else 1 / left - 1)


def stage_se(cuts, wear):
    """Standard uncertainty of a blade's log life from readings at the given stages.

    Linearised Gaussian model: the law with its fresh reading known to a factor of about three
    and its bend to e^±0.5, a Brownian departure from the law, and independent readings. The
    life is where law and departure together meet the limit (kriging with a trend [1]_, which
    without departure is the information matrix of the law).

    Parameters
    ----------
    cuts : array_like, shape (..., stages)
        Cumulative cuts; leading axes are alternatives.
    wear : ExpectedWear
        Its `reading_cv` is that of a stage's mean reading.

    Returns
    -------
    ndarray, shape (...)
        nan where the law cannot bend so and still reach the limit.

    Raises
    ------
    UnusableInput
        If the limit does not lie where the law goes.

    References
    ----------
    .. [1] N. Cressie, Statistics for Spatial Data (Wiley 1993), section 3.4.
    """
    law = LAWS[wear.law]
    check_limit(wear)
    n = np.asarray(cuts, dtype=float)
    target = np.log(wear.limit / wear.fresh)
    free, life = 1 - law.sets, np.array([wear.life])
    psi = np.zeros(2)
    psi[free] = np.log(wear.usual_bend * (1.0 if wear.law == "wedge" else wear.life))
    with np.errstate(invalid="ignore", divide="ignore"):
        psi[law.sets] = law.meets(target, wear.life, psi)
        at, end = law.slopes(n, psi), law.slopes(life, psi)[0]
        rate = float(law.rate(life, psi)[0])
        # By log fresh, log life and log bend, with the limit met at the life throughout.
        by = at[..., law.sets] / end[law.sets]
    if not np.isfinite(psi).all():
        return np.full(n.shape[:-1], np.nan)
    jac = np.stack([1 - by, -by * rate, at[..., free] - by * end[free]], axis=-1)
    walk = wear.deviation**2 / wear.life
    noise = wear.reading_cv**2 * np.eye(n.shape[-1])
    cov = noise + walk * np.minimum(n[..., :, None], n[..., None, :])
    shared = walk * np.minimum(n, wear.life)  # of a stage's departure with that at the life
    solved = np.linalg.solve(cov, np.concatenate([jac, shared[..., None]], axis=-1))
    across = np.swapaxes(jac, -1, -2)
    information = across @ solved[..., :3] + np.diag([1.0, 0.0, 1 / BEND_SD**2])
    left = wear.deviation**2 - np.einsum("...s,...s->...", shared, solved[..., 3])
    weight = np.array([0.0, 1.0, 0.0]) + (across @ solved[..., 3:])[..., 0] / rate
    known = np.linalg.solve(information, weight[..., None])[..., 0]
    return np.sqrt(np.einsum("...p,...p->...", weight, known) + left / rate**2)


def check_limit(wear):
    """Refuse a limit that the law does not reach from the fresh edge."""
    if wear.law not in LAWS:
        raise UnusableInput(f'"{wear.law}" is not a law', "law", f"one of: {', '.join(LAWS)}")
    rises = LAWS[wear.law].direction > 0
    ends = (wear.fresh, wear.limit) if rises else (wear.limit, wear.fresh)
    if 0 < ends[0] < ends[1]:
        return
    side = "above" if rises else "below"
    raise UnusableInput(
        f"{wear.limit:g} is not {side} the fresh edge's {wear.fresh:g}",
        "limit",
        f"choose a {'larger' if rises else 'smaller'} limit, or say what a fresh edge reads",
    )
