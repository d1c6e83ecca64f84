"""How sure is it that a temper left the hardness wanted, and can a blade be tempered like it?"""

from dataclasses import replace

from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.surely import true_readings
from edgetest.steel.tough_tried import past_c

UNSAID = (
    "Nobody wrote at how many degrees that temper was, and no blade can be tempered like it: write "
    "them, or temper a fresh coupon by degrees that you note."
)

TOO_HARD = "where it chips, temper one step hotter"
TOO_SOFT = "where it bends or rolls, one step cooler, from a fresh quench"


def left_open(at: Situation, best: HeatSeen) -> str:
    """What the readings in the range leave open of it, a blank before it; "" for nothing.

    Parameters
    ----------
    at : Situation
    best : HeatSeen
        Whose temper came into the range.
    """
    said = "" if _read_past(at, best) else _reaches_out(at, best)
    told = " ".join(filter(None, (said, degrees_unsaid(best))))
    return f" {told}" if told else ""


def degrees_unsaid(best: HeatSeen) -> str:
    """That the degrees of every temper read were left out; "" where one has them, or none is."""
    read = [temper for temper in best.tempers if temper.hardness]
    return UNSAID if read and all(one.temperature_c is None for one in read) else ""


def _read_past(at, best):
    """Whether the temper that was read last went past the one to take."""
    read = tuple(temper for temper in best.tempers if temper.hardness)
    return past_c(at, replace(best, tempers=read)) is not None


def _reaches_out(at: Situation, best: HeatSeen) -> str:
    """What the bracket of files that was read last leaves open; "" where it lies in the range."""
    read = [_brackets(temper) for temper in best.tempers]
    now = [told for told in read if told][-1:]  # by the temper read last: what came before is past
    low, high = min(now[0]) if now and len(now[0]) == 1 else (None, None)
    if low is None or high is None:
        return ""
    least, most = at.wanted
    soft = ["it would be too soft below {least:g}"] if low < least else []
    hard = ["it would be too hard above {most:g}"] if high > most else []
    if not (soft or hard):
        return ""
    was = {_bracket(one) for one in true_readings(best.hardness) if one.by_files}
    same = ", as before the temper" if now == [was] else ""
    mend = [TOO_HARD] * len(hard) + [TOO_SOFT] * len(soft)
    out = " and ".join(hard + soft).format(least=least, most=most)
    return (
        f"As far as your files tell: they read {low:g} to {high:g} HRC{same}; {out}. Go on with "
        f"it; {'; '.join(mend)}."
    )


def _brackets(temper):
    return {_bracket(one) for one in true_readings(temper.hardness) if one.by_files}


def _bracket(one):
    return one.low_hrc, one.high_hrc
