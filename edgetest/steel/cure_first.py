"""Which cure does a contradiction lead to, as the heats stand? One rule for each."""

from dataclasses import dataclass
from math import hypot

from edgetest.steel.after_coarse import after_coarse
from edgetest.steel.alike_heats import coarse_like, cold_words, grain_seen
from edgetest.steel.contradictions import hard_inside, lives_short
from edgetest.steel.instrument_clashes import read_apart
from edgetest.steel.made_good import CHIP_FITS, to_be_tried
from edgetest.steel.rule_cures import apart_after_last, drawn_below, no_unit_typed, read_again_below
from edgetest.steel.situation import Situation
from edgetest.steel.steel_nodes import A1_C, heat_of
from edgetest.steel.steel_seen import MEDIA
from edgetest.steel.steel_words import TempersFirst
from edgetest.steel.surely import is_hard, is_soft, of_place
from edgetest.steel.tried_blades import BRITTLE, EDGED

SPECIAL_LIKELY = 0.35  # from here odd tempers are taken as high alloy's own; our choice
ENOUGH_HEATS = 3  # from here two of three decide, and nothing is repeated; our choice
COLD_LIKELY = 0.35  # from here a soft coupon is a cold heat's before it is the steel's
HOT_ENOUGH_ABOVE_C = 30.0  # above A1 (727 °C): plain high-carbon steel hardens well; from memory
BOTH_AGAIN = "from one heat: quench both once more, alike."
ONE_COUPON = "of one coupon: where no number of it was mistyped, quench it once more."


@dataclass(frozen=True)
class TradeStep:
    """What to do, which way, and why."""

    action: str
    way: str | None
    reason: str
    tempers_first: TempersFirst | None = None


GRIND_AND_FILE = TradeStep(
    "go_on",
    "grind_and_file",
    "The reading may be of a skin that lost its carbon, or of a case: grind and file again.",
)

CRACKED_ALONE = (
    "It cracked where its sisters came whole out of the same quench: quench a fresh one the same, "
    "away from any old crack."
)
HARDENED_UNEVENLY = TradeStep(
    "heat_treat_again",
    "repeat",
    "Its readings after the temper disagree below the skin too, so nobody knows how hard the "
    "temper left it: it did not harden evenly. Harden it again, evenly hot.",
)


def loose(heat):
    """Whether no reading of a heat was made below the skin."""
    return bool(heat.hardness) and not of_place(heat.hardness, "below")


def not_magnetic(at: Situation):
    """Not magnetic, many sparks: hard steel is magnetic; else manganese steel."""
    if not at.broken("not_magnetic_many_sparks"):
        return None
    if at.hard:
        reason = "Hardened steel is magnetic: try the magnet again, cold, on bright metal."
        return TradeStep("go_on", "magnet", reason)
    reason = "Many sparks and no pull: manganese steel, and a quench softens that."
    return TradeStep("leave", None, reason)


def coarse(at: Situation):
    """Coarse in the break: the heat's fault, unless a later heat broke fine."""
    best = at.best
    if best is None or best.grain != "coarse" or best not in at.hard:
        return None
    return TradeStep("heat_treat_again", "normalise", after_coarse(best, at.seen))


def cracked(at: Situation):
    """Cracked: a slower quench; the same one again where its sisters came whole out of it."""
    alone = at.uncured("cracked_alone")
    if not (alone or at.uncured("cracked")) or (at.best is not None and _sound_and_tried(at)):
        return None
    if alone:
        return TradeStep("heat_treat_again", "repeat", CRACKED_ALONE)
    bad = [heat for heat in at.heats if heat.cracked]
    if all(heat.medium == "air" for heat in bad):
        return None
    reason = (
        "It cracked, and a crack stays: quench a fresh one slower, without sharp corners or "
        "scratches, from no hotter."
    )
    return TradeStep("heat_treat_again", "slower_quench", reason)


def _sound_and_tried(at):
    """Whether a sound hard heat was carried on to a temper."""
    return at.best in at.hard and not at.best.cracked and bool(at.best.tempers)


def one_heat(at: Situation):
    """Hard and soft at once: below the skin first; then a heat that differs; then repeat once."""
    found = at.uncured("one_heat_hard_and_soft")
    if not found:
        return None
    if at.loose or (found.heat is None and at.loose_as_found):
        return GRIND_AND_FILE
    if found.heat is None or len(at.read) >= ENOUGH_HEATS:
        return None
    if at.hard and _explained(at, found.heat):
        return None
    said = ONE_COUPON if len(found.heats) == 1 else BOTH_AGAIN
    return TradeStep("heat_treat_again", "repeat", f"Hard and soft below the skin {said}")


