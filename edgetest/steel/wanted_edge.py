"""How hard must a carburised edge be after its temper, and so straight from the quench?"""

from dataclasses import dataclass
from math import ceil, floor

from edgetest.errors import UnusableInput
from edgetest.steel.martensite import (
    HIGHEST_CARBON_PCT,
    LOWEST_CARBON_PCT,
    as_quenched_hrc,
    carbon_for_hardness,
)
from edgetest.steel.temper_softening import USUAL_TEMPER, CaseTemper
from edgetest.steel.usual_pack import WANTED_HRC


@dataclass(frozen=True)
class WantedEdge:
    """Hardness wanted after a temper (straight from the quench where there is none), HRC."""

    hardness_hrc: float = WANTED_HRC
    temper: CaseTemper | None = USUAL_TEMPER

    @property
    def softening_hrc(self):
        """What the temper takes off, HRC: (middle, standard uncertainty)."""
        return self.temper.softening_hrc() if self.temper else (0.0, 0.0)

    @property
    def quenched_hrc(self):
        """Hardness that it asks for straight from the quench, HRC."""
        return self.hardness_hrc + self.softening_hrc[0]

    @property
    def carbon_pct(self):
        """Least carbon that the relation gives this hardness, % by weight.

        Raises
        ------
        UnusableInput
            If no carbon does, or the hardness lies below the relation.
        """
        soft, asked = self.softening_hrc[0], self.quenched_hrc
        least, most = (as_quenched_hrc(pct) for pct in (LOWEST_CARBON_PCT, HIGHEST_CARBON_PCT))
        if asked > most:
            what = f"no carbon gives {self.words()}"
            mend = f"want at most {floor(most - soft)} HRC"
            mend += " or temper cooler" if self.temper else ""
            raise UnusableInput(what, "target_hrc", mend)
        if asked < least:
            what = f"{self.words()} asks for no carbon at all"
            raise UnusableInput(what, "target_hrc", f"want at least {ceil(least - soft)} HRC")
        return carbon_for_hardness(asked)

    def words(self):
        """The wish as a maker says it: "57 HRC after 2 times 60 min at 180 °C"."""
        how = f"after {self.temper.words()}" if self.temper else "straight from the quench"
        return f"{self.hardness_hrc:g} HRC {how}"

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "hardness_hrc": self.hardness_hrc,
            "as_quenched_hrc": self.quenched_hrc,
            "carbon_pct": self.carbon_pct,
            "temper": self.temper.to_dict() if self.temper else None,
        }


USUAL_EDGE = WantedEdge()
