"""What does a chip or a roll do to the outline of an edge? Forms of damage, grown if wished.

Positions run along the edge in µm; departures are above nought where steel stands out.
"""

from dataclasses import dataclass, replace

import numpy as np

# Length is told where a departure exceeds this share of its depth.
LENGTH_SHARE = 0.1


@dataclass(frozen=True)
class Harm:
    """One damage: ``form`` of the outline, its middle, full reach and greatest departure, µm.

    ``kind`` is 'chip' or 'roll'; ``out`` says that steel stands out beyond the line. ``lean`` (in
    heights, to the right) bends the summit of a fold over, and ``bulge`` widens it over its neck
    by that share. ``seed`` fixes what is random in a form. ``bright`` is the light of a line
    behind a fold, as a share of the ground's.
    """

    kind: str
    form: str
    at_um: float
    reach_um: float
    deep_um: float
    seed: int
    out: bool = False
    lean: float = 0.0
    bulge: float = 0.0
    bright: float = 0.0

    def grown(self, wider, deeper):
        """The same damage, wider and deeper."""
        return replace(self, reach_um=self.reach_um * wider, deep_um=self.deep_um * deeper)


def departure(harm, at):
    """Departure of the outline, µm, at places ``at``; nought outside the reach."""
    grid = np.linspace(-1.0, 1.0, 2001)
    form = FORMS[harm.form](grid, np.random.default_rng(harm.seed))
    form[[0, -1]] = 0.0
    shape = np.interp(2 * (at - harm.at_um) / harm.reach_um, grid, form)
    return (harm.deep_um if harm.out else -harm.deep_um) * shape


def _bowl(x, rng):
    """A bite with a round floor, its lowest place off the middle."""
    power, steep = rng.uniform(1.7, 3.2), rng.uniform(0.6, 1.0)
    return (1 - np.abs(_skewed(x, rng.uniform(-0.3, 0.3))) ** power) ** steep


def _vee(x, rng):
    """A notch with straight flanks and a narrow rounded ground."""
    nose = rng.uniform(0.04, 0.15)
    away = np.sqrt(_skewed(x, rng.uniform(-0.4, 0.4)) ** 2 + nose**2)
    return np.clip((np.hypot(1, nose) - away) / (np.hypot(1, nose) - nose), 0, 1)


def _ragged(x, rng):
    """Several bites in one another, with terraces where the crack changed its plane."""
    depth = np.zeros_like(x)
    for number in range(int(rng.integers(3, 7))):
        half = rng.uniform(0.2, 0.6)
        middle = rng.uniform(-1 + half, 1 - half)
        deep = 1.0 if number == 0 else rng.uniform(0.3, 0.95)
        inner = np.clip(1 - np.abs((x - middle) / half) ** rng.uniform(1.2, 4.0), 0, 1)
        depth = np.maximum(depth, deep * inner ** rng.uniform(0.3, 0.9))
    foot = rng.uniform(0.15, 0.35) * np.clip(1 - np.abs(x) ** 6, 0, 1)
    levels = np.sort(rng.uniform(0.15, 1.0, int(rng.integers(2, 5))))
    for level in levels:  # a terrace: depths near a level are drawn to it
        near = np.exp(-(((depth - level) / 0.06) ** 2))
        depth = depth + 0.7 * near * (level - depth)
    depth = np.maximum(depth, foot)
    return depth / max(depth.max(), 1e-9)


def _swelling(x, rng):
    """A fold seen from the side: a smooth rise, flatter on one side."""
    return np.cos(np.pi / 2 * _skewed(x, rng.uniform(-0.35, 0.35))) ** rng.uniform(1.0, 2.2)


def _lip(x, rng):
    """A fold with a flat crest and short flanks."""
    flank = rng.uniform(0.25, 0.5)
    rise = np.clip((1 - np.abs(x)) / flank, 0, 1)
    crest = 1 - rng.uniform(0.0, 0.25) * (0.5 + 0.5 * np.sin(5 * x + rng.uniform(0, 6)))
    shape = rise**2 * (3 - 2 * rise) * crest
    return shape / max(shape.max(), 1e-9)


def _skewed(x, by):
    """Places drawn together on one side and apart on the other, ends kept."""
    return x + by * (1 - x**2)


FORMS = {"bowl": _bowl, "vee": _vee, "ragged": _ragged, "swelling": _swelling, "lip": _lip}


def told_reach_um(harm):
    """Where the departure exceeds a tenth of its depth: its middle and its length, µm.

    Of a fold that leans over, the outline is pushed along with its summit.
    """
    at = harm.at_um + harm.reach_um * np.linspace(-0.5, 0.5, 2001)
    share = np.abs(departure(harm, at)) / harm.deep_um
    high = (at + pushed_um(harm, at, share))[share > LENGTH_SHARE]
    return float(high.min() + high.max()) / 2, float(high.max() - high.min())


def pushed_um(harm, at, share):
    """How far along a place of a fold is pushed whose departure is this share of its depth, µm."""
    return (harm.lean * harm.deep_um + harm.bulge * (at - harm.at_um)) * share**2
