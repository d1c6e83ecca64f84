"""Did a coupon that came out middling miss its heat, and is quenched again before any temper?"""

from edgetest.estimate import chance as said_chance
from edgetest.steel.cure_first import COLD_LIKELY, ENOUGH_HEATS, TradeStep
from edgetest.steel.hardened_rules import hardened_heat

WATER_WAITS = 0.25  # chance of a too cold heat in oil from which water is not next; our choice
AGAIN = {"too_cold": ("hotter", "hotter"), "too_short": ("longer_soak", "with a longer soak")}


def heat_missed(at, losses):
    """Hard enough for a low temper, yet likelier heated too cold or too short than right.

    A temper makes nothing harder, and its ladder costs more work than another quench: the heat
    comes first. Common practice, no source.
    """
    best = hardened_heat(at)
    if best is None or best in at.hard or best.grain == "coarse" or at.trials:
        return None
    if at.temper_state(best) != "none" or len(at.read) >= ENOUGH_HEATS:
        return None
    belief = at.belief.heat(best)
    if belief.missed <= COLD_LIKELY:
        return None
    done = max(AGAIN, key=lambda what: belief.chances[what])
    way, how = AGAIN[done]
    reason = (
        f"{_may_have_been(at, done, belief.chances[done])}, and a temper only makes it softer: "
        f"quench it once more, {how}, before you look for its temper."
    )
    return TradeStep("heat_treat_again", way, reason)


def hotter_before_water(at, heat, in_water):
    """The step into water; soft from oil, none too surely hot enough: hotter in oil before it.

    A faster quench cracks sooner, and tells nothing of a heat that was too cold. Common practice,
    no source. Not where oil was tried from two heats: then they tell that it is too slow.
    """
    in_oil = [one for one in at.read if one.medium == "oil"]
    cold = at.chance_done(heat, "too_cold")
    if heat.medium != "oil" or len(in_oil) > 1 or cold <= WATER_WAITS:
        return in_water
    reason = (
        f"{_may_have_been(at, 'too_cold', cold)}, and water cracks what oil spares: quench it once "
        "more in oil, hotter, before you try water."
    )
    return TradeStep("heat_treat_again", "hotter", reason)


def _may_have_been(at, done, probability):
    """What a heat may have been; no chance of it where what was seen does not fit together."""
    words = done.replace("_", " ")
    if any(not one.remark for one in at.contradictions):
        return f"Its heat may have been {words}"
    return f"The chance that its heat was {words} is {said_chance(probability)}"
