"""What does a mistake with a steel cost, in hours: the maker's own, or the program's?"""

from edgetest.steel.steel_decision import COSTS, SteelLosses
from edgetest.study.steel.steel_rows import VerdictWishes


def losses_of(wishes: VerdictWishes) -> SteelLosses:
    """What a mistake costs and how many blades are wanted, as stated; the rest as usual."""
    stated = {name: float(value) for name in COSTS if (value := getattr(wishes, name)) is not None}
    losses = SteelLosses(
        no_test=wishes.no_test, stated=tuple(stated), blades_wanted=wishes.blades_wanted
    )
    for name, hours in stated.items():
        losses = losses.with_hours(name, hours)
    return losses
