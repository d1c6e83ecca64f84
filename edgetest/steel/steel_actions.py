"""What should be done with the piece now? Rules of the trade first, chances second."""

from dataclasses import replace

from edgetest.doubts import doubt
from edgetest.steel.blade_begun import begun_first, strokes_so_far
from edgetest.steel.cooler_heat import AS_HOT
from edgetest.steel.cure_first import GRIND_AND_FILE, TradeStep
from edgetest.steel.done_before import done_before
from edgetest.steel.fresh_coupon import is_fresh, with_fresh_coupon
from edgetest.steel.gave_out import (
    blade_meant,
    coupon_to_break,
    failed_last,
    sisters_failed,
)
from edgetest.steel.given_up import GIVEN_UP, still_broken, told_no_chance
from edgetest.steel.gives_no_more import gives_no_more
from edgetest.steel.instrument_clashes import unsure_degrees
from edgetest.steel.lot_apart import odd_by_sparks_too, unread_sister
from edgetest.steel.lot_temper import one_temper, sisters_temper_c
from edgetest.steel.medium_asked import medium_again, minded_in
from edgetest.steel.not_as_broke import not_as_broke
from edgetest.steel.parted_lots import lot_given
from edgetest.steel.situation import Situation
from edgetest.steel.soak_to_blame import soak_to_blame
from edgetest.steel.steel_cautions import cautions_at
from edgetest.steel.steel_decision import SteelDecision, SteelLosses
from edgetest.steel.steel_seen import MEDIA, PieceSeen, SteelSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.steel_words import (
    BY_EYE,
    FURTHER_PIECE,
    MORE_STROKES,
    TESTS_BY_CODE,
)
from edgetest.steel.told_chance import MIXED_LIKELY, withheld
from edgetest.steel.tough_tried import TOUGH, past_c, tough_elsewhere, tough_tried
from edgetest.steel.trade_rules import RULES, looked_first
from edgetest.steel.waiting_coupon import fine_first, tempered_first, with_its_temper
from edgetest.steel.weigh_steel import SteelBelief
from edgetest.steel.worth_testing import known_instead


def decide(
    seen: SteelSeen, belief: SteelBelief, tables: SteelTables, losses: SteelLosses
) -> SteelDecision:
    """The next step with the piece that was weighed: the first rule that speaks.

    Safety first; then what ends the matter; then free tests; then the cure of what
    contradicts itself; then the trade's own order of coupon, quench, temper and trial.

    Returns
    -------
    SteelDecision
    """
    piece = seen.asked(belief.piece) or PieceSeen(belief.piece or "1")
    at = Situation(seen, piece, belief, tables)
    step = _step(at, losses)
    soak = soak_to_blame(at, step.action)
    of = soak.of if soak else _heat_meant(at, step)
    fresh = is_fresh(step.way, of, at.heats)
    before = _before(step, fresh)
    tried, elsewhere = tough_tried(at), tough_elsewhere(at)
    about = None if step.action == "first_step" else piece
    untried = () if tried else elsewhere or (doubt("toughness_untried"),)
    untried = () if step.action in ONLY_A_LOOK else untried
    test, broken = _test(step, at, fresh, losses), still_broken(at, step)
    return SteelDecision(
        action=step.action,
        way=step.way,
        family=_family(at, step),
        chance_fit=None if told_no_chance(step) else belief.chance_fit,
        fit_between=None if told_no_chance(step) else belief.fit_between,
        contradictions=broken,
        next_test=test,
        reasons=_reasons(at, step, of),
        cautions=_minded(at, step, of, _cautions(step.way or step.action, about, before), test),
        tough_tried=tried,
        doubts=(*(one.doubt for one in broken), *untried),
        apart=_apart(at),
        about=_about(at, step),
        of=of,
        soak=soak.words if soak else "",
        use=seen.use,
        withheld="" if told_no_chance(step) else withheld(at, step.action),
        tempers_first=step.tempers_first,
        families=belief.families,
    )


