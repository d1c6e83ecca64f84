"""How sure is it that a temper left the hardness wanted, and can a blade be tempered like it?"""

from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.surely import true_readings

UNSAID = (
    "Nobody wrote at how many degrees that temper was, and no blade can be tempered like it: write "
    "them, or temper a fresh coupon by degrees that you note."
)


def left_open(at: Situation, best: HeatSeen) -> str:
    """What the readings in the range leave open of it, a blank before it; "" for nothing.

    Parameters
    ----------
    at : Situation
    best : HeatSeen
        Whose temper came into the range.
    """
    said = ""
    if (ends := _as_before(at, best)) is not None:
        low, high = ends
        said = (
            f"As far as your files tell: they read {low:g} to {high:g} HRC, as before the temper, "
            f"and above {at.wanted[1]:g} it would be too hard. Go on with it; where it chips, "
            "temper one step hotter."
        )
    told = " ".join(filter(None, (said, degrees_unsaid(best))))
    return f" {told}" if told else ""


def degrees_unsaid(best: HeatSeen) -> str:
    """That the degrees of every temper read were left out; "" where one has them, or none is."""
    read = [temper for temper in best.tempers if temper.hardness]
    return UNSAID if read and all(one.temperature_c is None for one in read) else ""


def _as_before(at: Situation, best: HeatSeen) -> tuple[float, float] | None:
    """The bracket of files that a temper did not change, where it reaches above what is wanted."""
    was = {_bracket(one) for one in true_readings(best.hardness) if one.by_files}
    read = [_brackets(temper) for temper in best.tempers]
    now = [told for told in read if told][-1:]
    if now != [was] or len(was) != 1:  # by the temper read last: what came before it is past
        return None
    ((low, high),) = was
    return None if low is None or high is None or high <= at.wanted[1] else (low, high)


def _brackets(temper):
    return {_bracket(one) for one in true_readings(temper.hardness) if one.by_files}


def _bracket(one):
    return one.low_hrc, one.high_hrc
