"""In which order does the trade go about an unknown steel? Each rule speaks or passes."""

from dataclasses import replace

from edgetest.steel.bare_heats import if_fahrenheit
from edgetest.steel.cooler_heat import cooler_than_alike
from edgetest.steel.cure_first import (
    COLD_LIKELY,
    CURES,
    ENOUGH_HEATS,
    GRIND_AND_FILE,
    TradeStep,
    loose,
    soft_step,
    water_allowed,
)
from edgetest.steel.done_before import done_before
from edgetest.steel.drawn_soft_words import drawn_soft_words
from edgetest.steel.gave_out import broke, gave_out, tried_of
from edgetest.steel.given_up import given_up
from edgetest.steel.hardened_rules import (
    STRUCK,
    case_unseen,
    edge_gave_out,
    grain_unseen,
    holds_at_heat,
    life_unsure_told,
    ready,
    reuse_step,
    temper_off,
    tempered_unread,
    untempered,
)
from edgetest.steel.instrument_clashes import unsure_degrees
from edgetest.steel.lot_apart import softer_sister
from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.missed_heat import heat_missed, hotter_before_water
from edgetest.steel.soft_untold import soft_untold, too_little
from edgetest.steel.steel_seen import PieceSeen
from edgetest.steel.surely import SOFT_TO_HRC, is_true_soft
from edgetest.steel.tried_blades import blade_stood
from edgetest.steel.weigh_steel import EDGES, FAMILIES

FUMING = ("painted", "galvanised", "plated", "hard_chrome")
STRIPPED = {
    "painted": "Old paint may hold lead: strip it with a paste, cold and outdoors.",
    "galvanised": "Zinc fume has killed: have it stripped cold, by somebody who knows acids.",
    "plated": "Plating may be cadmium, whose fume kills: have it stripped by licensed practice.",
    "hard_chrome": "Its dust and fume are poison: have it stripped by licensed practice.",
}  # common practice, no source
LEADED = "It holds lead: have it stripped cold by somebody licensed for lead, or leave it."
# Parts turned from bar, which may be of the free-machining kind; common practice, no source.
MACHINED = ("unknown", "axle_or_shaft", "gear", "hand_tool", "structural")
LEAD_UNKNOWN = (
    "Nobody knows whether it holds lead, as bar does that turns to short, crumbling chips: ask who "
    "turned it, or have it analysed; where you cannot know, leave it."
)
PAINT_LEAD_UNKNOWN = (
    "Nobody knows whether its coat held lead, as old paint may, and what is left of it poisons in "
    "the fire and at the wheel: have the bare steel tested for it; where you cannot know, leave it."
)
NO_PACK = (
    "Packing it with carbon is not proposed for a {use}: a thin hard case over a soft core cracks "
    "or caves in under blows, and sharpening wears through it (common practice, no source)."
)
CAME_HARDER = (
    "One heat came out harder than soft, so it is not for want of carbon; none came out hard and "
    "whole: good for lesser use, not for this."
)
HARDER_FIRST = (
    "It hardened, and no cooler temper left it hard enough: the heat may have been too cold to "
    "harden it fully."
)
# Steps that put the piece neither into the fire nor to the grinder.
NO_FIRE = ("first_step", "safety_stop", "leave", "buy_known", "laboratory")
COLD = ("magnet", "look_at_break", "look_up_degrees", "look_at_coating")
CARBON_LIKELY = 0.5  # chance of a steel for edges that a soft coupon does not outweigh; ours
DECISIVE = 0.75  # chance from which cast iron and the like end the matter; our choice
MOST_HIGH_ALLOY = 0.2  # above one in five nothing goes into water; common practice
CASE_PAYS_FROM = 10  # blades in the piece from which a pack is worth its fire; common practice
SURFACE_LIKELY = 0.25  # of a case: from here a file below the skin comes before the coupon


def nothing_entered(at, losses):
    """Nothing entered yet: begin by looking."""
    bare = replace(PieceSeen(at.piece.id), makes_blades=at.piece.makes_blades)
    if at.seen.heats or at.seen.trials or (at.seen.pieces and at.piece != bare):
        return None
    reason = "Say where it came from, look for coatings and lead, lay a magnet on it."
    return TradeStep("first_step", None, reason)


def safety(at, losses):
    """Fumes, lead, a closed hollow, a loaded spring: nothing goes into the fire."""
    p = at.piece
    if p.coating in FUMING:
        cure = LEADED if (p.coating, p.lead) == ("painted", "yes") else STRIPPED[p.coating]
        reason = f"Coating: {p.coating.replace('_', ' ')}. {cure}"
        return TradeStep("safety_stop", None, reason)
    if p.coating == "unknown":
        reason = "Nobody knows whether it is coated, and the fume of a coat can kill."
        return TradeStep("safety_stop", "look_at_coating", reason)
    if p.lead in ("suspected", "yes"):
        reason = "Lead gives fume at forging heat and dust at the wheel: have it analysed first."
        return TradeStep("safety_stop", None, reason)
    if p.closed_hollow:
        return TradeStep(
            "safety_stop",
            None,
            "A closed hollow part bursts in the fire: drill it open, cold, at both ends.",
        )
    if p.loaded_spring:
        return TradeStep(
            "safety_stop",
            None,
            "A loaded spring kills when cut or heated: unload it in a clamp made for it.",
        )
    return None