def _explained(at, soft):
    """Whether the softer heat was plainly the colder: by thermometers, else by the eye."""
    hotter = [h.heat_c for h in at.hard if h.heat_c is not None and soft.heat_c is not None]
    if hotter:
        return soft.heat_c < max(hotter)
    if soft.magnet == "holds" or not _heat_told(soft):
        return soft.magnet == "holds"
    cold, u = heat_of(soft, at.tables)
    hot = [heat_of(heat, at.tables) for heat in at.hard if _heat_told(heat)]
    return any(cold + hypot(u, u_hot) < mean for mean, u_hot in hot)


def _heat_told(heat):
    """Whether an instrument or a colour told the heat."""
    return heat.heat_c is not None or heat.colour is not None


def faster_softer(at: Situation):
    """The faster quench softer: its skin, or its heat; high alloy from too hot."""
    found = at.uncured("faster_softer")
    if not found or _sound_and_tried(at):
        return None
    if at.chance("air_hardening", "stainless_hardening") > SPECIAL_LIKELY:
        reason = "High alloy keeps soft austenite from too hot a heat: harden it from a cooler one."
        return TradeStep("heat_treat_again", "cooler", reason)
    if at.loose:
        return GRIND_AND_FILE
    if len(at.read) >= ENOUGH_HEATS or (at.hard and _explained(at, found.heat)):
        return None
    if at.hard:
        reason = "The slower quench hardens it: stay with that one and its heat."
        return TradeStep("heat_treat_again", "slower_quench", reason)
    reason = "No steel hardens less in a faster quench from one right heat: quench both from one."
    return TradeStep("heat_treat_again", "repeat", reason)


def drawn_too_far(at: Situation):
    """Softer than its temper leaves it: read again on clean steel, before any temper is changed."""
    found = at.uncured("drawn_too_far")
    if not found or read_again_below(found.heats):
        return None
    if drawn_below(found.heats):
        reason = (
            "Clean steel, too, is softer than such a temper leaves it: check the oven and that it "
            "is the coupon that was quenched, and read it once more before you change the temper. "
            "Where that agrees enter both readings, else the new one alone."
        )
        return TradeStep("go_on", "grind_and_file", reason)
    reason = (
        "No temper takes so much off: file the skin off and read the tempered coupon again on "
        "clean steel, before you change the temper."
    )
    return TradeStep("go_on", "grind_and_file", reason)


def _last_read(heat):
    """The readings after the last temper of a heat that was read."""
    return next((one.hardness for one in reversed(heat.tempers) if one.hardness), ())


def temper_read_apart(at: Situation):
    """Hard and soft after one temper: read below the skin, then harden again; then judge it."""
    found = at.uncured("temper_read_apart")
    if not found:
        return None
    if not apart_after_last(found.heats):
        heat = found.heats[0]
        tried = any(one.heat == (heat.coupon, heat.heat) for one in at.trials)
        return None if tried or not read_apart(_last_read(heat)) else HARDENED_UNEVENLY
    reason = (
        "Its readings after the temper disagree: grind both places and read the tempered coupon "
        "again below the skin, before you judge its temper."
    )
    return TradeStep("go_on", "grind_and_file", reason)


def odd_temper(at: Situation):
    """Harder after the temper, or hard after a hot one: high alloy's own way, else the reading."""
    found = at.uncured("tempered_harder") or at.uncured("hard_after_high_temper")
    if not found or len(at.heats) >= ENOUGH_HEATS:
        return None
    if at.high_alloy > SPECIAL_LIKELY:
        return None
    if found.code == "hard_after_high_temper" and no_unit_typed(found.heats):
        reason = "Before you spend another coupon: its temper was typed as a number alone."
        return TradeStep("go_on", "look_up_degrees", reason)
    if loose(found.heat):
        return GRIND_AND_FILE
    reason = "Plain steel does not keep this: check the oven with a second thermometer, and repeat."
    return TradeStep("heat_treat_again", "repeat", reason)


def skin(at: Situation):
    """Skin and inside differ: a soft skin is ground off, a case is no steel to count on."""
    found = at.broken("skin_differs")
    if not found:
        return None
    if found.heat is None:
        reason = "As found, the skin and the inside differ: take a coupon from below the skin."
        return TradeStep("go_on", "coupon_oil", reason) if not at.heats else None
    top = of_place(found.heat.hardness, "skin")
    inner = of_place(found.heat.hardness, "below")
    if any(map(is_hard, inner)) and any(_in_the_skin(at, one, found.heat) for one in at.trials):
        reason = (
            "The edge may have stood in the soft skin: grind it off on both sides and try it again."
        )
        return TradeStep("heat_treat_again", "grind_skin", reason)
    if any(map(is_hard, top)) and inner and all(map(is_soft, inner)):
        return None if _may_harden(at, found.heat) else _cased()
    return None


def _in_the_skin(at, trial, heat):
    """Whether a short-lived edge may lie in a skin so soft: none does that was filed below it."""
    if not lives_short(trial) or trial.edge in BRITTLE:  # a soft skin rolls or dulls
        return False
    own = next((h for h in at.heats if (h.coupon, h.heat) == trial.heat), heat)
    return own == heat or not of_place(own.hardness, "below")


