"""Which law do the readings prefer? Laws compared by AICc on the stage means of a study."""

from dataclasses import dataclass
from math import exp, inf, log

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.wear.curve.batch_fit import Curves, fit_shapes
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.power_profiles import POWER, power_profile
from edgetest.wear.curve.stage_cells import stage_cells

CANDIDATES = {
    1: ("wedge, p = 2", "wedge, p shared", "wedge, p = 1", "saturating"),
    -1: ("falling_power", "falling_exponential", "falling_hyperbolic"),
}


@dataclass(frozen=True)
class LawScore:
    """One law's fit: `n_params` in all, residual SD of log stage means, AICc and its weight.

    `misfits`: whether the readings bend otherwise than it; None where that was not asked. The
    first of a rank may do so too: it is the nearest of those that were tried.
    """

    law: str
    n_params: int
    residual_sd: float
    aicc: float
    behind: float
    weight: float
    power: float | None = None
    misfits: bool | None = None

    @property
    def form(self):
        """The law's name without its power."""
        return self.law.partition(",")[0]

    def to_dict(self):
        """Plain values for JSON."""
        return {key: plain(v) if isinstance(v, float) else v for key, v in vars(self).items()}


def rank_laws(readings, *, direction=1):
    """Compare the laws of one direction, best first, on readings that are numbers.

    Parameters
    ----------
    readings : WearReadings
        From `edgetest.wear.curve.stage_cells.wear_readings`; bounds are left out.
    direction : int
        +1 for readings that grow with wear, -1 for those that fall.

    Returns
    -------
    tuple of LawScore
        `behind` is the distance in AICc from the best; below 2 is no difference worth a word,
        above 10 leaves the law no support.

    Raises
    ------
    UnusableInput
        With too few stages to tell laws apart.

    References
    ----------
    .. [1] C. M. Hurvich and C.-L. Tsai, "Regression and time series model selection in small
       samples", Biometrika 76 (1989) 297-307.
    """
    data = readings.take(np.isfinite(readings.value))
    made = [stage_cells(part) for part in data.by_blade().values()]
    made = [c for c in made if len(c.stages) >= 4]
    n = sum(len(c.stages) for c in made)
    if n - 4 * len(made) < 3:
        what = f"{n} stages of {len(made)} blades that have four or more"
        raise UnusableInput(
            what, where="cuts", mend="laws can be told apart with six stages a blade"
        )
    curves = _means(made)
    scores = [_score(name, curves, n, len(made)) for name in CANDIDATES[direction]]
    best = min(s.aicc for s in scores)
    total = sum(exp((best - s.aicc) / 2) for s in scores)
    ranked = [
        LawScore(
            s.law,
            s.n_params,
            s.residual_sd,
            s.aicc,
            s.aicc - best,
            exp((best - s.aicc) / 2) / total,
            s.power,
        )
        for s in scores
    ]
    return tuple(sorted(ranked, key=lambda s: s.aicc))


def _means(made):
    """Stage means (over places) as padded curves of equal weight."""
    stages = max(len(c.stages) for c in made)
    cuts, mean, root = np.zeros((3, len(made), stages))
    for i, c in enumerate(made):
        s = len(c.stages)
        cuts[i, :s] = c.stages
        mean[i, :s] = np.bincount(c.stage, c.log_value) / np.bincount(c.stage)
        root[i, :s] = 1.0
    return Curves(cuts, mean, root)


def _score(name, curves, n, n_blades):
    law = LAWS[name.split(",")[0]]
    power, shared = None, 0
    if name.endswith("shared"):
        power, shared = _best_power(law, curves), 1
    elif law.name == "wedge":
        power = float(name.split("=")[1])
    held = {} if power is None else {POWER: log(power)}
    sse = float(fit_shapes(law, curves, held=held).sse.sum())
    n_params = n_blades * (1 + len(law.psi_names) - len(held)) + shared
    k = n_params + 1  # and the residual variance
    aicc = (
        n * log(max(sse, 1e-300) / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1) if n > k + 1 else inf
    )
    sd = float(np.sqrt(sse / max(n - n_params, 1)))
    return LawScore(name, n_params, sd, aicc, 0.0, 0.0, power)


def _best_power(law, curves):
    """Power of least squares, no prior: laws are compared on the readings alone."""
    grid = np.log(2.0) + np.linspace(-2.3, 2.3, 24)
    for _ in range(4):
        sse = power_profile(law, curves, grid).sum(axis=0)
        step = grid[1] - grid[0]
        grid = grid[np.argmin(sse)] + np.linspace(-step, step, 9)
    return float(np.exp(grid[4]))
