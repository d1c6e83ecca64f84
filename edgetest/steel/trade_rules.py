"""In which order does the trade go about an unknown steel? Each rule speaks or passes."""

from dataclasses import replace

from edgetest.steel.cure_first import (
    CURES,
    GRIND_AND_FILE,
    TradeStep,
    is_true_soft,
    loose,
    soft_step,
    water_allowed,
)
from edgetest.steel.fit_for_use import LEAST_LIFE
from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.steel_seen import PieceSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.surely import SOFT_TO_HRC, of_place

FUMING = ("painted", "galvanised", "plated", "hard_chrome")
STRIPPED = {
    "painted": "Old paint may hold lead: strip it with a paste, cold and outdoors.",
    "galvanised": "Zinc fume has killed: have it stripped cold, by somebody who knows acids.",
    "plated": "Plating may be cadmium, whose fume kills: have it stripped by licensed practice.",
    "hard_chrome": "Its dust and fume are poison: have it stripped by licensed practice.",
}  # common practice, no source
DECISIVE = 0.75  # chance from which cast iron and the like end the matter; our choice
MOST_HIGH_ALLOY = 0.2  # above one in five nothing goes into water; common practice
CASE_PAYS_FROM = 10  # blades in the piece from which a pack is worth its fire; common practice
TESTS_FRESH = ("coupon_oil", "break_coupon")  # what a fresh piece costs
TESTS_LEFT = ("temper_ladder",)  # what is left once a coupon was quenched
SPOILT_SHARE = 0.2  # of one trial blade, lost where the steel is not what it seemed; our choice
COOLEST_TEMPER_C = 175.0  # below it a temper takes next to nothing; common practice
EDGED = ("rope", "chop")  # trials that wear an edge
STRUCK = ("chopper", "hedging_tool")  # uses that ask for toughness before an edge
MIXED_LIKELY = 0.5  # from here the pieces are sorted before any is tempered; our choice
CASE_POSSIBLE = 0.1  # from here a minute of grinding comes before hours of tempers; our choice
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
        return TradeStep(
            "safety_stop", None, f"Coating: {p.coating.replace('_', ' ')}. Fumes kill."
        )
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


def few_pieces(at, losses):
    """Too few blades in it to pay for the testing that is left, by the chance that it serves."""
    blades = at.piece.makes_blades
    if blades is None or at.hard or at.trials or at.contradictions:
        return None
    left = TESTS_LEFT if at.heats else (*TESTS_FRESH, *TESTS_LEFT)
    cost = sum(TESTS_BY_CODE[code].hours for code in left) + SPOILT_SHARE * losses.blade_hours
    serves = 1.0 if at.heats else at.belief.chance_light or 1.0
    if blades * losses.known_steel_hours * serves >= cost:
        return None
    reason = f"It makes {blades:g}; known steel for them costs less than the testing."
    return TradeStep("buy_known", None, reason)


def look_first(at, losses):
    """A coat that nobody knows is looked at before anything else."""
    unknown = at.piece.coating == "unknown" or (at.piece.lead == "unknown" and not at.heats)
    if not unknown:
        return None
    return TradeStep("go_on", "look_at_coating", "Nobody has looked what it is coated with.")


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
    if _too_little_carbon(at.piece):
        return _case_or_leave(at, "The laboratory finds too little carbon for an edge.")
    return None


def _too_little_carbon(piece):
    """Whether an analysis leaves no doubt that a quench cannot harden it (ASTM A255)."""
    if piece.carbon_pct is None:
        return False
    return as_quenched_hrc(piece.carbon_pct + 2 * piece.carbon_u_pct) < SOFT_TO_HRC


def _case_or_leave(at, reason):
    """Too little carbon: a pack where one stood or the blades are many and small; else leave."""
    packed = [t for t in at.seen.trials if t.piece == at.piece.id and t.carburised]
    lived = [trial for trial in packed if _stood(trial)]
    if lived:
        ratio = lived[-1].life_ratio
        as_long = "as long as" if ratio is None else f"{ratio:.2f} times as long as"
        reason = f"{reason} The packed blade lived {as_long} the known one."
        return TradeStep("carburise", None, reason)
    many = (at.piece.makes_blades or 0) >= CASE_PAYS_FROM
    if many and at.seen.use in ("knife", "chisel"):
        return TradeStep(
            "carburise", None, f"{reason} A pack may pay, worked out before the grind."
        )
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
        return TradeStep("go_on", "file_as_found", "Such parts are often hard in the skin alone.")
    return None


def cure(at, losses):
    """What contradicts itself leads to its cure first."""
    return next((step for one in CURES if (step := one(at)) is not None), None)


def first_coupon(at, losses):
    """No coupon yet: oil first; air for what is likely high in alloy."""
    if at.read or at.trials:
        return None
    if at.heats and not at.read:
        return GRIND_AND_FILE
    if at.high_alloy > 0.5:
        return TradeStep("go_on", "coupon_air", "It looks rich in alloy: air first.")
    return TradeStep("go_on", "coupon_oil", "Oil before water.")


def _hardened(at):
    """The heat that shows the steel hard enough for the use; None where none does."""
    best = at.best
    if best is None or best in at.hard:
        return best
    middling = best in at.read and best not in at.soft
    return best if middling and at.reaches(best) else None


def grain_unseen(at, losses):
    """Hard, and nobody has seen the break."""
    best = _hardened(at)
    broken = any(heat.grain is not None or heat.fracture is not None for heat in at.heats)
    if best is None or broken or at.trials:
        return None
    return TradeStep("go_on", "break_coupon", "It is hard; nobody has seen its grain.")