def look_first(at, losses):
    """A coat or lead that nobody knows, or that nobody wrote down, before the first fire."""
    return None if at.heats or at.trials else unlooked(at)


def looked_first(at, step):
    """The step itself; the look before it where it needs fire or grinder, however often it had one.

    A quench or a trial written down answers neither the coat nor the lead.
    """
    if step.action in NO_FIRE or step.way in COLD:
        return step
    return unlooked(at) or step


def unlooked(at):
    """The look for a coat and for lead that the piece still lacks; None where both are known."""
    if at.piece.lead == "unknown" and at.piece.origin in MACHINED:
        return TradeStep("go_on", "look_at_coating", LEAD_UNKNOWN)
    if at.piece.lead == "unknown" and at.piece.coating == "removed":
        return TradeStep("go_on", "look_at_coating", PAINT_LEAD_UNKNOWN)
    left = ["coating"] if at.piece.coating is None else []
    coated_once = at.piece.coating in (None, "removed")  # old paint may have held lead
    if at.piece.lead is None and (coated_once or at.piece.origin in MACHINED):
        left.append("lead")
    if not left:
        return None
    begun = "further " if at.heats or at.trials else ""
    lacks = " and its ".join(left)
    reason = f"Before any {begun}fire or grinding: nobody has written down its {lacks}."
    return TradeStep("go_on", "look_at_coating", reason)


def decisive(at, losses):
    """Cast iron, stainless that no quench hardens: the matter ends."""
    if at.hard and not at.piece.fracture and not at.piece.forging:
        return None
    if at.chance("cast_iron") > DECISIVE:
        reason = "Cast iron: it breaks grey and crumbles; no heat mends that."
        return TradeStep("leave", None, reason)
    if at.chance("wrought_iron") > DECISIVE:
        return _case_or_leave(at, "Wrought iron: next to no carbon, whatever the heat.")
    if at.piece.magnet == "none" and not at.broken("not_magnetic_many_sparks") and not at.hard:
        reason = "Not magnetic when cold: of the kind that a quench does not harden."
        return TradeStep("leave", None, reason)
    if too_little_carbon(at.piece):
        return _case_or_leave(at, "The laboratory finds too little carbon for an edge.")
    return None


def too_little_carbon(piece):
    """Whether an analysis leaves no doubt that a quench cannot harden it (ASTM A255)."""
    if piece.carbon_pct is None:
        return False
    return as_quenched_hrc(piece.carbon_pct + 2 * piece.carbon_u_pct) < SOFT_TO_HRC


def _case_or_leave(at, reason):
    """Too little carbon: a pack where one stood or the blades are many and small; else leave."""
    packed = [t for t in at.seen.trials if t.piece == at.piece.id and t.carburised]
    lived = [trial for trial in packed if blade_stood(trial)]
    if lived:
        ratio = lived[-1].life_ratio
        as_long = "as long as" if ratio is None else f"{ratio:.2f} times as long as"
        reason = f"The packed blade lived {as_long} the known one."
        return TradeStep("carburise", None, reason)
    many = (at.piece.makes_blades or 0) >= CASE_PAYS_FROM
    if many and at.seen.use in ("knife", "chisel"):
        return TradeStep(
            "carburise", None, f"{reason} A pack may pay, worked out before the grind."
        )
    if at.seen.use in STRUCK:
        reason = f"{reason} {NO_PACK.format(use=at.seen.use.replace('_', ' '))}"
    return TradeStep("leave", None, reason)


def free_tests(at, losses):
    """Magnet and sparks cost nothing: before any fire."""
    if at.heats or at.trials:
        return None
    if at.piece.magnet is None:
        return TradeStep("go_on", "magnet", "It costs nothing.")
    if at.piece.sparks is None and at.piece.carbon_pct is None and at.piece.stream is None:
        return TradeStep("go_on", "sparks", "They cost nothing beside two steels that you know.")
    if not at.piece.hardness and at.chance("surface_hardened") > SURFACE_LIKELY:
        return TradeStep("go_on", "file_as_found", "Such parts are often hard only in the skin.")
    return None


def cure(at, losses):
    """What contradicts itself leads to its cure first."""
    steps = (one(at) for one in CURES)
    return next((one for one in steps if one is not None and not done_before(at, one)), None)


