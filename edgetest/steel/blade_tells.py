"""Would one trial blade settle a large lot sooner than the tests that come before it?

Preposterior analysis: hours expected under the cheapest of leaving, making all, and one more blade.
"""

from dataclasses import replace
from functools import cache

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.fit_for_use import STANDS_FIT, STANDS_UNFIT
from edgetest.steel.gave_out import tried_of
from edgetest.steel.hardened_rules import hardened_heat, reuse_step
from edgetest.steel.lot_chance import LotChance, lot_chance, sister_pays
from edgetest.steel.situation import Situation
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.tried_blades import EDGED

# Blades from which a trial blade is small beside the lot, and comes before hours of tempers; our
# choice: below it the trade finds the temper on a coupon first.
MANY_BLADES = 30
FEW_BLADES = 6  # up to here one blade lost is held against all that known steel costs; our choice
TRY_HOURS = 0.5  # the cutting itself, beside the known blade; common practice
CUTTING = "cutting"  # what its hours are called among those that are tried
MOST_BLADES = 2  # trial blades of one piece, in all; our choice
ON_A_COUPON = ("break_coupon", "temper_ladder", "brass_rod", "bend", "repeat")
CURED_BY_A_BLADE = ("temper_hotter", "temper_cooler", "longer_soak", "slower_quench")
ON_THAT_BLADE = ("look_at_break", "temper_and_try")  # minutes, or a trial of what is made already
AS_THE_NEXT = "So many depend on it that the next blade, treated so, tells sooner."
ENDED = ("first_step", "safety_stop", "buy_known")  # no blade is in question there
ONE_STEEL = LotChance()


@cache
def cheapest(chance, blades, blade_hours, known_hours, trials, lot=ONE_STEEL, cut=TRY_HOURS):
    """Hours expected of a lot from here on, and what to do for them.

    A blade that stands is one of the lot, one that fails is lost; of a lot that is made each unfit
    blade is lost and known steel bought for it.

    Returns
    -------
    hours : float
    step : str
        "leave", "reuse" or "trial".
    """
    leave = known_hours * blades
    use = (blade_hours + known_hours) * blades * (1 - lot.of(chance))
    found = min((leave, "leave"), (use, "reuse"))
    if not trials:
        return found
    stands = chance * STANDS_FIT + (1 - chance) * STANDS_UNFIT
    rest = blade_hours, known_hours, trials - 1, lot, cut
    after_good, _ = cheapest(chance * STANDS_FIT / stands, blades - 1, *rest)
    after_bad, _ = cheapest(chance * (1 - STANDS_FIT) / (1 - stands), blades, *rest)
    trial = cut + stands * after_good + (1 - stands) * (blade_hours + after_bad)
    return min(found, (trial, "trial"))


def blade_instead(at: Situation, step: TradeStep, chance, blades, losses: SteelLosses):
    """The step itself, or what the hours at stake of a large lot ask for in its place."""
    if step.action in ENDED or hardened_heat(at) is None:
        return step
    hours, cut = (losses.blade_hours, losses.known_steel_hours), losses.hours_of(CUTTING, TRY_HOURS)
    if blades < MANY_BLADES:
        lost = blades <= FEW_BLADES and cheapest(chance, blades, *hours, 1, cut=cut)[1] == "leave"
        return _bought() if lost and step.way == "trial_blade" else step
    if "trial_blade" in losses.no_test:
        return step
    tried = [t for t in at.trials if t.trial in EDGED]
    left = max(MOST_BLADES - len(tried), 0)
    _, best = cheapest(chance, blades, *hours, left, lot_chance(at), cut)
    if tried and tried_of(at)[-1].stood:
        return _after_one_stood(at, best, blades, losses)
    if tried:
        return _after_failures(step, best, len(tried))
    if step.way in ON_A_COUPON:
        return _first(step) if best != "leave" else _bought()
    return step


def _after_one_stood(at, best, blades, losses):
    """A blade stood: a sister, a further blade, all of them, or known steel after all."""
    if best == "leave":
        return _bought()
    unfit_hours = losses.blade_hours + losses.known_steel_hours
    if at.sister_at_hand and sister_pays(at, blades, unfit_hours, losses):
        return SISTER
    return reuse_step(at, losses) if best == "reuse" else _second()


def _after_failures(step, best, tried):
    """No blade stood yet: the heat's cure or a further blade, while one can pay."""
    if best == "leave" or tried > MOST_BLADES:
        return _bought()
    if step.way in ON_THAT_BLADE:
        return step
    cure = step.action == "heat_treat_again" and step.way not in (*ON_A_COUPON, *CURED_BY_A_BLADE)
    if not cure and step.way in CURED_BY_A_BLADE:
        return replace(_second(), reason=f"{step.reason} {AS_THE_NEXT}")
    return step if cure else _second()


SISTER = TradeStep(
    "go_on",
    "second_piece",
    "One piece says little of its lot: quench and file a sister piece first.",
)


def _first(step):
    reason = "So many blades depend on it that one of them tells you sooner than a row of tempers."
    if step.way == "break_coupon":  # minutes beside a day's work
        reason += " Before you forge it, break the coupon you have and look at its grain."
    return TradeStep("reuse_trial", "trial_blade", reason)


def _second():
    reason = "One blade cannot settle so many: another one costs less than a wrong lot."
    return TradeStep("reuse_trial", "trial_blade", reason)


def _bought():
    reason = "Known steel for all of them costs less than more blades and the risk of being wrong."
    return TradeStep("buy_known", None, reason)