def case_unseen(at, losses):
    """Hard, and nobody has filed it below the skin, where a case is not out of question."""
    best = _hardened(at)
    below = [one for heat in at.hard for one in of_place(heat.hardness, "below")]
    if best is None or below or at.chance("surface_hardened") < CASE_POSSIBLE:
        return None
    return GRIND_AND_FILE if at.loose else None


def untempered(at, losses):
    """Hard and fine: sort a mixed lot, then find the temper."""
    best = _hardened(at)
    if best is None or at.temper_state(best) != "none":
        return None
    if any(trial.result in ("same", "better") for trial in at.trials):
        return None
    if at.chance("mixed_lot") > MIXED_LIKELY:
        reason = "Its sisters are another steel: mark each piece, and a coupon from each."
        return TradeStep("go_on", "second_piece", reason)
    return TradeStep("go_on", "temper_ladder", "It hardens: find the temper for the use.")


def temper_off(at, losses):
    """The temper missed the range: by its own reading, never a fault of the steel."""
    best = _hardened(at)
    state = None if best is None else at.temper_state(best)
    if state == "above":
        reason = "Too hard after a low temper is no fault of the steel: temper hotter."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    if state == "between":
        reason = "One step was too hard and the next too soft: temper between the two."
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    if state == "below" and at.reaches(best) and at.far_below(best):
        reason = "Drawn far too soft, and hard enough as quenched: harden it again, step by step."
        return TradeStep("go_on", "temper_ladder", reason)
    if state == "below" and at.reaches(best) and _hot_temper(best):
        reason = "The temper drew it too far; as quenched it was hard enough."
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    return None


def _hot_temper(heat):
    """Whether its last temper leaves room for a cooler one; one not told does."""
    last = [t.temperature_c for t in heat.tempers if t.hardness][-1:]
    return not last or last[0] is None or last[0] > COOLEST_TEMPER_C


def edge_gave_out(at, losses):
    """A trial's edge failed: the temper first, then a lesser use."""
    best = _hardened(at)
    if best is None or at.temper_state(best) == "below":
        return None
    own = [t for t in at.trials if t.heat in (None, (best.coupon, best.heat))]
    edges = {trial.edge for trial in own}
    if edges & {"chipped", "broke"}:
        reason = "It chipped or broke: temper one step hotter before you blame the steel."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    worse = any(t.trial in EDGED and t.result == "worse" for t in own)
    if worse or at.uncured("hard_short_life"):
        return TradeStep("light_use", None, "Rightly treated, and its edge still gave out early.")
    if edges & {"rolled", "took_a_set"}:
        reason = "It rolled or took a set: harden again and temper cooler."
        return TradeStep("heat_treat_again", "temper_cooler", reason)
    return None


def _worth_all(losses):
    """Chance of being fit from which making all costs less than known steel for all."""
    return 1 - losses.known_steel_hours / (losses.known_steel_hours + losses.blade_hours)


def _stood(trial):
    """Whether a trial blade lived about as long as the known one."""
    if trial.life_ratio is not None:
        return trial.life_ratio >= LEAST_LIFE
    return trial.result in ("same", "better")


def ready(at, losses):
    """In the range: toughness where it counts, then the trial blade."""
    best = _hardened(at)
    if best is None or at.temper_state(best) == "below":
        return None
    stood = [t for t in at.trials if t.trial in EDGED and _stood(t)]
    if len(stood) == 1 and (at.belief.chance_fit or 0.0) < _worth_all(losses):
        reason = "One blade stood; a wrong lot would cost more than a second one: let it tell."
        return TradeStep("reuse_trial", "trial_blade", reason)
    if stood:
        return TradeStep(
            "reuse", None, "The trial blade stood beside the known one: make the rest."
        )
    if not at.trials and at.seen.use in STRUCK:
        reason = "The hardness is right, but its toughness was never tried."
        return TradeStep("go_on", "brass_rod", reason)
    reason = "Hard, fine and in the range: the next thing is one blade beside a known one."
    return TradeStep("reuse_trial", "trial_blade", reason)


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
        return TradeStep("go_on", "coupon_water", "Oil was too slow to harden it through.")
    reason = "Right heat, fast quench, and still short of hard: not for this use, but for lesser."
    return TradeStep("light_use", None, reason)


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
        reason = "It may want a heat that a forge does not give."
        return TradeStep("laboratory", None, reason)
    poor = at.belief.families["case_only"] > DECISIVE
    if fastest == "oil" and not poor and water_allowed(at, MOST_HIGH_ALLOY):
        return TradeStep("go_on", "coupon_water", "Oil may be too slow for it.")
    true_soft = [one for one in at.read if is_true_soft(one)]
    if not true_soft:
        return GRIND_AND_FILE
    return _case_or_leave(at, "Hot enough, below the skin, and still soft: too little carbon.")


def nothing_else(at, losses):
    """Trials alone, or a state no rule knows."""
    if any(loose(heat) for heat in at.read):
        return GRIND_AND_FILE
    if at.trials and not at.read:
        if all(trial.result in ("same", "better") for trial in at.trials):
            return TradeStep("reuse", None, "The blade made of it did as well.")
        return TradeStep("go_on", "coupon_oil", "The blade failed; a coupon tells why.")
    return TradeStep("laboratory", None, "Nothing in the shop tells what is left open.")


RULES = (
    nothing_entered,
    safety,
    decisive,
    few_pieces,
    look_first,
    cure,
    free_tests,
    first_coupon,
    grain_unseen,
    case_unseen,
    untempered,
    temper_off,
    edge_gave_out,
    ready,
    middling,
    soft,
    nothing_else,
)
