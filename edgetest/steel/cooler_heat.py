"""Is a heat too cool to be judged by, as a hotter one of its steel came out harder?"""

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.hotter_harder import harder_words, hotter_harder
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.tried_blades import tried_blades

AS_HOT = "Quench it as hot as that one"
UNSEEN = (
    " Nobody noted the grain of that hotter one: break a coupon from so hot first, for too hot a "
    "heat leaves it coarse, and it chips."
)
ONE_HEAT_C = 10.0  # a blade's heat that nobody filed is a coupon's so near to it; our choice


def cooler_than_alike(at: Situation, losses) -> TradeStep | None:
    """A coupon softer than a hotter one of its steel has that heat before its temper or its use.

    Not once a blade of the piece stood. Common practice, no source.
    """
    best = at.best
    if best is None or any(one.stood for one in tried_blades(at.trials, at.heats)):
        return None
    return as_hot(at, best)


def as_hot(at: Situation, heat: HeatSeen | None, said: str = "") -> TradeStep | None:
    """The step to the heat of one that came out harder; None where none did.

    Parameters
    ----------
    at : Situation
    heat : HeatSeen or None
        The one that may have been too cool.
    said : str
        What its blade did, before the reason.
    """
    read = None if heat is None else _read_like(heat, at)
    hotter = None if read is None else hotter_harder(read, at.seen)
    if read is None or hotter is None:
        return None
    seen = "" if hotter.grain else UNSEEN
    reason = (
        f"{harder_words(read, hotter)}: the cooler heat is to blame before the steel, and before "
        f"its temper. {AS_HOT}, {hotter.heat_c:.0f} °C, and file it; a temper after the cooler "
        f"heat tells nothing of it.{seen}"
    )
    return TradeStep("heat_treat_again", "hotter", f"{said} {reason}".strip())


def too_cool_alone(heat: HeatSeen | None, seen: SteelSeen) -> bool:
    """Whether a hotter heat of its lot tells that a blade's own heat left it softer."""
    return heat is not None and hotter_harder(heat, seen) is not None


def _read_like(heat, at):
    """The heat itself; of one that nobody filed the coupon quenched like it; None for none."""
    if heat.hardness or heat.heat_c is None:
        return heat
    near = [
        one for one in at.read
        if one.medium == heat.medium and one.heat_c is not None
        and abs(one.heat_c - heat.heat_c) <= ONE_HEAT_C
    ]  # fmt: skip
    return next(reversed(near), None)
