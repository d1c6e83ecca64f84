"""Is the rest made as the blade that stood, though one of its lot that was treated so broke?"""

from dataclasses import replace

from edgetest.steel.broke_alike import as_it_stood, broke_like
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.gave_out import last_blade
from edgetest.steel.situation import Situation


def not_as_broke(at: Situation, step: TradeStep) -> TradeStep:
    """The step itself; one more blade first where the rest is made as a sister's that broke.

    Where a later blade of that sister stood at a hotter temper, the rest is made with that one.
    """
    last = last_blade(at)
    if step.action != "reuse" or last is None or last.at is None:
        return step
    broke = broke_like(at.seen, at.piece.id, last.at[0])
    if broke is None or broke.piece == at.piece.id:
        return step
    if broke.stood_c is not None:
        return replace(step, reason=f"{step.reason} {broke.instead()}")
    how = as_it_stood(at.seen, at.piece.id, last.at[0])
    reason = (
        f"{broke.blade} of {broke.piece}, of the same lot, was quenched and tempered as the blade "
        f"that stood, and broke: before the rest make one more, {how}."
    )
    return TradeStep("reuse_trial", "trial_blade", reason)