def _test(step, at, fresh, losses):
    """The test that a step names, its coupon's quench with it where that is fresh.

    A trial blade takes the hours that the maker says it takes.
    """
    test = TESTS_BY_CODE.get(step.way or "")
    if test is None:
        return None
    piece = at.piece
    if test.code == "second_piece" and at.sisters_quenched:
        title, why = FURTHER_PIECE
        test = replace(test, title=title, why=why)
    if heat := _waits_for_its_file(step, at):
        return _filed(test, heat, at.seen)
    if test.code == "temper_and_try" and strokes_so_far(at) is not None:
        title, why, hours = MORE_STROKES
        test = replace(test, title=title, why=why, hours=hours)
    if test.code == "look_at_coating" and piece.coating not in (None, "unknown"):
        test = replace(test, title="find out whether it holds lead, in the metal or in old paint")
    if test.code == "temper_ladder" and (at_c := sisters_temper_c(at)) is not None:
        test = one_temper(test, at_c)
    if test.code == "trial_blade":
        test = replace(test, hours=losses.blade_hours)
    cautions = _in_its_medium(at, step, None, _cautions(test.code, piece, _before(step, fresh)))
    test = replace(test, cautions=cautions)
    if step.tempers_first is not None:
        return with_its_temper(test, step.tempers_first.temper_c)
    return with_fresh_coupon(test) if fresh else test


def _reasons(at, step, of):
    """Why a step, and what a step of heat is by eye where no instrument or reason tells degrees."""
    read = any(h.heat_c is not None for h in at.heats if (h.coupon, h.heat) == of)
    by_eye = None if read or AS_HOT in step.reason else BY_EYE.get(step.way or "")
    return (step.reason, *filter(None, [by_eye]))


def _waits_for_its_file(step, at):
    """The coupon of a further piece that is quenched already, where the step asks for one."""
    return unread_sister(at.seen, at.piece.id) if step.way == "second_piece" else None


def _filed(test, heat, seen):
    """The step to a further piece where its coupon is quenched and lacks no more than its file."""
    filed = TESTS_BY_CODE["grind_and_file"]
    title = f"{filed.title}, of coupon {heat.coupon} of {heat.piece}, which is quenched already"
    of = next(one for one in seen.pieces if one.id == heat.piece)
    cautions = _cautions(filed.code, of, None)
    return replace(test, title=title, hours=filed.hours, cautions=cautions)


def _before(step, fresh):
    """What comes before a coupon's test: its quench where it is fresh, or the temper it lacks."""
    if fresh:
        return "coupon_oil"
    return None if step.tempers_first is None else "temper_ladder"


def _cautions(step, piece, before):
    """What to mind at a step, and before it at what its coupon has first."""
    own = cautions_at(step, piece)
    return tuple(dict.fromkeys((*cautions_at(before, piece), *own))) if before else own


def _minded(at, step, of, cautions, test):
    """What to mind at a step: of a coupon that lacks its file alone, nothing of a quench."""
    filed = test is not None and _waits_for_its_file(step, at)
    return test.cautions if filed else _in_its_medium(at, step, of, cautions)


def _in_its_medium(at, step, of, cautions):
    """The cautions of a heat that is made again, or of a blade, for the medium of its quench."""
    if step.way == "trial_blade" or step.action in MAKES_BLADES:
        medium = at.best.medium if at.best else None
        return minded_in(cautions, medium) if medium in MEDIA else cautions
    if step.action != "heat_treat_again" or not at.heats:
        return cautions
    base = next((heat for heat in at.heats if (heat.coupon, heat.heat) == of), at.heats[-1])
    return minded_in(cautions, medium_again(base, step.way, at.heats))


def _step(at, losses):
    """What the first rule asks for that was not done yet, where it can be done and pays."""
    spoken = (rule(at, losses) for rule in RULES)
    left = (one for one in spoken if one is not None and not done_before(at, one))
    step = _possible(next(left, NOTHING_LEFT), losses, at.piece)
    step = fine_first(at, tempered_first(at, step, losses.no_test))
    step = begun_first(at, known_instead(at, step, losses))
    return looked_first(at, gives_no_more(at, not_as_broke(at, step)))


def _family(at, step):
    """The family; not said while the readings it would rest on contradict each other."""
    unsettled = step is GRIND_AND_FILE and at.broken("one_heat_hard_and_soft")
    return "unknown" if unsettled else at.belief.family


def _about(at, step):
    """The lot, or those pieces of it of which a coupon was quenched, if alike; else the piece."""
    mixed = at.chance("mixed_lot") > MIXED_LIKELY
    alike = at.sisters_quenched - at.sisters_unmended
    if not alike or mixed or step.reason == GIVEN_UP or sisters_failed(at):
        return f"piece {at.piece.id}"
    if alike == at.sisters:
        return f"lot {at.piece.lot}"
    *first, last = (p.id for p in at.seen.pieces if p.id in {at.piece.id, *alike})
    return f"pieces {', '.join(first)} and {last} of lot {at.piece.lot}"


