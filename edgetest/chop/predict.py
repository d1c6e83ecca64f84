"""Balance, swing and ringing of a tool predicted from its geometry, before it is ground."""

from copy import deepcopy
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtri

from edgetest.chop.balance import Balance, balance_of
from edgetest.chop.balances_compared import before_after
from edgetest.chop.beam import BendingMode, bending_modes
from edgetest.chop.tool_outline import ground_shifted, rigid_body
from edgetest.doubts import Where, doubt
from edgetest.estimate import Estimate, json_fields
from edgetest.stats.propagate import Input, draw_inputs, linear_u

DRAWS = 4000
LONG_PART_MM = 40.0  # from here on a part is glued or pinned along the steel; own choice
SLENDER = 5.0  # length by mean width from which steel counts as a beam; own choice


@dataclass(frozen=True)
class Ringing:
    """First bending mode with intervals: across the flat, or in the plane of the blow.

    `unstiffened` names the long parts, whose stiffness the model leaves out: where they are glued
    on, the truth may lie beyond the intervals.
    """

    mode: BendingMode
    frequency_hz: Estimate
    nodes_mm: tuple[Estimate, ...]
    unstiffened: tuple[str, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return {**self.mode.to_dict(), **json_fields(self, without=("mode",))}

    def summary(self):
        """The still points in words."""
        places = " and ".join(f"{node.summary()}" for node in self.nodes_mm)
        said = f"rings at {self.frequency_hz.summary()}, still at {places} from the butt"
        return f"{said}{self.left_out()}"

    def left_out(self):
        """That long parts count as weight alone, in brackets; "" where there are none."""
        if not self.unstiffened:
            return ""
        names = " and ".join(self.unstiffened)
        return f" ({names} counted as weight alone; glued on, they stiffen it and move all this)"


@dataclass(frozen=True)
class Prediction:
    """What the geometry says: balance and swing, and the first mode in both planes.

    The modes are None where the steel is no slender blade: beam theory says nothing of a block.
    """

    balance: Balance
    flat: Ringing | None
    edge: Ringing | None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def summary(self):
        """Swing and ringing in two sentences."""
        if self.flat is None:
            return self.balance.summary()
        return f"{self.balance.summary()}\nacross the flat it {self.flat.summary()}"


def predict(shape, hold, *, rng, draws=DRAWS, level=0.95):
    """Balance and first bending modes from an outline, with the measurements' uncertainty.

    The swing by Monte Carlo propagation (JCGM 101), the ringing by GUM linear propagation.

    Parameters
    ----------
    shape : Outline
        The tool.
    hold : Hold
        Where it is held and strikes; its length is the outline's.
    rng : numpy.random.Generator
        Source of the draws.
    draws, level
        Monte Carlo draws and coverage.

    Returns
    -------
    Prediction
    """
    material = shape.material
    inputs = {
        "thicker_mm": Input(0.0, shape.thickness_u_mm),
        "width_factor": Input(1.0, shape.width_relative_u),
        "length_factor": Input(1.0, shape.length_u_mm / shape.length_mm),
        "density_kg_m3": Input(material.density_kg_m3, material.density_u),
        "ground_shift": Input(0.0, shape.ground_u),
        **{f"part_{i}": Input(part.mass_g, part.mass_u_g) for i, part in enumerate(shape.parts)},
    }
    drawn = draw_inputs(inputs, rng, draws)
    parts = [drawn.pop(f"part_{i}") for i in range(len(shape.parts))]
    body = np.array(rigid_body(shape, **drawn, part_g=parts))
    many = np.vstack([body, hold.drawn_m(rng, draws)])
    best = [float(one) for one in rigid_body(shape)]
    hold = replace(hold, length_mm=float(shape.x_mm[-1]))
    balance = balance_of(best, many, hold, source="predicted", level=level)
    balance = replace(balance, doubts=(*balance.doubts, *_of_shape(shape, balance)))
    if not slender(shape):
        return Prediction(balance, None, None)
    stiff = Input(material.youngs_gpa, material.youngs_relative_u * material.youngs_gpa)
    inputs = {**inputs, "youngs_gpa": stiff}
    flat, edge = (ringing(shape, plane, inputs, level) for plane in ("flat", "edge"))
    return Prediction(balance, flat, edge)


def slender(shape):
    """Whether the steel is a blade whose bending the beam tells, and no block."""
    return shape.length_mm >= SLENDER * shape.mean_width_mm


def _of_shape(shape, balance):
    """What the prediction leans on, and what it does not tell of such a shape."""
    if shape.ground_u:
        mass = balance.mass_g
        least, most = (f"{end:.0f}" for end in (mass.low, mass.high))
        yield doubt("grind_not_typed", least=least, most=most, where=Where(value=mass.value))
    if not slender(shape):
        long, wide = f"{shape.length_mm:.0f}", f"{shape.mean_width_mm:.0f}"
        yield doubt("no_slender_blade", long=long, wide=wide, times=f"{SLENDER:g}")


def what_if(shape, changed, hold, *, rng, level=0.95, foretell=predict):
    """What a change of the geometry does: the tool as drawn and as it would become.

    Parameters
    ----------
    shape, changed : Outline
        Before and after, with the same parts.
    hold : Hold
        Where both are held and strike.
    rng : numpy.random.Generator
        Source of the draws; both tools get the same ones, so that what is uncertain about
        both cancels in the difference.
    level : float
        Coverage.
    foretell : callable
        `predict`, or one that keeps what it told.

    Returns
    -------
    tuple
        Prediction before, Prediction after, SideBySide of their balances.
    """
    before = foretell(shape, hold, rng=deepcopy(rng), level=level)
    after = foretell(changed, hold, rng=rng, level=level)
    return before, after, before_after(before.balance, after.balance)


def ringing(shape, plane, inputs, level):
    """First mode of a plane; its uncertainty by linear propagation through the elements."""
    mode = bending_modes(shape, plane=plane)[0]

    def figures(
        thicker_mm, width_factor, length_factor, density_kg_m3, ground_shift, youngs_gpa, **parts
    ):
        changed = replace(
            shape,
            x_mm=shape.x_mm[0] + (shape.x_mm - shape.x_mm[0]) * length_factor,
            thickness_mm=np.maximum(shape.thickness_mm + thicker_mm * (shape.thickness_mm > 0), 0),
            width_mm=shape.width_mm * width_factor,
            ground=ground_shifted(shape.ground, ground_shift),
            material=replace(shape.material, density_kg_m3=density_kg_m3, youngs_gpa=youngs_gpa),
            parts=tuple(
                replace(part, mass_g=parts[f"part_{i}"]) for i, part in enumerate(shape.parts)
            ),
        )
        one = bending_modes(changed, plane=plane, elements=60)[0]
        return np.array([one.frequency_hz, *one.nodes_mm])

    half = float(ndtri(0.5 + level / 2)) * np.asarray(linear_u(figures, inputs))
    method = "Euler-Bernoulli elements, linear propagation"
    values = (mode.frequency_hz, *mode.nodes_mm)
    units = ("Hz", *("mm" for _ in mode.nodes_mm))
    first, *nodes = (
        Estimate(value, float(value - h), float(value + h), unit, level, method)
        for value, h, unit in zip(values, half, units, strict=True)
    )
    long = [one.name for one in shape.parts if one.to_mm - one.from_mm >= LONG_PART_MM]
    return Ringing(mode, first, tuple(nodes), tuple(long) if plane == "flat" else ())
