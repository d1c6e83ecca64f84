"""What is thought of a carburising pack that nobody has measured, and which hardness is hard."""

from dataclasses import dataclass

WANTED_HRC = 57.0  # of an edge after the temper, the least of 57 to 62; common practice


@dataclass(frozen=True)
class UsualPack:
    """A pack as it is taken to be where nothing else is said; our choice, no source.

    Attributes
    ----------
    core_pct, core_u_pct : float
        Carbon of the steel before, % by weight, and its standard uncertainty.
    thermometer_u_c : float
        Standard uncertainty of the temperature, °C.
    faces : int
        Faces that see the pack.
    """

    core_pct: float = 0.20
    core_u_pct: float = 0.02
    thermometer_u_c: float = 10.0
    faces: int = 2


USUAL_PACK = UsualPack()