def _apart(at):
    """That the pieces of the lot are several steels, or may be; "" where nothing says so.

    Two of them treated alike may have come out hard and soft though a cold heat is likelier.
    """
    likely = at.chance("mixed_lot") > MIXED_LIKELY
    if not at.sisters_quenched or not (likely or at.came_out_apart):
        return ""
    return (
        f"The pieces of lot {at.piece.lot} disagree: they {'are likely' if likely else 'may'} "
        f"not {'' if likely else 'be '}one steel, and one piece says little of the next."
        f"{_odd_sparks(at)}"
    )


def _odd_sparks(at):
    """That one piece of its lot sparks unlike all others, and none else came apart; else ""."""
    odd = odd_by_sparks_too(at)
    if odd is None:
        return ""
    return (
        f" Of their sparks, those of {odd} alone are unlike: where its coupon still differs once "
        f"that is made again, alike or hotter, give it {lot_given(at.seen, odd)}."
    )


def _heat_meant(at, step):
    """Coupon and heat that the step goes on with; None where it asks for a new coupon."""
    if step.tempers_first is not None:
        return step.tempers_first.of
    if not at.heats or (step.way not in ON_A_COUPON and step.action != "heat_treat_again"):
        return None
    if step.way in TOUGH and past_c(at, at.best) is not None:
        return None  # a fresh coupon is tempered for it
    if step.way in ON_A_BLADE or (step.action == "heat_treat_again" and failed_last(at)):
        return blade_meant(at, step.way)
    heat = _coupon_meant(at, step)
    return None if heat is None else (heat.coupon, heat.heat)


def _coupon_meant(at, step):
    """The heat of a coupon, or of a blade that may go back into the fire."""
    last = at.read[-1] if at.read else at.heats[-1]
    if step.way == "break_coupon":  # no blade is snapped to see its grain
        return coupon_to_break(at)
    if step.way == "grind_and_file" and at.loose:
        return last
    if step.way == "look_up_degrees" and (met := unsure_degrees(at.heats)) is not None:
        return met[0]
    if step.way in ON_THE_BEST:
        return at.best or last
    broken = (
        one.heat
        for one in at.contradictions
        if one.heat and not one.remark and at.uncured(one.code)
    )
    return next(broken, None) or at.best or last


def _possible(step, losses, piece):
    """The same step by a test that the shop can do."""
    if step.action == "laboratory" and "laboratory" in losses.no_test:
        return TradeStep("leave", None, f"{step.reason} A laboratory could, and there is none.")
    for code in (step.way, *INSTEAD.get(step.way or "", ())):
        if code not in losses.no_test:
            action = step.action if code == step.way else "go_on"
            return TradeStep("reuse_trial" if code == "trial_blade" else action, code, step.reason)
    if piece.carbon_pct is not None:
        return TradeStep("leave", None, f"{step.reason} The shop cannot do it.")
    return TradeStep("laboratory", None, step.reason)


NOTHING_LEFT = TradeStep(
    "leave", None, "You have tried everything, and it is still not settled: leave it."
)
MAKES_BLADES = ("reuse", "light_use")  # of the piece as it is, quenched as its best coupon was
ONLY_A_LOOK = ("first_step", "safety_stop", "leave", "buy_known")  # no blade is in question
# Steps that go on with a coupon that is there, and those that mean the best of them.
ON_A_BLADE = ("look_at_break", "temper_and_try")
ON_A_COUPON = ("grind_and_file", "break_coupon", "temper_ladder", "brass_rod", "bend",
               "sharpen_again", "look_up_degrees", *ON_A_BLADE)  # fmt: skip
ON_THE_BEST = ("temper_ladder", "temper_hotter", "temper_cooler", "brass_rod", "bend", "normalise")
INSTEAD = {
    "sparks": ("file_as_found", "coupon_oil"),
    "brass_rod": ("bend", "trial_blade"),
    "bend": ("brass_rod", "trial_blade"),
    "coupon_air": ("coupon_oil",),
    "sharpen_again": ("trial_blade",),
    "grind_and_file": ("break_coupon",),
    "file_as_found": ("coupon_oil",),
}
