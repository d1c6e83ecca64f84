"""Did a coupon that came out middling miss its heat, and is quenched again before any temper?"""

from edgetest.estimate import chance as said_chance
from edgetest.steel.cure_first import COLD_LIKELY, ENOUGH_HEATS, TradeStep
from edgetest.steel.hardened_rules import hardened_heat

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
        f"The chance that its heat was {done.replace('_', ' ')} is "
        f"{said_chance(belief.chances[done])}, and a temper only makes it softer: quench it once "
        f"more, {how}, before you look for its temper."
    )
    return TradeStep("heat_treat_again", way, reason)
