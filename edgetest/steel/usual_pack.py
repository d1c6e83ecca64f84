"""What is thought of a carburising pack that nobody has measured, and of what counts as hard."""

from dataclasses import dataclass

HARD_HRC = 58.0  # as quenched: a knife edge from here, a tough tool from 50; common practice


@dataclass(frozen=True)
class UsualPack:
    """A pack as it is taken to be where nothing else is said; our choice, no source.

    Attributes
    ----------
    core_pct, core_u_pct : float
        Carbon of the steel before, % by weight, and its standard uncertainty.
    surface_u_pct : float
        Standard uncertainty of the carbon that the pack holds, % by weight.
    thermometer_u_c : float
        Standard uncertainty of the temperature, °C.
    faces : int
        Faces that see the pack.
    """

    core_pct: float = 0.20
    core_u_pct: float = 0.02
    surface_u_pct: float = 0.1
    thermometer_u_c: float = 10.0
    faces: int = 2


USUAL_PACK = UsualPack()
