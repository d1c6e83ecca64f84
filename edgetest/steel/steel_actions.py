"""What should be done with the piece now? Rules of the trade first, chances second."""

from edgetest.doubts import doubt
from edgetest.estimate import chance as said_chance
from edgetest.steel.cure_first import GRIND_AND_FILE, TradeStep
from edgetest.steel.situation import Situation
from edgetest.steel.steel_decision import SteelDecision, SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.steel_tables import SteelTables
from edgetest.steel.steel_words import TESTS_BY_CODE, step_cautions
from edgetest.steel.trade_rules import RULES
from edgetest.steel.weigh_steel import SteelBelief


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
    step = next(step for rule in RULES if (step := rule(at, losses)) is not None)
    step = _possible(step, losses)
    test = TESTS_BY_CODE.get(step.way or "")
    tried = any(t.trial in ("brass_rod", "bend", "chop") for t in at.trials)
    stop = step.action in ("first_step", "safety_stop")
    return SteelDecision(
        action=step.action,
        way=step.way,
        family=_family(at, step),
        chance_fit=None if step.action == "first_step" else belief.chance_fit,
        contradictions=at.contradictions,
        next_test=test,
        reasons=(step.reason,) if stop else (step.reason, *_weighed(belief)),
        cautions=tuple(step_cautions(step.action, step.way)),
        tough_tried=tried,
        doubts=tuple(one.doubt for one in at.contradictions) + _doubts(at, tried),
    )


def _weighed(belief):
    """The explanations that count, in a sentence."""
    if belief.chance_fit is None:
        return ()
    best = sorted(belief.explanations.items(), key=lambda each: -each[1])[:3]
    said = ", ".join(f"{code.replace('_', ' ')} {said_chance(p)}" for code, p in best)
    return (f"What it may be: {said}.",)


def _family(at, step):
    """The family; not said while the readings it would rest on contradict each other."""
    unsettled = step is GRIND_AND_FILE and at.broken("one_heat_hard_and_soft")
    return "unknown" if unsettled else at.belief.family


def _doubts(at, tried):
    found = [] if tried else [doubt("toughness_untried")]
    return tuple(found)


def _possible(step, losses):
    """The same step by a test that the shop can do."""
    for code in (step.way, *INSTEAD.get(step.way or "", ())):
        if code not in losses.no_test:
            return step if code == step.way else TradeStep("go_on", code, step.reason)
    return TradeStep("laboratory", None, step.reason)


INSTEAD = {
    "sparks": ("file_as_found", "coupon_oil"),
    "brass_rod": ("bend", "trial_blade"),
    "bend": ("brass_rod", "trial_blade"),
    "coupon_air": ("coupon_oil",),
    "grind_and_file": ("break_coupon",),
    "file_as_found": ("coupon_oil",),
}