def _may_harden(at, heat):
    """Whether the inside may harden yet, from hotter or faster."""
    cold = not hot_enough(at, heat) or at.belief.heat(heat).missed > COLD_LIKELY
    return cold or heat.medium in (None, *MEDIA[:2])


def _cased():
    reason = "Only the skin hardens, and grinding takes it away."
    return TradeStep("leave", None, reason)


def few_sparks(at: Situation):
    """Few sparks, yet hard: below the skin first, then a heat for high alloy."""
    found = at.broken("few_sparks_hard")
    if not found or at.high_alloy > SPECIAL_LIKELY or _sound_and_tried(at):
        return None
    inside = [one for heat in at.hard for one in of_place(heat.hardness, "below")]
    if not inside and (at.loose or (not at.read and at.loose_as_found)):
        return GRIND_AND_FILE
    if inside and hard_inside(inside) and "air" not in {heat.medium for heat in at.heats}:
        reason = "Hard below the skin with few sparks: a steel that hardens in air does that."
        return TradeStep("go_on", "coupon_air", reason)
    return None


def soft_step(at: Situation, heat):
    """What a soft coupon asks for: file below the skin, quench hotter, quench faster."""
    if heat.magnet == "holds":
        reason = "The magnet still held: the coupon never was at hardening heat."
        return TradeStep("heat_treat_again", "hotter", reason)
    if loose(heat):
        return GRIND_AND_FILE
    hot = [one for one in at.read if hot_enough(at, one)]
    cold = heat not in hot or at.belief.heat(heat).missed > COLD_LIKELY
    few = len(hot) < ENOUGH_HEATS and len(at.read) <= ENOUGH_HEATS
    if cold and (few or _came_harder(at, heat)):
        return TradeStep("heat_treat_again", "hotter", cold_words(heat, hard=heat in at.hard))
    return None


def _came_harder(at, soft):
    """Whether another heat was not soft, so that this quench deserves a right heat of its own."""
    alike = [one for one in at.read if one.medium == soft.medium]
    return soft in at.soft and len(at.soft) < len(at.read) and len(alike) < ENOUGH_HEATS


def hot_enough(at: Situation, heat):
    """Whether something told the heat, and it lay past A1 by what that is unsure of."""
    if heat.heat_c is None and heat.colour is None and heat.magnet is None:
        return False
    mean, u = heat_of(heat, at.tables)
    return mean - u > A1_C + HOT_ENOUGH_ABOVE_C


def short_life(at: Situation):
    """Hard, yet it gave out early: skin, grain, soak and temper before the steel."""
    heat, edges = _gave_out_hard(at), {trial.edge for trial in at.trials}
    if heat is None:
        return None
    if edges & BRITTLE and to_be_tried(heat, at.trials, at.heats):
        return None
    if not grain_seen(at.heats, heat):
        reason = (
            "Coarse grain gives out early: break a coupon quenched alike and look; never snap the "
            "blade."
        )
        return TradeStep("go_on", "break_coupon", reason)
    if coarse_like(at.heats, heat):
        reason = "A coupon quenched as the blade was is coarse, from too hot a heat."
        return TradeStep("heat_treat_again", "normalise", reason)
    if at.chance_done(heat, "too_short") + at.chance_done(heat, "too_cold") > COLD_LIKELY:
        reason = "The heat was too short for its carbides to dissolve: soak it longer."
        return TradeStep("heat_treat_again", "longer_soak", reason)
    if loose(heat):
        return GRIND_AND_FILE
    if edges & BRITTLE and not chipped_again(at):
        reason = "It chipped, and no break of such a heat was seen coarse: temper one step hotter."
        return TradeStep("heat_treat_again", "temper_hotter", reason)
    return None


def _gave_out_hard(at):
    """The heat of a hard blade that gave out; a packed one tells of its case alone."""
    own = (
        one.heat for one in at.contradictions
        if one.code == "hard_short_life" and one.heat and (not one.remark or one.cure == CHIP_FITS)
    )  # fmt: skip
    return next((heat for heat in own if not heat.carburised), None)


def chipped_again(at: Situation):
    """Whether a second blade chipped or broke, so that a hotter temper was no cure."""
    return len([t for t in at.trials if t.trial in EDGED and t.edge in BRITTLE]) > 1


CURES = (
    not_magnetic,
    coarse,
    one_heat,
    faster_softer,
    cracked,
    drawn_too_far,
    temper_read_apart,
    odd_temper,
    skin,
    few_sparks,
    short_life,
)


def water_allowed(at: Situation, most):
    """Whether water may be tried: never where it hardened in oil or high alloy is likely."""
    slow = [heat for heat in at.hard if heat.medium in MEDIA[:2]]
    return not slow and at.high_alloy <= most