def first_coupon(at, losses):
    """No coupon yet: oil first; air for what is likely high in alloy."""
    if at.read or at.trials:
        return None
    if at.heats and not at.read and at.heats[-1].tempers:
        reason = f"{tempered_unread(at)} Quench a fresh one, and file it before its temper."
        return TradeStep("go_on", "coupon_oil", reason)
    if at.heats and not at.read:
        reason = "It was quenched, but nobody has filed it yet: grind the skin off, then file."
        return TradeStep("go_on", "grind_and_file", reason)
    if at.high_alloy > 0.5:
        return TradeStep("go_on", "coupon_air", "It looks rich in alloy: air first.")
    return TradeStep("go_on", "coupon_oil", "Oil before water.")


def middling(at, losses):
    """Neither hard nor soft: the heat, then the quench, then a lesser use."""
    heat = at.best
    if heat is None or heat in at.soft or heat in at.hard:
        return None
    again = soft_step(at, heat)
    if again is not None:
        return again
    if heat.medium in (None, "air"):
        return TradeStep("go_on", "coupon_oil", "Air is a slow quench: oil next.")
    if at.fastest_soft() == "oil" and water_allowed(at, MOST_HIGH_ALLOY):
        in_water = TradeStep(
            "go_on", "coupon_water", "Oil may have been too slow to harden it through."
        )
        return hotter_before_water(at, heat, in_water)
    reason = "Right heat, fast quench, and still not hard: good for lesser use, not for this."
    return TradeStep("light_use", None, reason)


def degrees_unsure(at, losses):
    """A temper as hot as no edge is tempered, typed without °C or °F: every step rests on it."""
    met = unsure_degrees(at.heats)
    if met is None:
        return None
    at_c = met[1].temperature_c
    in_f, _ = if_fahrenheit(at_c)
    reason = (
        f"A temper at {at_c:g} °C is unusually hot, and it was typed as a number alone: {in_f}. "
        "What follows rests on which it was."
    )
    return TradeStep("go_on", "look_up_degrees", reason)


def soft(at, losses):
    """Soft: below the skin, hotter, faster; only then too little carbon."""
    heat = at.best
    if heat is None or not at.read:
        return None
    again = soft_step(at, heat)
    if again is not None:
        return again
    fastest = at.fastest_soft()
    if fastest in (None, "air"):
        return TradeStep("go_on", "coupon_oil", "Air is a slow quench: oil next.")
    if at.high_alloy > 0.5:
        reason = "It may need a heat that a forge cannot give."
        return TradeStep("laboratory", None, reason)
    poor = at.belief.families["case_only"] > DECISIVE
    if fastest == "oil" and not poor and water_allowed(at, MOST_HIGH_ALLOY):
        in_water = TradeStep("go_on", "coupon_water", "Oil may be too slow for it.")
        return hotter_before_water(at, heat, in_water)
    true_soft = [one for one in at.read if is_true_soft(one)]
    if not true_soft:
        return GRIND_AND_FILE
    if len(at.soft) < len(at.read):  # what once came harder than soft holds carbon
        return TradeStep("light_use", None, CAME_HARDER)
    if sum(at.chance(*FAMILIES[code]) for code in EDGES) > CARBON_LIKELY:
        return TradeStep("laboratory", None, soft_untold(true_soft))
    return _case_or_leave(at, too_little(true_soft))


def drawn_soft(at, losses):
    """Hard as quenched, with room for a temper, and no cooler one is left to try."""
    heat = at.best
    hardened = heat in at.hard and at.reaches(heat)
    if not hardened or at.temper_state(heat) != "below":
        return None
    if at.belief.heat(heat).missed > COLD_LIKELY and len(at.read) <= ENOUGH_HEATS:
        return TradeStep("heat_treat_again", "hotter", HARDER_FIRST)
    cooler = done_before(at, TradeStep("heat_treat_again", "temper_cooler", ""))
    return TradeStep("light_use", None, drawn_soft_words(heat, cooler_tried=cooler))


def nothing_else(at, losses):
    """Trials alone, or a state no rule knows."""
    if any(loose(heat) for heat in at.read):
        return GRIND_AND_FILE
    if at.trials and not at.read:
        if all(one.stood for one in tried_of(at)):
            return reuse_step(at, losses)
        unsure = life_unsure_told(at)
        reason = (
            f"{unsure} A coupon tells more." if unsure else "The blade failed; a coupon tells why."
        )
        return TradeStep("go_on", "coupon_oil", reason)
    return TradeStep("laboratory", None, "No test in the shop settles what is left.")


RULES = (
    given_up,
    nothing_entered,
    safety,
    decisive,
    look_first,
    broke,
    degrees_unsure,
    cure,
    free_tests,
    first_coupon,
    grain_unseen,
    case_unseen,
    gave_out,
    cooler_than_alike,
    heat_missed,
    untempered,
    holds_at_heat,
    temper_off,
    edge_gave_out,
    ready,
    softer_sister,
    middling,
    drawn_soft,
    soft,
    nothing_else,
)
