"""What do a shop's earlier studies say of the scatter between its blades?"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import comparison_of
from edgetest.wear.compare.shop_history import learn_scatter

# Least share of the scatter of lives that is taken to be the blades' own where the readings
# could explain nearly all of it; own choice.
LEAST_OWN = 1 / 3


@dataclass(frozen=True)
class Earlier:
    """One earlier study: scatter of log lives between blades, the readings' part, and df."""

    sd: float
    reading_se: float
    df: float

    @property
    def own(self):
        """Scatter between blades with the readings' part taken out."""
        return max(self.sd**2 - self.reading_se**2, (LEAST_OWN * self.sd) ** 2) ** 0.5


def earlier_studies(folders, *, workers=2, progress=None):
    """Scatter between blades in each of some earlier studies.

    Returns
    -------
    list of Earlier

    Raises
    ------
    UnusableInput
        If an earlier study tells nothing of the scatter (one blade a heat treatment).
    """
    return [_one(folder, workers, progress) for folder in folders]


def _one(folder, workers, progress):
    """One earlier study's scatter."""
    result = comparison_of(open_source(folder), workers=workers, progress=progress)
    groups = result.comparison.groups if result.comparison else ()
    groups = [group for group in groups if group.n > 1 and group.sd_log_life is not None]
    free = sum(group.n - 1 for group in groups)
    if free < 1:
        raise UnusableInput(
            "this study has no heat treatment with two blades or more",
            where=str(folder),
            mend="leave it out of the history",
        )
    squares = sum((group.n - 1) * group.sd_log_life**2 for group in groups)
    curves = result.fit.blades if result.has_curves else ()
    se = [curve.life.log_life_se for curve in curves if curve.life is not None]
    se = [one for one in se if np.isfinite(one)]
    reading = float(np.sqrt(np.mean(np.square(se)))) if se else 0.0
    return Earlier(max((squares / free) ** 0.5, 1e-3), reading, free)


def shop_history(folders, *, workers=2, progress=None):
    """Scatter of lives between blades in earlier studies, readings included; None for no folder.

    Raises
    ------
    UnusableInput
        If an earlier study tells nothing of the scatter (one blade a heat treatment).
    """
    found = earlier_studies(folders, workers=workers, progress=progress)
    return learn_scatter([one.sd for one in found], [one.df for one in found]) if found else None


def scatter_before(folders, *, workers=2, progress=None):
    """Scatter between blades alone, for a plan that adds its own readings' part.

    Returns
    -------
    (ShopHistory or None, float)
        The scatter with the readings' part taken out of each study's, and that part: the root
        mean square standard uncertainty of a log life, over the studies.
    """
    found = earlier_studies(folders, workers=workers, progress=progress)
    if not found:
        return None, 0.0
    history = learn_scatter([one.own for one in found], [one.df for one in found])
    return history, float(np.sqrt(np.mean([one.reading_se**2 for one in found])))
