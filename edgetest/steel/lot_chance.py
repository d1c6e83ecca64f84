"""How likely is a blade from anywhere in the lot to be fit, where sisters may be another steel?"""

from dataclasses import dataclass
from statistics import mean

from edgetest.steel.situation import Situation
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.weigh_steel import weigh_steel

SWAPPED = 0.5  # share of a mixed lot that is not the steel of the piece asked about; our choice
SISTER = "second_piece"
UNSEEN_FIT = 0.4  # chance that a sister of another steel is fit, unseen; our choice


@dataclass(frozen=True)
class LotChance:
    """The chance of the lot as a line in the chance of the piece: `other + alike * chance`."""

    alike: float = 1.0
    other: float = 0.0

    def of(self, chance):
        """Mean chance over the lot's blades, from that of the piece asked about."""
        return self.other + self.alike * chance


def sister_pays(at: Situation, blades, unfit_hours, losses: SteelLosses):
    """Whether the first sister costs less than what a lot not of one steel is expected to lose.

    One sister shows about half of the mixed lots to be mixed (`SWAPPED`).
    """
    if not at.piece.lot or at.sisters_quenched:
        return False
    mixed = at.tables.row("mixed", "lot")["chance"]
    lost = mixed * SWAPPED * blades * (1 - UNSEEN_FIT) * unfit_hours
    return SWAPPED * lost > losses.hours_of(SISTER, TESTS_BY_CODE[SISTER].hours)


def lot_chance(at: Situation):
    """Law of total probability: the lot is one steel, or half of it is what its sisters are."""
    if not at.piece.lot:
        return LotChance()
    if not at.sisters_quenched:
        mixed, others = at.tables.row("mixed", "lot")["chance"], UNSEEN_FIT
    else:
        mixed = at.chance("mixed_lot")
        others = mean(_fit(at.seen, at.tables, one) for one in sorted(at.sisters_quenched))
    swapped = SWAPPED * mixed
    return LotChance(1 - swapped, swapped * others)


def _fit(seen: SteelSeen, tables, piece):
    """Chance that a sister is fit, of which something was seen."""
    return weigh_steel(seen, tables, piece=piece).chance_fit
