"""Does a blade that is made already come before another one, and what does it still lack?"""

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.gave_out import begun_blade, edge_trials
from edgetest.steel.situation import Situation
from edgetest.steel.tried_blades import LEAST_STROKES, WORST


def begun_first(at: Situation, step: TradeStep) -> TradeStep:
    """The step itself; where it asks for a trial blade and one is begun, that one goes on."""
    begun = begun_blade(at) if step.way == "trial_blade" else None
    if begun is None:
        return step
    temper = "temper it, and " if all(one.short for one in begun.tempers) else ""
    if (made := strokes_so_far(at)) is not None:
        reason = (
            f"{begun.coupon} made {made} of the {LEAST_STROKES} strokes from which a whole edge "
            "counts: go on with the same edge before you make another, and write down the sum."
        )
        return TradeStep("go_on", "temper_and_try", reason)
    if spoilt := [one for one in edge_trials(at, begun) if one.poor_edge]:
        reason = (
            f"{begun.coupon} was badly sharpened ({spoilt[-1].poor_edge}), and its trial told "
            "nothing: sharpen it and run it once more before you make another."
        )
        return TradeStep("go_on", "sharpen_again", reason)
    untried = "its trial told nothing yet" if edge_trials(at, begun) else "not tried yet"
    reason = f"{begun.coupon} is made and {untried}: {temper}try it before you make another."
    return TradeStep("go_on", "temper_and_try", reason)


def strokes_so_far(at: Situation) -> int | None:
    """Strokes of the blade that is begun, where it has its temper and lacks no more than strokes.

    None where none is begun, its edge was never tried, hit something, was badly sharpened, or is
    no longer whole.
    """
    begun = begun_blade(at)
    own = [] if begun is None else edge_trials(at, begun)
    if begun is None or not own or own[-1].strokes is None:
        return None
    if own[-1].hit or own[-1].poor_edge or own[-1].edge in WORST:
        return None
    tempered = own[-1].temper_c is not None or not all(one.short for one in begun.tempers)
    return own[-1].strokes if tempered else None
