"""When to look at a growing study, how often that finds a ratio, and with how many blades?"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.stats.group_sequential import (
    GREATEST_MOST,
    LEAST_SIZE,
    growing_studies,
    look_bounds,
    normal_deviate,
)
from edgetest.wear.compare.looks import Looks

# Greatest number a side where nobody names one; the guide's table looks.
USUAL_MOST = 8
_STUDIES, _SEED = 4000, 11


@dataclass(frozen=True)
class LooksPlanned:
    """Looks fixed beforehand, and what they cost and find by simulation.

    `power` and `expected` (blades in all) at the ratio worth knowing, `expected_alike` where
    nothing differs; `fixed` the blades in all without looks.
    """

    looks: Looks
    ratio: float
    power: float
    expected: float
    expected_alike: float

    @property
    def fixed(self):
        """Blades in all of two heat treatments, read once at the end."""
        return 2 * self.looks.boundary.most

    def to_dict(self):
        """JSON-plain values."""
        return {
            **looks_table(self.looks),
            "ratio": self.ratio,
            "power": round(self.power, 3),
            "expected_blades": round(self.expected, 1),
            "expected_blades_alike": round(self.expected_alike, 1),
            "most_blades": self.fixed,
            "summary": self.summary(),
        }

    def summary(self):
        """When to look, and what it saves, in sentences."""
        sizes = self.looks.boundary.sizes
        return (
            f"Looks at {', '.join(map(str, sizes[:-1]))} and {sizes[-1]} blades a side, fixed from "
            f"now on: about {self.expected:.0f} blades in all where the true ratio is "
            f"{self.ratio:g} (found in {100 * self.power:.0f} % of studies), about "
            f"{self.expected_alike:.0f} where nothing differs, {self.fixed} at most. After each "
            "look's blades: `edgetest compare STUDY --look`."
        )


def plan_looks(ratio, sd, *, most=None, level=0.95, in_blocks=False, first=LEAST_SIZE):
    """Fix a look at every blade a side, from the first to the greatest number.

    Parameters
    ----------
    ratio : float
        Ratio of lives worth knowing.
    sd : float
        Scatter of log life between blades, readings included.
    most : int, optional
        Greatest number a side.
    level : float
    in_blocks : bool
        Whether each block holds a blade of each heat treatment.
    first : int
        Blades a side that are cut already: before them no look can be made any more. Three where
        they are fewer.

    Returns
    -------
    LooksPlanned

    Raises
    ------
    UnusableInput
        A greatest number that leaves no look before it.
    """
    most = USUAL_MOST if most is None else most
    first, cut = max(first, LEAST_SIZE), f", where {first} are cut already" * (first > LEAST_SIZE)
    if not first < most <= GREATEST_MOST:
        mend = f"give {first + 1} to {GREATEST_MOST}"
        if first >= GREATEST_MOST:
            mend = "leave the looks out: this test has as many blades as looks are planned for"
        raise UnusableInput(f"{most} blades a side at most{cut}", "most (--most)", mend)
    layout = "blocks" if in_blocks else "groups"
    bounds = look_bounds(tuple(range(first, most + 1)), level=level, layout=layout)
    power, expected = _expected(bounds, layout, np.log(ratio) / sd)
    _, alike = _expected(bounds, layout, 0.0)
    return LooksPlanned(Looks(bounds), ratio, power, expected, alike)


def _expected(bounds, layout, difference):
    """Share of simulated studies that claim a difference, and the blades in all they take."""
    rng = np.random.default_rng(_SEED)
    t, df = growing_studies(bounds.sizes, _STUDIES, rng, layout=layout, difference=difference)
    z = normal_deviate(t, df)
    claims = z > bounds.bounds()[:, None]
    ends = claims | bounds.futile(z)
    ends[-1] = True
    at = ends.argmax(axis=0)
    return claims[at, np.arange(_STUDIES)].mean(), 2 * np.array(bounds.sizes)[at].mean()


def looks_table(looks):
    """The looks as plain values, as study.toml keeps them."""
    bounds = looks.boundary
    table = {
        "sizes": list(bounds.sizes),
        "levels": [round(level, 6) for level in bounds.levels],
        "constant": round(bounds.constant, 4),
        "shape": bounds.shape,
        "level": bounds.level,
    }
    if looks.cut_before:
        table["cut_before"] = looks.cut_before
    made = [
        {"size": one.size, "decision": one.decision}
        | ({"blades": list(one.blades), "answer": one.answer} if one.blades else {})
        for one in looks.made
    ]
    return {**table, "made": made} if made else table
