"""Which invented study do the tests of curves start from?"""

import numpy as np

STAGES = (0, 10, 20, 40, 80, 160, 320)


def study(
    lives=(200.0, 260.0, 340.0),
    *,
    power=2.0,
    cv=0.0,
    place_sd=0.0,
    places=3,
    seed=1,
    stages=STAGES,
    fresh=2.0,
    limit=10.0,
):
    """Readings of an invented study as keyword arguments of fit_study."""
    rng = np.random.default_rng(seed)
    out = {"blade": [], "cuts": [], "value": [], "station": []}
    for i, life in enumerate(lives):
        rate = (limit**power - fresh**power) / life
        for k in range(places):
            own = place_sd * rng.standard_normal()
            for n in stages:
                width = (fresh**power + rate * n) ** (1 / power)
                out["blade"].append("ABCDEFGH"[i])
                out["cuts"].append(n)
                out["station"].append(str(20 * k + 10))
                out["value"].append(width * np.exp(own + cv * rng.standard_normal()))
    return {key: np.array(column) for key, column in out.items()}
